//! Figures as people read them: millimetres and centimetres to a tenth of a millimetre, inches to the nearest sixteenth as
//! tailors write them (`15 3/4 in`), those below one so that they are not denied.

/// Millimetres in an inch, exactly (international yard and pound agreement of 1959, from memory).
pub const INCH: f64 = 25.4;

/// What a figure measures, in millimetres, square millimetres, degrees or as a plain number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Measured {
    /// How long something is, in millimetres.
    Length,
    /// How large something is, in square millimetres.
    Area,
    /// An angle or a turn, in degrees.
    Angle,
    /// A figure without a unit: a count or a share.
    Number,
}

impl Measured {
    /// Figures that differ by no more are the same.
    fn least(self) -> f64 {
        match self {
            Self::Number => 1e-9,
            Self::Length | Self::Area | Self::Angle => 1e-6,
        }
    }
}

/// The unit in which lengths are printed for people.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum LengthUnit {
    /// To a tenth: one decimal.
    #[default]
    Millimetre,
    /// To a tenth of a millimetre: two decimals.
    Centimetre,
    /// To the nearest sixteenth.
    Inch,
}

impl LengthUnit {
    /// As it stands behind a figure: `mm`, `cm`, `in`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Millimetre => "mm",
            Self::Centimetre => "cm",
            Self::Inch => "in",
        }
    }

    /// Its name in a sentence: "figures in centimetres".
    pub fn words(self) -> &'static str {
        match self {
            Self::Millimetre => "millimetres",
            Self::Centimetre => "centimetres",
            Self::Inch => "inches",
        }
    }

    /// Its size in millimetres.
    pub fn mm(self) -> f64 {
        match self {
            Self::Millimetre => 1.0,
            Self::Centimetre => 10.0,
            Self::Inch => INCH,
        }
    }

    /// How many decimals say a length; one in inches that is no fraction of the trade has as many.
    fn places(self) -> usize {
        match self {
            Self::Millimetre => 1,
            Self::Centimetre | Self::Inch => 2,
        }
    }

    /// A length for people, with its unit: `28 cm`, `1.55 cm`, `280 mm`, `15 3/4 in`.
    pub fn length(self, mm: f64) -> String {
        format!("{} {}", self.bare(mm), self.name())
    }

    /// A length without its unit, for tables and drawings that state the unit once.
    pub fn bare(self, mm: f64) -> String {
        match self {
            Self::Inch => sixteenths(mm / INCH),
            Self::Millimetre | Self::Centimetre => decimals(mm / self.mm(), self.places()),
        }
    }

    /// A length as it would be typed into a draft: `28cm`, `15 3/4in`.
    pub fn typed(self, mm: f64) -> String {
        self.length(mm)
            .rsplit_once(' ')
            .map_or_else(String::new, |(figure, unit)| format!("{figure}{unit}"))
    }

    /// A difference between two lengths. In inches one that is smaller than the nearest sixteenth shows is given in
    /// millimetres beside it, since "0 in" would deny it.
    pub fn difference(self, mm: f64) -> String {
        let size = mm.abs();
        if self == Self::Inch && (size / INCH * 16.0).round() < 1.0 && size >= 0.05 {
            return format!("less than 1/16 in ({})", Self::Millimetre.length(size));
        }
        self.length(size)
    }

    /// An area for people: cm² beside metric lengths, square inches beside inches.
    pub fn area(self, mm2: f64) -> String {
        self.quantity(Measured::Area, mm2)
    }

    /// The last figure that is printed of a length, in millimetres.
    pub fn step(self) -> f64 {
        match self {
            Self::Millimetre | Self::Centimetre => 0.1,
            Self::Inch => INCH / 16.0,
        }
    }

    /// The last figure that is printed of an area, in square millimetres.
    pub fn area_step(self) -> f64 {
        match self {
            Self::Millimetre | Self::Centimetre => 10.0,
            Self::Inch => INCH * INCH / 10.0,
        }
    }

    /// Any quantity for people.
    pub fn quantity(self, what: impl Into<Measured>, value: f64) -> String {
        match what.into() {
            Measured::Length => self.length(value),
            what => self.finer(what, value, 0),
        }
    }

    /// Figures of one kind for people; those that differ have as many places as part them.
    pub fn apart<const N: usize>(self, what: impl Into<Measured>, values: [f64; N]) -> [String; N] {
        let what = what.into();
        let said = self.parted(what, &values, what.least());
        std::array::from_fn(|n| said.get(n).cloned().unwrap_or_default())
    }

    /// The first of figures of one kind, in as many places as part all of them.
    pub(super) fn first_apart(self, what: Measured, values: &[f64]) -> String {
        let said = self.parted(what, values, what.least());
        said.into_iter().next().unwrap_or_default()
    }

    /// Lengths to be held against each other: where two differ by more than `least` millimetres, all have as many places as
    /// part them.
    pub fn lengths_apart(self, lengths: &[f64], least: f64) -> Vec<String> {
        self.parted(Measured::Length, lengths, least)
    }

    fn parted(self, what: Measured, values: &[f64], least: f64) -> Vec<String> {
        let usual = values.iter().map(|value| self.quantity(what, *value));
        let mut said: Vec<String> = usual.collect();
        for more in 1..=6 {
            if are_apart(values, &said, least) {
                break;
            }
            let finer = values.iter().map(|value| self.finer(what, *value, more));
            said = finer.collect();
        }
        said
    }

    /// In decimals, with so many places more than are usual.
    pub fn finer(self, what: impl Into<Measured>, value: f64, more: usize) -> String {
        let (figure, places, unit) = match (what.into(), self) {
            (Measured::Length, unit) => (value / unit.mm(), unit.places(), unit.name()),
            (Measured::Area, Self::Inch) => (value / (INCH * INCH), 1, "sq in"),
            (Measured::Area, _) => (value / 100.0, 1, "cm²"),
            (Measured::Angle, _) => return format!("{}°", decimals(value, ANGLE_PLACES + more)),
            (Measured::Number, _) => return decimals(value, 4 + more),
        };
        format!("{} {unit}", decimals(figure, places + more))
    }
}

