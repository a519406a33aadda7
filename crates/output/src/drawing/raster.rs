//! A sheet in small square cells, so that what a box lies on is read off in a few words of bits, however much is drawn:
//! through which cells lines run, by their weight, and which of them texts and leaders have taken. Cells are bits, a tile of
//! 64 by 64 of them is there where something is; sums are of whole numbers, the same on every machine.

use super::frame::TextFrame;
use kurbo::{Point, Size, Vec2};
use std::collections::HashMap;

/// Cells to a side of a tile: a row of it is a word.
const SIDE: i32 = 64;
/// Side of a cell in millimetres: of a small figure, and of a sheet.
const CELL: (f64, f64) = (0.5, 1.0);
/// So many cells to a side between the two; and the most, for which cells grow on a very large sheet.
const CELLS: f64 = 400.0;
const MOST_CELLS: f64 = 16_384.0;
/// Cells begin off the round millimetres, so that no line or box of round figures runs through their very middles, where a
/// last bit would decide.
pub(super) const MIDDLE: Vec2 = Vec2::new(0.317, 0.431);
/// Cells farther from the corner than this are none.
const FARTHEST: f64 = 1e8;

/// How much a line is in the way of a name.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Weight {
    /// Hardly: a name may stand on it.
    Faint,
    /// A name on it can still be read.
    Light,
    /// It is cut, sewn or measured.
    Firm,
    /// A point, which a name must not hide.
    Heavy,
}

/// What a millimetre of line under a text costs, in hundredths, beside a millimetre of distance at 45.
const COSTS: [u32; 4] = [35, 130, 250, 400];
/// Taken by a text and the air round it, by a leader, and by the letters themselves.
const TAKEN: usize = 4;
const LED: usize = 5;
const LETTERS: usize = 6;
/// Any line.
const LINES: usize = 7;
const PLANES: usize = 8;

/// A leader that is near a line for no longer than this, in millimetres, crosses it.
const CROSSED: f64 = 4.0;
/// A leader over so many cells of letters runs through them; over fewer, past a corner.
const THROUGH: u32 = 2;

/// So many cells each way.
struct Tile {
    /// A word for each weight, for texts and for leaders, of each row of cells.
    rows: [Row; SIDE as usize],
    /// The rows with any line, and with any text or leader.
    marked: [u64; 2],
}

type Row = [u64; PLANES];

/// Which rows of a tile are looked at.
#[derive(Clone, Copy)]
enum Marked {
    Lines,
    Taken,
}

impl Tile {
    fn set(&mut self, plane: usize, row: usize, bits: u64) {
        if let Some(words) = self.rows.get_mut(row) {
            if let Some(word) = words.get_mut(plane) {
                *word |= bits;
            }
            if plane < TAKEN {
                words[LINES] |= bits;
            }
        }
        let [lines, taken] = &mut self.marked;
        let marked = if plane < TAKEN { lines } else { taken };
        *marked |= 1 << row;
    }
}
type Cell = (i32, i32);

/// The cells of a sheet.
pub(super) struct Raster {
    /// Cells to a millimetre.
    per: f64,
    tiles: HashMap<Cell, Box<Tile>, foldhash::fast::FixedState>,
    /// The lowest and the highest tile there is: a name may be far longer than the drawing is wide.
    filled: Option<(Cell, Cell)>,
}

impl Default for Raster {
    fn default() -> Self {
        Self::with_cells(CELL.1)
    }
}

impl Raster {
    /// With cells of so many millimetres.
    fn with_cells(side: f64) -> Self {
        Self {
            per: 1.0 / side,
            tiles: HashMap::default(),
            filled: None,
        }
    }

    /// For a sheet of a size.
    pub(super) fn of_size(size: Size) -> Self {
        let longest = size.width.max(size.height);
        let side = (longest / CELLS).clamp(CELL.0, CELL.1);
        Self::with_cells(side.max(longest / MOST_CELLS))
    }

    /// Side of a cell in millimetres.
    pub(super) fn cell(&self) -> f64 {
        1.0 / self.per
    }

    /// Draws a straight line of a weight.
    pub(super) fn draw(&mut self, from: Point, to: Point, weight: Weight) {
        self.line(weight as usize, from, to);
    }

