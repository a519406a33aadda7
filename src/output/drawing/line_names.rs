//! Names written along lines inside a piece: fold lines, marks and guide lines of the construction.

use super::canvas::{Canvas, Of, chords, on_sheet};
use super::compose::Placed;
use super::frame::TextFrame;
use super::ink::Hand;
use super::piece_names::readable;
use super::{Layer, labels, text};
use crate::geometry::path::Path;
use crate::pattern::figure;
use crate::pattern::spec::{MarkSpec, Value};
use kurbo::{Point, Shape as _, Vec2};

/// Names of fold lines, and of marks, each kind of mark once.
pub(super) fn folds_and_marks(canvas: &mut Canvas, placed: &Placed<'_>) {
    let of = Of::piece(&placed.piece.name);
    for (name, path) in placed
        .piece
        .fold_lines
        .iter()
        .chain(&placed.piece.mirror_line)
    {
        let of = of.named(name);
        let done = along_line(canvas, placed, of, Layer::Text, path, Hand::PointName);
        let middle = path.length().and_then(|length| path.point_at(length / 2.0));
        if let (false, Ok(middle)) = (done, middle) {
            at_point(canvas, of, &text::label(name), placed.place * middle);
        }
    }
    let mut said: Vec<&str> = Vec::new();
    for mark in &placed.piece.marks {
        let words = if mark.text.is_empty() {
            mark.name.as_str()
        } else {
            mark.text.as_str()
        };
        if said.contains(&words) {
            continue;
        }
        said.push(words);
        match &mark.shape {
            Value::Point(p) => {
                let at = placed.place * *p;
                let size = sized(placed, mark);
                let says_it = |size: &String| size.split(' ').next() == Some(words);
                if !size.as_ref().is_some_and(says_it) {
                    at_point(canvas, of.named(&mark.name), words, at);
                }
                if let Some(size) = size {
                    at_point(canvas, of.named(&mark.name), &size, at);
                }
            }
            Value::Line(path) | Value::Curve(path) => {
                let hand = Hand::PointName;
                if let Some(hole) = sized(placed, mark) {
                    let middle = path.length().and_then(|length| path.point_at(length / 2.0));
                    if let Ok(middle) = middle {
                        // The size says what it is; other words of the draft stand beside it.
                        let own = (!words.eq_ignore_ascii_case("buttonhole")).then_some(words);
                        for words in own.into_iter().chain([hole.as_str()]) {
                            at_point(canvas, of.named(&mark.name), words, placed.place * middle);
                        }
                    }
                    continue;
                }
                let done = along_line(canvas, placed, of.named(words), Layer::Text, path, hand);
                let middle = path.length().and_then(|length| path.point_at(length / 2.0));
                if let (false, Ok(middle)) = (done, middle) {
                    at_point(canvas, of.named(&mark.name), words, placed.place * middle);
                }
            }
            _ => {}
        }
    }
}

/// Words beside a point, where there is room.
fn at_point(canvas: &mut Canvas, of: Of<'_>, words: &str, at: Point) {
    let hand = Hand::PointName;
    if let Some(found) = canvas.labels.place_at_point(words, hand, at, |_| 0.0) {
        canvas.placed(Layer::Text, of, found);
    }
}

/// The size of a mark's button and buttonhole.
fn sized(placed: &Placed<'_>, mark: &MarkSpec) -> Option<String> {
    let button = mark.button?;
    let unit = placed.unit();
    let mut parts = Vec::new();
    if mark.sewn_button().is_some() {
        parts.push(format!("button {}", figure::spoken(button.diameter, unit)));
    }
    if placed.piece.buttonhole(mark).is_some() {
        let hole = figure::spoken(button.hole(), unit);
        parts.push(format!("hole {hole}"));
    }
    (!parts.is_empty()).then(|| parts.join(", "))
}

/// Writes a name along a line where it crosses the piece; whether there was room.
pub(super) fn along_line(
    canvas: &mut Canvas,
    placed: &Placed<'_>,
    of: Of<'_>,
    layer: Layer,
    path: &Path,
    hand: Hand,
) -> bool {
    let letters = of.name.map(text::label).unwrap_or_default();
    let (width, height) = labels::size_of(&letters, hand);
    let Some(shown) = on_sheet(path, placed.place, placed.bounds) else {
        return false;
    };
    // A line in the allowance, such as the fold of a hem, has its name there.
    let within_sewing = placed.sewing.as_ref().filter(|sewing| {
        let middle = shown.bounding_box().center();
        sewing.contains(middle) || !placed.outer.contains(middle)
    });
    let outline = within_sewing.unwrap_or(&placed.outer);
    let mut boxes = Vec::new();
    for row in chords(&shown) {
        for (a, b) in row.iter().zip(row.iter().skip(1)) {
            let way = *b - *a;
            if way.hypot() < width {
                continue;
            }
            let along = readable(way.normalize());
            let across = Vec2::new(-along.y, along.x);
            for step in 1..16 {
                let share = f64::from(step) / 16.0;
                for side in [-1.0, 1.0] {
                    let frame = TextFrame {
                        centre: a.lerp(*b, share) + across * (side * (1.4 + height / 2.0)),
                        along,
                        half_width: width / 2.0,
                        half_height: height / 2.0,
                    };
                    // Toward an end, where the middle of the piece stays free.
                    boxes.push((frame, 0.3 * side + 6.0 * share.min(1.0 - share)));
                }
            }
        }
    }
    let inside = |frame: &TextFrame| {
        let corners = frame.corners();
        corners.iter().all(|corner| outline.contains(*corner))
    };
    let found = canvas.labels.cheapest(boxes, 3.0, inside);
    let placed = found.and_then(|frame| canvas.labels.place_in(&letters, hand, [(frame, 0.0)]));
    let done = placed.is_some();
    if let Some(placed) = placed {
        canvas.placed(layer, of, placed);
    }
    done
}
