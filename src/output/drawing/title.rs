//! The title block: what the draft is, for whom it was drawn, what is cut, how lines are read, and the square that proves
//! the scale. It stands above the pieces.

use super::canvas::{Canvas, Of};
use super::compose::MARGIN;
use super::ink::{Hand, Pen};
use super::labels::size_of;
use super::{Anchor, Layer, Shape, Text, text};
use crate::pattern::spec::{MeasureUsed, PrintUnit, Value};
use crate::pattern::{Pattern, figure};
use kurbo::{BezPath, Line, Point, Rect, Shape as _, Size, Vec2};

/// Side of the test square.
pub const SQUARE: f64 = 100.0;
/// Height of a row.
const ROW: f64 = 6.4;
/// Room the title takes above the columns.
const HEAD: f64 = 26.0;
/// Rows in a column.
const ROWS: usize = 15;
/// The title is cut at this width.
const WIDEST_TITLE: f64 = 700.0;
/// Between columns.
const GUTTER: f64 = 16.0;

/// Height of the whole block.
pub(super) fn height(pattern: &Pattern) -> f64 {
    let cautions = pattern.cautions.len().min(4) as f64 * ROW * 1.2;
    HEAD + SQUARE + 14.0 + cautions
}

/// Draws the block on top of a sheet of the size that the content wants; returns the size with the block on it.
pub(super) fn draw(canvas: &mut Canvas, pattern: &Pattern, content: Size) -> Size {
    let mut x = MARGIN;
    let top = MARGIN + HEAD;
    heading(canvas, pattern);
    square(canvas, Point::new(x, top));
    x += SQUARE + GUTTER;
    x = key(canvas, pattern, Point::new(x, top)) + GUTTER;
    for column in columns(pattern) {
        let width = column_width(&column);
        let room = content.width.max(900.0) - MARGIN;
        if x + width > room && x > MARGIN + SQUARE + GUTTER {
            break;
        }
        rows(canvas, &column, Point::new(x, top));
        x += width + GUTTER;
    }
    cautions(canvas, pattern, Point::new(MARGIN, top + SQUARE + 14.0));
    let right = (x - GUTTER).max(MARGIN + size_of(&pattern.title, Hand::Title).0.min(WIDEST_TITLE))
        + MARGIN;
    let rule_y = MARGIN + height(pattern) + 4.0;
    let width = content.width.max(right);
    let rule = Line::new((MARGIN, rule_y), (width - MARGIN, rule_y)).to_path(0.1);
    canvas
        .drawing
        .add(Layer::Title, None, None, Shape::Stroke(rule, Pen::Frame));
    Size::new(width, content.height.max(rule_y + MARGIN))
}

fn heading(canvas: &mut Canvas, pattern: &Pattern) {
    let title = if pattern.title.trim().is_empty() {
        "Untitled draft"
    } else {
        pattern.title.as_str()
    };
    let title = &text::fitted(
        &text::printable(title),
        Hand::Title.size(),
        true,
        WIDEST_TITLE,
    );
    let at = Point::new(MARGIN, MARGIN + 9.5);
    canvas.text(
        Layer::Title,
        Of::default(),
        Text::new(title, at, Anchor::Start, Hand::Title),
    );
    let lengths = if pattern.pieces.is_empty() {
        ""
    } else {
        ", lengths on the sewing line"
    };
    let words = format!(
        "True size{lengths}. Figures in {}.",
        figure::unit_words(pattern.unit)
    );
    let at = Point::new(MARGIN, MARGIN + 18.0);
    canvas.text(
        Layer::Title,
        Of::default(),
        Text::new(&words, at, Anchor::Start, Hand::Sheet),
    );
}

fn square(canvas: &mut Canvas, corner: Point) {
    let rect = Rect::from_origin_size(corner, Size::new(SQUARE, SQUARE));
    let of = Of::default().named("100 mm");
    canvas.drawing.add(
        Layer::TestSquare,
        None,
        of.name,
        Shape::Stroke(rect.to_path(0.1), Pen::Square),
    );
    let lines = [
        ("100 mm", Hand::PieceName, 34.0),
        ("Print at 100 %,", Hand::PieceText, 52.0),
        ("measure the square", Hand::PieceText, 59.5),
        ("before cutting.", Hand::PieceText, 67.0),
    ];
    for (letters, hand, down) in lines {
        let at = corner + Vec2::new(SQUARE / 2.0, down);
        let text = Text::new(letters, at, Anchor::Middle, hand);
        canvas
            .drawing
            .add(Layer::TestSquare, None, None, Shape::Text(text));
    }
    let mut ticks = BezPath::new();
    for tenth in 1..10 {
        let along = f64::from(tenth) * 10.0;
        let long = if tenth == 5 { 4.0 } else { 2.0 };
        ticks.move_to(corner + Vec2::new(along, SQUARE));
        ticks.line_to(corner + Vec2::new(along, SQUARE - long));
        ticks.move_to(corner + Vec2::new(0.0, along));
        ticks.line_to(corner + Vec2::new(long, along));
    }
    canvas.drawing.add(
        Layer::TestSquare,
        None,
        None,
        Shape::Stroke(ticks, Pen::Frame),
    );
    canvas.labels.take(super::frame::TextFrame::upright(rect));
}

