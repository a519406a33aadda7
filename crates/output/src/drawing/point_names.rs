//! Points and their names: first every dot, so that no name covers one, then the names, those in the thick of it first,
//! since the ones at the rim can still move out.

use super::canvas::{Canvas, Of};
use super::compose::Placed;
use super::ink::{self, Hand};
use super::labels::Keep;
use super::piece_lines::{construction_lines, of_panel};
use super::{Layer, line_names, text};
use kurbo::Point;
use oaktag_language::pattern::spec::Value;
use std::collections::BTreeSet;

/// A named point this near to another is that point.
const SAME: f64 = 0.01;
/// Names this near to each other are in each other's way.
const CROWD: f64 = 30.0;
/// One construction point is named for so many square millimetres of the piece, …
const ROOM: f64 = 6000.0;
/// … but never more than this, nor fewer than [`FEWEST`].
const MOST: usize = 24;
const FEWEST: usize = 4;
/// Construction lines named on a piece, at most.
const MOST_LINES: usize = 8;

/// Places already named, to a hundredth of a millimetre.
#[derive(Default)]
pub(super) struct Seen(BTreeSet<(i64, i64)>);

impl Seen {
    /// Whether a place was not seen before; now it is.
    pub(super) fn is_new(&mut self, p: Point) -> bool {
        let round = |v: f64| (v / SAME).round() as i64;
        self.0.insert((round(p.x), round(p.y)))
    }
}

/// Draws dots and puts a name beside each; both points and places are on the sheet.
pub(super) fn draw(canvas: &mut Canvas, panel: &str, points: &[(&str, Point)], hand: Hand) {
    let of = Of::piece(panel);
    let (layer, ink, radius) = match hand {
        Hand::ConstructionName => (Layer::Construction, ink::SLATE, 0.6),
        _ => (Layer::Text, ink::BLACK, 0.8),
    };
    for (member, at) in points {
        canvas.dot(layer, of.named(member), *at, radius, ink);
    }
    let crowd = |at: Point| {
        points
            .iter()
            .filter(|(_, other)| (*other - at).hypot() < CROWD)
            .count()
    };
    let mut order: Vec<&(&str, Point)> = points.iter().collect();
    order.sort_by_key(|(_, at)| std::cmp::Reverse(crowd(*at)));
    for (member, at) in order {
        let name = text::label(member);
        if let Some(found) = canvas.labels.place_at_point(&name, hand, *at, Keep::default()) {
            canvas.placed(layer, of.named(member), found);
        }
    }
}

/// Points that are corners of the outline. Where the draft gives one place two names, both stand beside it.
pub(super) fn outline(canvas: &mut Canvas, placed: &Placed<'_>) {
    let corners = corners(placed);
    let mut found: Vec<(String, Point)> = Vec::new();
    for (member, p) in named(placed).filter(|(_, p)| corners.iter().any(|corner| same(*corner, *p)))
    {
        let at = placed.place * p;
        match found.iter_mut().find(|(_, other)| same(*other, at)) {
            Some((names, _)) if !names.contains('/') => *names = format!("{names} / {member}"),
            Some(_) => {}
            None => found.push((member.to_owned(), at)),
        }
    }
    let found: Vec<(&str, Point)> = found
        .iter()
        .map(|(names, at)| (names.as_str(), *at))
        .collect();
    draw(canvas, &placed.piece.name, &found, Hand::PointName);
}

/// Points and guide lines of the construction that fall on the piece: those on its edges first, then the first drawn.
pub(super) fn construction(canvas: &mut Canvas, placed: &Placed<'_>) {
    let shown = placed.shown();
    let mut seen = Seen::default();
    corners(placed).into_iter().for_each(|corner| {
        seen.is_new(corner);
    });
    let mut found: Vec<(bool, &str, Point)> = Vec::new();
    for (member, p) in named(placed) {
        if !shown.contains(placed.place * p) || !seen.is_new(p) {
            continue;
        }
        let on_edge = placed
            .piece
            .edges
            .iter()
            .any(|edge| edge.path.passes(p, SAME));
        found.push((!on_edge, member, placed.place * p));
    }
    found.sort_by_key(|(inside, ..)| *inside);
    let room = (placed.bounds.area() / ROOM) as usize;
    let kept = found.into_iter().take(room.clamp(FEWEST, MOST));
    let kept: Vec<(&str, Point)> = kept.map(|(_, member, at)| (member, at)).collect();
    draw(canvas, &placed.piece.name, &kept, Hand::ConstructionName);
    lines(canvas, placed);
}

fn lines(canvas: &mut Canvas, placed: &Placed<'_>) {
    let piece = placed.piece;
    let mut named = 0;
    for (member, path) in construction_lines(placed) {
        if named >= MOST_LINES {
            break;
        }
        let of = Of::piece(&piece.name).named(member);
        let hand = Hand::ConstructionName;
        let done = line_names::along_line(canvas, placed, of, Layer::Construction, path, hand);
        named += usize::from(done);
    }
}

/// The named points of the piece's panel, as drawn.
fn named<'a>(placed: &Placed<'a>) -> impl Iterator<Item = (&'a str, Point)> {
    let (values, panel) = (&placed.pattern.values, &placed.piece.panel);
    of_panel(values, panel).filter_map(|(member, value)| match &value.value {
        Value::Point(p) => Some((member, *p)),
        _ => None,
    })
}

fn corners(placed: &Placed<'_>) -> Vec<Point> {
    let ends = placed
        .piece
        .edges
        .iter()
        .flat_map(|edge| [edge.path.start(), edge.path.end()]);
    ends.flatten().collect()
}

fn same(a: Point, b: Point) -> bool {
    (a - b).hypot() <= SAME
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::{Shape, frame::TextFrame};

    /// Twenty points a few millimetres apart, far closer than their names are wide.
    #[test]
    fn names_of_a_crowd_do_not_touch_and_none_is_lost() {
        let mut canvas = Canvas::new("", crate::drawing::manner::Manner::default());
        let names: Vec<String> = (0..20).map(|n| format!("point_{n}")).collect();
        let at = |n: usize| Point::new((n % 5) as f64 * 6.0, (n / 5) as f64 * 9.0);
        let points: Vec<(&str, Point)> = names
            .iter()
            .enumerate()
            .map(|(n, name)| (name.as_str(), at(n)))
            .collect();
        draw(&mut canvas, "back", &points, Hand::PointName);
        let items = canvas.drawing.layer(Layer::Text);
        let frames: Vec<TextFrame> = items
            .filter_map(|item| match &item.shape {
                Shape::Text(text) => Some(text.frame()),
                Shape::Stroke(..) | Shape::Fill(..) => None,
            })
            .collect();
        assert_eq!(frames.len(), 20);
        for (n, one) in frames.iter().enumerate() {
            assert!(frames.iter().skip(n + 1).all(|other| !one.overlaps(other)));
        }
    }
}
