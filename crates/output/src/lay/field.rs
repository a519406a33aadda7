//! Cloth and pieces as cells of a grid. A piece covers every cell that its outline touches or encloses, so pieces that share no
//! cell cannot overlap; each is put as near to the end of the cloth as it goes, and then as far left.

use kurbo::{BezPath, PathEl, Point, Size};

/// Side of a cell in millimetres: also the most that is lost between two pieces. Where stripes are matched, cells are as much
/// smaller as makes whole numbers of them to a repeat.
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
    /// The same with room round it that no other piece may enter, and how far that begins to the left and above, in cells.
    wide: (Vec<Column>, usize),
    step: Size,
    /// It may lie in the first of so many columns, and rows, and in every so manieth from there on.
    pub(super) every: (Every, Every),
}

/// Every so manieth place from the first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Every {
    pub(super) first: usize,
    pub(super) step: usize,
}

impl Every {
    /// Every place there is.
    pub(super) const ALL: Self = Self { first: 0, step: 1 };
}

impl Cells {
    /// The cells, of so many millimetres, of a closed outline that lies right of and below the origin in a box of a size.
    pub(super) fn of(outline: &BezPath, size: Size, step: Size, gap: f64) -> Self {
        let count = |length: f64, step: f64| (length / step).ceil().clamp(1.0, 1e5) as usize;
        let (wide, high) = (
            count(size.width, step.width),
            count(size.height, step.height),
        );
        let mut cells = Self {
            columns: vec![vec![0; high.div_ceil(WORD)]; wide],
            wide: (Vec::new(), 0),
            step,
            every: (Every::ALL, Every::ALL),
        };
        let points = points(outline);
        let next = points.iter().cycle().skip(1);
        for (a, b) in points.iter().zip(next) {
            cells.touch(*a, *b);
        }
        cells.fill(&points);
        cells.wide = cells.widened(gap);
        cells
    }

    /// Its cells and all that lie within a gap of them.
    fn widened(&self, gap: f64) -> (Vec<Column>, usize) {
        let round = (gap / self.step.width.min(self.step.height))
            .ceil()
            .max(0.0) as usize;
        if round == 0 {
            return (self.columns.clone(), 0);
        }
        let high = self.columns.first().map_or(0, Vec::len) + (2 * round).div_ceil(WORD);
        let mut wide = vec![vec![0; high]; self.columns.len() + 2 * round];
        for (index, column) in self.columns.iter().enumerate() {
            let mut tall = vec![0; high];
            for rows in 0..=2 * round {
                lay_over(&mut tall, column, rows);
            }
            for under in wide.iter_mut().skip(index).take(2 * round + 1) {
                lay_over(under, &tall, 0);
            }
        }
        (wide, round)
    }

    fn set(&mut self, column: usize, from: f64, to: f64) {
        let row = |y: f64| (y / self.step.height).floor().max(0.0) as usize;
        let rows = row(from)..=row(to);
        if let Some(words) = self.columns.get_mut(column) {
            for at in rows {
                if let Some(word) = words.get_mut(at / WORD) {
                    *word |= 1 << (at % WORD);
                }
            }
        }
    }

