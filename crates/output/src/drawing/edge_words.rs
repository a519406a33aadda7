//! How each edge is sewn, written at it in small letters: between the cutting line and the sewing line where there is room, else just
//! inside. Where there is none, its number, under which the ticket has the words.

use super::Layer;
use super::canvas::{Canvas, Of};
use super::compose::Placed;
use super::labels::{Keep, size_of};
use super::piece_names::{Along, SHARES};
use super::style::Hand;
use crate::edges;

/// No farther than this from the edge, in millimetres; where all is crowded, its number no farther than that.
const NEAR: f64 = 10.0;
const FARTHEST: f64 = 14.0;
/// How far inside the edge the words are tried where the allowance is narrower than they are.
const GAPS: [f64; 5] = [1.2, 2.4, 4.0, 6.0, 9.0];
/// What the lines under the words may cost.
const MOST_LINES: f64 = 4.0;
/// In a wider allowance the words stand as near to the sewing line as in one of this width.
const WIDEST: f64 = 12.0;
/// Letters need so much more than their height between two lines.
const AIR: f64 = 1.0;

pub(super) fn draw(canvas: &mut Canvas, placed: &Placed<'_>) {
    let hand = Hand::EdgeWords;
    for sewn in edges::of(placed.pattern, placed.piece) {
        let (edge, words) = (sewn.edge, super::text::printable(&sewn.words));
        let of = Of::piece(&placed.piece.name).named(&edge.name);
        let Ok(middle) = edge.path.point_at(edge.length / 2.0) else {
            continue;
        };
        let middle = placed.place * middle;
        let size = size_of(&words, hand);
        let narrowest = edge.allowance.as_ref().map_or(0.0, |all| all.width.least());
        let beyond = narrowest * placed.scale();
        let middle_of = beyond.min(WIDEST);
        let outside = (beyond > size.1 + AIR).then_some(-(middle_of + size.1) / 2.0);
        let keep = Keep {
            inside: Some(placed.cut()),
            lines: MOST_LINES,
            within: NEAR,
            ..Keep::default()
        };
        let places = Along::all(placed, edge, size, &SHARES);
        let gaps: Vec<f64> = outside.into_iter().chain(GAPS).collect();
        let boxes = places.iter().flat_map(|along| {
            gaps.iter().map(move |gap| {
                let inside = if *gap < 0.0 { 0.0 } else { 2.0 + gap };
                let own = inside + 6.0 * f64::abs(along.share - 0.5);
                (own, move || along.inside(*gap))
            })
        });
        let labels = &mut canvas.labels;
        let mut found = labels.place_in(&words, hand, boxes, keep);
        if found.is_none() {
            found = labels.place_at_point(&words, hand, middle, keep);
        }
        let number = format!("({})", sewn.number);
        let anywhere = Keep {
            area: Some(placed.own),
            within: FARTHEST,
            ..Keep::default()
        };
        // From the edge; then from the cutting line, so that no leader runs over what is written inside.
        let ways = [(keep, 0.0), (anywhere, 0.0), (anywhere, 1.0)];
        for (keep, outward) in ways {
            for share in SHARES {
                let out = outward * edge.width_at(edge.length * share);
                if found.is_none()
                    && let Ok(at) = edge.path.location_at(edge.length * share)
                {
                    let at = edge.path.point(at) - edge.path.normal_at(at) * out;
                    let keep = Keep {
                        within: keep.within - out * placed.scale(),
                        ..keep
                    };
                    found = labels.place_at_point(&number, hand, placed.place * at, keep);
                }
            }
        }
        if let Some(found) = found {
            canvas.placed(Layer::Text, of, found);
        }
    }
}
