//! The tools of a hand that drafts in Rust on kurbo: points, straight meetings, curves in corners and through points, lines
//! met by curves, and the solving of one length, each as lean as it goes. Millimetres, y up, angles in radians.

use kurbo::{CubicBez, Line, ParamCurve, ParamCurveArclen, PathSeg, Point, Vec2};
use std::f64::consts::PI;

/// Two places closer than this are one place.
pub const MEETING: f64 = 1e-3;

/// Arc lengths are worked out to this.
pub const ACCURACY: f64 = 1e-9;

/// A row of segments that follow one another.
pub type Row = Vec<PathSeg>;

/// The straight line through a point in a unit direction.
#[derive(Clone, Copy)]
pub struct Straight {
    pub through: Point,
    pub along: Vec2,
}

impl Straight {
    pub fn new(through: Point, along: Vec2) -> Self {
        Self { through, along }
    }

    pub fn square_to(through: Point, along: Vec2) -> Self {
        Self::new(through, Vec2::new(-along.y, along.x))
    }

    pub fn meets(self, other: Self) -> Point {
        let cross = self.along.cross(other.along);
        self.through + self.along * ((other.through - self.through).cross(other.along) / cross)
    }
}

pub fn unit(v: Vec2) -> Vec2 {
    v / v.hypot()
}

/// Of a direction and its opposite, the one that goes on.
pub fn sense(way: Vec2, on: Vec2) -> Vec2 {
    if way.dot(on) < 0.0 { -way } else { way }
}

/// Turning clockwise about a point.
#[derive(Clone, Copy)]
pub struct Turn {
    about: Point,
    sin: f64,
    cos: f64,
}

impl Turn {
    pub fn clockwise(about: Point, angle: f64) -> Self {
        let (sin, cos) = angle.sin_cos();
        Self { about, sin, cos }
    }

    pub fn point(self, p: Point) -> Point {
        let v = p - self.about;
        self.about
            + Vec2::new(
                v.x * self.cos + v.y * self.sin,
                v.y * self.cos - v.x * self.sin,
            )
    }

    pub fn curve(self, c: CubicBez) -> CubicBez {
        each(c, |p| self.point(p))
    }
}

/// A curve whose every control point is moved.
pub fn each(c: CubicBez, by: impl Fn(Point) -> Point) -> CubicBez {
    CubicBez::new(by(c.p0), by(c.p1), by(c.p2), by(c.p3))
}

/// A segment whose every control point is moved.
pub fn each_of(seg: &PathSeg, by: impl Fn(Point) -> Point) -> PathSeg {
    match seg {
        PathSeg::Cubic(c) => PathSeg::Cubic(each(*c, by)),
        other => PathSeg::Line(Line::new(by(other.start()), by(other.end()))),
    }
}

/// The curve in a corner.
pub fn hollow(p: Point, corner: Point, q: Point, fullness: f64) -> CubicBez {
    CubicBez::new(
        p,
        p + (corner - p) * fullness,
        q + (corner - q) * fullness,
        q,
    )
}

/// The curve between two directions, with the lengths of its handles.
pub fn sweep(p: Point, u: Vec2, q: Point, v: Vec2, out: f64, into: f64) -> CubicBez {
    CubicBez::new(p, p + u * out, q - v * into, q)
}

/// The same with handles of a third of the chord.
pub fn swept(p: Point, u: Vec2, q: Point, v: Vec2) -> CubicBez {
    let third = (q - p).hypot() * (1.0 / 3.0);
    sweep(p, u, q, v, third, third)
}

/// The smooth curve through three points with a direction at both ends (Hobby 1986), the direction in the middle kept
/// between the chords: the unknown of its three rows is only that one angle.
pub fn smooth(points: [Point; 3], start: Vec2, end: Vec2) -> [CubicBez; 2] {
    let [p, m, q] = points;
    let (before, after) = (m - p, q - m);
    let turned = turn(before, after);
    let (first, last) = (turn(before, start), turn(end, after));
    let (d, e) = (before.hypot(), after.hypot());
    let middle = (-2.0 * turned / d - first / d + last / e) / (2.0 / d + 2.0 / e);
    let share = if turned == 0.0 {
        0.0
    } else {
        (-middle / turned).clamp(0.05, 0.95)
    };
    let middle = -turned * share;
    [
        piece(p, before, d, first, -turned - middle),
        piece(m, after, e, middle, last),
    ]
}

