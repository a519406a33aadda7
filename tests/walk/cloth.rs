//! A drawn piece of cloth and the paths along which it is cut: the truth that a draft's seams are held against. Every line
//! knows its length; a face is what lies between lines, run round with the cloth on its left.

use crate::chance::Chance;
use crate::line::{Line, angle, bowed, distance, flat, path};
use kurbo::{CubicBez, Line as Straight, PathSeg, Point, Vec2};

/// Part of a line, run from one place to another; with the cloth on its left.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Span {
    pub line: usize,
    pub from: f64,
    pub to: f64,
}

impl Span {
    pub fn length(&self) -> f64 {
        (self.to - self.from).abs()
    }

    pub fn has(&self, s: f64) -> bool {
        s > self.from.min(self.to) + 1e-6 && s < self.from.max(self.to) - 1e-6
    }
}

/// A place on a line.
pub type Place = (usize, f64);

/// The cloth with its cuts.
#[derive(Clone, Debug)]
pub struct Cloth {
    pub lines: Vec<Line>,
    /// So many of the lines are its own edges; the others are cuts.
    pub edges: usize,
    /// The first line is the centre of a half.
    pub half: bool,
    /// Two of its edges that are sewn to each other, so that it is a tube.
    pub glued: Option<(usize, usize)>,
    /// What has been cut out, each run round anticlockwise.
    pub faces: Vec<Vec<Span>>,
    /// Where each cut begins and ends.
    pub stops: Vec<(Place, Place)>,
}

impl Cloth {
    /// A sheet of four to six edges, some of them curved; the first is straight, and of a half its neighbours are square to it.
    pub fn drawn(chance: &mut Chance, half: bool) -> Self {
        let count = 4 + chance.below(3);
        let (wide, high) = (chance.within(190.0, 330.0), chance.within(190.0, 330.0));
        #[allow(clippy::cast_precision_loss, reason = "small counts")]
        let corners: Vec<Point> = (0..count)
            .map(|n| {
                let turn =
                    std::f64::consts::TAU * (n as f64 + chance.within(-0.17, 0.17)) / count as f64;
                let far = chance.within(0.88, 1.12);
                Point::new(wide * far * turn.cos(), high * far * turn.sin())
            })
            .collect();
        let lines: Vec<Line> = (0..count)
            .map(|n| {
                let (a, b) = (corners[n], corners[(n + 1) % count]);
                let centre = corners[1] - corners[0];
                let square = Vec2::new(-centre.y, centre.x) / centre.hypot();
                let far = (b - a).hypot() / 3.0;
                if half && n == 1 {
                    let back = b + (a - b) * 0.3;
                    Line::new(vec![PathSeg::Cubic(CubicBez::new(
                        a,
                        a + square * far,
                        back,
                        b,
                    ))])
                } else if half && n + 1 == count {
                    let out = a + (b - a) * 0.3;
                    Line::new(vec![PathSeg::Cubic(CubicBez::new(
                        a,
                        out,
                        b + square * far,
                        b,
                    ))])
                } else if n == 0 || chance.once_in(2) {
                    Line::new(vec![PathSeg::Line(Straight::new(a, b))])
                } else {
                    let bow = chance.within(-0.10, 0.10);
                    let other = bow * chance.within(-0.5, 1.2);
                    Line::new(vec![bowed(a, b, bow, other)])
                }
            })
            .collect();
        let face = lines
            .iter()
            .enumerate()
            .map(|(line, drawn)| Span {
                line,
                from: 0.0,
                to: drawn.length(),
            })
            .collect();
        Self {
            lines,
            edges: count,
            half,
            glued: None,
            faces: vec![face],
            stops: Vec::new(),
        }
    }

    /// A sheet whose second and fourth edges, straight and as long, are sewn to each other.
    pub fn tube(chance: &mut Chance) -> Self {
        let (wide, high) = (chance.within(230.0, 330.0), chance.within(300.0, 520.0));
        let corners = [(-wide, 0.0), (wide, 0.0), (wide, high), (-wide, high)].map(Point::from);
        let lines: Vec<Line> = (0..4)
            .map(|n| {
                let (a, b) = (corners[n], corners[(n + 1) % 4]);
                let bow = chance.within(-0.12, 0.12);
                Line::new(vec![if n % 2 == 1 {
                    PathSeg::Line(Straight::new(a, b))
                } else {
                    bowed(a, b, bow, bow)
                }])
            })
            .collect();
        let span = |line: usize, drawn: &Line| Span {
            line,
            from: 0.0,
            to: drawn.length(),
        };
        let face = lines
            .iter()
            .enumerate()
            .map(|(n, line)| span(n, line))
            .collect();
        Self {
            lines,
            edges: 4,
            half: false,
            glued: Some((1, 3)),
            faces: vec![face],
            stops: Vec::new(),
        }
    }

