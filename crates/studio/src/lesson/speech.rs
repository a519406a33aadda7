//! Names, figures and formulas as they are said: `hip_girth / 4` is "25 cm (hip girth ÷ 4)".

use super::asked::Asked;
use super::sheets::Mark;
use super::trees::Trees;
use oaktag_language::check::program::{Bound, Program, Site};
use oaktag_language::draft::record::{Entry, Record, ValueId, Worked};
use oaktag_language::kind::{Dimension, Kind};
use oaktag_language::phrase::Value;
use oaktag_language::report::SourceMap;
use oaktag_language::syntax::tree::{Expr, ExprKind, Name, Operator};
use oaktag_language::voice;
use oaktag_language::voice::{LengthUnit, decimals};
use std::collections::HashMap;

/// What a lesson calls `origin`.
pub(super) const START: &str = "the starting point of the sheet";

/// What is needed to say one sentence of the record.
#[derive(Clone, Copy)]
pub(super) struct Speech<'a> {
    pub sources: &'a SourceMap,
    pub program: &'a Program,
    pub record: &'a Record,
    pub bound: &'a Bound<'a>,
    pub unit: LengthUnit,
    pub entry: &'a Entry,
    pub trees: &'a Trees<'a>,
    /// What a class is asked, while it is; none otherwise.
    pub asked: Option<&'a Asked>,
}

/// A name as it is spoken, with its article: "the neck point", "the shoulder of the back".
pub(super) fn the(name: &str) -> String {
    said_of(name, voice::the)
}

/// The same of something of a kind: "the turned line", "the length to bust".
pub(super) fn the_thing(name: &str, kind: &Kind) -> String {
    let what = match kind {
        Kind::Point => "point",
        Kind::Line | Kind::Curve => "line",
        length if *length == Kind::LENGTH => "length",
        angle if *angle == Kind::ANGLE => "angle",
        _ => return the(name),
    };
    said_of(name, |own| voice::the_thing(own, what))
}

fn said_of(name: &str, own: impl FnOnce(&str) -> String) -> String {
    let mut parts = name.rsplit('.');
    let own = own(parts.next().unwrap_or_default());
    let of: String = parts
        .map(|part| format!(" of {}", voice::the(part)))
        .collect();
    format!("{own}{of}")
}

/// Names as they are spoken beside each other.
pub(super) struct Told(HashMap<String, usize>);

impl Told {
    pub(super) fn among(named: &[(String, Mark)]) -> Self {
        let mut times = HashMap::new();
        for (name, _) in named {
            *times.entry(voice::own_name(name)).or_default() += 1;
        }
        Self(times)
    }

    /// A name as it is spoken, with its panel where another of them is called the same.
    pub(super) fn name(&self, name: &str) -> String {
        let own = voice::own_name(name);
        let panel = name
            .rsplit_once('.')
            .map(|(panel, _)| voice::own_name(panel));
        match panel {
            Some(panel) if self.0.get(&own).is_some_and(|times| *times > 1) => {
                format!("{panel} {own}")
            }
            _ => own,
        }
    }
}

/// A full name of a panel as written, resolved against names of the record.
pub(super) fn dotted(name: &Name) -> String {
    let words: Vec<&str> = name.words.iter().map(|word| word.text.as_ref()).collect();
    words.join(".")
}

/// The full name, kind and value of something drawn or settled.
pub(super) fn value_of<'a>(
    program: &'a Program,
    record: &'a Record,
    id: ValueId,
) -> Option<(&'a str, &'a Kind, &'a Value)> {
    let entry = record.get(id.entry)?;
    let at = id.at as usize;
    let value = entry.values.get(at)?;
    let targets = &program.site(entry.site)?.targets;
    if let Some(target) = targets.get(at) {
        return Some((&target.name, &target.kind, value));
    }
    let mut measures = program.measures.iter();
    let measure = measures.find(|measure| measure.site == entry.site)?;
    Some((&measure.name, &measure.kind, value))
}

/// How well a full name answers to a name as written: wholly, by its end, but for the number of a copy, by its member
/// alone, not at all.
fn likeness(full: &str, written: &str, copy: Option<u32>) -> usize {
    let member = |name: &str| name.rsplit('.').next().map(str::to_owned);
    if full == written {
        4
    } else if full.ends_with(&format!(".{written}")) {
        3
    } else if in_copy(full, written, copy).is_some() {
        2
    } else {
        usize::from(member(full) == member(written))
    }
}

/// The end of a full name that is a name as written in a copy which an `each` lays out: each word alone, or with the
/// copy's number behind it.
fn in_copy<'f>(full: &'f str, written: &str, copy: Option<u32>) -> Option<&'f str> {
    let suffix = format!("_{}", copy?);
    let mut begins = full.len() + 1;
    let mut parts = full.rsplit('.');
    for word in written.rsplit('.') {
        let part = parts.next()?;
        if part != word && part.strip_suffix(&suffix) != Some(word) {
            return None;
        }
        begins -= part.len() + 1;
    }
    full.get(begins..)
}