/// Decimals of an angle: at the end of half a metre a hundredth of a degree is a tenth of a millimetre.
const ANGLE_PLACES: usize = 2;

/// Whether no two values read alike that differ by more than `least`.
fn are_apart(values: &[f64], said: &[String], least: f64) -> bool {
    let both = values.iter().zip(said);
    both.clone().enumerate().all(|(n, (a, words))| {
        let mut others = both.clone().skip(n + 1);
        others.all(|(b, other)| words != other || (a - b).abs() <= least || (a - b).is_nan())
    })
}

/// At most `places` decimals, without trailing zeros and never `-0`.
pub fn decimals(value: f64, places: usize) -> String {
    if !value.is_finite() {
        return "?".to_owned();
    }
    if let Some(plain) = plainly_rounded(value, places) {
        return plain;
    }
    let fixed = format!("{value:.places$}");
    let short = if fixed.contains('.') {
        fixed.trim_end_matches('0').trim_end_matches('.')
    } else {
        &fixed
    };
    match short {
        "-0" => "0".to_owned(),
        _ => short.to_owned(),
    }
}

/// The same for a figure of plain size that lies far from where two roundings meet: there a rounding of the product tells
/// the digits, which the exact figure is asked for otherwise.
fn plainly_rounded(value: f64, places: usize) -> Option<String> {
    const UNSURE: f64 = 1e-4;
    let scale = [1.0, 10.0, 100.0, 1_000.0, 10_000.0].get(places)?;
    let parts = value.abs() * scale;
    let whole = parts.floor();
    if parts >= 1e9 || (parts - whole - 0.5).abs() < UNSURE {
        return None;
    }
    let mut left = whole as u64 + u64::from(parts - whole > 0.5);
    let sign = if value < 0.0 && left > 0 { "-" } else { "" };
    let mut places = places;
    while places > 0 && left.is_multiple_of(10) {
        (left, places) = (left / 10, places - 1);
    }
    let one = 10u64.pow(places as u32);
    Some(match places {
        0 => format!("{sign}{left}"),
        _ => format!("{sign}{}.{:0places$}", left / one, left % one),
    })
}

