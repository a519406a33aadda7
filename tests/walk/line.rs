//! Lines of the cloth: segments that know their lengths, and chance paths to cut along.

use crate::chance::Chance;
use kurbo::{CubicBez, Line as Straight, ParamCurve, ParamCurveArclen, ParamCurveDeriv};
use kurbo::{PathSeg, Point, Vec2};

/// How finely lengths are found, in millimetres: far below what a draft's figures carry.
const FINE: f64 = 1e-9;

/// A line of the cloth: an edge of it, or a cut.
#[derive(Clone, Debug)]
pub struct Line {
    pub segs: Vec<PathSeg>,
    /// Length before each segment, and the whole.
    sums: Vec<f64>,
}

impl Line {
    pub fn new(segs: Vec<PathSeg>) -> Self {
        let mut sums = vec![0.0];
        for seg in &segs {
            sums.push(sums[sums.len() - 1] + seg.arclen(FINE));
        }
        Self { segs, sums }
    }

    pub fn length(&self) -> f64 {
        self.sums[self.segs.len()]
    }

    fn locate(&self, s: f64) -> (usize, f64) {
        let last = self.segs.len() - 1;
        let index = (0..last).find(|n| s < self.sums[n + 1]).unwrap_or(last);
        let within = (s - self.sums[index]).clamp(0.0, self.sums[index + 1] - self.sums[index]);
        let t = match self.segs[index] {
            PathSeg::Line(_) => within / (self.sums[index + 1] - self.sums[index]),
            seg => seg.inv_arclen(within, FINE),
        };
        (index, t)
    }

    pub fn point(&self, s: f64) -> Point {
        let (index, t) = self.locate(s);
        self.segs[index].eval(t)
    }

    /// The way it runs at a place, of length one.
    pub fn way(&self, s: f64) -> Vec2 {
        let (index, t) = self.locate(s);
        way_of(&self.segs[index], t)
    }

    /// The part between two places, running from the first to the second.
    pub fn part(&self, from: f64, to: f64) -> Vec<PathSeg> {
        if from > to {
            let turned = self.part(to, from);
            return turned.iter().rev().map(PathSeg::reverse).collect();
        }
        let mut found = Vec::new();
        for (index, seg) in self.segs.iter().enumerate() {
            let (low, high) = (self.sums[index], self.sums[index + 1]);
            if to <= low + 1e-7 || from >= high - 1e-7 {
                continue;
            }
            let t = |s: f64| {
                if s <= low + 1e-7 {
                    0.0
                } else if s >= high - 1e-7 {
                    1.0
                } else {
                    match seg {
                        PathSeg::Line(_) => (s - low) / (high - low),
                        other => other.inv_arclen(s - low, FINE),
                    }
                }
            };
            found.push(seg.subsegment(t(from)..t(to)));
        }
        found
    }

    /// Places where it turns sharply, and by how many degrees.
    pub fn corners(&self) -> Vec<(f64, f64)> {
        (1..self.segs.len())
            .map(|n| {
                let before = way_of(&self.segs[n - 1], 1.0);
                let turn = angle(before, way_of(&self.segs[n], 0.0));
                (self.sums[n], turn)
            })
            .filter(|(_, turn)| *turn > 0.5)
            .collect()
    }
}

/// The direction of a segment.
pub fn way_of(seg: &PathSeg, t: f64) -> Vec2 {
    let d = match seg {
        PathSeg::Line(line) => line.p1 - line.p0,
        PathSeg::Quad(quad) => quad.deriv().eval(t).to_vec2(),
        PathSeg::Cubic(cubic) => cubic.deriv().eval(t).to_vec2(),
    };
    d / d.hypot()
}

/// Degrees between two directions.
pub fn angle(a: Vec2, b: Vec2) -> f64 {
    a.cross(b).atan2(a.dot(b)).abs().to_degrees()
}

/// Points along segments, the last end among them.
pub fn flat(segs: &[PathSeg], steps: usize) -> Vec<Point> {
    let mut found = Vec::new();
    for seg in segs {
        let steps = if matches!(seg, PathSeg::Line(_)) {
            1
        } else {
            steps
        };
        for n in 0..steps {
            #[allow(clippy::cast_precision_loss, reason = "small counts")]
            found.push(seg.eval(n as f64 / steps as f64));
        }
    }
    found.extend(segs.last().map(|seg| seg.eval(1.0)));
    found
}

