//! What a fuzzer found stays found: its corpus and its findings, kept beside the fuzzing package, are fed again to the
//! subjects they were found with; and so are drafts that mean something, made by chance from fixed seeds.
#![allow(
    clippy::indexing_slicing,
    clippy::unwrap_used,
    clippy::expect_used,
    missing_docs,
    dead_code,
    reason = "a test that fails should say so where it does"
)]

use crate::chance;
#[path = "../fuzz/folders.rs"]
mod folders;
use crate::kinded;
#[path = "../fuzz/shapes.rs"]
mod shapes;
#[path = "../fuzz/subjects.rs"]
mod subjects;

use chance::Chance;
use std::path::Path;

/// Feeds a subject everything that is kept for it.
fn replay(name: &str, subject: fn(&[u8])) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/fuzz/kept")
        .join(name);
    let mut files: Vec<_> = std::fs::read_dir(&folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    files.sort();
    assert!(!files.is_empty(), "{} is empty", folder.display());
    for file in files {
        println!("{}", file.display());
        subject(&std::fs::read(&file).unwrap());
    }
}

#[test]
fn tokens() {
    replay("tokens", subjects::tokens);
}

#[test]
fn texts() {
    replay("text", subjects::text);
}

#[test]
fn drafts() {
    replay("draft", subjects::draft);
}

#[test]
fn drafts_by_chance() {
    replay("kinded", subjects::kinded);
}

#[test]
fn tables() {
    replay("table", subjects::table);
}

#[test]
fn tables_with_journals() {
    replay("batch", folders::batch);
}

#[test]
fn git_folders() {
    replay("git_folder", folders::git_folder);
    for seed in 0..20 {
        folders::git_folder(&bytes(seed, 60));
    }
}

#[test]
fn geometry() {
    replay("geometry", shapes::geometry);
}

#[test]
fn drafts_that_mean_something_are_drawn() {
    for seed in 0..100 {
        let bytes = bytes(seed, 400);
        let text = kinded::draft(&mut Chance::of_bytes(bytes.clone()));
        println!("seed {seed}\n{text}");
        subjects::kinded(&bytes);
        subjects::text(text.as_bytes());
    }
}

#[test]
fn shapes_by_chance_have_finite_answers() {
    for seed in 0..150 {
        shapes::geometry(&bytes(seed, 120));
    }
}

fn bytes(seed: u64, count: usize) -> Vec<u8> {
    let mut chance = Chance::new(seed);
    (0..count)
        .map(|_| u8::try_from(chance.below(256)).unwrap())
        .collect()
}