    /// The place of the other edge that lies on this one when a tube is closed.
    fn across(&self, (line, s): Place) -> Option<Place> {
        let (one, other) = self.glued?;
        let to = if line == one {
            other
        } else if line == other {
            one
        } else {
            return None;
        };
        Some((to, self.lines[line].length() - s))
    }

    /// Cuts that run round a tube, and where on its first sewn edge.
    pub fn rings(&self) -> Vec<(usize, f64)> {
        let one = self.glued.map(|(one, _)| one);
        let cuts = self.stops.iter().enumerate();
        cuts.filter_map(|(n, (a, b))| {
            let over = self.across(*a)?;
            let closed = over.0 == b.0 && (over.1 - b.1).abs() < 1e-6;
            let at = if Some(a.0) == one { a.1 } else { b.1 };
            closed.then_some((n + self.edges, at))
        })
        .collect()
    }

    /// Whether what is cut from a line is sewn.
    pub fn is_sewn(&self, line: usize) -> bool {
        self.is_cut(line)
            || self
                .glued
                .is_some_and(|(one, other)| line == one || line == other)
    }

    pub fn is_cut(&self, line: usize) -> bool {
        line >= self.edges
    }

    /// Cuts the largest face it may along a chance path; whether it could.
    pub fn cut(&mut self, chance: &mut Chance) -> bool {
        let mut order: Vec<usize> = (0..self.faces.len()).collect();
        let areas: Vec<f64> = self.faces.iter().map(|face| self.area(face)).collect();
        order.sort_by(|a, b| areas[*b].total_cmp(&areas[*a]));
        if order.len() > 1 && chance.once_in(3) {
            order.swap(0, 1);
        }
        for _ in 0..12 {
            for &face in order.iter().take(2) {
                if self.try_cut(face, chance) {
                    return true;
                }
            }
        }
        false
    }

    fn area(&self, face: &[Span]) -> f64 {
        let points = self.flat(face);
        let next = points.iter().cycle().skip(1);
        let doubled: f64 = points
            .iter()
            .zip(next)
            .map(|(a, b)| a.to_vec2().cross(b.to_vec2()))
            .sum();
        doubled / 2.0
    }

    fn flat(&self, face: &[Span]) -> Vec<Point> {
        let mut found = Vec::new();
        for span in face {
            let mut part = flat(&self.lines[span.line].part(span.from, span.to), 10);
            part.pop();
            found.extend(part);
        }
        found
    }

    /// A place on a span, away from its ends; now and then where a cut ends on its other side.
    fn stop(&self, span: &Span, chance: &mut Chance) -> Option<f64> {
        let met: Vec<f64> = self
            .stops
            .iter()
            .flat_map(|(a, b)| [*a, *b])
            .flat_map(|stop| [Some(stop), self.across(stop)])
            .flatten()
            .filter(|(line, s)| *line == span.line && span.has(*s))
            .map(|(_, s)| s)
            .filter(|s| (s - span.from).abs() > 30.0 && (s - span.to).abs() > 30.0)
            .collect();
        if !met.is_empty() && chance.once_in(3) {
            return Some(*chance.one_of(&met));
        }
        if span.length() < 75.0 {
            return None;
        }
        let s = span.from + (span.to - span.from) * chance.within(0.3, 0.7);
        let corners = self.lines[span.line].corners();
        let near = |t: f64| (t - s).abs() < 20.0;
        (!corners.iter().any(|(t, _)| near(*t)) && !met.iter().any(|t| near(*t))).then_some(s)
    }

