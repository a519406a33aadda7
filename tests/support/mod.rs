//! What several tests share: the grammar file as data, a recogniser built from it, and well-formed drafts made from it.

#![allow(dead_code, reason = "each test takes what it needs")]

pub mod chance;
pub mod ebnf;
pub mod generate;
pub mod kinded;
pub mod recogniser;
pub mod relaid;

/// The grammar file.
pub fn grammar_text() -> String {
    std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/grammar/oaktag.ebnf")).unwrap()
}

/// The grammar.
pub fn grammar() -> ebnf::Grammar {
    ebnf::Grammar::read(&grammar_text()).unwrap()
}

/// Every draft that must be readable: test data, examples and the library, by path.
pub fn all_drafts() -> Vec<(String, String)> {
    let mut found = Vec::new();
    for folder in ["tests/data/drafts", "examples", "stdlib"] {
        collect(
            &std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(folder),
            &mut found,
        );
    }
    found.sort();
    found
}

/// Drafts of the tests, most of them wrong, by path.
pub fn wrong_drafts() -> Vec<(String, String)> {
    let mut found = Vec::new();
    for folder in [
        "tests",
        "crates/language/src/report/explain",
        "stdlib",
        "examples",
    ] {
        collect(
            &std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(folder),
            &mut found,
        );
    }
    found.sort();
    found
}

fn collect(folder: &std::path::Path, found: &mut Vec<(String, String)>) {
    let Ok(entries) = std::fs::read_dir(folder) else {
        return;
    };
    for path in entries.map(|entry| entry.unwrap().path()) {
        if path.is_dir() {
            collect(&path, found);
        } else if path.extension().is_some_and(|e| e == "draft") {
            found.push((
                path.display().to_string(),
                std::fs::read_to_string(&path).unwrap(),
            ));
        }
    }
}
