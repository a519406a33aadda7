//! Finds a place for each name: near what it names, on no other name, on as little line as can be. Labels are placed one
//! after another, the weightiest first; each tries a fixed list of places, asks the [`Raster`] what lies there and takes the
//! cheapest, so the same drawing always comes out the same. A label that has to stand off gets a thin leader. Where no place
//! keeps to what was asked for there is none.

use super::canvas::chords;
use super::frame::TextFrame;
use super::raster::{Raster, Weight};
use super::region::Region;
use super::style::Hand;
use super::{Anchor, Drawing, Layer, Shape, Text, text};
use kurbo::{Point, Rect, Size, Vec2};

/// Air between two texts at least, beside what the cells of the raster round off.
const AIR: f64 = 0.4;
/// Air between a text and a line that costs nothing.
const LINE_AIR: f64 = 0.7;
/// What a millimetre of distance from the point costs a name, beside a millimetre of line under it.
const NEAR: f64 = 0.45;
/// A label farther than this from its point gets a leader.
const LEADER_FROM: f64 = 3.0;
/// Distances tried for a point's name.
const RINGS: [f64; 10] = [1.6, 3.0, 5.5, 9.0, 13.0, 18.0, 25.0, 34.0, 45.0, 60.0];
/// Directions tried for a point's name close by, the reader's favourite first, in twenty-fourths of a turn from the right
/// (y down); farther out all of them.
const CLOSE: [usize; 8] = [0, 21, 3, 12, 15, 9, 18, 6];
/// Cosines of the twenty-fourths of a quarter turn and of its end: in figures, since functions differ by machine.
const COSINES: [f64; 7] = [
    1.0,
    0.965_925_826_289_068_3,
    0.866_025_403_784_438_6,
    0.707_106_781_186_547_5,
    0.5,
    0.258_819_045_102_520_76,
    0.0,
];
/// A place is better than another by more than this: two alike differ by a last bit, not the same one on every machine.
const ALIKE: f64 = 1e-6;
/// From this distance on every direction is tried.
const ALL_ROUND: f64 = 5.0;
/// What a millimetre of leader costs that runs along a line, where nobody would see it or everybody take it for that line, and
/// what a leader that crosses another.
const ALONG: f64 = 4.0;
const CROSSING: f64 = 15.0;
/// What a millimetre of a joint of tiles costs a name that lies on it.
const JOINT: f64 = 1.6;

/// A text that has found its place.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Placed {
    pub(crate) text: Text,
    /// From what it names to the text, where it stands off.
    pub(crate) leader: Option<(Point, Point)>,
}

/// What the place of a name must keep to.
#[derive(Clone, Copy)]
pub(crate) struct Keep<'a> {
    /// It stays inside of it.
    pub(crate) inside: Option<&'a Region>,
    /// It stays within this box: where a piece's own words may stand, and no other's.
    pub(crate) area: Option<Rect>,
    /// No farther than so many millimetres from what it names.
    pub(crate) within: f64,
    /// On lines that cost less than this.
    pub(crate) lines: f64,
}

impl Default for Keep<'_> {
    fn default() -> Self {
        Self {
            inside: None,
            area: None,
            within: f64::INFINITY,
            lines: f64::INFINITY,
        }
    }
}

/// The sheets of paper that a drawing is cut into.
struct Tiles {
    size: Size,
    columns: u32,
    /// Those that no name may ask for, row by row.
    bare: Vec<bool>,
}

/// What is already on the sheet.
#[derive(Default)]
pub struct Labels {
    raster: Raster,
    area: Option<Rect>,
    tiles: Option<Tiles>,
}

impl Labels {
    /// An empty sheet of a size.
    pub(crate) fn on(sheet: Size) -> Self {
        Self {
            raster: Raster::of_size(sheet),
            ..Self::default()
        }
    }

    /// A drawn line that names should keep off, as a row of points.
    pub(crate) fn avoid(&mut self, points: &[Point], weight: Weight) {
        for (a, b) in points.iter().zip(points.iter().skip(1)) {
            self.raster.draw(*a, *b, weight);
        }
    }

    /// A drawn dot that no name should hide.
    pub(crate) fn avoid_dot(&mut self, at: Point, radius: f64) {
        for way in [Vec2::new(radius, 0.0), Vec2::new(0.0, radius)] {
            self.raster.draw(at - way, at + way, Weight::Heavy);
        }
    }

