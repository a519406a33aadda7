//! Where two cubics meet. They are halved, pruned by boxes and by the strips that hold them, until their directions can
//! no longer be parallel (then there is at most one crossing, and Newton's method finds it) or the pieces are smaller
//! than [`LEAF`] (then they touch or nearly touch, and the closest approach is found).
//!
//! Where the search creeps along both curves, the stretch that lies within a meeting is measured and settled at once.

use super::MEETING;
use super::meet_segments::{Hit, SHORTEST_OVERLAP, Shared, TOUCH, end_slack};
use super::segment::{self, boxes_near, control_box, derivatives};
use kurbo::{CubicBez, ParamCurve, ParamCurveDeriv, PathSeg, Point, Vec2};

/// Pieces of this size are taken as touching candidates, in millimetres.
const LEAF: f64 = 0.02;
/// Work spent on two cubics before giving up: one for a pair of pieces, more where Newton's method runs.
const MOST_WORK: usize = 40_000;
/// Work spent on all pairs of a row of segments, beyond which each pair has only [`LEAST_WORK`].
const MOST_WORK_SHARED: usize = 250_000;
/// Enough for two curves that do not creep along each other.
const LEAST_WORK: usize = 500;
/// What Newton's method costs beside a look at a pair.
const NEWTON: usize = 6;
/// After so many pairs of the smallest pieces the search creeps along both curves.
const LEAVES_TO_CREEP: usize = 128;
/// Places of such a stretch from which its meetings are looked for.
const SAMPLES: u32 = 32;
/// Two cubics cross in no more places than this (Bézout's theorem: three times three), or run along each other.
const MOST_CROSSINGS: usize = 9;
/// Two cubics touch in no more places than this, or run along each other.
const MOST_TOUCHES: usize = 16;

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

/// What work is left for the meetings of a row of segments, so that wild shapes end in good time.
pub(super) struct Work {
    left: usize,
}

impl Work {
    pub(super) fn new() -> Work {
        Work {
            left: MOST_WORK_SHARED,
        }
    }
}

/// What has been found of two cubics.
struct Search<'c> {
    a: &'c CubicBez,
    b: &'c CubicBez,
    slack: (f64, f64),
    /// Crossings, those of earlier segments before `first_own`.
    hits: &'c mut Vec<Hit>,
    first_own: usize,
    /// Closest approaches: both parameters and the gap.
    touches: Vec<(f64, f64, f64)>,
    /// Stretches along each other that need not be looked at again.
    done: Vec<Shared>,
    leaves: usize,
    work: usize,
    gave_up: bool,
}

/// Adds the crossings and touches of two cubics, and the stretches along which they lie within a meeting of each other.
pub(super) fn cubic_cubic(
    a: &CubicBez,
    b: &CubicBez,
    hits: &mut Vec<Hit>,
    shared: &mut Vec<Shared>,
    work: &mut Work,
) {
    let mut search = Search {
        a,
        b,
        slack: (end_slack(a), end_slack(b)),
        first_own: hits.len(),
        hits,
        touches: Vec::new(),
        done: Vec::new(),
        leaves: 0,
        work: 0,
        gave_up: false,
    };
    let most = work.left.clamp(LEAST_WORK, MOST_WORK);
    let mut open = vec![(Piece::whole(a), Piece::whole(b))];
    while let Some((pa, pb)) = open.pop() {
        search.work += 1;
        if search.work > most || search.gave_up {
            break;
        }
        if apart(&pa.cubic, &pb.cubic) || search.knows(&pa, &pb) {
            continue;
        }
        let (size_a, size_b) = (pa.size(), pb.size());
        let leaf = size_a.max(size_b) < LEAF;
        if (leaf || never_parallel(&pa.sides(), &pb.sides())) && search.cross(&pa, &pb, leaf) {
            search.along(pa.middle(), shared);
            continue;
        }
        if leaf {
            search.leaf(&pa, &pb);
            search.along(pa.middle(), shared);
        } else if size_a > size_b {
            open.extend(pa.halves().map(|half| (half, pb)));
        } else {
            open.extend(pb.halves().map(|half| (pa, half)));
        }
    }
    work.left = work.left.saturating_sub(search.work);
    settle_touches(a, b, &search.touches, search.hits, search.first_own);
}

