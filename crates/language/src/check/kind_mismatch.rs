//! Holding an expression against the kind it must have, and the message where it has another.

use super::checker::{Checker, Typed};
use crate::kind::{Dimension, Kind};
use crate::report::{Code, Diagnostic, Span};
use crate::syntax::tree::{Expr, Operator};
use crate::voice;
use crate::voice::LengthUnit;

impl<'a> Checker<'a> {
    /// Types an expression that must come out as `kind`.
    pub(super) fn wanted(&mut self, expr: &'a Expr, kind: &Kind) -> Typed {
        let typed = self.expression(expr);
        self.must_be(typed, kind)
    }

    /// Holds a typed expression against the kind it must have.
    pub(super) fn must_be(&mut self, typed: Typed, kind: &Kind) -> Typed {
        if typed.kind.fits(kind) {
            return typed;
        }
        let words = super::nearest_form::kind_words(kind);
        let message = self.kind_mismatch(&typed, &words, std::slice::from_ref(kind));
        self.fail(message);
        Typed::unknown(typed.span)
    }

    /// The message for a value of the wrong kind, with the mend that fits the slip.
    pub(super) fn kind_mismatch(&self, typed: &Typed, wanted: &str, kinds: &[Kind]) -> Diagnostic {
        let said = self.said(typed.span);
        if typed.is_figure {
            for kind in [&Kind::LENGTH, &Kind::ANGLE] {
                if kinds.contains(kind) && !kinds.contains(&Kind::NUMBER) {
                    return Diagnostic::error(
                        Code::UnitMissing,
                        typed.span,
                        format!(
                            "`{said}` has no unit, and {} is wanted here.",
                            kind.with_article()
                        ),
                    )
                    .at("which unit?")
                    .write_one_of(&self.with_units(said, kind));
                }
            }
        }
        let has_no_sense = match typed.kind {
            Kind::ANGLE => kinds.contains(&Kind::Turn),
            Kind::LENGTH => kinds.contains(&Kind::LengthRound),
            Kind::Point => kinds.contains(&Kind::PointRound),
            _ => false,
        };
        if has_no_sense {
            return Diagnostic::error(
                Code::TurnWithoutSense,
                typed.span,
                "A turn says which way: clockwise or anticlockwise, as seen on the paper.",
            )
            .at("which way?")
            .write_one_of(&[format!("{said} clockwise"), format!("{said} anticlockwise")]);
        }
        if let Kind::Quantity(dimension) = &typed.kind
            && dimension.name().is_none()
        {
            return Diagnostic::error(
                Code::KindWithoutName,
                typed.span,
                format!("This comes out as a {dimension}, and {wanted} is wanted."),
            )
            .at("works out as no kind")
            .help("Look for a multiplication or division too many, or too few.");
        }
        let mut message = Diagnostic::error(
            Code::WrongKind,
            typed.span,
            format!(
                "This is {}, and {wanted} is wanted.",
                typed.kind.with_article()
            ),
        )
        .at(typed.kind.with_article());
        if let Some(name) = &typed.name
            && let Some(binding) = self.find(name)
        {
            message = message.see(binding.span, binding.origin(name));
        }
        if typed.kind == Kind::NUMBER
            && typed.name.is_some()
            && kinds
                .iter()
                .any(|kind| matches!(*kind, Kind::LENGTH | Kind::ANGLE))
        {
            message = message.help(format!(
                "If {wanted} was meant, give it its unit where it comes from."
            ));
        }
        if typed.kind == Kind::Point && kinds.iter().any(Kind::is_path) {
            message = message.help("A line needs two ends: `from A to B`.");
        }
        message
    }

    /// How a plain figure would be written as a kind, the likeliest unit first: the one in which the draft, up to here,
    /// writes figures of that size, and where it writes none, its own.
    pub(super) fn with_units(&self, figure: &str, kind: &Kind) -> Vec<String> {
        let mut units = match (kind, self.program.unit) {
            (Kind::Quantity(Dimension::ANGLE), _) => ["deg"].as_slice(),
            (Kind::Quantity(Dimension::LENGTH), LengthUnit::Inch) => &["in", "cm"],
            (Kind::Quantity(Dimension::LENGTH), LengthUnit::Millimetre) => &["mm", "cm"],
            (Kind::Quantity(Dimension::LENGTH), LengthUnit::Centimetre) => &["cm", "mm"],
            _ => &["cm", "mm", "deg"],
        }
        .to_vec();
        if *kind == Kind::LENGTH
            && let Ok(value) = figure.parse()
            && let Some(usual) = self.usual_unit(value, &units)
        {
            units.sort_by_key(|unit| *unit != usual);
        }
        let written = units.iter().map(|unit| format!("{figure}{unit}"));
        written.collect()
    }

    /// The unit of the figure, of those written so far, that is most like this one.
    fn usual_unit<'u>(&self, value: f64, units: &[&'u str]) -> Option<&'u str> {
        let written = self.program.figures.iter().filter_map(|figure| {
            let letters = self.project.sources.slice(figure.span);
            let at = letters.find(|c: char| c.is_alphabetic())?;
            let (digits, suffix) = letters.split_at_checked(at)?;
            let unit = units.iter().find(|unit| **unit == suffix)?;
            self.looked_at.borrow_mut().push(figure.span);
            let other: f64 = digits.parse().ok()?;
            let apart = (other / value).ln().abs();
            (figure.span.file.0 == 0 && apart.is_finite()).then_some((apart, *unit))
        });
        let nearest = written.min_by(|(a, _), (b, _)| a.total_cmp(b));
        nearest.map(|(_, unit)| unit)
    }

    pub(super) fn sum_mismatch(
        &self,
        operator: Operator,
        sign: Span,
        a: &Typed,
        b: &Typed,
    ) -> Diagnostic {
        let tight = self
            .said(Span {
                start: sign.end,
                end: b.span.start,
                ..sign
            })
            .is_empty();
        let (left, right) = (self.said(a.span), self.said(b.span));
        if operator == Operator::Subtract
            && a.is_figure
            && tight
            && right.contains('/')
            && right.ends_with("in")
        {
            return Diagnostic::error(
                Code::FigureForm,
                a.span.to(b.span),
                format!("`{left}-{right}` takes a length from a number."),
            )
            .help(format!("For {left} and {right}, write `{left} {right}`."));
        }
        let verb = if operator == Operator::Add {
            "added to"
        } else {
            "taken from"
        };
        for (side, other) in [(b, a), (a, b)] {
            if side.is_figure && matches!(other.kind, Kind::LENGTH | Kind::ANGLE) {
                let figure = self.said(side.span);
                let message = format!(
                    "`{figure}` has no unit, and beside it stands {}.",
                    other.kind.with_article()
                );
                return Diagnostic::error(Code::UnitMissing, side.span, message)
                    .at("which unit?")
                    .see(other.span, other.kind.with_article())
                    .write_one_of(&self.with_units(figure, &other.kind));
            }
        }
        let message = format!(
            "{} cannot be {verb} {}.",
            voice::capital(&b.kind.with_article()),
            a.kind.with_article()
        );
        Diagnostic::error(Code::KindsDoNotMix, b.span, message)
            .at(b.kind.with_article())
            .see(a.span, a.kind.with_article())
    }
}

pub(super) fn done(operator: Operator) -> &'static str {
    match operator {
        Operator::Add => "added",
        Operator::Subtract => "subtracted",
        Operator::Multiply => "multiplied",
        Operator::Divide => "divided",
    }
}
