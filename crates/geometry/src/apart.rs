//! The closest approach of two rows of segments, found by bounding boxes and halving, largest promise first.

use super::measure::box_distance;
use super::segment::{self, bulge, control_box, to_chord};
use kurbo::{ParamCurve, PathSeg, Point, Rect};

/// Pairs looked at before the best so far is taken; far more than any two garment edges need.
const MOST_PAIRS: usize = 20_000;
/// Pairs whose boxes promise no more gain than this, in millimetres, are not looked into; the best pair is then
/// settled foot to foot.
const NEAR_ENOUGH: f64 = 1e-5;

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
        if promise(&seg_a, &seg_b) >= best.gap - NEAR_ENOUGH {
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
        pairs.sort_by(|x, y| promise(&y.0, &y.1).total_cmp(&promise(&x.0, &x.1)));
        open.extend(pairs);
    }
    best.settle(a, b);
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

    /// Foot to foot from the best pair until nothing is gained.
    fn settle(&mut self, a: &[PathSeg], b: &[PathSeg]) {
        let foot = |row: &[PathSeg], p: Point, gap: f64| {
            let reachable = row
                .iter()
                .filter(|seg| box_distance(&control_box(seg), p) <= gap);
            let feet = reachable.map(|seg| seg.eval(segment::nearest(seg, p).0));
            feet.min_by(|x, y| (*x - p).hypot2().total_cmp(&(*y - p).hypot2()))
        };
        for _ in 0..40 {
            let before = self.gap;
            let Some(q) = foot(b, self.pair.0, before) else {
                return;
            };
            self.offer(self.pair.0, q);
            let Some(p) = foot(a, self.pair.1, self.gap) else {
                return;
            };
            self.offer(p, self.pair.1);
            if before - self.gap <= 1e-13 {
                return;
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

/// A distance that no two points of a pair can come under: by their boxes, or by their chords less what the curves
/// bulge, which for short pieces is far sharper.
fn promise(a: &PathSeg, b: &PathSeg) -> f64 {
    let apart = between_boxes(&control_box(a), &control_box(b));
    let chords = [(a.start(), a.end()), (b.start(), b.end())];
    apart.max(between_chords(chords) - bulge(a) - bulge(b))
}

fn between_chords([one, two]: [(Point, Point); 2]) -> f64 {
    let side = |(from, to): (Point, Point), p: Point| (to - from).cross(p - from);
    let parted = |line, (p, q)| side(line, p) * side(line, q) < 0.0;
    if parted(one, two) && parted(two, one) {
        return 0.0;
    }
    let ends = [
        to_chord(one.0, two),
        to_chord(one.1, two),
        to_chord(two.0, one),
        to_chord(two.1, one),
    ];
    ends.into_iter().fold(f64::INFINITY, f64::min)
}

/// The least distance between two boxes.
fn between_boxes(a: &Rect, b: &Rect) -> f64 {
    let dx = (a.x0 - b.x1).max(b.x0 - a.x1).max(0.0);
    let dy = (a.y0 - b.y1).max(b.y0 - a.y1).max(0.0);
    dx.hypot(dy)
}
