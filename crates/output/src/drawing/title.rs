//! The title block: what the draft is, for whom it was drawn, what is cut, how lines are read, and the squares that prove
//! the scale. It stands above the pieces.

use super::canvas::{Canvas, Of};
use super::labels::size_of;
use super::manner::{Head, Manner, Width};
use super::scale_marks::{INCH_SQUARE, SQUARE, inch_square, square};
use super::style::{Hand, Pen};
use super::tables::{Column, Look, ROW, care, column_width, columns, rows};
use super::{Anchor, Layer, Shape, Text, WAITING, key, text, unfinished};
use kurbo::{Line, Point, Shape as _, Size, Vec2};
use oaktag_language::pattern::Pattern;
use oaktag_language::voice;

/// Rows in a column.
const ROWS: usize = 15;
/// Room the title takes above the columns.
const HEAD: f64 = 26.0;
/// The title is cut at this width.
const WIDEST_TITLE: f64 = 700.0;
/// A long title is written in smaller letters rather than cut.
pub(crate) const TITLES: [Hand; 4] = [
    Hand::Title,
    Hand::PieceName,
    Hand::StepName,
    Hand::PieceNameSmall,
];
/// Room between two columns, in millimetres.
const GUTTER: f64 = 16.0;

/// Height of the whole block.
pub(super) fn height(pattern: &Pattern, manner: &Manner) -> f64 {
    let cautions = pattern.cautions.len().min(4) as f64 * ROW * 1.2;
    let block = match manner.head {
        Head::BlockWithInches => arranged(pattern, manner, 0.0).height,
        Head::Block | Head::CheckLines | Head::Bare => SQUARE,
    };
    HEAD + block + 14.0 + cautions + unfinished::band(pattern, manner).1
}

/// Columns with their places right of, and below, the corner of the first square.
struct Arranged {
    columns: Vec<(Vec2, Column)>,
    right: f64,
    height: f64,
}

/// Room taken by the squares, and the key's own column.
fn start_of_columns(manner: &Manner) -> (f64, f64) {
    let squares = match manner.head {
        Head::BlockWithInches => SQUARE + GUTTER + INCH_SQUARE + GUTTER,
        Head::Block | Head::CheckLines | Head::Bare => SQUARE + GUTTER,
    };
    (squares, squares + key::width() + GUTTER)
}

/// Room for the cautions to those who cut, above the rule.
const CARE_ROOM: f64 = 8.0;

/// Width of the block within its margins.
fn width_of(manner: &Manner) -> f64 {
    manner.block_width(0.0) - 2.0 * manner.margin()
}

/// Whether columns that do not fit beside the others stand below them.
fn wraps_columns(manner: &Manner) -> bool {
    manner.head == Head::BlockWithInches
}

/// One row of columns, cut off at the width, for the eye; on paper as many rows as they take.
fn arranged(pattern: &Pattern, manner: &Manner, content: f64) -> Arranged {
    let (squares, start) = start_of_columns(manner);
    let room = manner.block_width(content) - 2.0 * manner.margin();
    let wraps = wraps_columns(manner);
    let mut found = Arranged {
        columns: Vec::new(),
        right: start,
        height: INCH_SQUARE,
    };
    let mut at = Vec2::new(start, 0.0);
    for column in columns(pattern, ROWS) {
        let width = column_width(&column, Look::LOOSE);
        if at.x + width > room && at.x > squares {
            if !wraps {
                break;
            }
            at = Vec2::new(0.0, found.height + ROW);
        }
        let height = ROW * (column.rows.len() as f64 + 1.6);
        found.height = found.height.max(at.y + height);
        found.columns.push((at, column));
        at.x += width + GUTTER;
        found.right = found.right.max(at.x);
    }
    found
}

