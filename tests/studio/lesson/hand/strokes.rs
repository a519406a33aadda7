//! Lines as a hand has them on paper: rows of points, a curve laid through its places as a flexible ruler would.

use kurbo::{Affine, ParamCurveNearest, Point, Vec2};

/// A line on the paper. Millimetres, y up.
#[derive(Clone, Debug)]
pub struct Stroke {
    pub points: Vec<Point>,
    pub endless: bool,
}

/// Half the length of paper that an endless line is drawn on.
const PAPER: f64 = 5000.0;

impl Stroke {
    pub fn straight(a: Point, b: Point) -> Self {
        Self {
            points: vec![a, b],
            endless: false,
        }
    }

    pub fn guide(through: Point, along: Vec2) -> Self {
        Self {
            points: vec![through, through + along.normalize() * 100.0],
            endless: true,
        }
    }

    pub fn start(&self) -> Point {
        self.points[0]
    }

    pub fn end(&self) -> Point {
        self.points[self.points.len() - 1]
    }

    pub fn is_straight(&self) -> bool {
        self.points.len() == 2
    }

    pub fn along(&self) -> Vec2 {
        (self.end() - self.start()).normalize()
    }

    pub fn length(&self) -> f64 {
        self.points
            .windows(2)
            .map(|pair| (pair[1] - pair[0]).hypot())
            .sum()
    }

    /// How far the farthest place of it lies from a drawn line.
    pub fn farthest(&self, path: &oaktag_geometry::path::Path) -> f64 {
        let places = (0..=40).map(|part| self.at(self.length() * f64::from(part) / 40.0));
        let off = places.map(|at| {
            let near = path.segs().iter();
            let near = near.map(|seg| ParamCurveNearest::nearest(seg, at, 1e-6).distance_sq);
            near.fold(f64::MAX, f64::min).sqrt()
        });
        off.fold(0.0, f64::max)
    }

    pub fn moved(&self, by: Affine) -> Self {
        Self {
            points: self.points.iter().map(|at| by * *at).collect(),
            endless: self.endless,
        }
    }

    /// An endless line as long as the paper.
    fn on_paper(&self) -> Vec<Point> {
        if !self.endless {
            return self.points.clone();
        }
        let along = self.along() * PAPER;
        vec![self.start() - along, self.start() + along]
    }

    /// How far along the nearest place to a point is, and how far away.
    pub fn nearest(&self, p: Point) -> (f64, f64) {
        let (mut best, mut before) = ((0.0, f64::MAX), 0.0);
        for pair in self.points.windows(2) {
            let (a, b) = (pair[0], pair[1]);
            let long = (b - a).hypot();
            let share = if long == 0.0 {
                0.0
            } else {
                ((p - a).dot(b - a) / (long * long)).clamp(0.0, 1.0)
            };
            let off = (a.lerp(b, share) - p).hypot();
            if off < best.1 {
                best = (before + share * long, off);
            }
            before += long;
        }
        best
    }

    pub fn at(&self, far: f64) -> Point {
        let mut left = far;
        for pair in self.points.windows(2) {
            let long = (pair[1] - pair[0]).hypot();
            if left <= long && long > 0.0 {
                return pair[0].lerp(pair[1], left / long);
            }
            left -= long;
        }
        self.end()
    }

    /// The way it runs at its place nearest to a point.
    pub fn way_at(&self, p: Point) -> Vec2 {
        let far = self.nearest(p).0;
        let (a, b) = (
            self.at((far - 0.5).max(0.0)),
            self.at((far + 0.5).min(self.length())),
        );
        (b - a).normalize()
    }

    pub fn part(&self, from: Point, to: Point) -> Self {
        let (a, b) = (self.nearest(from).0, self.nearest(to).0);
        let (low, high) = (a.min(b), a.max(b));
        let mut points = vec![self.at(low)];
        let mut far = 0.0;
        for pair in self.points.windows(2) {
            far += (pair[1] - pair[0]).hypot();
            if far > low + 1e-9 && far < high - 1e-9 {
                points.push(pair[1]);
            }
        }
        points.push(self.at(high));
        if a > b {
            points.reverse();
        }
        Self {
            points,
            endless: false,
        }
    }

