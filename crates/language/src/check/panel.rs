//! Panels: drawn, traced from another, moved whole by a phrase, or given by an operation.

use super::checker::{Checker, Typed};
use super::program::{Drawing, Node, Op, Site, Slot, Target};
use super::scope::{Binding, Bound, Layer, LayerKind, Lines, Names, Sheet, size_of};
use crate::kind::Kind;
use crate::report::{Code, Diagnostic, Span};
use crate::syntax::tree;
use std::collections::BTreeMap;
use std::rc::Rc;
use std::sync::Arc;

/// Most names an operation may give on one panel.
pub(super) const MOST_GIVEN: usize = 5_000;

/// Most names carried from sheet to sheet and into branches, in one draft.
pub(super) const MOST_COPIED: usize = 300_000;

/// What a panel expression holds: values that come with it one by one, and names that are shared as they are.
#[derive(Clone, Debug, Default)]
pub(super) struct Shape {
    /// Members whose values the expression gives, in order.
    pub given: Vec<Member>,
    /// Members that are shared.
    pub shared: Vec<(Arc<str>, Binding)>,
    /// Nodes of the drawn members, where the panel stands as an argument.
    nodes: Vec<Node>,
    /// Where its cloth is, as a member's number among the given.
    pub cloth: Option<Node>,
    pub offers: Option<usize>,
    /// Full names of the panels it comes from: over one of these it may be laid as a fresh sheet.
    pub from: Vec<String>,
    /// Full names of the panels those were traced or made from.
    pub origins: Vec<String>,
    /// What is on it is not known, since the sentence that drew it is wrong.
    pub is_open: bool,
}

/// A member of a panel as an expression gives it.
#[derive(Clone, Debug)]
pub(super) struct Member {
    /// Dotted path on the panel.
    pub path: Arc<str>,
    pub kind: Kind,
    /// The lines of a list.
    pub lines: Option<Lines>,
    /// Whose aid it is.
    pub guide: Option<Arc<str>>,
}

impl Shape {
    /// A panel named in an expression.
    pub fn of_sheet(sheet: &Sheet) -> Self {
        let mut shape = Self {
            cloth: sheet.cloth.clone(),
            offers: sheet.offers,
            from: vec![sheet.full_name.clone()],
            origins: sheet.origins.to_vec(),
            is_open: sheet.is_open,
            ..Self::default()
        };
        shape.add(&sheet.members, "");
        shape
    }

    /// What an operation gives.
    pub fn of_results(
        given: Vec<Member>,
        offers: Option<usize>,
        (from, origins): (Vec<String>, Vec<String>),
    ) -> Self {
        Self {
            given,
            offers,
            from,
            origins,
            ..Self::default()
        }
    }

    fn add(&mut self, members: &Names, prefix: &str) {
        for (name, binding) in members {
            // Whoever is given a panel is given all that is on it.
            binding.used.set(true);
            let path = if prefix.is_empty() {
                Arc::clone(name)
            } else {
                [prefix, name].concat().into()
            };
            match &binding.bound {
                Bound::Value { slot, kind, .. } if is_moved(kind) => {
                    self.given.push(Member {
                        path,
                        kind: kind.clone(),
                        lines: binding.lines.clone(),
                        guide: binding.guide.clone(),
                    });
                    self.nodes.push(Node::Slot(*slot));
                }
                Bound::Sheet(sheet) => self.add(&sheet.members, &format!("{path}.")),
                Bound::Value { .. } | Bound::OnOneBranch(..) => {
                    self.shared.push((path, binding.clone()))
                }
            }
        }
    }

    /// The drawn members, for a phrase that moves them.
    pub fn drawn_nodes(&self) -> Vec<Node> {
        self.nodes.clone()
    }

    /// The shape after a phrase moved its drawn members: same names, other values.
    pub fn moved(&self) -> Self {
        Self {
            nodes: Vec::new(),
            cloth: None,
            ..self.clone()
        }
    }

    /// Whether its values come from the expression, rather than being names already drawn.
    pub fn is_fresh(&self) -> bool {
        self.nodes.is_empty()
    }
}

/// Whether what is drawn under a name goes with its panel when that is moved: places and lines, and lists of them.
fn is_moved(kind: &Kind) -> bool {
    match kind {
        Kind::Point | Kind::Line | Kind::Curve => true,
        Kind::List(item) => is_moved(item),
        _ => false,
    }
}