    /// A sheet with a drawing on it.
    pub fn over(drawing: &Drawing) -> Self {
        let mut labels = Self::on(Size::new(drawing.width, drawing.height));
        for layer in Layer::ALL {
            for item in drawing.layer(layer) {
                match &item.shape {
                    Shape::Stroke(path, pen) => {
                        for row in chords(path) {
                            labels.avoid(&row, pen.look().weight);
                        }
                    }
                    Shape::Text(text) => labels.take(text.frame()),
                    Shape::Fill(..) => {}
                }
            }
        }
        labels
    }

    /// Texts placed from now on stay within a part of the sheet.
    pub(crate) fn keep_within(&mut self, area: Rect) {
        self.area = Some(area);
    }

    /// The drawing is cut into tiles: texts keep off their joints where they can, since half a name on either tile is hard to
    /// read until they are joined, and go where a tile is wanted anyway.
    pub(crate) fn keep_on_tiles(&mut self, size: Size, columns: u32, bare: Vec<bool>) {
        self.tiles = Some(Tiles {
            size,
            columns,
            bare,
        });
    }

    /// From where to where along the top row of tiles, or down the left column, the longest row of them runs that are wanted; none
    /// where the drawing is not cut into tiles.
    pub(crate) fn wanted_tiles(&self, across: bool) -> Option<(f64, f64)> {
        let tiles = self.tiles.as_ref()?;
        let columns = tiles.columns as usize;
        let (step, count, pitch) = if across {
            (1, columns, tiles.size.width)
        } else {
            (
                columns,
                tiles.bare.len() / columns.max(1),
                tiles.size.height,
            )
        };
        let wanted = |n: usize| tiles.bare.get(n * step).is_some_and(|bare| !bare);
        let (mut best, mut from) = ((0, 0), 0);
        for n in 0..count {
            if !wanted(n) {
                from = n + 1;
            } else if n + 1 - from > best.1 - best.0 {
                best = (from, n + 1);
            }
        }
        Some((best.0 as f64 * pitch, best.1 as f64 * pitch))
    }

    /// A box that no text may enter.
    pub(crate) fn take(&mut self, frame: TextFrame) {
        self.raster.take(&frame, self.air());
    }

    /// Of two boxes that share no cell after this has been put round both, the nearest sides are apart by [`AIR`] or more.
    fn air(&self) -> f64 {
        AIR / 2.0 + std::f64::consts::FRAC_1_SQRT_2 * self.raster.cell()
    }

    /// Whether a box is free of texts and of their leaders.
    pub fn is_free(&self, frame: &TextFrame) -> bool {
        let bounds = frame.bounds();
        let within = self.area.is_none_or(|area| area.union(bounds) == area);
        within
            && self.tiles.as_ref().is_none_or(|tiles| !tiles.bare(bounds))
            && self.raster.is_free(&frame.grown(self.air()))
    }

    /// The cost of the lines under a box.
    pub fn line_cost(&self, frame: &TextFrame) -> f64 {
        self.line_cost_below(frame, f64::INFINITY)
            .unwrap_or(f64::INFINITY)
    }

    /// The cost of the lines under a box, where it is less than `limit`.
    fn line_cost_below(&self, frame: &TextFrame, limit: f64) -> Option<f64> {
        let joints = match &self.tiles {
            Some(tiles) => tiles.joints(frame.bounds()),
            None => 0.0,
        };
        let frame = frame.grown(LINE_AIR + 0.2 * self.raster.cell());
        let lines = self.raster.cost_below(&frame, limit - joints)?;
        Some(lines + joints)
    }

