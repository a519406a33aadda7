//! How far a line lies from where it lay, where, and to which side. Distances are square to the line, from either line to
//! the other, and a line runs straight on beyond its ends: what only grew longer or shorter lies where it lay.

use super::SAME;
use super::piece_change::{Lies, Off, Way};
use kurbo::Vec2;
use oaktag_geometry::path::{Location, Path};
use oaktag_output::number::{MM_DECIMALS, rounded};

/// Places along a line that are looked at first, evenly spaced; its joints come to them.
const PLACES: usize = 96;
/// Beyond so many joints none is looked at.
const MOST_JOINTS: usize = 400;
/// A peak between two places is closed in on so often: each time by a third.
const CLOSER: usize = 48;
/// What lies nearer than this to an end of a line, in millimetres, lies at that end.
const AT_END: f64 = 1e-6;

/// The farthest place to one side.
#[derive(Clone, Copy, Debug)]
struct Peak {
    /// From the old line to the new one.
    way: Vec2,
    /// Along the new line from its start.
    at: f64,
}

/// What is found before the ends of the line have names.
#[derive(Clone, Debug)]
pub(super) struct Found {
    /// To the right of the line as it runs: out of the cloth, where it is an edge.
    right: Option<Peak>,
    /// The farthest it lies to the left of the old line.
    left: Option<Peak>,
    /// The nearest that the two come, square to the line.
    least: f64,
    /// How its start and its end moved.
    pub ends: (Vec2, Vec2),
    /// How long both are.
    lengths: (f64, f64),
}

/// Holds a line against where it lay, both on one sheet; none for an endless one.
pub(super) fn found(old: &Path, new: &Path) -> Option<Found> {
    let lengths = (old.length().ok()?, new.length().ok()?);
    let ends = (
        new.start().ok()? - old.start().ok()?,
        new.end().ok()? - old.end().ok()?,
    );
    let mut found = Found {
        right: None,
        left: None,
        least: f64::INFINITY,
        ends,
        lengths,
    };
    found.look(new, old, |way, at, _| (way, at));
    found.look(old, new, |way, _, at| (-way, at));
    Some(found)
}

impl Found {
    /// From places of one line to the other; `told` gives the way from old to new and the place on the new line.
    fn look(&mut self, from: &Path, to: &Path, told: impl Fn(Vec2, f64, f64) -> (Vec2, f64)) {
        let places = places(from);
        let beside = |at: f64| -> Option<(Vec2, f64)> {
            let p = from.point_at(at).ok()?;
            let (way, near) = off(to, p);
            Some((way, near))
        };
        // To the right of the new line as it runs, whichever of the two is walked.
        let side = |way: Vec2, at: f64| {
            let tangent = from.location_at(at).map(|at| from.tangent_at(at));
            let (way, _) = told(way, at, at);
            -tangent.unwrap_or_default().cross(way)
        };
        let mut best = [(0.0, None), (0.0, None)];
        for (number, at) in places.iter().enumerate() {
            let Some((way, _)) = beside(*at) else {
                continue;
            };
            self.least = self.least.min(way.hypot());
            let slot = if side(way, *at) >= 0.0 { 0 } else { 1 };
            if let Some(known) = best.get_mut(slot)
                && way.hypot() > known.0
            {
                *known = (way.hypot(), Some(number));
            }
        }
        for (slot, (_, number)) in best.into_iter().enumerate() {
            let Some(number) = number else { continue };
            let before = number.checked_sub(1).and_then(|n| places.get(n));
            let here = places.get(number).copied().unwrap_or(0.0);
            let between = (
                before.copied().unwrap_or(here),
                places.get(number + 1).copied().unwrap_or(here),
            );
            let far = |at: f64| beside(at).map_or(0.0, |(way, _)| way.hypot());
            let at = closed_in(between, here, far);
            let Some((way, near)) = beside(at) else {
                continue;
            };
            let (way, place) = told(way, at, near);
            let known = if slot == 0 {
                &mut self.right
            } else {
                &mut self.left
            };
            if known.is_none_or(|known| known.way.hypot() < way.hypot()) {
                *known = Some(Peak { way, at: place });
            }
        }
    }

    /// The farthest on either side.
    fn farthest(&self) -> f64 {
        let peaks = [self.right, self.left].into_iter().flatten();
        peaks.map(|peak| peak.way.hypot()).fold(0.0, f64::max)
    }

    /// In figures, counted from a named end. `outward` where the line is an edge, the cloth to its left.
    pub(super) fn told(&self, is_edge: bool, end: impl Fn(bool) -> String) -> Lies {
        let moved = (self.ends.0.hypot() > SAME, self.ends.1.hypot() > SAME);
        let mut off: Vec<Off> = [(self.right, true), (self.left, false)]
            .into_iter()
            .filter_map(|(peak, outward)| Some((peak?, outward)))
            .filter(|(peak, _)| peak.way.hypot() > SAME)
            .map(|(peak, outward)| {
                let rest = self.lengths.1 - peak.at;
                // At an end; else from an end that stayed; else from the nearer.
                let from_end = match moved {
                    _ if rest.min(peak.at) <= SAME => rest < peak.at,
                    (false, true) => false,
                    (true, false) => true,
                    _ => rest < peak.at,
                };
                Off {
                    distance_mm: rounded(peak.way.hypot(), MM_DECIMALS),
                    way: way(peak.way),
                    outward: is_edge.then_some(outward),
                    at_mm: rounded(if from_end { rest } else { peak.at }, MM_DECIMALS),
                    from: end(from_end),
                }
            })
            .collect();
        off.sort_by(|a, b| b.distance_mm.total_cmp(&a.distance_mm));
        let all_along = off.len() == 1 && self.farthest() - self.least <= SAME;
        let same_length = (self.lengths.0 - self.lengths.1).abs() <= SAME;
        let along = (off.is_empty() && same_length && (moved.0 || moved.1))
            .then(|| way((self.ends.0 + self.ends.1) * 0.5));
        Lies {
            off,
            all_along,
            along,
        }
    }
}