impl<'a> Checker<'a> {
    /// `panel NAME traced from OTHER { … }`
    pub fn panel_sentence(&mut self, panel: &'a tree::Panel) -> Vec<Op> {
        let prefix = format!("{}{}.", self.prefix(), panel.name.text);
        let mut layer = Layer::new(LayerKind::Panel, &panel.name.text, prefix);
        let mut offers = None;
        let mut origins = Rc::default();
        if let Some(from) = &panel.traced_from {
            match self.sheet_named(from) {
                Some(sheet) => {
                    origins = sheet.lineage();
                    layer.names = Rc::new(traced(&sheet.members));
                    layer.cloth = sheet.cloth.clone();
                    layer.is_open = sheet.is_open;
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

    /// Panels traced into panels can double their names with every line, so what is carried is bounded; what is drawn
    /// on the sheet itself is not counted.
    pub fn small_enough(&mut self, sheet: Sheet, drawn: usize, span: Span) -> Sheet {
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
    pub fn too_much_copied(&mut self, span: Span) {
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
    pub fn sheet_named(&mut self, name: &tree::Name) -> Option<Rc<Sheet>> {
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
                    "To lay a fresh sheet over it, write `panel {0} traced from {0} {{ … }}`, or use a phrase that is given `{0}`.",
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
    pub fn panel_value(&mut self, names: &'a [tree::Word], value: Typed, span: Span) -> Vec<Op> {
        let [word] = names else {
            let message = "A phrase that gives a panel gives one.";
            self.fail(
                Diagnostic::error(Code::NamesAndValues, span, message)
                    .help("Give the panel one name; its members have their own."),
            );
            return Vec::new();
        };
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
                    full_name: format!("{}{}", self.prefix(), word.text),
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
        let full = format!("{}{}", self.prefix(), word.text);
        let mut targets = Vec::new();
        let mut members = Vec::with_capacity(shape.given.len() + shape.shared.len());
        let site =
            super::program::SiteId(u32::try_from(self.program.sites.len()).unwrap_or(u32::MAX));
        let over = self.laid_over(word, &shape);
        let mut under = BTreeMap::new();
        if let Some(old) = &over {
            values_on(&old.members, "", &mut under);
        }
        for Member {
            path, kind, lines, ..
        } in &shape.given
        {
            let slot = self.slot();
            let bound = Bound::Value {
                slot,
                kind: kind.clone(),
                site: Some(site),
            };
            members.push((
                Arc::clone(path),
                Binding {
                    traced: true,
                    lines: lines.clone(),
                    ..Binding::new(bound, word.span)
                },
            ));
            targets.push(Target {
                name: [full.as_str(), ".", path].concat().into(),
                kind: kind.clone(),
                slot,
                span: word.span,
                replaces: None,
                lies_over: under.remove(path.as_ref()),
            });
        }
        for (path, _) in &shape.shared {
            under.remove(path.as_ref());
        }
        let gone = under.into_iter();
        let gone = gone.map(|(path, slot)| ([full.as_str(), ".", &path].concat().into(), slot));
        let gone = gone.collect();
        members.extend(shape.shared.iter().cloned());
        let cloth = shape.cloth.clone();
        let slots: Box<[Slot]> = targets.iter().map(|target| target.slot).collect();
        let reads = std::mem::take(&mut self.here.reads);
        let panel = self.panel();
        let site = self.site(Site {
            span,
            targets,
            value: value.span,
            form: value.form,
            step: self.here.step,
            reads,
            panel,
        });
        let mut sheet = nest(members, &full);
        sheet.cloth = cloth;
        sheet.is_open = shape.is_open;
        sheet.origins = shape.from.iter().chain(&shape.origins).cloned().collect();
        sheet.offers = match &over {
            _ if shape.is_open => None,
            Some(old) => self.offers_together(old.offers, shape.offers),
            None => shape.offers,
        };
        self.bind_panel(word, sheet, over.is_some());
        vec![Op::Draw(Box::new(Drawing {
            site,
            targets: slots,
            value: value.node,
            apart: true,
            gone,
        }))]
    }
}

/// The values on a sheet and the panels on it, by their paths.
fn values_on(members: &Names, prefix: &str, out: &mut BTreeMap<String, Slot>) {
    for (name, binding) in members {
        let path = [prefix, name].concat();
        match &binding.bound {
            Bound::Value { slot, .. } => {
                out.insert(path, *slot);
            }
            Bound::Sheet(sheet) => values_on(&sheet.members, &format!("{path}."), out),
            Bound::OnOneBranch(..) => {}
        }
    }
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

/// Dotted paths made into panels within the panel; of two alike the later stands.
pub(super) fn nest(members: Vec<(Arc<str>, Binding)>, full: &str) -> Sheet {
    let size = members.len();
    let mut own: Vec<(Arc<str>, Binding)> = Vec::with_capacity(size);
    let mut inner: BTreeMap<String, Vec<(Arc<str>, Binding)>> = BTreeMap::new();
    for (path, binding) in members {
        match path.split_once('.') {
            None => own.push((path, binding)),
            Some((first, rest)) => {
                let panel = inner.entry(first.to_owned()).or_default();
                panel.push((rest.into(), binding));
            }
        }
    }
    for (name, members) in inner {
        let nested = nest(members, &format!("{full}.{name}"));
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
        ..Sheet::default()
    }
}
