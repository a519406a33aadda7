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
use oaktag_language::voice;

/// Names of fold lines, and of marks, each kind of mark once.
pub(super) fn folds_and_marks(canvas: &mut Canvas, placed: &Placed<'_>) {
    let of = Of::piece(&placed.piece.name);
    for (name, path) in placed.piece.folds() {
        let of = of.named(name);
        let done = along_line(canvas, placed, of, Layer::Text, path, Hand::PointName);
        let middle = path.length().and_then(|length| path.point_at(length / 2.0));
        if let (false, Ok(middle)) = (done, middle) {
            let at = placed.place * middle;
            // One that would lie on lines is for lessons.
            let layer = match at_point(canvas, placed, of, &text::label(name), at) {
                true => continue,
                false => Layer::Names,
            };
            anywhere(canvas, placed, (layer, of), &text::label(name), at);
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
                    mark_words(canvas, placed, of, words, placed.place * *p);
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
                        mark_words(canvas, placed, of, words, placed.place * middle);
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
    let words = match pressed(placed, mark) {
        Some(edge) => format!("{}, pressed toward {edge}", mark.words()),
        None => mark.words().into_owned(),
    };
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

/// Words that must be read, in parts or on lines if need be.
fn mark_words(canvas: &mut Canvas, placed: &Placed<'_>, of: Of<'_>, words: &str, at: Point) {
    if at_point(canvas, placed, of, words, at) {
        return;
    }
    for part in words.split(", ") {
        let is_whole = part.len() == words.len();
        if is_whole || !at_point(canvas, placed, of, part, at) {
            anywhere(canvas, placed, (Layer::Text, of), part, at);
        }
    }
}

/// The edge toward which the dart is pressed of which a mark is a leg.
fn pressed(placed: &Placed<'_>, mark: &MarkSpec) -> Option<String> {
    let (Value::Line(leg) | Value::Curve(leg)) = &mark.shape else {
        return None;
    };
    let end = leg.end().ok()?;
    let (start, near) = (leg.start().ok()?, |a: Point, b: Point| {
        (a - b).hypot() < 0.01
    });
    let mut darts = placed.piece.darts.iter();
    let dart = darts.find(|dart| {
        let mouths = [dart.mouth.0, dart.mouth.1];
        near(end, dart.apex) && mouths.into_iter().any(|mouth| near(start, mouth))
    })?;
    (!dart.pressed.is_empty()).then(|| voice::letters(&dart.pressed))
}

/// What the lines under words may cost, where smaller letters do with less.
const MOST_LINES: f64 = 5.0;
/// Words nearer than these to their point are better than larger ones.
const BESIDE: [f64; 2] = [10.0, 25.0];

/// Words beside a point, clear of lines: near by and on the piece, in smaller letters if need be, rather than far off or outside;
/// whether there was room.
fn at_point(canvas: &mut Canvas, placed: &Placed<'_>, of: Of<'_>, words: &str, at: Point) -> bool {
    let on_piece = Some(placed.cut());
    let keep = |inside, within| Keep {
        inside,
        area: Some(placed.own),
        within,
        lines: MOST_LINES,
    };
    let ways = [
        keep(on_piece, BESIDE[0]),
        keep(on_piece, BESIDE[1]),
        keep(on_piece, f64::INFINITY),
        keep(None, f64::INFINITY),
    ];
    let labels = &mut canvas.labels;
    let hands = [Hand::PointName, Hand::PointSmall];
    let mut found = ways
        .into_iter()
        .flat_map(|keep| hands.map(|hand| (hand, keep)))
        .filter_map(|(hand, keep)| labels.place_at_point(words, hand, at, keep));
    let found = found.next();
    let done = found.is_some();
    if let Some(found) = found {
        canvas.placed(Layer::Text, of, found);
    }
    done
}

/// Words beside a point, in small letters, where least is in their way.
fn anywhere(
    canvas: &mut Canvas,
    placed: &Placed<'_>,
    (layer, of): (Layer, Of<'_>),
    words: &str,
    at: Point,
) {
    let keep = Keep {
        area: Some(placed.own),
        ..Keep::default()
    };
    if let Some(found) = canvas
        .labels
        .place_at_point(words, Hand::PointSmall, at, keep)
    {
        canvas.placed(layer, of, found);
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