impl Search<'_> {
    /// Whether a pair lies in a stretch that is done with.
    fn knows(&self, pa: &Piece, pb: &Piece) -> bool {
        self.done.iter().any(|run| {
            let (low, high) = (run.b.0.min(run.b.1), run.b.0.max(run.b.1));
            pa.from >= run.a.0 && pa.to <= run.a.1 && pb.from >= low && pb.to <= high
        })
    }

    /// Looks for the one crossing of two pieces; whether nothing else can be found in them.
    fn cross(&mut self, pa: &Piece, pb: &Piece, leaf: bool) -> bool {
        self.work += NEWTON;
        let within = |t: f64, p: &Piece, slack: f64| t >= p.from - slack && t <= p.to + slack;
        match crossing(self.a, self.b, pa.middle(), pb.middle(), self.slack) {
            Some((s, t))
                if leaf || (within(s, pa, self.slack.0) && within(t, pb, self.slack.1)) =>
            {
                add_crossing(self.a, self.b, s, t, self.hits, self.first_own);
                !leaf
            }
            _ => false,
        }
    }

    fn leaf(&mut self, pa: &Piece, pb: &Piece) {
        self.leaves += 1;
        self.work += NEWTON;
        if let Some(touch) = closest_near(self.a, self.b, pa.middle(), pb.middle()) {
            self.touch(touch);
        }
    }

    fn touch(&mut self, touch: (f64, f64, f64)) {
        let known =
            |t: &(f64, f64, f64)| (t.0 - touch.0).abs() < 1e-6 && (t.1 - touch.1).abs() < 1e-6;
        if !self.touches.iter().any(known) {
            self.touches.push(touch);
        }
    }

    fn too_many(&self) -> bool {
        self.hits.len() - self.first_own.min(self.hits.len()) > MOST_CROSSINGS
            || self.touches.len() > MOST_TOUCHES
    }

    /// Where the search creeps along both curves, settles the stretch at once: a few meetings inside it, or an overlap.
    fn along(&mut self, s: f64, shared: &mut Vec<Shared>) {
        let creeps = self.leaves % LEAVES_TO_CREEP == LEAVES_TO_CREEP - 1;
        if !(creeps || self.too_many()) {
            return;
        }
        let Some(run) = stretch_about(self.a, self.b, s) else {
            if self.too_many() {
                self.give_up(shared);
            }
            return;
        };
        self.work += 4 * NEWTON * SAMPLES as usize;
        for n in 0..SAMPLES {
            let share = (f64::from(n) + 0.5) / f64::from(SAMPLES);
            let s = run.a.0 + (run.a.1 - run.a.0) * share;
            let t = segment::nearest(&PathSeg::Cubic(*self.b), self.a.eval(s)).0;
            if let Some((s, t)) = crossing(self.a, self.b, s, t, self.slack) {
                add_crossing(self.a, self.b, s, t, self.hits, self.first_own);
            }
            if let Some(touch) = closest_near(self.a, self.b, s, t) {
                self.touch(touch);
            }
        }
        self.drop_crossings_at_touches();
        if self.too_many() {
            let outside = |s: f64| s < run.a.0 || s > run.a.1;
            let (mut index, first_own) = (0, self.first_own);
            self.hits.retain(|hit| {
                index += 1;
                index <= first_own || outside(hit.a)
            });
            self.touches.retain(|touch| outside(touch.0));
            shared.push(run);
            if self.too_many() {
                self.give_up(shared);
            }
        }
        self.done.push(run);
    }

    /// Where curves touch, Newton's method stops at many places so near that each looks like a crossing.
    fn drop_crossings_at_touches(&mut self) {
        for touch in self.touches.iter().filter(|touch| touch.2 <= TOUCH) {
            let (at, reach) = reach_of_touch(self.a, self.b, touch);
            let (mut index, first_own, a) = (0, self.first_own, self.a);
            self.hits.retain(|hit| {
                index += 1;
                index <= first_own || (a.eval(hit.a) - at).hypot() > reach
            });
        }
    }

    /// More meetings than two cubics can have, on no stretch: all of it is taken as one.
    fn give_up(&mut self, shared: &mut Vec<Shared>) {
        let own = self
            .hits
            .iter()
            .skip(self.first_own)
            .map(|hit| (hit.a, hit.b));
        let met: Vec<(f64, f64)> = own.chain(self.touches.iter().map(|t| (t.0, t.1))).collect();
        let order = |x: &&(f64, f64), y: &&(f64, f64)| x.0.total_cmp(&y.0);
        if let (Some(first), Some(last)) = (met.iter().min_by(order), met.iter().max_by(order)) {
            shared.push(Shared {
                a: (first.0, last.0),
                b: (first.1, last.1),
            });
        }
        self.hits.truncate(self.first_own);
        self.touches.clear();
        self.gave_up = true;
    }
}

