//! What kurbo's path segments lack: tangents that survive zero-length handles, the inverse of arc length, and the
//! places of extreme curvature. Segments here are lines and cubics only; a path raises its quadratics on entry.

use super::polynomial::roots_in_unit;
use kurbo::{
    CubicBez, Line, ParamCurve, ParamCurveArclen, ParamCurveDeriv, ParamCurveNearest, PathSeg,
    Point, Rect, Vec2,
};

/// A line or a cubic: quadratics are raised.
pub(crate) fn raised(seg: PathSeg) -> PathSeg {
    match seg {
        PathSeg::Quad(quad) => PathSeg::Cubic(quad.raise()),
        other => other,
    }
}

/// The segment with its start moved, its first handle moved along.
pub(crate) fn with_start(seg: PathSeg, start: Point) -> PathSeg {
    match raised(seg) {
        PathSeg::Cubic(c) => {
            PathSeg::Cubic(CubicBez::new(start, c.p1 + (start - c.p0), c.p2, c.p3))
        }
        other => PathSeg::Line(Line::new(start, other.end())),
    }
}

/// The box of the control points: quick, and never smaller than the segment's own.
pub(crate) fn control_box(seg: &PathSeg) -> Rect {
    match seg {
        PathSeg::Line(l) => Rect::from_points(l.p0, l.p1),
        PathSeg::Quad(q) => Rect::from_points(q.p0, q.p2).union_pt(q.p1),
        PathSeg::Cubic(c) => Rect::from_points(c.p0, c.p3).union_pt(c.p1).union_pt(c.p2),
    }
}

/// Whether two boxes come within `margin` of each other.
pub(crate) fn boxes_near(a: &Rect, b: &Rect, margin: f64) -> bool {
    a.x0 <= b.x1 + margin && b.x0 <= a.x1 + margin && a.y0 <= b.y1 + margin && b.y0 <= a.y1 + margin
}

/// The greatest extent of the control points from the start.
pub(crate) fn size(seg: &PathSeg) -> f64 {
    match seg {
        PathSeg::Line(l) => (l.p1 - l.p0).hypot(),
        PathSeg::Quad(q) => (q.p1 - q.p0).hypot().max((q.p2 - q.p0).hypot()),
        PathSeg::Cubic(c) => (c.p1 - c.p0)
            .hypot()
            .max((c.p2 - c.p0).hypot())
            .max((c.p3 - c.p0).hypot()),
    }
}

/// The direction in which the segment leaves its start, of unit length; zero only for a segment of no size.
pub(crate) fn start_tangent(seg: &PathSeg) -> Vec2 {
    match seg {
        PathSeg::Line(l) => unit(l.p1 - l.p0),
        PathSeg::Quad(q) => first_long(&[q.p1 - q.p0, q.p2 - q.p0]),
        PathSeg::Cubic(c) => first_long(&[c.p1 - c.p0, c.p2 - c.p0, c.p3 - c.p0]),
    }
}

/// The direction in which the segment arrives at its end, of unit length; zero only for a segment of no size.
pub(crate) fn end_tangent(seg: &PathSeg) -> Vec2 {
    match seg {
        PathSeg::Line(l) => unit(l.p1 - l.p0),
        PathSeg::Quad(q) => first_long(&[q.p2 - q.p1, q.p2 - q.p0]),
        PathSeg::Cubic(c) => first_long(&[c.p3 - c.p2, c.p3 - c.p1, c.p3 - c.p0]),
    }
}

/// The first of the vectors that is more than rounding noise beside the largest.
fn first_long(vectors: &[Vec2]) -> Vec2 {
    let largest = vectors.iter().fold(0.0_f64, |most, v| most.max(v.hypot()));
    let least = largest * 1e-9 + 1e-9;
    let found = vectors.iter().find(|v| v.hypot() > least);
    unit(found.or(vectors.last()).copied().unwrap_or_default())
}

