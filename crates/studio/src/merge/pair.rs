//! Which sentence of one version is which of another: what says the same first, in order, then what is about the same, then
//! what stands in the place of one that is gone and is most like it.

use super::nodes::{Block, Id, Node, Part};
use similar::{Algorithm, DiffOp};
use std::collections::{BTreeMap, BTreeSet};

/// So much of what two blocks hold is the same where one is the other under another name.
const MOSTLY: f64 = 0.5;
/// Beyond so many pairs of sentences nobody asks what became of which: they went and came.
const MOST_PAIRS: usize = 1_000_000;

/// Numbers the sentences of the version that the others came from.
pub(super) fn number(base: &mut Block, next: &mut Id) {
    base.each_mut(&mut |node| {
        node.id = *next;
        *next += 1;
    });
}

/// Gives the sentences of a version the numbers of those they came from; what is new gets numbers of its own.
pub(super) fn number_after(base: &Block, side: &mut Block, next: &mut Id) {
    let pairs = pairs(&base.nodes, &side.nodes);
    for (at, node) in side.nodes.iter_mut().enumerate() {
        let Some(before) = pairs.get(&at).and_then(|was| base.nodes.get(*was)) else {
            number_alone(node, next);
            continue;
        };
        node.id = before.id;
        let mut blocks = before.blocks();
        for part in &mut node.parts {
            let Part::Block(block) = part else { continue };
            match blocks.next() {
                Some(before) => number_after(before, block, next),
                None => number(block, next),
            }
        }
    }
}

fn number_alone(node: &mut Node, next: &mut Id) {
    node.id = *next;
    *next += 1;
    for part in &mut node.parts {
        if let Part::Block(block) = part {
            number(block, next);
        }
    }
}

/// What both versions added alike gets one number; numbers from `fresh` on are of what is new.
pub(super) fn unify(ours: &Block, theirs: &mut Block, fresh: Id) {
    let mut taken = BTreeSet::new();
    for node in &mut theirs.nodes {
        let of_base = node.id < fresh;
        let same = ours.nodes.iter().find(|other| match of_base {
            true => other.id == node.id,
            false => other.id >= fresh && !taken.contains(&other.id) && other.means(node),
        });
        let Some(same) = same else { continue };
        taken.insert(same.id);
        if !of_base {
            number_as(same, node);
            continue;
        }
        let mut blocks = same.blocks();
        for part in &mut node.parts {
            if let (Part::Block(block), Some(other)) = (part, blocks.next()) {
                unify(other, block, fresh);
            }
        }
    }
}

fn number_as(same: &Node, node: &mut Node) {
    node.id = same.id;
    let mut blocks = same.blocks();
    for part in &mut node.parts {
        if let (Part::Block(block), Some(other)) = (part, blocks.next()) {
            for (node, same) in block.nodes.iter_mut().zip(&other.nodes) {
                number_as(same, node);
            }
        }
    }
}

/// For each place of the side that came from one of the base, that place.
fn pairs(base: &[Node], side: &[Node]) -> BTreeMap<usize, usize> {
    let said = |nodes: &[Node]| nodes.iter().map(Node::whole).collect::<Vec<_>>();
    let (before, after) = (said(base), said(side));
    let mut found = Found {
        base,
        side,
        pairs: BTreeMap::new(),
        used: BTreeSet::new(),
    };
    for op in similar::capture_diff_slices(Algorithm::Patience, &before, &after) {
        if let DiffOp::Equal {
            old_index,
            new_index,
            len,
        } = op
        {
            (0..len).for_each(|n| found.pair(new_index + n, old_index + n));
        }
    }
    // What says the same in another place was moved.
    found.by(&mut |was, at| (before.get(was) == after.get(at)).then_some(1.0));
    found.by(&mut |was, at| {
        let (old, new) = (base.get(was)?, side.get(at)?);
        let is_named = !old.about.names.is_empty() || old.about.is_one;
        (is_named && old.about == new.about).then(|| alike(old, new))
    });
    found.by(&mut |was, at| {
        let (old, new) = (base.get(was)?, side.get(at)?);
        let share = alike(old, new);
        let renamed = old.about.word == new.about.word && is_renamed(old, new, share);
        renamed.then_some(share)
    });
    found.by_place();
    found.pairs
}

