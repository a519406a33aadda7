//! A panel: points and lines of the cloth, moved, turned and perhaps mirrored, in the draft's words.

use crate::plan::{Lay, Plan};
use crate::text::piece_name;
use kurbo::{Affine, ParamCurve, PathSeg, Point};
use std::collections::BTreeMap;
use std::fmt::Write;

/// A figure with as many places as a rigid move needs.
pub fn figure(value: f64) -> String {
    let text = format!("{value:.7}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0" } else { text }.to_owned()
}

/// A panel as far as it is drawn.
pub struct Sheet {
    pub frame: Affine,
    pub name: String,
    points: BTreeMap<(i64, i64), String>,
    pub drawn: String,
    parts: usize,
}

impl Sheet {
    pub fn new(plan: &Plan, lay: &Lay, face: usize) -> Self {
        let flip = if lay.mirrored {
            Affine::FLIP_X
        } else {
            Affine::IDENTITY
        };
        Self {
            frame: Affine::translate(lay.at)
                * Affine::rotate(lay.turn)
                * flip
                * Affine::scale(plan.scale),
            name: piece_name(face),
            points: BTreeMap::new(),
            drawn: String::new(),
            parts: 0,
        }
    }

    /// The name of a point of the cloth on this panel, drawn where it is not yet.
    #[allow(clippy::cast_possible_truncation, reason = "coordinates are small")]
    pub fn point(&mut self, on_cloth: Point) -> String {
        let p = self.frame * on_cloth;
        let key = ((p.x * 1e4).round() as i64, (p.y * 1e4).round() as i64);
        for x in -1..=1 {
            for y in -1..=1 {
                if let Some(name) = self.points.get(&(key.0 + x, key.1 + y)) {
                    return name.clone();
                }
            }
        }
        let name = format!("p{}", self.points.len());
        let _ = writeln!(
            self.drawn,
            "  point {name} = origin right {}mm up {}mm",
            figure(p.x),
            figure(p.y)
        );
        self.points.insert(key, name.clone());
        name
    }

    pub fn full(&mut self, on_cloth: Point) -> String {
        let point = self.point(on_cloth);
        format!("{}.{point}", self.name)
    }

    pub fn line(&mut self, kind: &str, name: &str, from: Point, to: Point) {
        let (a, b) = (self.point(from), self.point(to));
        let _ = writeln!(self.drawn, "  {kind} {name} = from {a} to {b}");
    }

    fn seg(&mut self, name: &str, seg: &PathSeg) {
        let PathSeg::Cubic(cubic) = seg else {
            return self.line("line", name, seg.eval(0.0), seg.eval(1.0));
        };
        let scale = self.frame.determinant().abs().sqrt();
        let (a, b) = (self.point(cubic.p0), self.point(cubic.p3));
        let (out, back) = (self.point(cubic.p1), self.point(cubic.p2));
        let _ = writeln!(
            self.drawn,
            "  curve {name} = from {a} to {b} leaving {out} for {}mm arriving (direction from {back} to {b}) for {}mm",
            figure((cubic.p1 - cubic.p0).hypot() * scale),
            figure((cubic.p3 - cubic.p2).hypot() * scale),
        );
    }

    pub fn edge(&mut self, name: &str, segs: &[PathSeg]) {
        let segs = merged(segs);
        if let [seg] = segs.as_slice() {
            return self.seg(name, seg);
        }
        let names: Vec<String> = segs
            .iter()
            .map(|seg| {
                self.parts += 1;
                let part = format!("k{}", self.parts);
                self.seg(&part, seg);
                part
            })
            .collect();
        let _ = writeln!(self.drawn, "  curve {name} = join {}", names.join(", "));
    }
}

/// Straight parts that run on straight made one.
fn merged(segs: &[PathSeg]) -> Vec<PathSeg> {
    let mut found: Vec<PathSeg> = Vec::new();
    for seg in segs {
        if let (Some(PathSeg::Line(last)), PathSeg::Line(line)) = (found.last_mut(), seg) {
            let (u, v) = (last.p1 - last.p0, line.p1 - line.p0);
            if u.cross(v).abs() < 1e-9 * u.hypot() * v.hypot() && u.dot(v) > 0.0 {
                last.p1 = line.p1;
                continue;
            }
        }
        found.push(*seg);
    }
    found
}
