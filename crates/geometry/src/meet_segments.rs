//! Where two segments meet: crossings, touches and stretches that run along each other.
//!
//! Lines are met in closed form; two cubics are halved and pruned (see `meet_cubics`).

use super::MEETING;
use super::meet_cubics::{Work, apart, cubic_cubic};
use super::polynomial::root_between;
use super::segment::{self, boxes_near, control_box, unit};
use kurbo::{CubicBez, Line, ParamCurve, PathSeg};

/// Paths that come this near without crossing, or cross this shallowly, touch.
pub(super) const TOUCH: f64 = 1e-6;
/// A shorter stretch of two segments along each other is a meeting, not an overlap.
pub(super) const SHORTEST_OVERLAP: f64 = 0.01;

/// A meeting of two segments by their parameters.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Hit {
    pub a: f64,
    pub b: f64,
    pub tangent: bool,
}

/// A stretch that two segments share: parameters on each, ascending on `a`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Shared {
    pub a: (f64, f64),
    pub b: (f64, f64),
}

/// Adds the meetings of two segments, in no order, and the stretch they share if there is one.
pub(crate) fn meet(a: &PathSeg, b: &PathSeg, hits: &mut Vec<Hit>, shared: &mut Vec<Shared>) {
    meet_within(a, b, hits, shared, &mut Work::new());
}

/// The same, out of the work that is left for all pairs together.
pub(super) fn meet_within(
    a: &PathSeg,
    b: &PathSeg,
    hits: &mut Vec<Hit>,
    shared: &mut Vec<Shared>,
    work: &mut Work,
) {
    if !are_near(a, b) {
        return;
    }
    match overlap(a, b) {
        Some(stretch) => shared.push(stretch),
        None => cross_within(a, b, hits, shared, work),
    }
}

/// Whether two segments are not plainly apart.
pub(super) fn are_near(a: &PathSeg, b: &PathSeg) -> bool {
    match (a, b) {
        (PathSeg::Cubic(a), PathSeg::Cubic(b)) => !apart(a, b),
        _ => boxes_near(&control_box(a), &control_box(b), MEETING),
    }
}

/// The meetings of two segments that do not lie along each other.
pub(super) fn cross_within(
    a: &PathSeg,
    b: &PathSeg,
    hits: &mut Vec<Hit>,
    shared: &mut Vec<Shared>,
    work: &mut Work,
) {
    match (a, b) {
        (PathSeg::Line(la), PathSeg::Line(lb)) => line_line(la, lb, hits),
        (PathSeg::Line(la), PathSeg::Cubic(cb)) => {
            line_cubic(la, cb, |t_line, t_cubic, tangent| {
                hits.push(Hit {
                    a: t_line,
                    b: t_cubic,
                    tangent,
                })
            });
        }
        (PathSeg::Cubic(ca), PathSeg::Line(lb)) => {
            line_cubic(lb, ca, |t_line, t_cubic, tangent| {
                hits.push(Hit {
                    a: t_cubic,
                    b: t_line,
                    tangent,
                })
            });
        }
        (PathSeg::Cubic(ca), PathSeg::Cubic(cb)) => cubic_cubic(ca, cb, hits, shared, work),
        _ => {}
    }
}

/// The stretch along which two segments lie within [`MEETING`] of each other, bounded by ends of either.
fn overlap(a: &PathSeg, b: &PathSeg) -> Option<Shared> {
    let mut contacts: Vec<(f64, f64)> = Vec::new();
    let mut left = 4;
    for (on_a, end) in [(true, 0.0), (true, 1.0), (false, 0.0), (false, 1.0)] {
        let (own, other) = if on_a { (a, b) } else { (b, a) };
        let p = if end == 0.0 { own.start() } else { own.end() };
        if segment::passes(other, p, MEETING) {
            let t = segment::nearest(other, p).0;
            contacts.push(if on_a { (end, t) } else { (t, end) });
        }
        left -= 1;
        if contacts.len() + left < 2 {
            return None;
        }
    }
    let first = contacts
        .iter()
        .copied()
        .min_by(|x, y| x.0.total_cmp(&y.0))?;
    let last = contacts
        .iter()
        .copied()
        .max_by(|x, y| x.0.total_cmp(&y.0))?;
    let (from, middle) = (a.eval(first.0), a.eval(0.5 * (first.0 + last.0)));
    let reach = (a.eval(last.0) - from).hypot().max((middle - from).hypot());
    if reach < SHORTEST_OVERLAP {
        return None;
    }
    let along = (1..8).all(|n| {
        let p = a.eval(first.0 + (last.0 - first.0) * f64::from(n) / 8.0);
        segment::nearest(b, p).1 <= MEETING
    });
    along.then_some(Shared {
        a: (first.0, last.0),
        b: (first.1, last.1),
    })
}

