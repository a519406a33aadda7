//! Lays pieces out so that as few tiles as can be have something on them: the rows of the layout on several widths, with
//! more or less room between them and moved against the grid of tiles, each judged by the tiles that the outlines
//! themselves lie on.

use super::layout::{Layout, lay_within};
use kurbo::{BezPath, ParamCurve, ParamCurveArclen, Point, Rect, Shape as _, Size, Vec2};

/// Spots along an outline stand no farther apart than this, and those inside it no farther than [`INSIDE`].
const ALONG: f64 = 12.0;
const INSIDE: f64 = 60.0;
/// With more shapes than this, or one larger than this, no search is made.
const MOST_SHAPES: usize = 120;
const LARGEST: f64 = 5000.0;
/// Columns of tiles tried, at most.
const MOST_COLUMNS: f64 = 14.0;
/// Parts of a tile by which the whole is moved.
const PARTS: u32 = 8;
/// A piece narrower or lower than this has its label below it, which takes [`LABEL`].
const SMALL: f64 = 110.0;
const LABEL: Size = Size::new(50.0, 26.0);

/// What is laid out: its box, and spots of it that ask for paper, from the box's top left corner.
#[derive(Clone, Debug)]
pub(crate) struct Laid {
    /// Width and height of the upright box round it.
    pub size: Size,
    spots: Vec<Vec2>,
}

impl Laid {
    /// A box that asks for paper everywhere.
    pub(crate) fn filled(size: Size) -> Self {
        Self::outlined(&Rect::from_origin_size(Point::ORIGIN, size).to_path(0.1))
    }

    /// An outline on a sheet, and the surface in it.
    pub(crate) fn outlined(outline: &BezPath) -> Self {
        let bounds = outline.bounding_box();
        let size = bounds.size();
        let mut spots: Vec<Vec2> = Vec::new();
        if size.width.max(size.height) > LARGEST {
            return Self { size, spots };
        }
        for seg in outline.segments() {
            let count = (seg.arclen(1.0) / ALONG).ceil().clamp(1.0, 2000.0) as u32;
            spots.extend(
                (0..=count).map(|n| seg.eval(f64::from(n) / f64::from(count)) - bounds.origin()),
            );
        }
        let (columns, rows) = ((size.width / INSIDE) as u32, (size.height / INSIDE) as u32);
        for column in 1..=columns {
            for row in 1..=rows {
                let spot = Vec2::new(f64::from(column) * INSIDE, f64::from(row) * INSIDE);
                if outline.contains(bounds.origin() + spot) {
                    spots.push(spot);
                }
            }
        }
        if size.width.min(size.height) < SMALL {
            let below = Vec2::new(0.0, size.height + LABEL.height);
            spots.extend([below, below + Vec2::new(LABEL.width, 0.0)]);
        }
        Self { size, spots }
    }
}

/// Lays shapes out. The first tile begins at the sheet's corner, the shapes at `corner`, with `gap` between them where
/// nothing is gained by less.
pub(crate) fn lay_on_tiles(shapes: &[Laid], gap: f64, corner: Vec2, tile: Size) -> Layout {
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
    let mut best: Option<(usize, Layout)> = None;
    for columns in fewest.max(1.0) as u32..=MOST_COLUMNS as u32 {
        let width = (f64::from(columns) * tile.width - 2.0 * corner.x).max(widest);
        for gap in [1.0, 0.8, 0.6].map(|share| share * gap) {
            let layout = lay_within(&boxes, gap, width);
            for shift in shifts(tile) {
                let count = tiles_under(shapes, &layout, corner + shift, tile);
                if best.as_ref().is_none_or(|(least, _)| count < *least) {
                    best = Some((count, moved(&layout, shift)));
                }
            }
        }
    }
    best.map_or(plain, |(_, layout)| layout)
}

/// How far the whole may lie further right and down, least first.
fn shifts(tile: Size) -> impl Iterator<Item = Vec2> {
    let part = |n: u32| f64::from(n) / f64::from(PARTS);
    (0..PARTS).flat_map(move |down| {
        (0..PARTS).map(move |across| Vec2::new(part(across) * tile.width, part(down) * tile.height))
    })
}

fn moved(layout: &Layout, by: Vec2) -> Layout {
    Layout {
        places: layout.places.iter().map(|place| *place + by).collect(),
        size: layout.size + Size::new(by.x, by.y),
    }
}

/// How many tiles the shapes lie on, with those under the check lines along the top and the left.
fn tiles_under(shapes: &[Laid], layout: &Layout, corner: Vec2, tile: Size) -> usize {
    let all = layout.size + Size::new(corner.x, corner.y + LABEL.height);
    let count = |length: f64, step: f64| (length / step).floor().clamp(0.0, 2000.0) as usize + 1;
    let (columns, rows) = (count(all.width, tile.width), count(all.height, tile.height));
    let mut under = vec![false; columns.saturating_mul(rows)];
    let mut take = |column: usize, row: usize| {
        if let Some(taken) = under.get_mut(row.min(rows - 1) * columns + column.min(columns - 1)) {
            *taken = true;
        }
    };
    for (shape, at) in shapes.iter().zip(&layout.places) {
        for spot in &shape.spots {
            let p = *at + corner + *spot;
            take(
                (p.x / tile.width).max(0.0) as usize,
                (p.y / tile.height).max(0.0) as usize,
            );
        }
    }
    let content = layout.size;
    (0..count(content.width, tile.width)).for_each(|column| take(column, 0));
    (0..count(content.height, tile.height)).for_each(|row| take(0, row));
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
        let layout = lay_on_tiles(std::slice::from_ref(&strip), 45.0, CORNER, TILE);
        assert_eq!(tiles_under(&[strip], &layout, CORNER, TILE), 2);
    }

    #[test]
    fn the_inside_of_a_piece_asks_for_paper() {
        let wide = Laid::filled(Size::new(500.0, 700.0));
        let layout = Layout {
            places: vec![Point::ORIGIN],
            size: wide.size,
        };
        assert_eq!(tiles_under(&[wide], &layout, Vec2::ZERO, TILE), 3 * 3);
    }

    #[test]
    fn shapes_do_not_overlap_and_nothing_is_lost() {
        let shapes: Vec<Laid> = (1..=7)
            .map(|n| Laid::filled(Size::new(90.0 * f64::from(n), 400.0)))
            .collect();
        let layout = lay_on_tiles(&shapes, 40.0, CORNER, TILE);
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
