//! What an `each` carries on from time to time: begun in its head, and said by `carry`, directly in its block, for the next
//! time. Within the block the name stands for what it is this time.

use super::checker::Checker;
use super::program::{Op, SiteId, Slot, Target};
use super::scope::{Bound, LayerKind, nearest_word};
use crate::kind::Kind;
use crate::report::{Code, Diagnostic, Span};
use crate::syntax::tree::{self, SentenceKind};
use std::sync::Arc;

/// What the `each` being checked carries on.
pub(super) struct Carrying {
    pub names: Vec<CarriedName>,
    /// Where its block says by `carry`, and not within another block, what comes next.
    direct: Vec<Span>,
    /// How many layers there are in its block.
    depth: usize,
}

/// One name that is carried on.
#[derive(Clone)]
pub(super) struct CarriedName {
    pub word: tree::Word,
    pub kind: Kind,
    /// Its value this time, and the sentence that gives it.
    pub slot: Slot,
    pub site: Option<SiteId>,
    /// Its value the next time, its full name then, and the sentence that gives it.
    pub next: Slot,
    pub called: Arc<str>,
    pub said: Option<SiteId>,
    /// What is said of the next time cannot be taken, and that is told.
    pub is_told: bool,
}

impl<'a> Checker<'a> {
    /// What the head of an `each` begins with; `suffix` stands behind the names the first time.
    pub(super) fn begin_carried(
        &mut self,
        each: &'a tree::Each,
        suffix: &str,
    ) -> (Vec<CarriedName>, Vec<Op>) {
        let (mut names, mut ops) = (Vec::<CarriedName>::new(), Vec::new());
        for one in &each.carried {
            if let Some(first) = names.iter().find(|name| name.word.text == one.name.text) {
                let message = format!("`{}` is carried twice.", one.name.text);
                let told = Diagnostic::error(Code::NameDrawnTwice, one.name.span, message);
                let first = first.word.span;
                self.fail(told.see(first, "here first"));
                continue;
            }
            let ((drawing, kind), _) = self.reading(|c| {
                let mut value = c.expression(&one.from);
                let can_be = !matches!(
                    value.kind,
                    Kind::Panel
                        | Kind::List(_)
                        | Kind::Bearing
                        | Kind::Turn
                        | Kind::LengthRound
                        | Kind::PointRound
                );
                if !can_be {
                    let message = c.kind_mismatch(&value, "a figure, a point or a line", &[]);
                    c.fail(message);
                    value.kind = Kind::Unknown;
                }
                let kind = value.kind.clone();
                let name = format!("{}{suffix}", c.drawn_name(&one.name.text)).into();
                let target = Target::new(name, kind.clone(), c.slot(), one.name.span);
                (c.drawing(vec![target], value, false, one.span), kind)
            });
            names.push(CarriedName {
                word: one.name.clone(),
                kind,
                slot: drawing.targets.first().copied().unwrap_or(Slot::NONE),
                site: Some(drawing.site),
                next: self.slot(),
                called: self.drawn_name(&one.name.text),
                said: None,
                is_told: false,
            });
            ops.push(Op::Draw(Box::new(drawing)));
        }
        (names, ops)
    }

    /// Binds what is carried as it is this time, in the block that has just been entered.
    pub(super) fn enter_carrying(&mut self, each: &'a tree::Each, names: Vec<CarriedName>) {
        for name in &names {
            let bound = Bound::Value {
                slot: name.slot,
                kind: name.kind.clone(),
                site: name.site,
            };
            self.bind_in_each(&name.word, bound);
        }
        let carries = |one: &&tree::Sentence| matches!(one.kind, SentenceKind::Carry(_));
        let direct = each.body.sentences.iter().filter(carries);
        self.here.carrying.push(Carrying {
            names,
            direct: direct.map(|one| one.span).collect(),
            depth: self.here.layers.len(),
        });
    }

    /// What is carried, at the end of the block; where nothing says what it is the next time, that is told.
    pub(super) fn leave_carrying(&mut self) -> Vec<CarriedName> {
        let names = self.here.carrying.pop().map(|frame| frame.names);
        let names = names.unwrap_or_default();
        for name in names.iter().filter(|name| name.said.is_none()) {
            let text = &name.word.text;
            if name.is_told || self.here.file.broken.contains(text) {
                continue;
            }
            let message =
                format!("`{text}` is carried on, and nothing says what it is the next time.");
            let help = format!("Say it at the end of the block: `carry {text} = {text} + …`.");
            self.fail(Diagnostic::error(Code::NotCarried, name.word.span, message).help(help));
        }
        names
    }

