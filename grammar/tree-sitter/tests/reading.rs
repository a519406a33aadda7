//! The parser for editors against the program's own reader, both ways: what one reads well the other does.

use crate::support;

use support::chance::Chance;
use support::generate::Generator;
use support::{first_error, told, tree};

/// What both readers make of a text, where they differ.
fn departure(text: &str) -> Option<String> {
    let (tree, told) = (tree(text), told(text));
    match (first_error(&tree), told.as_slice()) {
        (None, [first, ..]) => Some(format!("read well here, and the program says {first}")),
        (Some(error), []) => Some(format!("read by the program, and not here: {error}")),
        _ => None,
    }
}

fn none(departures: &[String]) {
    assert!(
        departures.is_empty(),
        "{} departures:\n{}",
        departures.len(),
        departures.join("\n")
    );
}

/// Every draft of the project and of its pages, the wrong ones among them: an error where the program cannot read it, and none
/// where it can, whatever else may be wrong with it.
#[test]
fn every_draft_is_read_as_the_program_reads_it() {
    let drafts = support::drafts();
    let broken = drafts
        .iter()
        .filter(|(_, text)| !told(text).is_empty())
        .count();
    assert!(
        drafts.len() > 900 && broken > 90,
        "{broken} of {} cannot be read",
        drafts.len()
    );
    let departures = drafts
        .iter()
        .filter_map(|(name, text)| Some(format!("{name}: {}", departure(text)?)));
    none(&departures.collect::<Vec<_>>());
}

#[test]
fn sentences_of_the_written_grammar_are_read() {
    let grammar = support::ebnf::Grammar::read(&support::file("grammar/oaktag.ebnf")).unwrap();
    let generator = Generator::new(&grammar);
    let mut departures = Vec::new();
    for seed in 0..6000 {
        let text = if seed % 2 == 0 {
            generator.plain(seed, 3)
        } else {
            generator.wild(seed, 3)
        };
        if let Some(error) = first_error(&tree(&text)) {
            departures.push(format!("seed {seed}: {error}\n{text}"));
        }
    }
    none(&departures);
}

/// One slip of the pen in a sentence of a sound draft: a word left out, doubled, exchanged, put in, a line cut or joined.
#[test]
fn slips_are_read_as_the_program_reads_them() {
    let examples = support::examples();
    let count = std::env::var("OAKTAG_SLIPS").map_or(3000, |count| count.parse().unwrap());
    let words: Vec<String> = examples
        .iter()
        .flat_map(|(_, text)| parts(text))
        .filter(|part| !part.trim().is_empty())
        .collect();
    let mut departures = Vec::new();
    let mut broken = 0;
    for seed in 0..count {
        let mut chance = Chance::new(seed);
        let (name, text) = chance.one_of(&examples);
        let text = slipped(text, &words, &mut chance);
        broken += usize::from(!told(&text.0).is_empty());
        if let Some(departure) = departure(&text.0) {
            departures.push(format!("seed {seed}, {name}, {}: {departure}", text.1));
        }
    }
    assert!(
        broken > 0 && broken < usize::try_from(count).unwrap(),
        "{broken} of {count} cannot be read"
    );
    none(&departures);
}

/// Words, figures, texts, comments, signs, and what stands between them.
fn parts(text: &str) -> Vec<String> {
    let pattern = fancy_regex::Regex::new(
        r#""[^"\n]*"|#[^\n]*|[\p{L}_][\p{L}\p{M}\p{N}_.]*|[0-9][0-9A-Za-z.%/]*|\n|[ \t]+|<=|>=|."#,
    )
    .unwrap();
    pattern
        .find_iter(text)
        .map(|part| part.unwrap().as_str().to_owned())
        .collect()
}

/// The text with a slip in it, and what was done.
fn slipped(text: &str, words: &[String], chance: &mut Chance) -> (String, String) {
    let mut parts = parts(text);
    let solid: Vec<usize> = (0..parts.len())
        .filter(|n| !parts[*n].trim().is_empty() && !parts[*n].starts_with('#'))
        .collect();
    let at = *chance.one_of(&solid);
    let near = *solid.iter().find(|n| **n > at).unwrap_or(&at);
    let (was, word) = (parts[at].clone(), chance.one_of(words).clone());
    let line = parts[..at].iter().filter(|part| *part == "\n").count() + 1;
    let what = match chance.below(8) {
        0 => {
            parts[at].clear();
            "left out".to_owned()
        }
        1 => {
            parts[at] = format!("{was} {was}");
            "doubled".to_owned()
        }
        2 => {
            parts.swap(at, near);
            format!("exchanged with {:?}", parts[at])
        }
        3 | 4 => {
            parts[at] = word;
            format!("became {:?}", parts[at])
        }
        5 => {
            parts[at] = format!("{was} {word}");
            format!("followed by {word:?}")
        }
        6 => {
            parts[at] = format!("\n{was}");
            "put on a new line".to_owned()
        }
        _ => {
            match parts.iter().skip(at).position(|part| part == "\n") {
                Some(end) => parts[at + end] = " ".to_owned(),
                None => parts[at].clear(),
            }
            "and its line joined to the next".to_owned()
        }
    };
    (parts.concat(), format!("line {line}: {was:?} {what}"))
}

/// After any edits a tree that was read on is what a fresh one would be: the scanner's state stands at every token.
#[test]
fn a_tree_that_was_read_on_is_a_fresh_one() {
    let examples = support::examples();
    let mut parser = support::parser();
    for seed in 0..150 {
        let mut chance = Chance::new(seed);
        let (name, text) = chance.one_of(&examples);
        let mut text = text.clone();
        let mut tree = parser.parse(&text, None).unwrap();
        for _ in 0..4 {
            let places: Vec<usize> = text.char_indices().map(|(at, _)| at).collect();
            let from = *chance.one_of(&places);
            let until = places
                .iter()
                .copied()
                .find(|at| *at >= from + chance.below(6))
                .unwrap_or(text.len());
            let put: &&str =
                chance.one_of(&["", "\n", " ", "(", "}", "of ", "a", "# ", ", ", "\"", "{"]);
            let edit = edit(&text, from, until, put);
            text.replace_range(from..until, put);
            tree.edit(&edit);
            tree = parser.parse(&text, Some(&tree)).unwrap();
            let fresh = parser.parse(&text, None).unwrap();
            // How an error is got over may differ, whether there is one may not.
            if fresh.root_node().has_error() {
                assert!(tree.root_node().has_error(), "seed {seed}, {name}");
            } else {
                assert_eq!(
                    tree.root_node().to_sexp(),
                    fresh.root_node().to_sexp(),
                    "seed {seed}, {name}"
                );
            }
        }
    }
}

fn edit(text: &str, from: usize, until: usize, put: &str) -> tree_sitter::InputEdit {
    let place = |text: &str, at: usize| {
        let before = &text[..at];
        let line = before.rfind('\n').map_or(0, |end| end + 1);
        tree_sitter::Point::new(before.matches('\n').count(), at - line)
    };
    let mut after = text.to_owned();
    after.replace_range(from..until, put);
    tree_sitter::InputEdit {
        start_byte: from,
        old_end_byte: until,
        new_end_byte: from + put.len(),
        start_position: place(text, from),
        old_end_position: place(text, until),
        new_end_position: place(&after, from + put.len()),
    }
}
