//! The closest approach of two rows of segments, found by bounding boxes and halving, largest promise first.

use super::measure::box_distance;
use super::segment::{self, control_box};
use kurbo::{ParamCurve, PathSeg, Point, Rect};

/// Pairs looked at before the best so far is taken; far more than any two garment edges need.
const MOST_PAIRS: usize = 20_000;
/// How near to the true least distance the answer lies, in millimetres.
const NEAR_ENOUGH: f64 = 1e-7;

/// The two points, one on each row, that lie nearest to each other.
pub(crate) fn closest(a: &[PathSeg], b: &[PathSeg]) -> (Point, Point) {
    let mut best = Best {
        pair: (Point::ZERO, Point::ZERO),
        gap: f64::INFINITY,
    };
    let mut open: Vec<(PathSeg, PathSeg)> = Vec::new();
    for seg_a in a {
        for seg_b in b {
            best.ends(seg_a, seg_b);
            open.push((*seg_a, *seg_b));
        }
    }
    let mut looked_at = 0;
    while let Some((seg_a, seg_b)) = open.pop() {
        looked_at += 1;
        if looked_at > MOST_PAIRS {
            break;
        }
        if between(&control_box(&seg_a), &control_box(&seg_b)) >= best.gap - NEAR_ENOUGH {
            continue;
        }
        best.feet(&seg_a, &seg_b);
        let mut pairs = Vec::with_capacity(2);
        if segment::size(&seg_a) > segment::size(&seg_b) {
            let (first, second) = seg_a.subdivide();
            pairs.extend([(first, seg_b), (second, seg_b)]);
        } else {
            let (first, second) = seg_b.subdivide();
            pairs.extend([(seg_a, first), (seg_a, second)]);
        }
        let promise =
            |pair: &(PathSeg, PathSeg)| between(&control_box(&pair.0), &control_box(&pair.1));
        pairs.sort_by(|x, y| promise(y).total_cmp(&promise(x)));
        open.extend(pairs);
    }
    best.pair
}

struct Best {
    pair: (Point, Point),
    gap: f64,
}

impl Best {
    fn offer(&mut self, p: Point, q: Point) {
        let gap = (q - p).hypot();
        if gap < self.gap {
            (self.pair, self.gap) = ((p, q), gap);
        }
    }

    /// The ends of each against the other.
    fn ends(&mut self, a: &PathSeg, b: &PathSeg) {
        for p in [a.start(), a.end()] {
            if box_distance(&control_box(b), p) < self.gap {
                self.offer(p, b.eval(segment::nearest(b, p).0));
            }
        }
        for q in [b.start(), b.end()] {
            if box_distance(&control_box(a), q) < self.gap {
                self.offer(a.eval(segment::nearest(a, q).0), q);
            }
        }
    }

    /// From the middle of one, foot to foot.
    fn feet(&mut self, a: &PathSeg, b: &PathSeg) {
        let mut p = a.eval(0.5);
        for _ in 0..2 {
            let q = b.eval(segment::nearest(b, p).0);
            p = a.eval(segment::nearest(a, q).0);
            self.offer(p, q);
        }
    }
}

/// The least distance between two boxes.
fn between(a: &Rect, b: &Rect) -> f64 {
    let dx = (a.x0 - b.x1).max(b.x0 - a.x1).max(0.0);
    let dy = (a.y0 - b.y1).max(b.y0 - a.y1).max(0.0);
    dx.hypot(dy)
}