/// A way in the figures of a comparison.
pub(super) fn way(by: Vec2) -> Way {
    Way {
        right_mm: rounded(by.x, MM_DECIMALS),
        up_mm: rounded(by.y, MM_DECIMALS),
    }
}

/// Lengths along a line: evenly spaced, and its joints.
pub(super) fn places(path: &Path) -> Vec<f64> {
    let Ok(length) = path.length() else {
        return Vec::new();
    };
    let even = (0..=PLACES).map(|n| length * n as f64 / PLACES as f64);
    let joints = (0..path.segs().len().min(MOST_JOINTS))
        .map(|segment| path.length_to(Location { segment, t: 1.0 }));
    let mut places: Vec<f64> = even.chain(joints).map(|at| at.min(length)).collect();
    places.sort_by(f64::total_cmp);
    places
}

/// The way from a line to a point, square to the line where it runs on beyond its ends, and how far along the line that is.
fn off(path: &Path, p: kurbo::Point) -> (Vec2, f64) {
    let near = path.nearest(p);
    let at = path.length_to(near.location);
    let way = p - near.point;
    let length = path.length().unwrap_or(0.0);
    let onward = if at <= AT_END {
        -path.start_tangent()
    } else if at >= length - AT_END {
        path.end_tangent()
    } else {
        return (way, at);
    };
    let beyond = onward.dot(way).max(0.0);
    (way - onward * beyond, at)
}

/// The greatest value near a place, between two others.
fn closed_in((mut low, mut high): (f64, f64), here: f64, far: impl Fn(f64) -> f64) -> f64 {
    let mut best = (here, far(here));
    for _ in 0..CLOSER {
        let (a, b) = (low + (high - low) / 3.0, high - (high - low) / 3.0);
        let (at_a, at_b) = (far(a), far(b));
        for (at, value) in [(a, at_a), (b, at_b)] {
            if value > best.1 {
                best = (at, value);
            }
        }
        if at_a < at_b {
            low = a;
        } else {
            high = b;
        }
    }
    best.0
}

#[cfg(test)]
#[allow(
    clippy::unwrap_used,
    reason = "a test that fails here should stop at once"
)]
mod tests {
    use super::*;
    use kurbo::Point;

    fn line(a: (f64, f64), b: (f64, f64)) -> Path {
        Path::line(Point::from(a), Point::from(b)).unwrap()
    }

    #[test]
    fn a_line_that_only_grew_lies_where_it_lay() {
        let (old, new) = (
            line((0.0, 0.0), (100.0, 0.0)),
            line((-20.0, 0.0), (150.0, 0.0)),
        );
        let lies = found(&old, &new).unwrap().told(true, |_| String::new());
        assert!(!lies.is_change(), "{lies:?}");
    }

    /// A line from west to east has the cloth to its left, above: lower is out of the cloth.
    #[test]
    fn lower_under_the_cloth_is_out_of_it() {
        let (old, new) = (
            line((0.0, 0.0), (100.0, 0.0)),
            line((0.0, -30.0), (100.0, -30.0)),
        );
        let lies = found(&old, &new).unwrap().told(true, |_| String::new());
        assert!(lies.all_along);
        let off = lies.off.first().unwrap();
        assert_eq!((off.distance_mm, off.outward), (30.0, Some(true)));
        assert_eq!((off.way.right_mm, off.way.up_mm), (0.0, -30.0));
    }

    /// A line turned about its start by a slope of 3 to 4 ends 3/5 of its length off the old one.
    #[test]
    fn a_turned_line_is_farthest_at_its_other_end() {
        let (old, new) = (
            line((0.0, 0.0), (100.0, 0.0)),
            line((0.0, 0.0), (80.0, 60.0)),
        );
        let found = found(&old, &new).unwrap();
        let lies = found.told(true, |end| if end { "end" } else { "start" }.to_owned());
        let off = lies.off.first().unwrap();
        assert!((off.distance_mm - 60.0).abs() < 1e-9, "{lies:?}");
        assert_eq!((off.from.as_str(), off.at_mm), ("end", 0.0));
        assert_eq!(off.outward, Some(false));
    }

    #[test]
    fn a_line_that_slid_along_itself_is_told() {
        let (old, new) = (
            line((0.0, 0.0), (100.0, 0.0)),
            line((5.0, 0.0), (105.0, 0.0)),
        );
        let lies = found(&old, &new).unwrap().told(true, |_| String::new());
        assert_eq!(lies.along.map(|way| way.right_mm), Some(5.0));
    }
}
