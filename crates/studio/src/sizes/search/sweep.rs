//! The order in which a search looks: the ends of each range, ends of two together, and then a sweep that fills the ranges
//! evenly. Of the sweep, one point in four varies one value, one two, one three, and one all of them, these the wider the
//! further on, since a body with every measure at random is hardly anybody's.
//!
//! The sweep is additive recurrence on powers of the generalised golden ratio (M. Roberts, 2018, from memory), a
//! low-discrepancy sequence; the seed shifts where it starts.

use super::axis::Axis;
use super::probe::Point;
use oaktag_language::draft::inputs::Given;

/// How many of these a sweep's point varies, in turn; none stands for all.
const VARIED: [Option<usize>; 4] = [Some(1), Some(2), None, Some(3)];

/// How far from the base the points with every value varied reach, in turn.
const REACH: [f64; 4] = [0.25, 0.5, 0.75, 1.0];

/// The ends of each range alone, all at one end, then ends of two together. Each is made when it is asked for, since of two
/// thousand measures there are eight million pairs of ends.
pub(super) fn corners(axes: &[Axis]) -> impl Iterator<Item = Point> + '_ {
    let base: Point = axes.iter().map(|axis| axis.base.clone()).collect();
    let ends: Vec<Vec<Given>> = axes.iter().map(Axis::extremes).collect();
    let ends = std::rc::Rc::new(ends);
    // Which end of which axis, in order.
    let of = {
        let ends = ends.clone();
        move |at: usize| (0..ends.get(at).map_or(0, Vec::len)).map(move |end| (at, end))
    };
    let count = axes.len();
    let alone = {
        let of = of.clone();
        (0..count).flat_map(of).map(|one| vec![one])
    };
    let together = (0..count).flat_map(move |first| {
        let of = of.clone();
        let of_second = of.clone();
        (first + 1..count).flat_map(move |second| {
            let of_second = of_second.clone();
            of(first).flat_map(move |a| of_second(second).map(move |b| vec![a, b]))
        })
    });
    let point = move |changed: Vec<(usize, usize)>| {
        let mut point = base.clone();
        for (at, end) in changed {
            let value = ends.get(at).and_then(|ends| ends.get(end));
            if let (Some(place), Some(value)) = (point.get_mut(at), value) {
                *place = value.clone();
            }
        }
        point
    };
    let all = [0.0, 1.0].map(|share| axes.iter().map(|axis| axis.at(share)).collect());
    alone
        .map(point.clone())
        .chain(all)
        .chain(together.map(point))
}

/// The sweep over some axes.
pub(crate) struct Sweep<'a> {
    axes: &'a [Axis],
    /// Steps of the recurrence in as many dimensions as there are axes.
    steps: Vec<f64>,
    start: f64,
}

impl<'a> Sweep<'a> {
    /// The sweep of a seed.
    pub(super) fn new(axes: &'a [Axis], seed: u64) -> Self {
        let ratio = golden(axes.len().max(1));
        let steps = (1..=axes.len()).map(|power| ratio.powi(-i32::try_from(power).unwrap_or(1)));
        Self {
            axes,
            steps: steps.collect(),
            start: shares_of(seed),
        }
    }

    /// The point of that number, from 0.
    pub(super) fn point(&self, number: usize) -> Point {
        let count = self.axes.len();
        let round = number / VARIED.len();
        let varied = VARIED.get(number % VARIED.len()).copied().flatten();
        let reach = REACH.get(round % REACH.len()).copied().unwrap_or(1.0);
        let chosen = varied
            .filter(|many| *many < count)
            .map(|many| combination(round, many, count));
        let values = self
            .axes
            .iter()
            .zip(&self.steps)
            .enumerate()
            .map(|(at, (axis, step))| {
                let along = (self.start + step * (number + 1) as f64).fract();
                match &chosen {
                    Some(chosen) => match chosen.iter().position(|of| *of == at) {
                        // Few values are spread evenly by themselves, each by a step of their own.
                        Some(place) => axis.at(spread(
                            round / count.max(1),
                            place,
                            chosen.len(),
                            self.start,
                        )),
                        None => axis.base.clone(),
                    },
                    None => {
                        let from = axis.share(&axis.base);
                        axis.at(from + (along - from) * reach)
                    }
                }
            });
        values.collect()
    }
}

