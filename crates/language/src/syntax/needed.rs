//! Which operations of the library a draft needs. A draft uses a few of the library's many; the others are left unread,
//! so that a garment of ten lines is not slower for every garment the library knows.

use crate::report::FileId;
use std::collections::{BTreeMap, BTreeSet};

/// A module of the library, cut at its operations.
#[derive(Debug)]
pub struct Module {
    /// Its number among the library's.
    pub number: u32,
    /// What a draft calls it.
    pub name: &'static str,
    /// The module as it stands in the library.
    pub text: &'static str,
    /// The modules it uses itself.
    pub uses: &'static [&'static str],
    /// Its operations, in the order of the text.
    pub operations: &'static [Operation],
}

impl Module {
    /// What its places are numbered under.
    pub fn id(&self) -> FileId {
        FileId::of_library(self.number)
    }
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

/// What of some modules a draft needs.
#[derive(Debug)]
pub struct Needed {
    /// Heads of the operations that are read.
    kept: BTreeSet<&'static str>,
    /// Heads of those that are not.
    pub left_out: Vec<&'static str>,
}

impl Needed {
    /// What a draft of such words needs.
    pub fn of(modules: &[&'static Module], draft_words: &BTreeSet<&str>) -> Self {
        let mut by_head: BTreeMap<&str, Vec<&'static Operation>> = BTreeMap::new();
        let operations = || modules.iter().flat_map(|module| module.operations);
        for operation in operations() {
            by_head.entry(operation.head).or_default().push(operation);
        }
        let mut kept = BTreeSet::new();
        let mut open: Vec<&'static str> = operations()
            .map(|operation| operation.head)
            .filter(|head| draft_words.contains(*head))
            .collect();
        while let Some(head) = open.pop() {
            if kept.insert(head) {
                let bodies = by_head.get(head).into_iter().flatten();
                open.extend(bodies.flat_map(|operation| operation.names));
            }
        }
        let heads = operations().map(|operation| operation.head);
        let left_out = heads.filter(|head| !kept.contains(head)).collect();
        Self { kept, left_out }
    }

    /// Whether an operation is read.
    pub(super) fn keeps(&self, head: &str) -> bool {
        self.kept.contains(head)
    }

    /// A module's text with the operations that nothing needs blanked out, every other byte where it was.
    pub fn text(&self, module: &Module) -> String {
        let mut text = String::with_capacity(module.text.len());
        let mut at = 0;
        for operation in module.operations {
            if self.kept.contains(operation.head) {
                continue;
            }
            text.push_str(module.text.get(at..operation.start).unwrap_or(""));
            while text.len() < operation.end {
                let short = BLANK.get(..operation.end - text.len());
                text.push_str(short.unwrap_or(BLANK));
            }
            at = operation.end;
        }
        text.push_str(module.text.get(at..).unwrap_or(""));
        text
    }
}