/// The stretch of `a` about a place on which it stays within [`MEETING`] of `b`, if it is longer than a meeting.
fn stretch_about(a: &CubicBez, b: &CubicBez, s: f64) -> Option<Shared> {
    let seg_b = PathSeg::Cubic(*b);
    let near = |s: f64| {
        let (t, gap) = segment::nearest(&seg_b, a.eval(s));
        (gap <= MEETING).then_some(t)
    };
    near(s)?;
    let end = |way: f64| {
        let last = if way > 0.0 { 1.0 } else { 0.0 };
        let (mut inside, mut step) = (s, 1.0 / 4096.0);
        let mut outside = loop {
            let next = (inside + way * step).clamp(0.0, 1.0);
            if near(next).is_none() {
                break next;
            }
            if next == last {
                return next;
            }
            (inside, step) = (next, step * 2.0);
        };
        for _ in 0..24 {
            let middle = 0.5 * (inside + outside);
            if near(middle).is_some() {
                inside = middle;
            } else {
                outside = middle;
            }
        }
        inside
    };
    let (from, to) = (end(-1.0), end(1.0));
    let whole = PathSeg::Cubic(a.subsegment(from..to));
    (segment::size(&whole) >= SHORTEST_OVERLAP).then_some(())?;
    Some(Shared {
        a: (from, to),
        b: (near(from)?, near(to)?),
    })
}

/// Whether two cubics lie certainly more than [`MEETING`] apart: by their boxes, or one outside the other's strip.
pub(super) fn apart(a: &CubicBez, b: &CubicBez) -> bool {
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
    let (along_a, along_b) = (a.deriv(), b.deriv());
    for _ in 0..24 {
        let miss = b.eval(t) - a.eval(s);
        let (da, db) = (along_a.eval(s).to_vec2(), along_b.eval(t).to_vec2());
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

/// The place of a touch on `a`, and how far from it the curves stay so near that they look as if they crossed.
fn reach_of_touch(a: &CubicBez, b: &CubicBez, touch: &(f64, f64, f64)) -> (Point, f64) {
    let (seg_a, seg_b) = (PathSeg::Cubic(*a), PathSeg::Cubic(*b));
    let &(s, t, gap) = touch;
    let (ka, kb) = (segment::curvature(&seg_a, s), segment::curvature(&seg_b, t));
    let same_way = segment::tangent(&seg_a, s).dot(segment::tangent(&seg_b, t)) > 0.0;
    let bend = (ka - if same_way { kb } else { -kb }).abs().max(1e-7);
    let reach = 3.0 * (2.0 * gap.max(TOUCH) / bend).sqrt() + MEETING;
    (a.eval(s), reach)
}

/// A closest approach is a touch unless the curves plainly cross on both sides of it.
fn settle_touches(
    a: &CubicBez,
    b: &CubicBez,
    touches: &[(f64, f64, f64)],
    hits: &mut Vec<Hit>,
    first_own: usize,
) {
    for &(s, t, gap) in touches {
        let (at, reach) = reach_of_touch(a, b, &(s, t, gap));
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
