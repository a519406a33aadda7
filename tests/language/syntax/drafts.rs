//! Whole drafts are read without a message, and damaged ones never break the reader.

use crate::syntax::support::chance::Chance;
use crate::syntax::support::generate::Generator;
use crate::syntax::support::{all_drafts, grammar};
use crate::syntax::{read, sound};
use proptest::prelude::*;

#[test]
fn drafts_are_read_without_a_message() {
    for (name, text) in all_drafts() {
        assert!(!sound(&text).tree.sentences.is_empty(), "{name}");
    }
}

/// Takes out, doubles, swaps or replaces a few bytes or lines.
fn damaged(text: &str, chance: &mut Chance) -> String {
    const PUT_IN: &[&str] = &[
        "(", ")", "[", "]", "{", "}", "\"", "\n", ",", "=", "-", "½", "“", "é", "to ", " until ",
        "#", "\0", "😀", "if ", "15 3/4in",
    ];
    let mut letters: Vec<char> = text.chars().collect();
    for _ in 0..=chance.below(6) {
        let at = chance.below(letters.len().max(1)).min(letters.len());
        let to = (at + chance.below(40)).min(letters.len());
        match chance.below(4) {
            0 => drop(letters.drain(at..to)),
            1 => {
                let copy = letters[at..to].to_vec();
                let place = chance.below(letters.len() + 1);
                letters.splice(place..place, copy);
            }
            2 => letters.truncate(letters.len() - chance.below(letters.len() / 4 + 1)),
            _ => drop(letters.splice(at..at, chance.one_of(PUT_IN).chars())),
        }
    }
    letters.into_iter().collect()
}

/// Every place of every message lies in the text, between letters.
fn well_placed(text: &str) {
    for message in read(text).diagnostics {
        let others = message.see.iter().map(|(span, _)| *span);
        for span in std::iter::once(message.place).chain(others) {
            assert!(text.get(span.range()).is_some(), "{message:?}");
        }
        assert!(!message.message.is_empty());
    }
}

#[test]
fn damaged_drafts_get_messages_in_their_text() {
    let drafts = all_drafts();
    let mut chance = Chance::new(7);
    for _ in 0..1500 {
        let (_, text) = chance.one_of(&drafts);
        well_placed(&damaged(text, &mut chance));
    }
}

#[test]
fn damaged_generated_drafts_get_messages_in_their_text() {
    let grammar = grammar();
    let generator = Generator::new(&grammar);
    for seed in 0..500 {
        let text = generator.wild(seed, 6);
        well_placed(&damaged(&text, &mut Chance::new(seed)));
    }
}

proptest! {
    #[test]
    fn any_letters_are_read(text in "\\PC{0,200}") {
        well_placed(&text);
    }

    #[test]
    fn any_words_are_read(words in proptest::collection::vec(
        proptest::sample::select(vec![
            "point", "a", "=", "from", "to", "(", ")", "{", "}", "[", "]", "\n", ",", "3cm", "\"x\"", "\"{", "}\"", "if", "else",
            "each", "in", "until", "try", "between", "and", "of", "is", "within", "longer", "than", "-", "right", "clockwise",
            "panel", "step", "piece", "seam", "joins", "operation", "gives", "outline", "with", "toward", "square", "along",
            "not", "or", "<", "give", "cut", "alike", "notch", "at", "joints", "from", "mirrored", "below", "94", "cm",
        ]), 0..60,
    )) {
        well_placed(&words.join(" "));
    }
}

/// Each bracket of each draft left out, or doubled: a message stands on its line or the next, or points there, in 95 of
/// 100 cases at least.
#[test]
fn a_bracket_too_few_or_too_many_is_told_where_it_is() {
    let (mut cases, mut near) = (0, 0);
    let mut far = Vec::new();
    for (name, text) in all_drafts() {
        for (at, bracket) in text.char_indices().filter(|(_, c)| "(){}[]".contains(*c)) {
            for put in [String::new(), format!("{bracket}{bracket}")] {
                let before = &text[..at];
                let in_text = before.rsplit('\n').next().unwrap().matches('"').count() % 2 == 1;
                if in_text {
                    continue;
                }
                let changed = format!("{before}{put}{}", &text[at + 1..]);
                let line = before.matches('\n').count();
                let told = told_lines(&changed);
                cases += 1;
                if told.iter().any(|told| told.abs_diff(line) <= 1) {
                    near += 1;
                } else {
                    far.push(format!(
                        "{name}:{} {bracket} as {put:?}: told {told:?}",
                        line + 1
                    ));
                }
            }
        }
    }
    assert!(
        near * 100 >= cases * 95,
        "{near} of {cases}\n{}",
        far.join("\n")
    );
}

/// The lines, from 0, that messages point at.
fn told_lines(text: &str) -> Vec<usize> {
    let line = |byte: u32| text[..byte as usize].matches('\n').count();
    let labels = |d: oaktag_language::report::Diagnostic| {
        let others: Vec<_> = d.see.iter().map(|(span, _)| *span).collect();
        let places = std::iter::once(d.place).chain(others);
        places.map(|span| line(span.start)).collect::<Vec<_>>()
    };
    read(text)
        .diagnostics
        .into_iter()
        .flat_map(labels)
        .collect()
}