    /// Puts a name beside a point.
    pub(crate) fn place_at_point(
        &mut self,
        letters: &str,
        hand: Hand,
        point: Point,
        keep: Keep<'_>,
    ) -> Option<Placed> {
        let (width, height) = size_of(letters, hand);
        let mut best: Option<(TextFrame, Anchor, f64)> = None;
        let mut least = f64::INFINITY;
        for ring in RINGS {
            if NEAR * ring >= least {
                break;
            }
            let rest = (0..24).filter(|part| ring >= ALL_ROUND && !CLOSE.contains(part));
            for (rank, part) in CLOSE.into_iter().chain(rest).enumerate() {
                let near = NEAR * ring + 0.08 * rank as f64;
                let limit = least - ALIKE - near;
                if limit <= 0.0 {
                    break;
                }
                let (frame, anchor) = beside(point, toward(part), ring, width, height);
                if away(&frame, point) > keep.within || !self.is_free(&frame) || !keep.holds(&frame)
                {
                    continue;
                }
                let Some(lines) = self.line_cost_below(&frame, limit.min(keep.lines)) else {
                    continue;
                };
                let Some(led) = self.leader_cost(point, &frame, ring) else {
                    continue;
                };
                if lines + led < limit {
                    least = lines + led + near;
                    best = Some((frame, anchor, ring));
                }
            }
        }
        let (frame, anchor, ring) = best?;
        let leader = (ring > LEADER_FROM).then(|| leader(point, &frame));
        Some(self.settle(Text::inside(letters, frame, anchor, hand), frame, leader))
    }

    /// Puts a text into the cheapest of the boxes offered, each with a cost of its own.
    pub(crate) fn place_in<F: FnOnce() -> Option<TextFrame>>(
        &mut self,
        letters: &str,
        hand: Hand,
        boxes: impl IntoIterator<Item = (f64, F)>,
        keep: Keep<'_>,
    ) -> Option<Placed> {
        let frame = self.cheapest(boxes, keep)?;
        Some(self.settle(
            Text::inside(letters, frame, Anchor::Middle, hand),
            frame,
            None,
        ))
    }

    /// The cheapest free box of those offered, each with a cost of its own; where that alone is too much, the box is not
    /// even worked out.
    pub(crate) fn cheapest<F: FnOnce() -> Option<TextFrame>>(
        &self,
        boxes: impl IntoIterator<Item = (f64, F)>,
        keep: Keep<'_>,
    ) -> Option<TextFrame> {
        let mut best: Option<TextFrame> = None;
        let mut least = f64::INFINITY;
        for (own, frame) in boxes {
            if own >= least {
                continue;
            }
            if let Some(frame) = frame()
                && let Some(cost) = self.cost(&frame, own, keep, least)
            {
                least = cost;
                best = Some(frame);
            }
        }
        best
    }

    /// What a box costs that has a cost of its own, where it is free and that is less than `least`.
    pub(crate) fn cost(
        &self,
        frame: &TextFrame,
        own: f64,
        keep: Keep<'_>,
        least: f64,
    ) -> Option<f64> {
        let limit = least - ALIKE - own;
        if limit <= 0.0 {
            return None;
        }
        // Most boxes are given up at their first lines.
        let lines = self.line_cost_below(frame, keep.lines.min(limit))?;
        (self.is_free(frame) && keep.holds(frame)).then_some(own + lines)
    }

    fn settle(&mut self, text: Text, frame: TextFrame, leader: Option<(Point, Point)>) -> Placed {
        self.take(frame);
        if let Some((from, to)) = leader {
            self.raster.lead(from, to);
        }
        Placed { text, leader }
    }

    /// What the leader to a box costs: nothing close by, more for each leader it crosses and where it runs along a line; none where
    /// it would run through a text.
    fn leader_cost(&self, point: Point, frame: &TextFrame, ring: f64) -> Option<f64> {
        if ring <= LEADER_FROM {
            return Some(0.0);
        }
        let (from, to) = leader(point, frame);
        let (along, crossed) = self.raster.under_leader(from, to)?;
        Some(CROSSING * f64::from(crossed) + ALONG * along)
    }
}

impl Keep<'_> {
    fn holds(&self, frame: &TextFrame) -> bool {
        let bounds = frame.bounds();
        self.area.is_none_or(|area| area.union(bounds) == area)
            && self.inside.is_none_or(|region| region.holds(frame))
    }
}

impl Tiles {
    /// The first and the last column and row that a box lies on.
    fn under(&self, bounds: Rect) -> ((u32, u32), (u32, u32)) {
        let place = |at: f64, size: f64| (at / size).max(0.0) as u32;
        (
            (
                place(bounds.x0, self.size.width),
                place(bounds.x1, self.size.width),
            ),
            (
                place(bounds.y0, self.size.height),
                place(bounds.y1, self.size.height),
            ),
        )
    }

