//! The first pages of a print in tiles: the squares to lay a ruler on before anything else is printed, the map by which the
//! tiles are joined, and the tables. One page where all of it fits, more where it does not.

use super::canvas::{Canvas, Of};
use super::labels::size_of;
use super::manner::{Head, Manner, Width};
use super::preface::Preface;
use super::scale_marks::{INCH_SQUARE, SQUARE, inch_square, square};
use super::style::{Fill, Hand, Pen};
use super::tables::rows;
use super::tables::{CARE, Column, Look, ROW, columns, heading_row, least_width};
use super::tiles::Tiling;
use super::title::TITLES;
use super::{Anchor, Drawing, Layer, Shape, Text, WAITING, key, text};
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
const PACKED_MAP: f64 = 52.0;
/// Between what stands in a column.
const APART: f64 = 5.0;
/// Columns on the pages after the first are this wide at most.
const WIDEST: f64 = 110.0;

/// Rows in a column of a table; the fewest that a table is parted into.
const ROWS: usize = 34;
const PARTED: usize = 3;
/// Room for the words at the top of a square, and for the ticks at its sides.
const SQUARE_HEAD: f64 = 24.0;
const TICKS: f64 = 6.0;
/// Length of a line in the key of a nest: long enough for its dashes.
const SAMPLE: f64 = 45.0;
/// And of a key whose words are long.
const SHORTEST: f64 = 15.0;
/// How tiles are joined.
const JOINING: &str = "Trim one tile along its dashed line, lay it on the strip of the next, and let the halves of the marks \
    with the same number meet.";

/// Draws the pages that go before the tiles; in smaller letters, and with tables in the empty square, where that saves a page.
pub(crate) fn draw(
    pattern: &Pattern,
    manner: Manner,
    page: Size,
    whole: &Drawing,
    tiling: &Tiling,
) -> Vec<Drawing> {
    let pages =
        |look, is_packed| in_look(pattern, (manner, page), (whole, tiling), (look, is_packed));
    let loose = pages(Look::LOOSE, false);
    if loose.len() == 1 {
        return loose;
    }
    let looks = [Look::LOOSE].into_iter().chain(Look::TIGHT);
    let mut packed = looks.map(|look| pages(look, true));
    packed
        .find(|packed| packed.len() < loose.len())
        .unwrap_or(loose)
}

fn in_look(
    pattern: &Pattern,
    (manner, page): (Manner, Size),
    (whole, tiling): (&Drawing, &Tiling),
    (look, is_packed): (Look, bool),
) -> Vec<Drawing> {
    let mut cover = Cover::new(&pattern.title, (manner, page), (look, is_packed));
    let issue = match pattern.issue.words() {
        issue if issue.is_empty() => issue,
        issue => format!("{}. ", voice::capital(&issue)),
    };
    let how = manner.scale.words();
    let count = voice::count(tiling.tiles.len(), "tile");
    let unit = pattern.unit.words();
    cover.heading(&format!("{issue}{how}, {count}. Figures in {unit}."));
    for caution in &pattern.cautions {
        cover.words(caution, Hand::Caution);
    }
    cover.map(whole, tiling, if is_packed { PACKED_MAP } else { MAP });
    cover.words(JOINING, Hand::Foot);
    cover.words(CARE, Hand::Foot);
    cover.key(whole);
    for column in columns(pattern, ROWS) {
        cover.table(column);
    }
    cover.finish()
}

/// Draws the pages that go before the tiles of a drawing with a preface.
pub(crate) fn of_preface(
    preface: &Preface,
    page: Size,
    whole: &Drawing,
    tiling: &Tiling,
) -> Vec<Drawing> {
    let manner = Manner::default();
    let mut cover = Cover::new(&whole.title, (manner, page), (Look::LOOSE, false));
    let count = voice::count(tiling.tiles.len(), "tile");
    cover.heading(&format!("{}, {count}.", manner.scale.words()));
    let (cautions, lines): (Vec<_>, Vec<_>) = preface
        .lines
        .iter()
        .partition(|(_, hand)| *hand == Hand::Caution);
    for (caution, hand) in cautions {
        cover.words(caution, *hand);
    }
    let lines: Vec<&str> = lines.iter().map(|(words, _)| words.as_str()).collect();
    cover.words(&lines.join(" "), Hand::Foot);
    // The key of a nest wants room as well.
    cover.map(whole, tiling, MAP - ROW * preface.key.len().min(5) as f64);
    cover.words(JOINING, Hand::Foot);
    cover.words(CARE, Hand::Foot);
    let mut heading = "Lines";
    // A line is as long as the widest words beside it leave it.
    let words = preface
        .key
        .iter()
        .map(|(_, words)| size_of(words, Hand::Sheet).0);
    let widest = words.fold(0.0, f64::max);
    let sample = (cover.room.width() - widest - 2.0 * TICKS).clamp(SHORTEST, SAMPLE);
    for (pen, words) in &preface.key {
        if !heading.is_empty() {
            let corner = cover.take(ROW);
            heading_row(&mut cover.canvas, heading, corner);
            heading = "";
        }
        let at = cover.take(ROW) + Vec2::new(0.0, 0.6 * ROW);
        cover
            .canvas
            .drawing
            .key_row((*pen, words.as_str()), at, sample);
    }
    cover.finish()
}

