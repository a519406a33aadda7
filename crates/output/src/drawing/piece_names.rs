//! Edges of a piece with their lengths, written along them on the inside.

use super::canvas::{Canvas, Of};
use super::compose::Placed;
use super::frame::TextFrame;
use super::labels::Keep;
use super::piece_label::Fit;
use super::style::Hand;
use super::{Anchor, Layer, Text, labels, text};
use kurbo::{Affine, Point, Vec2};
use oaktag_language::pattern::Edge;
use std::cell::OnceCell;

/// Edges with their lengths, written along them on the inside.
pub(super) fn edges(canvas: &mut Canvas, placed: &Placed<'_>) {
    let said = |edge: &Edge| {
        let mut fold = canvas.drawing.layer(Layer::Fold);
        fold.find_map(|item| match &item.shape {
            super::Shape::Text(text)
                if item.piece.as_deref() == Some(&placed.piece.name)
                    && item.name.as_deref() == Some(&edge.name) =>
            {
                Some(text.letters.contains(&text::label(&edge.name)))
            }
            _ => None,
        })
    };
    let edges = placed.piece.edges.iter();
    let left = edges.filter(|edge| !edge.mirrored && edge.mouth.is_none());
    // Whether the fold says what it is; with its name, without, or not at all.
    let left: Vec<(&Edge, Option<bool>)> = left
        .map(|edge| (edge, edge.on_fold.then(|| said(edge)).flatten()))
        .filter(|(_, fold)| *fold != Some(true))
        .collect();
    for (edge, fold) in left {
        openings(canvas, placed, edge);
        let mut letters = format!(
            "{} {}",
            text::label(&edge.name),
            placed.unit().bare(edge.length)
        );
        for held in &edge.held {
            letters.push_str(" · ");
            letters.push_str(&held.words(placed.unit()));
        }
        let letters = letters.trim_end().to_owned();
        let of = Of::piece(&placed.piece.name).named(&edge.name);
        let (hand, on_sheet) = (Hand::EdgeName, &mut canvas.labels);
        let says_more = !edge.held.is_empty();
        let mut along = |(hand, lines, shares): (Hand, f64, &[f64])| {
            let keep = Keep {
                lines,
                area: Some(placed.own),
                ..Keep::default()
            };
            let places = Along::all(placed, edge, labels::size_of(&letters, hand), shares);
            let boxes = places.iter().flat_map(|along| {
                GAPS.map(|gap| {
                    let own = 0.5 * gap + 9.0 * f64::abs(along.share - 0.5);
                    (own, move || along.inside(gap))
                })
            });
            on_sheet.place_in(&letters, hand, boxes, keep)
        };
        // What must be read stands smaller, or on a line that crosses it, rather than off its edge.
        let ways: [(Hand, f64, &[f64]); 4] = [
            (hand, EDGE_LINES, &SHARES),
            (hand, EDGE_LINES, &BETWEEN),
            (Hand::PointSmall, EDGE_LINES, &SHARES),
            (Hand::PointSmall, 3.0 * EDGE_LINES, &SHARES),
        ];
        let ways = ways.into_iter().take(if says_more { 4 } else { 2 });
        let along = ways.filter_map(&mut along).next();
        // One that stands off is for lessons: at the table the edge has its number.
        let layer = match (&along, placed.fit) {
            _ if says_more => Layer::Text,
            (Some(_), Fit::Roomy) if fold.is_none() => Layer::Text,
            _ => Layer::Names,
        };
        let found = along.or_else(|| {
            let middle = placed.place * edge.path.point_at(edge.length / 2.0).ok()?;
            let keep = Keep {
                area: Some(placed.own),
                ..Keep::default()
            };
            let clear = Keep {
                lines: EDGE_LINES,
                ..keep
            };
            let ways = [(hand, clear), (Hand::PointSmall, clear), (hand, keep)];
            let mut found = ways
                .into_iter()
                .skip(if says_more { 0 } else { 2 })
                .filter_map(|(hand, keep)| on_sheet.place_at_point(&letters, hand, middle, keep));
            found.next()
        });
        if let Some(found) = found {
            canvas.placed(layer, of, found);
        }
    }
}

/// What the lines under the name of an edge may cost.
const EDGE_LINES: f64 = 6.0;

/// How far inside an edge the words are tried that stand beside the dots.
const BESIDE_DOTS: [f64; 5] = [4.6, 6.0, 8.0, 11.0, 15.0];

