//! A failing body made as plain as it can be and still fail the same way: as few values changed as will do, and those at
//! the roundest figures, the nearest to where they started among the equally round.

use super::axis::{Axis, Range, read_back};
use super::probe::{Failure, Fate, Point, Subject};
use oaktag_language::draft::inputs::Given;
use oaktag_language::kind::Dimension;
use oaktag_language::voice::{INCH, LengthUnit};

/// Most bodies that are drawn to shrink one.
const MOST: usize = 4_000;

/// Most figures that are tried of one roundness.
const MOST_OF_ONE: usize = 80;

struct Shrinker<'a, 'b> {
    subject: &'a Subject<'b>,
    failure: Failure,
    unit: LengthUnit,
    drawn: usize,
}

/// Shrinks a failing body; says also how many were drawn for it.
pub(crate) fn shrink(
    subject: &Subject<'_>,
    point: Point,
    failure: Failure,
    unit: LengthUnit,
) -> (Point, usize) {
    let mut shrinker = Shrinker {
        subject,
        failure,
        unit,
        drawn: 0,
    };
    let mut point = shrinker.fewer(point);
    for _ in 0..3 {
        let before = point.clone();
        point = shrinker.rounder(point);
        point = shrinker.fewer(point);
        if point == before {
            break;
        }
    }
    (point, shrinker.drawn)
}

impl Shrinker<'_, '_> {
    fn fails(&mut self, point: &Point) -> bool {
        if self.drawn >= MOST {
            return false;
        }
        self.drawn += 1;
        matches!(self.subject.probe(point), Fate::Fails(failure, _) if failure == self.failure)
    }

    fn base(&self, at: usize) -> Option<&Given> {
        self.subject.axes.get(at).map(|axis| &axis.base)
    }

    fn changed(&self, point: &Point) -> Vec<usize> {
        let all = point.iter().enumerate();
        all.filter(|(at, value)| self.base(*at) != Some(*value))
            .map(|(at, _)| at)
            .collect()
    }

    /// Puts values back, many at once and then fewer, for as long as it still fails (delta debugging, Zeller 1999).
    fn fewer(&mut self, mut point: Point) -> Point {
        let mut size = self.changed(&point).len().div_ceil(2).max(1);
        loop {
            let mut any = false;
            for group in self.changed(&point).chunks(size) {
                let mut plainer = point.clone();
                for at in group {
                    if let (Some(place), Some(base)) = (plainer.get_mut(*at), self.base(*at)) {
                        *place = base.clone();
                    }
                }
                if self.fails(&plainer) {
                    point = plainer;
                    any = true;
                }
            }
            if size > 1 {
                size = size.div_ceil(2);
            } else if !any {
                return point;
            }
        }
    }

    /// Sets each changed value to the roundest on which it still fails.
    fn rounder(&mut self, mut point: Point) -> Point {
        for at in self.changed(&point) {
            let Some(axis) = self.subject.axes.get(at) else {
                continue;
            };
            let Some(now) = point.get(at).cloned() else {
                continue;
            };
            for value in rounder_values(axis, &now, self.unit) {
                let mut rounder = point.clone();
                if let Some(place) = rounder.get_mut(at) {
                    *place = value;
                }
                if self.fails(&rounder) {
                    point = rounder;
                    break;
                }
            }
        }
        point
    }
}

/// Figures of a range, the roundest first, the nearest to the base first among those, down to the one that is there.
fn rounder_values(axis: &Axis, now: &Given, unit: LengthUnit) -> Vec<Given> {
    let (
        Range::Figure {
            low,
            high,
            dimension,
            ..
        },
        Given::Figure(now, _),
        Given::Figure(base, _),
    ) = (&axis.range, now, &axis.base)
    else {
        return Vec::new();
    };
    let mut values: Vec<f64> = Vec::new();
    for step in steps(*dimension, unit) {
        let first = (low / step - 1e-9).ceil();
        let count = ((high / step + 1e-9).floor() - first).max(-1.0) + 1.0;
        // Of fine steps those around the figure that is there; of others all.
        let around = (now / step).round();
        let (from, until) = if count > MOST_OF_ONE as f64 {
            let half = MOST_OF_ONE as f64 / 2.0;
            (around - half, around + half)
        } else {
            (first, first + count - 1.0)
        };
        let mut of_step: Vec<f64> = Vec::new();
        let mut multiple = from;
        while multiple <= until {
            let figure = multiple * step;
            if figure >= low - 1e-9 && figure <= high + 1e-9 {
                of_step.push(figure);
            }
            multiple += 1.0;
        }
        of_step.sort_by(|a, b| {
            (a - base)
                .abs()
                .total_cmp(&(b - base).abs())
                .then(a.total_cmp(b))
        });
        for figure in of_step {
            let is_there = (figure - now).abs() < 1e-9;
            let known = values.iter().any(|other| (other - figure).abs() < 1e-9);
            if !known && (figure - base).abs() > 1e-9 {
                values.push(figure);
            }
            if is_there && step == smallest(*dimension, unit) {
                break;
            }
        }
    }
    let given = |figure: f64| read_back(&Given::Figure(figure, *dimension), unit);
    values.into_iter().map(given).collect()
}

/// How round figures may be, the roundest first.
fn steps(dimension: Dimension, unit: LengthUnit) -> Vec<f64> {
    let scaled = |steps: &[f64], scale: f64| steps.iter().map(|step| step * scale).collect();
    match (dimension, unit) {
        (Dimension::LENGTH, LengthUnit::Inch) => {
            scaled(&[10.0, 5.0, 1.0, 0.5, 0.25, 0.125, 0.0625], INCH)
        }
        (Dimension::LENGTH, _) => scaled(&[10.0, 5.0, 1.0, 0.5, 0.1, 0.05, 0.01], 10.0),
        (Dimension::ANGLE, _) => scaled(&[10.0, 5.0, 1.0, 0.5, 0.1], 1.0),
        _ => scaled(&[1.0, 0.5, 0.1, 0.05, 0.01, 0.001], 1.0),
    }
}

fn smallest(dimension: Dimension, unit: LengthUnit) -> f64 {
    steps(dimension, unit).last().copied().unwrap_or(1.0)
}