/// Pages under way, and how far the column on the last of them is filled.
struct Cover<'a> {
    title: &'a str,
    manner: Manner,
    page: Size,
    done: Vec<Drawing>,
    canvas: Canvas,
    /// What is left of the column under way.
    room: Rect,
    /// What is left of the room below the squares and in one of them, on the first page of a packed cover.
    spare: Vec<Rect>,
    look: Look,
}

impl<'a> Cover<'a> {
    fn new(
        title: &'a str,
        (manner, page): (Manner, Size),
        (look, is_packed): (Look, bool),
    ) -> Self {
        let manner = Manner {
            head: Head::BlockWithInches,
            width: Width::Within(page.width - 2.0 * MARGIN),
            ..manner
        };
        let left = MARGIN + INCH_SQUARE + GUTTER;
        let bottom = page.height - MARGIN - FOOT;
        let lower = MARGIN + HEAD + SQUARE + 4.0;
        let mut spare = Vec::new();
        if is_packed {
            let (from, to) = (MARGIN + TICKS, MARGIN + INCH_SQUARE - 2.0);
            spare.push(Rect::new(
                from,
                lower + SQUARE_HEAD,
                to,
                lower + INCH_SQUARE - TICKS,
            ));
            spare.push(Rect::new(
                MARGIN,
                lower + INCH_SQUARE + 4.0,
                to,
                bottom.max(lower + INCH_SQUARE + 4.0),
            ));
        }
        Self {
            spare,
            look,
            title,
            manner,
            page,
            done: Vec::new(),
            canvas: sheet(title, manner, page),
            room: Rect::new(left, MARGIN + HEAD, page.width - MARGIN, bottom),
        }
    }

