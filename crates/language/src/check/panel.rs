//! Panels: drawn, traced from another, moved whole by a phrase, or given by an operation.

use super::checker::{Checker, Typed};
use super::program::{Drawing, FormRef, Lays, Op, Slot, Target};
use super::scope::{Binding, Bound, LaidOn, Layer, LayerKind, Names, Sheet, size_of};
use super::shape::{Member, Put, Shape, find, members};
use crate::kind::Kind;
use crate::report::{Code, Diagnostic, Span};
use crate::syntax::tree;
use std::cell::Cell;
use std::collections::BTreeMap;
use std::rc::Rc;
use std::sync::Arc;

/// Most names an operation may give on one panel.
pub(super) const MOST_GIVEN: usize = 5_000;

/// Most names carried from sheet to sheet and into branches, in one draft.
pub(super) const MOST_COPIED: usize = 300_000;

impl<'a> Checker<'a> {
    /// `panel NAME traced from OTHER { … }`
    pub(super) fn panel_sentence(&mut self, panel: &'a tree::Panel) -> Vec<Op> {
        let prefix = format!("{}.", self.drawn_name(&panel.name.text));
        let mut layer = Layer::new(LayerKind::Panel, &panel.name.text, prefix);
        let mut offers = None;
        let mut origins = Rc::default();
        if let Some(on) = drawn_on_another(panel) {
            self.not_drawn_from_here(panel, on);
            layer.is_open = true;
            self.here.layers.push(layer);
            self.sentences(&panel.body.sentences);
            self.here.layers.pop();
            return Vec::new();
        }
        if let Some(from) = &panel.traced_from {
            match self.sheet_named(from) {
                Some(sheet) => {
                    origins = sheet.lineage();
                    layer.names = Rc::new(traced(&sheet.members));
                    layer.cloth = sheet.cloth.clone();
                    layer.is_open = sheet.is_open;
                    layer.laid_on = sheet.laid_on.clone();
                    offers = sheet.offers;
                }
                None => layer.is_open = true,
            }
        }
        self.here.layers.push(layer);
        let body = self.sentences(&panel.body.sentences);
        let Some(layer) = self.here.layers.pop() else {
            return body;
        };
        let sheet = Sheet {
            full_name: layer.prefix.trim_end_matches('.').to_owned(),
            size: size_of(&layer.names),
            members: layer.names,
            cloth: layer.cloth,
            is_open: layer.is_open,
            offers,
            origins,
            laid_on: layer.laid_on,
            ..Sheet::default()
        };
        let drawn = sheet
            .members
            .values()
            .filter(|b| !b.traced && !matches!(b.bound, Bound::Sheet(_)))
            .count();
        let sheet = self.small_enough(sheet, drawn, panel.name.span);
        self.bind_panel(&panel.name, sheet, panel.traced_from.is_some());
        body
    }

    /// `point house.back.pit = …`: a fresh `back` would be drawn on, and nobody has said so.
    fn not_drawn_from_here(&mut self, panel: &tree::Panel, on: &tree::Name) {
        let name = &panel.name.text;
        let words: Vec<&str> = on.words.iter().map(|word| word.text.as_ref()).collect();
        let on_said = words.join(".");
        self.here.broken = true;
        self.report(
            Diagnostic::error(
                Code::WordsDoNotFit,
                on.span,
                format!("Nothing is drawn on `{on_said}` from here."),
            )
            .help(format!(
                "Trace it, `panel {name} traced from {on_said}`, and draw on `{name}`."
            )),
        );
    }

    /// Panels traced into panels can double their names with every line, so what is carried is bounded; what is drawn
    /// on the sheet itself is not counted.
    pub(super) fn small_enough(&mut self, sheet: Sheet, drawn: usize, span: Span) -> Sheet {
        self.copied = self.copied.saturating_add(sheet.size.saturating_sub(drawn));
        if self.copied <= MOST_COPIED {
            return sheet;
        }
        self.too_much_copied(span);
        Sheet {
            full_name: sheet.full_name,
            is_open: true,
            ..Sheet::default()
        }
    }

    /// Told once; what cannot be carried on is open, so that nothing in it is missed.
    pub(super) fn too_much_copied(&mut self, span: Span) {
        self.here.broken = true;
        if std::mem::replace(&mut self.told_copied, true) {
            return;
        }
        let message = format!(
            "The panels and branches up to here carry more than {MOST_COPIED} names from sheet to sheet."
        );
        self.report(
            Diagnostic::error(Code::TooLarge, span, message)
                .help("Trace only the panels that are worked on further."),
        );
    }

