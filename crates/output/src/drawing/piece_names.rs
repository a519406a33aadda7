//! Edges of a piece with their lengths, written along them on the inside.

use super::canvas::{Canvas, Of};
use super::compose::Placed;
use super::frame::TextFrame;
use super::labels::Keep;
use super::style::Hand;
use super::{Anchor, Layer, Text, labels, text};
use kurbo::{Point, Vec2};
use oaktag_language::pattern::Edge;

/// Edges with their lengths, written along them on the inside.
pub(super) fn edges(canvas: &mut Canvas, placed: &Placed<'_>) {
    let written = |edge: &Edge| {
        let name = text::label(&edge.name);
        let mut fold = canvas.drawing.layer(Layer::Fold);
        fold.any(|item| {
            item.piece.as_deref() == Some(&placed.piece.name)
                && item.name.as_deref() == Some(&edge.name)
                && matches!(&item.shape, super::Shape::Text(text) if text.letters.contains(&name))
        })
    };
    let edges = placed.piece.edges.iter();
    let left: Vec<&Edge> = edges
        .filter(|edge| !edge.mirrored && edge.mouth.is_none() && (!edge.on_fold || !written(edge)))
        .collect();
    for edge in left {
        let mut letters = format!(
            "{} {}",
            text::label(&edge.name),
            placed.unit().bare(edge.length)
        );
        for held in &edge.held {
            letters.push_str(" · ");
            letters.push_str(&held.words(placed.unit()));
        }
        for (from, to, words) in &edge.open {
            let long = placed.unit().bare(to - from);
            letters.push_str(&format!(" · open {long} {words}"));
        }
        let letters = letters.trim_end().to_owned();
        let of = Of::piece(&placed.piece.name).named(&edge.name);
        let (hand, labels) = (Hand::EdgeName, &mut canvas.labels);
        let keep = Keep {
            lines: 9.0,
            ..Keep::default()
        };
        let mut along = |shares: &[f64]| {
            let boxes = along_edge(placed, edge, &letters, hand, shares);
            labels.place_in(&letters, hand, boxes, keep)
        };
        let along = along(&SHARES).or_else(|| along(&BETWEEN));
        let found = along.or_else(|| {
            let middle = placed.place * edge.path.point_at(edge.length / 2.0).ok()?;
            labels.place_at_point(&letters, hand, middle, Keep::default())
        });
        if let Some(found) = found {
            canvas.placed(Layer::Text, of, found);
        }
    }
}

/// Where along an edge its name is tried, and where else in a narrow piece.
const SHARES: [f64; 9] = [0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74, 0.18, 0.82];
const BETWEEN: [f64; 8] = [0.46, 0.54, 0.38, 0.62, 0.3, 0.7, 0.22, 0.78];

/// Boxes along an edge at several places and distances on its inner side.
fn along_edge(
    placed: &Placed<'_>,
    edge: &Edge,
    letters: &str,
    hand: Hand,
    shares: &[f64],
) -> Vec<(TextFrame, f64)> {
    let (width, height) = labels::size_of(letters, hand);
    let mut boxes = Vec::new();
    // Lengths are the garment's; how much of the edge the letters take is asked on its own scale.
    let width_there = width / placed.scale();
    if edge.length < width_there + 1.0 {
        return boxes;
    }
    for share in shares.iter().copied() {
        let middle = edge.length * share;
        let (from, to) = (
            (middle - width_there / 2.0).max(0.0),
            (middle + width_there / 2.0).min(edge.length),
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
        for gap in [2.6, 3.6, 5.0, 7.0, 10.0, 14.0, 19.0] {
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

/// A text beside nothing in particular, for panels.
pub(super) fn heading(canvas: &mut Canvas, of: Of<'_>, letters: &str, at: Point) {
    canvas.text(
        Layer::Text,
        of,
        Text::new(letters, at, Anchor::Start, Hand::PieceName),
    );
}
