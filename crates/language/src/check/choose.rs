//! `if`: each branch is checked from the same state, and a name that every branch draws with one kind goes on afterwards.

use super::checker::Checker;
use super::panel::MOST_COPIED;
use super::program::{Branches, Node, Op, SiteId, Slot};
use super::scope::{Binding, Bound, Layer, Names, Sheet};
use crate::kind::Kind;
use crate::report::{Code, Diagnostic, Span};
use crate::syntax::tree::{self, ExprKind, Relation};
use std::collections::BTreeSet;
use std::rc::Rc;
use std::sync::Arc;

/// What a branch did and the names it left.
pub(super) struct Branch {
    pub(super) ops: Vec<Op>,
    pub(super) layers: Vec<Layer>,
}

impl<'a> Checker<'a> {
    /// `if … { … } else { … }`
    pub(super) fn choose(&mut self, choice: &'a tree::If, span: Span) -> Vec<Op> {
        let (open, otherwise) = self.open_branches(&choice.branches, choice.otherwise.as_ref());
        if open.is_empty() {
            return otherwise.map_or_else(Vec::new, |block| self.sentences(&block.sentences));
        }
        let mut conditions = Vec::new();
        for (condition, _) in &open {
            conditions.push(self.condition(condition));
        }
        let conditions_fine = !self.here.broken;
        let names: usize = self.here.layers.iter().map(|layer| layer.names.len()).sum();
        self.copied = self.copied.saturating_add(names * (open.len() + 1));
        if self.copied > MOST_COPIED {
            self.too_much_copied(span);
            if let Some(layer) = self.layer() {
                layer.is_open = true;
            }
            return Vec::new();
        }
        let before = self.here.layers.clone();
        let mut branches = Vec::new();
        let outer = self.here.hangs_on.len();
        let seams_wait = self.round().is_some();
        for ((_, block), condition) in open.iter().zip(&conditions) {
            if seams_wait {
                self.here.hangs_on.push(condition.clone());
            }
            branches.push(self.branch(&before, &block.sentences));
            if let Some(last) = self.here.hangs_on.pop().filter(|_| seams_wait) {
                self.here.hangs_on.push(Node::Not(Box::new(last)));
            }
        }
        let nothing: &'a [tree::Sentence] = &[];
        let otherwise = otherwise.map_or(nothing, |block| &block.sentences);
        branches.push(self.branch(&before, otherwise));
        self.here.hangs_on.truncate(outer);
        self.here.layers = before;
        // Names drawn on one branch alone point at the condition.
        let span = open.first().map_or(span, |(condition, _)| condition.span);
        self.merge_layers(&mut branches, span);
        if open
            .iter()
            .any(|(condition, _)| asks_whether_drawn(condition))
        {
            self.forget_one_branch(span);
        }
        self.here.broken = !conditions_fine;
        if self.here.broken {
            for branch in &branches {
                self.lose_ops(&branch.ops);
            }
            return Vec::new();
        }
        let otherwise = branches.pop().map(|branch| branch.ops).unwrap_or_default();
        let branches = conditions
            .into_iter()
            .zip(branches)
            .map(|(condition, branch)| (condition, branch.ops))
            .collect();
        vec![Op::If(Box::new(Branches {
            branches,
            otherwise,
        }))]
    }

    /// Where only a call settles which branch is looked at, a name of one branch may well be there.
    fn forget_one_branch(&mut self, span: Span) {
        for layer in &mut self.here.layers {
            let there = |binding: &Binding| !matches!(binding.bound, Bound::OnOneBranch(at, _) if at == span);
            if !layer.names.values().all(there) {
                Rc::make_mut(&mut layer.names).retain(|_, binding| there(binding));
                layer.is_open = true;
            }
        }
    }

    fn branch(&mut self, before: &[Layer], sentences: &'a [tree::Sentence]) -> Branch {
        self.here.layers = before.to_vec();
        // What one branch refuses another may not.
        let outer = std::mem::replace(&mut self.here.refused, false);
        let ops = self.sentences(sentences);
        self.here.refused = outer;
        Branch {
            ops,
            layers: std::mem::take(&mut self.here.layers),
        }
    }

    pub(super) fn merge_layers(&mut self, branches: &mut [Branch], span: Span) {
        for at in 0..self.here.layers.len() {
            let names: Vec<Rc<Names>> = branches
                .iter()
                .map(|b| {
                    b.layers
                        .get(at)
                        .map(|l| Rc::clone(&l.names))
                        .unwrap_or_default()
                })
                .collect();
            let merged = self.merge_names(&names, branches, span);
            if let Some(layer) = self.here.layers.get_mut(at) {
                layer.names = merged;
            }
        }
    }

    fn merge_names(
        &mut self,
        names: &[Rc<Names>],
        branches: &mut [Branch],
        span: Span,
    ) -> Rc<Names> {
        if let Some((first, others)) = names.split_first()
            && others.iter().all(|other| Rc::ptr_eq(first, other))
        {
            return Rc::clone(first);
        }
        let all: BTreeSet<Arc<str>> = names
            .iter()
            .flat_map(|names| names.keys().cloned())
            .collect();
        let mut merged = Names::new();
        for name in all {
            let bindings: Vec<Option<Binding>> = names
                .iter()
                .map(|names| names.get(&name).cloned())
                .collect();
            let Some(first) = bindings.iter().flatten().next().cloned() else {
                continue;
            };
            // One name from here on: who reads it reads what every branch drew.
            for other in bindings.iter().flatten().skip(1) {
                if !Rc::ptr_eq(&other.used, &first.used) {
                    other.used.set(true);
                }
            }
            let bound = self.merge_bindings(&name, &bindings, branches, span);
            let mut binding = first.redrawn(bound, first.span);
            let alike = bindings.iter().flatten();
            if alike.clone().all(|other| other.lines == first.lines) {
                binding.lines = first.lines.clone();
            }
            let same = |other: &Binding| match (&other.items, &first.items) {
                (Some(one), Some(other)) => one.same_names(other),
                (one, other) => one.is_none() && other.is_none(),
            };
            if alike.clone().all(same) {
                binding.items = first.items.clone();
            } else {
                let message = format!(
                    "`{name}` holds panels with other names in one branch than in another."
                );
                self.report(Diagnostic::error(Code::PanelsDiffer, first.span, message));
                self.here.broken = true;
            }
            binding.traced = alike.clone().all(|other| other.traced);
            merged.insert(name, binding);
        }
        Rc::new(merged)
    }

