//! Figures: `94cm`, `0.5`, `3/8in`, `15 3/4in`, `3%`. A figure in another pen's form (`1,5cm`, `5"`, `15½in`) is read too
//! and comes with the message that says how it is written here.

use super::tree::Unit;
use crate::report::{Code, Diagnostic, Span};

/// The units and how they are written.
pub(super) const UNITS: &[(&str, Unit)] = &[
    ("mm", Unit::Millimetre),
    ("cm", Unit::Centimetre),
    ("m", Unit::Metre),
    ("in", Unit::Inch),
    ("deg", Unit::Degree),
    ("%", Unit::Percent),
];

/// Other writings of a unit, and the one to use.
const OTHER_WRITINGS: &[(&str, &str)] = &[
    ("inch", "in"),
    ("inches", "in"),
    ("ins", "in"),
    ("degree", "deg"),
    ("degrees", "deg"),
    ("degs", "deg"),
    ("°", "deg"),
    ("millimetre", "mm"),
    ("millimetres", "mm"),
    ("centimetre", "cm"),
    ("centimetres", "cm"),
    ("cms", "cm"),
    ("mms", "mm"),
    ("metre", "m"),
    ("metres", "m"),
    ("percent", "%"),
];

/// What a figure's letters come to.
#[derive(Debug)]
pub(super) struct Reading {
    /// In the unit written.
    pub value: f64,
    /// None for a plain number.
    pub unit: Option<Unit>,
    /// What is to be said of its form.
    pub message: Option<Box<Diagnostic>>,
}

/// The unit of that writing.
pub(super) fn unit(word: &str) -> Option<Unit> {
    UNITS
        .iter()
        .find(|(name, _)| *name == word)
        .map(|(_, unit)| *unit)
}

/// How a word that means a unit is written here: itself, or the usual short form.
pub(super) fn unit_writing(word: &str) -> Option<&'static str> {
    let own = UNITS.iter().map(|(name, _)| (*name, *name));
    own.chain(OTHER_WRITINGS.iter().copied())
        .find(|(name, _)| *name == word)
        .map(|(_, writing)| writing)
}

/// Reads a figure in the plain form.
pub(super) fn read(letters: &str, span: Span) -> Reading {
    let cut = letters
        .find(|c: char| !c.is_ascii_digit() && !matches!(c, '.' | '/' | ' '))
        .unwrap_or(letters.len());
    let (digits, suffix) = letters.split_at(cut);
    let (value, message) = match digits_value(digits) {
        Some(value) if value.is_finite() => (value, None),
        Some(_) => (0.0, Some(too_large(span))),
        None => (0.0, Some(divided_by_zero(span))),
    };
    let known = unit(suffix);
    let unit_message =
        (!suffix.is_empty() && known.is_none()).then(|| unknown_unit(digits, suffix, span));
    Reading {
        value,
        unit: known.or_else(|| unit_writing(suffix).and_then(unit)),
        message: message.or(unit_message).map(Box::new),
    }
}

/// `94`, `0.5`, `3/8`, `15 3/4`; none for a division by nought.
fn digits_value(digits: &str) -> Option<f64> {
    let number = |s: &str| s.parse::<f64>().unwrap_or(f64::INFINITY);
    let (whole, fraction) = match digits.split_once(' ') {
        Some((whole, fraction)) => (number(whole), fraction),
        None => (0.0, digits),
    };
    match fraction.split_once('/') {
        None => Some(number(digits)),
        Some((top, bottom)) => {
            let bottom = number(bottom);
            (bottom != 0.0).then(|| whole + number(top) / bottom)
        }
    }
}

fn too_large(span: Span) -> Diagnostic {
    let message = "This figure has more digits than any length of cloth needs.";
    Diagnostic::error(Code::FigureTooLarge, span, message)
        .help("Write it in a larger unit, or mend a slip of the pen.")
}

fn divided_by_zero(span: Span) -> Diagnostic {
    Diagnostic::error(
        Code::FigureUndefined,
        span,
        "A fraction cannot have nought below its bar.",
    )
    .help("Write it as in `3/8in`.")
}