    /// The sheet a name stands for.
    pub(super) fn sheet_named(&mut self, name: &tree::Name) -> Option<Rc<Sheet>> {
        let binding = self.resolve(name)?;
        match &binding.bound {
            Bound::Sheet(sheet) if !sheet.is_file => Some(Rc::clone(sheet)),
            _ => {
                let what = match &binding.bound {
                    Bound::Value { kind, .. } => kind.with_article(),
                    _ => "not a panel".into(),
                };
                let said = self.said(name.span);
                let message = format!("`{said}` is {what}, and a panel is wanted.");
                self.fail(
                    Diagnostic::error(Code::WrongKind, name.span, message)
                        .at(what)
                        .see(binding.span, format!("`{said}` is drawn here")),
                );
                None
            }
        }
    }

    /// Only a panel's name may be drawn twice, and only by tracing.
    fn bind_panel(&mut self, word: &tree::Word, sheet: Sheet, is_traced: bool) {
        let old = self
            .here
            .layers
            .last()
            .and_then(|layer| layer.names.get(&word.text))
            .cloned();
        if let Some(old) = &old
            && let Bound::Sheet(_) = old.bound
        {
            if !is_traced {
                let message = format!("Panel `{}` is drawn already.", word.text);
                let help = format!(
                    "To lay a fresh sheet over it, write `panel {0} traced from {0} {{ … }}`; or use a phrase that is given `{0}`.",
                    word.text
                );
                self.report(
                    Diagnostic::error(Code::NameDrawnTwice, word.span, message)
                        .see(old.span, "drawn here first")
                        .help(help),
                );
            }
            let binding = old.redrawn(Bound::Sheet(Rc::new(sheet)), word.span);
            if let Some(layer) = self.layer() {
                layer.put(Arc::clone(&word.text), binding);
            }
            return;
        }
        self.bind(word, Bound::Sheet(Rc::new(sheet)));
    }

    /// The sheet of that name, where the phrase has made a fresh one from it: `panel vest = deeper_hem on vest`.
    fn laid_over(&self, word: &tree::Word, shape: &Shape) -> Option<Rc<Sheet>> {
        let old = self.here.layers.last()?.names.get(&word.text)?;
        match &old.bound {
            Bound::Sheet(sheet) if shape.from.contains(&sheet.full_name) => Some(Rc::clone(sheet)),
            _ => None,
        }
    }

    /// `panel NAME = PHRASE`
    pub(super) fn panel_value(
        &mut self,
        names: &'a [tree::Word],
        value: Typed,
        span: Span,
    ) -> Vec<Op> {
        let [word] = names else {
            let message = "A phrase that gives a panel gives one.";
            self.fail(
                Diagnostic::error(Code::NamesAndValues, span, message)
                    .help("Give the panel one name; its members have their own."),
            );
            return Vec::new();
        };
        let told = self.diagnostics.len();
        let wrong = value.kind == Kind::Unknown && self.here.broken;
        let guessed = wrong.then(|| self.guessed_panel(span)).flatten();
        if wrong {
            self.diagnostics.truncate(told);
            self.here.broken = true;
        }
        let value = guessed.unwrap_or(value);
        let Some(shape) = value.shape.clone().filter(|_| value.kind == Kind::Panel) else {
            let value = self.must_be(value, &Kind::Panel);
            if value.kind == Kind::Panel {
                self.here.broken = true;
            }
            // What is wrong is told already; that it would lie over an older sheet is not.
            let over = value.kind == Kind::Unknown;
            self.bind_panel(
                word,
                Sheet {
                    full_name: self.drawn_name(&word.text).to_string(),
                    is_open: true,
                    ..Sheet::default()
                },
                over,
            );
            return Vec::new();
        };
        if !shape.is_fresh() {
            let message = "A panel is traced, not copied by `=`.";
            let help = format!(
                "Write `panel {} traced from {} {{ … }}`.",
                word.text,
                self.said(value.span)
            );
            self.fail(Diagnostic::error(Code::WordsDoNotFit, span, message).help(help));
        }
        let full = self.drawn_name(&word.text).to_string();
        let over = self.laid_over(word, &shape);
        let mut slots = BTreeMap::new();
        let mut targets = Vec::with_capacity(shape.fresh.len());
        for Member { path, kind, .. } in shape.fresh.iter() {
            let slot = self.slot();
            slots.insert(path.as_ref(), slot);
            let under = over.as_ref().and_then(|old| find(old, path));
            let name = [full.as_str(), ".", path].concat().into();
            targets.push(Target {
                lies_over: under.and_then(|old| old.slot()),
                ..Target::new(name, kind.clone(), slot, word.span)
            });
        }
        let put = Put {
            slots: &slots,
            site: self.next_site(),
            span: word.span,
            carried: Cell::new(0),
        };
        let (mut sheet, clashes) = shape.laid(&full, &put);
        if put.is_too_much() || sheet.size > MOST_GIVEN {
            let message = format!(
                "This gives a panel of more than {MOST_GIVEN} names, those on the panels on it counted."
            );
            self.fail(Diagnostic::error(Code::TooLarge, span, message));
            sheet.is_open = true;
        }
        self.drawn_over(clashes, &value);
        sheet.is_open |= shape.is_open;
        sheet.origins = shape.from.iter().chain(&shape.origins).cloned().collect();
        sheet.offers = match &over {
            _ if shape.is_open => None,
            Some(old) => self.offers_together(old.offers, shape.offers),
            None => shape.offers,
        };
        let gone = match &over {
            // What an operation lays over a panel leaves all else on it.
            Some(old)
                if shape
                    .below()
                    .is_none_or(|below| below.full_name != old.full_name) =>
            {
                gone(old, &sheet)
            }
            _ => Box::default(),
        };
        let targets_of: Box<[Slot]> = targets.iter().map(|target| target.slot).collect();
        let site = self.site(span, targets, value.span, value.form);
        if let Some(site) = self.program.site_mut(site) {
            site.lays = shape.from.first().map(|from| Lays {
                panel: full.into(),
                over: from.as_str().into(),
            });
        }
        self.bind_panel(word, sheet, over.is_some());
        vec![Op::Draw(Box::new(Drawing {
            site,
            targets: targets_of,
            value: value.node,
            apart: true,
            gone,
        }))]
    }

