//! The queries: every word of a draft has the colour that the other kept grammar of colours gives it, blocks fold, and the
//! outline has what a draft names.

use crate::support;
use fancy_regex::Regex;
use serde_json::Value;
use std::collections::BTreeMap;

use tree_sitter::{Query, QueryCursor, StreamingIterator, Tree};

fn query(source: &str) -> Query {
    Query::new(&tree_sitter_oaktag::LANGUAGE.into(), source).unwrap()
}

/// Each capture: its name and its bytes, in the order of the query's patterns.
fn captures(source: &str, tree: &Tree, text: &str) -> Vec<(String, std::ops::Range<usize>)> {
    let query = query(source);
    let mut cursor = QueryCursor::new();
    let mut found = Vec::new();
    let mut matches = cursor.matches(&query, tree.root_node(), text.as_bytes());
    while let Some(one) = matches.next() {
        for capture in one.captures() {
            let name = query.capture_names()[capture.index as usize].to_owned();
            found.push((one.pattern_index, name, capture.node.byte_range()));
        }
    }
    found.sort_by_key(|(pattern, _, _)| *pattern);
    found
        .into_iter()
        .map(|(_, name, place)| (name, place))
        .collect()
}

/// What a word is, whatever a grammar calls it.
fn kind(name: &str) -> &'static str {
    let kinds = [
        ("comment", "comment"),
        ("string", "text"),
        ("constant.character.escape", "text"),
        ("constant.numeric", "figure"),
        ("keyword.other.unit", "figure"),
        ("number", "figure"),
        ("keyword.operator.word", "link"),
        ("keyword.control", "sentence"),
        ("storage.type", "kind"),
        ("type", "kind"),
        ("support.constant", "direction or constant"),
        ("constant", "direction or constant"),
        ("boolean", "direction or constant"),
        ("keyword.operator", "link"),
        ("keyword", "sentence"),
        ("operator", "sign"),
        ("variable", "name"),
        ("function", "name"),
        ("property", "name"),
        ("attribute", "name"),
        ("punctuation", ""),
        ("meta", ""),
    ];
    let found = kinds.iter().find(|(known, _)| name.starts_with(known));
    found.unwrap_or_else(|| panic!("no kind for {name}")).1
}

/// The kind of each byte, by the query.
fn by_query(text: &str) -> Vec<&'static str> {
    let tree = support::tree(text);
    let mut of = vec![""; text.len()];
    for (name, place) in captures(tree_sitter_oaktag::HIGHLIGHTS, &tree, text) {
        let whole = name == "string" && of[place.clone()].iter().any(|kind| !kind.is_empty());
        if !whole {
            of[place].fill(kind(&name));
        }
    }
    of
}

/// A part of the other grammar, as far as it uses its notation.
struct Rules {
    grammar: Value,
    /// Each pattern as it is written, and made.
    made: BTreeMap<String, Regex>,
}

impl Rules {
    fn read() -> Self {
        let text = support::file("grammar/oaktag.tmLanguage.json");
        let grammar = serde_json::from_str(&text).unwrap();
        let mut made = BTreeMap::new();
        patterns_in(&grammar, &mut made);
        Self { grammar, made }
    }

    fn pattern(&self, written: &Value) -> &Regex {
        &self.made[written.as_str().unwrap()]
    }

    fn named<'a>(&'a self, patterns: &'a Value) -> Vec<&'a Value> {
        let patterns = patterns.as_array().into_iter().flatten();
        patterns
            .map(
                |pattern| match pattern.get("include").and_then(Value::as_str) {
                    Some(name) => &self.grammar["repository"][name.trim_start_matches('#')],
                    None => pattern,
                },
            )
            .collect()
    }

    /// Colours a line from a place on, up to `end`; gives where it stopped.
    fn colour(
        &self,
        line: &str,
        mut at: usize,
        patterns: &Value,
        end: Option<&Regex>,
        of: &mut [&'static str],
    ) -> usize {
        let rules = self.named(patterns);
        loop {
            let closes = end.and_then(|end| end.find_from_pos(line, at).unwrap());
            let found = rules.iter().enumerate().filter_map(|(n, rule)| {
                let found = self
                    .pattern(rule.get("match").or_else(|| rule.get("begin"))?)
                    .captures_from_pos(line, at)
                    .unwrap()?;
                Some((found.get(0).unwrap().start(), n, found))
            });
            let first = found.min_by_key(|(start, n, _)| (*start, *n));
            if let Some(closes) = closes
                && first
                    .as_ref()
                    .is_none_or(|(start, _, _)| closes.start() <= *start)
            {
                return closes.end();
            }
            let Some((start, n, found)) = first else {
                return line.len();
            };
            let rule = rules[n];
            let name = rule.get("name").and_then(Value::as_str);
            let mut stop = found.get(0).unwrap().end();
            if let Some(ends) = rule.get("end") {
                let ends = self.pattern(ends);
                if name.is_some_and(|name| name.starts_with("string")) {
                    // Till the end of the text its letters are its own, and what stands in holes is coloured anew.
                    of[start..].fill("text");
                    stop = self.colour(line, stop, &rule["patterns"], Some(ends), of);
                    of[stop..].fill("");
                } else {
                    of[start..].fill("");
                    stop = self.colour(line, stop, &rule["patterns"], Some(ends), of);
                    of[stop..].fill("text");
                }
            } else {
                if let Some(name) = name {
                    of[start..stop].fill(kind(name));
                }
                for (group, named) in rule
                    .get("captures")
                    .and_then(Value::as_object)
                    .into_iter()
                    .flatten()
                {
                    if let Some(group) = found.get(group.parse().unwrap()) {
                        of[group.range()].fill(kind(named["name"].as_str().unwrap()));
                    }
                }
            }
            at = stop.max(at + usize::from(stop == at));
            if at >= line.len() {
                return line.len();
            }
        }
    }

    /// The kind of each byte.
    fn by_rules(&self, text: &str) -> Vec<&'static str> {
        let mut of = Vec::with_capacity(text.len());
        for line in text.split_inclusive('\n') {
            let letters = line.trim_end_matches('\n');
            let mut kinds = vec![""; letters.len()];
            self.colour(letters, 0, &self.grammar["patterns"], None, &mut kinds);
            kinds.resize(line.len(), "");
            of.extend(kinds);
        }
        of
    }
}