/// The vector at unit length, or zero if it has none.
pub(crate) fn unit(v: Vec2) -> Vec2 {
    let length = v.hypot();
    if length > 0.0 && length.is_finite() {
        v / length
    } else {
        Vec2::ZERO
    }
}

/// First and second derivative by the parameter.
pub(crate) fn derivatives(seg: &PathSeg, t: f64) -> (Vec2, Vec2) {
    match seg {
        PathSeg::Line(l) => (l.p1 - l.p0, Vec2::ZERO),
        PathSeg::Quad(q) => (
            q.deriv().eval(t).to_vec2(),
            q.deriv().deriv().eval(t).to_vec2(),
        ),
        PathSeg::Cubic(c) => {
            let d = c.deriv();
            (d.eval(t).to_vec2(), d.deriv().eval(t).to_vec2())
        }
    }
}

/// The unit tangent anywhere; at a cusp inside, the direction in which the curve goes on.
pub(crate) fn tangent(seg: &PathSeg, t: f64) -> Vec2 {
    if t <= 0.0 {
        return start_tangent(seg);
    }
    if t >= 1.0 {
        return end_tangent(seg);
    }
    let (first, second) = derivatives(seg, t);
    let least = size(seg) * 1e-9;
    if first.hypot() > least {
        unit(first)
    } else if second.hypot() > least {
        unit(second)
    } else {
        end_tangent(seg)
    }
}

/// Signed curvature, positive where the path bends to its left, in 1/mm; infinite at a cusp.
pub(crate) fn curvature(seg: &PathSeg, t: f64) -> f64 {
    let (first, second) = derivatives(seg, t);
    let speed = first.hypot();
    let inside = t > 0.0 && t < 1.0;
    if inside && speed <= 1e-7 * size(seg) {
        return f64::INFINITY;
    }
    let cross = first.cross(second);
    if cross == 0.0 {
        return 0.0;
    }
    cross / (speed * speed * speed)
}

/// Arc length of the part of a segment between two parameters, to `accuracy` millimetres.
pub(crate) fn length_between(seg: &PathSeg, from: f64, to: f64, accuracy: f64) -> f64 {
    match seg {
        PathSeg::Line(l) => (l.p1 - l.p0).hypot() * (to - from),
        _ if from <= 0.0 && to >= 1.0 => arc_length(seg, accuracy),
        _ => arc_length(&seg.subsegment(from..to), accuracy),
    }
}

/// Arc length of a segment to `accuracy` millimetres, or to what its coordinates can tell: far from the origin the last
/// digits of a short segment are chance, and kurbo would halve it a million times to settle them.
pub(crate) fn arc_length(seg: &PathSeg, accuracy: f64) -> f64 {
    let reach = control_box(seg);
    let across = reach.x0.abs().max(reach.x1.abs());
    let far = across.max(reach.y0.abs()).max(reach.y1.abs());
    seg.arclen(accuracy.max(32.0 * f64::EPSILON * far))
}

/// The parameter at an arc length from the start of a segment whose whole length is `total`.
///
/// Newton's method on arc length, kept inside a bracket; each step measures only the piece between the last two
/// trials. The place found is within `accuracy` millimetres of the true one, along the segment.
pub(crate) fn parameter_at(seg: &PathSeg, wanted: f64, total: f64, accuracy: f64) -> f64 {
    if wanted <= 0.0 || total <= 0.0 {
        return 0.0;
    }
    if wanted >= total {
        return 1.0;
    }
    let mut t = wanted / total;
    if matches!(seg, PathSeg::Line(_)) {
        return t;
    }
    let (mut low, mut high) = (0.0, 1.0);
    let piece = accuracy * 0.1;
    let mut reached = length_between(seg, 0.0, t, piece);
    for _ in 0..60 {
        let miss = reached - wanted;
        if miss.abs() <= accuracy * 0.5 {
            return t;
        }
        if miss < 0.0 {
            low = t;
        } else {
            high = t;
        }
        let speed = derivatives(seg, t).0.hypot();
        let newton = t - miss / speed;
        let next = if newton > low && newton < high {
            newton
        } else {
            0.5 * (low + high)
        };
        if next <= low || next >= high {
            return t;
        }
        reached += if next > t {
            length_between(seg, t, next, piece)
        } else {
            -length_between(seg, next, t, piece)
        };
        t = next;
    }
    t
}

