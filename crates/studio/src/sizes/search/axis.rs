//! What a search may vary: measures and choices with a declared range or a list of words. Measures that the draft works
//! out from others follow those; what somebody has set stays as it is.

use oaktag_language::check::program::{MeasureCode, Program};
use oaktag_language::draft::Outcome;
use oaktag_language::draft::inputs::{self, Given, Inputs, Setting};
use oaktag_language::kind::{Dimension, Kind};
use oaktag_language::pattern::spec::Value;
use oaktag_language::report::Span;
use oaktag_language::voice::{INCH, LengthUnit, decimals};

/// One measure or choice that is varied.
#[derive(Clone, Debug)]
pub struct Axis {
    /// The measure or choice, with the import's name before it.
    pub name: String,
    /// Its value where nothing is varied.
    pub base: Given,
    /// What it may be.
    pub range: Range,
}

/// What a measure or choice may be.
#[derive(Clone, Debug)]
pub enum Range {
    /// A length, an angle or a plain number within a range.
    Figure {
        /// Least, in millimetres, degrees or as a number.
        low: f64,
        /// The most that it may be, in its dimension's own unit.
        high: f64,
        /// Whether it is a length, an angle or a plain number.
        dimension: Dimension,
        /// Whole figures alone: a count.
        whole: bool,
    },
    /// One of several words, or yes and no; the base value is among them.
    Words(Vec<Given>),
}

/// A measure or choice that is not varied, and why.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fixed {
    /// The measure or choice, with the import's name before it.
    pub name: String,
    /// Why it cannot be varied.
    pub why: &'static str,
}

/// A step to which figures of a sweep are rounded: finer than a tape reads.
pub fn grain(dimension: Dimension) -> f64 {
    match dimension {
        Dimension::LENGTH | Dimension::ANGLE => 0.1,
        _ => 0.001,
    }
}

impl Axis {
    /// Its value where nothing is varied; none of words.
    pub fn figure(&self) -> Option<f64> {
        match self.base {
            Given::Figure(figure, _) => Some(figure),
            Given::Text(_) | Given::Answer(_) => None,
        }
    }
}

/// How figures of a dimension are shown to somebody who moves them: the unit behind them, how much one of it is, and how far
/// one move goes in it.
pub fn moved_in(dimension: Dimension, unit: LengthUnit) -> (&'static str, f64, f64) {
    match (dimension, unit) {
        (Dimension::LENGTH, LengthUnit::Millimetre) => ("mm", 1.0, 1.0),
        (Dimension::LENGTH, LengthUnit::Centimetre) => ("cm", 10.0, 0.1),
        (Dimension::LENGTH, LengthUnit::Inch) => ("in", INCH, 1.0 / 16.0),
        (Dimension::ANGLE, _) => ("deg", 1.0, 0.5),
        _ => ("", 1.0, 0.05),
    }
}

/// What of a draft can be varied, and what cannot. `base` is the drawing with nothing varied.
pub(crate) fn axes(program: &Program, inputs: &Inputs, base: &Outcome) -> (Vec<Axis>, Vec<Fixed>) {
    let (mut axes, mut fixed) = (Vec::new(), Vec::new());
    for code in &program.measures {
        let used = base.drawn.measures.iter().find(|m| m.name == code.name);
        let Some(used) = used.filter(|_| !code.is_idle) else {
            continue;
        };
        match axis(code, inputs, &used.value, used.worked_out) {
            Ok(axis) => axes.push(axis),
            Err(why) => fixed.push(Fixed {
                name: code.name.clone(),
                why,
            }),
        }
    }
    (axes, fixed)
}

/// Why a measure that follows from others is not varied.
pub(crate) const WORKED_OUT: &str = "worked out";

/// A measure as one that is varied, though the draft works it out: somebody who knows it may give it.
pub(crate) fn given(code: &MeasureCode, used: &Value) -> Option<Axis> {
    axis(code, &Inputs::default(), used, false).ok()
}

fn axis(
    code: &MeasureCode,
    inputs: &Inputs,
    used: &Value,
    worked_out: bool,
) -> Result<Axis, &'static str> {
    let is_set = |setting: &Setting| {
        setting.name == code.name || code.name.rsplit('.').next() == Some(setting.name.as_str())
    };
    if inputs.set.iter().any(is_set) {
        return Err("set");
    }
    if worked_out {
        return Err(WORKED_OUT);
    }
    if code.is_set_by_import() {
        return Err("set by an import");
    }
    let base = given_of(used).ok_or("of a kind that cannot be set")?;
    let range = match (&base, &code.kind) {
        (Given::Figure(figure, dimension), Kind::Quantity(_)) => {
            figures(code, *figure, *dimension).ok_or("without a range")?
        }
        (Given::Answer(_), _) => Range::Words(vec![Given::Answer(false), Given::Answer(true)]),
        (Given::Text(_), _) if code.choices.len() > 1 => {
            Range::Words(code.choices.iter().cloned().map(Given::Text).collect())
        }
        _ => return Err("without a list"),
    };
    Ok(Axis {
        name: code.name.clone(),
        base,
        range,
    })
}

