//! The queries: every word of a draft has the colour that the other kept grammar of colours gives it, blocks fold, and the
//! outline has what a draft names.

use crate::support;

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
