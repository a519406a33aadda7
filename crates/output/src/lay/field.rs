//! Cloth and pieces as cells of a grid. A piece covers every cell that its outline touches or encloses, so pieces that share no
//! cell cannot overlap; each is put as near to the end of the cloth as it goes, and then as far left.

use kurbo::{BezPath, PathEl, Point, Size};

/// Side of a cell in millimetres: also the most that is lost between two pieces.
pub(super) const CELL: f64 = 5.0;
/// How far a chord may stand off its curve.
const CHORD: f64 = 0.05;
/// Rows in a word.
const WORD: usize = 64;

/// A row of cells across the length of the cloth, as bits.
type Column = Vec<u64>;

/// A piece as cells, its box at the grid's corner.
#[derive(Clone, Debug)]
pub(super) struct Cells {
    columns: Vec<Column>,
    /// Of its box, in millimetres.
    pub(super) size: Size,
}

impl Cells {
    /// The cells of a closed outline whose box begins at the origin.
    pub(super) fn of(outline: &BezPath, size: Size) -> Self {
        let count = |length: f64| (length / CELL).ceil().clamp(1.0, 1e5) as usize;
        let (wide, high) = (count(size.width), count(size.height));
        let mut cells = Self {
            columns: vec![vec![0; high.div_ceil(WORD)]; wide],
            size,
        };
        let points = points(outline);
        let next = points.iter().cycle().skip(1);
        for (a, b) in points.iter().zip(next) {
            cells.touch(*a, *b);
        }
        cells.fill(&points);
        cells
    }

    fn set(&mut self, column: usize, from: f64, to: f64) {
        let row = |y: f64| (y / CELL).floor().max(0.0) as usize;
        if let Some(words) = self.columns.get_mut(column) {
            for at in row(from)..=row(to) {
                if let Some(word) = words.get_mut(at / WORD) {
                    *word |= 1 << (at % WORD);
                }
            }
        }
    }

    /// Takes the cells that a chord passes.
    fn touch(&mut self, a: Point, b: Point) {
        let (low, high) = (a.x.min(b.x), a.x.max(b.x));
        let column = |x: f64| (x / CELL).floor().max(0.0) as usize;
        for index in column(low)..=column(high) {
            let (left, right) = (index as f64 * CELL, (index + 1) as f64 * CELL);
            let at = |x: f64| {
                if high - low < 1e-9 {
                    return None;
                }
                let share = ((x - a.x) / (b.x - a.x)).clamp(0.0, 1.0);
                Some(a.y + (b.y - a.y) * share)
            };
            let ends = match (at(left), at(right)) {
                (Some(from), Some(to)) => (from.min(to), from.max(to)),
                _ => (a.y.min(b.y), a.y.max(b.y)),
            };
            self.set(index, ends.0, ends.1);
        }
    }

    /// Takes the cells whose middle column the outline encloses.
    fn fill(&mut self, points: &[Point]) {
        for index in 0..self.columns.len() {
            let x = (index as f64 + 0.5) * CELL;
            let next = points.iter().cycle().skip(1);
            let crossed = points.iter().zip(next).filter_map(|(a, b)| {
                let passes = (a.x <= x) != (b.x <= x);
                passes.then(|| a.y + (b.y - a.y) * (x - a.x) / (b.x - a.x))
            });
            let mut crossed: Vec<f64> = crossed.collect();
            crossed.sort_by(f64::total_cmp);
            for pair in crossed.chunks_exact(2) {
                if let [from, to] = pair {
                    self.set(index, *from, *to);
                }
            }
        }
    }
}

fn points(outline: &BezPath) -> Vec<Point> {
    let mut points: Vec<Point> = Vec::new();
    kurbo::flatten(outline, CHORD, |element| match element {
        PathEl::MoveTo(p) | PathEl::LineTo(p) => points.push(p),
        PathEl::ClosePath | PathEl::QuadTo(..) | PathEl::CurveTo(..) => {}
    });
    points
}

/// A place on the cloth, in cells from its left edge and its end.
pub(super) type Place = (usize, usize);

/// The cloth, with what lies on it.
#[derive(Clone, Debug)]
pub(super) struct Field {
    columns: Vec<Column>,
}

