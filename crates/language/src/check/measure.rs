//! Measures and choices, and the unit for people.
//!
//! A measure belongs to the body: one name, one value in a run, whichever files declare it. The first file in reading
//! order that declares it gives the default (the draft itself before its imports), and every declared range holds.

use super::checker::Checker;
use super::program::{MeasureCode, Node, Op, Range, Slot};
use super::scope::{Binding, Bound};
use super::texts::Texts;
use crate::kind::{Dimension, Kind};
use crate::report::{Code, Diagnostic, Span};
use crate::syntax::tree::{self, Expr, ExprKind, MeasureOf, SentenceKind, Unit};
use crate::voice::LengthUnit;
use std::cell::Cell;
use std::rc::Rc;
use std::sync::Arc;

/// Most measures and choices of one draft and all it brings in.
const MOST_MEASURES: usize = 2_000;

impl<'a> Checker<'a> {
    /// The unit for people: as the draft says, else that of its first measure.
    pub(super) fn settle_unit(&mut self) {
        let Some(file) = self.project.file(0) else {
            return;
        };
        let said = file.tree.sentences.iter().find_map(|s| match &s.kind {
            SentenceKind::Unit(word) => {
                Unit::named(&word.text).and_then(LengthUnit::for_figures_in)
            }
            _ => None,
        });
        let first = file.tree.sentences.iter().find_map(|s| match &s.kind {
            SentenceKind::Measure(measure) => first_unit(&measure.default),
            _ => None,
        });
        self.program.unit = said.or(first).unwrap_or_default();
    }

    /// `unit cm`
    pub(super) fn unit_sentence(&mut self, word: &tree::Word) {
        if self.at_file_level("unit", word.span)
            && self.first_time("unit", word.span)
            && Unit::named(&word.text)
                .and_then(LengthUnit::for_figures_in)
                .is_none()
        {
            let message = format!(
                "Figures are printed in mm, cm or in; `{}` is none of these.",
                word.text
            );
            self.fail(Diagnostic::error(Code::UnknownUnit, word.span, message));
        }
    }

    /// Finds every body measure of every file before anything else, so that each is settled once.
    pub(super) fn collect_measures(&mut self) {
        for index in self.defaults_first() {
            let Some(file) = self.project.file(index) else {
                continue;
            };
            self.enter_file(index, String::new());
            for sentence in &file.tree.sentences {
                if let SentenceKind::Measure(measure) = &sentence.kind
                    && measure.of == MeasureOf::Body
                {
                    self.body_measure(measure, sentence.span);
                }
            }
        }
        // What formulas read counts only where the measure they work out is read.
        for (_, used) in self.body_measures.values() {
            used.set(false);
        }
        self.here.layers.clear();
        self.here.broken = false;
    }

    /// The files in the order in which their defaults hold: the draft itself, then those that work measures out from
    /// others (a draft that brings one in asks for that), then the rest.
    fn defaults_first(&self) -> Vec<usize> {
        let works_out = |index: &usize| {
            let file = self.project.file(*index);
            let mut sentences = file.into_iter().flat_map(|file| &file.tree.sentences);
            sentences.any(|s| match &s.kind {
                SentenceKind::Measure(m) => m.of == MeasureOf::Body && !is_plain(&m.default),
                _ => false,
            })
        };
        let (first, rest): (Vec<usize>, Vec<usize>) =
            (1..self.project.files.len()).partition(works_out);
        (0..self.project.files.len().min(1))
            .chain(first)
            .chain(rest)
            .collect()
    }

    fn body_measure(&mut self, measure: &'a tree::Measure, span: Span) {
        self.here.reads.clear();
        self.here.broken = false;
        let name = measure.name.text.to_string();
        let range = self.measure_range(measure);
        let known = self.body_measures.get(&name).cloned();
        let mut agrees = true;
        let (number, used) = match known.clone() {
            Some((number, used)) => {
                agrees = self.agree(number, measure, range);
                (number, used)
            }
            None => {
                let default = self.expression(&measure.default);
                let code = self.measure_code(measure, &name, default, range, span);
                let number = self.program.measures.len();
                self.program.measures.push(code);
                if !self.here.broken {
                    self.program.body.push(Op::Measure(number));
                }
                let used = Rc::new(Cell::new(false));
                self.body_measures.insert(name, (number, Rc::clone(&used)));
                (number, used)
            }
        };
        // A measure that another's formula reads is used if that one is; that is settled at the end, here it counts.
        let Some(code) = self.program.measures.get(number) else {
            return;
        };
        let bound = Bound::Value {
            slot: code.slot,
            // Files that disagree are told of it once.
            kind: if agrees {
                code.kind.clone()
            } else {
                Kind::Unknown
            },
            site: Some(code.site),
        };
        if !agrees && let Some(code) = self.program.measures.get_mut(number) {
            code.kind = Kind::Unknown;
        }
        let in_library = self.project.sources.is_library(measure.name.span.file);
        let is_unsure = self.use_lost && in_library && known.is_none();
        if !agrees || is_unsure || self.lost_measures.contains(&measure.name.text) {
            // What needs it is not drawn, and says nothing of its own.
            self.program
                .body
                .retain(|op| !matches!(op, Op::Measure(one) if *one == number));
        }
        let binding = Binding {
            bound,
            span: measure.name.span,
            used,
            traced: true,
            lines: None,
            items: None,
            guide: None,
        };
        if let Some(layer) = self.layer() {
            layer.put(Arc::clone(&measure.name.text), binding);
        }
    }

