//! What an `each` has laid out, seen from its seams and from elsewhere: seams that wait until all copies are there, since
//! they may name the next one; an edge of every copy; and the messages where a name of the block is used outside it.

use super::checker::Checker;
use super::lay_out::Copy;
use super::program::{Branches, Node, Op, StepId};
use super::scope::{Layer, LayerKind, Round, nearest_word};
use crate::report::{Code, Diagnostic, Span};
use crate::syntax::tree::{self, NEXT, TextPart};
use std::collections::BTreeSet;
use std::rc::Rc;

/// A seam in the block of an `each`, until all copies are there.
pub(super) struct Waiting<'a> {
    seam: &'a tree::Seam,
    span: Span,
    /// The names of its copy, as they are where it stands.
    layer: Layer,
    copy: usize,
    /// Conditions of the branches it stands in.
    hangs_on: Vec<Node>,
    step: Option<StepId>,
}

impl<'a> Checker<'a> {
    /// Whether a seam waits for the other copies.
    pub(super) fn waits(&mut self, seam: &'a tree::Seam, span: Span) -> bool {
        let mut layers = self.here.layers.iter().rev();
        let Some(layer) = layers.find(|layer| layer.round.is_some()) else {
            return false;
        };
        let layer = layer.clone();
        let Some(round) = layer.round.clone() else {
            return false;
        };
        self.waiting.push(Waiting {
            seam,
            span,
            layer,
            copy: round.copy,
            hangs_on: self.here.hangs_on.clone(),
            step: self.here.step,
        });
        true
    }

    /// Seams between the copies, now that all are there.
    pub(super) fn waited(
        &mut self,
        waiting: Vec<Waiting<'a>>,
        copies: &[Copy],
        all_round: bool,
    ) -> Vec<Op> {
        let mut ops = Vec::new();
        let mut wrong: BTreeSet<Span> = BTreeSet::new();
        for one in &waiting {
            let told = self.diagnostics.len();
            let outer = std::mem::replace(&mut self.here.step, one.step);
            let mut done = self.between_copies(one, copies, all_round);
            self.here.step = outer;
            let place = one.seam.name.span;
            if wrong.contains(&place) {
                self.diagnostics.truncate(told);
            }
            let fresh = self.diagnostics.get(told..).unwrap_or_default();
            if fresh.iter().any(Diagnostic::is_error) {
                wrong.insert(place);
            }
            let copy = copies.get(one.copy);
            let guard = copy.and_then(|copy| copy.guard.as_ref());
            for condition in one.hangs_on.iter().rev().chain(guard) {
                done = when(condition.clone(), done, Vec::new());
            }
            ops.extend(done);
        }
        ops
    }

    /// A seam of one copy. To the next one it is sewn where there is one; all round, the last is sewn to the first.
    fn between_copies(&mut self, one: &Waiting<'a>, copies: &[Copy], all_round: bool) -> Vec<Op> {
        let to_next = one.seam.edges().any(|edge| {
            let first = edge.name.words.first();
            first.is_some_and(|word| word.text.starts_with(NEXT) && word.text.contains(' '))
        });
        if !to_next {
            return self.waited_seam(one, None);
        }
        let first = copies.first().filter(|_| all_round);
        let Some(next) = copies.get(one.copy + 1) else {
            return first.map_or_else(Vec::new, |first| self.waited_seam(one, Some(first)));
        };
        let sewn = self.waited_seam(one, Some(next));
        let Some(guard) = next.guard.clone() else {
            return sewn;
        };
        let closed = first.map_or_else(Vec::new, |first| {
            // One seam, sewn to the one or to the other.
            let name = format!("{}{}", one.seam.name.text, one.layer.suffix());
            self.seam_names.remove(&name);
            self.waited_seam(one, Some(first))
        });
        when(guard, sewn, closed)
    }

    fn waited_seam(&mut self, one: &Waiting<'a>, next: Option<&Copy>) -> Vec<Op> {
        let mut layer = one.layer.clone();
        if let (Some(round), Some(next)) = (&layer.round, next) {
            let round = Round {
                next: Some(next.round.suffix.clone()),
                ..Round::clone(round)
            };
            layer.round = Some(Rc::new(round));
            for (name, binding) in next.names.iter() {
                layer.put(format!("{NEXT} {name}").into(), binding.clone());
            }
        }
        let name = format!("{}{}", one.seam.name.text, layer.suffix());
        self.here.layers.push(layer);
        let (ops, fine) = self.unbroken(|c| c.lower_seam(one.seam, one.span));
        self.here.layers.pop();
        let all = self
            .laid_seams
            .entry(one.seam.name.text.to_string())
            .or_default();
        if !all.contains(&name) {
            all.push(name);
        }
        if fine { ops } else { Vec::new() }
    }

