//! Cuts a drawing into tiles: which there are, which of them have anything on them, and the marks by which they are joined.
//! Neighbours share a strip; the line to trim along, and to lay the next tile to, runs in its middle. Each mark stands
//! astride that line, so half of it is left on either tile after trimming, with the same number beside both halves.

use super::canvas::{chords, cut};
use super::frame::TextFrame;
use super::labels::{Keep, Labels, size_of};
use super::manner::Scale;
use super::style::{Hand, Pen};
use super::{Anchor, Drawing, Item, Layer, Shape, Text};
use crate::sheet::OVERLAP;
use kurbo::{BezPath, Line, Point, Rect, Shape as _, Size, Vec2};
use std::collections::BTreeSet;

/// Half the height of a joining mark: less than half the overlap, so that both tiles show all of it.
const MARK: f64 = 4.0;
/// What lies nearer to a joint than this is on the neighbour's strip as well, and asks for no tile of its own.
const GRAZE: f64 = 0.2;

/// Room round the name of a tile.
const CLEAR: f64 = 4.0;

/// A column and a row, from the top left.
pub(crate) type Place = (u32, u32);

/// One sheet of paper out of the whole.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Tile {
    /// Its column and row, both from 0.
    pub place: Place,
    /// What it contributes to the whole: from trimming line to trimming line.
    pub cell: Rect,
    /// What is drawn on it: the cell, and the strips it shares with its neighbours.
    pub window: Rect,
}

impl Tile {
    /// Its name: a letter for the column, a figure for the row.
    pub(crate) fn name(&self) -> String {
        let (column, row) = self.place;
        let mut letters = String::new();
        let mut left = column + 1;
        while left > 0 {
            let digit = u8::try_from((left - 1) % 26).unwrap_or(0);
            letters.insert(0, char::from(b'A' + digit));
            left = (left - 1) / 26;
        }
        format!("{letters}{}", row + 1)
    }
}

/// A drawing cut into tiles.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Tiling {
    /// Those with something on them, row by row.
    pub tiles: Vec<Tile>,
    /// Columns and rows, the empty ones too.
    pub grid: Place,
}

/// How a side of the drawing is divided.
#[derive(Clone, Copy)]
struct Axis {
    count: u32,
    pitch: f64,
    shared: f64,
}

impl Axis {
    fn of(length: f64, window: f64) -> Self {
        if length <= window {
            return Self {
                count: 1,
                pitch: window,
                shared: 0.0,
            };
        }
        let pitch = window - OVERLAP;
        let count = (length / pitch).ceil().clamp(1.0, 10_000.0) as u32;
        Self {
            count,
            pitch,
            shared: OVERLAP / 2.0,
        }
    }

    fn cell(&self, index: u32) -> (f64, f64) {
        let from = f64::from(index) * self.pitch;
        (from, from + self.pitch)
    }

    fn touched(&self, from: f64, to: f64) -> std::ops::RangeInclusive<u32> {
        let last = self.count.saturating_sub(1);
        let index = |at: f64| ((at / self.pitch).floor().max(0.0) as u32).min(last);
        index(from)..=index(to)
    }
}

/// From one tile to the next: what a tile of this size adds to the whole.
pub(crate) fn pitch(window: Size) -> Size {
    Size::new(window.width - OVERLAP, window.height - OVERLAP)
}

/// The most tiles that a drawing is cut into, empty ones too: nobody joins as many.
pub(crate) const MOST_TILES: u32 = 4000;

/// Cuts a drawing into tiles that show so much of it.
///
/// # Errors
/// Where there would be more than [`MOST_TILES`]: how many.
pub(crate) fn cut_up(drawing: &Drawing, window: Size) -> Result<Tiling, u32> {
    let (columns, rows) = (
        Axis::of(drawing.width, window.width),
        Axis::of(drawing.height, window.height),
    );
    let all = columns.count.saturating_mul(rows.count);
    if all > MOST_TILES {
        return Err(all);
    }
    let mut taken: BTreeSet<(u32, u32)> = BTreeSet::new();
    for layer in Layer::ALL.into_iter().filter(|layer| shows(*layer)) {
        for item in drawing.layer(layer) {
            take(item, columns, rows, &mut taken);
        }
    }
    spare(drawing, &mut taken, columns, rows);
    // Rows and columns are counted from the first that is printed.
    let first_row = taken.iter().map(|(row, _)| *row).min().unwrap_or(0);
    let first_column = taken.iter().map(|(_, column)| *column).min().unwrap_or(0);
    let tiles = taken.into_iter().map(|(row, column)| {
        let ((x0, x1), (y0, y1)) = (columns.cell(column), rows.cell(row));
        let cell = Rect::new(x0, y0, x1, y1);
        Tile {
            place: (column - first_column, row - first_row),
            cell,
            window: cell.inflate(columns.shared, rows.shared),
        }
    });
    Ok(Tiling {
        tiles: tiles.collect(),
        grid: (columns.count - first_column, rows.count - first_row),
    })
}

