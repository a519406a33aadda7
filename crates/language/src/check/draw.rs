//! Drawing sentences: fresh names, redrawn names, and how many values go to how many names.

use super::checker::{Checker, Typed};
use super::program::{Drawing, Op, Slot, Target};
use super::scope::{Bound, LayerKind};
use crate::kind::Kind;
use crate::report::{Code, Diagnostic, Span};
use crate::syntax::tree::{self, KindWord};
use crate::voice;
use std::rc::Rc;
use std::sync::Arc;

impl<'a> Checker<'a> {
    pub(super) fn draw(&mut self, draw: &'a tree::Draw, span: Span) -> Vec<Op> {
        let value = self.expression(&draw.value);
        let kind = match draw.kind {
            KindWord::Panel => return self.panel_value(&draw.names, value, span),
            KindWord::List => match (&value.kind, draw.names.len()) {
                (Kind::List(_), 1) => value.kind.clone(),
                (Kind::Unknown, _) => Kind::List(Box::new(Kind::Unknown)),
                _ => {
                    let message = self.kind_mismatch(&value, "a list", &[]);
                    self.fail(message);
                    Kind::List(Box::new(Kind::Unknown))
                }
            },
            word => word.kind().unwrap_or(Kind::Unknown),
        };
        let count = draw.names.len();
        let lines = value.lines.clone().filter(|_| draw.kind == KindWord::List);
        let items = value.shape.clone().filter(|_| value.kind.holds_panels());
        let value = if (&kind, &value.kind, count) == (&Kind::Line, &Kind::Curve, 1) {
            self.is_a_curve(value, span)
        } else {
            self.as_many(value, &kind, count, span)
        };
        let kind = if kind == Kind::Curve && count == 1 && value.kind == Kind::Line {
            Kind::Curve
        } else {
            kind
        };
        let mut targets = Vec::with_capacity(count);
        for word in &draw.names {
            let (name, slot) = (self.drawn_name(&word.text), self.slot());
            targets.push(Target::new(name, kind.clone(), slot, word.span));
        }
        let drawing = self.drawing(targets, value, count > 1, span);
        for (word, slot) in draw.names.iter().zip(&drawing.targets) {
            let bound = Bound::Value {
                slot: *slot,
                kind: kind.clone(),
                site: Some(drawing.site),
            };
            self.bind(word, bound);
            let guide = draw
                .is_guide
                .then(|| self.here.operation.as_deref().unwrap_or("").into());
            let more = lines.is_some() || items.is_some() || guide.is_some();
            if let Some(layer) = self.layer().filter(|_| more)
                && let Some(binding) = Rc::make_mut(&mut layer.names).get_mut(&word.text)
            {
                binding.lines = lines.clone();
                binding.items = items.clone();
                if guide.is_some() {
                    binding.used.set(true);
                    binding.guide = guide;
                }
            }
        }
        vec![Op::Draw(Box::new(drawing))]
    }

    /// Bent, and called a line.
    fn is_a_curve(&mut self, value: Typed, sentence: Span) -> Typed {
        let message = self.kind_mismatch(&value, "a line", &[Kind::Line]);
        let (word, bytes) = ("line", self.project.sources.bytes(sentence));
        let message = match self.said(sentence).find(word) {
            Some(at) => {
                let at = bytes.start + at;
                let sources = &self.project.sources;
                let place = sources.span(sentence.file, at..at + word.len());
                let help = "A line is straight; what is bent begins with `curve`.";
                message.help(help).offer(place, "curve")
            }
            None => message,
        };
        self.fail(message);
        Typed::unknown(value.span)
    }