/// What an edge is left open for, along the dots that show where.
fn openings(canvas: &mut Canvas, placed: &Placed<'_>, edge: &Edge) {
    for (from, to, words) in &edge.open {
        let long = placed.unit().bare(to - from);
        let letters = match words.trim() {
            "" => format!("open {long}"),
            words => format!("open {long}: {words}"),
        };
        let of = Of::piece(&placed.piece.name).named(&edge.name);
        let keep = Keep {
            lines: EDGE_LINES,
            area: Some(placed.own),
            ..Keep::default()
        };
        let reach = |share: f64| (from + share * (to - from)) / edge.length;
        let shares = [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8].map(reach);
        let hands = [Hand::EdgeName, Hand::PointSmall].into_iter();
        let labels = &mut canvas.labels;
        let mut found = hands.filter_map(|hand| {
            let places = Along::all(placed, edge, labels::size_of(&letters, hand), &shares);
            let boxes = places.iter().flat_map(|along| {
                BESIDE_DOTS.map(|gap| {
                    let own = 0.5 * gap + 9.0 * f64::abs(along.share - reach(0.5));
                    (own, move || along.inside(gap))
                })
            });
            labels.place_in(&letters, hand, boxes, keep)
        });
        let found = found.next().or_else(|| {
            let middle = edge.path.point_at(edge.length * reach(0.5)).ok()?;
            let keep = Keep {
                lines: f64::INFINITY,
                ..keep
            };
            let at = placed.place * middle;
            labels.place_at_point(&letters, Hand::PointSmall, at, keep)
        });
        if let Some(found) = found {
            canvas.placed(Layer::Text, of, found);
        }
    }
}

/// Where along an edge its name is tried, and where else in a narrow piece.
pub(super) const SHARES: [f64; 9] = [0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74, 0.18, 0.82];
const BETWEEN: [f64; 8] = [0.46, 0.54, 0.38, 0.62, 0.3, 0.7, 0.22, 0.78];

/// How far inside an edge its name is tried.
const GAPS: [f64; 7] = [2.6, 3.6, 5.0, 7.0, 10.0, 14.0, 19.0];

/// A place along an edge.
pub(super) struct Along<'a> {
    edge: &'a Edge,
    /// From the pattern to the sheet, and how much larger that makes it.
    place: Affine,
    scale: f64,
    pub(super) share: f64,
    /// Size of the name.
    size: (f64, f64),
    /// The place on the sheet, and the edge's direction there, once they are asked for.
    at: OnceCell<Option<(Point, Vec2)>>,
}

impl<'a> Along<'a> {
    /// Each place at which an edge may have its name; none where it is shorter than that.
    pub(super) fn all(
        placed: &Placed<'_>,
        edge: &'a Edge,
        size: (f64, f64),
        shares: &[f64],
    ) -> Vec<Self> {
        let scale = placed.scale();
        let is_long = edge.length >= size.0 / scale + 1.0;
        let shares = shares.iter().filter(|_| is_long);
        let along = shares.map(|share| Self {
            edge,
            place: placed.place,
            scale,
            share: *share,
            size,
            at: OnceCell::new(),
        });
        along.collect()
    }

    fn at(&self) -> Option<(Point, Vec2)> {
        let (edge, place) = (self.edge, self.place);
        // Lengths are the garment's; how much of the edge the letters take is asked on its own scale.
        let half = self.size.0 / self.scale / 2.0;
        let middle = edge.length * self.share;
        let (from, to) = ((middle - half).max(0.0), (middle + half).min(edge.length));
        let [from, to, at] = [from, to, middle].map(|length| edge.path.point_at(length).ok());
        let way = place * to? - place * from?;
        (way.hypot() >= 1.0).then_some((place * at?, way.normalize()))
    }

    /// The box so far on the inner side; beyond the edge where that is less than nothing.
    pub(super) fn inside(&self, gap: f64) -> Option<TextFrame> {
        let (at, along) = (*self.at.get_or_init(|| self.at()))?;
        let (width, height) = self.size;
        let inward = Vec2::new(along.y, -along.x);
        Some(TextFrame {
            centre: at + inward * (gap + height / 2.0),
            along: readable(along),
            half_width: width / 2.0,
            half_height: height / 2.0,
        })
    }
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