/// Whether a layer asks for paper: the sheet's own colour does not, nor does what is hidden until it is asked for.
fn shows(layer: Layer) -> bool {
    !matches!(
        layer,
        Layer::Paper | Layer::Construction | Layer::Names | Layer::Joins
    )
}

/// Gives back the tiles on which nothing lies but what their neighbours show as well, in the strips that they share.
fn spare(drawing: &Drawing, taken: &mut BTreeSet<(u32, u32)>, columns: Axis, rows: Axis) {
    for (row, column) in taken.clone() {
        let beside = |down: u32, across: u32| taken.contains(&(down, across));
        let ((x0, x1), (y0, y1)) = (columns.cell(column), rows.cell(row));
        let strip = |is_there: bool, shared: f64| if is_there { shared } else { GRAZE };
        let core = Rect::new(
            x0 + strip(column > 0 && beside(row, column - 1), columns.shared),
            y0 + strip(row > 0 && beside(row - 1, column), rows.shared),
            x1 - strip(beside(row, column + 1), columns.shared),
            y1 - strip(beside(row + 1, column), rows.shared),
        );
        // What proves the size of joined tiles asks for none.
        let asks = |layer: &Layer| shows(*layer) && *layer != Layer::TestSquare;
        let layers = Layer::ALL.into_iter().filter(asks);
        let mut items = layers.flat_map(|layer| drawing.layer(layer));
        if !items.any(|item| lies_on(item, core)) {
            taken.remove(&(row, column));
        }
    }
}

/// Whether something of an item lies on a part of the sheet.
fn lies_on(item: &Item, part: Rect) -> bool {
    let crossed = |path: &BezPath| {
        path.bounding_box().inflate(GRAZE, GRAZE).overlaps(part)
            && chords(path).iter().any(|row| {
                let mut pairs = row.iter().zip(row.iter().skip(1));
                pairs.any(|(a, b)| cut(*a, *b, part).is_some())
            })
    };
    match &item.shape {
        Shape::Stroke(path, _) => crossed(path),
        Shape::Fill(path, _) => crossed(path) || path.contains(part.center()),
        Shape::Text(text) => TextFrame::upright(part).overlaps(&text.frame()),
    }
}

/// Takes the tiles that something lies on, as row and column.
fn take(item: &Item, columns: Axis, rows: Axis, taken: &mut BTreeSet<(u32, u32)>) {
    let cells = |bounds: Rect| {
        let across = columns.touched(bounds.x0, bounds.x1);
        rows.touched(bounds.y0, bounds.y1).flat_map(move |row| {
            across.clone().map(move |column| {
                let ((x0, x1), (y0, y1)) = (columns.cell(column), rows.cell(row));
                ((row, column), Rect::new(x0, y0, x1, y1).inset(-GRAZE))
            })
        })
    };
    let mut lines = |path: &BezPath| {
        for row in chords(path) {
            for (a, b) in row.iter().zip(row.iter().skip(1)) {
                let hit = cells(Rect::from_points(*a, *b))
                    .filter(|(_, cell)| cut(*a, *b, *cell).is_some());
                taken.extend(hit.map(|(place, _)| place));
            }
        }
    };
    match &item.shape {
        Shape::Stroke(path, _) => lines(path),
        Shape::Fill(path, _) => {
            lines(path);
            let inside =
                cells(path.bounding_box()).filter(|(_, cell)| path.contains(cell.center()));
            taken.extend(inside.map(|(place, _)| place));
        }
        Shape::Text(text) => {
            let frame = text.frame();
            let under = cells(frame.bounds())
                .filter(|(_, cell)| TextFrame::upright(*cell).overlaps(&frame));
            taken.extend(under.map(|(place, _)| place));
        }
    }
}

