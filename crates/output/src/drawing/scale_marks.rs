//! What proves the scale of a print: two squares, one in millimetres and one in inches, and long lines that run over the
//! joints of the sheets. They are always true to the paper, also where the drawing is at half or quarter scale.

use super::canvas::{Canvas, Of};
use super::frame::TextFrame;
use super::labels::size_of;
use super::manner::{Head, Manner, Width};
use super::style::{Hand, Pen};
use super::{Anchor, Layer, Shape, Text};
use kurbo::{BezPath, Point, Rect, Shape as _, Size, Vec2};
use oaktag_language::voice::LengthUnit;

/// Side of the test square.
pub(crate) const SQUARE: f64 = 100.0;
/// Side of the second square: four inches of 25.4 mm.
pub(crate) const INCH_SQUARE: f64 = 101.6;
/// Height of the strip that the check lines take.
pub(super) const STRIP: f64 = 16.0;
/// The parts of a check line, in millimetres or of four inches; how many there are at most, and how many make one worth drawing.
const PARTS: (f64, f64) = (100.0, INCH_SQUARE);
const MOST_PARTS: f64 = 10.0;
const LEAST_PARTS: f64 = 2.0;

/// The square of a hundred millimetres, with a tick for every ten.
pub(super) fn square(canvas: &mut Canvas, corner: Point) {
    let lines = [
        ("100 mm", Hand::PieceName, 34.0),
        ("Print at 100 %,", Hand::PieceText, 52.0),
        ("measure the square", Hand::PieceText, 59.5),
        ("before cutting.", Hand::PieceText, 67.0),
    ];
    ruled(canvas, corner, SQUARE, &lines, (10, 5));
}

/// The square of four inches, with a tick for every half inch; its words at its top where something else stands in it.
pub(super) fn inch_square(canvas: &mut Canvas, corner: Point, is_filled: bool) {
    let downs = if is_filled {
        [12.0, 19.0]
    } else {
        [34.0, 52.0]
    };
    let [name, words] = downs;
    let lines = [
        ("4 in", Hand::PieceName, name),
        ("for inch rulers", Hand::PieceText, words),
    ];
    ruled(canvas, corner, INCH_SQUARE, &lines, (8, 2));
}

/// A square of a side with words in it, the first its name, and ticks along two sides: so many parts, each so many a longer one.
fn ruled(
    canvas: &mut Canvas,
    corner: Point,
    side: f64,
    lines: &[(&str, Hand, f64)],
    (parts, longer): (u32, u32),
) {
    let layer = Layer::TestSquare;
    let rect = Rect::from_origin_size(corner, Size::new(side, side));
    let outline = Shape::Stroke(rect.to_path(0.1), Pen::Square);
    let name = lines.first().map(|(name, ..)| *name);
    canvas.drawing.add(layer, None, name, outline);
    for (letters, hand, down) in lines {
        let at = corner + Vec2::new(side / 2.0, *down);
        let text = Text::new(letters, at, Anchor::Middle, *hand);
        canvas.drawing.add(layer, None, None, Shape::Text(text));
    }
    let mut ticks = BezPath::new();
    for part in 1..parts {
        let along = side * f64::from(part) / f64::from(parts);
        let long = if part % longer == 0 { 4.0 } else { 2.0 };
        ticks.move_to(corner + Vec2::new(along, side));
        ticks.line_to(corner + Vec2::new(along, side - long));
        ticks.move_to(corner + Vec2::new(0.0, along));
        ticks.line_to(corner + Vec2::new(long, along));
    }
    let ticks = Shape::Stroke(ticks, Pen::Frame);
    canvas.drawing.add(layer, None, None, ticks);
    canvas.labels.take(TextFrame::upright(rect));
}

/// Where on a sheet names may stand: not beyond its sides, of which those at the right and the foot may still move, nor on the check
/// lines, which are drawn last.
pub(super) fn free_area(manner: &Manner) -> Rect {
    const FAR: f64 = 1e6;
    match (manner.width, manner.head) {
        (Width::Within(width), _) => Rect::new(0.0, 0.0, width, FAR),
        (_, Head::CheckLines) => Rect::new(STRIP - 3.0, STRIP - 3.0, FAR, FAR),
        (Width::Free | Width::Tiles(_), _) => Rect::new(0.0, 0.0, FAR, FAR),
    }
}

/// Lines along the top and the left side, over the joints of the sheets; returns the size of the drawing.
pub(super) fn check_lines(canvas: &mut Canvas, content: Size, unit: LengthUnit) -> Size {
    let sides = [
        (true, Vec2::new(1.0, 0.0), content.width),
        (false, Vec2::new(0.0, 1.0), content.height),
    ];
    let (part, said) = match unit {
        LengthUnit::Inch => (PARTS.1, (4.0, "in")),
        LengthUnit::Millimetre | LengthUnit::Centimetre => (PARTS.0, (PARTS.0, "mm")),
    };
    for (is_across, along, size) in sides {
        // Only over sheets that are printed for a piece.
        let wanted = canvas.labels.wanted_tiles(is_across);
        let (from, to) = wanted.unwrap_or((0.0, size));
        let parts = ((to.min(size) - from - 24.0) / part)
            .floor()
            .min(MOST_PARTS);
        if parts >= LEAST_PARTS {
            let beside = Vec2::new(along.y, along.x) * 6.0;
            let from = Point::ORIGIN + along * (from + 12.0) + beside;
            let words = format!(
                "{:.0} {}: measure when the sheets are joined",
                parts * said.0,
                said.1
            );
            check_line(canvas, (from, along), (parts as u32, part), &words);
        }
    }
    content
}

fn check_line(
    canvas: &mut Canvas,
    (from, along): (Point, Vec2),
    (parts, part): (u32, f64),
    words: &str,
) {
    let across = Vec2::new(along.y, along.x);
    let mut path = BezPath::new();
    path.move_to(from);
    path.line_to(from + along * (f64::from(parts) * part));
    for tick in 0..=parts {
        let at = from + along * (f64::from(tick) * part);
        path.move_to(at - across * 2.5);
        path.line_to(at + across * 2.5);
    }
    let of = Of::default().named("check line");
    canvas.stroke(Layer::TestSquare, of, path, Pen::Square);
    let (width, height) = size_of(words, Hand::Foot);
    let writing = if along.x > 0.5 { along } else { -along };
    let frame = TextFrame {
        centre: from + along * (50.0_f64.max(width / 2.0 + 6.0)) + across * (1.2 + height / 2.0),
        along: writing,
        half_width: width / 2.0,
        half_height: height / 2.0,
    };
    let text = Text::inside(words, frame, Anchor::Middle, Hand::Foot);
    canvas.text(Layer::TestSquare, of, text);
}
