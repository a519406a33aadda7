//! Lays pieces out so that as few tiles as can be have something on them: the rows of the layout on several widths, with
//! more or less room between them and moved against the grid of tiles, each judged by the tiles that the outlines
//! themselves lie on; of layouts that take as many, one that leaves most pieces whole.

use super::layout::{Joints, Layout, lay_whole, lay_within};
use kurbo::{BezPath, ParamCurve, ParamCurveArclen, Point, Rect, Shape as _, Size, Vec2};
use std::collections::BTreeMap;

/// Spots along an outline stand no farther apart than this, and those inside it no farther than [`INSIDE`].
const ALONG: f64 = 12.0;
const NEAR: f64 = 2.0;
const INSIDE: f64 = 60.0;
/// With more shapes than this, or one larger than this, no search is made.
const MOST_SHAPES: usize = 120;
const LARGEST: f64 = 5000.0;
/// Columns of tiles tried, at most.
const MOST_COLUMNS: f64 = 14.0;
/// Parts of a tile by which the whole is moved: at first, where pieces are kept whole, and at last, by some millimetres.
const PARTS: u32 = 8;
const WHOLE_PARTS: u32 = 3;
const FINE_PARTS: u32 = 40;

/// What is laid out: its box, and spots of it that ask for paper, from the box's top left corner.
#[derive(Clone, Debug)]
pub struct Laid {
    /// Width and height of the upright box round it.
    pub size: Size,
    spots: Vec<Vec2>,
    /// The same along the outline, so near to each other that nothing worth a sheet lies between.
    near: Vec<Vec2>,
}

impl Laid {
    /// A box that asks for paper everywhere.
    pub(crate) fn filled(size: Size) -> Self {
        Self::outlined(
            &Rect::from_origin_size(Point::ORIGIN, size).to_path(0.1),
            None,
        )
    }

    /// An outline on a sheet, and the surface in it, with the room that is kept for its label.
    pub fn outlined(outline: &BezPath, label: Option<Rect>) -> Self {
        let bounds = outline.bounding_box();
        let size = label.map_or(bounds, |label| bounds.union(label)).size();
        let (mut spots, mut near): (Vec<Vec2>, Vec<Vec2>) = (Vec::new(), Vec::new());
        if size.width.max(size.height) > LARGEST {
            return Self { size, spots, near };
        }
        for seg in outline.segments() {
            let long = seg.arclen(1.0);
            for (spots, step) in [(&mut spots, ALONG), (&mut near, NEAR)] {
                let count = (long / step).ceil().clamp(1.0, 4000.0) as u32;
                let share = |n: u32| f64::from(n) / f64::from(count);
                spots.extend((0..=count).map(|n| seg.eval(share(n)) - bounds.origin()));
            }
        }
        let (columns, rows) = (
            (bounds.width() / INSIDE) as u32,
            (bounds.height() / INSIDE) as u32,
        );
        for column in 1..=columns {
            for row in 1..=rows {
                let spot = Vec2::new(f64::from(column) * INSIDE, f64::from(row) * INSIDE);
                if outline.contains(bounds.origin() + spot) {
                    spots.push(spot);
                }
            }
        }
        if let Some(label) = label {
            let corners = [
                (label.x0, label.y0),
                (label.x1, label.y0),
                (label.x0, label.y1),
            ];
            let corners = corners.into_iter().chain([(label.x1, label.y1)]);
            spots.extend(corners.map(|corner| Point::from(corner) - bounds.origin()));
        }
        near.extend(&spots);
        Self { size, spots, near }
    }
}

