//! The names on a piece: what it is and how it is cut, its edges with their lengths, the points of its outline and as much
//! of the construction as can be read.

use super::canvas::{Canvas, Of};
use super::compose::Placed;
use super::frame::TextFrame;
use super::ink::{self, Hand};
use super::piece_lines::of_panel;
use super::{Anchor, Layer, Text, labels};
use crate::pattern::spec::Value;
use crate::pattern::{Edge, figure};
use kurbo::{Point, Vec2};

/// Construction points named on a piece, at most.
const MOST_POINTS: usize = 14;
/// Construction lines named on a piece, at most.
const MOST_LINES: usize = 8;
/// A named point this near to a corner of the outline is that corner.
const SAME: f64 = 0.01;

/// Edges with their lengths, written along them on the inside.
pub(super) fn edges(canvas: &mut Canvas, placed: &Placed<'_>) {
    let written = |edge: &Edge| {
        let mut fold = canvas.drawing.layer(Layer::Fold);
        fold.any(|item| {
            item.piece.as_deref() == Some(&placed.piece.name)
                && item.name.as_deref() == Some(&edge.name)
                && matches!(item.shape, super::Shape::Text(_))
        })
    };
    let edges = placed.piece.edges.iter();
    let left: Vec<&Edge> = edges
        .filter(|edge| !edge.on_fold || !written(edge))
        .collect();
    for edge in left {
        let letters = format!(
            "{} {}",
            figure::name(&edge.name),
            figure::bare(edge.length, placed.unit())
        );
        let of = Of::piece(&placed.piece.name).named(&edge.name);
        let boxes = along_edge(placed, edge, &letters, Hand::EdgeName);
        let cheap = canvas
            .labels
            .cheapest(boxes)
            .filter(|frame| canvas.labels.line_cost(frame) < 9.0);
        let found = match cheap {
            Some(frame) => canvas
                .labels
                .place_in(&letters, Hand::EdgeName, [(frame, 0.0)]),
            None => edge
                .path
                .point_at(edge.length / 2.0)
                .ok()
                .and_then(|middle| {
                    canvas.labels.place_at_point(
                        &letters,
                        Hand::EdgeName,
                        placed.place * middle,
                        |_| 0.0,
                    )
                }),
        };
        if let Some(found) = found {
            canvas.placed(Layer::Text, of, found);
        }
    }
}

/// Boxes along an edge at several places and distances on its inner side.
fn along_edge(
    placed: &Placed<'_>,
    edge: &Edge,
    letters: &str,
    hand: Hand,
) -> Vec<(TextFrame, f64)> {
    let (width, height) = labels::size_of(letters, hand);
    let mut boxes = Vec::new();
    if edge.length < width + 1.0 {
        return boxes;
    }
    for share in [0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74, 0.18, 0.82] {
        let middle = edge.length * share;
        let (from, to) = (
            (middle - width / 2.0).max(0.0),
            (middle + width / 2.0).min(edge.length),
        );
        let points = (
            edge.path.point_at(from),
            edge.path.point_at(to),
            edge.path.point_at(middle),
        );
        let (Ok(from), Ok(to), Ok(at)) = points else {
            continue;
        };
        let (from, to, at) = (placed.place * from, placed.place * to, placed.place * at);
        let way = to - from;
        if way.hypot() < 1.0 {
            continue;
        }
        let along = way.normalize();
        let inward = Vec2::new(along.y, -along.x);
        let writing = readable(along);
        for gap in [2.0, 3.0, 4.2, 6.0, 9.0, 13.0, 18.0] {
            let centre = at + inward * (gap + height / 2.0);
            let frame = TextFrame {
                centre,
                along: writing,
                half_width: width / 2.0,
                half_height: height / 2.0,
            };
            boxes.push((frame, 0.5 * gap + 9.0 * f64::abs(share - 0.5)));
        }
    }
    boxes
}

/// The direction of writing along a line: from left to right, and upward where it stands upright.
pub(super) fn readable(along: Vec2) -> Vec2 {
    if along.x.abs() < 1e-3 {
        return Vec2::new(0.0, -1.0);
    }
    if along.x < 0.0 { -along } else { along }
}

/// Points that are corners of the outline.
pub(super) fn outline_points(canvas: &mut Canvas, placed: &Placed<'_>) {
    let corners = corners(placed);
    for (member, value) in of_panel(&placed.pattern.values, &placed.piece.panel) {
        let Value::Point(p) = &value.value else {
            continue;
        };
        if corners.iter().any(|corner| (*corner - *p).hypot() <= SAME) {
            point(canvas, placed, member, *p, Hand::PointName);
        }
    }
}

fn corners(placed: &Placed<'_>) -> Vec<Point> {
    placed
        .piece
        .edges
        .iter()
        .flat_map(|edge| [edge.path.start(), edge.path.end()])
        .flatten()
        .collect()
}

fn point(canvas: &mut Canvas, placed: &Placed<'_>, member: &str, p: Point, hand: Hand) {
    let of = Of::piece(&placed.piece.name).named(member);
    let at = placed.place * p;
    let (layer, ink, radius) = match hand {
        Hand::ConstructionName => (Layer::Construction, ink::SLATE, 0.6),
        _ => (Layer::Text, ink::BLACK, 0.8),
    };
    let letters = figure::name(member);
    if let Some(found) = canvas.labels.place_at_point(&letters, hand, at, |_| 0.0) {
        canvas.dot(layer, of, at, radius, ink);
        canvas.placed(layer, of, found);
    }
}

/// Points and straight guide lines of the construction that fall on the piece, the first drawn first.
pub(super) fn construction(canvas: &mut Canvas, placed: &Placed<'_>) {
    let corners = corners(placed);
    let shown = placed.shown();
    let mut seen: Vec<Point> = Vec::new();
    for (member, value) in of_panel(&placed.pattern.values, &placed.piece.panel) {
        let Value::Point(p) = &value.value else {
            continue;
        };
        let known = corners
            .iter()
            .chain(&seen)
            .any(|other| (*other - *p).hypot() <= SAME);
        if known || !shown.contains(placed.place * *p) || seen.len() >= MOST_POINTS {
            continue;
        }
        seen.push(*p);
        point(canvas, placed, member, *p, Hand::ConstructionName);
    }
    let mut named = 0;
    for (member, value) in of_panel(&placed.pattern.values, &placed.piece.panel) {
        let (Value::Line(path) | Value::Curve(path)) = &value.value else {
            continue;
        };
        let edge = placed
            .piece
            .edges
            .iter()
            .any(|edge| edge.line == value.name);
        let fold = placed.piece.fold_lines.iter().any(|(_, line)| line == path);
        if edge || fold || named >= MOST_LINES {
            continue;
        }
        let of = Of::piece(&placed.piece.name).named(member);
        named += usize::from(super::line_names::along_line(
            canvas,
            placed,
            of,
            Layer::Construction,
            path,
            Hand::ConstructionName,
        ));
    }
}

/// A text beside nothing in particular, for panels.
pub(super) fn heading(canvas: &mut Canvas, of: Of<'_>, letters: &str, at: Point) {
    canvas.text(
        Layer::Text,
        of,
        Text::new(letters, at, Anchor::Start, Hand::PieceName),
    );
}