fn patterns_in(value: &Value, made: &mut BTreeMap<String, Regex>) {
    match value {
        Value::Object(parts) => parts
            .iter()
            .for_each(|(key, value)| match (key.as_str(), value) {
                ("match" | "begin" | "end", Value::String(pattern)) => {
                    made.insert(pattern.clone(), Regex::new(pattern).unwrap());
                }
                _ => patterns_in(value, made),
            }),
        Value::Array(parts) => parts.iter().for_each(|part| patterns_in(part, made)),
        _ => {}
    }
}

/// Both kept grammars of colours give the same kind to the same word, in every example.
#[test]
fn both_grammars_of_colours_agree() {
    let rules = Rules::read();
    let word =
        Regex::new(r#"[\p{L}_][\p{L}\p{M}\p{N}_.]*|[0-9][0-9A-Za-z.%]*|[^\s\p{L}\p{N}]"#).unwrap();
    let mut departures: BTreeMap<String, String> = BTreeMap::new();
    let mut words = 0;
    for (name, text) in support::examples() {
        let (query, rules) = (by_query(&text), rules.by_rules(&text));
        for found in word.find_iter(&text).map(Result::unwrap) {
            words += 1;
            let (one, other) = (query[found.start()], rules[found.start()]);
            let sign = matches!((one, other), ("sign", "link") | ("link", "sign"))
                && !found.as_str().starts_with(char::is_alphabetic);
            if one != other && !sign {
                let line = text[..found.start()].matches('\n').count() + 1;
                let place = name.rsplit('/').next().unwrap();
                let what = format!(
                    "{:?} is a {one} by the query and a {other} by the rules",
                    found.as_str()
                );
                departures
                    .entry(what)
                    .or_insert_with(|| format!("{place}:{line}"));
            }
        }
    }
    assert!(words > 30_000, "{words}");
    let shown: Vec<_> = departures
        .iter()
        .map(|(what, place)| format!("{what}, as in {place}"))
        .collect();
    assert!(
        shown.is_empty(),
        "{} departures\n{}",
        shown.len(),
        shown.join("\n")
    );
}

/// Every letter of a draft that is no space has a colour or is a bracket or a comma.
#[test]
fn nothing_is_without_a_colour() {
    for (name, text) in support::examples() {
        let tree = support::tree(&text);
        let mut of = vec![false; text.len()];
        for (_, place) in captures(tree_sitter_oaktag::HIGHLIGHTS, &tree, &text) {
            of[place].fill(true);
        }
        let bare = text
            .char_indices()
            .find(|(at, letter)| !letter.is_whitespace() && !of[*at]);
        assert!(bare.is_none(), "{name}: {bare:?}");
    }
}

#[test]
fn blocks_fold_and_the_outline_names_what_a_draft_draws() {
    let text = support::file("examples/deck-vest.draft");
    let tree = support::tree(&text);
    let folds: Vec<_> = captures(tree_sitter_oaktag::FOLDS, &tree, &text)
        .into_iter()
        .map(|(_, place)| text[place].lines().next().unwrap().to_owned())
        .collect();
    let braces = text
        .lines()
        .filter(|line| line.trim_end().ends_with('{') && !line.trim_start().starts_with(['}', '#']))
        .count();
    assert_eq!(folds.len(), braces, "{folds:#?}");
    let named: Vec<_> = captures(tree_sitter_oaktag::TAGS, &tree, &text)
        .into_iter()
        .filter(|(name, _)| name == "name")
        .map(|(_, place)| text[place].to_owned())
        .collect();
    for wanted in [
        "Deck vest, Lower Sound Ferries",
        "back",
        "front",
        "Lower the neck until the head goes through",
        "shoulder",
        "side",
    ] {
        assert!(
            named.iter().any(|name| name == wanted),
            "{wanted} in {named:#?}"
        );
    }
}

#[test]
fn names_are_defined_where_they_are_drawn() {
    let text = "body girth = 96cm\npanel back {\n  point nape = origin\n  line side = from nape to nape down girth\n}\n";
    let found = captures(tree_sitter_oaktag::LOCALS, &support::tree(text), text);
    let of = |kind: &str| -> Vec<&str> {
        found
            .iter()
            .filter(|(name, _)| name == kind)
            .map(|(_, place)| &text[place.clone()])
            .collect()
    };
    let mut drawn = of("local.definition");
    drawn.sort_unstable();
    assert_eq!(drawn, ["back", "girth", "nape", "side"]);
    assert_eq!(
        of("local.reference")
            .iter()
            .filter(|name| **name == "nape")
            .count(),
        3
    );
}
