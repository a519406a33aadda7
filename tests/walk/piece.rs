//! A piece's outline: its points by their places on the cloth, its corners, and whether it is drawn cleanly.

use crate::build::{Kind, Mark, Piece, same};
use crate::cloth::Place;
use crate::line::{distance, flat, way_of};
use kurbo::{ParamCurve, Point};

impl Piece {
    /// The point at a place of a line, on the cloth that lies beyond it (`up`) or before it as the line runs.
    pub fn node(&self, place: Place, up: bool) -> Option<Point> {
        let find = |up: bool| {
            self.chunks.iter().find_map(|chunk| {
                if chunk.line != place.0 || chunk.kind != Kind::Cloth {
                    return None;
                }
                let forward = chunk.to > chunk.from;
                let (low, high) = (chunk.from.min(chunk.to), chunk.from.max(chunk.to));
                let at = if up { low } else { high };
                if !same(at, place.1) {
                    return None;
                }
                let first = up == forward;
                Some(if first {
                    chunk.segs[0].eval(0.0)
                } else {
                    chunk.segs[chunk.segs.len() - 1].eval(1.0)
                })
            })
        };
        find(up).or_else(|| find(!up))
    }

    /// The angle inside the piece where an edge ends and the next begins; none where a dart lies between.
    pub fn inside_after(&self, edge: usize) -> Option<f64> {
        let next = &self.edges[(edge + 1) % self.edges.len()];
        let own = &self.edges[edge].segs;
        let last = own[own.len() - 1];
        let touch = (last.eval(1.0) - next.segs[0].eval(0.0)).hypot() < 1e-6;
        let (before, after) = (way_of(&last, 1.0), way_of(&next.segs[0], 0.0));
        let turn = before.cross(after).atan2(before.dot(after)).to_degrees();
        touch.then_some(180.0 - turn)
    }

    fn outline(&self) -> Vec<Point> {
        let mut points = Vec::new();
        for chunk in &self.chunks {
            let mut part = flat(&chunk.segs, 16);
            part.pop();
            points.extend(part);
        }
        points
    }

    /// Neither crosses itself nor comes too near to itself, and what is drawn inside lies inside.
    pub fn is_clean(&self) -> bool {
        let points = self.outline();
        let count = points.len();
        let side = |n: usize| (points[n], points[(n + 1) % count]);
        for n in 0..count {
            for m in n + 2..count {
                if (m + 1) % count == n {
                    continue;
                }
                let ((a, b), (c, d)) = (side(n), side(m));
                if crosses(a, b, c, d) {
                    return false;
                }
            }
        }
        for n in 0..self.chunks.len() {
            let (before, after) = (&self.chunks[n], &self.chunks[(n + 1) % self.chunks.len()]);
            let out = way_of(&before.segs[before.segs.len() - 1], 1.0);
            let turn = crate::line::angle(out, way_of(&after.segs[0], 0.0));
            if turn > 150.0 {
                return false;
            }
        }
        let inside = |p: Point| {
            let mut inside = false;
            for n in 0..count {
                let (a, b) = side(n);
                if (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x)
                {
                    inside = !inside;
                }
            }
            inside
        };
        let room = |p: Point| {
            (0..count)
                .map(|n| distance(p, side(n).0, side(n).1))
                .fold(f64::MAX, f64::min)
        };
        let crossed = |p: Point, q: Point| {
            let p = p + (q - p) * 0.05;
            (0..count).any(|n| crosses(p, q, side(n).0, side(n).1))
        };
        self.marks.iter().all(|mark| match mark {
            Mark::Dart { a, b, apex } => {
                inside(*apex) && room(*apex) > 8.0 && !crossed(*a, *apex) && !crossed(*b, *apex)
            }
            Mark::Centre { .. } => true,
            Mark::Pleat { from, to } => [from, to]
                .iter()
                .all(|line| inside(line[1]) && room(line[1]) > 16.0 && !crossed(line[0], line[1])),
        })
    }
}

fn crosses(a: Point, b: Point, c: Point, d: Point) -> bool {
    let turn = |p: Point, q: Point, r: Point| (q - p).cross(r - p);
    turn(a, b, c) * turn(a, b, d) < 0.0 && turn(c, d, a) * turn(c, d, b) < 0.0
}
