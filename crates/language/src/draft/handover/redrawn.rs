//! Lines as they were before a `redraw`: they stay on the paper.

use super::super::machine::Machine;
use crate::check::program::{Op, Slot};
use crate::kind::Kind;
use crate::phrase::Value;
use oaktag_geometry::path::Path;
use std::collections::BTreeMap;
use std::sync::Arc;

/// A line that lies this near to where it lay has not moved, in millimetres: a pencil is broader.
const SAME: f64 = 0.05;
/// How often a line may have been redrawn, of which this tells.
const MOST: usize = 16;

/// Where values come from, by the places they are in.
#[derive(Default)]
struct Ways {
    /// What a `redraw` put something else in the place of.
    replaced: BTreeMap<Slot, Slot>,
    /// What was drawn in branches or blocks.
    carried: BTreeMap<Slot, Vec<Slot>>,
}

impl Machine<'_> {
    /// Of each line on the last sheet of its panel, what a sentence of this draft or an import redrew, the newest first.
    pub(super) fn redrawn(&self) -> Vec<(String, Path)> {
        let mut ways = Ways::default();
        self.look(&self.program.body, &mut ways);
        let Ways { replaced, carried } = ways;
        if replaced.is_empty() {
            return Vec::new();
        }
        let mut found = Vec::new();
        for name in &self.program.names {
            if !matches!(name.kind, Kind::Line | Kind::Curve) {
                continue;
            }
            let mut slot = name.slot;
            for _ in 0..MOST {
                let own = self.drawn_in(slot, &carried);
                let Some(old) = replaced.get(&own) else { break };
                if let (Some(new), Some(old)) = (self.line_in(own), self.line_in(*old))
                    && !old.is_endless()
                    && !old.is_nothing()
                    && !new.covers(old, SAME)
                {
                    found.push((name.name.clone(), Path::clone(old)));
                }
                slot = *old;
            }
        }
        found
    }

    /// What these sentences redraw and carry on, in branches and blocks too.
    fn look(&self, ops: &[Op], ways: &mut Ways) {
        for op in ops {
            match op {
                Op::Draw(drawing) => {
                    let targets = self.program.site(drawing.site).map(|site| &site.targets);
                    let redrawn = targets
                        .into_iter()
                        .flatten()
                        .filter_map(|target| Some((target.slot, target.replaces?)));
                    ways.replaced.extend(redrawn);
                }
                Op::Carry { from, to } => ways.carried.entry(*to).or_default().push(*from),
                Op::Try(trial) => self.look(&trial.body, ways),
                Op::If(choice) => {
                    for (_, body) in &choice.branches {
                        self.look(body, ways);
                    }
                    self.look(&choice.otherwise, ways);
                }
                _ => {}
            }
        }
    }

    fn line_in(&self, slot: Slot) -> Option<&Arc<Path>> {
        match self.value(slot)? {
            Value::Path(path) => Some(path),
            _ => None,
        }
    }

    /// Where a value was drawn that a branch or a block carried on.
    fn drawn_in(&self, slot: Slot, carried: &BTreeMap<Slot, Vec<Slot>>) -> Slot {
        let Some(line) = self.line_in(slot) else {
            return slot;
        };
        let from = carried.get(&slot).into_iter().flatten();
        let mut from = from.filter(|from| **from != slot);
        let it = from.find(|from| {
            self.line_in(**from)
                .is_some_and(|one| Arc::ptr_eq(one, line))
        });
        it.map_or(slot, |from| self.drawn_in(*from, carried))
    }
}
