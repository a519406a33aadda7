//! Setting a length from a point onto a path, as a ruler or a compass does, and the turns that follow from it.
//!
//! Nothing here chooses between answers: all are returned, in order, and the caller says which is meant.

use super::angle::Angle;
use super::path::{Location, Path};
use super::polynomial::{root_between, roots_in_unit};
use super::segment;
use super::{LARGEST, MEETING};
use kurbo::{ParamCurve, PathSeg, Point};

/// A circle that comes this near a path without crossing it touches it.
const TOUCH: f64 = 1e-6;

/// A place on a path at the wanted distance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Swung {
    /// The place, at the wanted distance.
    pub point: Point,
    /// The place on the path.
    pub location: Location,
}

/// Why a length reaches no place. Lengths in millimetres.
#[derive(Clone, Debug, PartialEq)]
pub enum SwingFault {
    /// The path lies wholly outside the circle of that length: its nearest point is farther.
    TooShort {
        /// The length asked for.
        length: f64,
        /// The distance of the nearest point of the path.
        nearest: f64,
        /// The point of the path at that distance.
        at: Point,
    },
    /// The path lies wholly inside the circle: its farthest point is nearer.
    TooLong {
        /// The length asked for.
        length: f64,
        /// The distance of the farthest point of the path.
        farthest: f64,
        /// The point of the path at that distance.
        at: Point,
    },
    /// A length that is not positive, or longer than anything on the paper.
    NoLength {
        /// The length asked for.
        length: f64,
    },
}

/// All places on `onto` at a distance of `length` from a point, in order along it; at least one.
pub fn swing(length: f64, from: Point, onto: &Path) -> Result<Vec<Swung>, SwingFault> {
    if !(length > 0.0 && length <= LARGEST) {
        return Err(SwingFault::NoLength { length });
    }
    let mut found: Vec<Swung> = Vec::new();
    if let Some((through, direction)) = onto.endless_line() {
        let foot = direction.dot(from - through);
        let away = direction.cross(from - through).abs();
        let half2 = length * length - away * away;
        if (length - away).abs() <= TOUCH {
            found.push(swung(
                onto,
                Location {
                    segment: 0,
                    t: foot,
                },
            ));
        } else if half2 > 0.0 {
            for t in [foot - half2.sqrt(), foot + half2.sqrt()] {
                found.push(swung(onto, Location { segment: 0, t }));
            }
        }
    }
    for (index, seg) in onto.segs().iter().enumerate() {
        for t in at_distance(seg, from, length) {
            found.push(swung(onto, Location { segment: index, t }));
        }
    }
    snap_ends(onto, from, length, &mut found);
    found.dedup_by(|later, earlier| {
        (later.point - earlier.point).hypot() <= 2.0 * MEETING
            && onto.length_to(later.location) - onto.length_to(earlier.location) <= 4.0 * MEETING
    });
    if found.is_empty() {
        Err(out_of_reach(length, from, onto))
    } else {
        Ok(found)
    }
}

fn swung(onto: &Path, location: Location) -> Swung {
    Swung {
        point: onto.point(location),
        location,
    }
}

/// An end within [`MEETING`] of the circle is an answer, in place of a crossing right beside it.
fn snap_ends(onto: &Path, from: Point, length: f64, found: &mut Vec<Swung>) {
    if onto.is_endless() {
        return;
    }
    for (place, first) in [(onto.start_location(), true), (onto.end_location(), false)] {
        let end = swung(onto, place);
        if ((end.point - from).hypot() - length).abs() > MEETING {
            continue;
        }
        let along = |s: &Swung| (onto.length_to(s.location) - onto.length_to(place)).abs();
        found.retain(|s| along(s) > 2.0 * MEETING);
        if first {
            found.insert(0, end);
        } else {
            found.push(end);
        }
    }
}

/// The parameters at which a segment lies at a distance from a point: between its nearest and farthest places the
/// distance runs one way.
fn at_distance(seg: &PathSeg, from: Point, length: f64) -> Vec<f64> {
    let mut stops = turning_distances(seg, from);
    stops.push(1.0);
    let miss = |t: f64| (seg.eval(t) - from).hypot() - length;
    let miss_and_step = |t: f64| {
        let away = seg.eval(t) - from;
        let miss = away.hypot() - length;
        let step = miss * away.hypot() / away.dot(segment::derivatives(seg, t).0);
        (miss, step)
    };
    let mut places = Vec::new();
    let (mut low, mut at_low) = (0.0, miss(0.0));
    if at_low.abs() <= 1e-12 {
        places.push(0.0);
    }
    for high in stops {
        let at_high = miss(high);
        if high < 1.0 && at_high.abs() <= TOUCH {
            places.push(high);
        } else if at_low * at_high < 0.0 && at_low.abs() > TOUCH {
            places.push(root_between((low, high), at_low, miss_and_step));
        } else if at_high == 0.0 {
            places.push(high);
        }
        (low, at_low) = (high, at_high);
    }
    places
}

/// Where the distance from a point is greatest or least, inside the segment.
fn turning_distances(seg: &PathSeg, from: Point) -> Vec<f64> {
    let mut stops = match seg {
        PathSeg::Cubic(c) => {
            let q0 = c.p0 - from;
            let q1 = 3.0 * (c.p1 - c.p0);
            let q2 = 3.0 * (c.p0.to_vec2() - 2.0 * c.p1.to_vec2() + c.p2.to_vec2());
            let q3 = c.p3 - c.p0 + 3.0 * (c.p1 - c.p2);
            roots_in_unit(&[
                q0.dot(q1),
                q1.hypot2() + 2.0 * q2.dot(q0),
                3.0 * (q2.dot(q1) + q3.dot(q0)),
                4.0 * q3.dot(q1) + 2.0 * q2.hypot2(),
                5.0 * q3.dot(q2),
                3.0 * q3.hypot2(),
            ])
            .as_slice()
            .to_vec()
        }
        _ => {
            let chord = seg.end() - seg.start();
            vec![chord.dot(from - seg.start()) / chord.hypot2()]
        }
    };
    stops.retain(|t| *t > 0.0 && *t < 1.0);
    stops
}

fn out_of_reach(length: f64, from: Point, onto: &Path) -> SwingFault {
    let near = onto.nearest(from);
    if near.distance > length || onto.is_endless() {
        return SwingFault::TooShort {
            length,
            nearest: near.distance,
            at: near.point,
        };
    }
    let mut far = (near.distance, near.point);
    for seg in onto.segs() {
        for t in turning_distances(seg, from).into_iter().chain([0.0, 1.0]) {
            let p = seg.eval(t);
            let distance = (p - from).hypot();
            if distance > far.0 {
                far = (distance, p);
            }
        }
    }
    SwingFault::TooLong {
        length,
        farthest: far.0,
        at: far.1,
    }
}

/// Every turn about a point that lands `point` on a path, smallest first; each in (-180°, 180°], clockwise positive.
pub fn pivot_until_on(
    point: Point,
    about: Point,
    onto: &Path,
) -> Result<Vec<(Angle, Swung)>, SwingFault> {
    let arm = point - about;
    let places = swing(arm.hypot(), about, onto)?;
    let mut turns: Vec<(Angle, Swung)> = places
        .into_iter()
        .map(|s| (Angle::between(arm, s.point - about), s))
        .collect();
    turns.sort_by(|x, y| x.0.degrees().abs().total_cmp(&y.0.degrees().abs()));
    Ok(turns)
}
