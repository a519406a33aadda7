//! The front end: what it reads, what it says, and that nothing breaks it.

use crate::support;

mod drafts;
mod hostile;
mod layout;
mod letters;
mod messages;
mod tree;

use oaktag_language::report::{SourceMap, terminal};
use oaktag_language::syntax::{Parsed, parse};
use oaktag_language::voice::LengthUnit;

/// Reads one text.
fn read(text: &str) -> Parsed {
    let mut map = SourceMap::new();
    let file = map.add("test.draft", text);
    parse(&map, file)
}

/// What a person would see.
fn shown(text: &str) -> String {
    let mut map = SourceMap::new();
    let file = map.add("test.draft", text);
    terminal::render(
        &map,
        &parse(&map, file).diagnostics,
        LengthUnit::default(),
        false,
    )
}

/// Reads a text that has nothing wrong.
fn sound(text: &str) -> Parsed {
    let parsed = read(text);
    assert!(parsed.diagnostics.is_empty(), "{text}\n{}", shown(text));
    parsed
}