/// Parameter and miss in range: up to [`MEETING`] beyond an end is the end.
fn snapped(t: f64, length: f64) -> Option<f64> {
    let slack = MEETING / length.max(MEETING);
    (t >= -slack && t <= 1.0 + slack).then(|| t.clamp(0.0, 1.0))
}

fn line_line(a: &Line, b: &Line, hits: &mut Vec<Hit>) {
    let (da, db) = (a.p1 - a.p0, b.p1 - b.p0);
    let (length_a, length_b) = (da.hypot(), db.hypot());
    let cross = da.cross(db);
    if cross.abs() <= 1e-12 * length_a * length_b {
        return;
    }
    let between = b.p0 - a.p0;
    let found = (
        snapped(between.cross(db) / cross, length_a),
        snapped(between.cross(da) / cross, length_b),
    );
    if let (Some(ta), Some(tb)) = found {
        hits.push(Hit {
            a: ta,
            b: tb,
            tangent: false,
        });
    }
}

/// The distance of a cubic from a line is a cubic polynomial; its extremes split it into pieces with one root each.
fn line_cubic(line: &Line, cubic: &CubicBez, mut push: impl FnMut(f64, f64, bool)) {
    let chord = line.p1 - line.p0;
    let (length, along) = (chord.hypot(), unit(chord));
    let off = [cubic.p0, cubic.p1, cubic.p2, cubic.p3].map(|p| along.cross(p - line.p0));
    let slack = end_slack(cubic);
    let distance = |t: f64| bernstein(&off, t);
    let place = |t: f64| snapped(along.dot(cubic.eval(t) - line.p0) / length, length);
    let [o0, o1, o2, o3] = off;
    let turns = kurbo::common::solve_quadratic(
        o1 - o0,
        2.0 * (o0 - 2.0 * o1 + o2),
        o3 - 3.0 * o2 + 3.0 * o1 - o0,
    );
    let (mut stops, mut count) = ([1.0 + slack; 4], 0);
    for t in turns
        .iter()
        .copied()
        .filter(|t| *t > -slack && *t < 1.0 + slack)
    {
        if let Some(stop) = stops.get_mut(count) {
            (*stop, count) = (t, count + 1);
        }
    }
    stops.sort_by(f64::total_cmp);
    let second = |t: f64| 6.0 * ((1.0 - t) * (o0 - 2.0 * o1 + o2) + t * (o1 - 2.0 * o2 + o3));
    let (mut low, mut at_low) = (-slack, distance(-slack));
    for (index, high) in stops.into_iter().enumerate().take(count + 1) {
        let at_high = distance(high);
        if at_low * at_high < 0.0
            && at_low.abs() > TOUCH
            && (at_high.abs() > TOUCH || index == count)
        {
            let t = root_between((low, high), at_low, |t| {
                (distance(t), distance(t) / bernstein_slope(&off, t))
            });
            let t = t.clamp(0.0, 1.0);
            if let Some(t_line) = place(t) {
                push(t_line, t, false);
            }
        } else if index == 0
            && at_low.abs() <= TOUCH
            && at_low * at_high <= 0.0
            && let Some(t_line) = place(0.0)
        {
            push(t_line, 0.0, false);
        }
        let touches = index < count && at_high.abs() <= MEETING && second(high).abs() > 0.0;
        if touches && (at_high.abs() <= TOUCH || (at_high > 0.0) == (second(high) > 0.0)) {
            let t = high.clamp(0.0, 1.0);
            if let Some(t_line) = place(t) {
                push(t_line, t, true);
            }
        }
        (low, at_low) = (high, at_high);
    }
}

/// How far beyond its ends a cubic is followed, by its parameter, so that it goes on for [`MEETING`].
pub(super) fn end_slack(cubic: &CubicBez) -> f64 {
    let handle = (cubic.p1 - cubic.p0)
        .hypot()
        .min((cubic.p3 - cubic.p2).hypot());
    (MEETING / (3.0 * handle).max(MEETING)).min(1e-3)
}

fn bernstein(off: &[f64; 4], t: f64) -> f64 {
    let s = 1.0 - t;
    let [o0, o1, o2, o3] = off;
    s * s * (s * o0 + 3.0 * t * o1) + t * t * (3.0 * s * o2 + t * o3)
}

/// How fast [`bernstein`] grows.
fn bernstein_slope(off: &[f64; 4], t: f64) -> f64 {
    let s = 1.0 - t;
    let [o0, o1, o2, o3] = off;
    3.0 * (s * s * (o1 - o0) + 2.0 * s * t * (o2 - o1) + t * t * (o3 - o2))
}
