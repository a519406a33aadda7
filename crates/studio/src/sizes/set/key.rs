//! The head of a nested drawing: title, which line is which size, and a square that proves the scale.

use super::nest::{MARGIN, line, pen};
use super::{Set, Size};
use kurbo::{Point, Rect, Shape as _};
use oaktag_output::drawing::style::{Hand, Pen};
use oaktag_output::drawing::{Anchor, Drawing, Layer, Shape, Text};

/// Side of the test square.
const SQUARE: f64 = 100.0;
/// Length of a line in the key.
const SAMPLE: f64 = 60.0;
/// Height of a row of the key.
const ROW: f64 = 8.0;

/// Title, key of lines and test square; returns the room they take.
pub(super) fn draw(drawing: &mut Drawing, set: &Set, base: &Size, for_print: bool) -> kurbo::Size {
    let mut text = |letters: &str, at: Point, hand: Hand| {
        let text = Text::new(letters, at, Anchor::Start, hand);
        drawing.add(Layer::Title, None, None, Shape::Text(text));
    };
    let left = MARGIN + SQUARE + 20.0;
    text(
        &base.pattern.title,
        Point::new(left, MARGIN + 11.0),
        Hand::Title,
    );
    let left_out = set.not_well();
    let said = format!(
        "{} sizes nested, {} the base, cutting lines. Each is drawn anew from its measures ({}).",
        set.sizes.len() - left_out.len(),
        base.name,
        base.pattern.unit.words()
    );
    text(&said, Point::new(left, MARGIN + 20.0), Hand::Sheet);
    if let Some(words) = left_out_words(set) {
        text(&words, Point::new(left, MARGIN + 37.5), Hand::Caution);
    }
    let below = "Nothing here has been sewn. Cut from a single size, printed alone.";
    text(below, Point::new(left, MARGIN + 26.5), Hand::Sheet);
    if for_print {
        let how = "To print one size: hide the others in the reader's list of layers, and show sewing lines, folds and marks.";
        text(how, Point::new(left, MARGIN + 32.0), Hand::Sheet);
    }
    let rows = 8;
    let mut deepest = MARGIN + SQUARE;
    let widest = set
        .names()
        .iter()
        .map(|name| name.chars().count())
        .max()
        .unwrap_or(2) as f64;
    let column_width = SAMPLE + 14.0 + widest * 4.5;
    let first = MARGIN + if left_out.is_empty() { 41.0 } else { 47.0 };
    let sizes = set.sizes.iter().enumerate();
    let sizes = sizes.filter(|(_, size)| size.is_well());
    for (row, (at, size)) in sizes.enumerate() {
        let column = (row / rows) as f64;
        let y = first + (row % rows) as f64 * ROW;
        let x = left + column * column_width;
        let sample = line(Point::new(x, y), Point::new(x + SAMPLE, y));
        drawing.add(
            Layer::Title,
            None,
            Some(&size.name),
            Shape::Stroke(sample, pen(set, at)),
        );
        let at = Point::new(x + SAMPLE + 4.0, y + 1.5);
        let text = Text::new(&size.name, at, Anchor::Start, Hand::Sheet);
        drawing.add(Layer::Title, None, Some(&size.name), Shape::Text(text));
        deepest = f64::max(deepest, y + ROW);
    }
    square(drawing);
    let used = drawing.bounds().unwrap_or(Rect::ZERO);
    kurbo::Size::new(used.x1 + MARGIN, deepest)
}

/// Which sizes are left out, and why; none where all are there.
pub(super) fn left_out_words(set: &Set) -> Option<String> {
    let names = set.not_well();
    let words = || format!("LEFT OUT, not well: {}. Check tells why.", names.join(", "));
    (!names.is_empty()).then(words)
}

fn square(drawing: &mut Drawing) {
    let rect = Rect::new(MARGIN, MARGIN, MARGIN + SQUARE, MARGIN + SQUARE);
    let outline = Shape::Stroke(rect.to_path(0.1), Pen::Square);
    drawing.add(Layer::TestSquare, None, Some("100 mm"), outline);
    for (letters, hand, down) in [
        ("100 mm", Hand::PieceName, 45.0),
        ("Print at 100 %,", Hand::PieceText, 60.0),
        ("measure the square.", Hand::PieceText, 67.0),
    ] {
        let at = Point::new(MARGIN + SQUARE / 2.0, MARGIN + down);
        let text = Text::new(letters, at, Anchor::Middle, hand);
        drawing.add(Layer::TestSquare, None, None, Shape::Text(text));
    }
}
