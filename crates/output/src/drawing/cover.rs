//! The first pages of a print in tiles: the squares to lay a ruler on before anything else is printed, the map by which the
//! tiles are joined, and the tables. One page where all of it fits, more where it does not.

use super::canvas::{Canvas, Of};
use super::manner::{Head, Manner, Width};
use super::scale_marks::{INCH_SQUARE, SQUARE, inch_square, square};
use super::style::{Hand, Pen};
use super::tables::{CARE, Column, ROW, columns, heading_row, key, key_height, rows};
use super::tiles::Tiling;
use super::title::TITLES;
use super::{Anchor, Drawing, Layer, Shape, Text, text};
use crate::sheet::{FOOT, MARGIN};
use kurbo::{Affine, Point, Rect, Shape as _, Size, Vec2};
use oaktag_language::pattern::Pattern;
use oaktag_language::voice;

/// Room for the title and what is to be done before cutting.
const HEAD: f64 = 32.0;
/// Between the squares and the column beside them.
const GUTTER: f64 = 8.0;
/// The tallest that the map of the tiles may be, in millimetres.
const MAP: f64 = 84.0;
/// Between what stands in a column.
const APART: f64 = 5.0;
/// Columns on the pages after the first are this wide at most.
const WIDEST: f64 = 110.0;

/// Rows in a column of a table.
const ROWS: usize = 34;
/// How tiles are joined.
const JOINING: &str = "Trim one tile along its dashed line, lay it on the strip of the next, and let the halves of the marks \
    with the same number meet.";

/// Draws the pages that go before the tiles.
pub(crate) fn draw(
    pattern: &Pattern,
    manner: Manner,
    page: Size,
    whole: &Drawing,
    tiling: &Tiling,
) -> Vec<Drawing> {
    let mut cover = Cover::new(pattern, manner, page);
    cover.heading(pattern, tiling);
    let corner = Point::new(MARGIN, MARGIN + HEAD);
    square(&mut cover.canvas, corner);
    inch_square(&mut cover.canvas, corner + Vec2::new(0.0, SQUARE + 4.0));
    for caution in &pattern.cautions {
        cover.words(caution, Hand::Caution);
    }
    cover.map(whole, tiling);
    cover.words(JOINING, Hand::Foot);
    cover.words(CARE, Hand::Foot);
    cover.key(pattern);
    for column in columns(pattern, ROWS) {
        cover.table(column);
    }
    cover.finish()
}

/// Pages under way, and how far the column on the last of them is filled.
struct Cover<'a> {
    pattern: &'a Pattern,
    manner: Manner,
    page: Size,
    done: Vec<Drawing>,
    canvas: Canvas,
    /// What is left of the column under way.
    room: Rect,
}

impl<'a> Cover<'a> {
    fn new(pattern: &'a Pattern, manner: Manner, page: Size) -> Self {
        let manner = Manner {
            head: Head::BlockWithInches,
            width: Width::Within(page.width - 2.0 * MARGIN),
            ..manner
        };
        let left = MARGIN + INCH_SQUARE + GUTTER;
        Self {
            pattern,
            manner,
            page,
            done: Vec::new(),
            canvas: sheet(pattern, manner, page),
            room: Rect::new(
                left,
                MARGIN + HEAD,
                page.width - MARGIN,
                page.height - MARGIN - FOOT,
            ),
        }
    }

    fn heading(&mut self, pattern: &Pattern, tiling: &Tiling) {
        let width = self.page.width - 2.0 * MARGIN;
        let named = text::heading(&pattern.title);
        let count = tiling.tiles.len();
        let issue = match pattern.issue.words() {
            issue if issue.is_empty() => issue,
            issue => format!("{}. ", voice::capital(&issue)),
        };
        let lines = [
            (named.to_owned(), Hand::Title, 9.5),
            (
                format!(
                    "{issue}{}, {}. Figures in {}.",
                    self.manner.scale.words(),
                    voice::count(count, "tile"),
                    pattern.unit.words()
                ),
                Hand::Sheet,
                17.0,
            ),
            (
                "Print this page alone at 100 %, lay a ruler on a square, then print the rest."
                    .to_owned(),
                Hand::Heading,
                24.0,
            ),
        ];
        for (letters, hand, down) in lines {
            let hands: &[Hand] = match hand {
                Hand::Title => &TITLES,
                Hand::Heading => &[Hand::Heading, Hand::PieceNameSmall],
                _ => &[Hand::Sheet, Hand::Foot, Hand::FootSmall],
            };
            let (letters, hand) = text::shrunk(&text::printable(&letters), hands, width);
            let text = Text::new(
                &letters,
                Point::new(MARGIN, MARGIN + down),
                Anchor::Start,
                hand,
            );
            self.canvas.text(Layer::Title, Of::default(), text);
        }
    }