    fn measure_code(
        &mut self,
        measure: &'a tree::Measure,
        name: &str,
        default: super::checker::Typed,
        range: Option<Range>,
        span: Span,
    ) -> MeasureCode {
        if self.program.measures.len() == MOST_MEASURES {
            let message = format!("A draft has at most {MOST_MEASURES} measures and choices.");
            self.fail(Diagnostic::error(
                Code::TooLarge,
                measure.name.span,
                message,
            ));
        }
        let kind = match &default.kind {
            Kind::Quantity(_) | Kind::Text | Kind::Answer => default.kind.clone(),
            Kind::Unknown => Kind::Unknown,
            _ => {
                let message = self.kind_mismatch(
                    &default,
                    "a length, an angle, a number, a text, yes or no",
                    &[],
                );
                self.fail(message);
                Kind::Unknown
            }
        };
        if let Kind::Quantity(dimension) = &kind
            && dimension.name().is_none()
        {
            let message =
                self.kind_mismatch(&default, "a length, an angle, an area or a number", &[]);
            self.fail(message);
        }
        let worked_out = !self.here.reads.is_empty();
        let slot = self.slot();
        let site = self.plain_site(span);
        let choices = measure.choices.iter().map(Self::letters).collect();
        MeasureCode {
            name: name.to_owned(),
            of: measure.of,
            slot,
            kind,
            default: default.node,
            worked_out,
            set_by_import: None,
            ranges: range.into_iter().collect(),
            choices,
            text: measure.text.as_ref().map(Self::letters).unwrap_or_default(),
            span,
            name_span: measure.name.span,
            site,
            is_idle: false,
        }
    }

    /// Two files that declare a measure as two kinds. Where one is the library, the other is wrong.
    fn disagreeing(
        &self,
        name: &tree::Word,
        later: (Span, &Kind),
        earlier: (Span, &Kind),
    ) -> Diagnostic {
        let sources = &self.project.sources;
        let in_library = |place: Span| sources.is_library(place.file);
        let (wrong, right) = if in_library(later.0) && !in_library(earlier.0) {
            (earlier, later)
        } else {
            (later, earlier)
        };
        let whose = if in_library(right.0) {
            "the library"
        } else {
            "another file"
        };
        let (found, wanted) = (wrong.1.with_article(), right.1.with_article());
        let message = format!("`{}` is {found} here and {wanted} in {whose}.", name.text);
        let told = Diagnostic::error(Code::MeasureDisagrees, wrong.0, message)
            .at(found)
            .see(right.0, wanted);
        let unit = match right.1 {
            Kind::Quantity(Dimension::LENGTH) => self.program.unit.name(),
            Kind::Quantity(Dimension::ANGLE) => "deg",
            _ => return told,
        };
        let behind = sources.text(wrong.0.file).get(sources.bytes(wrong.0).end..);
        let end = u32::MAX;
        self.looked_at.borrow_mut().push(Span { end, ..wrong.0 });
        let figure = behind
            .unwrap_or_default()
            .trim_start_matches([' ', '='])
            .split_whitespace()
            .next()
            .filter(|word| *wrong.1 == Kind::NUMBER && word.parse::<f64>().is_ok());
        match figure {
            Some(figure) => told.help(format!(
                "A figure carries its unit: write `{figure}{unit}`."
            )),
            None => told,
        }
    }

    /// A measure declared again must be of the same kind, and its range holds too.
    fn agree(&mut self, number: usize, measure: &'a tree::Measure, range: Option<Range>) -> bool {
        let Some((kind, first)) = self
            .program
            .measures
            .get(number)
            .map(|m| (m.kind.clone(), m.name_span))
        else {
            return true;
        };
        let default = self.expression(&measure.default);
        if !default.kind.fits(&kind) {
            let here = measure.name.span;
            let told = self.disagreeing(&measure.name, (here, &default.kind), (first, &kind));
            self.report(told);
            return false;
        }
        if first.file == measure.name.span.file {
            let message = format!("`{}` is declared twice in this file.", measure.name.text);
            self.report(
                Diagnostic::error(Code::NameDrawnTwice, measure.name.span, message)
                    .see(first, "declared here first"),
            );
        }
        if let (Some(range), Some(code)) = (range, self.program.measures.get_mut(number)) {
            code.ranges.push(range);
        }
        true
    }