    fn try_cut(&mut self, face: usize, chance: &mut Chance) -> bool {
        let spans = self.faces[face].clone();
        let (i, j) = (chance.below(spans.len()), chance.below(spans.len()));
        let (i, j) = (i.min(j), i.max(j));
        // A cut from a line back to itself would take a bite whose ends nothing can tell apart.
        if spans[i].line == spans[j].line {
            return false;
        }
        let (Some(a), Some(b)) = (self.stop(&spans[i], chance), self.stop(&spans[j], chance))
        else {
            return false;
        };
        // Of a tube, often right round.
        let over = self.across((spans[i].line, a));
        let round = over.filter(|(line, s)| {
            let near = [spans[j].from, spans[j].to]
                .iter()
                .any(|end| (end - s).abs() < 30.0);
            *line == spans[j].line && spans[j].has(*s) && !near
        });
        let b = match round {
            Some((_, s)) if !chance.once_in(4) => s,
            _ => b,
        };
        let (p, q) = (
            self.lines[spans[i].line].point(a),
            self.lines[spans[j].line].point(b),
        );
        let inward = |span: &Span, s: f64| {
            let way = self.lines[span.line].way(s) * (span.to - span.from).signum();
            Vec2::new(-way.y, way.x)
        };
        let square = self.half && [i, j].iter().any(|n| spans[*n].line == 0)
            || round.is_some_and(|(_, s)| s == b);
        let kind = if square { 2 } else { chance.below(5) };
        let (out, back) = (inward(&spans[i], a), inward(&spans[j], b));
        let path = Line::new(path(kind, p, q, out, back, chance));
        let far = (path.length() > 90.0) && self.is_clear(&path, &self.flat(&spans));
        let sharp = |span: &Span, s: f64, way: Vec2| angle(inward(span, s), way) > 50.0;
        if !far
            || sharp(&spans[i], a, path.way(0.0))
            || sharp(&spans[j], b, -path.way(path.length()))
        {
            return false;
        }
        let (line, long) = (self.lines.len(), path.length());
        let back = Span {
            line,
            from: long,
            to: 0.0,
        };
        let there = Span {
            line,
            from: 0.0,
            to: long,
        };
        let mut one = vec![Span {
            from: a,
            ..spans[i]
        }];
        one.extend(&spans[i + 1..j]);
        one.extend([Span { to: b, ..spans[j] }, back]);
        let mut other = vec![Span {
            from: b,
            ..spans[j]
        }];
        other.extend(&spans[j + 1..]);
        other.extend(&spans[..i]);
        other.extend([Span { to: a, ..spans[i] }, there]);
        self.lines.push(path);
        if self.area(&one).min(self.area(&other)) < 9_000.0 {
            self.lines.pop();
            return false;
        }
        self.stops.push(((spans[i].line, a), (spans[j].line, b)));
        self.faces[face] = one;
        self.faces.push(other);
        true
    }

    /// Whether a path keeps inside a face, and away from its edges but where it begins and ends.
    fn is_clear(&self, path: &Line, face: &[Point]) -> bool {
        let long = path.length();
        let steps = 40;
        (1..steps).all(|n| {
            let s = long * f64::from(n) / f64::from(steps);
            let near = s.min(long - s);
            let room = (near * 0.6).min(14.0);
            let p = path.point(s);
            let all_round = face.iter().zip(face.iter().cycle().skip(1));
            let mut inside = false;
            for (a, b) in all_round {
                if distance(p, *a, *b) < room {
                    return false;
                }
                if (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x)
                {
                    inside = !inside;
                }
            }
            inside
        })
    }
}

#[test]
fn cut_cloth_has_the_area_of_the_cloth_and_every_cut_two_sides() {
    for seed in 0..200 {
        let mut chance = Chance::new(seed);
        let mut cloth = Cloth::drawn(&mut chance, seed % 2 == 0);
        let whole = cloth.area(&cloth.faces[0]);
        for _ in 0..4 {
            cloth.cut(&mut chance);
        }
        let parts: f64 = cloth.faces.iter().map(|face| cloth.area(face)).sum();
        assert!((whole - parts).abs() < 0.02 * whole, "seed {seed}");
        for line in 0..cloth.lines.len() {
            let spans = cloth
                .faces
                .iter()
                .flatten()
                .filter(|span| span.line == line);
            let (mut there, mut back) = (0.0, 0.0);
            for span in spans {
                if span.from < span.to {
                    there += span.length();
                } else {
                    back += span.length();
                }
            }
            let long = cloth.lines[line].length();
            assert!((there - long).abs() < 1e-6, "seed {seed}");
            let wanted = if cloth.is_cut(line) { long } else { 0.0 };
            assert!((back - wanted).abs() < 1e-6, "seed {seed}");
        }
    }
}
