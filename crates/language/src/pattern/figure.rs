//! Figures as people read them: millimetres and centimetres to a tenth of a millimetre, inches to the nearest sixteenth
//! as tailors write them (`15 3/4 in`), those below one so that they are not denied, angles to a tenth of a degree, and names as they are spoken. What machines read is
//! written elsewhere, with more decimals.

use super::spec::PrintUnit;
use crate::kind::unit::below_a_sixteenth;

/// Millimetres in an inch: exact since the international yard of 1959.
const INCH: f64 = 25.4;

/// A length with its unit: `413.4 mm`, `41.34 cm`, `16 1/4 in`.
pub fn length(mm: f64, unit: PrintUnit) -> String {
    format!("{} {}", bare(mm, unit), unit_name(unit))
}

/// A length without its unit, for tables and drawings that state the unit once.
pub fn bare(mm: f64, unit: PrintUnit) -> String {
    match unit {
        PrintUnit::Millimetre => decimal(mm, 1),
        PrintUnit::Centimetre => decimal(mm / 10.0, 2),
        PrintUnit::Inch => sixteenths(mm / INCH),
    }
}

/// Lengths without their unit, to be held against each other: where two differ by more than `least` millimetres, all have as many
/// decimals as part them.
pub fn apart(lengths: &[f64], least: f64, unit: PrintUnit) -> Vec<String> {
    let are_apart = |said: &[String]| {
        let both = lengths.iter().zip(said);
        both.clone().enumerate().all(|(n, (a, words))| {
            let mut others = both.clone().skip(n + 1);
            others.all(|(b, other)| words != other || (a - b).abs() <= least || (a - b).is_nan())
        })
    };
    let mut said: Vec<String> = lengths.iter().map(|mm| bare(*mm, unit)).collect();
    for more in 1..=6 {
        if are_apart(&said) {
            break;
        }
        let finer = |mm: &f64| match unit {
            PrintUnit::Millimetre => decimal(*mm, 1 + more),
            PrintUnit::Centimetre => decimal(mm / 10.0, 2 + more),
            PrintUnit::Inch => decimal(mm / INCH, 1 + more),
        };
        said = lengths.iter().map(finer).collect();
    }
    said
}

/// A length as one says it, without zeros after the point: `10 mm`, `1.5 cm`, `5/8 in`.
pub fn spoken(mm: f64, unit: PrintUnit) -> String {
    let figure = bare(mm, unit);
    let figure = if figure.contains('.') {
        figure
            .trim_end_matches('0')
            .trim_end_matches('.')
            .to_owned()
    } else {
        figure
    };
    format!("{figure} {}", unit_name(unit))
}

/// A length as a draft writes it, the unit tight against the figure: `10mm`, `1.5cm`, `5/8in`.
pub fn written(mm: f64, unit: PrintUnit) -> String {
    let text = spoken(mm, unit);
    match text.rsplit_once(' ') {
        Some((figure, unit)) => format!("{figure}{unit}"),
        None => text,
    }
}

/// A difference between two lengths. In inches one that is smaller than the nearest sixteenth shows is given in
/// millimetres beside it, since "0 in" would deny it.
pub fn difference(mm: f64, unit: PrintUnit) -> String {
    let size = mm.abs();
    if unit == PrintUnit::Inch && (size / INCH * 16.0).round() < 1.0 && size >= 0.05 {
        return format!("less than 1/16 in ({} mm)", decimal(size, 1));
    }
    length(size, unit)
}

/// An area: square centimetres, or square inches where inches are the unit.
pub fn area(mm2: f64, unit: PrintUnit) -> String {
    match unit {
        PrintUnit::Millimetre | PrintUnit::Centimetre => format!("{} cm²", decimal(mm2 / 100.0, 1)),
        PrintUnit::Inch => format!("{} sq in", decimal(mm2 / (INCH * INCH), 1)),
    }
}

/// The last figure that is printed of a length, in millimetres.
pub fn length_step(unit: PrintUnit) -> f64 {
    match unit {
        PrintUnit::Millimetre | PrintUnit::Centimetre => 0.1,
        PrintUnit::Inch => INCH / 16.0,
    }
}

/// The last figure that is printed of an area, in square millimetres.
pub fn area_step(unit: PrintUnit) -> f64 {
    match unit {
        PrintUnit::Millimetre | PrintUnit::Centimetre => 10.0,
        PrintUnit::Inch => INCH * INCH / 10.0,
    }
}

/// An angle in degrees: `6.6°`.
pub fn angle(degrees: f64) -> String {
    format!("{}°", decimal(degrees, 1))
}

