//! Where a path crosses or touches itself.
//!
//! Neighbouring segments share their joint, which is no crossing; a single cubic crosses itself at most once, and that
//! place has a closed form.

use super::MEETING;
use super::meet::{Meeting, Overlap};
use super::meet_cubics::Work;
use super::meet_segments::{Hit, Shared, meet_within};
use super::path::Location;
use super::segment::{boxes_near, control_box, end_tangent};
use kurbo::{CubicBez, ParamCurve, PathSeg, Rect};

/// What a pair of bent segments costs to one of straight ones, and how many boxes may be held against each other for that
/// (measured).
const A_BENT_PAIR: u64 = 8;
const BOXES: u64 = 128;

/// Every place where a row of segments crosses or touches itself, and every stretch that it shares with itself; on each,
/// `on_a` is the earlier place. In the order of the row. That a closed row ends where it starts is no crossing.
pub fn self_meetings(segs: &[PathSeg], closed: bool) -> (Vec<Meeting>, Vec<Overlap>) {
    let mut endless = u64::MAX;
    self_meetings_within(segs, closed, &mut endless).unwrap_or_default()
}

/// The same, which takes off `left` each pair of segments that it has to look at; none where that does not do.
pub(crate) fn self_meetings_within(
    segs: &[PathSeg],
    closed: bool,
    left: &mut u64,
) -> Option<(Vec<Meeting>, Vec<Overlap>)> {
    let boxes: Vec<Rect> = segs.iter().map(control_box).collect();
    let mut crossings = Vec::new();
    let mut overlaps = Vec::new();
    let (mut hits, mut shared): (Vec<Hit>, Vec<Shared>) = (Vec::new(), Vec::new());
    let mut work = Work::new();
    let last = segs.len().saturating_sub(1);
    for (i, (seg_a, box_a)) in segs.iter().zip(&boxes).enumerate() {
        *left = left.checked_sub((segs.len() - i) as u64 / BOXES)?;
        if let PathSeg::Cubic(c) = seg_a
            && let Some((s, t)) = loop_of(c)
            && !(closed && last == 0 && s < 1e-9 && t > 1.0 - 1e-9)
        {
            crossings.push(meeting(seg_a, (i, s), (i, t), false));
        }
        for (j, (seg_b, box_b)) in segs.iter().zip(&boxes).enumerate().skip(i + 1) {
            let after = j == i + 1;
            let around = closed && i == 0 && j == last;
            if !boxes_near(box_a, box_b, MEETING)
                || (after && !around && parted(seg_a, seg_b))
                || (around && !after && parted(seg_b, seg_a))
            {
                continue;
            }
            let straight = matches!((seg_a, seg_b), (PathSeg::Line(_), PathSeg::Line(_)));
            *left = left.checked_sub(if straight { 1 } else { A_BENT_PAIR })?;
            meet_within(seg_a, seg_b, &mut hits, &mut shared, &mut work);
            for hit in hits.drain(..) {
                let joint = seg_a.eval(hit.a);
                let at_joint = (after && near_joint(seg_a, seg_b, hit.a, hit.b))
                    || (around && near_joint(seg_b, seg_a, hit.b, hit.a))
                    || at_far_joint(segs, closed, joint, (i, hit.a), (j, hit.b));
                if !at_joint {
                    crossings.push(meeting(seg_a, (i, hit.a), (j, hit.b), hit.tangent));
                }
            }
            for s in shared.drain(..) {
                let at = |segment, t| Location { segment, t };
                overlaps.push(Overlap {
                    on_a: (at(i, s.a.0), at(i, s.a.1)),
                    on_b: (at(j, s.b.0), at(j, s.b.1)),
                    from: seg_a.eval(s.a.0),
                    to: seg_a.eval(s.a.1),
                });
            }
        }
    }
    crossings.sort_by(|x, y| {
        x.on_a
            .partial_cmp(&y.on_a)
            .unwrap_or(std::cmp::Ordering::Equal)
    });
    crossings.dedup_by(|x, y| (x.point - y.point).hypot() <= 2.0 * MEETING && same_place(x, y));
    Some((crossings, overlaps))
}