    /// Title, what is said of the whole, what to do first, and the squares to do it with.
    fn heading(&mut self, facts: &str) {
        let width = self.page.width - 2.0 * MARGIN;
        let first = "Print this page alone at 100 %, lay a ruler on a square, then print the rest.";
        let lines = [
            (text::heading(self.title), Hand::Title, 9.5),
            (facts, Hand::Sheet, 17.0),
            (first, Hand::Heading, 24.0),
        ];
        for (letters, hand, down) in lines {
            let hands: &[Hand] = match hand {
                Hand::Title => &TITLES,
                Hand::Heading => &[Hand::Heading, Hand::PieceNameSmall],
                _ => &[Hand::Sheet, Hand::Foot, Hand::FootSmall],
            };
            let (letters, hand) = text::shrunk(&text::printable(letters), hands, width);
            let text = Text::new(
                &letters,
                Point::new(MARGIN, MARGIN + down),
                Anchor::Start,
                hand,
            );
            self.canvas.text(Layer::Title, Of::default(), text);
        }
        let corner = Point::new(MARGIN, MARGIN + HEAD);
        square(&mut self.canvas, corner);
        let is_filled = !self.spare.is_empty();
        inch_square(
            &mut self.canvas,
            corner + Vec2::new(0.0, SQUARE + 4.0),
            is_filled,
        );
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
    fn map(&mut self, whole: &Drawing, tiling: &Tiling, tallest: f64) {
        let (Some(first), Some(last)) = (tiling.tiles.first(), tiling.tiles.last()) else {
            return;
        };
        let cells = tiling
            .tiles
            .iter()
            .map(|tile| tile.cell)
            .fold(first.cell.union(last.cell), |a, b| a.union(b));
        let scale = (self.room.width() / cells.width()).min(tallest / cells.height());
        let corner = self.take(8.0 + cells.height() * scale);
        heading_row(&mut self.canvas, "How the tiles lie", corner);
        let place = Affine::translate(corner.to_vec2() + Vec2::new(0.0, 7.0))
            * Affine::scale(scale)
            * Affine::translate(-cells.origin().to_vec2());
        // A nest and an overlay have no surfaces: the base's lines, and those that are there now.
        let bare = whole.layer(Layer::Pieces).next().is_none();
        for shape in whole.shapes() {
            let path = match shape {
                Shape::Fill(path, Fill::Piece) => path,
                Shape::Stroke(path, Pen::Cut | Pen::Is | Pen::IsOther) if bare => path,
                _ => continue,
            };
            let line = Shape::Stroke(place * path.clone(), Pen::Construction);
            self.canvas.drawing.add(Layer::Title, None, None, line);
        }
        // Names no wider than their tile.
        let widest = |hand: Hand| {
            let widths = tiling
                .tiles
                .iter()
                .map(|tile| size_of(&tile.name(), hand).0);
            widths.fold(0.0, f64::max)
        };
        let hands = [Hand::Sheet, Hand::Foot, Hand::FootSmall];
        let room = first.cell.width() * scale - 0.6;
        let hand = hands.into_iter().find(|hand| widest(*hand) <= room);
        let hand = hand.unwrap_or(Hand::PieceTiny);
        for tile in &tiling.tiles {
            let cell = place.transform_rect_bbox(tile.cell);
            self.canvas.drawing.add(
                Layer::Title,
                None,
                None,
                Shape::Stroke(cell.to_path(0.1), Pen::Frame),
            );
            let at = cell.center() + Vec2::new(0.0, 0.35 * hand.size());
            let text = Text::new(&tile.name(), at, Anchor::Middle, hand);
            self.canvas
                .drawing
                .add(Layer::Title, None, None, Shape::Text(text));
        }
        self.take(APART);
    }

    fn key(&mut self, whole: &Drawing) {
        let pens = key::pens(whole, &WAITING);
        let corner = self.take(key::height(&pens, self.look));
        self.canvas.drawing.set_key((corner, self.look), &pens);
        self.take(APART);
    }

    /// A table in the column; of a packed cover, in what room there is elsewhere on the page, and in parts if need be.
    fn table(&mut self, mut column: Column) {
        let look = self.look;
        let height = |rows: usize| look.row * (rows as f64 + 1.0);
        let wide = least_width(&column, look);
        loop {
            let all = column.rows.len();
            let held = |spare: &Rect| match spare.width() >= wide {
                true => ((spare.height() / look.row - 1.0).max(0.0) as usize).min(all),
                false => 0,
            };
            let spares = self.spare.iter().enumerate();
            let best = spares
                .map(|(at, spare)| (held(spare), at))
                .max_by_key(|(held, _)| *held);
            let Some((most, at)) = best.filter(|(most, _)| *most > 0) else {
                break;
            };
            // What is parted is parted into more than a row or two.
            let most = match most < all {
                true => most.min(all.saturating_sub(PARTED)),
                false => most,
            };
            let fits = self.room.height() >= height(all) + APART;
            if most < all && (fits || most < PARTED) {
                break;
            }
            let rest = column.rows.split_off(most);
            let spare = self.spare.remove(at);
            rows(&mut self.canvas, &column, spare.origin(), (wide, look));
            // What is left beside it, and below it.
            let (right, below) = (spare.x0 + wide + TICKS, spare.y0 + height(most) + APART);
            self.spare
                .push(Rect::new(right, spare.y0, spare.x1.max(right), spare.y1));
            self.spare.push(Rect::new(
                spare.x0,
                below,
                spare.x0 + wide,
                spare.y1.max(below),
            ));
            if rest.is_empty() {
                return;
            }
            column.rows = rest;
        }
        let corner = self.take(height(column.rows.len()) + APART);
        let width = self.room.width().min(WIDEST);
        rows(&mut self.canvas, &column, corner, (width, look));
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
        self.spare.clear();
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
        let fresh = sheet(self.title, self.manner, self.page);
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

fn sheet(title: &str, manner: Manner, page: Size) -> Canvas {
    let mut canvas = Canvas::new(title, manner);
    (canvas.drawing.width, canvas.drawing.height) = (page.width, page.height);
    canvas
}