    /// An operation drew what was on the panel, and did not say that it needs it.
    fn drawn_over(&mut self, clashes: Vec<(String, Span)>, value: &Typed) {
        let Some((path, old)) = clashes.into_iter().next() else {
            return;
        };
        let head = match value.form {
            Some(FormRef::Operation(number)) => self.operations.get(number),
            _ => None,
        };
        let head = head.and_then(|operation| operation.form.head.clone());
        let head = head.unwrap_or_default();
        let message = format!("`{head}` draws `{path}`, and that is drawn here already.");
        self.fail(
            Diagnostic::error(Code::NameDrawnTwice, value.span, message)
                .at("would draw it again")
                .see(old, "drawn here first")
                .help("Lay it over a sheet on which that is not drawn; an act whose aids are drawn with `guide` can be laid twice."),
        );
    }
}

/// What lay on the old sheet and is not on the new one, by full name.
fn gone(old: &Sheet, new: &Sheet) -> Box<[(Arc<str>, Slot)]> {
    let left = members(old).into_iter().filter(|member| {
        find(new, &member.path).is_none_or(|binding| !matches!(binding.bound, Bound::Value { .. }))
    });
    let full = &new.full_name;
    left.map(|member| {
        (
            [full.as_str(), ".", &member.path].concat().into(),
            member.slot,
        )
    })
    .collect()
}

/// Members as they look on the sheet traced from theirs.
pub(super) fn traced(members: &Names) -> Names {
    members
        .iter()
        .map(|(name, binding)| {
            (
                Arc::clone(name),
                Binding {
                    traced: true,
                    ..binding.clone()
                },
            )
        })
        .collect()
}

/// Dotted paths made into panels within the panel, which may be one that an operation is given; of two alike the later
/// stands.
pub(super) fn nest(
    members: Vec<(Arc<str>, Binding)>,
    full: &str,
    laid_on: Option<LaidOn>,
) -> Sheet {
    let size = members.len();
    let mut own: Vec<(Arc<str>, Binding)> = Vec::with_capacity(size);
    let mut inner: BTreeMap<String, Vec<(Arc<str>, Binding)>> = BTreeMap::new();
    for (path, binding) in members {
        match path.split_once('.') {
            None if matches!(binding.bound, Bound::Sheet(_)) => {
                inner.entry(path.to_string()).or_default();
            }
            None => own.push((path, binding)),
            Some((first, rest)) => {
                let panel = inner.entry(first.to_owned()).or_default();
                panel.push((rest.into(), binding));
            }
        }
    }
    for (name, members) in inner {
        let inner = laid_on.as_ref().map(|laid_on| LaidOn {
            argument: laid_on.argument,
            path: format!("{}{name}.", laid_on.path).into(),
        });
        let nested = nest(members, &format!("{full}.{name}"), inner);
        let span = nested
            .members
            .values()
            .next()
            .map_or(Span::default(), |b| b.span);
        own.push((
            name.into(),
            Binding {
                traced: true,
                ..Binding::new(Bound::Sheet(Rc::new(nested)), span)
            },
        ));
    }
    Sheet {
        full_name: full.to_owned(),
        size,
        // In one go, level by level, without looking for the place of each.
        members: Rc::new(own.into_iter().collect()),
        laid_on,
        ..Sheet::default()
    }
}

/// The panel on which a sentence draws without opening it, `point back.pit = …`.
pub(super) fn drawn_on(panel: &tree::Panel) -> Option<&tree::Name> {
    let on = panel.traced_from.as_ref()?;
    (on.words.last()?.span == panel.name.span).then_some(on)
}

/// The same, of another file or panel.
fn drawn_on_another(panel: &tree::Panel) -> Option<&tree::Name> {
    drawn_on(panel).filter(|on| on.words.len() > 1)
}