/// Draws the block on top of a sheet of the size that the content wants; returns the size with the block on it.
pub(super) fn draw(canvas: &mut Canvas, pattern: &Pattern, content: Size) -> Size {
    let manner = canvas.manner;
    let margin = manner.margin();
    let corner = Point::new(margin, margin + HEAD);
    heading(canvas, pattern);
    square(canvas, corner);
    if manner.head == Head::BlockWithInches {
        inch_square(canvas, corner + Vec2::new(SQUARE + GUTTER, 0.0), false);
    }
    let (squares, _) = start_of_columns(&manner);
    // On pages what waits to be switched on has no row.
    let waits: &[Layer] = match manner.head {
        Head::Block => &[],
        Head::BlockWithInches | Head::CheckLines | Head::Bare => &WAITING,
    };
    let pens = key::pens(&canvas.drawing, waits);
    let drawing = &mut canvas.drawing;
    drawing.set_key((corner + Vec2::new(squares, 0.0), Look::LOOSE), &pens);
    let arranged = arranged(
        pattern,
        &manner,
        if wraps_columns(&manner) {
            0.0
        } else {
            content.width
        },
    );
    for (at, column) in &arranged.columns {
        rows(canvas, column, corner + *at, (f64::INFINITY, Look::LOOSE));
    }
    let rule_y = margin + height(pattern, &manner) + 4.0;
    let (band_width, band_height) = unfinished::band(pattern, &manner);
    let cautions_height = pattern.cautions.len().min(4) as f64 * ROW * 1.2 + band_height;
    cautions(
        canvas,
        pattern,
        // The first line of letters stands below the cautions to those who cut.
        Point::new(margin, rule_y + 1.0 - cautions_height),
    );
    let widest = WIDEST_TITLE.min(width_of(&manner));
    if manner.head == Head::BlockWithInches {
        care(
            canvas,
            Point::new(margin, rule_y - cautions_height - CARE_ROOM),
            width_of(&manner),
        );
    }
    let titled = size_of(&pattern.told_title(), Hand::Title).0.min(widest);
    let titled = titled.max(band_width);
    let right = (corner.x + arranged.right - GUTTER).max(margin + titled) + margin;
    let width = content.width.max(right);
    let end = match manner.width {
        Width::Tiles(tile) => width.min(tile.width),
        Width::Free | Width::Within(_) => width,
    };
    let band = Point::new(margin, rule_y - 4.0 - band_height);
    unfinished::across(canvas, pattern, band, width - 2.0 * margin);
    let rule = Line::new((margin, rule_y), (end - margin, rule_y)).to_path(0.1);
    canvas
        .drawing
        .add(Layer::Title, None, None, Shape::Stroke(rule, Pen::Frame));
    Size::new(width, content.height.max(rule_y + margin))
}

fn heading(canvas: &mut Canvas, pattern: &Pattern) {
    let title = pattern.told_title();
    let title = text::heading(&title);
    let margin = canvas.manner.margin();
    let widest = WIDEST_TITLE.min(canvas.manner.block_width(0.0) - 2.0 * margin);
    let (title, hand) = text::shrunk(&text::printable(title), &TITLES, widest);
    let at = Point::new(margin, margin + 9.5);
    canvas.text(
        Layer::Title,
        Of::default(),
        Text::new(&title, at, Anchor::Start, hand),
    );
    let lengths = if pattern.pieces.is_empty() {
        ""
    } else {
        ", lengths on the sewing line"
    };
    let words = format!(
        "{}{lengths}. Figures in {}.",
        canvas.manner.scale.words(),
        pattern.unit.words()
    );
    let words = match pattern.issue.words() {
        issue if issue.is_empty() => words,
        issue => format!("{}. {words}", voice::capital(&issue)),
    };
    let words = text::fitted(
        &text::printable(&words),
        Hand::Sheet.size(),
        false,
        canvas.manner.block_width(0.0) - 2.0 * margin,
    );
    let at = Point::new(margin, margin + 18.0);
    canvas.text(
        Layer::Title,
        Of::default(),
        Text::new(&words, at, Anchor::Start, Hand::Sheet),
    );
}

fn cautions(canvas: &mut Canvas, pattern: &Pattern, corner: Point) {
    for (row, caution) in pattern.cautions.iter().take(4).enumerate() {
        let at = corner + Vec2::new(0.0, ROW * 1.2 * row as f64);
        let letters = text::fitted(&text::printable(caution), Hand::Caution.size(), true, 800.0);
        canvas.text(
            Layer::Cautions,
            Of::default(),
            Text::new(&letters, at, Anchor::Start, Hand::Caution),
        );
    }
}
