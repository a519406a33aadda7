//! No clock, no chance and no variable of the surroundings is read, but for what is told while somebody waits.

use std::path::{Path, PathBuf};

/// Words that read the surroundings, and the files that may: what they read is told on the terminal and stands in no file.
const READS: [(&str, &[&str]); 10] = [
    (
        "SystemTime",
        &[
            "src/cli/desk/drafts.rs",
            "src/cli/language_server/common.rs",
        ],
    ),
    (
        "Instant",
        &[
            "src/cli/desk/changes.rs",
            "src/cli/language_server/mod.rs",
            "src/cli/progress.rs",
            "src/cli/waiting.rs",
        ],
    ),
    (
        "Duration",
        &[
            "src/cli/desk/changes.rs",
            "src/cli/desk/http.rs",
            "src/cli/language_server/mod.rs",
            "src/cli/progress.rs",
            "src/cli/waiting.rs",
        ],
    ),
    (
        "RandomState",
        &["crates/language/src/syntax/parser/context.rs"],
    ),
    // The same in every run of one build; what is marked by it stays in the process, or in a folder's name of the cache.
    (
        "DefaultHasher",
        &[
            "crates/studio/src/desk/picture.rs",
            "src/cli/desk/drafts.rs",
            "src/cli/language_server/library.rs",
        ],
    ),
    ("thread_rng", &[]),
    (
        "available_parallelism",
        &["crates/studio/src/sizes/ordered.rs"],
    ),
    (
        "env::var",
        &[
            "crates/language/build.rs",
            "src/cli/told.rs",
            "src/cli/compare.rs",
            "src/cli/git/call.rs",
            "src/cli/language_server/library.rs",
        ],
    ),
    ("env::current_dir", &["src/cli/git/mod.rs"]),
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
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut found = Vec::new();
    for folder in ["src", "crates"] {
        sources(&root.join(folder), &mut found);
    }
    assert!(found.len() > 100, "the source was not found");
    let mut reads = Vec::new();
    for path in found {
        let text = std::fs::read_to_string(&path).unwrap();
        let name = path
            .strip_prefix(root)
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
