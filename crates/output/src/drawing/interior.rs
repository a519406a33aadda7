//! The inside of a closed line, made ready to be asked about many points: its chords sorted into level strips.

use kurbo::{BezPath, PathEl, Point, Rect, Shape as _};

/// Chords lie this near to their curve, in millimetres: far less than the border of a label.
const NEAR: f64 = 0.02;
/// Height of a strip, in millimetres.
const STRIP: f64 = 4.0;
/// Strips of the tallest sheet.
const MOST_STRIPS: f64 = 512.0;

/// A closed line and the chords that pass each level strip of it.
pub(super) struct Interior {
    bounds: Rect,
    strip: f64,
    strips: Vec<Vec<(Point, Point)>>,
}

impl Interior {
    /// The inside of a line; each of its parts is closed.
    pub(super) fn of(line: &BezPath) -> Self {
        let bounds = line.bounding_box();
        let count = (bounds.height() / STRIP).ceil().clamp(1.0, MOST_STRIPS);
        let mut interior = Self {
            bounds,
            strip: (bounds.height() / count).max(f64::MIN_POSITIVE),
            strips: vec![Vec::new(); count as usize],
        };
        let (mut start, mut last) = (Point::ZERO, Point::ZERO);
        kurbo::flatten(line, NEAR, |element| match element {
            PathEl::MoveTo(to) => {
                interior.add(last, start);
                (start, last) = (to, to);
            }
            PathEl::ClosePath => {
                interior.add(last, start);
                last = start;
            }
            PathEl::LineTo(to) | PathEl::QuadTo(_, to) | PathEl::CurveTo(_, _, to) => {
                interior.add(last, to);
                last = to;
            }
        });
        interior.add(last, start);
        interior
    }

    fn add(&mut self, from: Point, to: Point) {
        if from.y == to.y {
            return;
        }
        let (low, high) = (
            self.strip_of(from.y.min(to.y)),
            self.strip_of(from.y.max(to.y)),
        );
        for strip in self.strips.iter_mut().take(high + 1).skip(low) {
            strip.push((from, to));
        }
    }

    fn strip_of(&self, y: f64) -> usize {
        let strip = ((y - self.bounds.y0) / self.strip).floor();
        strip.clamp(0.0, (self.strips.len() - 1) as f64) as usize
    }

    /// The upright box round the line.
    pub(super) fn bounds(&self) -> Rect {
        self.bounds
    }

    /// Whether the line goes round a point.
    pub(super) fn contains(&self, p: Point) -> bool {
        if !self.bounds.contains(p) {
            return false;
        }
        let mut winding = 0;
        for (a, b) in self.strips.get(self.strip_of(p.y)).into_iter().flatten() {
            let side = || (*b - *a).cross(p - *a);
            if a.y <= p.y && b.y > p.y {
                winding += i32::from(side() < 0.0);
            } else if b.y <= p.y && a.y > p.y {
                winding -= i32::from(side() > 0.0);
            }
        }
        winding != 0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against kurbo's own winding, away from the line by more than its chords are.
    #[test]
    fn the_inside_is_where_kurbo_winds() {
        let mut line = BezPath::new();
        line.move_to((10.0, 0.0));
        line.curve_to((120.0, -40.0), (60.0, 90.0), (100.0, 140.0));
        line.line_to((30.0, 150.0));
        line.curve_to((80.0, 100.0), (-70.0, 60.0), (10.0, 0.0));
        line.close_path();
        let hole = [(30.0, 20.0), (30.0, 60.0), (50.0, 60.0), (50.0, 20.0)];
        line.move_to(hole[0]);
        hole.iter().skip(1).for_each(|p| line.line_to(*p));
        line.close_path();
        let interior = Interior::of(&line);
        let mut inside = 0;
        for x in -40..130 {
            for y in -40..160 {
                let p = Point::new(f64::from(x) + 0.37, f64::from(y) + 0.61);
                let near = line
                    .segments()
                    .any(|seg| kurbo::ParamCurveNearest::nearest(&seg, p, 1e-6).distance_sq < 0.01);
                if !near {
                    assert_eq!(interior.contains(p), line.contains(p), "{p}");
                    inside += usize::from(interior.contains(p));
                }
            }
        }
        assert!(inside > 5_000, "{inside}");
    }
}