/// A name of a site as it is drawn there: in a copy that an `each` lays out it bears the copy's number.
pub(super) fn numbered(site: &Site, name: &str) -> String {
    let full = site.targets.first().map_or("", |target| &target.name);
    let mut parts = full.split('.');
    let own = parts.find_map(|part| in_copy(part, name, site.copy));
    own.unwrap_or(name).to_owned()
}

impl<'a> Speech<'a> {
    /// A figure worked out at a place of the sentence.
    fn worked(&self, expr: &Expr) -> Option<&'a Worked> {
        self.entry
            .worked
            .iter()
            .rev()
            .find(|worked| worked.span == expr.span)
    }

    /// What it read under a name, as written.
    pub(super) fn read(&self, name: &str) -> Option<(&'a Value, &'a Kind)> {
        let mut best: Option<(usize, (&Value, &Kind))> = None;
        let read = self.entry.read.iter();
        for (full, kind, value) in read.filter_map(|id| value_of(self.program, self.record, *id)) {
            let score = likeness(full, name, self.copy());
            if score > 0 && best.is_none_or(|(known, _)| score > known) {
                best = Some((score, (value, kind)));
            }
        }
        best.map(|(_, found)| found)
    }

    /// Whether a name means what its own sentence draws anew.
    pub(super) fn is_old(&self, name: &Name) -> bool {
        let drawn = self.as_drawn(name);
        let targets = self.program.site(self.entry.site).map(|site| &site.targets);
        let mut targets = targets.into_iter().flatten();
        targets.any(|target| {
            let ending = || target.name.strip_suffix(drawn.as_str());
            target.replaces.is_some()
                && ending().is_some_and(|rest| rest.is_empty() || rest.ends_with('.'))
        })
    }

    /// Whether these are all that the sentence draws anew, in its order.
    pub(super) fn is_all_old(&self, these: &[&Expr]) -> bool {
        let targets = self.program.site(self.entry.site).map(|site| &site.targets);
        let targets = targets.into_iter().flatten();
        let own: Vec<String> = targets
            .map(|target| voice::own_name(&target.name))
            .collect();
        let names = these.iter().map(|one| match &one.kind {
            ExprKind::Name(name) if self.is_old(name) => {
                Some(voice::own_name(&self.as_drawn(name)))
            }
            _ => None,
        });
        names.collect::<Option<Vec<String>>>() == Some(own)
    }

    /// Which copy that an `each` lays out the sentence stands in.
    fn copy(&self) -> Option<u32> {
        self.program.site(self.entry.site)?.copy
    }

    /// A name as it is drawn: in a copy that an `each` lays out it bears the copy's number.
    pub(super) fn as_drawn(&self, name: &Name) -> String {
        let written = dotted(name);
        let read = self.entry.read.iter();
        let mut names = read.filter_map(|id| value_of(self.program, self.record, *id));
        // In an imported draft, another of its sheets is called in full, as its own steps call it.
        let targets = self.program.site(self.entry.site).map(|site| &site.targets);
        let own = targets.and_then(|targets| targets.first());
        let is_imported = |full: &str| {
            let import = full.strip_suffix(&written);
            let import = import.filter(|import| import.ends_with('.'));
            self.entry.call.is_none()
                && name.words.len() > 1
                && import.is_some_and(|import| own.is_some_and(|own| own.name.starts_with(import)))
        };
        let drawn = names.find_map(|(full, ..)| {
            let whole = is_imported(full).then_some(full);
            whole.or_else(|| in_copy(full, &written, self.copy()))
        });
        drawn.map_or(written.clone(), str::to_owned)
    }

    /// The figure and kind of an expression, where it is one.
    pub(super) fn value(&self, expr: &Expr) -> Option<(f64, Kind)> {
        if let Some(worked) = self.worked(expr) {
            return Some((worked.figure, worked.kind.clone()));
        }
        match &expr.kind {
            ExprKind::Figure { value, unit } => Some(match unit.map(|unit| unit.measure()) {
                Some((dimension, scale)) => (value * scale, Kind::Quantity(dimension)),
                None => (*value, Kind::NUMBER),
            }),
            ExprKind::Bracketed(inner) => self.value(inner),
            ExprKind::Negative(inner) => self.value(inner).map(|(figure, kind)| (-figure, kind)),
            ExprKind::Name(name) => match self.read(&dotted(name))? {
                (Value::Quantity(figure) | Value::Turn(figure), kind) => {
                    Some((*figure, kind.clone()))
                }
                _ => None,
            },
            ExprKind::Turn {
                angle, clockwise, ..
            } => {
                let (figure, _) = self.value(angle)?;
                Some((if *clockwise { figure } else { -figure }, Kind::Turn))
            }
            _ => None,
        }
    }

    /// A figure of a kind, for people.
    pub(super) fn printed(&self, figure: f64, kind: &Kind) -> String {
        match kind {
            Kind::Turn => self.unit.quantity(Dimension::ANGLE, figure.abs()),
            Kind::Quantity(dimension) => self.unit.quantity(*dimension, figure),
            _ => decimals(figure, 4),
        }
    }

    /// A figure as it is said: the value, and in brackets how it comes about.
    pub(super) fn figure(&self, expr: &Expr) -> String {
        if let ExprKind::Turn {
            angle, clockwise, ..
        } = &unbracketed(expr).kind
        {
            let sense = super::ways::sense(*clockwise);
            return match self.value(expr) {
                Some((figure, kind)) if !is_plain(angle) => {
                    let printed = self.asked(angle, self.printed(figure, &kind));
                    format!("{printed} {sense} ({})", self.formula(angle))
                }
                _ => format!("{} {sense}", self.figure(angle)),
            };
        }
        let formula = self.formula(unbracketed(expr));
        match self.value(expr) {
            // A share such as 1/2 says more than 0.5.
            Some((_, Kind::NUMBER)) if is_fraction(expr) => formula,
            Some((figure, kind)) if is_plain(expr) => self.printed(figure, &kind),
            Some((figure, kind)) => {
                let printed = self.asked(expr, self.printed(figure, &kind));
                format!("{printed} ({formula})")
            }
            None => formula,
        }
    }

    /// A formula with names as they are spoken.
    pub(super) fn formula(&self, expr: &Expr) -> String {
        self.written(expr, false)
    }

    /// A formula with every name's value in its place, where it is known.
    pub(crate) fn with_values(&self, expr: &Expr) -> String {
        self.written(expr, true)
    }

    /// Whether the value of every name in a formula is known.
    pub(crate) fn knows_all(&self, expr: &Expr) -> bool {
        match &expr.kind {
            ExprKind::Sum { left, right, .. } => self.knows_all(left) && self.knows_all(right),
            ExprKind::Negative(inner) | ExprKind::Bracketed(inner) => self.knows_all(inner),
            ExprKind::Name(_) => self.value(expr).is_some(),
            _ => true,
        }
    }

    fn written(&self, expr: &Expr, values: bool) -> String {
        match &expr.kind {
            ExprKind::Sum {
                operator,
                left,
                right,
                ..
            } => {
                let sign = match operator {
                    Operator::Add => '+',
                    Operator::Subtract => '−',
                    Operator::Multiply => '×',
                    Operator::Divide => '÷',
                };
                if is_fraction(expr) {
                    return format!(
                        "{}/{}",
                        self.written(left, values),
                        self.written(right, values)
                    );
                }
                format!(
                    "{} {sign} {}",
                    self.written(left, values),
                    self.written(right, values)
                )
            }
            ExprKind::Negative(inner) => format!("−{}", self.written(inner, values)),
            ExprKind::Bracketed(inner) => match unbracketed(inner).kind {
                ExprKind::Sum { .. } | ExprKind::Negative(_) => {
                    format!("({})", self.written(unbracketed(inner), values))
                }
                _ => self.written(unbracketed(inner), values),
            },
            ExprKind::Figure { .. } => match self.value(expr) {
                Some((figure, kind)) => self.printed(figure, &kind),
                None => self.sources.slice(expr.span).to_owned(),
            },
            ExprKind::Name(name) => match (values, self.value(expr)) {
                (true, Some((figure, kind))) => self.printed(figure, &kind),
                _ => voice::name(&self.as_drawn(name)),
            },
            _ => self.noun(expr),
        }
    }
}

/// Without brackets round it.
pub(super) fn unbracketed(expr: &Expr) -> &Expr {
    match &expr.kind {
        ExprKind::Bracketed(inner) => unbracketed(inner),
        _ => expr,
    }
}

/// A figure as it stands: nothing is worked out.
pub(super) fn is_plain(expr: &Expr) -> bool {
    match &unbracketed(expr).kind {
        ExprKind::Figure { .. } => true,
        ExprKind::Negative(inner) => is_plain(inner),
        _ => false,
    }
}

/// Whether it is one plain number over another: `1/2`.
pub(super) fn is_fraction(expr: &Expr) -> bool {
    let bare = |expr: &Expr| matches!(expr.kind, ExprKind::Figure { unit: None, .. });
    matches!(&unbracketed(expr).kind, ExprKind::Sum { operator: Operator::Divide, left, right, .. } if bare(left) && bare(right))
}