/// Whether one is the other under another name: the same value, or mostly the same sentences.
fn is_renamed(old: &Node, new: &Node, share: f64) -> bool {
    if !old.is_leaf() || !new.is_leaf() {
        return !old.is_leaf() && !new.is_leaf() && share >= MOSTLY;
    }
    let value = |node: &Node| {
        let words = node.words().next()?;
        let (_, value) = words.meaning.split_once(" = ")?;
        Some(value.to_owned())
    };
    value(old).is_some_and(|value_of| Some(value_of) == value(new))
}

/// How much of two sentences is the same, from 0 to 1.
fn alike(old: &Node, new: &Node) -> f64 {
    let words = |node: &Node| -> Vec<String> {
        if node.is_leaf() {
            let own = node.words().flat_map(|words| words.meaning.split(' '));
            return own.map(str::to_owned).collect();
        }
        let nodes = node.blocks().flat_map(|block| &block.nodes);
        nodes.map(Node::whole).collect()
    };
    let (before, after) = (words(old), words(new));
    let mut left: BTreeMap<&str, usize> = BTreeMap::new();
    for word in &before {
        *left.entry(word).or_default() += 1;
    }
    let mut same = 0;
    for word in &after {
        if let Some(count) = left.get_mut(word.as_str()).filter(|count| **count > 0) {
            *count -= 1;
            same += 1;
        }
    }
    f64::from(2 * same) / (before.len() + after.len()).max(1) as f64
}

struct Found<'a> {
    base: &'a [Node],
    side: &'a [Node],
    /// Of the side, to the base.
    pairs: BTreeMap<usize, usize>,
    used: BTreeSet<usize>,
}

impl Found<'_> {
    fn pair(&mut self, at: usize, was: usize) {
        self.pairs.insert(at, was);
        self.used.insert(was);
    }

    /// Pairs each that is left with the one left that fits it best; among equals with the first behind what stands before it.
    fn by(&mut self, fits: &mut dyn FnMut(usize, usize) -> Option<f64>) {
        let left = |all: usize| all - self.pairs.len();
        if left(self.side.len()).saturating_mul(left(self.base.len())) > MOST_PAIRS {
            return;
        }
        for at in 0..self.side.len() {
            if self.pairs.contains_key(&at) {
                continue;
            }
            let before = self.pairs.range(..at).next_back().map(|(_, was)| *was);
            let mut best: Option<(f64, bool, usize)> = None;
            for was in (0..self.base.len()).filter(|was| !self.used.contains(was)) {
                let Some(share) = fits(was, at) else { continue };
                let is_behind = before.is_none_or(|before| was > before);
                let is_better = best.is_none_or(|(known, behind, _)| {
                    share > known || (share == known && is_behind && !behind)
                });
                if is_better {
                    best = Some((share, is_behind, was));
                }
            }
            if let Some((.., was)) = best {
                self.pair(at, was);
            }
        }
    }

    /// Pairs sentences without a name, of one sort, between the same neighbours, in their order.
    fn by_place(&mut self) {
        let mut from = 0;
        let mut rows: Vec<(usize, usize)> = Vec::new();
        for at in 0..self.side.len() {
            if let Some(was) = self.pairs.get(&at) {
                from = *was + 1;
                continue;
            }
            let Some(new) = self.side.get(at) else {
                continue;
            };
            let stands = |was: &usize| {
                let old = self.base.get(*was);
                !self.used.contains(was)
                    && !rows.iter().any(|(_, other)| other == was)
                    && old.is_some_and(|old| may_replace(old, new))
            };
            let until = (from..self.base.len()).find(|was| self.used.contains(was));
            let was = (from..until.unwrap_or(self.base.len())).find(stands);
            rows.extend(was.map(|was| (at, was)));
        }
        for (at, was) in rows {
            self.pair(at, was);
        }
    }
}

/// Whether one sentence may stand for another that is gone: of one sort, and neither bears a name of its own.
fn may_replace(old: &Node, new: &Node) -> bool {
    old.about.word == new.about.word
        && !old.about.is_one
        && !new.about.is_one
        && old.is_leaf() == new.is_leaf()
}