fn turn(from: Vec2, to: Vec2) -> f64 {
    from.cross(to).atan2(from.dot(to))
}

fn piece(p: Point, chord: Vec2, length: f64, out: f64, into: f64) -> CubicBez {
    let ((s, c), (si, ci)) = (out.sin_cos(), into.sin_cos());
    let third = length / 3.0;
    let (mut a, mut b) = (
        third * velocity(s, c, si, ci),
        third * velocity(si, ci, s, c),
    );
    let apex = out + into;
    if out * into > 0.0 && apex.abs() < PI {
        let over = apex.sin().abs();
        let (most_a, most_b) = (si.abs() / over, s.abs() / over);
        if most_a.min(most_b) > 0.1 {
            a = a.min(0.95 * length * most_a);
            b = b.min(0.95 * length * most_b);
        }
    }
    let (along, q) = (chord / length, p + chord);
    let side = along.turn_90();
    let (u, v) = (along * c + side * s, along * ci - side * si);
    CubicBez::new(p, p + u * a, q - v * b, q)
}

fn velocity(s: f64, c: f64, so: f64, co: f64) -> f64 {
    const FIVE: f64 = 2.236_067_977_499_79;
    let above = 2.0 + std::f64::consts::SQRT_2 * (s - so / 16.0) * (so - s / 16.0) * (c - co);
    let below = 1.0 + 0.5 * (FIVE - 1.0) * c + 0.5 * (3.0 - FIVE) * co;
    (above / below.max(0.1)).clamp(0.1, 6.0)
}

/// The parameters at which a curve crosses a straight line, made sharp by Newton's steps.
pub fn crossings(c: &CubicBez, line: Straight) -> impl Iterator<Item = f64> {
    let off = |p: Point| line.along.cross(p - line.through);
    let [o0, o1, o2, o3] = [off(c.p0), off(c.p1), off(c.p2), off(c.p3)];
    let one_side = o0.min(o1).min(o2).min(o3) > 0.0 || o0.max(o1).max(o2).max(o3) < 0.0;
    let (k0, k1, k2, k3) = (
        o0,
        3.0 * (o1 - o0),
        3.0 * (o0 - 2.0 * o1 + o2),
        o3 - o0 + 3.0 * (o1 - o2),
    );
    let roots = if one_side {
        Default::default()
    } else {
        kurbo::common::solve_cubic(k0, k1, k2, k3)
    };
    roots.into_iter().filter_map(move |root| {
        let mut t = root;
        for _ in 0..2 {
            let slope = (3.0 * k3 * t + 2.0 * k2) * t + k1;
            t -= (((k3 * t + k2) * t + k1) * t + k0) / slope;
        }
        (0.0..=1.0).contains(&t).then_some(t)
    })
}

/// Where a row of curves meets a straight line: an end that lies on it, or else the first crossing.
pub fn meeting(row: &[CubicBez], line: Straight) -> Option<(usize, f64, Point)> {
    let on = |p: Point| line.along.cross(p - line.through).abs() <= MEETING;
    let (first, last) = (row.first()?, row.last()?);
    if on(first.p0) {
        return Some((0, 0.0, first.p0));
    }
    if on(last.p3) {
        return Some((row.len() - 1, 1.0, last.p3));
    }
    let all = row.iter().enumerate();
    all.flat_map(|(at, c)| crossings(c, line).map(move |t| (at, t, c.eval(t))))
        .next()
}

/// The part of a row of curves from its start to a place on it.
pub fn part_to(row: &[CubicBez], (at, t, _): (usize, f64, Point)) -> Vec<CubicBez> {
    let whole = row.iter().take(at).copied();
    let cut = row.get(at).map(|c| c.subsegment(0.0..t));
    whole.chain(cut).collect()
}

/// The part from a place to the end.
pub fn part_from(row: &[CubicBez], (at, t, _): (usize, f64, Point)) -> Vec<CubicBez> {
    let cut = row.get(at).map(|c| c.subsegment(t..1.0));
    cut.into_iter()
        .chain(row.iter().skip(at + 1).copied())
        .collect()
}

/// The length of a row of curves.
pub fn length(row: &[CubicBez]) -> f64 {
    row.iter().map(|c| c.arclen(ACCURACY)).sum()
}

