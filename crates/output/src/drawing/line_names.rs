//! Names written along lines inside a piece: fold lines, marks and guide lines of the construction.

use super::canvas::{Canvas, Of, chords, on_sheet};
use super::compose::Placed;
use super::frame::TextFrame;
use super::labels::Keep;
use super::piece_names::readable;
use super::style::Hand;
use super::{Layer, labels, text};
use kurbo::{Point, Shape as _, Vec2};
use oaktag_geometry::path::Path;
use oaktag_language::pattern::spec::{MarkSpec, Value};

/// Names of fold lines, and of marks, each kind of mark once.
pub(super) fn folds_and_marks(canvas: &mut Canvas, placed: &Placed<'_>) {
    let of = Of::piece(&placed.piece.name);
    for (name, path) in placed.piece.folds() {
        let of = of.named(name);
        let done = along_line(canvas, placed, of, Layer::Text, path, Hand::PointName);
        let middle = path.length().and_then(|length| path.point_at(length / 2.0));
        if let (false, Ok(middle)) = (done, middle) {
            at_point(
                canvas,
                placed,
                of,
                &text::label(name),
                placed.place * middle,
            );
        }
    }
    let mut said: Vec<String> = Vec::new();
    for mark in &placed.piece.marks {
        let lines = words(placed, mark);
        if said.contains(&lines.join("\n")) {
            continue;
        }
        said.push(lines.join("\n"));
        match &mark.shape {
            Value::Point(p) => {
                for words in &lines {
                    let of = of.named(&mark.name);
                    at_point(canvas, placed, of, words, placed.place * *p);
                }
            }
            Value::Line(path) | Value::Curve(path) => {
                let first = lines.first().map(String::as_str).unwrap_or_default();
                let done = sized(placed, mark).is_none()
                    && along_line(
                        canvas,
                        placed,
                        of.named(first),
                        Layer::Text,
                        path,
                        Hand::PointName,
                    );
                let middle = path.length().and_then(|length| path.point_at(length / 2.0));
                if let (false, Ok(middle)) = (done, middle) {
                    for words in &lines {
                        let of = of.named(&mark.name);
                        at_point(canvas, placed, of, words, placed.place * middle);
                    }
                }
            }
            _ => {}
        }
    }
}

/// What stands beside a mark: its words, and the size of its button and hole, which says by itself what they are.
fn words(placed: &Placed<'_>, mark: &MarkSpec) -> Vec<String> {
    let plain = ["button", "buttonhole"];
    let says_no_more = plain
        .iter()
        .any(|word| mark.text.eq_ignore_ascii_case(word));
    let words = mark.words().into_owned();
    match (sized(placed, mark), mark.side) {
        (Some(size), Some(side)) if says_no_more => vec![format!("{size}, wearer's {side} alone")],
        (Some(size), None) if says_no_more => vec![size],
        (size, _) => {
            let words = if words.is_empty() {
                mark.name.clone()
            } else {
                words
            };
            std::iter::once(words).chain(size).collect()
        }
    }
}

/// Words beside a point, where there is room.
fn at_point(canvas: &mut Canvas, placed: &Placed<'_>, of: Of<'_>, words: &str, at: Point) {
    let hand = Hand::PointName;
    let keep = Keep {
        area: Some(placed.own),
        ..Keep::default()
    };
    if let Some(found) = canvas.labels.place_at_point(words, hand, at, keep) {
        canvas.placed(Layer::Text, of, found);
    }
}

/// The size of a mark's button and buttonhole.
fn sized(placed: &Placed<'_>, mark: &MarkSpec) -> Option<String> {
    let button = mark.button?;
    let unit = placed.unit();
    let mut parts = Vec::new();
    if mark.sewn_button().is_some() {
        parts.push(format!("button {}", unit.length(button.diameter)));
    }
    if placed.piece.buttonhole(mark).is_some() {
        let hole = unit.length(button.hole());
        parts.push(format!("buttonhole {hole}"));
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
    let middle = shown.bounding_box().center();
    let within_sewing = placed.sewn().contains(middle) || !placed.cut().contains(middle);
    let inside = if within_sewing {
        placed.sewn()
    } else {
        placed.cut()
    };
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
                    boxes.push((0.3 * side + 6.0 * share.min(1.0 - share), move || {
                        Some(frame)
                    }));
                }
            }
        }
    }
    let keep = Keep {
        inside: Some(inside),
        lines: 3.0,
        ..Keep::default()
    };
    let found = canvas.labels.place_in(&letters, hand, boxes, keep);
    let done = found.is_some();
    if let Some(found) = found {
        canvas.placed(layer, of, found);
    }
    done
}
