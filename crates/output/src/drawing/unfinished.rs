//! What stands on a drawing that lacks something: across the sheet, above the pieces, and at the foot of each. It is written
//! before the names of lines and points find their places, so that none touches it.

use super::canvas::{Canvas, Of, block_size};
use super::compose::Placed;
use super::manner::Manner;
use super::style::{Hand, Pen};
use super::{Anchor, Layer, Shape, Text, piece_label, text};
use kurbo::{Point, Rect, Shape as _, Vec2};
use oaktag_language::pattern::Pattern;

/// Letters across the sheet are broken at this width.
const WIDEST: f64 = 600.0;
/// Room round them, inside their frame.
const ROOM: f64 = 5.0;
/// Room above the frame.
const ABOVE: f64 = 6.0;
/// The least and the most that a line at the foot of a piece may take.
const FOOT: (f64, f64) = (90.0, 240.0);

fn lines(pattern: &Pattern, manner: &Manner) -> Vec<String> {
    let Some(unfinished) = &pattern.unfinished else {
        return Vec::new();
    };
    let room = manner.block_width(WIDEST + 2.0 * manner.margin()) - 2.0 * manner.margin();
    let widest = (room - 2.0 * ROOM).clamp(50.0, WIDEST);
    let said = text::printable(&unfinished.said());
    text::wrapped(&said, Hand::Unfinished.size(), true, widest)
}

/// How wide and how high the words across the sheet are, their frame included; nothing where all is drawn.
pub(super) fn band(pattern: &Pattern, manner: &Manner) -> (f64, f64) {
    let lines = lines(pattern, manner);
    if lines.is_empty() {
        return (0.0, 0.0);
    }
    let lines: Vec<(String, Hand)> = lines.into_iter().map(|l| (l, Hand::Unfinished)).collect();
    let (width, height) = block_size(&lines);
    (width + 2.0 * ROOM, height + 2.0 * ROOM + ABOVE)
}

/// Writes the words across the sheet, from a corner on, as wide as it is.
pub(super) fn across(canvas: &mut Canvas, pattern: &Pattern, corner: Point, width: f64) {
    let manner = canvas.manner;
    let lines = lines(pattern, &manner);
    if lines.is_empty() {
        return;
    }
    let (_, height) = band(pattern, &manner);
    let top = corner + Vec2::new(0.0, ABOVE);
    let frame = Rect::new(top.x, top.y, top.x + width, corner.y + height);
    let border = frame.to_path(0.1);
    canvas.drawing.add(
        Layer::Cautions,
        None,
        None,
        Shape::Stroke(border, Pen::Caution),
    );
    let leading = Hand::Unfinished.size() * text::LEADING;
    for (row, letters) in lines.iter().enumerate() {
        let down = ROOM + leading * row as f64 + Hand::Unfinished.size();
        let at = Point::new(frame.center().x, top.y + down);
        let text = Text::new(letters, at, Anchor::Middle, Hand::Unfinished);
        canvas.text(Layer::Cautions, Of::default(), text);
    }
}

/// Writes the words at the foot of a piece.
pub(super) fn foot(canvas: &mut Canvas, placed: &Placed<'_>) {
    let Some(unfinished) = &placed.pattern.unfinished else {
        return;
    };
    let widest = placed.bounds.width().clamp(FOOT.0, FOOT.1);
    let said = text::printable(&unfinished.said());
    let lines = text::wrapped(&said, Hand::Caution.size(), true, widest);
    let lines: Vec<(String, Hand)> = lines.into_iter().map(|l| (l, Hand::Caution)).collect();
    let frame = piece_label::below(canvas, placed, &lines);
    let of = Of::piece(&placed.piece.name);
    canvas.block(Layer::Cautions, of, frame, &lines, Anchor::Start);
    canvas.labels.take(frame.grown(2.0));
}