/// Lays shapes out. The first tile begins at the sheet's corner, the shapes at `corner`, with `gap` between them where
/// nothing is gained by less. The first tile is there anyway where something stands above the shapes.
pub fn lay_on_tiles(
    shapes: &[Laid],
    gap: f64,
    (corner, headed): (Vec2, bool),
    tile: Size,
) -> Layout {
    let boxes: Vec<Size> = shapes.iter().map(|shape| shape.size).collect();
    let widest = boxes.iter().map(|b| b.width).fold(0.0, f64::max);
    let tallest = boxes.iter().map(|b| b.height).fold(0.0, f64::max);
    let fewest = ((widest + 2.0 * corner.x) / tile.width).ceil();
    let plain = lay_within(
        &boxes,
        gap,
        (MOST_COLUMNS * tile.width - 2.0 * corner.x).max(widest),
    );
    if shapes.len() > MOST_SHAPES || widest.max(tallest) > LARGEST || fewest > MOST_COLUMNS {
        return plain;
    }
    let orders = orders(&boxes);
    let mut best = Best {
        shapes,
        corner,
        headed,
        tile,
        found: None,
        near: false,
    };
    for columns in fewest.max(1.0) as u32..=MOST_COLUMNS as u32 {
        let width = (f64::from(columns) * tile.width - 2.0 * corner.x).max(widest);
        for gap in GAPS.map(|share| share * gap) {
            let layout = lay_within(&boxes, gap, width);
            shifts(tile, PARTS).for_each(|shift| best.offer(moved(&layout, shift)));
        }
        let gap = LEAST_GAP * gap;
        for shift in shifts(tile, WHOLE_PARTS) {
            let joints = Joints {
                corner: corner + shift,
                tile,
            };
            for order in &orders {
                let layout = lay_whole(&boxes, order, gap, width - shift.x, joints);
                best.offer(moved(&layout, shift));
            }
        }
    }
    if let Some((_, layout)) = best.found.clone() {
        let back = |n: f64, size: f64| -(n / size).min(1.0) * size;
        let least = |part: fn(&Point) -> f64| {
            let places = layout.places.iter().map(part);
            places.fold(f64::INFINITY, f64::min)
        };
        // From as far to the left and up as it goes.
        let start = Vec2::new(
            back(least(|p| p.x), tile.width),
            back(least(|p| p.y), tile.height),
        );
        let start = moved(&layout, start);
        shifts(tile, FINE_PARTS).for_each(|shift| best.offer(moved(&start, shift)));
    }
    best.looks_near();
    best.save_slivers(NARROW_GAP * gap);
    best.found.map_or(plain, |(_, layout)| layout)
}

/// Room between shapes, as shares of what is wished for.
const GAPS: [f64; 3] = [1.0, 0.8, LEAST_GAP];
const LEAST_GAP: f64 = 0.6;
/// Where a sheet is saved by it.
const NARROW_GAP: f64 = 0.3;

/// As declared, and the tallest first.
fn orders(boxes: &[Size]) -> [Vec<usize>; 2] {
    let declared: Vec<usize> = (0..boxes.len()).collect();
    let mut tallest = declared.clone();
    let height = |index: &usize| boxes.get(*index).map_or(0.0, |b| b.height);
    tallest.sort_by(|a, b| height(b).total_cmp(&height(a)));
    [declared, tallest]
}

/// The best layout so far: on the fewest tiles, then with the fewest pieces cut that would fit one, then with most room.
struct Best<'a> {
    shapes: &'a [Laid],
    corner: Vec2,
    headed: bool,
    tile: Size,
    found: Option<((usize, usize), Layout)>,
    /// Outlines are looked at in short steps.
    near: bool,
}

impl Best<'_> {
    fn offer(&mut self, layout: Layout) {
        let headed = (self.corner, self.headed);
        let tiles = tiles_under((self.shapes, self.near), &layout, headed, self.tile);
        let least = self.found.as_ref().map(|(least, _)| *least);
        if least.is_some_and(|(least, _)| least < tiles) {
            return;
        }
        let joints = Joints {
            corner: self.corner,
            tile: self.tile,
        };
        let shapes = self.shapes.iter().zip(&layout.places);
        let cut = shapes.filter(|(shape, at)| joints.cuts(**at, shape.size));
        let score = (tiles, cut.count());
        if least.is_none_or(|least| score < least) {
            self.found = Some((score, layout));
        }
    }
}

/// A corner of one shape alone on a tile is worth moving that by so much, in millimetres.
const FARTHEST: f64 = 24.0;
/// What is moved off a tile lies this far inside the next.
const INSIDE_NEXT: f64 = 2.5;
/// Slivers looked for, one after another.
const ROUNDS: usize = 6;