    /// A leader from here to there; as broad as two cells, so that none crosses it between two of them.
    pub(super) fn lead(&mut self, from: Point, to: Point) {
        self.line(LED, from, to);
        let beside = Vec2::new(1.0 / self.per, 0.0);
        self.line(LED, from + beside, to + beside);
    }

    /// A text takes its box and the air round it.
    pub(super) fn take(&mut self, letters: &TextFrame, air: f64) {
        self.fill(TAKEN, &letters.grown(air));
        self.fill(LETTERS, letters);
    }

    fn fill(&mut self, plane: usize, frame: &TextFrame) {
        let rows = Rows::of(frame, self.per);
        let (left, right) = rows.columns();
        for down in rows.first.div_euclid(SIDE)..=rows.last.div_euclid(SIDE) {
            let top = down * SIDE;
            let (from, to) = (rows.first.max(top), rows.last.min(top + SIDE - 1));
            for column in left.div_euclid(SIDE)..=right.div_euclid(SIDE) {
                let tile = self.tile((column, down));
                for row in from..=to {
                    let span = rows.span(row);
                    let bits = span.map_or(0, |(first, last)| bits(first, last, column));
                    if bits != 0 {
                        tile.set(plane, (row - top) as usize, bits);
                    }
                }
            }
        }
    }

    /// Whether neither a text nor a leader has any of a box.
    pub(super) fn is_free(&self, frame: &TextFrame) -> bool {
        self.sweep(frame, Marked::Taken, |row, bits| {
            (row[TAKEN] | row[LED]) & bits == 0
        })
    }

    /// What the lines under a box cost, where that is less than `most`.
    pub(super) fn cost_below(&self, frame: &TextFrame, most: f64) -> Option<f64> {
        let side = 1.0 / self.per;
        let (mut cost, limit) = (0u32, most / side * 100.0);
        let within = self.sweep(frame, Marked::Lines, |row, bits| {
            if row[LINES] & bits == 0 {
                return true;
            }
            for (word, costs) in row.iter().zip(COSTS) {
                let under = word & bits;
                if under != 0 {
                    cost = cost.saturating_add(costs * under.count_ones());
                }
            }
            f64::from(cost) < limit
        });
        (within && f64::from(cost) < limit).then(|| f64::from(cost) * side / 100.0)
    }

    /// For how many millimetres a leader from here to there runs along lines, and how many leaders it crosses. None where it
    /// runs through a text.
    pub(super) fn under_leader(&self, from: Point, to: Point) -> Option<(f64, u32)> {
        let most = (CROSSED * self.per) as u32;
        let (mut along, mut run, mut crossed, mut on_leader, mut taken) = (0, 0, 0, false, 0);
        let mut known: Option<(Cell, Option<&Tile>)> = None;
        for cell in self.way(from, to) {
            let (at, column, row) = place(cell);
            let tile = match known {
                Some((same, tile)) if same == at => tile,
                _ => self.tiles.get(&at).map(Box::as_ref),
            };
            known = Some((at, tile));
            let Some(tile) = tile else {
                (on_leader, run) = (false, 0);
                continue;
            };
            let has = |plane: usize| word(tile, plane, row) >> column & 1 == 1;
            taken += u32::from(has(LETTERS));
            if taken >= THROUGH {
                return None;
            }
            let here = 1u64 << column;
            let beside = here | here << 1 | here >> 1;
            let near = (0..COSTS.len()).any(|plane| {
                let above = row.saturating_sub(1);
                (above..=row + 1).any(|row| word(tile, plane, row) & beside != 0)
            });
            run = if near { run + 1 } else { 0 };
            along += u32::from(run > most);
            crossed += u32::from(has(LED) && !on_leader);
            on_leader = has(LED);
        }
        Some((f64::from(along) / self.per, crossed))
    }

