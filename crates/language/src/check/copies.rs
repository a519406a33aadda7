//! What an `each` has laid out, seen from its seams and from elsewhere: seams that wait until all copies are there, since
//! they may name the next one; an edge of every copy; and the messages where a name of the block is used outside it.

use super::checker::Checker;
use super::lay_out::Copy;
use super::offers::{OfferSentence, Offered};
use super::program::{Branches, Node, Op, StepId};
use super::scope::{Layer, LayerKind, Round, nearest_word};
use crate::report::{Code, Diagnostic, Span};
use crate::syntax::tree::{self, NEXT, TextPart};
use std::collections::BTreeSet;
use std::rc::Rc;

/// A seam in the block of an `each`, until all copies are there; in a draft that is brought in a piece, too, until it is
/// taken.
#[derive(Clone)]
pub(super) struct Waiting<'a> {
    pub(super) sentence: OfferSentence<'a>,
    /// The names of its copy, as they are where it stands.
    pub(super) layer: Layer,
    copy: usize,
    /// Conditions of the branches it stands in.
    hangs_on: Vec<Node>,
    step: Option<StepId>,
}

/// A sentence of a copy that is offered, with all copies.
#[derive(Clone)]
pub(super) struct OfCopy<'a> {
    pub(super) one: Waiting<'a>,
    pub(super) copies: Rc<[Copy]>,
    all_round: bool,
}

impl OfCopy<'_> {
    /// What a piece is called where its `each` stands; `next gore` is that of the next copy.
    pub(super) fn called(&self, piece: &str) -> Option<String> {
        let round = self.one.layer.round.as_ref()?;
        let next = self.copies.get(self.one.copy + 1);
        let next = next.or_else(|| self.copies.first().filter(|_| self.all_round));
        let round = Round {
            next: next.map(|copy| copy.round.suffix.clone()),
            ..Round::clone(round)
        };
        round.called(piece)
    }
}

impl<'a> Checker<'a> {
    /// Whether a sentence waits for the other copies.
    pub(super) fn waits(&mut self, sentence: OfferSentence<'a>) -> bool {
        let is_seam = matches!(sentence, OfferSentence::Seam(..));
        if !is_seam && self.offering.is_empty() {
            return false;
        }
        let mut layers = self.here.layers.iter().rev();
        let Some(layer) = layers.find(|layer| layer.round.is_some()) else {
            return false;
        };
        let layer = layer.clone();
        let Some(round) = layer.round.clone() else {
            return false;
        };
        self.waiting.push(Waiting {
            sentence,
            layer,
            copy: round.copy,
            hangs_on: self.here.hangs_on.clone(),
            step: self.here.step,
        });
        true
    }

    /// What waited for the copies, now that all are there: seams between them, or pieces and seams to be taken.
    pub(super) fn waited(
        &mut self,
        waiting: Vec<Waiting<'a>>,
        copies: &Rc<[Copy]>,
        all_round: bool,
    ) -> Vec<Op> {
        if let Some(offering) = self.offering.last_mut() {
            // Pieces first: a seam may name those of other copies.
            let is_seam = |one: &Waiting<'_>| matches!(one.sentence, OfferSentence::Seam(..));
            let (seams, pieces): (Vec<_>, Vec<_>) = waiting.into_iter().partition(is_seam);
            offering.extend(pieces.into_iter().chain(seams).map(|one| Offered {
                sentence: one.sentence,
                passed: None,
                copy: Some(Rc::new(OfCopy {
                    one,
                    copies: Rc::clone(copies),
                    all_round,
                })),
            }));
            return Vec::new();
        }
        let mut ops = Vec::new();
        let mut wrong: BTreeSet<Span> = BTreeSet::new();
        for one in &waiting {
            let told = self.diagnostics.len();
            let outer = std::mem::replace(&mut self.here.step, one.step);
            let done = self.of_copy(one, copies, all_round);
            self.here.step = outer;
            let place = one.sentence.span();
            if wrong.contains(&place) {
                self.diagnostics.truncate(told);
            }
            let fresh = self.diagnostics.get(told..).unwrap_or_default();
            if fresh.iter().any(Diagnostic::is_error) {
                wrong.insert(place);
            }
            ops.extend(done);
        }
        ops
    }

    /// A sentence that is offered of a copy, where it is taken.
    pub(super) fn take_of_copy(&mut self, offered: &OfCopy<'a>) -> Vec<Op> {
        self.of_copy(&offered.one, &offered.copies, offered.all_round)
    }

    /// The piece or the seam of one copy, where that copy is there.
    fn of_copy(&mut self, one: &Waiting<'a>, copies: &[Copy], all_round: bool) -> Vec<Op> {
        let mut done = match one.sentence {
            OfferSentence::Piece(piece, span) => self.in_copy(one, None, |c| {
                c.unbroken(|c| c.lower_piece(piece, span, None)).0
            }),
            OfferSentence::Seam(seam, span) => {
                self.between_copies(one, (seam, span), copies, all_round)
            }
            OfferSentence::Take(_) => Vec::new(),
        };
        let copy = copies.get(one.copy);
        let guard = copy.and_then(|copy| copy.guard.as_ref());
        for condition in one.hangs_on.iter().rev().chain(guard) {
            done = when(condition.clone(), done, Vec::new());
        }
        done
    }

    /// A seam of one copy. To the next one it is sewn where there is one; all round, the last is sewn to the first.
    fn between_copies(
        &mut self,
        one: &Waiting<'a>,
        (seam, span): (&'a tree::Seam, Span),
        copies: &[Copy],
        all_round: bool,
    ) -> Vec<Op> {
        let to_next = seam.edges().any(|edge| {
            let first = edge.name.words.first();
            first.is_some_and(|word| word.text.starts_with(NEXT) && word.text.contains(' '))
        });
        if !to_next {
            return self.waited_seam(one, (seam, span), None);
        }
        let first = copies.first().filter(|_| all_round);
        let Some(next) = copies.get(one.copy + 1) else {
            return first.map_or_else(Vec::new, |first| {
                self.waited_seam(one, (seam, span), Some(first))
            });
        };
        let sewn = self.waited_seam(one, (seam, span), Some(next));
        let Some(guard) = next.guard.clone() else {
            return sewn;
        };
        let closed = first.map_or_else(Vec::new, |first| {
            // One seam, sewn to the one or to the other.
            let name = self.in_copy(one, None, |c| c.seam_called(&seam.name));
            self.seam_names.remove(&name);
            self.waited_seam(one, (seam, span), Some(first))
        });
        when(guard, sewn, closed)
    }

    /// Among the names of a copy, and of the one that is next to it.
    fn in_copy<T>(
        &mut self,
        one: &Waiting<'a>,
        next: Option<&Copy>,
        f: impl FnOnce(&mut Self) -> T,
    ) -> T {
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
        self.here.layers.push(layer);
        let result = f(self);
        self.here.layers.pop();
        result
    }

    fn waited_seam(
        &mut self,
        one: &Waiting<'a>,
        (seam, span): (&'a tree::Seam, Span),
        next: Option<&Copy>,
    ) -> Vec<Op> {
        let (name, (ops, fine)) = self.in_copy(one, next, |c| {
            let name = c.seam_called(&seam.name);
            (name, c.unbroken(|c| c.lower_seam(seam, span)))
        });
        let all = name.strip_suffix(one.layer.suffix()).unwrap_or(&name);
        let all = self.laid_seams.entry(all.to_owned()).or_default();
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
