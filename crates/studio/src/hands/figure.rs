//! A figure as it stands in a text: what it is worth, how finely it is written, and another in its place.

/// How finely a figure is moved.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Fineness {
    /// In the step it is written in: 1 mm and a sixteenth of an inch at the coarsest.
    #[default]
    AsWritten,
    /// Ten times as finely; of fractions, twice.
    Fine,
}

/// A figure with its unit.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Literal {
    /// In its own unit.
    pub value: f64,
    /// As it is written behind the digits.
    pub unit: String,
    shown: Shown,
    /// It may be less than nothing, and a sign stand before it.
    is_signed: bool,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Shown {
    /// So many digits behind the point.
    Decimal(usize),
    /// A fraction, of so many parts; with a unit the whole stands before it: `15 3/4in`, and without one it cannot: `5/4`.
    Fraction(u32),
}

/// The finest fraction that is written.
const FINEST: u32 = 128;

impl Literal {
    /// Reads a figure; nothing where it is not in the plain form.
    pub(super) fn read(letters: &str) -> Option<Self> {
        let is_digit = |c: char| c.is_ascii_digit() || matches!(c, '.' | '/' | ' ');
        let cut = letters.find(|c| !is_digit(c)).unwrap_or(letters.len());
        let (digits, unit) = letters.split_at(cut);
        if !digits.starts_with(|c: char| c.is_ascii_digit()) {
            return None;
        }
        let (value, shown) = match digits.split_once('/') {
            None => {
                let value = digits.parse().ok()?;
                let decimals = digits.split_once('.').map_or(0, |(_, part)| part.len());
                (value, Shown::Decimal(decimals))
            }
            Some((before, parts)) => {
                let (whole, part) = before.split_once(' ').unwrap_or(("0", before));
                let parts: u32 = parts.parse().ok().filter(|parts| *parts > 0)?;
                let part: f64 = part.parse().ok()?;
                let whole: f64 = whole.parse().ok()?;
                (whole + part / f64::from(parts), Shown::Fraction(parts))
            }
        };
        Some(Self {
            value,
            unit: unit.to_owned(),
            shown,
            is_signed: false,
        })
    }

    /// The same figure of another value.
    pub(super) fn with(self, value: f64) -> Self {
        Self { value, ..self }
    }

    /// The same with a sign, which it may have from now on.
    pub(super) fn signed(self, sign: f64) -> Self {
        Self {
            value: self.value * sign,
            is_signed: true,
            ..self
        }
    }

    /// A number without a unit or a part.
    pub(super) fn is_whole(&self) -> bool {
        self.unit.is_empty() && self.shown == Shown::Decimal(0)
    }

    /// The least that it may be, where so much is declared.
    pub(super) fn least(&self, declared: f64) -> f64 {
        match self.is_signed {
            true => declared,
            false => declared.max(0.0),
        }
    }

    fn shown_for(&self, fineness: Fineness) -> Shown {
        let coarsest = match self.unit.as_str() {
            "cm" => 1,
            "m" => 3,
            "in" => 2,
            _ => 0,
        };
        let is_fine = fineness == Fineness::Fine;
        match self.shown {
            Shown::Decimal(decimals) => {
                Shown::Decimal(decimals.max(coarsest) + usize::from(is_fine))
            }
            Shown::Fraction(parts) => {
                let parts = parts.max(16) * if is_fine { 2 } else { 1 };
                Shown::Fraction(parts.min(FINEST))
            }
        }
    }

    /// How far one step goes, in its own unit.
    pub(super) fn step(&self, fineness: Fineness) -> f64 {
        match self.shown_for(fineness) {
            Shown::Decimal(decimals) => 10_f64.powi(-i32::try_from(decimals).unwrap_or(9)),
            Shown::Fraction(parts) => f64::from(parts).recip(),
        }
    }