    /// Looks at the rows of a box where there is anything of that kind, until one is refused; whether none was.
    fn sweep(
        &self,
        frame: &TextFrame,
        which: Marked,
        mut accepts: impl FnMut(&Row, u64) -> bool,
    ) -> bool {
        let Some((low, high)) = self.filled else {
            return true;
        };
        let rows = Rows::of(frame, self.per);
        let (left, right) = rows.columns();
        for down in rows.first.div_euclid(SIDE).max(low.1)..=rows.last.div_euclid(SIDE).min(high.1)
        {
            let top = down * SIDE;
            let (from, to) = (rows.first.max(top), rows.last.min(top + SIDE - 1));
            for column in left.div_euclid(SIDE).max(low.0)..=right.div_euclid(SIDE).min(high.0) {
                let Some(tile) = self.tiles.get(&(column, down)) else {
                    continue;
                };
                let whole = bits(left, right, column);
                let marked = tile.marked.get(which as usize).copied().unwrap_or(0);
                let mut left = marked & bits(from, to, down);
                while left != 0 {
                    let row = top + left.trailing_zeros() as i32;
                    left &= left - 1;
                    // Only a slanted box reaches differently far on each row.
                    let bits = match rows.sides {
                        None => whole,
                        Some(_) => rows
                            .span(row)
                            .map_or(0, |(first, last)| bits(first, last, column)),
                    };
                    let words = tile.rows.get((row - top) as usize);
                    if !words.is_none_or(|words| accepts(words, bits)) {
                        return false;
                    }
                }
            }
        }
        true
    }

    fn line(&mut self, plane: usize, from: Point, to: Point) {
        let mut way = self.way(from, to).peekable();
        while let Some(cell) = way.next() {
            let (at, column, row) = place(cell);
            let tile = self.tile(at);
            tile.set(plane, row, 1 << column);
            // The cells that follow are mostly of the same tile.
            while let Some((_, column, row)) = way
                .peek()
                .map(|cell| place(*cell))
                .filter(|(next, ..)| *next == at)
            {
                tile.set(plane, row, 1 << column);
                way.next();
            }
        }
    }

    fn tile(&mut self, at: Cell) -> &mut Tile {
        let (low, high) = self.filled.unwrap_or((at, at));
        self.filled = Some((
            (low.0.min(at.0), low.1.min(at.1)),
            (high.0.max(at.0), high.1.max(at.1)),
        ));
        self.tiles.entry(at).or_insert_with(|| {
            Box::new(Tile {
                rows: [[0; PLANES]; SIDE as usize],
                marked: [0; 2],
            })
        })
    }

    /// The cells that a straight line runs through, one for each cell's length of it.
    fn way(&self, from: Point, to: Point) -> impl Iterator<Item = Cell> + use<> {
        let (from, to) = (cells(from, self.per), cells(to, self.per));
        let steps = (to - from).hypot().ceil().clamp(1.0, 2.0 * MOST_CELLS);
        let step = (to - from) / steps;
        (0..=steps as u32).map(move |n| {
            let at = from + step * f64::from(n);
            (nearest(at.x), nearest(at.y))
        })
    }
}

/// A point in cells; their middles are whole numbers.
fn cells(p: Point, per: f64) -> Point {
    let at = |v: f64| (v * per).clamp(-FARTHEST, FARTHEST);
    Point::new(at(p.x) + MIDDLE.x, at(p.y) + MIDDLE.y)
}

fn nearest(v: f64) -> i32 {
    // Rounded toward nought where all are above it: quicker than asking for the floor.
    (v + 0.5 + FARTHEST) as i32 - FARTHEST as i32
}

/// The tile of a cell, and its column and row there.
fn place((x, y): Cell) -> (Cell, i32, usize) {
    let tile = (x.div_euclid(SIDE), y.div_euclid(SIDE));
    (tile, x.rem_euclid(SIDE), y.rem_euclid(SIDE) as usize)
}

fn word(tile: &Tile, plane: usize, row: usize) -> u64 {
    let words = tile.rows.get(row);
    words
        .and_then(|words| words.get(plane))
        .copied()
        .unwrap_or_default()
}

/// The bits of a column of tiles from one cell to another.
fn bits(first: i32, last: i32, column: i32) -> u64 {
    let left = column * SIDE;
    let (from, to) = ((first - left).max(0), (last - left).min(SIDE - 1));
    if from > to {
        return 0;
    }
    (u64::MAX >> (SIDE - 1 - (to - from))) << from
}

/// The rows of cells whose middles a box holds, and from where to where.
pub(super) struct Rows {
    pub(super) first: i32,
    pub(super) last: i32,
    centre: Point,
    /// Half of what the box reaches across.
    half: f64,
    /// Of a slanted box, for each pair of its sides: how far they run across for a row down, and half of what lies between
    /// them on a row.
    sides: Option<[(f64, f64); 2]>,
}

