//! Batches: real bodies in one run, the same bytes by any number of threads, broken off and taken up again, and no body in
//! the way of another.

mod files;
mod journal;
mod people;

use std::path::PathBuf;
use std::process::{Command, Output};

/// Runs the program in the project's folder.
fn oaktag(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_oaktag"))
        .args(arguments)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

/// A file of this test run alone.
struct Folder(tempfile::TempDir);

impl Folder {
    fn new() -> Self {
        Self(tempfile::tempdir().unwrap())
    }

    fn file(&self, name: &str, text: &str) -> String {
        let path = self.path(name);
        std::fs::write(&path, text).unwrap();
        path.to_str().unwrap().to_owned()
    }

    fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }
}

const VEST: &str = "examples/deck-vest.draft";

/// A table of vests, among them a body that cannot be read, one that is refused and one with a head no neck will pass.
fn crew(count: usize) -> String {
    let mut table = String::from("name,chest_girth,head_girth\n");
    for number in 0..count {
        let row = match number % 10 {
            3 => "98 feet,58".to_owned(),
            5 => "12,58".to_owned(),
            7 => "72,64".to_owned(),
            other => format!("{},{}", 88 + other * 3, 55 + other % 4),
        };
        table.push_str(&format!("hand_{number},{row}\n"));
    }
    table
}

#[test]
fn one_bad_body_stops_no_other_and_reasons_are_summed_up() {
    let folder = Folder::new();
    let table = folder.file("crew.csv", &crew(40));
    let out = oaktag(&["check", VEST, "--bodies", &table]);
    assert_eq!(out.status.code(), Some(1));
    let said = text(&out.stdout);
    for (number, line) in said.lines().take(40).enumerate() {
        let named = match number % 10 {
            3 => format!("(`hand_{number}`, `chest_girth`)"),
            _ => format!("hand_{number}: "),
        };
        assert!(line.contains(&named), "{number}: {line}");
    }
    assert!(said.contains("What stopped them"), "{said}");
    assert!(said.contains("4 refused: out-of-range"), "{said}");
    assert!(said.contains("4 not read: body-table"), "{said}");
    let last = said.lines().last().unwrap();
    assert!(
        last.starts_with("40 in all: ") && last.contains("4 rows not read"),
        "{last}"
    );
}

#[test]
fn any_number_of_threads_prints_the_same_bytes() {
    let folder = Folder::new();
    let table = folder.file("crew.csv", &crew(60));
    let with =
        |threads: &str| oaktag(&["check", VEST, "--bodies", &table, "--threads", threads]).stdout;
    let one = with("1");
    assert!(one.len() > 1_000);
    for threads in ["2", "3", "8"] {
        assert_eq!(text(&one), text(&with(threads)), "{threads} threads");
    }
    let json = oaktag(&["check", VEST, "--bodies", &table, "--format", "json"]).stdout;
    let lines: Vec<serde_json::Value> = text(&json)
        .lines()
        .map(|line| serde_json::from_str(line).unwrap())
        .collect();
    assert_eq!(lines.len(), 60);
    assert_eq!(lines[3]["verdict"], "not-read");
}