/// The curve beside another, to the left if positive, fitted as closely as the program fits it.
pub fn beside(c: CubicBez, distance: f64) -> Vec<CubicBez> {
    let mut path = kurbo::BezPath::new();
    kurbo::offset::offset_cubic(c, distance, 0.8e-3, &mut path);
    let cubic = |seg| match seg {
        PathSeg::Cubic(c) => c,
        PathSeg::Quad(q) => q.raise(),
        PathSeg::Line(l) => hollow(l.p0, l.midpoint(), l.p1, 2.0 / 3.0),
    };
    path.segments().map(cubic).collect()
}

/// Folds an edge over: what runs from its end back to the upright at `until`, mirrored in the upright at `fold`.
pub fn folded(edge: &[PathSeg], fold: f64, until: f64) -> Row {
    let over = |p: Point| Point::new(2.0 * fold - p.x, p.y);
    let mut row = Row::with_capacity(edge.len());
    for seg in edge.iter().rev() {
        let seg = each_of(&seg.reverse(), over);
        if seg.end().x < until - MEETING {
            row.push(seg);
            continue;
        }
        if (seg.end().x - until).abs() <= MEETING {
            row.push(seg);
            break;
        }
        let upright = Straight::new(Point::new(until, 0.0), Vec2::new(0.0, 1.0));
        let t = match &seg {
            PathSeg::Cubic(c) => crossings(c, upright).next(),
            other => Some((until - other.start().x) / (other.end().x - other.start().x)),
        };
        if let Some(t) = t {
            row.push(seg.subsegment(0.0..t));
        }
        break;
    }
    row
}

/// Scans a range in 24 equal parts and refines every change of sign by Brent's method until less than 1e-9 is missed, as
/// the language does; the first answer is taken.
pub fn solve(mut miss: impl FnMut(f64) -> f64, first: f64, last: f64) -> Option<f64> {
    const PARTS: usize = 24;
    let mut answer = None;
    let mut before: Option<(f64, f64)> = None;
    for n in 0..=PARTS {
        let value = if n == PARTS {
            last
        } else {
            first + (last - first) * n as f64 / PARTS as f64
        };
        let now = (value, miss(value));
        if now.1.abs() <= 1e-9 {
            answer = answer.or(Some(value));
        } else if let Some(low) = before
            && low.1.abs() > 1e-9
            && (low.1 < 0.0) != (now.1 < 0.0)
        {
            let found = refine(&mut miss, low, now);
            answer = answer.or(Some(found));
        }
        before = Some(now);
    }
    answer
}

fn refine(miss: &mut impl FnMut(f64) -> f64, low: (f64, f64), high: (f64, f64)) -> f64 {
    let (mut a, mut b) = (low, high);
    let mut c = a;
    let (mut step, mut step_before) = (b.0 - a.0, b.0 - a.0);
    for _ in 0..100 {
        if (b.1 < 0.0) == (c.1 < 0.0) {
            c = a;
            step = b.0 - a.0;
            step_before = step;
        }
        if c.1.abs() < b.1.abs() {
            (a, b, c) = (b, c, b);
        }
        let finest = 2.0 * f64::EPSILON * b.0.abs() + 1e-15;
        let half = 0.5 * (c.0 - b.0);
        if b.1.abs() <= 1e-9 || half.abs() <= finest {
            break;
        }
        let usable = step_before.abs() >= finest && a.1.abs() > b.1.abs();
        let wanted = interpolated(a, b, c);
        let inside = wanted * half > 0.0
            && wanted.abs() < 1.5 * half.abs() - 0.5 * finest
            && wanted.abs() < 0.5 * step_before.abs();
        (step_before, step) = if usable && inside {
            (step, wanted)
        } else {
            (half, half)
        };
        a = b;
        b.0 += if step.abs() > finest {
            step
        } else {
            finest.copysign(half)
        };
        b.1 = miss(b.0);
    }
    b.0
}

fn interpolated(a: (f64, f64), b: (f64, f64), c: (f64, f64)) -> f64 {
    let (s, half) = (b.1 / a.1, 0.5 * (c.0 - b.0));
    let (p, q) = if a.0 == c.0 {
        (2.0 * half * s, 1.0 - s)
    } else {
        let (q, r) = (a.1 / c.1, b.1 / c.1);
        let p = s * (2.0 * half * q * (q - r) - (b.0 - a.0) * (r - 1.0));
        (p, (q - 1.0) * (r - 1.0) * (s - 1.0))
    };
    -p / q
}
