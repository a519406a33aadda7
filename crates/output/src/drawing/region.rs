//! The inside of a closed line, made ready to be asked about many boxes: for each level row of it, from where to where it
//! lies inside.

use super::frame::TextFrame;
use super::raster::{MIDDLE, Rows};
use kurbo::{BezPath, PathEl, Point, Rect, Shape as _};

/// Chords lie this near to their curve, in millimetres: far less than the border of a label.
const NEAR: f64 = 0.05;
/// Rows to a millimetre, and the most of the tallest sheet.
const ROW: f64 = 1.0;
const MOST_ROWS: f64 = 4096.0;
/// A stretch is short only by more than what figures round off.
const SHORTER: f64 = 1e-6;

/// What lies inside a closed line.
pub(crate) struct Region {
    bounds: Rect,
    /// Rows to a millimetre.
    per: f64,
    /// The number of the first row.
    top: i32,
    /// Where the stretches of each row begin in `stretches`, and past the last.
    starts: Vec<usize>,
    stretches: Vec<(f64, f64)>,
}

impl Region {
    /// The inside of a line; each of its parts is closed.
    pub(crate) fn of(line: &BezPath) -> Self {
        let bounds = line.bounding_box();
        let per = ROW.min(MOST_ROWS / bounds.height().max(1.0));
        let rows = Rows::of(&TextFrame::upright(bounds), per);
        let count = (rows.last - rows.first + 1).clamp(0, MOST_ROWS as i32 + 1) as usize;
        let mut crossings: Vec<Vec<(f64, i32)>> = vec![Vec::new(); count];
        let mut add = |from: Point, to: Point| {
            let (upper, lower, turn) = if from.y < to.y {
                (from, to, 1)
            } else {
                (to, from, -1)
            };
            let (first, last) = (level(upper.y, per), level(lower.y, per) - 1);
            for row in first.max(rows.first)..=last.min(rows.last) {
                let y = (f64::from(row) - MIDDLE.y) / per;
                let x = upper.x + (lower.x - upper.x) * (y - upper.y) / (lower.y - upper.y);
                if let Some(all) = crossings.get_mut((row - rows.first) as usize) {
                    all.push((x, turn));
                }
            }
        };
        let (mut start, mut last) = (Point::ZERO, Point::ZERO);
        kurbo::flatten(line, NEAR, |element| match element {
            PathEl::MoveTo(to) => {
                add(last, start);
                (start, last) = (to, to);
            }
            PathEl::ClosePath => {
                add(last, start);
                last = start;
            }
            PathEl::LineTo(to) | PathEl::QuadTo(_, to) | PathEl::CurveTo(_, _, to) => {
                add(last, to);
                last = to;
            }
        });
        add(last, start);
        let mut region = Self {
            bounds,
            per,
            top: rows.first,
            starts: Vec::with_capacity(count + 1),
            stretches: Vec::new(),
        };
        for row in &mut crossings {
            row.sort_unstable_by(|a, b| a.0.total_cmp(&b.0));
            region.starts.push(region.stretches.len());
            let (mut winding, mut begun) = (0, 0.0);
            for (x, turn) in row {
                if winding == 0 {
                    begun = *x;
                }
                winding += *turn;
                if winding == 0 {
                    region.stretches.push((begun, *x));
                }
            }
        }
        region.starts.push(region.stretches.len());
        region
    }

    /// The upright box round the line.
    pub(crate) fn bounds(&self) -> Rect {
        self.bounds
    }

    fn row(&self, row: i32) -> &[(f64, f64)] {
        let at = usize::try_from(row - self.top).unwrap_or(usize::MAX - 1);
        let range = self.starts.get(at).zip(self.starts.get(at + 1));
        range
            .and_then(|(from, to)| self.stretches.get(*from..*to))
            .unwrap_or_default()
    }