/// How far a point is from a straight line between two others.
pub fn distance(p: Point, a: Point, b: Point) -> f64 {
    let along = b - a;
    let t = ((p - a).dot(along) / along.hypot2().max(1e-12)).clamp(0.0, 1.0);
    (p - (a + along * t)).hypot()
}

/// A curve that bows from its chord, by shares of it at one third and at two.
pub fn bowed(a: Point, b: Point, one: f64, other: f64) -> PathSeg {
    let along = b - a;
    let across = Vec2::new(-along.y, along.x);
    PathSeg::Cubic(CubicBez::new(
        a,
        a + along / 3.0 + across * one,
        a + along * (2.0 / 3.0) + across * other,
        b,
    ))
}

/// A line, a curve, an S or a line with corners from one place to another.
pub fn path(
    kind: usize,
    p: Point,
    q: Point,
    out: Vec2,
    back: Vec2,
    chance: &mut Chance,
) -> Vec<PathSeg> {
    let along = q - p;
    let across = Vec2::new(-along.y, along.x);
    match kind {
        0 => vec![PathSeg::Line(Straight::new(p, q))],
        1 => vec![bowed(
            p,
            q,
            chance.within(-0.16, 0.16),
            chance.within(-0.16, 0.16),
        )],
        2 => {
            let far = along.hypot() * chance.within(0.25, 0.4);
            vec![PathSeg::Cubic(CubicBez::new(
                p,
                p + out * far,
                q + back * far,
                q,
            ))]
        }
        3 => {
            let side = if chance.once_in(2) { 1.0 } else { -1.0 };
            let on =
                p + along * chance.within(0.35, 0.65) + across * chance.within(0.22, 0.34) * side;
            if chance.once_in(2) {
                return vec![
                    PathSeg::Line(Straight::new(p, on)),
                    PathSeg::Line(Straight::new(on, q)),
                ];
            }
            vec![
                PathSeg::Line(Straight::new(p, on)),
                bowed(on, q, -0.1 * side, chance.within(-0.1, 0.1) * side),
            ]
        }
        _ => {
            let side = if chance.once_in(2) { 1.0 } else { -1.0 };
            let one = p + along * chance.within(0.25, 0.4) + across * 0.16 * side;
            let other = p + along * chance.within(0.6, 0.75) - across * 0.16 * side;
            [p, one, other, q]
                .windows(2)
                .map(|ends| PathSeg::Line(Straight::new(ends[0], ends[1])))
                .collect()
        }
    }
}

#[test]
fn lengths_and_parts_are_those_of_closed_forms() {
    let quarter = 4.0 / 3.0 * (2f64.sqrt() - 1.0) * 100.0;
    let arc = CubicBez::new(
        (100.0, 0.0),
        (100.0, quarter),
        (quarter, 100.0),
        (0.0, 100.0),
    );
    let line = Line::new(vec![
        PathSeg::Line(Straight::new((100.0, -50.0), (100.0, 0.0))),
        PathSeg::Cubic(arc),
    ]);
    // A quarter circle's usual cubic is longer than the circle by two parts in ten thousand at most.
    let round = 50.0 * std::f64::consts::PI;
    assert!((line.length() - 50.0 - round).abs() < 2e-4 * round);
    let half = line.point(50.0 + (line.length() - 50.0) / 2.0);
    assert!((half.x - half.y).abs() < 1e-6);
    let parts = [(0.0, 20.0), (20.0, 130.0), (130.0, line.length())];
    let whole: f64 = parts
        .iter()
        .map(|(a, b)| Line::new(line.part(*b, *a)).length())
        .sum();
    assert!((whole - line.length()).abs() < 1e-6);
    assert!(line.corners().is_empty());
    let bent = Line::new(vec![
        PathSeg::Line(Straight::new((0.0, 0.0), (10.0, 0.0))),
        PathSeg::Line(Straight::new((10.0, 0.0), (10.0, 5.0))),
    ]);
    let corners = bent.corners();
    assert_eq!(corners.len(), 1);
    assert!((corners[0].0 - 10.0).abs() < 1e-9 && (corners[0].1 - 90.0).abs() < 1e-9);
}
