//! The highlighting grammar against the tokens: the same words, the same figures, the same names and texts.

use crate::support;

use fancy_regex::Regex;
use oaktag_language::report::FileId;
use oaktag_language::syntax::lexer::lex;
use oaktag_language::syntax::messages::Messages;
use oaktag_language::syntax::tokens::Tok;
use oaktag_language::syntax::{reserved, starts};
use serde_json::Value;
use std::collections::BTreeSet;

fn highlighting() -> Value {
    let path = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/grammar/oaktag.tmLanguage.json"
    );
    serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()
}

/// The pattern of a part.
fn pattern(part: &str) -> Regex {
    let highlighting = highlighting();
    Regex::new(highlighting["repository"][part]["match"].as_str().unwrap()).unwrap()
}

/// The longest row of words that a part's pattern chooses from.
fn words(part: &str) -> BTreeSet<String> {
    let pattern = pattern(part);
    let rows = Regex::new(r"(?:[a-z]+\|)+[a-z]+").unwrap();
    let found = rows.find_iter(pattern.as_str());
    let longest = found
        .map(|row| row.unwrap().as_str())
        .max_by_key(|row| row.len());
    longest.unwrap().split('|').map(str::to_string).collect()
}

fn set(words: &[&str]) -> BTreeSet<String> {
    words.iter().map(|word| word.to_string()).collect()
}

#[test]
fn every_pattern_is_one_and_every_part_that_is_named_is_there() {
    fn visit(value: &Value, parts: &serde_json::Map<String, Value>) {
        match value {
            Value::Object(object) => {
                for key in ["match", "begin", "end"] {
                    if let Some(pattern) = object.get(key).and_then(Value::as_str) {
                        Regex::new(pattern).unwrap();
                    }
                }
                if let Some(include) = object.get("include").and_then(Value::as_str) {
                    assert!(
                        parts.contains_key(include.trim_start_matches('#')),
                        "{include}"
                    );
                }
                object.values().for_each(|value| visit(value, parts));
            }
            Value::Array(items) => items.iter().for_each(|value| visit(value, parts)),
            _ => {}
        }
    }
    let highlighting = highlighting();
    visit(
        &highlighting,
        highlighting["repository"].as_object().unwrap(),
    );
}

#[test]
fn the_words_are_those_of_the_tokens() {
    assert_eq!(words("linking"), set(reserved::LINKS));
    assert_eq!(words("direction"), set(reserved::DIRECTIONS));
    let others: BTreeSet<_> = words("block").union(&words("constant")).cloned().collect();
    assert_eq!(others, set(reserved::OTHERS));
    assert_eq!(words("kind"), set(starts::KINDS));
    let mut sentences = set(starts::SENTENCES);
    sentences.extend(set(starts::PIECE_SENTENCES));
    sentences.extend(set(starts::SEAM_SENTENCES));
    let sentences: BTreeSet<_> = sentences.difference(&set(starts::KINDS)).cloned().collect();
    assert_eq!(words("sentence"), sentences);
}

/// Each token of every draft is matched, whole, by the pattern of its sort, and by no sort of reserved word if it is a name.
#[test]
fn tokens_are_matched_whole() {
    let parts = [
        "figure",
        "linking",
        "direction",
        "constant",
        "block",
        "operator",
        "name",
    ];
    let patterns: Vec<_> = parts.iter().map(|part| (*part, pattern(part))).collect();
    let whole = |part: &str, letters: &str| {
        let (_, pattern) = patterns.iter().find(|(name, _)| *name == part).unwrap();
        let found = pattern.find(letters).unwrap();
        found.is_some_and(|found| found.as_str() == letters)
    };
    for (name, text) in support::all_drafts() {
        for (tok, span) in lex(&text, FileId::default(), &mut Messages::default()).tokens {
            let letters = &text[span.range()];
            let part = match tok {
                Tok::Figure => "figure",
                // Several words that are read as one begin and end as links do.
                Tok::Link(_) if letters.contains(' ') => continue,
                Tok::Link(_) => "linking",
                Tok::Direction(_) => "direction",
                Tok::Yes | Tok::No | Tok::Origin => "constant",
                Tok::If | Tok::Otherwise | Tok::Each => "block",
                tok if tok.is_operator() => "operator",
                Tok::Name | Tok::Dotted => {
                    for reserved in ["linking", "direction", "constant", "block"] {
                        assert!(!whole(reserved, letters), "{name}: {letters}");
                    }
                    "name"
                }
                _ => continue,
            };
            assert!(whole(part, letters), "{name}: {letters} is no {part}");
        }
    }
}

/// The first word of a line is coloured where it begins a sentence, and a name that holds it is not.
#[test]
fn sentence_words_are_known_by_their_place() {
    let word = |part: &str, line: &str| {
        let found = pattern(part).captures(line).unwrap()?;
        Some(found[1].to_owned())
    };
    let sentence = |line: &str| word("sentence", line);
    assert_eq!(sentence("  step \"Frame\" {").as_deref(), Some("step"));
    assert_eq!(
        sentence("seam a joins b to c { allow 1cm }").as_deref(),
        Some("seam")
    );
    assert_eq!(sentence("line a = from step_1 to note"), None);
    assert_eq!(sentence("    body.girth / 2"), None);
    let kind = |line: &str| word("kind", line);
    assert_eq!(kind("  point a = origin").as_deref(), Some("point"));
    assert_eq!(kind("gives list of curve {").as_deref(), Some("list"));
    assert_eq!(kind("with (length deep = 3cm)").as_deref(), Some("length"));
    assert_eq!(kind("  redraw a = length_1"), None);
    assert_eq!(
        kind("angle turned = (angle between a and b)").as_deref(),
        Some("angle")
    );
    assert_eq!(kind("at (direction of neck at front)"), None);
}
