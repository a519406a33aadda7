//! Units and how figures are printed for people.

use super::{Dimension, Kind};
use crate::syntax::tree::Unit;

impl Unit {
    /// What it measures, and how many millimetres or degrees one of it is. The inch is 25.4 mm exactly
    /// (international yard and pound agreement of 1959, from memory).
    pub fn measure(self) -> (Dimension, f64) {
        match self {
            Unit::Millimetre => (Dimension::LENGTH, 1.0),
            Unit::Centimetre => (Dimension::LENGTH, 10.0),
            Unit::Metre => (Dimension::LENGTH, 1000.0),
            Unit::Inch => (Dimension::LENGTH, 25.4),
            Unit::Degree => (Dimension::ANGLE, 1.0),
            Unit::Percent => (Dimension::NUMBER, 0.01),
        }
    }

    /// As written.
    pub fn name(self) -> &'static str {
        match self {
            Unit::Millimetre => "mm",
            Unit::Centimetre => "cm",
            Unit::Metre => "m",
            Unit::Inch => "in",
            Unit::Degree => "deg",
            Unit::Percent => "%",
        }
    }

    /// The unit of that name.
    pub fn named(name: &str) -> Option<Self> {
        [
            Unit::Millimetre,
            Unit::Centimetre,
            Unit::Metre,
            Unit::Inch,
            Unit::Degree,
            Unit::Percent,
        ]
        .into_iter()
        .find(|unit| unit.name() == name)
    }
}

/// The unit in which lengths are printed for people.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum LengthUnit {
    /// To a tenth.
    #[default]
    Millimetre,
    /// To a tenth of a millimetre: two decimals.
    Centimetre,
    /// To the nearest sixteenth.
    Inch,
}

impl LengthUnit {
    /// The printing unit for figures written in `unit`; angles and shares have none.
    pub fn for_figures_in(unit: Unit) -> Option<Self> {
        match unit {
            Unit::Millimetre | Unit::Metre => Some(Self::Millimetre),
            Unit::Centimetre => Some(Self::Centimetre),
            Unit::Inch => Some(Self::Inch),
            Unit::Degree | Unit::Percent => None,
        }
    }

    /// Its short name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Millimetre => "mm",
            Self::Centimetre => "cm",
            Self::Inch => "in",
        }
    }

    /// A length for people, with its unit: `28 cm`, `1.55 cm`, `280 mm`, `15 3/4 in`.
    pub fn length(self, mm: f64) -> String {
        match self {
            Self::Millimetre => format!("{} mm", decimals(mm, 1)),
            Self::Centimetre => format!("{} cm", decimals(mm / 10.0, 2)),
            Self::Inch => format!("{} in", sixteenths(mm / 25.4)),
        }
    }

    /// A length as it would be typed into a draft: `28cm`, `15 3/4in`.
    pub fn typed(self, mm: f64) -> String {
        self.length(mm)
            .rsplit_once(' ')
            .map_or_else(String::new, |(figure, unit)| format!("{figure}{unit}"))
    }

    /// An area for people: cm² beside metric lengths, square inches beside inches.
    pub fn area(self, mm2: f64) -> String {
        match self {
            Self::Millimetre | Self::Centimetre => format!("{} cm²", decimals(mm2 / 100.0, 1)),
            Self::Inch => format!("{} sq in", decimals(mm2 / 645.16, 1)),
        }
    }

    /// Any named quantity for people.
    pub fn quantity(self, dimension: Dimension, value: f64) -> String {
        match dimension {
            Dimension::LENGTH => self.length(value),
            Dimension::AREA => self.area(value),
            Dimension::ANGLE => format!("{}°", decimals(value, 2)),
            _ => decimals(value, 4),
        }
    }

    /// Figures of one dimension for people; those that differ have as many places as part them.
    pub fn apart<const N: usize>(self, dimension: Dimension, values: [f64; N]) -> [String; N] {
        let least = if dimension == Dimension::NUMBER {
            1e-9
        } else {
            1e-6
        };
        let differ = |a: f64, b: f64| (a - b).abs() > least;
        let mut said = values.map(|value| self.quantity(dimension, value));
        for more in 1..=6 {
            let pairs = values.iter().zip(&said);
            let are_apart = pairs.clone().enumerate().all(|(n, (a, words))| {
                let mut others = pairs.clone().skip(n + 1);
                others.all(|(b, other)| words != other || !differ(*a, *b))
            });
            if are_apart {
                break;
            }
            said = values.map(|value| self.finer(dimension, value, more));
        }
        said
    }

    /// A figure that is not nothing, so that it is not printed as nothing.
    pub fn not_nothing(self, dimension: Dimension, value: f64) -> String {
        let [said, _] = self.apart(dimension, [value, 0.0]);
        said
    }

    /// With so many places more than are usual.
    fn finer(self, dimension: Dimension, value: f64, more: usize) -> String {
        let said = |figure: f64, places: usize| decimals(figure, places + more);
        match (dimension, self) {
            (Dimension::LENGTH, Self::Millimetre) => format!("{} mm", said(value, 1)),
            (Dimension::LENGTH, Self::Centimetre) => format!("{} cm", said(value / 10.0, 2)),
            (Dimension::LENGTH, Self::Inch) => format!("{} in", said(value / 25.4, 2)),
            (Dimension::AREA, Self::Inch) => format!("{} sq in", said(value / 645.16, 1)),
            (Dimension::AREA, _) => format!("{} cm²", said(value / 100.0, 1)),
            (Dimension::ANGLE, _) => format!("{}°", said(value, 2)),
            _ => said(value, 4),
        }
    }

    /// A value of `kind` for people, where it is a quantity.
    pub fn of_kind(self, kind: &Kind, value: f64) -> String {
        match kind {
            Kind::Quantity(dimension) => self.quantity(*dimension, value),
            _ => decimals(value, 4),
        }
    }
}