/// Draws what joins the tiles: the lines to trim along, the marks astride them, and each tile's name.
pub(crate) fn joins(drawing: &Drawing, tiling: &Tiling, scale: Scale) -> Drawing {
    let mut joins = Drawing::new(&drawing.title);
    (joins.width, joins.height) = (drawing.width, drawing.height);
    let mut labels = Labels::over(drawing);
    let there = |place: Place| tiling.tiles.iter().any(|tile| tile.place == place);
    let mut number = 0;
    for tile in &tiling.tiles {
        let (column, row) = tile.place;
        let cell = tile.cell;
        let right = Line::new((cell.x1, cell.y0), (cell.x1, cell.y1));
        let below = Line::new((cell.x0, cell.y1), (cell.x1, cell.y1));
        for (next, side) in [((column + 1, row), right), ((column, row + 1), below)] {
            if there(next) {
                joint(&mut joins, &mut labels, side, &mut number);
            }
        }
    }
    for tile in &tiling.tiles {
        name(&mut joins, &mut labels, tile, scale);
    }
    joins
}

/// A joint: its line, and two marks where least is in their way.
fn joint(joins: &mut Drawing, labels: &mut Labels, side: Line, number: &mut u32) {
    let along = (side.p1 - side.p0).normalize();
    let across = Vec2::new(along.y, along.x);
    joins.add(
        Layer::Joins,
        None,
        None,
        Shape::Stroke(side.to_path(0.1), Pen::Join),
    );
    for middle in [0.25, 0.75] {
        *number += 1;
        let number = number.to_string();
        let shares = [0.0, 0.05, -0.05, 0.1, -0.1, 0.15, -0.15, 0.2, -0.2];
        let tries = shares.map(|share| {
            let at = side.p0.lerp(side.p1, middle + share);
            let frames = mark_frames(labels, at, across, &number);
            let cost = frames
                .iter()
                .map(|frame| in_the_way(labels, frame))
                .sum::<f64>();
            (cost + 40.0 * f64::abs(share), frames)
        });
        let best = tries.into_iter().min_by(|a, b| a.0.total_cmp(&b.0));
        if let Some((_, frames)) = best {
            mark(joins, labels, along, &number, frames);
        }
    }
}

/// What a box costs that should lie on nothing.
fn in_the_way(labels: &Labels, frame: &TextFrame) -> f64 {
    labels.line_cost(frame) + if labels.is_free(frame) { 0.0 } else { 60.0 }
}

/// Boxes of a mark and of its number on either side, where least is in the way of each.
fn mark_frames(labels: &Labels, at: Point, across: Vec2, number: &str) -> [TextFrame; 3] {
    let (width, height) = size_of(number, Hand::Foot);
    let half = if across.x.abs() > 0.5 { width } else { height } / 2.0;
    let beside = |way: f64| {
        let frames = [2.4, 6.0, 10.0].map(|off| TextFrame {
            centre: at + across * (way * (MARK + off + half)),
            along: Vec2::new(1.0, 0.0),
            half_width: width / 2.0,
            half_height: height / 2.0,
        });
        let [near, ..] = frames;
        let cost =
            |frame: &TextFrame| in_the_way(labels, frame) + 0.5 * (frame.centre - at).hypot();
        frames
            .into_iter()
            .min_by(|a, b| cost(a).total_cmp(&cost(b)))
            .unwrap_or(near)
    };
    let own = TextFrame::upright(Rect::from_center_size(
        at,
        Size::new(2.0 * MARK, 2.0 * MARK),
    ));
    [own, beside(-1.0), beside(1.0)]
}

fn mark(
    joins: &mut Drawing,
    labels: &mut Labels,
    along: Vec2,
    number: &str,
    frames: [TextFrame; 3],
) {
    let [own, before, after] = frames;
    let (at, across) = (own.centre, Vec2::new(along.y, along.x));
    let mut diamond = BezPath::new();
    diamond.move_to(at - across * MARK);
    diamond.line_to(at + along * (MARK / 2.0));
    diamond.line_to(at + across * MARK);
    diamond.line_to(at - along * (MARK / 2.0));
    diamond.close_path();
    joins.add(
        Layer::Joins,
        None,
        Some(number),
        Shape::Stroke(diamond, Pen::Frame),
    );
    labels.take(own);
    for frame in [before, after] {
        let text = Text::inside(number, frame, Anchor::Middle, Hand::Foot);
        joins.add(Layer::Joins, None, None, Shape::Text(text));
        labels.take(frame);
    }
}

