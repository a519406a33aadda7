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
    /// Of so many rows in turn that are one stretch each, what all of them hold.
    blocks: Vec<Option<(f64, f64)>>,
}

const BLOCK: usize = 16;

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
            blocks: Vec::new(),
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
        let blocks = (0..count / BLOCK).map(|block| region.all_of(block));
        region.blocks = blocks.collect();
        region
    }

    fn all_of(&self, block: usize) -> Option<(f64, f64)> {
        let mut all = (f64::NEG_INFINITY, f64::INFINITY);
        for row in block * BLOCK..(block + 1) * BLOCK {
            let [(from, to)] = self.row(self.top + row as i32) else {
                return None;
            };
            all = (all.0.max(*from), all.1.min(*to));
        }
        Some(all)
    }

    /// The block of rows that begins with a row and ends before another.
    fn block(&self, row: i32, past: i32) -> Option<(f64, f64)> {
        let at = usize::try_from(row - self.top).ok()?;
        let is_whole = at.is_multiple_of(BLOCK) && row + BLOCK as i32 <= past;
        is_whole.then(|| self.blocks.get(at / BLOCK).copied())??
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

    /// From where to where the middle of a box may be moved across, so that the line goes round the whole of it, to half a
    /// row.
    pub(crate) fn room(&self, frame: &TextFrame) -> Vec<(f64, f64)> {
        let (bounds, inner) = (frame.bounds(), self.bounds);
        if bounds.y0 < inner.y0 || inner.y1 < bounds.y1 {
            return Vec::new();
        }
        let half = bounds.width() / 2.0;
        let mut room = vec![(inner.x0 + half, inner.x1 - half)];
        let rows = Rows::of(frame, self.per);
        // A level box reaches as far on every row.
        let level = rows.is_level().then(|| rows.beside(rows.first));
        let (mut next, past) = (rows.first, rows.last + 1);
        while next < past {
            let row = next;
            let many = level.and_then(|_| self.block(row, past));
            next += many.map_or(1, |_| BLOCK as i32);
            let Some((left, right)) = level.unwrap_or_else(|| rows.beside(row)) else {
                continue;
            };
            let (left, right) = (left / self.per, right / self.per);
            let fits = |(from, to): &(f64, f64)| (from - left, to - right);
            let row = many
                .as_ref()
                .map_or_else(|| self.row(row), std::slice::from_ref);
            if let ([one], [stretch]) = (room.as_mut_slice(), row) {
                let (from, to) = fits(stretch);
                *one = (one.0.max(from), one.1.min(to));
                if one.0 <= one.1 {
                    continue;
                }
            } else {
                let both = room.iter().flat_map(|one| {
                    row.iter().map(move |stretch| {
                        let (from, to) = fits(stretch);
                        (one.0.max(from), one.1.min(to))
                    })
                });
                room = both.collect();
            }
            room.retain(|(from, to)| from <= to);
            if room.is_empty() {
                break;
            }
        }
        room
    }

    /// Whether the line goes round the whole of a box, to half a row.
    pub(crate) fn holds(&self, frame: &TextFrame) -> bool {
        let at = frame.centre.x;
        let room = self.room(frame);
        room.iter().any(|(from, to)| *from <= at && at <= *to)
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