/// The share of the range of one of few values varied together, on the round of that number.
fn spread(round: usize, place: usize, many: usize, start: f64) -> f64 {
    let ratio = golden(many);
    let power = i32::try_from(place + 1).unwrap_or(1);
    (start + ratio.powi(-power) * (round + 1) as f64).fract()
}

/// Which axes are varied on a round: in turn, so that each of few has its share.
fn combination(round: usize, many: usize, count: usize) -> Vec<usize> {
    let first = round % count;
    // The others follow at distances that change from turn to turn, so that every pair comes round.
    let turn = round / count;
    let mut chosen = vec![first];
    let mut distance = turn;
    while chosen.len() < many {
        let next = (first + 1 + distance % (count - 1)) % count;
        if !chosen.contains(&next) {
            chosen.push(next);
        }
        distance += 1;
    }
    chosen
}

/// The only positive root of x^(d+1) = x + 1.
fn golden(dimensions: usize) -> f64 {
    let power = 1.0 / (dimensions as f64 + 1.0);
    let mut ratio = 2.0_f64;
    for _ in 0..60 {
        ratio = (1.0 + ratio).powf(power);
    }
    ratio
}

/// A seed as a share of one, stirred (splitmix64, from memory), so that neighbours differ.
fn shares_of(seed: u64) -> f64 {
    let mut z = seed.wrapping_add(0x9e37_79b9_7f4a_7c15);
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sizes::search::axis::Range;
    use oaktag_language::kind::Dimension;
    use std::collections::BTreeSet;

    fn axes(count: usize) -> Vec<Axis> {
        (0..count)
            .map(|number| Axis {
                name: format!("m{number}"),
                base: Given::Figure(500.0, Dimension::LENGTH),
                range: Range::Figure {
                    low: 0.0,
                    high: 1_000.0,
                    dimension: Dimension::LENGTH,
                    whole: false,
                },
            })
            .collect()
    }

    fn figure(value: &Given) -> f64 {
        match value {
            Given::Figure(figure, _) => *figure,
            _ => panic!("a figure"),
        }
    }

    /// The golden ratio itself in one dimension; the plastic number in two (both published constants).
    #[test]
    fn the_ratio_is_the_published_one() {
        assert!((golden(1) - 1.618_033_988_75).abs() < 1e-9);
        assert!((golden(2) - 1.324_717_957_24).abs() < 1e-9);
    }

    /// Points that vary one value leave no gap wider than three times an even spacing.
    #[test]
    fn one_value_is_swept_without_gaps() {
        let axes = axes(5);
        let sweep = Sweep::new(&axes, 7);
        let mut seen: Vec<f64> = (0..4_000)
            .map(|number| sweep.point(number))
            .filter(|point| point.iter().skip(1).all(|value| figure(value) == 500.0))
            .map(|point| figure(&point[0]))
            .collect();
        seen.sort_by(f64::total_cmp);
        assert!(seen.len() >= 190, "{}", seen.len());
        let widest = seen
            .windows(2)
            .map(|pair| pair[1] - pair[0])
            .fold(0.0, f64::max);
        assert!(widest <= 3.0 * 1_000.0 / seen.len() as f64, "{widest}");
    }

    #[test]
    fn every_pair_comes_round() {
        let axes = axes(6);
        let sweep = Sweep::new(&axes, 1);
        let pairs: BTreeSet<Vec<usize>> = (0..600)
            .map(|number| sweep.point(number))
            .map(|point| (0..6).filter(|at| figure(&point[*at]) != 500.0).collect())
            .filter(|moved: &Vec<usize>| moved.len() == 2)
            .collect();
        assert_eq!(pairs.len(), 15);
    }
}
