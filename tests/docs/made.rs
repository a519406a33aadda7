//! What the program makes for the pages: the pictures and the table of phrases. `UPDATE_EXPECT=1` makes them anew.

use crate::blocks::{file, root};
use expect_test::expect_file;
use std::collections::BTreeSet;
use std::fs;
use std::process::Command;

/// Each picture with the draft it is drawn from.
const PICTURES: &[(&str, &str)] = &[
    ("first-steps", "examples/first-steps.draft"),
    ("deck-vest", "examples/deck-vest.draft"),
    ("sheet", "src/phrase/scene.draft"),
];

fn oaktag(arguments: &[&str]) -> std::process::Output {
    Command::new(env!("CARGO_BIN_EXE_oaktag"))
        .args(arguments)
        .current_dir(root())
        .output()
        .unwrap()
}

#[test]
fn every_picture_is_what_the_program_draws() {
    let folder = tempfile::tempdir().unwrap();
    for (name, draft) in PICTURES {
        let drawn = folder.path().join(format!("{name}.svg"));
        let output = oaktag(&["draw", draft, "-o", drawn.to_str().unwrap()]);
        assert!(output.status.success(), "{draft} is not drawn");
        let committed = file(&format!("docs/pictures/{name}.svg"));
        expect_file![committed].assert_eq(&fs::read_to_string(&drawn).unwrap());
    }
}

#[test]
fn no_picture_is_left_over() {
    let there: BTreeSet<String> = fs::read_dir(file("docs/pictures"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    let known = PICTURES.iter().map(|(name, _)| format!("{name}.svg"));
    assert_eq!(there, known.collect());
}

#[test]
fn the_page_of_phrases_is_the_table() {
    let output = oaktag(&["phrases", "--markdown"]);
    let text = String::from_utf8(output.stdout).unwrap();
    expect_file![file("docs/phrases.md")].assert_eq(&text);
}
