//! Same input, same bytes: whatever the run, the threads, the language, the time zone, the terminal, the folder, the user's
//! mask or the build. `tests/data/figures.txt` holds what each example comes to in figures, `tests/data/drawings.txt` the bytes of each
//! of its files; `UPDATE_EXPECT=1` rewrites them.

mod clocks;
mod digests;
use crate::example_drafts;
mod figures;
mod surroundings;

use std::collections::BTreeMap;
use std::path::Path;
use std::process::{Command, Stdio};

/// The program of this build.
const PROGRAM: &str = env!("CARGO_BIN_EXE_oaktag");

/// Files by their names.
type Files = BTreeMap<String, Vec<u8>>;

/// Every file of a folder.
fn files(folder: &Path) -> Files {
    let entries = std::fs::read_dir(folder).unwrap();
    entries
        .map(|entry| {
            let path = entry.unwrap().path();
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            (name, std::fs::read(&path).unwrap())
        })
        .collect()
}

/// Which files differ; the bytes themselves would fill the screen.
fn differing(one: &Files, other: &Files) -> Vec<String> {
    let mut names: Vec<&String> = one.keys().chain(other.keys()).collect();
    names.sort();
    names.dedup();
    let differs = |name: &&&String| one.get(**name) != other.get(**name);
    names
        .iter()
        .filter(differs)
        .map(|name| (*name).clone())
        .collect()
}

fn run(mut command: Command) {
    let done = command.stdin(Stdio::null()).output().unwrap();
    let said = String::from_utf8_lossy(&done.stderr);
    assert!(
        matches!(done.status.code(), Some(0 | 1)),
        "{command:?}: {said}"
    );
}