/// The parameter nearest to a point, and the distance.
pub(crate) fn nearest(seg: &PathSeg, p: Point) -> (f64, f64) {
    let found = seg.nearest(p, 1e-9);
    let mut t = found.t.clamp(0.0, 1.0);
    if let PathSeg::Cubic(_) = seg {
        // Newton's steps on (c - p)·c' place the foot as sharply as the distance.
        for _ in 0..3 {
            let (first, second) = derivatives(seg, t);
            let away = seg.eval(t) - p;
            let bend = first.hypot2() + away.dot(second);
            if bend <= 0.0 {
                break;
            }
            let next = (t - away.dot(first) / bend).clamp(0.0, 1.0);
            if (seg.eval(next) - p).hypot2() > away.hypot2() {
                break;
            }
            t = next;
        }
    }
    (t, (seg.eval(t) - p).hypot())
}

/// Parameters at which the curvature of a segment may be greatest or least: its extremes inside, and both ends.
pub(crate) fn curvature_extremes(seg: &PathSeg) -> Vec<f64> {
    let PathSeg::Cubic(c) = seg else {
        return vec![0.0];
    };
    // c'(t) = a + b t + d t², scaled by 1/3; then k ~ cross / |c'|³ with cross = x + y t + z t².
    let (v0, v1, v2) = (c.p1 - c.p0, c.p2 - c.p1, c.p3 - c.p2);
    let (a, b, d) = (v0, 2.0 * (v1 - v0), v0 - 2.0 * v1 + v2);
    let cross = [a.cross(b), 2.0 * a.cross(d), b.cross(d)];
    let speed2 = [
        a.hypot2(),
        2.0 * a.dot(b),
        b.hypot2() + 2.0 * a.dot(d),
        2.0 * b.dot(d),
        d.hypot2(),
    ];
    let [k0, k1, k2] = cross;
    let mut balance = [0.0; 6];
    // cross'·|c'|² - 3/2·cross·(|c'|²)' vanishes at an extreme.
    let bend = [k1, 2.0 * k2];
    let speed2_slope = [speed2[1], 2.0 * speed2[2], 3.0 * speed2[3], 4.0 * speed2[4]];
    for (i, x) in bend.iter().enumerate() {
        for (j, y) in speed2.iter().enumerate() {
            add_at(&mut balance, i + j, x * y);
        }
    }
    for (i, x) in [k0, k1, k2].iter().enumerate() {
        for (j, y) in speed2_slope.iter().enumerate() {
            add_at(&mut balance, i + j, -1.5 * x * y);
        }
    }
    let mut places = roots_in_unit(&balance).as_slice().to_vec();
    // A cusp stands where the speed itself is least.
    places.extend_from_slice(roots_in_unit(&speed2_slope).as_slice());
    places.push(0.0);
    places.push(1.0);
    places
}

fn add_at(row: &mut [f64], index: usize, amount: f64) {
    if let Some(cell) = row.get_mut(index) {
        *cell += amount;
    }
}

/// Whether a segment runs straight from end to end without turning back, to within `tolerance` millimetres.
pub(crate) fn is_straight(seg: &PathSeg, tolerance: f64) -> bool {
    let PathSeg::Cubic(c) = seg else { return true };
    let chord = c.p3 - c.p0;
    let along = unit(chord);
    if along == Vec2::ZERO {
        return false;
    }
    let off = |p: Point| along.cross(p - c.p0).abs();
    let (s1, s2) = (along.dot(c.p1 - c.p0), along.dot(c.p2 - c.p0));
    let within = |s: f64| s >= -tolerance && s <= chord.hypot() + tolerance;
    off(c.p1) <= tolerance && off(c.p2) <= tolerance && within(s1) && within(s2)
}