/// A plain number, to four decimals without zeros at the end.
pub fn number(value: f64) -> String {
    let text = decimal(value, 4);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// The unit's short name.
pub fn unit_name(unit: PrintUnit) -> &'static str {
    match unit {
        PrintUnit::Millimetre => "mm",
        PrintUnit::Centimetre => "cm",
        PrintUnit::Inch => "in",
    }
}

/// The unit in a sentence: "figures in centimetres".
pub fn unit_words(unit: PrintUnit) -> &'static str {
    match unit {
        PrintUnit::Millimetre => "millimetres",
        PrintUnit::Centimetre => "centimetres",
        PrintUnit::Inch => "inches",
    }
}

/// Names or other words in a row: `a, b and c`.
pub fn row(words: &[String]) -> String {
    match words.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        Some((last, _)) => last.clone(),
        None => String::new(),
    }
}

/// A name as it is spoken: `back.shoulder_point` is "back shoulder point".
pub fn name(full: &str) -> String {
    full.replace(['.', '_'], " ")
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
}

fn decimal(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return "?".to_owned();
    }
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        Some(rest) if rest.chars().all(|c| c == '0' || c == '.') => rest.to_owned(),
        Some(_) | None => text,
    }
}

fn sixteenths(inches: f64) -> String {
    if !inches.is_finite() || inches.abs() > 1e12 {
        return "?".to_owned();
    }
    if let Some(small) = below_a_sixteenth(inches) {
        return small;
    }
    let parts = (inches.abs() * 16.0).round() as u64;
    let sign = if inches < 0.0 && parts > 0 { "-" } else { "" };
    let (whole, rest) = (parts / 16, parts % 16);
    if rest == 0 {
        return format!("{sign}{whole}");
    }
    let (mut top, mut bottom) = (rest, 16);
    while top % 2 == 0 {
        top /= 2;
        bottom /= 2;
    }
    if whole == 0 {
        format!("{sign}{top}/{bottom}")
    } else {
        format!("{sign}{whole} {top}/{bottom}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use PrintUnit::{Centimetre, Inch, Millimetre};

    #[test]
    fn a_tenth_of_a_millimetre_in_either_metric_unit() {
        assert_eq!(length(413.3667, Millimetre), "413.4 mm");
        assert_eq!(length(413.3667, Centimetre), "41.34 cm");
        assert_eq!(length(-0.01, Millimetre), "0.0 mm");
        assert_eq!(spoken(10.0, Millimetre), "10 mm");
        assert_eq!(spoken(100.0, Centimetre), "10 cm");
        assert_eq!(written(8.27, Centimetre), "0.83cm");
        assert_eq!(written(400.05, Inch), "15 3/4in");
    }

    #[test]
    fn inches_as_a_tailor_writes_them() {
        assert_eq!(length(400.05, Inch), "15 3/4 in");
        assert_eq!(length(9.525, Inch), "3/8 in");
        assert_eq!(length(25.4 * 15.99, Inch), "16 in");
        assert_eq!(length(-38.1, Inch), "-1 1/2 in");
        assert_eq!(length(0.0, Inch), "0 in");
        assert_eq!(length(-0.01, Inch), "0 in");
        assert_eq!(length(0.5, Inch), "0.02 in");
        assert_eq!(spoken(25.4 / 32.0, Inch), "1/32 in");
    }

    #[test]
    fn lengths_that_differ_are_printed_apart() {
        let of = |one: f64, other: f64, unit| apart(&[one, other], 0.05, unit).join(" ");
        assert_eq!(of(110.0, 110.3, Centimetre), "11.00 11.03");
        assert_eq!(of(110.0, 110.3, Inch), "4.33 4.34");
        assert_eq!(of(110.0, 110.06, Inch), "4.331 4.333");
        assert_eq!(of(110.051, 110.149, Centimetre), "11.005 11.015");
        assert_eq!(of(110.151, 110.249, Millimetre), "110.15 110.25");
        assert_eq!(of(110.0, 110.04, Centimetre), "11.00 11.00");
        assert_eq!(of(101.6, 203.2, Inch), "4 8");
    }

    #[test]
    fn a_difference_too_small_for_a_sixteenth_is_not_denied() {
        assert_eq!(difference(0.6, Inch), "less than 1/16 in (0.6 mm)");
        assert_eq!(difference(-0.6, Centimetre), "0.06 cm");
        assert_eq!(difference(3.2, Inch), "1/8 in");
    }

    #[test]
    fn names_are_spoken() {
        assert_eq!(name("back.shoulder_point"), "back shoulder point");
        assert_eq!(name("arm.top.cap_back"), "arm top cap back");
    }

    #[test]
    fn figures_that_are_no_figures_do_not_panic() {
        for unit in [Millimetre, Centimetre, Inch] {
            assert!(bare(f64::NAN, unit).contains('?'));
            assert!(!bare(1e300, unit).is_empty());
        }
    }
}
