//! Finds a place for each name: near what it names, on no other name, on as little line as can be. Labels are placed one
//! after another, the weightiest first; each tries a fixed list of places and takes the cheapest, so the same drawing
//! always comes out the same. A label that has to stand off gets a thin leader.

use super::canvas::{chords, weight};
use super::frame::TextFrame;
use super::ink::Hand;
use super::{Anchor, Drawing, Layer, Shape, Text, text};
use kurbo::{Point, Rect, Vec2};
use std::collections::HashMap;

/// Side of a cell of the grid that finds lines near a box, in millimetres.
const CELL: f64 = 12.0;
/// Air kept around each text.
const AIR: f64 = 0.8;
/// What a millimetre of distance from the point costs a name, beside a millimetre of line under it.
const NEAR: f64 = 0.45;
/// A label farther than this from its point gets a leader.
const LEADER_FROM: f64 = 3.0;
/// Distances tried for a point's name.
const RINGS: [f64; 10] = [1.6, 3.0, 5.5, 9.0, 13.0, 18.0, 25.0, 34.0, 45.0, 60.0];
/// Directions tried for a point's name close by, the reader's favourite first, in twenty-fourths of a turn from the right
/// (y down); farther out all of them.
const CLOSE: [u32; 8] = [0, 21, 3, 12, 15, 9, 18, 6];
/// A place is better than another by more than this: two alike differ by a last bit, not the same one on every machine.
const ALIKE: f64 = 1e-6;
/// From this distance on every direction is tried.
const ALL_ROUND: f64 = 5.0;
/// A leader within this of a line, in millimetres, and at less than the angle of this sine to it, would be taken for it.
const ON_LINE: f64 = 0.7;
const SAME_WAY: f64 = 0.2;
/// What a millimetre of that costs.
const HIDDEN: f64 = 4.0;

/// A text that has found its place.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed {
    /// The text.
    pub text: Text,
    /// From what it names to the text, where it stands off.
    pub leader: Option<(Point, Point)>,
}

/// A bit of line no longer than a cell, and what a millimetre of it costs a text.
type Bit = (Point, Point, f64);
/// Column and row of the grid that finds lines near a box.
type Cell = (i32, i32);

/// What is already on the sheet.
#[derive(Default)]
pub struct Labels {
    /// Each at the cell of its middle.
    lines: HashMap<Cell, Vec<Bit>, foldhash::fast::FixedState>,
    /// The lowest and the highest cell that has any: a name may be far longer than the drawing is wide.
    filled: Option<(Cell, Cell)>,
    taken: Strewn<TextFrame>,
    leaders: Vec<(Point, Point)>,
    strewn_leaders: Strewn<(Point, Point)>,
    area: Option<Rect>,
}

/// Things at every cell that they reach into.
struct Strewn<T> {
    cells: HashMap<Cell, Vec<T>, foldhash::fast::FixedState>,
    /// Those that reach into very many.
    wide: Vec<T>,
}

impl<T> Default for Strewn<T> {
    fn default() -> Self {
        Self {
            cells: HashMap::default(),
            wide: Vec::new(),
        }
    }
}

/// A thing of more cells than this is kept apart.
const WIDE: i64 = 64;

impl<T: Copy> Strewn<T> {
    fn put(&mut self, bounds: Rect, thing: T) {
        match cells_of(bounds) {
            Some(cells) => {
                for cell in cells {
                    self.cells.entry(cell).or_default().push(thing);
                }
            }
            None => self.wide.push(thing),
        }
    }

    /// Whether any that may reach into a box is such; some are asked twice.
    fn any_near(&self, bounds: Rect, is_such: impl Fn(&T) -> bool) -> bool {
        if self.wide.iter().any(&is_such) {
            return true;
        }
        match cells_of(bounds) {
            Some(mut cells) => cells.any(|cell| {
                self.cells
                    .get(&cell)
                    .is_some_and(|all| all.iter().any(&is_such))
            }),
            None => self.cells.values().flatten().any(is_such),
        }
    }
}

/// The cells that a box reaches into; none where they are very many.
fn cells_of(bounds: Rect) -> Option<impl Iterator<Item = Cell>> {
    let (low, high) = (
        cell_of(bounds.origin()),
        cell_of(Point::new(bounds.x1, bounds.y1)),
    );
    let count = |low: i32, high: i32| i64::from(high) - i64::from(low) + 1;
    let few = count(low.0, high.0).saturating_mul(count(low.1, high.1)) <= WIDE;
    few.then(|| (low.0..=high.0).flat_map(move |x| (low.1..=high.1).map(move |y| (x, y))))
}

impl Labels {
    /// An empty sheet.
    pub fn new() -> Self {
        Self::default()
    }