impl Rows {
    /// With so many cells to a millimetre.
    pub(super) fn of(frame: &TextFrame, per: f64) -> Self {
        let centre = cells(frame.centre, per);
        let half = (frame.reach(Vec2::new(1.0, 0.0)) * per).min(FARTHEST);
        let down = (frame.reach(Vec2::new(0.0, 1.0)) * per).min(FARTHEST);
        let Vec2 { x, y } = frame.along;
        let slanted = x.abs() > 1e-9 && y.abs() > 1e-9;
        let sides = slanted.then(|| {
            [
                (-y / x, frame.half_width * per / x.abs()),
                (x / y, frame.half_height * per / y.abs()),
            ]
        });
        let (first, last) = middles(centre.y - down, centre.y + down);
        Self {
            first,
            last,
            centre,
            half,
            sides,
        }
    }

    /// Whether the box reaches as far on every row.
    pub(super) fn is_level(&self) -> bool {
        self.sides.is_none()
    }

    /// From where to where a row lies in the box, in cells from its middle.
    pub(super) fn beside(&self, row: i32) -> Option<(f64, f64)> {
        let down = f64::from(row) - self.centre.y;
        let (mut low, mut high) = (-self.half, self.half);
        for (run, half) in self.sides.iter().flatten() {
            low = low.max(run * down - half);
            high = high.min(run * down + half);
        }
        (low <= high).then_some((low, high))
    }

    /// The first and the last column of a row.
    fn span(&self, row: i32) -> Option<(i32, i32)> {
        let (low, high) = self.beside(row)?;
        let (first, last) = middles(self.centre.x + low, self.centre.x + high);
        (first <= last).then_some((first, last))
    }

    /// The first and the last column of any row.
    fn columns(&self) -> (i32, i32) {
        middles(self.centre.x - self.half, self.centre.x + self.half)
    }
}

/// The first and the last cell whose middle lies between two places.
fn middles(low: f64, high: f64) -> (i32, i32) {
    (nearest(low + 0.5), nearest(high - 0.5))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn frame(x: f64, y: f64, turn: f64, (half_width, half_height): (f64, f64)) -> TextFrame {
        TextFrame {
            centre: Point::new(x, y),
            along: Vec2::from_angle(turn),
            half_width,
            half_height,
        }
    }

    proptest! {
        /// Against the lengths that the box itself works out: a line costs as much as it runs in the box, to a cell at either
        /// end and the slant of cells.
        #[test]
        fn a_line_costs_what_it_runs_under_a_box(
            x in -90.0..90.0, y in -90.0..90.0, turn in 0.0..std::f64::consts::TAU,
            w in 4.0..60.0, h in 2.0..6.0, away in -40.0..40.0, way in 0.0..std::f64::consts::TAU,
        ) {
            let frame = frame(x, y, turn, (w, h));
            let middle = Point::new(x + away, y);
            let along = Vec2::from_angle(way);
            let (a, b) = (middle - along * 70.0, middle + along * 70.0);
            let mut raster = Raster::default();
            raster.draw(a, b, Weight::Firm);
            let cost = raster.cost_below(&frame, f64::INFINITY).unwrap() / 2.5;
            let (least, most) = (frame.grown(-1.0).covers(a, b), frame.grown(1.0).covers(a, b));
            prop_assert!(cost >= 0.7 * least - 2.0 && cost <= 1.5 * most + 2.0, "{least} {cost} {most}");
        }

        /// Boxes that share anything share a cell once both are grown by what a cell rounds off.
        #[test]
        fn no_box_that_touches_a_taken_one_is_free(
            x in -70.0..70.0, y in -30.0..30.0, turn in 0.0..std::f64::consts::TAU, other in 0.0..std::f64::consts::TAU,
            w in 2.0..60.0, h in 1.0..6.0,
        ) {
            let (taken, asked) = (frame(0.0, 0.0, other, (30.0, 2.0)), frame(x, y, turn, (w, h)));
            let mut raster = Raster::default();
            raster.take(&taken, 0.72);
            let free = raster.is_free(&asked.grown(0.72));
            prop_assert!(!(free && taken.overlaps(&asked)));
            // Nor is one refused that lies two millimetres off.
            prop_assert!(free || taken.grown(1.6).overlaps(&asked.grown(1.6)));
        }
    }
}