    /// Notes that what is wrong with a name that is carried is told.
    fn carried_told(&mut self, text: Option<&str>) {
        let frame = self.here.carrying.last_mut();
        let names = frame.into_iter().flat_map(|frame| &mut frame.names);
        for name in names.filter(|name| Some(name.word.text.as_ref()) == text) {
            name.is_told = true;
        }
    }

    /// `carry NAME = VALUE`
    pub(super) fn carry(&mut self, carry: &'a tree::Carry, span: Span) -> Vec<Op> {
        let value = self.expression(&carry.value);
        let (text, place) = (&carry.name.text, carry.name.span);
        let in_each = self.is_in_each();
        let depth = self.here.layers.len();
        let Some(frame) = self.here.carrying.last().filter(|_| in_each) else {
            let message = "`carry` says what an `each` carries on, and stands in its block.";
            let help =
                "Elsewhere a figure is worked out once: give what it comes to a name of its own.";
            self.fail(Diagnostic::error(Code::NotCarried, span, message).help(help));
            return Vec::new();
        };
        let Some(at) = frame.names.iter().position(|name| name.word.text == *text) else {
            let message = format!("This `each` does not carry `{text}` on.");
            let told = Diagnostic::error(Code::NotCarried, place, message);
            let names = frame.names.iter().map(|name| name.word.text.as_ref());
            let near = nearest_word(text, names).map(str::to_owned);
            let told = match &near {
                Some(near) => told.meant(near),
                None => told.help(format!(
                    "Begin it in the head of the `each`, before the brace: `carrying {text} from …`."
                )),
            };
            self.fail(told);
            self.carried_told(near.as_deref());
            return Vec::new();
        };
        if frame.depth != depth || !frame.direct.contains(&span) {
            let message = format!(
                "What `{text}` is the next time is said every time, so `carry` stands directly in the block of its `each`."
            );
            let help = "Draw in the inner block what differs, and carry it on after that block.";
            self.fail(Diagnostic::error(Code::NotCarried, span, message).help(help));
            self.carried_told(Some(text));
            return Vec::new();
        }
        let Some(name) = frame.names.get(at).cloned() else {
            return Vec::new();
        };
        if let Some(first) = name.said.and_then(|site| self.program.site(site)) {
            let message = format!("What `{text}` is the next time is said twice.");
            let first = first.span;
            let told = Diagnostic::error(Code::NameDrawnTwice, place, message);
            self.fail(told.see(first, "said here first"));
            return Vec::new();
        }
        let value = self.as_many(value, &name.kind, 1, span);
        let target = Target::new(name.called, name.kind, name.next, place);
        let drawing = self.drawing(vec![target], value, false, span);
        if let Some(frame) = self.here.carrying.last_mut()
            && let Some(name) = frame.names.get_mut(at)
        {
            name.said = Some(drawing.site);
        }
        vec![Op::Draw(Box::new(drawing))]
    }

    /// What says the next value of a name is wrong: it has none.
    pub(super) fn lose_carried(&mut self, word: &tree::Word) {
        let site = self.plain_site(word.span);
        let frame = self.here.carrying.last_mut();
        let mut names = frame.into_iter().flat_map(|frame| &mut frame.names);
        if let Some(name) = names.find(|name| name.word.text == word.text) {
            name.said = Some(site);
        }
    }

    /// Whether a sentence stands in the block of an `each`, and not in a panel drawn there.
    pub(super) fn is_in_each(&self) -> bool {
        let last = self.here.layers.last();
        last.is_some_and(|layer| matches!(layer.kind, LayerKind::Each | LayerKind::Round))
    }

    /// What changes from time to time is not drawn again, but carried: the words to write, of a name that can be seen.
    pub(super) fn how_to_carry(&self, word: &tree::Word) -> Option<String> {
        let text = &word.text;
        let old = self.sees(text).filter(|_| self.is_in_each())?;
        if !matches!(&old.bound, Bound::Value { .. }) {
            return None;
        }
        let carried = self.here.carrying.last();
        let is_carried = |frame: &Carrying| frame.names.iter().any(|name| name.word.text == *text);
        if carried.is_some_and(is_carried) {
            return Some(format!(
                "Write `carry {text} = …`: it is that the next time."
            ));
        }
        Some(format!(
            "Carry it on: `carrying {text}_so_far from {text}` in the head of the `each`, before the brace, and here `carry {text}_so_far = …`."
        ))
    }

    /// For a `redraw` inside an `each`.
    pub(super) fn carry_instead(&self, word: &tree::Word) -> Option<Diagnostic> {
        let help = self.how_to_carry(word)?;
        let message = format!(
            "`{}` cannot be redrawn in an `each`: what changes from one time to the next is carried on.",
            word.text
        );
        Some(Diagnostic::error(Code::NothingToRedraw, word.span, message).help(help))
    }
}