    /// `each gore.waist` in a side of a seam: that edge of every copy there is.
    pub(super) fn each_copy<T>(
        &mut self,
        name: &'a tree::Name,
        mut edges: impl FnMut(&mut Self) -> Vec<T>,
    ) -> Vec<(T, Option<Node>)> {
        let Some(first) = name.words.first() else {
            return Vec::new();
        };
        let Some(copies) = self.here.laid.get(&first.text).cloned() else {
            if self
                .here
                .file
                .in_each
                .get(&first.text)
                .is_some_and(|(_, laid)| *laid)
            {
                // Farther down, or told why it cannot be laid out.
                let message = format!(
                    "`{}` is laid out only further down, or not at all.",
                    first.text
                );
                let help = "Move this seam below the `each`.";
                self.fail(Diagnostic::error(Code::NotLaidOut, name.span, message).help(help));
                return Vec::new();
            }
            let message = format!(
                "`each` takes what an `each` lays out, and `{}` is no such name.",
                first.text
            );
            let mut told = Diagnostic::error(Code::NotLaidOut, name.span, message);
            let names = self.here.laid.keys().map(AsRef::as_ref);
            if let Some(near) = nearest_word(&first.text, names) {
                told = told.meant(near);
            }
            self.fail(told);
            return Vec::new();
        };
        let mut found = Vec::new();
        for copy in copies.iter() {
            let mut layer = Layer::new(LayerKind::Round, "", self.prefix());
            layer.names = Rc::clone(&copy.names);
            layer.round = Some(Rc::clone(&copy.round));
            self.here.layers.push(layer);
            let told = self.diagnostics.len();
            let own = edges(self);
            self.here.layers.pop();
            let is_wrong = self.diagnostics.len() > told;
            found.extend(own.into_iter().map(|edge| (edge, copy.guard.clone())));
            if is_wrong {
                break;
            }
        }
        found
    }

    /// The letters of a heading; in a copy its number follows, unless the words give figures themselves.
    pub(super) fn numbered_words(&self, text: &tree::Text) -> String {
        let letters = Self::letters(text);
        match self.number_after(text) {
            Some(number) => format!("{letters}{number}"),
            None => letters,
        }
    }

    /// What follows the words of a heading in a copy: " 3".
    pub(super) fn number_after(&self, text: &tree::Text) -> Option<String> {
        let has_hole = text
            .parts
            .iter()
            .any(|part| matches!(part, TextPart::Hole(_)));
        let round = self.round().filter(|_| !has_hole)?;
        Some(round.suffix.replace('_', " "))
    }

    /// For a name that is drawn on one branch alone, or in a copy that may not be asked for.
    pub(super) fn on_one_branch(&self, name: &str, place: Span, when: Span) -> Diagnostic {
        if self.laid_counts.contains(&when) {
            let message = format!("`{name}` is there only where so many are chosen.");
            return Diagnostic::error(Code::DrawnOnOneBranch, place, message)
                .at("not always drawn")
                .see(when, "fewer may be chosen here")
                .help("Use it inside the `each`. In a seam, `each` before the name of the block takes all there are: `each gore.waist`.");
        }
        let message = format!("`{name}` is drawn only in one branch of an `if`.");
        Diagnostic::error(Code::DrawnOnOneBranch, place, message)
            .at("not drawn on every branch")
            .see(when, "drawn only when this holds")
            .help("Draw it in every branch, `otherwise` included, or use it inside that branch.")
    }

    /// For a name that nothing draws where it stands, and an `each` does; nothing where that each is told to be wrong.
    pub(super) fn drawn_in_each(&self, word: &tree::Word) -> Option<Result<Diagnostic, ()>> {
        let text = word.text.as_ref();
        if let Some(base) = text
            .strip_prefix(NEXT)
            .and_then(|rest| rest.strip_prefix(' '))
        {
            let message = format!(
                "`{text}` is named by the seams of the `each` that lays out `{base}`, and by nothing else."
            );
            return Some(Ok(Diagnostic::error(Code::NotLaidOut, word.span, message)));
        }
        let in_each = &self.here.file.in_each;
        if let Some((place, laid)) = in_each.get(text) {
            let told = if *laid {
                let copies = self.here.laid.get(text);
                let called = copies.and_then(|copies| copies.first());
                let called = format!("{text}{}", called.map_or("_1", |copy| &copy.round.suffix));
                let message =
                    format!("`{text}` is drawn in an `each`, and each copy bears a number.");
                Diagnostic::error(Code::NotLaidOut, word.span, message)
                    .help(format!("The first is `{called}`."))
                    .offer(word.span, called)
            } else {
                let message = format!(
                    "`{text}` is drawn inside an `each`, and what is drawn there stays there."
                );
                Diagnostic::error(Code::UnknownName, word.span, message)
                    .help(format!("Collect it: `list NAME = each … {{ … give {text} }}`, and take the one you want with `item 2 from NAME`."))
            };
            return Some(Ok(told.see(*place, "drawn here")));
        }
        let (base, number) = text.rsplit_once('_')?;
        number.parse::<u32>().ok()?;
        let (place, laid) = in_each.get(base)?;
        if !laid {
            return None;
        }
        let Some(copies) = self.here.laid.get(base) else {
            return (place.start < word.span.start).then_some(Err(()));
        };
        let named = |copy: Option<&Copy>| copy.map(|copy| format!("`{base}{}`", copy.round.suffix));
        let (first, last) = (named(copies.first())?, named(copies.last())?);
        let message = format!("There is no `{text}`: the `each` lays out {first} to {last}.");
        Some(Ok(
            Diagnostic::error(Code::NotLaidOut, word.span, message).see(*place, "drawn here")
        ))
    }
}

impl Layer {
    fn suffix(&self) -> &str {
        self.round.as_ref().map_or("", |round| &round.suffix)
    }
}

/// Some sentences where a condition holds, others where it does not.
fn when(condition: Node, ops: Vec<Op>, otherwise: Vec<Op>) -> Vec<Op> {
    if ops.is_empty() && otherwise.is_empty() {
        return Vec::new();
    }
    vec![Op::If(Box::new(Branches {
        branches: vec![(condition, ops)],
        otherwise,
    }))]
}
