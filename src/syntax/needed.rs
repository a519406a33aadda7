//! Which operations of the library a draft needs. A draft uses a few of the library's many; the others are left unread,
//! so that a garment of ten lines is not slower for every garment the library knows.

use std::collections::{BTreeMap, BTreeSet};

/// A module cut at the operations that stand at its left margin.
struct Cut<'t> {
    text: &'t str,
    /// Head and byte range of each.
    operations: Vec<(&'t str, std::ops::Range<usize>)>,
}

/// Module texts with the operations that nothing needs blanked out, every other byte where it was, and the heads left out.
pub fn needed(
    modules: &[(&str, &'static str)],
    draft_words: &BTreeSet<&str>,
) -> (Vec<String>, Vec<&'static str>) {
    let cuts: Vec<Cut<'static>> = modules.iter().map(|(_, text)| cut(text)).collect();
    let mut bodies: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for cut in &cuts {
        for (head, range) in &cut.operations {
            let body = cut.text.get(range.clone()).unwrap_or("");
            bodies.entry(head).or_default().push(body);
        }
    }
    let mut kept: BTreeSet<&str> = BTreeSet::new();
    let mut open: Vec<&str> = bodies
        .keys()
        .filter(|head| draft_words.contains(**head))
        .copied()
        .collect();
    while let Some(head) = open.pop() {
        if !kept.insert(head) {
            continue;
        }
        for body in bodies.get(head).into_iter().flatten() {
            open.extend(
                words(body).filter(|word| bodies.contains_key(word) && !kept.contains(word)),
            );
        }
    }
    let mut left_out = Vec::new();
    let texts = cuts
        .iter()
        .map(|cut| {
            let mut text = Vec::with_capacity(cut.text.len());
            let mut at = 0;
            for (head, range) in &cut.operations {
                if kept.contains(head) {
                    continue;
                }
                left_out.push(*head);
                text.extend_from_slice(cut.text.get(at..range.start).unwrap_or("").as_bytes());
                text.resize(range.end, b' ');
                at = range.end;
            }
            text.extend_from_slice(cut.text.get(at..).unwrap_or("").as_bytes());
            String::from_utf8(text).unwrap_or_default()
        })
        .collect();
    (texts, left_out)
}

/// The words of a text: names, and whatever looks like one in remarks and strings, which does no harm.
pub fn words(text: &str) -> impl Iterator<Item = &str> {
    text.as_bytes()
        .split(|byte| !(byte.is_ascii_alphanumeric() || *byte == b'_'))
        .filter(|word| !word.is_empty())
        .filter_map(|word| std::str::from_utf8(word).ok())
}

/// The modules a module text uses.
pub fn uses(text: &str) -> impl Iterator<Item = &str> {
    text.lines()
        .filter_map(|line| line.strip_prefix("use ").map(str::trim))
}

fn cut(text: &str) -> Cut<'_> {
    const BEGIN: &str = "\noperation ";
    let mut operations: Vec<(&str, std::ops::Range<usize>)> = Vec::new();
    let mut starts: Vec<usize> = text.match_indices(BEGIN).map(|(at, _)| at + 1).collect();
    starts.push(text.len());
    for pair in starts.windows(2) {
        if let [start, end] = *pair {
            let head = text
                .get(start + BEGIN.len() - 1..end)
                .and_then(|rest| words(rest).next())
                .unwrap_or("");
            operations.push((head, start..end));
        }
    }
    Cut { text, operations }
}