    /// Whether a box lies on a tile that nothing else asks for.
    fn bare(&self, bounds: Rect) -> bool {
        let ((left, right), (top, bottom)) = self.under(bounds);
        (left..=right.min(self.columns)).any(|column| {
            (top..=bottom).any(|row| {
                let at = row as usize * self.columns as usize + column as usize;
                column < self.columns && self.bare.get(at).copied().unwrap_or_default()
            })
        })
    }

    /// What the joints under a box cost.
    fn joints(&self, bounds: Rect) -> f64 {
        let ((left, right), (top, bottom)) = self.under(bounds);
        JOINT
            * (f64::from(right - left) * (1.0 + bounds.height())
                + f64::from(bottom - top) * (1.0 + bounds.width()))
    }
}

/// Width and height of the box of a text.
pub fn size_of(letters: &str, hand: Hand) -> (f64, f64) {
    let size = hand.size();
    let width = text::width(&text::printable(letters), size, hand.bold());
    (width, (text::ASCENT + text::DESCENT) * size)
}

/// The direction of a twenty-fourth of a turn.
fn toward(part: usize) -> Vec2 {
    let cosine = |part: usize| match part % 24 {
        near @ 0..=6 => COSINES.get(near).copied().unwrap_or_default(),
        left @ 7..=12 => -COSINES.get(12 - left).copied().unwrap_or_default(),
        left @ 13..=18 => -COSINES.get(left - 12).copied().unwrap_or_default(),
        near => COSINES.get(24 - near).copied().unwrap_or_default(),
    };
    Vec2::new(cosine(part), cosine(part + 18))
}

/// How far a point lies outside a box.
fn away(frame: &TextFrame, point: Point) -> f64 {
    (frame.nearest(point) - point).hypot()
}

/// The box that stands off a point in a direction, and which end of the text turns to the point.
fn beside(point: Point, toward: Vec2, gap: f64, width: f64, height: f64) -> (TextFrame, Anchor) {
    let near = point + toward * gap;
    let side = |along: f64, size: f64| {
        if along > 0.3 {
            (0.0, size)
        } else if along < -0.3 {
            (-size, 0.0)
        } else {
            (-size / 2.0, size / 2.0)
        }
    };
    let ((x0, x1), (y0, y1)) = (side(toward.x, width), side(toward.y, height));
    let rect = Rect::new(near.x + x0, near.y + y0, near.x + x1, near.y + y1);
    let anchor = if toward.x > 0.3 {
        Anchor::Start
    } else if toward.x < -0.3 {
        Anchor::End
    } else {
        Anchor::Middle
    };
    (TextFrame::upright(rect), anchor)
}

fn leader(point: Point, frame: &TextFrame) -> (Point, Point) {
    let to = frame.nearest(point);
    let way = to - point;
    let start = if way.hypot() > 2.0 {
        point + way * (1.0 / way.hypot())
    } else {
        point
    };
    (start, to)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Beside a line that is hemmed in, the name stands across it and not along it.
    #[test]
    fn a_leader_does_not_run_along_a_line() {
        let mut labels = Labels::default();
        let line = [Point::new(0.0, 0.0), Point::new(80.0, 0.0)];
        labels.avoid(&line, Weight::Firm);
        for y in [-2.0, 2.0, -6.0, 6.0] {
            labels.avoid(&[Point::new(0.0, y), Point::new(80.0, y)], Weight::Firm);
        }
        let placed = labels
            .place_at_point(
                "seam edge",
                Hand::EdgeName,
                Point::new(40.0, 0.0),
                Keep::default(),
            )
            .unwrap();
        let (from, to) = placed.leader.unwrap();
        assert!(
            (to.y - from.y).abs() > 0.3 * (to.x - from.x).abs(),
            "{from} {to}"
        );
    }

    #[test]
    fn a_name_keeps_off_a_line_where_it_can() {
        let mut labels = Labels::default();
        labels.avoid(
            &[Point::new(0.0, 0.0), Point::new(100.0, 0.0)],
            Weight::Firm,
        );
        let placed = labels
            .place_at_point(
                "neck",
                Hand::PointName,
                Point::new(0.0, 0.0),
                Keep::default(),
            )
            .unwrap();
        assert_eq!(
            placed
                .text
                .frame()
                .covers(Point::new(0.0, 0.0), Point::new(100.0, 0.0)),
            0.0
        );
    }
}
