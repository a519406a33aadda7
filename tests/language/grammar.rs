//! The grammar file against the parser, both ways: what the file derives the parser reads, what the parser must read the
//! file derives, and no part of the file is idle.

use crate::support;

use oaktag_language::report::{FileId, SourceMap, terminal};
use oaktag_language::syntax::messages::Messages;
use oaktag_language::syntax::{parse, prepare};
use oaktag_language::voice::LengthUnit;
use support::generate::Generator;
use support::recogniser::{Recogniser, Seen, seen};

fn tokens_of(text: &str) -> Vec<Seen> {
    let mut messages = Messages::default();
    let (tokens, _) = prepare(text, FileId::default(), &mut messages);
    assert!(messages.is_empty(), "{messages:?}");
    seen(text, &tokens)
}

/// What the parser says, as a person would see it.
fn complaints(text: &str) -> String {
    let mut map = SourceMap::new();
    let file = map.add("generated.draft", text);
    terminal::render(
        &map,
        &parse(&map, file).diagnostics,
        LengthUnit::default(),
        false,
    )
}

#[test]
fn sentences_of_the_grammar_are_read_by_the_parser() {
    let grammar = support::grammar();
    let generator = Generator::new(&grammar);
    for seed in 0..3000 {
        let text = generator.plain(seed, 3);
        let complaints = complaints(&text);
        assert!(complaints.is_empty(), "seed {seed}:\n{text}\n{complaints}");
    }
}

#[test]
fn drafts_are_accepted_by_the_grammar() {
    let recogniser = Recogniser::new(&support::grammar());
    for (name, text) in support::all_drafts() {
        let tokens = tokens_of(&text);
        if let Err(at) = recogniser.accepts("file", &tokens) {
            let shown: Vec<_> = tokens[at.saturating_sub(8)..(at + 1).min(tokens.len())]
                .iter()
                .map(|t| &t.letters)
                .collect();
            panic!("{name}: the grammar stops at the end of {shown:?}");
        }
    }
}

#[test]
fn drafts_are_accepted_by_the_parser() {
    for (name, text) in support::all_drafts() {
        let complaints = complaints(&text);
        assert!(complaints.is_empty(), "{name}:\n{complaints}");
    }
}

/// Without a rule the grammar is no longer whole, and without any choice of a rule some draft is refused.
#[test]
fn no_part_of_the_grammar_is_idle() {
    let grammar = support::grammar();
    for name in grammar.rules.keys() {
        let mut less = grammar.clone();
        less.rules.remove(name);
        let text = written(&less);
        assert!(
            support::ebnf::Grammar::read(&text).is_err(),
            "the grammar is whole without {name}"
        );
    }
    let recogniser = Recogniser::new(&grammar);
    let samples = samples(&recogniser);
    let idle: Vec<_> = (0..recogniser.len())
        .filter(|n| !is_needed(&recogniser, *n, &samples))
        .map(|n| recogniser.origin(n))
        .collect();
    assert!(idle.is_empty(), "no draft needs:\n{}", idle.join("\n"));
}

/// Whether some sample is refused without a production.
fn is_needed(recogniser: &Recogniser, production: usize, samples: &[Sample]) -> bool {
    let less = recogniser.without(production);
    samples
        .iter()
        .filter(|sample| sample.completed.contains(&production))
        .any(|sample| less.accepts(sample.rule, &sample.tokens).is_err())
}

/// A sentence of a draft, with the productions that may have a part in it.
struct Sample {
    rule: &'static str,
    tokens: Vec<Seen>,
    completed: std::collections::HashSet<usize>,
}

/// The sentences of all drafts one by one, the shortest first, and the whole of the shortest drafts.
fn samples(recogniser: &Recogniser) -> Vec<Sample> {
    let mut found: Vec<(&'static str, Vec<Seen>)> = Vec::new();
    for (_, text) in support::all_drafts() {
        let tokens = tokens_of(&text);
        found.extend(
            sentences(&tokens)
                .into_iter()
                .filter(|s| s[0].letters != "edition")
                .map(|s| ("sentence", s)),
        );
        if tokens.len() < 400 {
            found.push(("file", tokens));
        }
    }
    found.sort_by_key(|(_, tokens)| tokens.len());
    let sample = |(rule, tokens): (&'static str, Vec<Seen>)| Sample {
        rule,
        completed: recogniser.completed(rule, &tokens).unwrap(),
        tokens,
    };
    found.into_iter().map(sample).collect()
}

/// Cuts the tokens of a file into its sentences, without their ends.
fn sentences(tokens: &[Seen]) -> Vec<Vec<Seen>> {
    let (mut depth, mut found, mut open) = (0, Vec::new(), Vec::new());
    for token in tokens {
        match token.letters.as_str() {
            "{" => depth += 1,
            "}" => depth -= 1,
            _ => {}
        }
        if depth == 0 && token.class == "END" {
            found.push(std::mem::take(&mut open));
        } else {
            open.push(token.clone());
        }
    }
    found
}

/// A grammar in its notation again, as far as the reader looks at it.
fn written(grammar: &support::ebnf::Grammar) -> String {
    use support::ebnf::Part;
    fn part(p: &Part) -> String {
        match p {
            Part::Literal(letters) => format!("'{letters}'"),
            Part::Token(name) | Part::Rule(name) => name.clone(),
            Part::All(parts) => {
                format!("({})", parts.iter().map(part).collect::<Vec<_>>().join(" "))
            }
            Part::OneOf(parts) => {
                format!("({})", parts.iter().map(part).collect::<Vec<_>>().join("|"))
            }
            Part::Optional(p) => format!("{}?", part(p)),
            Part::Any(p) => format!("{}*", part(p)),
            Part::Some(p) => format!("{}+", part(p)),
        }
    }
    let start = grammar.rules.get_key_value(&grammar.start);
    let others = grammar
        .rules
        .iter()
        .filter(|(name, _)| **name != grammar.start);
    start
        .into_iter()
        .chain(others)
        .map(|(name, p)| format!("{name} ::= {}\n", part(p)))
        .collect()
}