    /// A drawn line that names should keep off, as a row of points; `weight` is the cost of a millimetre under a text.
    pub(crate) fn avoid(&mut self, points: &[Point], weight: f64) {
        for (a, b) in points.iter().zip(points.iter().skip(1)) {
            let parts = ((*b - *a).hypot() / CELL).ceil().clamp(1.0, 4096.0) as usize;
            for part in 0..parts {
                let at = |n: usize| a.lerp(*b, n as f64 / parts as f64);
                let (from, to) = (at(part), at(part + 1));
                let cell = cell_of(from.midpoint(to));
                let (low, high) = self.filled.unwrap_or((cell, cell));
                let low = (low.0.min(cell.0), low.1.min(cell.1));
                let high = (high.0.max(cell.0), high.1.max(cell.1));
                self.filled = Some((low, high));
                self.lines.entry(cell).or_default().push((from, to, weight));
            }
        }
    }

    /// A sheet with a drawing on it.
    pub fn over(drawing: &Drawing) -> Self {
        let mut labels = Self::default();
        for layer in Layer::ALL {
            for item in drawing.layer(layer) {
                match &item.shape {
                    Shape::Stroke(path, pen) => {
                        for row in chords(path) {
                            labels.avoid(&row, weight(*pen));
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

    /// A box that no text may enter.
    pub fn take(&mut self, frame: TextFrame) {
        self.taken.put(frame.bounds(), frame);
    }

    /// Whether a box is free of texts and of their leaders.
    pub fn is_free(&self, frame: &TextFrame) -> bool {
        let air = frame.grown(AIR);
        let bounds = air.bounds();
        if self.area.is_some_and(|area| area.union(bounds) != area) {
            return false;
        }
        let is_led_over = |(a, b): &(Point, Point)| frame.covers(*a, *b) > 0.0;
        !self.taken.any_near(bounds, |other| other.overlaps(&air))
            && !self.strewn_leaders.any_near(bounds, is_led_over)
    }

    /// The cost of the lines under a box.
    pub fn line_cost(&self, frame: &TextFrame) -> f64 {
        self.line_cost_below(frame, f64::INFINITY)
            .unwrap_or(f64::INFINITY)
    }

    /// The cost of the lines under a box, where it is less than `limit`; most boxes are given up at their second line.
    fn line_cost_below(&self, frame: &TextFrame, limit: f64) -> Option<f64> {
        let frame = frame.grown(AIR / 2.0);
        let mut cost = 0.0;
        for (a, b, weight) in self.near(frame.bounds()) {
            let covered = frame.covers(*a, *b);
            if covered > 0.0 {
                cost += weight * (1.0 + covered);
                if cost >= limit {
                    return None;
                }
            }
        }
        Some(cost)
    }

    /// Bits of line that may reach into a box.
    fn near(&self, bounds: Rect) -> impl Iterator<Item = &Bit> {
        // No bit is longer than a cell, so none reaches farther than half of one from its middle.
        let bounds = bounds.inflate(CELL / 2.0, CELL / 2.0);
        let (low, high) = (
            cell_of(bounds.origin()),
            cell_of(Point::new(bounds.x1, bounds.y1)),
        );
        let (first, last) = self.filled.unwrap_or(((0, 0), (-1, -1)));
        let columns = low.0.max(first.0)..=high.0.min(last.0);
        let rows = low.1.max(first.1)..=high.1.min(last.1);
        columns
            .flat_map(move |x| rows.clone().map(move |y| (x, y)))
            .filter_map(|cell| self.lines.get(&cell))
            .flatten()
    }

    /// The cost of a leader that runs along a line, where nobody would see it or everybody take it for that line.
    fn hidden_cost(&self, from: Point, to: Point) -> f64 {
        let way = to - from;
        if way.hypot() < 1e-9 {
            return 0.0;
        }
        let along = way / way.hypot();
        let strip = TextFrame {
            centre: from.midpoint(to),
            along,
            half_width: way.hypot() / 2.0,
            half_height: ON_LINE,
        };
        let same_way = |a: Point, b: Point| along.cross(b - a).abs() < SAME_WAY * (b - a).hypot();
        self.near(strip.bounds())
            .filter(|(a, b, _)| same_way(*a, *b))
            .map(|(a, b, _)| HIDDEN * strip.covers(*a, *b))
            .sum()
    }

    /// Puts a name beside a point. `prefer` adds a cost of the caller's to a box; none is returned where every place
    /// tried is taken by another text.
    pub(crate) fn place_at_point(
        &mut self,
        letters: &str,
        hand: Hand,
        point: Point,
        prefer: impl Fn(&TextFrame) -> f64,
    ) -> Option<Placed> {
        let (width, height) = size_of(letters, hand);
        let mut best: Option<(f64, TextFrame, Anchor, f64)> = None;
        for ring in RINGS {
            if best.is_some_and(|(least, ..)| NEAR * ring >= least) {
                break;
            }
            let rest = (0..24).filter(|part| ring >= ALL_ROUND && !CLOSE.contains(part));
            for (rank, part) in CLOSE.into_iter().chain(rest).enumerate() {
                let toward = Vec2::from_angle(f64::from(part) * std::f64::consts::TAU / 24.0);
                let (frame, anchor) = beside(point, toward, ring, width, height);
                let near = NEAR * ring + 0.08 * rank as f64;
                let least = best.map_or(f64::INFINITY, |(least, ..)| least);
                let least = least - ALIKE;
                if near >= least || !self.is_free(&frame) {
                    continue;
                }
                let preferred = prefer(&frame);
                let Some(lines) = self.line_cost_below(&frame, least - near - preferred) else {
                    continue;
                };
                let Some(led) = self.leader_cost(point, &frame, ring) else {
                    continue;
                };
                let cost = lines + near + led + preferred;
                if cost < least {
                    best = Some((cost, frame, anchor, ring));
                }
            }
        }
        let (_, frame, anchor, ring) = best?;
        let leader = (ring > LEADER_FROM).then(|| leader(point, &frame));
        Some(self.settle(Text::inside(letters, frame, anchor, hand), frame, leader))
    }

    /// Puts a text into the cheapest of the boxes offered, each with a cost of its own.
    pub(crate) fn place_in(
        &mut self,
        letters: &str,
        hand: Hand,
        boxes: impl IntoIterator<Item = (TextFrame, f64)>,
    ) -> Option<Placed> {
        let frame = self.cheapest(boxes, f64::INFINITY, |_| true)?;
        Some(self.settle(
            Text::inside(letters, frame, Anchor::Middle, hand),
            frame,
            None,
        ))
    }

    /// The cheapest free box of those offered, each with a cost of its own, that lies on lines of less than `most` and
    /// `fits`.
    pub(crate) fn cheapest(
        &self,
        boxes: impl IntoIterator<Item = (TextFrame, f64)>,
        most: f64,
        fits: impl Fn(&TextFrame) -> bool,
    ) -> Option<TextFrame> {
        let mut best: Option<TextFrame> = None;
        let mut least = f64::INFINITY;
        for (frame, own) in boxes {
            let limit = least - ALIKE - own;
            if limit <= 0.0 || !fits(&frame) || !self.is_free(&frame) {
                continue;
            }
            if let Some(lines) = self.line_cost_below(&frame, most.min(limit)) {
                least = own + lines;
                best = Some(frame);
            }
        }
        best
    }

    fn settle(&mut self, text: Text, frame: TextFrame, leader: Option<(Point, Point)>) -> Placed {
        self.take(frame);
        if let Some((from, to)) = leader {
            self.leaders.push((from, to));
            self.strewn_leaders
                .put(Rect::from_points(from, to), (from, to));
        }
        Placed { text, leader }
    }

    /// What the leader to a box costs: nothing close by, more for each leader it crosses; none where it would run
    /// through a text.
    fn leader_cost(&self, point: Point, frame: &TextFrame, ring: f64) -> Option<f64> {
        if ring <= LEADER_FROM {
            return Some(0.0);
        }
        let (from, to) = leader(point, frame);
        let covers = |other: &TextFrame| other.covers(from, to) > 0.2;
        if self.taken.any_near(Rect::from_points(from, to), covers) {
            return None;
        }
        let crossed = self
            .leaders
            .iter()
            .filter(|(a, b)| crosses(*a, *b, from, to))
            .count();
        Some(15.0 * crossed as f64 + self.hidden_cost(from, to))
    }
}

/// Width and height of the box of a text.
pub fn size_of(letters: &str, hand: Hand) -> (f64, f64) {
    let size = hand.size();
    let width = text::width(&text::printable(letters), size, hand.bold());
    (width, (text::ASCENT + text::DESCENT) * size)
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

fn cell_of(p: Point) -> Cell {
    let cell = |v: f64| (v / CELL).floor().clamp(-1e6, 1e6) as i32;
    (cell(p.x), cell(p.y))
}

/// Whether two straight lines cross.
fn crosses(a: Point, b: Point, c: Point, d: Point) -> bool {
    let side = |p: Point, q: Point, r: Point| (q - p).cross(r - p);
    side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Beside a line that is hemmed in, the name stands across it and not along it.
    #[test]
    fn a_leader_does_not_run_along_a_line() {
        let mut labels = Labels::new();
        let line = [Point::new(0.0, 0.0), Point::new(80.0, 0.0)];
        labels.avoid(&line, 2.5);
        for y in [-2.0, 2.0, -6.0, 6.0] {
            labels.avoid(&[Point::new(0.0, y), Point::new(80.0, y)], 2.5);
        }
        let placed = labels
            .place_at_point("seam edge", Hand::EdgeName, Point::new(40.0, 0.0), |_| 0.0)
            .unwrap();
        let (from, to) = placed.leader.unwrap();
        assert!(
            (to.y - from.y).abs() > 0.3 * (to.x - from.x).abs(),
            "{from} {to}"
        );
    }

    #[test]
    fn a_name_keeps_off_a_line_where_it_can() {
        let mut labels = Labels::new();
        labels.avoid(&[Point::new(0.0, 0.0), Point::new(100.0, 0.0)], 5.0);
        let placed = labels
            .place_at_point("neck", Hand::PointName, Point::new(0.0, 0.0), |_| 0.0)
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