    /// Words in the column, broken into lines.
    fn words(&mut self, words: &str, hand: Hand) {
        let lines = text::wrapped(
            &text::printable(words),
            hand.size(),
            hand.bold(),
            self.room.width(),
        );
        let height = hand.size() * text::LEADING;
        let layer = if hand == Hand::Caution {
            Layer::Cautions
        } else {
            Layer::Title
        };
        for line in lines {
            let corner = self.take(height);
            let at = corner + Vec2::new(0.0, hand.size() * text::ASCENT);
            self.canvas.text(
                layer,
                Of::default(),
                Text::new(&line, at, Anchor::Start, hand),
            );
        }
        self.take(APART);
    }

    /// The tiles as they lie, with the outlines of the pieces on them.
    fn map(&mut self, whole: &Drawing, tiling: &Tiling) {
        let (Some(first), Some(last)) = (tiling.tiles.first(), tiling.tiles.last()) else {
            return;
        };
        let cells = tiling
            .tiles
            .iter()
            .map(|tile| tile.cell)
            .fold(first.cell.union(last.cell), |a, b| a.union(b));
        let scale = (self.room.width() / cells.width()).min(MAP / cells.height());
        let corner = self.take(8.0 + cells.height() * scale);
        heading_row(&mut self.canvas, "How the tiles lie", corner);
        let place = Affine::translate(corner.to_vec2() + Vec2::new(0.0, 7.0))
            * Affine::scale(scale)
            * Affine::translate(-cells.origin().to_vec2());
        for item in whole.layer(Layer::Pieces) {
            if let Shape::Fill(path, _) = &item.shape {
                self.canvas.drawing.add(
                    Layer::Title,
                    None,
                    None,
                    Shape::Stroke(place * path.clone(), Pen::Construction),
                );
            }
        }
        for tile in &tiling.tiles {
            let cell = place.transform_rect_bbox(tile.cell);
            self.canvas.drawing.add(
                Layer::Title,
                None,
                None,
                Shape::Stroke(cell.to_path(0.1), Pen::Frame),
            );
            let at = cell.center() + Vec2::new(0.0, 1.1);
            let text = Text::new(&tile.name(), at, Anchor::Middle, Hand::Sheet);
            self.canvas
                .drawing
                .add(Layer::Title, None, None, Shape::Text(text));
        }
        self.take(APART);
    }

    fn key(&mut self, pattern: &Pattern) {
        let corner = self.take(key_height(pattern, self.manner.head));
        key(&mut self.canvas, pattern, corner);
        self.take(APART);
    }

    fn table(&mut self, column: Column) {
        let height = ROW * (column.rows.len() as f64 + 1.0) + APART;
        let corner = self.take(height);
        let width = self.room.width().min(WIDEST);
        rows(&mut self.canvas, &column, corner, width);
    }

    /// The top left corner of so much of the column; the next column or page where it is full.
    fn take(&mut self, height: f64) -> Point {
        if self.room.height() < height {
            self.next();
        }
        let corner = self.room.origin();
        self.room.y0 = (self.room.y0 + height).min(self.room.y1);
        corner
    }

    /// Goes on with the next column: beside the last one where there is room, else on a fresh page.
    fn next(&mut self) {
        let right = self.page.width - MARGIN;
        let bottom = self.page.height - MARGIN - FOOT;
        let top = if self.done.is_empty() {
            MARGIN + HEAD
        } else {
            MARGIN
        };
        let width = self.room.width().min(WIDEST);
        let left = self.room.x0 + width + GUTTER;
        if left + 70.0 <= right {
            self.room = Rect::new(left, top, (left + WIDEST).min(right), bottom);
            return;
        }
        let fresh = sheet(self.pattern, self.manner, self.page);
        self.done
            .push(std::mem::replace(&mut self.canvas, fresh).drawing);
        let half = (right - MARGIN - GUTTER) / 2.0;
        let width = if half >= 70.0 {
            half.min(WIDEST)
        } else {
            right - MARGIN
        };
        self.room = Rect::new(MARGIN, MARGIN, MARGIN + width, bottom);
    }

    fn finish(mut self) -> Vec<Drawing> {
        self.done.push(self.canvas.drawing);
        self.done
    }
}

fn sheet(pattern: &Pattern, manner: Manner, page: Size) -> Canvas {
    let mut canvas = Canvas::new(&pattern.title, manner);
    (canvas.drawing.width, canvas.drawing.height) = (page.width, page.height);
    canvas
}