/// At most `places` decimals, without trailing zeros and never `-0`.
pub fn decimals(value: f64, places: usize) -> String {
    if !value.is_finite() {
        return "no figure".into();
    }
    let fixed = format!("{value:.places$}");
    let short = if fixed.contains('.') {
        fixed.trim_end_matches('0').trim_end_matches('.')
    } else {
        &fixed
    };
    if short == "-0" {
        "0".into()
    } else {
        short.into()
    }
}

/// Inches below a sixteenth, which would print as none or as twice themselves: `1/32` where that is what is meant, else two
/// figures after the noughts, `0.02`. None where a sixteenth says it, or where there is less than a twentieth of a
/// millimetre, which no unit prints.
pub(crate) fn below_a_sixteenth(inches: f64) -> Option<String> {
    let size = inches.abs();
    let is = |wanted: f64| (size - wanted).abs() < 5e-4;
    if !size.is_finite() || size >= 1.0 / 16.0 || is(1.0 / 16.0) || size * 25.4 < 0.05 {
        return None;
    }
    let sign = if inches < 0.0 { "-" } else { "" };
    let fractions = [(1.0, 64.0), (1.0, 32.0), (3.0, 64.0)];
    if let Some((top, bottom)) = fractions.into_iter().find(|(a, b)| is(a / b)) {
        return Some(format!("{sign}{top}/{bottom}"));
    }
    let places = if size < 0.01 { 3 } else { 2 };
    Some(format!("{sign}{}", decimals(size, places)))
}

/// Inches to the nearest sixteenth, as tailors write them: `15 3/4`, `3/8`, `-1 1/16`.
fn sixteenths(inches: f64) -> String {
    if !inches.is_finite() || inches.abs() > 1e9 {
        return decimals(inches, 2);
    }
    if let Some(small) = below_a_sixteenth(inches) {
        return small;
    }
    let all = (inches.abs() * 16.0).round();
    let sign = if inches < 0.0 && all > 0.0 { "-" } else { "" };
    let whole = (all / 16.0).floor();
    let mut numerator = all - whole * 16.0;
    let mut denominator = 16.0;
    while numerator > 0.0 && numerator % 2.0 == 0.0 {
        numerator /= 2.0;
        denominator /= 2.0;
    }
    match (whole > 0.0, numerator > 0.0) {
        (_, false) => format!("{sign}{whole}"),
        (false, true) => format!("{sign}{numerator}/{denominator}"),
        (true, true) => format!("{sign}{whole} {numerator}/{denominator}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_read_as_the_trade_writes_them() {
        assert_eq!(LengthUnit::Inch.length(400.05), "15 3/4 in");
        assert_eq!(LengthUnit::Inch.length(-9.525), "-3/8 in");
        assert_eq!(LengthUnit::Centimetre.length(280.0), "28 cm");
        assert_eq!(LengthUnit::Centimetre.length(15.54), "1.55 cm");
        assert_eq!(LengthUnit::Millimetre.length(-0.01), "0 mm");
        assert_eq!(LengthUnit::Inch.typed(400.05), "15 3/4in");
    }

    #[test]
    fn figures_that_differ_never_read_alike() {
        let of = |unit: LengthUnit, a: f64, b: f64| unit.apart(Dimension::LENGTH, [a, b]);
        assert_eq!(
            of(LengthUnit::Millimetre, 157.08, 157.14),
            ["157.08 mm", "157.14 mm"]
        );
        assert_eq!(
            of(LengthUnit::Millimetre, 24.0, 24.002),
            ["24 mm", "24.002 mm"]
        );
        assert_eq!(
            of(LengthUnit::Centimetre, 157.0, 158.0),
            ["15.7 cm", "15.8 cm"]
        );
        assert_eq!(of(LengthUnit::Centimetre, 0.02, 0.0), ["0.002 cm", "0 cm"]);
        assert_eq!(
            of(LengthUnit::Inch, 400.05, 400.2),
            ["15.75 in", "15.756 in"]
        );
        assert_eq!(
            of(LengthUnit::Inch, 400.05, 400.05),
            ["15 3/4 in", "15 3/4 in"]
        );
        let angles = LengthUnit::Inch.apart(Dimension::ANGLE, [6.001, 6.0, 7.0]);
        assert_eq!(angles, ["6.001°", "6°", "7°"]);
    }

    #[test]
    fn what_is_not_nothing_is_not_printed_as_nothing() {
        let said = |mm: f64| LengthUnit::Inch.length(mm);
        assert_eq!(said(0.5), "0.02 in");
        assert_eq!(said(25.4 / 32.0), "1/32 in");
        assert_eq!(said(25.4 / 64.0), "1/64 in");
        assert_eq!(said(-0.1), "-0.004 in");
        assert_eq!(said(1.0), "0.04 in");
        assert_eq!(said(1.5875), "1/16 in");
        assert_eq!(said(0.01), "0 in", "metric figures show no more");
        for step in 0..400 {
            let mm = f64::from(step) * 0.01;
            let text = said(mm);
            assert!(mm < 0.05 || text != "0 in", "{mm} mm is printed as {text}");
        }
    }
}
