//! Whole drafts are read without a message.

use oaktag::report::SourceMap;
use oaktag::syntax::parse;

/// Every draft under `tests/data/drafts`.
fn drafts() -> Vec<(String, String)> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/drafts");
    let mut found: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .map(|path| {
            (
                path.file_name().unwrap().to_string_lossy().into_owned(),
                std::fs::read_to_string(path).unwrap(),
            )
        })
        .collect();
    found.sort();
    found
}

#[test]
fn drafts_are_read_without_a_message() {
    for (name, text) in drafts() {
        let mut map = SourceMap::new();
        let file = map.add(&*name, &text, false);
        let parsed = parse(&map, file);
        assert_eq!(parsed.diagnostics, [], "{name}");
        assert!(parsed.tree.sentences.len() > 5, "{name}");
    }
}
