//! The program knows geometry and a language, and no garment: what a shirt is stands in drafts and in the library alone.

use std::fs;
use std::path::{Path, PathBuf};

/// A dart and a pleat are no parts: the language has a sentence for each.
const GARMENT_WORDS: [&str; 6] = ["sleeve", "collar", "yoke", "cuff", "placket", "pocket"];

fn files(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            files(&path, found);
        } else {
            found.push(path);
        }
    }
}

#[test]
fn no_source_file_names_a_part_of_a_garment() {
    let mut found = Vec::new();
    for folder in ["src", "crates"] {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
        files(&folder, &mut found);
    }
    assert!(found.len() > 100, "the source was not found");
    let mut named = Vec::new();
    for path in found {
        let text = fs::read_to_string(&path).unwrap().to_lowercase();
        for word in GARMENT_WORDS {
            if let Some(at) = text.find(word) {
                let line = text[..at].matches('\n').count() + 1;
                named.push(format!("{}:{line}: {word}", path.display()));
            }
        }
    }
    assert!(named.is_empty(), "{named:#?}");
}
