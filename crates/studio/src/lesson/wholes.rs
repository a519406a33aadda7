//! Pictures of the whole: all sheets as they are half way, and the pieces as they are cut.

use super::plates::bounds;
use super::sheets::{Mark, Sheets};
use kurbo::{Affine, Point, Rect, Shape as _, Size, Vec2};
use oaktag_language::pattern::Pattern;
use oaktag_output::drawing::canvas::{Canvas, Of};
use oaktag_output::drawing::style::{Hand, Pen};
use oaktag_output::drawing::{Drawing, Layer};
use oaktag_output::layout;
use oaktag_output::path_data::bez;

/// All sheets side by side as they are by now.
pub(super) fn sheets(title: &str, words: &str, sheets: &Sheets, room: Size) -> Option<Drawing> {
    let drawn: Vec<(&String, Vec<&Mark>, Rect)> = sheets
        .0
        .iter()
        .filter_map(|(name, sheet)| {
            let marks: Vec<&Mark> = sheet.values().collect();
            let lines = marks
                .iter()
                .any(|mark| matches!(mark, Mark::Line(path) if !path.is_endless()));
            let bounds = bounds(marks.iter().copied())?;
            lines.then_some((name, marks, bounds))
        })
        .collect();
    let boxes: Vec<(String, Rect)> = drawn
        .iter()
        .map(|(name, _, bounds)| ((*name).clone(), *bounds))
        .collect();
    let (mut canvas, places) = side_by_side(title, words, &boxes, room)?;
    for ((_, marks, _), place) in drawn.iter().zip(&places) {
        for mark in marks {
            if let Mark::Line(path) = mark
                && !path.is_endless()
            {
                let path = *place * bez(path);
                canvas.stroke(Layer::Construction, Of::default(), path, Pen::Edge);
            }
        }
    }
    for ((name, bounds), place) in boxes.iter().zip(&places) {
        let letters = if name.is_empty() {
            "beside the panels".to_owned()
        } else {
            oaktag_language::voice::name(name)
        };
        whole(&mut canvas, &letters, *place * bounds.center());
    }
    Some(canvas.finish())
}

/// The pieces as they are cut.
pub(super) fn pieces(title: &str, words: &str, pattern: &Pattern, room: Size) -> Option<Drawing> {
    let boxes: Vec<(String, Rect)> = pattern
        .pieces
        .iter()
        .filter_map(|piece| Some((piece.label.clone(), bez(piece.outer()?).bounding_box())))
        .collect();
    let (mut canvas, places) = side_by_side(title, words, &boxes, room)?;
    let drawn = pattern
        .pieces
        .iter()
        .filter(|piece| piece.outer().is_some());
    for (piece, place) in drawn.zip(&places) {
        let (layer, of) = (Layer::Construction, Of::piece(&piece.name));
        if let Some(cutting) = &piece.cutting {
            canvas.stroke(layer, of, *place * bez(cutting), Pen::Allowance);
        }
        for edge in &piece.edges {
            let path = *place * bez(&edge.path);
            canvas.stroke(layer, of.named(&edge.name), path, Pen::Edge);
        }
    }
    for ((label, bounds), place) in boxes.iter().zip(&places) {
        whole(&mut canvas, label, *place * bounds.center());
    }
    Some(canvas.finish())
}

/// The name of a whole sheet or piece.
fn whole(canvas: &mut Canvas, letters: &str, at: Point) {
    let (of, hand) = (Of::default(), Hand::Whole);
    canvas.name(Layer::Text, of, letters, at, hand, f64::INFINITY);
}

/// Boxes of the sheet laid side by side on a page: the figure, and how each lies on it.
fn side_by_side(
    title: &str,
    words: &str,
    boxes: &[(String, Rect)],
    room: Size,
) -> Option<(Canvas, Vec<Affine>)> {
    if boxes.is_empty() {
        return None;
    }
    let sizes: Vec<Size> = boxes.iter().map(|(_, bounds)| bounds.size()).collect();
    let layout = layout::lay(&sizes, 60.0);
    let by = ((room.width - 12.0) / layout.size.width.max(1.0))
        .min((room.height - 12.0) / layout.size.height.max(1.0))
        .min(1.0);
    let size = Size::new(room.width, layout.size.height * by + 12.0);
    let places = boxes
        .iter()
        .zip(&layout.places)
        .map(|((_, bounds), corner)| {
            let to = Vec2::new(6.0, 6.0) + corner.to_vec2() * by;
            Affine::translate(to)
                * Affine::scale(by)
                * Affine::translate((-bounds.x0, bounds.y1))
                * Affine::FLIP_Y
        });
    Some((Canvas::figure(size, title, words), places.collect()))
}
