//! No clock, no chance and no variable of the surroundings is read, but for what is told while somebody waits.

use std::path::{Path, PathBuf};

/// Words that read the surroundings, and the files that may: what they read is told on the terminal and stands in no file.
const READS: [(&str, &[&str]); 10] = [
    ("SystemTime", &[]),
    ("Instant", &["cli/progress.rs", "cli/waiting.rs"]),
    ("Duration", &["cli/progress.rs", "cli/waiting.rs"]),
    ("RandomState", &["syntax/parser/context.rs"]),
    ("DefaultHasher", &[]),
    ("thread_rng", &[]),
    ("available_parallelism", &["sizes/ordered.rs"]),
    (
        "env::var",
        &["cli/told.rs", "cli/compare.rs", "cli/git/call.rs"],
    ),
    ("env::current_dir", &["cli/git/mod.rs"]),
    ("process::id", &[]),
];

fn sources(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        match path.is_dir() {
            true => sources(&path, found),
            false => found.push(path),
        }
    }
}

#[test]
fn nothing_reads_a_clock() {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut found = Vec::new();
    sources(&source, &mut found);
    assert!(found.len() > 100, "the source was not found");
    let mut reads = Vec::new();
    for path in found {
        let text = std::fs::read_to_string(&path).unwrap();
        let name = path
            .strip_prefix(&source)
            .unwrap()
            .to_string_lossy()
            .replace('\\', "/");
        for (word, allowed) in READS {
            if text.contains(word) && !allowed.contains(&&*name) {
                reads.push(format!("{name}: {word}"));
            }
        }
    }
    assert!(reads.is_empty(), "{reads:#?}");
}