    pub(super) fn redraw(&mut self, redraw: &'a tree::Redraw, span: Span) -> Vec<Op> {
        let value = self.expression(&redraw.value);
        let lines = value.lines.clone().filter(|_| redraw.names.len() == 1);
        let items = value.shape.clone().filter(|_| value.kind.holds_panels());
        let mut targets = Vec::new();
        let mut rebound = Vec::new();
        for word in &redraw.names {
            let told = self.diagnostics.len();
            let Some((old, old_slot, kind)) = self.redrawable(word) else {
                if self.diagnostics.len() > told {
                    // Told here, and not again at each use.
                    self.lose_name(word, None);
                }
                continue;
            };
            let kind =
                if kind == Kind::Line && value_kind(&value, redraw.names.len()) == Kind::Curve {
                    Kind::Curve
                } else {
                    kind
                };
            self.mention(word.span, old.span);
            let slot = self.slot();
            let layer = self.here.layers.get(self.sheet_at(word));
            let name = layer.map_or_else(String::new, |layer| layer.full(&word.text));
            let name: Arc<str> = name.into();
            targets.push(Target {
                replaces: Some(old_slot),
                ..Target::new(name, kind.clone(), slot, word.span)
            });
            rebound.push((word, old, slot, kind));
        }
        if targets.len() < redraw.names.len() {
            self.here.broken = true;
            return Vec::new();
        }
        let count = targets.len();
        let kind = targets
            .iter()
            .try_fold(Kind::Unknown, |all, target| all.joined(&target.kind));
        let value = match kind {
            Some(kind) => self.as_many(value, &kind, count, span),
            None => {
                self.fail(Diagnostic::error(
                    Code::WrongKind,
                    span,
                    "The names redrawn together are of different kinds.",
                ));
                value
            }
        };
        let drawing = self.drawing(targets, value, count > 1, span);
        let site = Some(drawing.site);
        for (word, old, slot, kind) in rebound {
            let mut binding = old.redrawn(Bound::Value { slot, kind, site }, word.span);
            binding.lines = lines.clone();
            binding.items = items.clone();
            let at = self.sheet_at(word);
            if let Some(layer) = self.here.layers.get_mut(at) {
                layer.put(Arc::clone(&word.text), binding);
            }
        }
        vec![Op::Draw(Box::new(drawing))]
    }

    /// The sheet that a `redraw` means: inside an `each` that is laid out, that of the panel it stands in, unless the name
    /// is drawn in the block itself.
    pub(super) fn sheet_at(&self, word: &tree::Word) -> usize {
        let last = self.here.layers.len().saturating_sub(1);
        match self.here.layers.get(last) {
            Some(layer)
                if layer.kind == LayerKind::Round && !layer.names.contains_key(&word.text) =>
            {
                last.saturating_sub(1)
            }
            _ => last,
        }
    }

    /// The name a `redraw` replaces, from the panel under the hand.
    pub(super) fn redrawable(
        &mut self,
        word: &tree::Word,
    ) -> Option<(super::scope::Binding, Slot, Kind)> {
        let layer = self.here.layers.get(self.sheet_at(word));
        let is_open = layer.is_some_and(|layer| layer.is_open);
        let own = layer.and_then(|layer| layer.names.get(&word.text)).cloned();
        let mut layers = self.here.layers.iter().rev();
        let sheet = layers.find(|layer| layer.kind != LayerKind::Round);
        let in_panel = sheet.is_some_and(|layer| layer.kind == LayerKind::Panel);
        match own.as_ref().map(|binding| (&binding.bound, binding)) {
            Some((Bound::Value { slot, kind, .. }, binding)) if in_panel => {
                Some((binding.clone(), *slot, kind.clone()))
            }
            Some((Bound::OnOneBranch(span, _), _)) => {
                let told = self.on_one_branch(&word.text, word.span, *span);
                self.fail(told);
                None
            }
            None if is_open => {
                self.here.broken = true;
                None
            }
            None if in_panel && self.is_unsaid(word) => None,
            _ => {
                let diagnostic = self.nothing_to_redraw(word, in_panel, own.map(|b| b.span));
                self.fail(diagnostic);
                None
            }
        }
    }

    /// Whether a name that is not on the sheet under the hand may be on the panel below, of which an operation says what it
    /// needs.
    fn is_unsaid(&mut self, word: &tree::Word) -> bool {
        let layer = self.here.layers.last();
        let laid_on = layer.and_then(|layer| layer.laid_on.clone());
        laid_on.is_some_and(|laid_on| self.note_unsaid_on(&laid_on, word))
    }