    /// A `body` or `choose` sentence, where it stands.
    pub(super) fn measure(&mut self, measure: &'a tree::Measure, span: Span) -> Vec<Op> {
        let word = if measure.of == MeasureOf::Body {
            "body"
        } else {
            "choose"
        };
        if !self.at_file_level(word, span) {
            return Vec::new();
        }
        match measure.of {
            MeasureOf::Body => {
                self.bind_body(&measure.name);
                Vec::new()
            }
            MeasureOf::Choice => self.choice(measure, span),
        }
    }

    fn bind_body(&mut self, word: &tree::Word) {
        let Some((number, used)) = self.body_measures.get(word.text.as_ref()).cloned() else {
            return;
        };
        let Some(code) = self.program.measures.get(number) else {
            return;
        };
        let bound = Bound::Value {
            slot: code.slot,
            kind: code.kind.clone(),
            site: Some(code.site),
        };
        if self.is_head(&word.text) {
            self.bind(word, bound.clone());
        }
        let binding = Binding {
            bound,
            span: word.span,
            used,
            traced: false,
            lines: None,
            items: None,
            guide: None,
        };
        self.bind_measure(&word.text, binding);
    }

    pub(super) fn bind_measure(&mut self, name: &Arc<str>, binding: Binding) {
        // Every operation keeps the measures above it, so their number is bounded.
        if self.here.file.globals.len() < MOST_MEASURES {
            Rc::make_mut(&mut self.here.file.globals).insert(Arc::clone(name), as_global(&binding));
        }
        if let Some(layer) = self.layer() {
            layer.put(Arc::clone(name), binding);
        }
    }

    fn choice(&mut self, measure: &'a tree::Measure, span: Span) -> Vec<Op> {
        let full = format!("{}{}", self.here.file.prefix, measure.name.text);
        let range = self.measure_range(measure);
        let default = self.expression(&measure.default);
        let mut code = self.measure_code(measure, &full, default.clone(), range, span);
        if !code.choices.is_empty() {
            let texts = Texts {
                all: code.choices.clone(),
                span,
            };
            self.hold_default(&texts, Some(&default), &code.kind);
        }
        if let Some(node) = self.import_setting(&measure.name.text, &code.kind) {
            code.set_by_import = Some(node);
        }
        let bound = Bound::Value {
            slot: code.slot,
            kind: code.kind.clone(),
            site: Some(code.site),
        };
        self.bind(&measure.name, bound);
        if self.here.file.globals.len() < MOST_MEASURES
            && let Some(binding) = self.find(&measure.name.text)
        {
            Rc::make_mut(&mut self.here.file.globals)
                .insert(Arc::clone(&measure.name.text), as_global(&binding));
        }
        self.fresh.retain(|(_, name, _)| *name != measure.name.text);
        let number = self.program.measures.len();
        self.program.measures.push(code);
        vec![Op::Measure(number)]
    }

    /// The value set on the import line, if any; settings used are crossed off.
    fn import_setting(&mut self, name: &str, kind: &Kind) -> Option<Node> {
        let at = self
            .here
            .import_settings
            .iter()
            .position(|(word, _)| word.text.as_ref() == name)?;
        let (_, typed) = self.here.import_settings.remove(at);
        if !typed.kind.fits(kind) {
            let message =
                self.kind_mismatch(&typed, &kind.with_article(), std::slice::from_ref(kind));
            self.report(message);
            return None;
        }
        Some(typed.node)
    }
}

/// A default that is a figure, a text, yes or no, and reads nothing.
fn is_plain(expr: &Expr) -> bool {
    match &expr.kind {
        ExprKind::Bracketed(inner) | ExprKind::Negative(inner) => is_plain(inner),
        ExprKind::Sum { left, right, .. } => is_plain(left) && is_plain(right),
        ExprKind::Figure { .. } | ExprKind::Text(_) | ExprKind::Answer(_) => true,
        _ => false,
    }
}

/// A measure as an operation sees it.
fn as_global(binding: &Binding) -> Binding {
    let bound = match &binding.bound {
        Bound::Value {
            slot: Slot::Local(at),
            kind,
            site,
        } => Bound::Value {
            slot: Slot::Global(*at),
            kind: kind.clone(),
            site: *site,
        },
        other => other.clone(),
    };
    Binding {
        bound,
        ..binding.clone()
    }
}

/// The unit of the first length in an expression.
fn first_unit(expr: &Expr) -> Option<LengthUnit> {
    match &expr.kind {
        ExprKind::Figure { unit, .. } => unit.and_then(LengthUnit::for_figures_in),
        ExprKind::Sum { left, right, .. } => first_unit(left).or_else(|| first_unit(right)),
        ExprKind::Bracketed(inner) | ExprKind::Negative(inner) => first_unit(inner),
        _ => None,
    }
}