    fn merge_bindings(
        &mut self,
        name: &str,
        bindings: &[Option<Binding>],
        branches: &mut [Branch],
        span: Span,
    ) -> Bound {
        let bounds: Option<Vec<&Bound>> = bindings
            .iter()
            .map(|b| b.as_ref().map(|b| &b.bound))
            .collect();
        let Some(bounds) = bounds else {
            return on_one_branch(bindings, span);
        };
        if let Some(values) = all_values(&bounds) {
            return self.merge_values(name, &values, bindings, branches);
        }
        let sheets: Option<Vec<&Rc<Sheet>>> = bounds
            .iter()
            .map(|b| {
                if let Bound::Sheet(sheet) = b {
                    Some(sheet)
                } else {
                    None
                }
            })
            .collect();
        match sheets.as_deref() {
            Some([first, rest @ ..]) if rest.iter().all(|sheet| Rc::ptr_eq(sheet, first)) => {
                Bound::Sheet(Rc::clone(first))
            }
            Some(sheets) => {
                let names: Vec<Rc<Names>> = sheets
                    .iter()
                    .map(|sheet| Rc::clone(&sheet.members))
                    .collect();
                let last = sheets
                    .last()
                    .map(|sheet| Sheet::clone(sheet))
                    .unwrap_or_default();
                let alike = sheets.iter().all(|sheet| sheet.laid_on == last.laid_on);
                let laid_on = last.laid_on.clone().filter(|_| alike);
                let members = self.merge_names(&names, branches, span);
                Bound::Sheet(Rc::new(Sheet {
                    members,
                    laid_on,
                    ..last
                }))
            }
            None => on_one_branch(bindings, span),
        }
    }

    fn merge_values(
        &mut self,
        name: &str,
        values: &[ValueBound],
        bindings: &[Option<Binding>],
        branches: &mut [Branch],
    ) -> Bound {
        let Some(ValueBound { slot, kind, site }) = values.first().cloned() else {
            return Bound::OnOneBranch(Span::default(), Vec::new());
        };
        if values.iter().all(|other| other.slot == slot) {
            return Bound::Value { slot, kind, site };
        }
        let mut kinds = values.iter().map(|value| &value.kind);
        let joined = kinds.try_fold(Kind::Unknown, |all, kind| all.joined(kind));
        let Some(joined) = joined else {
            let places: Vec<Span> = bindings.iter().flatten().map(|b| b.span).collect();
            let (first, last) = (
                places.first().copied().unwrap_or_default(),
                places.last().copied().unwrap_or_default(),
            );
            let other = values
                .last()
                .map_or(String::new(), |value| value.kind.with_article());
            let message = format!(
                "`{name}` is {} in one branch and {other} in another.",
                kind.with_article()
            );
            self.report(
                Diagnostic::error(Code::WrongKind, last, message)
                    .at(other)
                    .see(first, kind.with_article()),
            );
            return Bound::Value {
                slot,
                kind: Kind::Unknown,
                site,
            };
        };
        let to = self.slot();
        for (value, branch) in values.iter().zip(branches) {
            let from = value.slot;
            branch.ops.push(Op::Carry { from, to });
        }
        Bound::Value {
            slot: to,
            kind: joined,
            site,
        }
    }
}

/// Whether a condition asks for a name, which a call will settle.
fn asks_whether_drawn(condition: &tree::Expr) -> bool {
    match &condition.kind {
        ExprKind::Bracketed(inner) | ExprKind::Not(inner) => asks_whether_drawn(inner),
        ExprKind::Both(a, b) | ExprKind::Either(a, b) => {
            asks_whether_drawn(a) || asks_whether_drawn(b)
        }
        ExprKind::Is { relation, .. } => matches!(relation.as_ref(), Relation::Drawn),
        _ => false,
    }
}

/// A name that not every branch draws, with what those leave that do.
fn on_one_branch(bindings: &[Option<Binding>], span: Span) -> Bound {
    let mut drawn = Vec::new();
    for binding in bindings.iter().flatten() {
        match &binding.bound {
            Bound::Value {
                slot,
                kind,
                site: Some(site),
            } => drawn.push((*slot, kind.clone(), *site)),
            Bound::OnOneBranch(_, inner) => drawn.extend(inner.iter().cloned()),
            Bound::Value { site: None, .. } | Bound::Sheet(_) => {}
        }
    }
    Bound::OnOneBranch(span, drawn)
}

/// What a name stands for in a branch where it is a value.
#[derive(Clone)]
struct ValueBound {
    slot: Slot,
    kind: Kind,
    site: Option<SiteId>,
}

fn all_values(bounds: &[&Bound]) -> Option<Vec<ValueBound>> {
    let value = |bound: &&Bound| match bound {
        Bound::Value { slot, kind, site } => Some(ValueBound {
            slot: *slot,
            kind: kind.clone(),
            site: *site,
        }),
        _ => None,
    };
    bounds.iter().map(value).collect()
}