impl Best<'_> {
    /// Looks at outlines in short steps from now on, at that of the best layout so far as well.
    fn looks_near(&mut self) {
        self.near = true;
        if let Some((_, layout)) = self.found.take() {
            self.offer(layout);
        }
    }

    /// Moves a shape off a tile that has but a corner of it, alone or with all that lies beyond it, where that saves the tile and
    /// keeps the shapes apart.
    fn save_slivers(&mut self, gap: f64) {
        for _ in 0..ROUNDS {
            let Some((score, layout)) = self.found.clone() else {
                return;
            };
            for (index, by) in self.slivers(&layout) {
                for together in [false, true] {
                    let moved = moved_from(&layout, index, by, together);
                    if self.are_apart(&moved, gap) {
                        self.offer(self.sized(moved, gap));
                    }
                }
            }
            if self.found.as_ref().is_none_or(|(after, _)| *after == score) {
                return;
            }
        }
    }

    /// Shapes with a corner on a tile that has nothing else, and moves that would take it off.
    fn slivers(&self, layout: &Layout) -> Vec<(usize, Vec2)> {
        let mut tiles: BTreeMap<(i64, i64), Vec<(usize, Point)>> = BTreeMap::new();
        for (index, (shape, at)) in self.shapes.iter().zip(&layout.places).enumerate() {
            for spot in &shape.near {
                let p = *at + self.corner + *spot;
                let tile = (p.x / self.tile.width, p.y / self.tile.height);
                let tile = (tile.0.floor() as i64, tile.1.floor() as i64);
                tiles.entry(tile).or_default().push((index, p));
            }
        }
        let mut moves = Vec::new();
        for ((column, row), spots) in tiles {
            let Some((index, _)) = spots.first().copied() else {
                continue;
            };
            if spots.iter().any(|(other, _)| *other != index) {
                continue;
            }
            let (left, top) = (
                column as f64 * self.tile.width,
                row as f64 * self.tile.height,
            );
            let span = |of: fn(&Point) -> f64| {
                let figures = spots.iter().map(|(_, p)| of(p));
                figures.fold((f64::INFINITY, 0.0), |(low, high), n| {
                    (n.min(low), n.max(high))
                })
            };
            let ((x0, x1), (y0, y1)) = (span(|p| p.x), span(|p| p.y));
            let ways = [
                Vec2::new(left - INSIDE_NEXT - x1, 0.0),
                Vec2::new(left + self.tile.width + INSIDE_NEXT - x0, 0.0),
                Vec2::new(0.0, top - INSIDE_NEXT - y1),
                Vec2::new(0.0, top + self.tile.height + INSIDE_NEXT - y0),
            ];
            let near = ways.into_iter().filter(|by| by.hypot() <= FARTHEST);
            moves.extend(near.map(|by| (index, by)));
        }
        moves
    }

    /// Whether no shape lies nearer to another than so, nor off the sheet.
    fn are_apart(&self, layout: &Layout, gap: f64) -> bool {
        let boxes = self.shapes.iter().zip(&layout.places);
        let boxes = boxes.map(|(shape, at)| Rect::from_origin_size(*at, shape.size));
        let boxes: Vec<Rect> = boxes.collect();
        let half = (gap - 1e-6) / 2.0;
        boxes.iter().enumerate().all(|(number, one)| {
            let one = one.inflate(half, half);
            let on_sheet = one.x0 >= -gap && one.y0 >= -gap;
            let mut others = boxes.iter().skip(number + 1);
            on_sheet && !others.any(|other| one.overlaps(other.inflate(half, half)))
        }) && layout.places.iter().all(|at| at.x > -1e-6 && at.y > -1e-6)
    }

    /// The layout with the room that its shapes take.
    fn sized(&self, layout: Layout, gap: f64) -> Layout {
        let ends = self.shapes.iter().zip(&layout.places);
        let ends =
            ends.map(|(shape, at)| Size::new(at.x + shape.size.width, at.y + shape.size.height));
        let most = |a: Size, b: Size| Size::new(a.width.max(b.width), a.height.max(b.height));
        Layout {
            size: ends.fold(Size::ZERO, most),
            gap,
            ..layout
        }
    }
}

/// A layout with one shape moved, or with all that lie beyond it as well, the way it is moved.
fn moved_from(layout: &Layout, index: usize, by: Vec2, together: bool) -> Layout {
    let from = layout.places.get(index).copied().unwrap_or_default();
    let beyond = |at: &Point| (*at - from).dot(by) >= 0.0;
    let places = layout.places.iter().enumerate().map(|(number, at)| {
        let moves = number == index || (together && beyond(at));
        if moves { *at + by } else { *at }
    });
    Layout {
        places: places.collect(),
        ..layout.clone()
    }
}

/// How far the whole may lie further right and down, least first.
fn shifts(tile: Size, parts: u32) -> impl Iterator<Item = Vec2> {
    let part = move |n: u32| f64::from(n) / f64::from(parts);
    (0..parts).flat_map(move |down| {
        (0..parts).map(move |across| Vec2::new(part(across) * tile.width, part(down) * tile.height))
    })
}

fn moved(layout: &Layout, by: Vec2) -> Layout {
    Layout {
        places: layout.places.iter().map(|place| *place + by).collect(),
        size: layout.size + Size::new(by.x, by.y),
        gap: layout.gap,
    }
}

