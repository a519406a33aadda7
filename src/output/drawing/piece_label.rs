//! The label of a piece: what it is, how it is cut, of which cloth; and, in a frame, what must be read before it is cut.

use super::canvas::{Canvas, Of, block_size};
use super::compose::Placed;
use super::frame::TextFrame;
use super::ink::{Hand, Pen};
use super::{Anchor, Layer, Shape, text};
use crate::pattern::figure;
use kurbo::{Point, Rect, Shape as _, Vec2};

/// The label of a piece, with its cautions below it.
pub(super) fn draw(canvas: &mut Canvas, placed: &Placed<'_>) {
    let of = Of::piece(&placed.piece.name);
    let label = text::fitted(
        &text::printable(&placed.piece.label),
        Hand::PieceName.size(),
        true,
        WIDEST,
    );
    let name = vec![(label.clone(), Hand::PieceName)];
    let fit = |line: String| {
        text::fitted(
            &text::printable(&line),
            Hand::PieceText.size(),
            false,
            WIDEST,
        )
    };
    let facts: Vec<(String, Hand)> = facts(placed)
        .into_iter()
        .map(|line| (fit(line), Hand::PieceText))
        .collect();
    let whole: Vec<(String, Hand)> = name.into_iter().chain(facts.clone()).collect();
    let small: Vec<(String, Hand)> = std::iter::once((label, Hand::PieceText))
        .chain(facts)
        .collect();
    let row = vec![(
        small
            .iter()
            .map(|(line, _)| line.as_str())
            .collect::<Vec<_>>()
            .join(" · "),
        Hand::PieceText,
    )];
    let found = [&whole, &small, &row]
        .into_iter()
        .find_map(|lines| Some((room(canvas, placed, lines)?, lines)));
    let (frame, lines) = found.unwrap_or_else(|| (below(canvas, placed, &small), &small));
    canvas.block(Layer::Text, of, frame, lines, Anchor::Start);
    cautions(canvas, placed);
}

fn facts(placed: &Placed<'_>) -> Vec<String> {
    let piece = placed.piece;
    let mut lines = Vec::new();
    let how = piece.cut_words();
    if !how.is_empty() {
        lines.push(how);
    }
    if let Some(cloth) = &piece.cut.cloth {
        let declared = placed.pattern.cloths.iter().find(|one| one.name == *cloth);
        let words = declared
            .map(|one| one.label.as_str())
            .filter(|label| !label.is_empty());
        lines.push(match words {
            Some(label) => format!("{}: {label}", figure::name(cloth)),
            None => figure::name(cloth),
        });
    }
    if piece.grain.is_none() {
        lines.push("no grain line stated".to_owned());
    }
    if piece.cutting.is_none() || piece.cutting == piece.sewing {
        lines.push("no allowance: the line is the sewing line".to_owned());
    }
    lines
}

/// What must be read before cutting, in a frame.
fn cautions(canvas: &mut Canvas, placed: &Placed<'_>) {
    let piece = placed.piece;
    if piece.cautions.is_empty() {
        return;
    }
    let widest = (placed.bounds.width() * 0.7).clamp(70.0, 160.0);
    let mut lines = Vec::new();
    for caution in &piece.cautions {
        let wrapped = text::wrapped(
            &text::printable(caution),
            Hand::Caution.size(),
            true,
            widest,
        );
        lines.extend(wrapped.into_iter().map(|line| (line, Hand::Caution)));
    }
    let of = Of::piece(&piece.name);
    let frame = room(canvas, placed, &lines).unwrap_or_else(|| below(canvas, placed, &lines));
    canvas.block(Layer::Cautions, of, frame, &lines, Anchor::Start);
    canvas.labels.take(frame.grown(2.0));
    let corners = frame.grown(1.6).corners();
    let mut border = kurbo::BezPath::new();
    for (index, corner) in corners.into_iter().enumerate() {
        if index == 0 {
            border.move_to(corner);
        } else {
            border.line_to(corner);
        }
    }
    border.close_path();
    canvas.drawing.add(
        Layer::Cautions,
        of.piece,
        None,
        Shape::Stroke(border, Pen::Caution),
    );
}

/// Lines of a label are cut at this width.
const WIDEST: f64 = 180.0;
/// Room kept between a label and the lines round it: where the piece has it, and where it is tight.
const CLEAR: [f64; 2] = [5.0, 1.0];

/// The best free box inside the piece for a block of lines: upright or, in a narrow piece, along it.
fn room(canvas: &Canvas, placed: &Placed<'_>, lines: &[(String, Hand)]) -> Option<TextFrame> {
    let (width, height) = block_size(lines);
    let ways = [Vec2::new(1.0, 0.0), Vec2::new(0.0, -1.0)];
    let tries = ways
        .into_iter()
        .flat_map(|along| CLEAR.map(|clear| (along, clear)));
    let frame = TextFrame {
        centre: Point::ZERO,
        along: Vec2::ZERO,
        half_width: width / 2.0,
        half_height: height / 2.0,
    };
    let mut found = tries
        .filter_map(|(along, clear)| room_for(canvas, placed, TextFrame { along, ..frame }, clear));
    found.next()
}

fn room_for(
    canvas: &Canvas,
    placed: &Placed<'_>,
    frame: TextFrame,
    clear: f64,
) -> Option<TextFrame> {
    let outline = placed.sewing.as_ref().unwrap_or(&placed.outer);
    let bounds = outline.bounding_box();
    let (across, down) = (
        frame.reach(Vec2::new(1.0, 0.0)),
        frame.reach(Vec2::new(0.0, 1.0)),
    );
    let places = bounds.inflate(-across - 1.0, -down - 1.0);
    if places.width() < 0.0 || places.height() < 0.0 {
        return None;
    }
    let middle = bounds.center() - Vec2::new(0.0, 0.12 * bounds.height());
    let mut boxes = Vec::new();
    for column in 0..=16 {
        for row in 0..=24 {
            let share = Vec2::new(f64::from(column) / 16.0, f64::from(row) / 24.0);
            let centre =
                places.origin() + Vec2::new(places.width() * share.x, places.height() * share.y);
            boxes.push((
                TextFrame { centre, ..frame },
                0.04 * (centre - middle).hypot(),
            ));
        }
    }
    boxes.sort_by(|a, b| a.1.total_cmp(&b.1));
    let inside = |frame: &TextFrame| {
        frame
            .grown(3.0)
            .corners()
            .iter()
            .all(|corner| outline.contains(*corner))
    };
    // The lines are asked of a larger box, so that the label stands clear of them.
    let boxes = boxes
        .into_iter()
        .filter(|(frame, _)| inside(frame))
        .map(|(frame, cost)| (frame.grown(clear), cost));
    canvas
        .labels
        .cheapest(boxes)
        .filter(|frame| canvas.labels.line_cost(frame) < 12.0)
        .map(|frame| frame.grown(-clear))
}

/// A box below the piece, for one too small to hold its label.
fn below(canvas: &Canvas, placed: &Placed<'_>, lines: &[(String, Hand)]) -> TextFrame {
    let (width, height) = block_size(lines);
    let mut top = placed.bounds.y1 + 4.0;
    loop {
        let rect = Rect::new(
            placed.bounds.x0,
            top,
            placed.bounds.x0 + width,
            top + height,
        );
        let frame = TextFrame::upright(rect);
        if canvas.labels.is_free(&frame) || top > placed.bounds.y1 + 400.0 {
            return frame;
        }
        top += 4.0;
    }
}
