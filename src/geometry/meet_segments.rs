//! Where two segments meet: crossings, touches and stretches that run along each other.
//!
//! Lines are met in closed form. Two cubics are halved, pruned by boxes and by the strips that hold them, until their
//! directions can no longer be parallel (then there is at most one crossing, and Newton's method finds it) or the
//! pieces are smaller than [`LEAF`] (then they touch or nearly touch, and the closest approach is found).

use super::MEETING;
use super::segment::{self, boxes_near, control_box, derivatives, unit};
use kurbo::{CubicBez, Line, ParamCurve, PathSeg, Point, Vec2};

/// Paths that come this near without crossing, or cross this shallowly, touch.
const TOUCH: f64 = 1e-6;
/// Pieces of this size are taken as touching candidates, in millimetres.
const LEAF: f64 = 0.02;
/// A shorter stretch of two segments along each other is a meeting, not an overlap.
const SHORTEST_OVERLAP: f64 = 0.01;
/// Pairs of pieces looked at before giving up on two curves that almost run along each other.
const MOST_PAIRS: usize = 60_000;

/// Two cubics touch in fewer places than this, or run along each other.
const MOST_TOUCHES: usize = 16;

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
    if !boxes_near(&control_box(a), &control_box(b), MEETING) {
        return;
    }
    if let (PathSeg::Cubic(ca), PathSeg::Cubic(cb)) = (a, b)
        && apart(ca, cb)
    {
        return;
    }
    if let Some(stretch) = overlap(a, b) {
        shared.push(stretch);
        return;
    }
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
        (PathSeg::Cubic(ca), PathSeg::Cubic(cb)) => cubic_cubic(ca, cb, hits, shared),
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
            let t = monotone_root(&off, low, high, at_low).clamp(0.0, 1.0);
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
fn end_slack(cubic: &CubicBez) -> f64 {
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

fn monotone_root(off: &[f64; 4], mut low: f64, mut high: f64, at_low: f64) -> f64 {
    let [o0, o1, o2, o3] = off;
    let slope = |t: f64| {
        let s = 1.0 - t;
        3.0 * (s * s * (o1 - o0) + 2.0 * s * t * (o2 - o1) + t * t * (o3 - o2))
    };
    let mut t = 0.5 * (low + high);
    for _ in 0..60 {
        let f = bernstein(off, t);
        if (f < 0.0) == (at_low < 0.0) {
            low = t;
        } else {
            high = t;
        }
        let newton = t - f / slope(t);
        let next = if newton > low && newton < high {
            newton
        } else {
            0.5 * (low + high)
        };
        if (next - t).abs() <= 1e-15 {
            return next;
        }
        t = next;
    }
    t
}

/// A piece of a cubic and the range of the whole's parameter that it covers.
#[derive(Clone, Copy)]
struct Piece {
    cubic: CubicBez,
    from: f64,
    to: f64,
}

impl Piece {
    fn whole(cubic: &CubicBez) -> Piece {
        Piece {
            cubic: *cubic,
            from: 0.0,
            to: 1.0,
        }
    }

    fn halves(&self) -> [Piece; 2] {
        let (first, second) = self.cubic.subdivide();
        let middle = 0.5 * (self.from + self.to);
        [
            Piece {
                cubic: first,
                from: self.from,
                to: middle,
            },
            Piece {
                cubic: second,
                from: middle,
                to: self.to,
            },
        ]
    }

    fn sides(&self) -> [Vec2; 3] {
        let c = &self.cubic;
        [c.p1 - c.p0, c.p2 - c.p1, c.p3 - c.p2]
    }

    fn size(&self) -> f64 {
        let b = control_box(&PathSeg::Cubic(self.cubic));
        b.width().max(b.height())
    }

    fn middle(&self) -> f64 {
        0.5 * (self.from + self.to)
    }
}

fn cubic_cubic(a: &CubicBez, b: &CubicBez, hits: &mut Vec<Hit>, shared: &mut Vec<Shared>) {
    let first_own = hits.len();
    let mut touches: Vec<(f64, f64, f64)> = Vec::new();
    let mut open = vec![(Piece::whole(a), Piece::whole(b))];
    let slack = (end_slack(a), end_slack(b));
    let mut looked_at = 0;
    while let Some((pa, pb)) = open.pop() {
        looked_at += 1;
        if looked_at > MOST_PAIRS {
            break;
        }
        if apart(&pa.cubic, &pb.cubic) {
            continue;
        }
        let (size_a, size_b) = (pa.size(), pb.size());
        let leaf = size_a.max(size_b) < LEAF;
        if leaf || never_parallel(&pa.sides(), &pb.sides()) {
            let found = crossing(a, b, pa.middle(), pb.middle(), slack);
            let within = |t: f64, p: &Piece, slack: f64| t >= p.from - slack && t <= p.to + slack;
            if let Some((ta, tb)) = found
                && (leaf || (within(ta, &pa, slack.0) && within(tb, &pb, slack.1)))
            {
                add_crossing(a, b, ta, tb, hits, first_own);
                if !leaf {
                    continue;
                }
            }
        }
        if leaf {
            if let Some(touch) = closest_near(a, b, pa.middle(), pb.middle())
                && !touches
                    .iter()
                    .any(|t| (t.0 - touch.0).abs() < 1e-6 && (t.1 - touch.1).abs() < 1e-6)
            {
                touches.push(touch);
            }
        } else if size_a > size_b {
            open.extend(pa.halves().map(|half| (half, pb)));
        } else {
            open.extend(pb.halves().map(|half| (pa, half)));
        }
    }
    if touches.len() > MOST_TOUCHES {
        // So many touches are one stretch along which the curves lie within a meeting of each other.
        let along = |x: &&(f64, f64, f64), y: &&(f64, f64, f64)| x.0.total_cmp(&y.0);
        let ends = (touches.iter().min_by(along), touches.iter().max_by(along));
        if let (Some(first), Some(last)) = ends {
            hits.truncate(first_own);
            shared.push(Shared {
                a: (first.0, last.0),
                b: (first.1, last.1),
            });
        }
        return;
    }
    settle_touches(a, b, &touches, hits, first_own);
}

/// Whether two cubics lie certainly more than [`MEETING`] apart: by their boxes, or one outside the other's strip.
fn apart(a: &CubicBez, b: &CubicBez) -> bool {
    let (ra, rb) = (
        control_box(&PathSeg::Cubic(*a)),
        control_box(&PathSeg::Cubic(*b)),
    );
    !boxes_near(&ra, &rb, MEETING) || outside_strip(a, b) || outside_strip(b, a)
}

fn outside_strip(strip: &CubicBez, other: &CubicBez) -> bool {
    let chord = strip.p3 - strip.p0;
    let off = |p: Point| chord.cross(p - strip.p0);
    let (a, b) = (off(strip.p1), off(strip.p2));
    let own = (a.min(b).min(0.0), a.max(b).max(0.0));
    let [p, q, r, s] = [off(other.p0), off(other.p1), off(other.p2), off(other.p3)];
    let its = (p.min(q).min(r.min(s)), p.max(q).max(r.max(s)));
    // Offsets here are distances times the length of the chord.
    (its.0 > own.1 || its.1 < own.0) && {
        let margin = MEETING * chord.hypot();
        its.0 > own.1 + margin || its.1 < own.0 - margin
    }
}

/// Whether no direction of one can be parallel to one of the other: all products of sides have one sign.
fn never_parallel(a: &[Vec2; 3], b: &[Vec2; 3]) -> bool {
    let mut sign = 0.0;
    for side in a.iter().filter(|side| side.hypot2() > 1e-24) {
        for other in b.iter().filter(|other| other.hypot2() > 1e-24) {
            let cross = side.cross(*other);
            if cross == 0.0 || cross * sign < 0.0 {
                return false;
            }
            sign = cross;
        }
    }
    sign != 0.0
}

/// Newton's method on a(s) = b(t) from a guess.
fn crossing(
    a: &CubicBez,
    b: &CubicBez,
    mut s: f64,
    mut t: f64,
    slack: (f64, f64),
) -> Option<(f64, f64)> {
    let (seg_a, seg_b) = (PathSeg::Cubic(*a), PathSeg::Cubic(*b));
    for _ in 0..24 {
        let miss = b.eval(t) - a.eval(s);
        let (da, db) = (derivatives(&seg_a, s).0, derivatives(&seg_b, t).0);
        let cross = da.cross(db);
        if cross == 0.0 || !cross.is_finite() {
            break;
        }
        let (ds, dt) = (miss.cross(db) / cross, miss.cross(da) / cross);
        s = (s + ds.clamp(-0.3, 0.3)).clamp(-0.1, 1.1);
        t = (t + dt.clamp(-0.3, 0.3)).clamp(-0.1, 1.1);
        if ds.abs() < 1e-13 && dt.abs() < 1e-13 {
            break;
        }
    }
    let within = |t: f64, slack: f64| (-slack..=1.0 + slack).contains(&t);
    let inside = within(s, slack.0) && within(t, slack.1);
    let at_end = !within(s, 0.0) || !within(t, 0.0);
    let (s, t) = (s.clamp(0.0, 1.0), t.clamp(0.0, 1.0));
    let gap = (a.eval(s) - b.eval(t)).hypot();
    (inside && gap <= if at_end { MEETING } else { 1e-8 }).then_some((s, t))
}

fn add_crossing(a: &CubicBez, b: &CubicBez, s: f64, t: f64, hits: &mut Vec<Hit>, first_own: usize) {
    let (p, q) = (a.eval(s), b.eval(t));
    let known = hits.iter().skip(first_own).any(|hit| {
        (a.eval(hit.a) - p).hypot() < 1e-5
            && (b.eval(hit.b) - q).hypot() < 1e-5
            && (hit.a - s).abs() < 1e-2
            && (hit.b - t).abs() < 1e-2
    });
    if !known {
        hits.push(Hit {
            a: s,
            b: t,
            tangent: false,
        });
    }
}

/// The closest approach near a guess, as both parameters and the gap, if it is no more than [`MEETING`].
///
/// Newton's method on "the join is square to a, and both run parallel".
fn closest_near(a: &CubicBez, b: &CubicBez, s0: f64, t0: f64) -> Option<(f64, f64, f64)> {
    let (seg_a, seg_b) = (PathSeg::Cubic(*a), PathSeg::Cubic(*b));
    let (mut s, mut t) = (s0, t0);
    for _ in 0..16 {
        let join = a.eval(s) - b.eval(t);
        let ((a1, a2), (b1, b2)) = (derivatives(&seg_a, s), derivatives(&seg_b, t));
        let (g1, g2) = (join.dot(a1), a1.cross(b1));
        let (g1s, g1t, g2s, g2t) = (
            a1.hypot2() + join.dot(a2),
            -b1.dot(a1),
            a2.cross(b1),
            a1.cross(b2),
        );
        let whole = g1s * g2t - g1t * g2s;
        let (ds, dt) = ((g1t * g2 - g1 * g2t) / whole, (g1 * g2s - g1s * g2) / whole);
        if !ds.is_finite() || !dt.is_finite() || ds.abs() > 0.2 || dt.abs() > 0.2 {
            (s, t) = (s0, t0);
            break;
        }
        (s, t) = (s + ds, t + dt);
        if ds.abs() < 1e-13 && dt.abs() < 1e-13 {
            break;
        }
    }
    if !(0.0..=1.0).contains(&s) || !(0.0..=1.0).contains(&t) {
        return None;
    }
    let gap = (a.eval(s) - b.eval(t)).hypot();
    (gap <= MEETING).then_some((s, t, gap))
}

/// A closest approach is a touch unless the curves plainly cross on both sides of it.
fn settle_touches(
    a: &CubicBez,
    b: &CubicBez,
    touches: &[(f64, f64, f64)],
    hits: &mut Vec<Hit>,
    first_own: usize,
) {
    let (seg_a, seg_b) = (PathSeg::Cubic(*a), PathSeg::Cubic(*b));
    for &(s, t, gap) in touches {
        let at = a.eval(s);
        let (ka, kb) = (segment::curvature(&seg_a, s), segment::curvature(&seg_b, t));
        let same_way = segment::tangent(&seg_a, s).dot(segment::tangent(&seg_b, t)) > 0.0;
        let bend = (ka - if same_way { kb } else { -kb }).abs().max(1e-7);
        let reach = 3.0 * (2.0 * gap.max(TOUCH) / bend).sqrt() + MEETING;
        let near = |hit: &Hit| (a.eval(hit.a) - at).hypot() <= reach;
        let crosses = hits.iter().skip(first_own).any(near);
        if gap <= TOUCH {
            let mut index = 0;
            hits.retain(|hit| {
                index += 1;
                index <= first_own || !near(hit)
            });
        } else if crosses {
            continue;
        }
        hits.push(Hit {
            a: s,
            b: t,
            tangent: true,
        });
    }
}
