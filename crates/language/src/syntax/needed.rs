//! Which operations of the library a draft needs. A draft uses a few of the library's many; the others are left unread,
//! so that a garment of ten lines is not slower for every garment the library knows.

use std::collections::{BTreeMap, BTreeSet};

/// A module of the library, cut at its operations.
#[derive(Debug)]
pub struct Module {
    /// What a draft calls it.
    pub name: &'static str,
    /// The module as it stands in the library.
    pub text: &'static str,
    /// The modules it uses itself.
    pub uses: &'static [&'static str],
    /// Its operations, in the order of the text.
    pub operations: &'static [Operation],
}

/// An operation of a module.
#[derive(Debug)]
pub struct Operation {
    /// The word that a call begins with.
    pub head: &'static str,
    /// Where it begins in the text, in bytes.
    pub start: usize,
    /// The byte after its last.
    pub end: usize,
    /// Heads of operations of the library that its body names.
    pub names: &'static [&'static str],
}

const BLANK: &str = "                                                                ";

/// Module texts with the operations that nothing needs blanked out, every other byte where it was, and the heads left out.
pub fn needed(
    modules: &[&'static Module],
    draft_words: &BTreeSet<&str>,
) -> (Vec<String>, Vec<&'static str>) {
    let mut by_head: BTreeMap<&str, Vec<&Operation>> = BTreeMap::new();
    for operation in modules.iter().flat_map(|module| module.operations) {
        by_head.entry(operation.head).or_default().push(operation);
    }
    let mut kept: BTreeSet<&str> = BTreeSet::new();
    let mut open: Vec<&str> = by_head
        .keys()
        .filter(|head| draft_words.contains(**head))
        .copied()
        .collect();
    while let Some(head) = open.pop() {
        if kept.insert(head) {
            let bodies = by_head.get(head).into_iter().flatten();
            open.extend(bodies.flat_map(|operation| operation.names));
        }
    }
    let mut left_out = Vec::new();
    let texts = modules
        .iter()
        .map(|module| {
            let mut text = String::with_capacity(module.text.len());
            let mut at = 0;
            for operation in module.operations {
                if kept.contains(operation.head) {
                    continue;
                }
                left_out.push(operation.head);
                text.push_str(module.text.get(at..operation.start).unwrap_or(""));
                while text.len() < operation.end {
                    let short = BLANK.get(..operation.end - text.len());
                    text.push_str(short.unwrap_or(BLANK));
                }
                at = operation.end;
            }
            text.push_str(module.text.get(at..).unwrap_or(""));
            text
        })
        .collect();
    (texts, left_out)
}