    pub(super) fn nothing_to_redraw(
        &self,
        word: &tree::Word,
        in_panel: bool,
        own: Option<Span>,
    ) -> Diagnostic {
        let text = word.text.as_ref();
        if !in_panel && let Some(told) = self.carry_instead(word) {
            return told;
        }
        if !in_panel {
            let message = format!("`{text}` cannot be redrawn here: a line is redrawn on a panel.");
            let mut diagnostic = Diagnostic::error(Code::NothingToRedraw, word.span, message)
                .help("Trace the panel, `panel back traced from back { … }`, and redraw the line on the fresh sheet.");
            if let Some(span) = own {
                diagnostic = diagnostic.see(span, format!("`{text}` is drawn here"));
            }
            return diagnostic;
        }
        let message = format!("There is no `{text}` on this panel to redraw.");
        let mut diagnostic = Diagnostic::error(Code::NothingToRedraw, word.span, message);
        let members: Vec<&str> = self
            .here
            .layers
            .last()
            .map(|l| l.names.keys().map(AsRef::as_ref).collect())
            .unwrap_or_default();
        if let Some(near) = super::scope::nearest_word(text, members) {
            diagnostic = diagnostic.meant(near);
        } else {
            diagnostic = diagnostic.help(
                "To draw it for the first time, begin with its kind: `point`, `line`, `curve` …",
            );
        }
        diagnostic
    }

    /// Holds a value against `count` names of `kind`.
    pub(super) fn as_many(&mut self, value: Typed, kind: &Kind, count: usize, span: Span) -> Typed {
        if count == 1 {
            if let (Kind::List(item), true) = (&value.kind, !matches!(kind, Kind::List(_)))
                && item.fits(kind)
            {
                let message = "This gives several values, and there is one name for them.";
                self.fail(
                    Diagnostic::error(Code::NamesAndValues, value.span, message)
                        .at("several values")
                        .help("Write as many names as values, separated by commas."),
                );
                return Typed::unknown(value.span);
            }
            if value.kind == Kind::Bearing && *kind == Kind::Direction {
                let message =
                    "A direction `along` or `square to` a line is settled only where it is used.";
                self.fail(
                    Diagnostic::error(Code::WrongKind, value.span, message)
                        .help("Name the line instead, or write `direction of LINE at POINT`."),
                );
                return Typed::unknown(value.span);
            }
            return self.must_be(value, kind);
        }
        match &value.kind {
            Kind::List(item) if item.fits(kind) => {
                if let super::program::Node::List(nodes) = &value.node
                    && nodes.len() != count
                    && !nodes
                        .iter()
                        .any(|node| matches!(node, super::program::Node::Spread(_)))
                {
                    self.count_differs(nodes.len(), count, span);
                } else if let Some(things) = things_of(&value)
                    && things != count
                {
                    self.count_differs(things, count, span);
                }
                value
            }
            Kind::Unknown => value,
            _ => {
                let message = format!(
                    "There are {count} names, and this gives {}.",
                    value.kind.with_article()
                );
                self.fail(
                    Diagnostic::error(Code::NamesAndValues, value.span, message)
                        .at(value.kind.with_article())
                        .help("Write as many names as values."),
                );
                Typed::unknown(value.span)
            }
        }
    }

    pub(super) fn count_differs(&mut self, values: usize, names: usize, span: Span) {
        let message = format!(
            "There {} {} for {}.",
            voice::agree(names, "is", "are"),
            voice::count(names, "name"),
            voice::count(values, "value")
        );
        self.fail(
            Diagnostic::error(Code::NamesAndValues, span, message)
                .help("Write as many names as values."),
        );
    }

    pub(super) fn drawing(
        &mut self,
        targets: Vec<Target>,
        value: Typed,
        apart: bool,
        span: Span,
    ) -> Drawing {
        let slots = targets.iter().map(|target| target.slot).collect();
        self.here.reads.sort();
        self.here.reads.dedup();
        Drawing {
            site: self.site(span, targets, value.span, value.form),
            targets: slots,
            value: value.node,
            apart,
            gone: Box::default(),
        }
    }
}

/// How many values a phrase gives that turns or moves what it is given.
fn things_of(value: &Typed) -> Option<usize> {
    let super::program::Node::Call(call) = &value.node else {
        return None;
    };
    match call.args.first() {
        Some(Some(super::program::Node::List(items))) if matches!(value.kind, Kind::List(_)) => {
            Some(items.len())
        }
        _ => None,
    }
}

fn value_kind(value: &Typed, names: usize) -> Kind {
    match &value.kind {
        Kind::List(item) if names > 1 => (**item).clone(),
        kind => kind.clone(),
    }
}
