//! A text's box: upright or turned with the edge it names. Whether two boxes touch, and how much of a line runs under one,
//! is asked of it by the label placer and by the tests alike.

use kurbo::{Point, Rect, Vec2};

/// A rectangle turned about its middle. Sheet coordinates: millimetres, y down.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TextFrame {
    /// Where its diagonals cross, in millimetres.
    pub centre: Point,
    /// Unit direction of writing.
    pub along: Vec2,
    /// Half its width along the writing, in millimetres.
    pub half_width: f64,
    /// Half its height across the writing, in millimetres.
    pub half_height: f64,
}

impl TextFrame {
    /// The box of a level text.
    pub fn upright(rect: Rect) -> Self {
        Self {
            centre: rect.center(),
            along: Vec2::new(1.0, 0.0),
            half_width: rect.width() / 2.0,
            half_height: rect.height() / 2.0,
        }
    }

    /// The same box, wider by `by` on every side.
    pub fn grown(self, by: f64) -> Self {
        Self {
            half_width: self.half_width + by,
            half_height: self.half_height + by,
            ..self
        }
    }

    /// The direction down across the writing.
    pub fn across(&self) -> Vec2 {
        Vec2::new(-self.along.y, self.along.x)
    }

    /// The four corners in turn.
    pub fn corners(&self) -> [Point; 4] {
        let (u, v) = (
            self.along * self.half_width,
            self.across() * self.half_height,
        );
        [
            self.centre - u - v,
            self.centre + u - v,
            self.centre + u + v,
            self.centre - u + v,
        ]
    }

    /// The upright box around it.
    pub fn bounds(&self) -> Rect {
        let [a, b, c, d] = self.corners();
        Rect::from_points(a, c).union(Rect::from_points(b, d))
    }

    /// How far it reaches from its middle in a unit direction.
    pub fn reach(&self, direction: Vec2) -> f64 {
        self.along.dot(direction).abs() * self.half_width
            + self.across().dot(direction).abs() * self.half_height
    }

    /// Whether two boxes share more than an edge: no line of either's sides keeps them apart.
    pub fn overlaps(&self, other: &Self) -> bool {
        let between = other.centre - self.centre;
        let around = |frame: &Self| frame.half_width + frame.half_height;
        if between.hypot() >= around(self) + around(other) {
            return false;
        }
        let apart = |axis: Vec2| between.dot(axis).abs() >= self.reach(axis) + other.reach(axis);
        ![self.along, self.across(), other.along, other.across()]
            .into_iter()
            .any(apart)
    }

    /// How many millimetres of the straight line from `a` to `b` run inside the box.
    pub fn covers(&self, a: Point, b: Point) -> f64 {
        // Most lines pass far off.
        let reach = self.half_width + self.half_height + (b - a).hypot() / 2.0;
        if (a.midpoint(b) - self.centre).hypot2() > reach * reach {
            return 0.0;
        }
        let local = |p: Point| {
            let d = p - self.centre;
            (d.dot(self.along), d.dot(self.across()))
        };
        let ((ax, ay), (bx, by)) = (local(a), local(b));
        let (mut from, mut to) = (0.0f64, 1.0f64);
        for (start, step, half) in [
            (ax, bx - ax, self.half_width),
            (ay, by - ay, self.half_height),
        ] {
            if step.abs() < 1e-12 {
                if start.abs() > half {
                    return 0.0;
                }
                continue;
            }
            let (t0, t1) = ((-half - start) / step, (half - start) / step);
            from = from.max(t0.min(t1));
            to = to.min(t0.max(t1));
            if from >= to {
                return 0.0;
            }
        }
        (to - from).max(0.0) * (b - a).hypot()
    }

    /// The point of the box nearest to `p`.
    pub fn nearest(&self, p: Point) -> Point {
        let d = p - self.centre;
        let x = d.dot(self.along).clamp(-self.half_width, self.half_width);
        let y = d
            .dot(self.across())
            .clamp(-self.half_height, self.half_height);
        self.centre + self.along * x + self.across() * y
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn turned_boxes_pass_each_other_where_their_upright_bounds_would_not() {
        let slanted = TextFrame {
            centre: Point::ZERO,
            along: Vec2::new(1.0, 1.0).normalize(),
            half_width: 10.0,
            half_height: 1.0,
        };
        let corner = TextFrame::upright(Rect::new(3.0, -7.0, 7.0, -3.0));
        assert!(!slanted.overlaps(&corner));
        assert!(slanted.bounds().overlaps(corner.bounds()));
        assert!(slanted.overlaps(&TextFrame::upright(Rect::new(3.0, 3.0, 7.0, 7.0))));
    }

    #[test]
    fn a_line_is_covered_for_as_long_as_it_runs_inside() {
        let frame = TextFrame::upright(Rect::new(0.0, 0.0, 10.0, 4.0));
        assert_eq!(
            frame.covers(Point::new(-5.0, 2.0), Point::new(15.0, 2.0)),
            10.0
        );
        assert_eq!(
            frame.covers(Point::new(2.0, 2.0), Point::new(5.0, 2.0)),
            3.0
        );
        assert_eq!(
            frame.covers(Point::new(-5.0, 9.0), Point::new(15.0, 9.0)),
            0.0
        );
    }
}