impl Field {
    /// Bare cloth of so many millimetres' width.
    pub(super) fn of_width(width: f64) -> Self {
        let wide = (width / CELL).floor().clamp(0.0, 1e4) as usize;
        Self {
            columns: vec![Vec::new(); wide],
        }
    }

    /// Where a piece lies nearest to the end, then furthest left; at the left edge alone where it lies on the fold. None where
    /// it is wider than the cloth.
    pub(super) fn place(&self, cells: &Cells, on_fold: bool) -> Option<Place> {
        let spare = self.columns.len().checked_sub(cells.columns.len())?;
        let last = if on_fold { 0 } else { spare };
        let rows = WORD * self.columns.iter().map(Vec::len).max().unwrap_or(0);
        // The column that was in the way last is most likely in the way again: asked first, it saves asking the rest.
        let mut likely = 0;
        for y in 0..=rows {
            for x in 0..=last {
                match self.in_the_way(cells, (x, y), likely) {
                    Some(column) => likely = column,
                    None => return Some((x, y)),
                }
            }
        }
        None
    }

    /// The first column of a piece found to lie on another piece; none where it lies free.
    fn in_the_way(&self, cells: &Cells, (x, y): Place, likely: usize) -> Option<usize> {
        let hit = |column: usize| {
            let pair = cells.columns.get(column).zip(self.columns.get(x + column));
            pair.is_some_and(|(piece, cloth)| meet(piece, cloth, y))
        };
        if hit(likely) {
            return Some(likely);
        }
        (0..cells.columns.len()).find(|column| hit(*column))
    }

    /// Puts a piece down.
    pub(super) fn put(&mut self, cells: &Cells, (x, y): Place) {
        for (piece, cloth) in cells.columns.iter().zip(self.columns.iter_mut().skip(x)) {
            for (index, word) in shifted(piece, y) {
                if word != 0 {
                    if cloth.len() <= index {
                        cloth.resize(index + 1, 0);
                    }
                    if let Some(under) = cloth.get_mut(index) {
                        *under |= word;
                    }
                }
            }
        }
    }
}

/// A column moved up by so many rows, word by word.
fn shifted(column: &Column, rows: usize) -> impl Iterator<Item = (usize, u64)> + '_ {
    let (words, bits) = (rows / WORD, rows % WORD);
    column.iter().enumerate().flat_map(move |(index, word)| {
        let over = if bits == 0 { 0 } else { word >> (WORD - bits) };
        [(index + words, word << bits), (index + words + 1, over)]
    })
}

fn meet(piece: &Column, cloth: &Column, rows: usize) -> bool {
    let (words, bits) = (rows / WORD, rows % WORD);
    let Some(cloth) = cloth.get(words..) else {
        return false;
    };
    let mut over = 0;
    for (piece, cloth) in piece.iter().zip(cloth) {
        if ((piece << bits) | over) & cloth != 0 {
            return true;
        }
        over = if bits == 0 { 0 } else { piece >> (WORD - bits) };
    }
    cloth
        .get(piece.len())
        .is_some_and(|cloth| over & cloth != 0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::{Rect, Shape};

    fn square(side: f64) -> Cells {
        let outline = Rect::new(0.0, 0.0, side, side).to_path(0.1);
        Cells::of(&outline, Size::new(side, side))
    }

    #[test]
    fn squares_fill_a_row_and_then_the_next() {
        let mut field = Field::of_width(100.0);
        let cells = square(49.0);
        let mut places = Vec::new();
        for _ in 0..5 {
            let place = field.place(&cells, false).unwrap();
            field.put(&cells, place);
            places.push(place);
        }
        assert_eq!(places, [(0, 0), (10, 0), (0, 10), (10, 10), (0, 20)]);
        assert_eq!(Field::of_width(40.0).place(&cells, false), None);
    }

    #[test]
    fn a_small_piece_lies_in_the_hollow_of_a_large_one() {
        let outline = BezPath::from_svg("M0 0 L100 0 L100 30 L30 30 L30 100 L0 100 Z").unwrap();
        let hook = Cells::of(&outline, Size::new(100.0, 100.0));
        let mut field = Field::of_width(100.0);
        field.put(&hook, (0, 0));
        assert_eq!(field.place(&square(60.0), false), Some((7, 7)));
    }
}