    /// Takes the cells that a chord passes.
    fn touch(&mut self, a: Point, b: Point) {
        let (low, high) = (a.x.min(b.x), a.x.max(b.x));
        let cell = self.step.width;
        let column = |x: f64| (x / cell).floor().max(0.0) as usize;
        for index in column(low)..=column(high) {
            let (left, right) = (index as f64 * cell, (index + 1) as f64 * cell);
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
            let x = (index as f64 + 0.5) * self.step.width;
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

/// The cloth, with what lies on it and the room round that.
#[derive(Clone, Debug)]
pub(super) struct Field {
    columns: Vec<Column>,
}

/// How many columns of cells a width has.
pub(super) fn columns(width: f64, step: f64) -> usize {
    (width / step).floor().clamp(0.0, 1e5) as usize
}

impl Field {
    /// Bare cloth of so many columns.
    pub(super) fn of(columns: usize) -> Self {
        Self {
            columns: vec![Vec::new(); columns],
        }
    }

    /// Where a piece lies nearest to the end, then furthest left; at the left edge alone where it lies on the fold. None where
    /// it is wider than the cloth.
    pub(super) fn place(&self, cells: &Cells, on_fold: bool) -> Option<Place> {
        let spare = self.columns.len().checked_sub(cells.columns.len())?;
        let last = if on_fold { 0 } else { spare };
        let (across, down) = cells.every;
        let rows = WORD * self.columns.iter().map(Vec::len).max().unwrap_or(0);
        // The column that was in the way last is most likely in the way again: asked first, it saves asking the rest.
        let mut likely = 0;
        for y in (down.first..=rows + down.step).step_by(down.step) {
            for x in (across.first..=last).step_by(across.step) {
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

    /// Puts a piece down, with the room round it.
    pub(super) fn put(&mut self, cells: &Cells, (x, y): Place) {
        let (wide, round) = &cells.wide;
        // What would lie beyond the left edge, or beyond the end of the cloth, is no room that anybody wants.
        let (skipped, from) = (round.saturating_sub(x), x.saturating_sub(*round));
        let (cut, rows) = (round.saturating_sub(y), y.saturating_sub(*round));
        let columns = self.columns.iter_mut().skip(from);
        for (piece, cloth) in wide.iter().skip(skipped).zip(columns) {
            let piece = shifted_back(piece, cut);
            let needed = piece.len() + rows.div_ceil(WORD) + 1;
            if cloth.len() < needed {
                cloth.resize(needed, 0);
            }
            lay_over(cloth, &piece, rows);
            while cloth.last() == Some(&0) {
                cloth.pop();
            }
        }
    }
}

/// Lays a column over another, so many rows farther up; what reaches beyond it is lost.
fn lay_over(under: &mut Column, column: &Column, rows: usize) {
    for (index, word) in shifted(column, rows) {
        if let Some(under) = under.get_mut(index) {
            *under |= word;
        }
    }
}

/// A column without its first rows.
fn shifted_back(column: &Column, rows: usize) -> Column {
    let (words, bits) = (rows / WORD, rows % WORD);
    let kept = column.get(words..).unwrap_or_default();
    let next = kept.iter().skip(1).chain([&0]);
    let over = |word: u64| if bits == 0 { 0 } else { word << (WORD - bits) };
    kept.iter()
        .zip(next)
        .map(|(word, next)| (word >> bits) | over(*next))
        .collect()
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

    const STEP: Size = Size::new(CELL, CELL);

    fn square(side: f64, gap: f64) -> Cells {
        let outline = Rect::new(0.0, 0.0, side, side).to_path(0.1);
        Cells::of(&outline, Size::new(side, side), STEP, gap)
    }

    #[test]
    fn squares_fill_a_row_and_then_the_next() {
        let mut field = Field::of(20);
        let cells = square(49.0, 0.0);
        let mut places = Vec::new();
        for _ in 0..5 {
            let place = field.place(&cells, false).unwrap();
            field.put(&cells, place);
            places.push(place);
        }
        assert_eq!(places, [(0, 0), (10, 0), (0, 10), (10, 10), (0, 20)]);
        assert_eq!(Field::of(8).place(&cells, false), None);
    }

    /// A gap stands between two pieces and not beside the cloth's edges; a piece that may lie at every fourth cell does.
    #[test]
    fn a_gap_stands_between_pieces_and_a_repeat_is_kept() {
        let mut field = Field::of(23);
        let cells = square(49.0, 12.0);
        let mut places = Vec::new();
        for _ in 0..4 {
            let place = field.place(&cells, false).unwrap();
            field.put(&cells, place);
            places.push(place);
        }
        assert_eq!(places, [(0, 0), (13, 0), (0, 13), (13, 13)]);
        let mut cells = square(49.0, 0.0);
        cells.every.1 = Every { first: 3, step: 7 };
        let place = field.place(&cells, false).unwrap();
        assert!(place.1 >= 23 && place.1 % 7 == 3, "{place:?}");
    }

    #[test]
    fn a_small_piece_lies_in_the_hollow_of_a_large_one() {
        let outline = BezPath::from_svg("M0 0 L100 0 L100 30 L30 30 L30 100 L0 100 Z").unwrap();
        let hook = Cells::of(&outline, Size::new(100.0, 100.0), STEP, 0.0);
        let mut field = Field::of(20);
        field.put(&hook, (0, 0));
        assert_eq!(field.place(&square(60.0, 0.0), false), Some((7, 7)));
    }
}