fn figures(code: &MeasureCode, base: f64, dimension: Dimension) -> Option<Range> {
    let low = code.ranges.iter().map(|range| range.low).reduce(f64::max)?;
    let high = code
        .ranges
        .iter()
        .map(|range| range.high)
        .reduce(f64::min)?;
    let is_count =
        dimension == Dimension::NUMBER && [low, high, base].iter().all(|f| f.fract() == 0.0);
    (high > low).then_some(Range::Figure {
        low,
        high,
        dimension,
        whole: is_count && high - low < 1_000.0,
    })
}

/// A value of a drawing as one that can be set.
pub(crate) fn given_of(value: &Value) -> Option<Given> {
    Some(match value {
        Value::Length(mm) => Given::Figure(*mm, Dimension::LENGTH),
        Value::Angle(degrees) => Given::Figure(*degrees, Dimension::ANGLE),
        Value::Area(mm2) => Given::Figure(*mm2, Dimension::AREA),
        Value::Number(number) => Given::Figure(*number, Dimension::NUMBER),
        Value::Text(text) => Given::Text(text.clone()),
        Value::Answer(answer) => Given::Answer(*answer),
        _ => return None,
    })
}

impl Axis {
    /// The value at a share of the range, from 0 to 1, to the sweep's grain.
    pub fn at(&self, share: f64) -> Given {
        let share = share.clamp(0.0, 1.0);
        match &self.range {
            Range::Figure {
                low,
                high,
                dimension,
                whole,
            } => {
                let step = if *whole { 1.0 } else { grain(*dimension) };
                let figure = low + (high - low) * share;
                let rounded = (figure / step).round() * step;
                // The ends themselves may lie off the grain.
                let figure = if share == 0.0 || rounded < *low {
                    *low
                } else if share == 1.0 || rounded > *high {
                    *high
                } else {
                    rounded
                };
                Given::Figure(figure, *dimension)
            }
            Range::Words(words) => {
                let count = words.len().max(1);
                let index = (share * count as f64).floor().min(count as f64 - 1.0) as usize;
                words
                    .get(index)
                    .cloned()
                    .unwrap_or_else(|| self.base.clone())
            }
        }
    }

    /// The share of the range at which a value lies.
    pub fn share(&self, value: &Given) -> f64 {
        match (&self.range, value) {
            (Range::Figure { low, high, .. }, Given::Figure(figure, _)) => {
                ((figure - low) / (high - low)).clamp(0.0, 1.0)
            }
            (Range::Words(words), value) => {
                let index = words.iter().position(|word| word == value).unwrap_or(0);
                (index as f64 + 0.5) / words.len().max(1) as f64
            }
            _ => 0.5,
        }
    }

    /// Its extreme values: both ends of a range, every word but the base's.
    pub(crate) fn extremes(&self) -> Vec<Given> {
        match &self.range {
            Range::Figure { .. } => vec![self.at(0.0), self.at(1.0)],
            Range::Words(words) => words
                .iter()
                .filter(|word| **word != self.base)
                .cloned()
                .collect(),
        }
    }

    /// The value as the setting that gives it.
    pub fn setting(&self, value: &Given) -> Setting {
        Setting {
            name: self.name.clone(),
            value: value.clone(),
            span: Span::default(),
        }
    }
}

/// A value as it is typed after `NAME=`. What is read back from it is the same to a ten-thousandth of a millimetre.
pub fn typed(value: &Given, unit: LengthUnit) -> String {
    match value {
        Given::Figure(figure, Dimension::LENGTH) => {
            let metric = |scale: f64, unit: &str| format!("{}{unit}", decimals(figure / scale, 4));
            match unit {
                LengthUnit::Millimetre => metric(1.0, "mm"),
                LengthUnit::Centimetre => metric(10.0, "cm"),
                LengthUnit::Inch => inches(*figure).unwrap_or_else(|| metric(1.0, "mm")),
            }
        }
        Given::Figure(figure, Dimension::ANGLE) => format!("{}deg", decimals(*figure, 4)),
        Given::Figure(figure, _) => decimals(*figure, 6),
        Given::Text(text) => text.clone(),
        Given::Answer(answer) => if *answer { "yes" } else { "no" }.to_owned(),
    }
}

/// Sixteenths of an inch, where the figure is of those.
fn inches(mm: f64) -> Option<String> {
    let sixteenths = mm / INCH * 16.0;
    let exact = (sixteenths - sixteenths.round()).abs() < 1e-6;
    exact.then(|| LengthUnit::Inch.typed(mm))
}

/// The value that a typed one is read as: what a person who types it will get.
pub fn read_back(value: &Given, unit: LengthUnit) -> Given {
    inputs::given(&typed(value, unit)).unwrap_or_else(|_| value.clone())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_typed_is_what_was_drawn() {
        let length = |mm: f64| Given::Figure(mm, Dimension::LENGTH);
        for (unit, mm, wanted) in [
            (LengthUnit::Centimetre, 965.0, "96.5cm"),
            (LengthUnit::Millimetre, 12.3, "12.3mm"),
            (LengthUnit::Inch, 400.05, "15 3/4in"),
            (LengthUnit::Inch, 400.0, "400mm"),
        ] {
            assert_eq!(typed(&length(mm), unit), wanted);
            let Given::Figure(again, Dimension::LENGTH) = read_back(&length(mm), unit) else {
                panic!("{wanted} is a length");
            };
            assert!((again - mm).abs() < 1e-4, "{again}");
        }
    }
}
