//! Turning a part about a point until it touches a line or curve.
//!
//! The turn is advanced by no more than the gap allows: a point at distance R from the pivot moves at most R·φ, so a
//! turn of gap / R can never pass through. That finds the first touch in either sense, an end as well as a tangency;
//! closed forms (an end on the other path) or the secant method on the gap (a tangency) then place it exactly.

use super::angle::Angle;
use super::apart::closest;
use super::meet::{Window, closest_approach};
use super::path::Path;
use super::swing::pivot_until_on;
use kurbo::{Affine, ParamCurve, PathSeg, Point};
use std::fmt;

/// The gap at which two paths touch, in millimetres.
const TOUCHING: f64 = 1e-7;
/// Steps before a turn that creeps up without touching is given up.
const MOST_STEPS: usize = 400;

/// A turn that brings a part to touch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Touch {
    /// The turn, clockwise positive.
    pub by: Angle,
    /// Where it touches.
    pub at: Point,
}

/// The part never touches, however far it is turned.
#[derive(Clone, Debug, PartialEq)]
pub struct NeverTouches {
    /// The smallest gap met in millimetres.
    pub gap: f64,
    /// The turn at which it was met.
    pub by: Angle,
}

impl fmt::Display for NeverTouches {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "however far it is turned it does not touch: it stays {:.3} away",
            self.gap
        )
    }
}

impl std::error::Error for NeverTouches {}

/// The first touches of a part turned about a point: clockwise and anticlockwise, whichever there are, smallest turn
/// first. A part that touches as it lies needs no turn.
pub fn pivot_until_touches(
    part: &Path,
    about: Point,
    onto: &Path,
) -> Result<Vec<Touch>, NeverTouches> {
    let mut nearest = NeverTouches {
        gap: f64::INFINITY,
        by: Angle::ZERO,
    };
    let mut touches: Vec<Touch> = Vec::with_capacity(2);
    for sense in [1.0, -1.0] {
        match first_touch(part, about, onto, sense) {
            Ok(touch) => touches.push(touch),
            Err(miss) if miss.gap < nearest.gap => nearest = miss,
            Err(_) => {}
        }
    }
    touches.sort_by(|x, y| x.by.degrees().abs().total_cmp(&y.by.degrees().abs()));
    touches.dedup_by(|x, y| (x.by - y.by).wrapped().degrees().abs() < 1e-9);
    if touches.is_empty() {
        Err(nearest)
    } else {
        Ok(touches)
    }
}

fn first_touch(part: &Path, about: Point, onto: &Path, sense: f64) -> Result<Touch, NeverTouches> {
    let reach = reach(part, about);
    let mut nearest = NeverTouches {
        gap: f64::INFINITY,
        by: Angle::ZERO,
    };
    let mut turned = 0.0_f64;
    for _ in 0..MOST_STEPS {
        let by = Angle::from_radians(sense * turned);
        let (gap, at) = gap(part, by.about(about), onto);
        if gap < nearest.gap {
            nearest = NeverTouches { gap, by };
        }
        if gap <= TOUCHING {
            return Ok(placed(part, about, onto, Touch { by, at }));
        }
        if turned >= std::f64::consts::TAU {
            break;
        }
        turned = (turned + gap / reach).min(std::f64::consts::TAU);
    }
    // Creeping up on a tangency: near enough is a touch, to be placed.
    if nearest.gap <= super::MEETING && nearest.by.degrees().abs() < 360.0 {
        let (_, at) = gap(part, nearest.by.about(about), onto);
        return Ok(placed(part, about, onto, Touch { by: nearest.by, at }));
    }
    Err(nearest)
}

/// The farthest that any point of the part can lie from the pivot.
fn reach(part: &Path, about: Point) -> f64 {
    let controls = part.segs().iter().flat_map(|seg| match seg {
        PathSeg::Line(l) => vec![l.p0, l.p1],
        PathSeg::Quad(q) => vec![q.p0, q.p1, q.p2],
        PathSeg::Cubic(c) => vec![c.p0, c.p1, c.p2, c.p3],
    });
    controls.map(|p| (p - about).hypot()).fold(1e-9, f64::max)
}

fn gap(part: &Path, by: Affine, onto: &Path) -> (f64, Point) {
    let moved: Vec<PathSeg> = part.segs().iter().map(|seg| by * *seg).collect();
    if moved.is_empty() {
        return (
            closest_approach(&part.transformed(by), onto).gap,
            Point::ZERO,
        );
    }
    let near = moved
        .iter()
        .map(ParamCurve::start)
        .next()
        .unwrap_or_default();
    let beside = Path::of(moved);
    let (p, q) = closest(beside.segs(), Window::on(onto, &beside).segs());
    if (q - p).hypot().is_finite() {
        ((q - p).hypot(), q)
    } else {
        (f64::INFINITY, near)
    }
}

/// The exact turn beside an approximate one: an end of one path on the other, or a tangency by the secant method.
fn placed(part: &Path, about: Point, onto: &Path, rough: Touch) -> Touch {
    /// How near, in degrees, the exact turn must lie to the rough one.
    const BESIDE: f64 = 0.02;
    let moved = part.transformed(rough.by.about(about));
    let mut exact: Vec<Touch> = Vec::new();
    for (own, p) in [(part.start(), moved.start()), (part.end(), moved.end())] {
        let (Ok(own), Ok(p)) = (own, p) else { continue };
        if (p - rough.at).hypot() <= 0.05 {
            let turns = pivot_until_on(own, about, onto).unwrap_or_default();
            exact.extend(turns.iter().map(|(by, place)| Touch {
                by: *by,
                at: place.point,
            }));
        }
    }
    for end in [onto.start(), onto.end()].into_iter().flatten() {
        if (end - rough.at).hypot() <= 0.05 {
            let turns = pivot_until_on(end, about, part).unwrap_or_default();
            exact.extend(turns.iter().map(|(by, _)| Touch { by: -*by, at: end }));
        }
    }
    let off = |touch: &Touch| (touch.by - rough.by).wrapped().degrees().abs();
    let beside = exact.into_iter().filter(|touch| off(touch) <= BESIDE);
    match beside.min_by(|x, y| off(x).total_cmp(&off(y))) {
        Some(touch) if !crosses(part, about, onto, touch.by) => touch,
        _ => tangency(part, about, onto, rough),
    }
}

/// Whether the turned part plainly runs through the other path.
fn crosses(part: &Path, about: Point, onto: &Path, by: Angle) -> bool {
    let found = super::meet::meetings(&part.transformed(by.about(about)), onto);
    found.crossings.len() > 1
}

/// The gap shrinks evenly with the turn near a touch: the secant method on the last two gaps.
fn tangency(part: &Path, about: Point, onto: &Path, rough: Touch) -> Touch {
    let sense = if rough.by.degrees() < 0.0 { -1.0 } else { 1.0 };
    let back = Angle::from_degrees(1e-3 * sense);
    let mut before = (
        rough.by - back,
        gap(part, (rough.by - back).about(about), onto).0,
    );
    let mut best = (rough.by, gap(part, rough.by.about(about), onto));
    for _ in 0..6 {
        let (now, (own_gap, _)) = best;
        let slope = (before.1 - own_gap) / (now - before.0).degrees();
        let next = now + Angle::from_degrees(own_gap / slope * 0.999_999);
        if own_gap <= 1e-10 || !next.degrees().is_finite() {
            break;
        }
        let found = gap(part, next.about(about), onto);
        if found.0 >= own_gap {
            break;
        }
        before = (now, own_gap);
        best = (next, found);
    }
    Touch {
        by: best.0,
        at: best.1.1,
    }
}
