//! What these tests share: both readers, and every draft there is.

#![allow(dead_code, reason = "each test takes what it needs")]

use oaktag_language::report::SourceMap;
use std::path::{Path, PathBuf};
use tree_sitter::{Node, Parser, Tree};

#[path = "../../../tests/support/chance.rs"]
pub mod chance;
#[path = "../../../tests/support/ebnf.rs"]
pub mod ebnf;
#[path = "../../../tests/support/generate.rs"]
pub mod generate;

/// The folder of the whole project.
pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// A file of the project.
pub fn file(path: &str) -> String {
    std::fs::read_to_string(root().join(path)).unwrap()
}

/// A parser of drafts.
pub fn parser() -> Parser {
    let mut parser = Parser::new();
    parser
        .set_language(&tree_sitter_oaktag::LANGUAGE.into())
        .unwrap();
    parser
}

/// The tree of a text.
pub fn tree(text: &str) -> Tree {
    parser().parse(text, None).unwrap()
}

/// Where the tree has its first error, or lacks something.
pub fn first_error(tree: &Tree) -> Option<String> {
    fn within(node: Node) -> String {
        let mut cursor = node.walk();
        let deeper = node
            .children(&mut cursor)
            .find(|node| node.has_error() || node.is_missing());
        // What is missing may be an end of a sentence, which is no node to be seen.
        deeper.map_or_else(|| format!("{} {}", node.kind(), place(node)), within)
    }
    let root = tree.root_node();
    root.has_error().then(|| within(root))
}

fn place(node: Node) -> String {
    let at = node.start_position();
    format!("at {}:{}", at.row + 1, at.column + 1)
}

/// What the program's own reader says of a text: the code and place of each message, and none if it reads it well.
pub fn told(text: &str) -> Vec<String> {
    let mut map = SourceMap::new();
    let file = map.add("text.draft", text);
    let parsed = oaktag_language::syntax::parse(&map, file);
    let told = parsed.diagnostics.iter();
    told.map(|told| {
        let before = &text[..(told.place.start as usize).min(text.len())];
        let line = before.matches('\n').count() + 1;
        format!("{} in line {line}", told.code.name())
    })
    .collect()
}

/// Every draft of the project, sound or not, by its path: files of their own, and those between fences in the pages.
pub fn drafts() -> Vec<(String, String)> {
    let mut found = Vec::new();
    for folder in ["examples", "stdlib", "tests", "crates", "docs", "benches"] {
        collect(&root().join(folder), &mut found);
    }
    for page in [
        "README.md",
        "docs/desk.md",
        "docs/house.md",
        "docs/library.md",
        "docs/phrases.md",
        "docs/reference.md",
        "docs/tour.md",
    ] {
        found.extend(fenced(page, &file(page)));
    }
    found.sort();
    found
}

/// The examples and the library, which are sound.
pub fn examples() -> Vec<(String, String)> {
    let mut found = Vec::new();
    for folder in ["examples", "stdlib", "tests/data/drafts"] {
        collect(&root().join(folder), &mut found);
    }
    found.sort();
    found
}

fn collect(folder: &Path, found: &mut Vec<(String, String)>) {
    let Ok(entries) = std::fs::read_dir(folder) else {
        return;
    };
    for path in entries.map(|entry| entry.unwrap().path()) {
        if path.is_dir() {
            collect(&path, found);
        } else if path.extension().is_some_and(|ending| ending == "draft") {
            // A fuzzer's find need not be letters.
            if let Ok(text) = std::fs::read_to_string(&path) {
                found.push((path.display().to_string(), text));
            }
        }
    }
}

/// Whatever stands behind "```draft" in a page.
fn fenced(page: &str, text: &str) -> Vec<(String, String)> {
    let mut found = Vec::new();
    let mut open: Option<(usize, String)> = None;
    for (n, line) in text.lines().enumerate() {
        match &mut open {
            Some((begun, draft)) if line.starts_with("```") => {
                found.push((format!("{page}:{begun}"), std::mem::take(draft)));
                open = None;
            }
            Some((_, draft)) => {
                draft.push_str(line);
                draft.push('\n');
            }
            None if line.starts_with("```draft") => open = Some((n + 1, String::new())),
            None => {}
        }
    }
    found
}