    /// Where it crosses another; a hand lengthens a line that stops a millimetre short.
    pub fn meetings(&self, other: &Self) -> Vec<Point> {
        let mut found: Vec<Point> = Vec::new();
        let (own, others) = (self.on_paper(), other.on_paper());
        for p in own.windows(2) {
            for q in others.windows(2) {
                let (u, v) = (p[1] - p[0], q[1] - q[0]);
                let across = u.cross(v);
                if across.abs() < 1e-12 {
                    continue;
                }
                let (s, t) = (
                    (q[0] - p[0]).cross(v) / across,
                    (q[0] - p[0]).cross(u) / across,
                );
                let reach =
                    |share: f64, long: f64| (-1.5 / long..=1.0 + 1.5 / long).contains(&share);
                if reach(s, u.hypot()) && reach(t, v.hypot()) {
                    found.push(p[0] + u * s);
                }
            }
        }
        found
    }

    /// Joined end to end, each turned so that it goes on where the last one ends.
    pub fn joined(parts: &[Self]) -> Self {
        let mut points = parts[0].points.clone();
        if let Some(second) = parts.get(1) {
            let ends = [second.start(), second.end()];
            let near = |p: Point| {
                ends.iter()
                    .map(|end| (*end - p).hypot())
                    .fold(f64::MAX, f64::min)
            };
            if near(points[0]) < near(points[points.len() - 1]) {
                points.reverse();
            }
        }
        for part in &parts[1..] {
            let last = points[points.len() - 1];
            let mut next = part.points.clone();
            if (next[0] - last).hypot() > (next[next.len() - 1] - last).hypot() {
                next.reverse();
            }
            points.extend(next.into_iter().skip(1));
        }
        Self {
            points,
            endless: false,
        }
    }

    /// A flexible ruler through places, held in a direction at either end where one is known: a cubic spline over the
    /// lengths of the chords (the textbook construction; second derivatives nothing at an end that is free).
    pub fn through(places: &[Point], leaving: Option<Vec2>, arriving: Option<Vec2>) -> Self {
        let count = places.len();
        let spans: Vec<f64> = places
            .windows(2)
            .map(|pair| (pair[1] - pair[0]).hypot())
            .collect();
        // Unknown: the tangent at each place. Rows of a tridiagonal system.
        let (mut low, mut mid, mut high, mut right) = (
            vec![0.0; count],
            vec![0.0; count],
            vec![0.0; count],
            vec![Vec2::ZERO; count],
        );
        for at in 0..count {
            if at == 0 || at + 1 == count {
                let (way, span) = if at == 0 {
                    (leaving, (places[1] - places[0]) / spans[0])
                } else {
                    (arriving, (places[at] - places[at - 1]) / spans[at - 1])
                };
                match way {
                    Some(way) => (mid[at], right[at]) = (1.0, way.normalize()),
                    None => {
                        mid[at] = 2.0;
                        right[at] = span * 3.0;
                        if at == 0 {
                            high[at] = 1.0;
                        } else {
                            low[at] = 1.0;
                        }
                    }
                }
                continue;
            }
            let (a, b) = (spans[at - 1], spans[at]);
            (low[at], mid[at], high[at]) = (1.0 / a, 2.0 / a + 2.0 / b, 1.0 / b);
            right[at] = (places[at] - places[at - 1]) * (3.0 / (a * a))
                + (places[at + 1] - places[at]) * (3.0 / (b * b));
        }
        for at in 1..count {
            let by = low[at] / mid[at - 1];
            mid[at] -= by * high[at - 1];
            let before = right[at - 1];
            right[at] -= before * by;
        }
        let mut tangents = vec![Vec2::ZERO; count];
        for at in (0..count).rev() {
            let next = tangents.get(at + 1).copied().unwrap_or(Vec2::ZERO);
            tangents[at] = (right[at] - next * high[at]) / mid[at];
        }
        let mut points = vec![places[0]];
        for at in 0..count - 1 {
            let (p, q, h) = (places[at], places[at + 1], spans[at]);
            let cubic = kurbo::CubicBez::new(
                p,
                p + tangents[at] * (h / 3.0),
                q - tangents[at + 1] * (h / 3.0),
                q,
            );
            points.extend((1..=40).map(|n| kurbo::ParamCurve::eval(&cubic, f64::from(n) / 40.0)));
        }
        Self {
            points,
            endless: false,
        }
    }
}