/// The key to the lines in use; returns its right edge.
fn key(canvas: &mut Canvas, pattern: &Pattern, corner: Point) -> f64 {
    let all: &[(Pen, &str)] = if pattern.pieces.is_empty() {
        &[
            (Pen::Draft, "line as drawn"),
            (Pen::Construction, "endless guide"),
        ]
    } else {
        &[
            (Pen::Cut, "cut"),
            (Pen::Sew, "sew"),
            (Pen::FoldEdge, "fold"),
            (Pen::Grain, "grain"),
            (Pen::Construction, "construction"),
            (Pen::Notch, "notch"),
        ]
    };
    let mut right = corner.x + heading_row(canvas, "Lines", corner);
    for (row, (pen, words)) in all.iter().enumerate() {
        let y = corner.y + ROW * (row as f64 + 1.6);
        let (a, b) = (
            Point::new(corner.x, y - 1.5),
            Point::new(corner.x + 32.0, y - 1.5),
        );
        let sample = match pen {
            Pen::Notch => {
                Line::new((corner.x + 16.0, y - 3.5), (corner.x + 16.0, y + 0.5)).to_path(0.1)
            }
            Pen::Grain => super::piece_lines::arrow(a, b),
            _ => Line::new(a, b).to_path(0.1),
        };
        canvas
            .drawing
            .add(Layer::Title, None, None, Shape::Stroke(sample, *pen));
        let at = Point::new(corner.x + 37.0, y);
        canvas.text(
            Layer::Title,
            Of::default(),
            Text::new(words, at, Anchor::Start, Hand::Sheet),
        );
        right = right.max(at.x + size_of(words, Hand::Sheet).0);
    }
    right
}

/// A column of the block: its heading and rows of a name and a figure.
struct Column {
    heading: &'static str,
    rows: Vec<(String, String)>,
}

fn columns(pattern: &Pattern) -> Vec<Column> {
    let mut columns = Vec::new();
    let pieces = pattern.pieces.iter().map(|piece| {
        let fold = if piece.on_fold() { " on fold" } else { "" };
        let count = if piece.cut.count == 0 {
            "–".to_owned()
        } else {
            format!("{}{fold}", piece.cut.count)
        };
        (piece.label.clone(), count)
    });
    columns.extend(split("Cut", pieces.collect()));
    let seams = pattern.seams.iter().map(|seam| {
        let (first, second) = (seam.first.length, seam.second.length);
        let unit = pattern.unit;
        let verdict = if seam.ok { "" } else { "  ✗" };
        let figures = format!(
            "{} : {}{verdict}",
            figure::bare(first, unit),
            figure::bare(second, unit)
        );
        (figure::name(&seam.name), figures)
    });
    columns.extend(split("Seams walked", seams.collect()));
    let measured = |of_body: bool| {
        let rows = pattern
            .measures
            .iter()
            .filter(move |one| one.of_body == of_body);
        rows.map(|one| (figure::name(&one.name), value(one, pattern.unit)))
            .collect()
    };
    columns.extend(split("Drawn for", measured(true)));
    columns.extend(split("Choices", measured(false)));
    columns
}

fn value(measure: &MeasureUsed, unit: PrintUnit) -> String {
    let text = match &measure.value {
        Value::Length(mm) => figure::bare(*mm, unit),
        Value::Angle(degrees) => figure::angle(*degrees),
        Value::Number(number) => figure::number(*number),
        Value::Area(mm2) => figure::area(*mm2, unit),
        Value::Answer(yes) => if *yes { "yes" } else { "no" }.to_owned(),
        Value::Text(text) => text.clone(),
        Value::Point(_)
        | Value::Line(_)
        | Value::Curve(_)
        | Value::Direction(_)
        | Value::List(_) => String::new(),
    };
    if measure.worked_out {
        format!("{text} *")
    } else {
        text
    }
}

fn split(heading: &'static str, rows: Vec<(String, String)>) -> Vec<Column> {
    let chunks = rows.chunks(ROWS).enumerate();
    let column = |(index, rows): (usize, &[(String, String)])| Column {
        heading: if index == 0 { heading } else { "" },
        rows: rows.to_vec(),
    };
    chunks.map(column).collect()
}

fn name_width(column: &Column) -> f64 {
    let widest = column
        .rows
        .iter()
        .map(|(name, _)| size_of(name, Hand::Sheet).0);
    widest.fold(0.0, f64::max).min(90.0)
}

fn figure_width(column: &Column) -> f64 {
    let widest = column
        .rows
        .iter()
        .map(|(_, figure)| size_of(figure, Hand::Sheet).0);
    widest.fold(0.0, f64::max).min(70.0)
}

fn column_width(column: &Column) -> f64 {
    (name_width(column) + 5.0 + figure_width(column)).max(size_of(column.heading, Hand::Heading).0)
}

fn heading_row(canvas: &mut Canvas, words: &str, corner: Point) -> f64 {
    let at = corner + Vec2::new(0.0, 3.4);
    canvas.text(
        Layer::Title,
        Of::default(),
        Text::new(words, at, Anchor::Start, Hand::Heading),
    );
    size_of(words, Hand::Heading).0
}

fn rows(canvas: &mut Canvas, column: &Column, corner: Point) {
    heading_row(canvas, column.heading, corner);
    let (names, figures) = (name_width(column), figure_width(column));
    for (row, (name, figure)) in column.rows.iter().enumerate() {
        let y = corner.y + ROW * (row as f64 + 1.6);
        let name = text::fitted(
            &text::printable(name),
            Hand::Sheet.size(),
            false,
            names + 0.01,
        );
        let figure = text::fitted(
            &text::printable(figure),
            Hand::Sheet.size(),
            false,
            figures + 0.01,
        );
        let at = Point::new(corner.x, y);
        canvas.text(
            Layer::Title,
            Of::default(),
            Text::new(&name, at, Anchor::Start, Hand::Sheet),
        );
        let at = Point::new(corner.x + names + 5.0 + figures, y);
        canvas.text(
            Layer::Title,
            Of::default(),
            Text::new(&figure, at, Anchor::End, Hand::Sheet),
        );
    }
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