/// Inches below a sixteenth, which would print as none or as twice themselves: `1/32` where that is what is meant, else two
/// figures after the noughts, `0.02`. None where a sixteenth says it, or where there is less than a twentieth of a
/// millimetre, which no unit prints.
fn below_a_sixteenth(inches: f64) -> Option<String> {
    let size = inches.abs();
    let is = |wanted: f64| (size - wanted).abs() < 5e-4;
    if !size.is_finite() || size >= 1.0 / 16.0 || is(1.0 / 16.0) || size * INCH < 0.05 {
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

    /// As the standard library rounds the exact figure.
    #[test]
    fn plain_figures_have_the_digits_of_the_standard_library() {
        let mut value = 1e-5f64;
        while value < 1e8 {
            for signed in [value, -value, value.round(), (value * 8.0).round() / 8.0] {
                for places in 0..=4 {
                    let fixed = format!("{signed:.places$}");
                    let wanted = if fixed.contains('.') {
                        fixed.trim_end_matches('0').trim_end_matches('.')
                    } else {
                        &fixed
                    };
                    let wanted = if wanted == "-0" { "0" } else { wanted };
                    assert_eq!(decimals(signed, places), wanted);
                }
            }
            value *= 1.0173;
        }
    }

    #[test]
    fn figures_read_as_the_trade_writes_them() {
        assert_eq!(LengthUnit::Inch.length(400.05), "15 3/4 in");
        assert_eq!(LengthUnit::Inch.length(-9.525), "-3/8 in");
        assert_eq!(LengthUnit::Inch.length(INCH * 15.99), "16 in");
        assert_eq!(LengthUnit::Inch.length(-38.1), "-1 1/2 in");
        assert_eq!(LengthUnit::Centimetre.length(280.0), "28 cm");
        assert_eq!(LengthUnit::Centimetre.length(15.54), "1.55 cm");
        assert_eq!(LengthUnit::Millimetre.length(-0.01), "0 mm");
        assert_eq!(LengthUnit::Inch.typed(400.05), "15 3/4in");
    }

    #[test]
    fn figures_that_differ_never_read_alike() {
        let of = |unit: LengthUnit, a: f64, b: f64| unit.apart(Measured::Length, [a, b]);
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
        let angles = LengthUnit::Inch.apart(Measured::Angle, [6.001, 6.0, 7.0]);
        assert_eq!(angles, ["6.001°", "6°", "7°"]);
    }

    #[test]
    fn what_is_not_nothing_is_not_printed_as_nothing() {
        let said = |mm: f64| LengthUnit::Inch.length(mm);
        assert_eq!(said(0.5), "0.02 in");
        assert_eq!(said(INCH / 32.0), "1/32 in");
        assert_eq!(said(INCH / 64.0), "1/64 in");
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
    #[test]
    fn a_length_reads_the_same_with_its_unit_and_without() {
        for unit in [
            LengthUnit::Millimetre,
            LengthUnit::Centimetre,
            LengthUnit::Inch,
        ] {
            for step in 0..2_000 {
                let mm = f64::from(step) * 0.37;
                let bare = format!("{} {}", unit.bare(mm), unit.name());
                assert_eq!(unit.length(mm), bare);
                assert_eq!(unit.quantity(Measured::Length, mm), bare);
                assert_eq!(unit.lengths_apart(&[mm], 0.0), [bare.as_str()]);
                assert_eq!(unit.typed(mm).replace(unit.name(), ""), unit.bare(mm));
            }
        }
        assert_eq!(LengthUnit::Millimetre.bare(413.3667), "413.4");
        assert_eq!(LengthUnit::Centimetre.bare(413.3667), "41.34");
        assert_eq!(LengthUnit::Centimetre.bare(110.0), "11");
        assert_eq!(LengthUnit::Centimetre.typed(8.27), "0.83cm");
    }

    #[test]
    fn lengths_apart_have_as_many_places_as_part_them() {
        let of = |one, other, unit: LengthUnit| unit.lengths_apart(&[one, other], 0.05).join(", ");
        assert_eq!(of(110.0, 110.3, LengthUnit::Centimetre), "11 cm, 11.03 cm");
        assert_eq!(of(110.0, 110.3, LengthUnit::Inch), "4.331 in, 4.343 in");
        assert_eq!(
            of(110.051, 110.149, LengthUnit::Centimetre),
            "11.005 cm, 11.015 cm"
        );
        assert_eq!(
            of(110.151, 110.249, LengthUnit::Millimetre),
            "110.15 mm, 110.25 mm"
        );
        assert_eq!(of(110.0, 110.04, LengthUnit::Centimetre), "11 cm, 11 cm");
        assert_eq!(of(101.6, 203.2, LengthUnit::Inch), "4 in, 8 in");
    }

    #[test]
    fn a_difference_too_small_for_a_sixteenth_is_not_denied() {
        assert_eq!(
            LengthUnit::Inch.difference(0.6),
            "less than 1/16 in (0.6 mm)"
        );
        assert_eq!(LengthUnit::Centimetre.difference(-0.6), "0.06 cm");
        assert_eq!(LengthUnit::Inch.difference(3.2), "1/8 in");
    }

    #[test]
    fn figures_that_are_no_figures_do_not_panic() {
        for unit in [
            LengthUnit::Millimetre,
            LengthUnit::Centimetre,
            LengthUnit::Inch,
        ] {
            assert!(unit.length(f64::NAN).contains('?'));
            assert!(!unit.length(1e300).is_empty());
        }
    }
}