/// The turning points of a cubic that runs to and fro on one straight line, start and end included; none if it bends
/// or runs one way.
pub(crate) fn to_and_fro(seg: &PathSeg) -> Option<Vec<Point>> {
    let turns = turns_of_to_and_fro(seg)?.into_iter();
    let places = std::iter::once(0.0).chain(turns).chain([1.0]);
    Some(places.map(|t| seg.eval(t)).collect())
}

/// The parameters at which a cubic turns that runs to and fro on one straight line; none if it bends or runs one way.
pub(crate) fn turns_of_to_and_fro(seg: &PathSeg) -> Option<Vec<f64>> {
    const STRAIGHT: f64 = 1e-6;
    let PathSeg::Cubic(c) = seg else { return None };
    let sides = [c.p1 - c.p0, c.p2 - c.p0, c.p3 - c.p0];
    let longest = sides
        .into_iter()
        .max_by(|x, y| x.hypot2().total_cmp(&y.hypot2()))?;
    let along = unit(longest);
    if sides.iter().any(|side| along.cross(*side).abs() > STRAIGHT) || is_straight(seg, STRAIGHT) {
        return None;
    }
    let [s1, s2, s3] = sides.map(|side| along.dot(side));
    let turns = kurbo::common::solve_quadratic(s1, 2.0 * (s2 - 2.0 * s1), s3 - 3.0 * s2 + 3.0 * s1);
    let mut turns: Vec<f64> = turns
        .into_iter()
        .filter(|t| *t > 1e-9 && *t < 1.0 - 1e-9)
        .collect();
    turns.sort_by(f64::total_cmp);
    Some(turns)
}

/// The farthest that a control point lies from the chord: the segment stays within that of it.
pub(crate) fn bulge(seg: &PathSeg) -> f64 {
    let chord = (seg.start(), seg.end());
    match seg {
        PathSeg::Cubic(c) => to_chord(c.p1, chord).max(to_chord(c.p2, chord)),
        PathSeg::Quad(q) => to_chord(q.p1, chord),
        PathSeg::Line(_) => 0.0,
    }
}

/// The distance from a point to the straight line between two points.
pub(crate) fn to_chord(p: Point, (from, to): (Point, Point)) -> f64 {
    let chord = to - from;
    let length2 = chord.hypot2();
    let share = if length2 > 0.0 {
        (chord.dot(p - from) / length2).clamp(0.0, 1.0)
    } else {
        0.0
    };
    (p - (from + chord * share)).hypot()
}

/// Whether a segment passes within `tolerance` of a point: halves are dropped as soon as their chords and bulges keep
/// them farther off, and one that is nearly straight is asked for its nearest place.
pub(crate) fn passes(seg: &PathSeg, p: Point, tolerance: f64) -> bool {
    const NEARLY_STRAIGHT: f64 = 0.1;
    fn look(seg: &PathSeg, p: Point, tolerance: f64, depth: u32) -> bool {
        let (off, bulge) = (to_chord(p, (seg.start(), seg.end())), bulge(seg));
        if off > bulge + tolerance {
            return false;
        }
        // Lines of a draft meet at their ends.
        if (p - seg.start()).hypot() <= tolerance || (p - seg.end()).hypot() <= tolerance {
            return true;
        }
        if bulge < NEARLY_STRAIGHT || depth == 0 {
            return nearest(seg, p).1 <= tolerance;
        }
        let (first, second) = seg.subdivide();
        look(&first, p, tolerance, depth - 1) || look(&second, p, tolerance, depth - 1)
    }
    look(seg, p, tolerance, 24)
}