    /// Whether the line goes round a point, to half a row.
    pub(crate) fn contains(&self, p: Point) -> bool {
        let row = self.row(level(p.y - 0.5 / self.per, self.per));
        row.iter().any(|(from, to)| *from <= p.x && p.x <= *to)
    }

    /// The stretches that lie inside on every row from a height to another, to half a row; those shorter than `least` may
    /// be left out.
    pub(crate) fn common(&self, top: f64, bottom: f64, least: f64) -> Vec<(f64, f64)> {
        let (first, last) = (level(top, self.per), level(bottom, self.per) - 1);
        let long = |(from, to): &(f64, f64)| from < to && to - from > least - SHORTER;
        let mut common = self.row(first).to_vec();
        for row in first + 1..=last {
            let row = self.row(row);
            if let ([one], [other]) = (common.as_mut_slice(), row) {
                *one = (one.0.max(other.0), one.1.min(other.1));
                if !long(one) {
                    return Vec::new();
                }
                continue;
            }
            let both = common.iter().flat_map(|one| {
                row.iter()
                    .map(move |other| (one.0.max(other.0), one.1.min(other.1)))
            });
            common = both.filter(long).collect();
            if common.is_empty() {
                break;
            }
        }
        common
    }

    /// Whether the line goes round the whole of a box, to half a row.
    pub(crate) fn holds(&self, frame: &TextFrame) -> bool {
        let bounds = frame.bounds();
        if self.bounds.union(bounds) != self.bounds {
            return false;
        }
        let rows = Rows::of(frame, self.per);
        let holds = |row: i32| {
            rows.reach(row).is_none_or(|(from, to)| {
                let (from, to) = ((from - MIDDLE.x) / self.per, (to - MIDDLE.x) / self.per);
                let mut stretches = self.row(row).iter();
                stretches.any(|(start, end)| *start <= from && to <= *end)
            })
        };
        // Its first row and its last mostly tell.
        holds(rows.first) && holds(rows.last) && (rows.first + 1..rows.last).all(holds)
    }
}

/// The first row whose middle lies at or below a height.
fn level(y: f64, per: f64) -> i32 {
    (y * per + MIDDLE.y).ceil().clamp(-1e8, 1e8) as i32
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against kurbo's own winding, away from the line by more than half a row.
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
        let region = Region::of(&line);
        let mut inside = 0;
        for x in -40..130 {
            for y in -40..160 {
                let p = Point::new(f64::from(x) + 0.37, f64::from(y) + 0.61);
                let near = line
                    .segments()
                    .any(|seg| kurbo::ParamCurveNearest::nearest(&seg, p, 1e-6).distance_sq < 0.6);
                if !near {
                    assert_eq!(region.contains(p), line.contains(p), "{p}");
                    inside += usize::from(region.contains(p));
                }
            }
        }
        assert!(inside > 5_000, "{inside}");
    }

    /// A ring holds what lies beside its hole and not what lies over it, though all corners are inside.
    #[test]
    fn a_box_over_a_hole_is_not_inside() {
        let mut line = Rect::new(0.0, 0.0, 200.0, 100.0).to_path(0.1);
        line.extend(
            Rect::new(90.0, 40.0, 110.0, 60.0)
                .to_path(0.1)
                .reverse_subpaths(),
        );
        let region = Region::of(&line);
        let held = |rect| region.holds(&TextFrame::upright(rect));
        assert!(held(Rect::new(5.0, 5.0, 85.0, 95.0)));
        assert!(!held(Rect::new(5.0, 30.0, 195.0, 70.0)));
        assert!(!held(Rect::new(150.0, 10.0, 202.0, 20.0)));
        let slanted = TextFrame {
            centre: Point::new(40.0, 50.0),
            along: kurbo::Vec2::new(0.6, 0.8),
            half_width: 40.0,
            half_height: 4.0,
        };
        assert!(region.holds(&slanted));
        assert!(!region.holds(&slanted.grown(30.0)));
    }
}