fn meeting(seg: &PathSeg, a: (usize, f64), b: (usize, f64), tangent: bool) -> Meeting {
    Meeting {
        point: seg.eval(a.1),
        on_a: Location {
            segment: a.0,
            t: a.1,
        },
        on_b: Location {
            segment: b.0,
            t: b.1,
        },
        tangent,
    }
}

/// Two reports of one crossing at a joint of segments: neighbours or the same segment on both sides.
fn same_place(x: &Meeting, y: &Meeting) -> bool {
    x.on_a.segment.abs_diff(y.on_a.segment) <= 1 && x.on_b.segment.abs_diff(y.on_b.segment) <= 1
}

/// Whether two segments that follow one another lie on either side of the line square to them at the joint, and so meet
/// nowhere else: every side of both control polygons runs forward.
fn parted(before: &PathSeg, after: &PathSeg) -> bool {
    let along = end_tangent(before);
    let forward = |seg: &PathSeg, least: f64| {
        let sides = match seg {
            PathSeg::Cubic(c) => [c.p1 - c.p0, c.p2 - c.p1, c.p3 - c.p2],
            other => [other.end() - other.start(); 3],
        };
        sides
            .iter()
            .all(|side| along.dot(*side) >= least * side.hypot())
    };
    forward(before, 0.01) && forward(after, 0.01)
}

/// Whether a meeting of a segment with the next lies at the joint between them.
fn near_joint(before: &PathSeg, after: &PathSeg, t_before: f64, t_after: f64) -> bool {
    let joint = before.end();
    let near = |seg: &PathSeg, t: f64| (seg.eval(t) - joint).hypot() <= 2.0 * MEETING;
    near(before, t_before) && near(after, t_after) && t_before > 0.5 && t_after < 0.5
}

/// Whether everything between two places is shorter than a meeting: tiny segments round a joint.
fn at_far_joint(
    segs: &[PathSeg],
    closed: bool,
    p: kurbo::Point,
    (i, ti): (usize, f64),
    (j, tj): (usize, f64),
) -> bool {
    let close = |seg: &PathSeg| {
        let b = control_box(seg).inflate(2.0 * MEETING, 2.0 * MEETING);
        b.contains(p) && b.width().max(b.height()) <= 10.0 * MEETING
    };
    let between = segs.iter().take(j).skip(i + 1);
    if j > i + 1 && ti > 0.5 && tj < 0.5 && between.clone().all(close) {
        return true;
    }
    let outside = segs.iter().skip(j + 1).chain(segs.iter().take(i));
    closed && (j + 1 < segs.len() || i > 0) && ti < 0.5 && tj > 0.5 && outside.clone().all(close)
}

/// The two parameters at which a cubic passes one point, if it has a loop.
fn loop_of(c: &CubicBez) -> Option<(f64, f64)> {
    let (sum, root) = double_point(c).filter(|(_, root)| *root > 0.0)?;
    let (s, t) = (0.5 * (sum - root.sqrt()), 0.5 * (sum + root.sqrt()));
    (s >= 0.0 && t <= 1.0).then_some((s, t))
}

/// The sum of the two parameters at which a cubic passes one point, and the square of their difference: below nothing where
/// they are not real. None where there is no such point, as on a parabola.
///
/// (c(s) - c(t)) / (s - t) = 0 is linear in s + t and s·t.
pub(crate) fn double_point(c: &CubicBez) -> Option<(f64, f64)> {
    let d = 3.0 * (c.p1 - c.p0);
    let b = 3.0 * (c.p0.to_vec2() - 2.0 * c.p1.to_vec2() + c.p2.to_vec2());
    let a = c.p3 - c.p0 + 3.0 * (c.p1 - c.p2);
    let cross = b.cross(a);
    if cross.abs() <= 1e-12 * (a.hypot() * b.hypot()) || a.hypot2() == 0.0 {
        return None;
    }
    let sum = -d.cross(a) / cross;
    let product = sum * sum + (a.dot(b) * sum + a.dot(d)) / a.hypot2();
    Some((sum, sum * sum - 4.0 * product))
}