/// The tile's name where least is in its way, so that it is read after trimming as well.
fn name(joins: &mut Drawing, labels: &mut Labels, tile: &Tile, scale: Scale) {
    let letters = match scale {
        Scale::Full => tile.name(),
        Scale::Half | Scale::Quarter => format!("{} · {}", tile.name(), scale.ratio()),
    };
    let room = tile.cell.inset(-12.0);
    for hand in [Hand::TileName, Hand::Foot] {
        let (width, height) = size_of(&letters, hand);
        let mut boxes = Vec::new();
        for column in 0..=12 {
            for row in 0..=16 {
                let centre = Point::new(
                    room.x0 + width / 2.0 + (room.width() - width) * f64::from(column) / 12.0,
                    room.y0 + height / 2.0 + (room.height() - height) * f64::from(row) / 16.0,
                );
                let frame =
                    TextFrame::upright(Rect::from_center_size(centre, Size::new(width, height)));
                // The lines are asked of a larger box, so that the name stands clear of them.
                let own = 0.02 * (centre - room.center()).hypot();
                boxes.push((own, move || Some(frame.grown(CLEAR))));
            }
        }
        let keep = Keep {
            lines: if hand == Hand::Foot {
                f64::INFINITY
            } else {
                8.0
            },
            ..Keep::default()
        };
        if let Some(frame) = labels
            .cheapest(boxes, keep)
            .map(|frame| frame.grown(-CLEAR))
        {
            labels.take(frame);
            let text = Text::inside(&letters, frame, Anchor::Middle, hand);
            joins.add(Layer::Joins, None, Some("tile"), Shape::Text(text));
            return;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(x: f64, y: f64, side: f64) -> Drawing {
        let mut drawing = Drawing::new("");
        (drawing.width, drawing.height) = (1000.0, 1000.0);
        let path = Rect::new(x, y, x + side, y + side).to_path(0.1);
        drawing.add(
            Layer::Cut,
            None,
            None,
            Shape::Stroke(path.clone(), Pen::Cut),
        );
        drawing.add(
            Layer::Pieces,
            None,
            None,
            Shape::Fill(path, super::super::style::Fill::Piece),
        );
        drawing
    }

    #[test]
    fn tiles_with_nothing_on_them_are_left_out_and_the_inside_of_a_piece_is_something() {
        let tiling = cut_up(&square(250.0, 250.0, 500.0), Size::new(210.0, 210.0)).unwrap();
        let names: Vec<String> = tiling.tiles.iter().map(Tile::name).collect();
        assert_eq!(
            names,
            ["A1", "B1", "C1", "A2", "B2", "C2", "A3", "B3", "C3"]
        );
        assert_eq!(tiling.grid, (4, 4));
    }

    /// Cells meet without a gap, windows overlap by the strip, and both are the same size everywhere.
    #[test]
    fn neighbours_share_their_strip() {
        let tiling = cut_up(&square(10.0, 10.0, 900.0), Size::new(210.0, 310.0)).unwrap();
        let of = |name: &str| {
            tiling
                .tiles
                .iter()
                .find(|tile| tile.name() == name)
                .unwrap()
                .clone()
        };
        let (a, b) = (of("A1"), of("B1"));
        assert_eq!(a.cell.x1, b.cell.x0);
        assert_eq!(a.window.x1 - b.window.x0, OVERLAP);
        assert_eq!((a.window.width(), a.window.height()), (210.0, 310.0));
    }

    #[test]
    fn a_drawing_larger_than_anybody_joins_is_refused() {
        let mut huge = square(10.0, 10.0, 900.0);
        (huge.width, huge.height) = (1e6, 1e6);
        assert!(cut_up(&huge, Size::new(210.0, 310.0)).is_err());
    }

    #[test]
    fn columns_go_on_after_the_alphabet() {
        let tile = |column| Tile {
            place: (column, 0),
            cell: Rect::ZERO,
            window: Rect::ZERO,
        };
        let names: Vec<String> = [0, 25, 26, 27, 701, 702]
            .map(|column| tile(column).name())
            .into();
        assert_eq!(names, ["A1", "Z1", "AA1", "AB1", "ZZ1", "AAA1"]);
    }
}