fn unknown_unit(digits: &str, suffix: &str, span: Span) -> Diagnostic {
    let message = format!("`{suffix}` is not a unit; the units are mm, cm, m, in, deg and %.");
    let report = Diagnostic::error(Code::UnknownUnit, span, message);
    if let Some(writing) = unit_writing(suffix) {
        return report.write(&format!("{digits}{writing}"));
    }
    let exponent = suffix.strip_prefix(['e', 'E']);
    if exponent.is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit())) {
        return report.help("Write the figure out with all its digits.");
    }
    match nearest_unit(suffix) {
        Some(unit) => report.write(&format!("{digits}{unit}")),
        None => report.help(format!(
            "Write a unit, as in `{digits}mm`, or a sign between the figure and the name, as in `{digits} * {suffix}`."
        )),
    }
}

fn nearest_unit(suffix: &str) -> Option<&'static str> {
    let lower = suffix.to_lowercase();
    let names = UNITS.iter().map(|(name, _)| *name);
    names
        .map(|name| (strsim::damerau_levenshtein(name, &lower), name))
        .filter(|(distance, name)| *distance == 0 || (*distance == 1 && name.len() > 1))
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, name)| name)
}

/// Fractions in one character, with what stands above and below their bar.
pub(super) const FRACTIONS: &[(char, u8, u8)] = &[
    ('½', 1, 2),
    ('¼', 1, 4),
    ('¾', 3, 4),
    ('⅛', 1, 8),
    ('⅜', 3, 8),
    ('⅝', 5, 8),
    ('⅞', 7, 8),
    ('⅓', 1, 3),
    ('⅔', 2, 3),
    ('⅕', 1, 5),
    ('⅖', 2, 5),
    ('⅗', 3, 5),
    ('⅘', 4, 5),
    ('⅙', 1, 6),
    ('⅚', 5, 6),
];

/// Reads a figure in another pen's form, with its message.
pub(super) fn read_odd(letters: &str, span: Span) -> Reading {
    let (plain, what) = plain_form(letters);
    let mut reading = read(&plain, span);
    if reading.message.is_none() {
        let report = Diagnostic::error(Code::FigureForm, span, what);
        reading.message = Some(Box::new(report.write(&plain)));
    }
    reading
}

/// The plain form, and what is odd about the form at hand.
fn plain_form(letters: &str) -> (String, String) {
    let fraction = letters.find(|c| FRACTIONS.iter().any(|(sign, ..)| *sign == c));
    let inches = letters.ends_with(['"', '”', '″']);
    let body = letters.trim_end_matches(['"', '”', '″']);
    let unit = if inches { "in" } else { "" };
    if let Some(at) = fraction {
        return (
            fraction_plain(body, at, unit),
            format!("`{letters}` holds a fraction in one character."),
        );
    }
    if inches {
        return (
            format!("{}{unit}", body.replacen('-', " ", 1)),
            format!("`{letters}`: inches are written `in`, since this mark begins a text."),
        );
    }
    if letters.contains('-') {
        let what =
            format!("In `{letters}` the `-` subtracts: it takes the fraction from the whole.");
        return (letters.replacen('-', " ", 1), what);
    }
    if letters.contains(',') {
        let what =
            format!("`{letters}` has a decimal comma: a comma stands between the items of a list.");
        return (letters.replacen(',', ".", 1), what);
    }
    if letters.contains('°') {
        let plain = letters.split('°').next().unwrap_or("");
        return (
            format!("{plain}deg"),
            "Angles are written with `deg`.".to_string(),
        );
    }
    if letters.starts_with('.') {
        return (
            format!("0{letters}"),
            format!("`{letters}` lacks the nought before its point."),
        );
    }
    (
        letters.replacen('.', "", 1),
        format!("`{letters}` has a point and no figure after it."),
    )
}

fn fraction_plain(body: &str, at: usize, unit: &str) -> String {
    let (whole, rest) = body.split_at(at);
    let mut characters = rest.chars();
    let sign = characters.next().unwrap_or('½');
    let suffix = characters.as_str();
    let whole = whole.trim_end_matches([' ', '-']);
    let (_, top, bottom) = FRACTIONS
        .iter()
        .find(|(c, ..)| *c == sign)
        .copied()
        .unwrap_or(('½', 1, 2));
    if suffix.is_empty() && unit.is_empty() {
        // Without a unit a fraction is a division, so the decimal form is the only one figure.
        let value = whole.parse::<f64>().unwrap_or(0.0) + f64::from(top) / f64::from(bottom);
        return format!("{value}");
    }
    let space = if whole.is_empty() { "" } else { " " };
    format!("{whole}{space}{top}/{bottom}{suffix}{unit}")
}