/// How many tiles the shapes lie on.
fn tiles_under(
    (shapes, near): (&[Laid], bool),
    layout: &Layout,
    (corner, headed): (Vec2, bool),
    tile: Size,
) -> usize {
    let all = layout.size + Size::new(corner.x, corner.y);
    let count = |length: f64, step: f64| (length / step).floor().clamp(0.0, 2000.0) as usize + 1;
    let (columns, rows) = (count(all.width, tile.width), count(all.height, tile.height));
    let mut under = vec![false; columns.saturating_mul(rows)];
    if let (true, Some(first)) = (headed, under.first_mut()) {
        *first = true;
    }
    for (shape, at) in shapes.iter().zip(&layout.places) {
        for spot in if near { &shape.near } else { &shape.spots } {
            let p = *at + corner + *spot;
            let column = (p.x / tile.width).max(0.0) as usize;
            let row = (p.y / tile.height).max(0.0) as usize;
            let at = row.min(rows - 1) * columns + column.min(columns - 1);
            if let Some(taken) = under.get_mut(at) {
                *taken = true;
            }
        }
    }
    under.iter().filter(|taken| **taken).count()
}

#[cfg(test)]
mod tests {
    use super::*;

    const TILE: Size = Size::new(180.0, 260.0);
    const CORNER: Vec2 = Vec2::new(20.0, 36.0);

    /// A strip a little wider than a column: moved against the grid it lies on two columns, not on three.
    #[test]
    fn a_piece_is_moved_off_the_joints() {
        let strip = Laid::filled(Size::new(330.0, 200.0));
        let layout = lay_on_tiles(std::slice::from_ref(&strip), 45.0, (CORNER, false), TILE);
        assert_eq!(
            tiles_under((&[strip], false), &layout, (CORNER, false), TILE),
            2
        );
    }

    /// Two that would lie over a joint each, side by side, lie on a tile of their own.
    #[test]
    fn a_piece_that_fits_a_tile_lies_whole_on_it() {
        let shapes = [150.0, 150.0, 150.0].map(|width| Laid::filled(Size::new(width, 200.0)));
        let layout = lay_on_tiles(&shapes, 45.0, (CORNER, false), TILE);
        assert_eq!(
            tiles_under((&shapes, false), &layout, (CORNER, false), TILE),
            3
        );
        let joints = Joints {
            corner: CORNER,
            tile: TILE,
        };
        let mut shapes = shapes.iter().zip(&layout.places);
        assert!(!shapes.any(|(shape, at)| joints.cuts(*at, shape.size)));
    }

    /// Two that are apart by what is wished for, the lower with a corner on a third row: it is moved by the few millimetres that
    /// save the row.
    #[test]
    fn a_sliver_that_a_shift_saves_takes_no_tile() {
        let shapes = [Size::new(150.0, 230.0), Size::new(110.0, 222.0)].map(Laid::filled);
        let places = vec![Point::new(2.0, 4.0), Point::new(2.0, 275.0)];
        let mut best = Best {
            shapes: &shapes,
            corner: Vec2::ZERO,
            headed: false,
            tile: TILE,
            found: None,
            near: true,
        };
        let size = Size::new(152.0, 497.0);
        best.offer(Layout {
            places,
            size,
            gap: 27.0,
        });
        let lower = Point::new(2.0, 300.0);
        let places = vec![Point::new(2.0, 4.0), lower];
        let (before, _) = best.found.take().unwrap();
        best.offer(Layout {
            places,
            size: Size::new(152.0, 522.0),
            gap: 27.0,
        });
        let (worse, _) = best.found.clone().unwrap();
        assert_eq!((before.0, worse.0), (2, 3));
        best.save_slivers(27.0);
        let (after, layout) = best.found.unwrap();
        assert_eq!(after.0, 2, "{layout:?}");
    }

    #[test]
    fn the_inside_of_a_piece_asks_for_paper() {
        let wide = Laid::filled(Size::new(500.0, 700.0));
        let layout = Layout {
            places: vec![Point::ORIGIN],
            size: wide.size,
            gap: 0.0,
        };
        assert_eq!(
            tiles_under((&[wide], false), &layout, (Vec2::ZERO, false), TILE),
            3 * 3
        );
    }

    #[test]
    fn shapes_do_not_overlap_and_nothing_is_lost() {
        let shapes: Vec<Laid> = (1..=7)
            .map(|n| Laid::filled(Size::new(90.0 * f64::from(n), 400.0)))
            .collect();
        let layout = lay_on_tiles(&shapes, 40.0, (CORNER, false), TILE);
        let rects: Vec<Rect> = layout
            .places
            .iter()
            .zip(&shapes)
            .map(|(at, shape)| Rect::from_origin_size(*at, shape.size))
            .collect();
        assert_eq!(rects.len(), 7);
        for (n, one) in rects.iter().enumerate() {
            assert!(
                rects
                    .iter()
                    .skip(n + 1)
                    .all(|other| !one.inflate(11.0, 11.0).overlaps(*other))
            );
        }
    }
}