    /// The step nearest to a value, in its own unit; nothing less than nothing, where it has no sign. What is written is a
    /// step, too: a third is no number of sixteenths.
    pub(super) fn nearest(&self, value: f64, fineness: Fineness) -> f64 {
        let step = self.step(fineness);
        let nearest = (value / step).round() * step;
        if (value - self.value).abs() < (value - nearest).abs() {
            return self.value;
        }
        // No nought with a sign.
        self.least(nearest) + 0.0
    }

    /// A figure in place of this one, in its step, with its unit.
    pub(super) fn written(&self, value: f64, fineness: Fineness) -> String {
        let value = self.nearest(value, fineness);
        let sign = if value < 0.0 { "-" } else { "" };
        let value = value.abs();
        let digits = match (self.shown_for(fineness), self.shown) {
            (Shown::Decimal(decimals), Shown::Decimal(before)) => {
                let mut digits = format!("{value:.decimals$}");
                // Noughts that the finer step brought along.
                let least = digits
                    .find('.')
                    .map_or(digits.len(), |point| point + 1 + before);
                while digits.len() > least && digits.ends_with('0') {
                    digits.pop();
                }
                digits.trim_end_matches('.').to_owned()
            }
            (Shown::Fraction(_), Shown::Fraction(before)) if value == self.value.abs() => {
                fraction(value, before, self.unit.is_empty())
            }
            (Shown::Fraction(parts), _) => fraction(value, parts, self.unit.is_empty()),
            (Shown::Decimal(decimals), Shown::Fraction(_)) => format!("{value:.decimals$}"),
        };
        format!("{sign}{digits}{}", self.unit)
    }
}

/// `15 3/4`, or `63/4` where it may not be mixed, in lowest terms.
fn fraction(value: f64, parts: u32, is_plain: bool) -> String {
    let all = (value * f64::from(parts)).round() as u64;
    let whole = if is_plain && !all.is_multiple_of(u64::from(parts)) {
        0
    } else {
        all / u64::from(parts)
    };
    let rest = all - whole * u64::from(parts);
    let common = (1..=rest.max(1))
        .rev()
        .find(|n| rest.is_multiple_of(*n) && u64::from(parts).is_multiple_of(*n))
        .unwrap_or(1);
    let (rest, parts) = (rest / common, u64::from(parts) / common);
    match (whole, rest) {
        (whole, 0) => whole.to_string(),
        (0, rest) => format!("{rest}/{parts}"),
        (whole, rest) => format!("{whole} {rest}/{parts}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_figure_is_written_in_the_step_of_the_one_before() {
        for (before, value, after, fine) in [
            ("18mm", 20.4, "20mm", "20.4mm"),
            ("3cm", 3.4, "3.4cm", "3.4cm"),
            ("3cm", 4.0, "4cm", "4cm"),
            ("3.0cm", 4.0, "4.0cm", "4.0cm"),
            ("1.25cm", 1.4, "1.40cm", "1.40cm"),
            ("0.55", 0.6, "0.60", "0.60"),
            ("6", 7.4, "7", "7.4"),
            ("18deg", 17.6, "18deg", "17.6deg"),
            ("3/8in", 0.5, "1/2in", "1/2in"),
            ("15 3/4in", 16.0, "16in", "16in"),
            ("1/2in", 0.53125, "9/16in", "17/32in"),
            ("2in", 2.5, "2.5in", "2.5in"),
            ("1/2", 0.5625, "9/16", "9/16"),
            ("1/3", 0.72, "3/4", "23/32"),
            ("1/3", 1.25, "5/4", "5/4"),
            ("3/4", 2.0, "2", "2"),
            ("3%", 4.0, "4%", "4%"),
            ("18mm", -3.0, "0mm", "0mm"),
        ] {
            let literal = Literal::read(before).unwrap();
            assert_eq!(
                literal.written(value, Fineness::AsWritten),
                after,
                "{before}"
            );
            assert_eq!(literal.written(value, Fineness::Fine), fine, "{before}");
            // As it is, it stays as it is.
            assert_eq!(literal.written(literal.value, Fineness::AsWritten), before);
        }
        assert_eq!(Literal::read("1/0in"), None);
        assert_eq!(Literal::read("mm"), None);
    }
}
