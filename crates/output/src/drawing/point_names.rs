//! Points and their names: first every dot, so that no name covers one, then the names, those in the thick of it first,
//! since the ones at the rim can still move out.

use super::canvas::{Canvas, Of};
use super::compose::Placed;
use super::labels::Keep;
use super::piece_lines::of_panel;
use super::style::{Fill, Hand};
use super::{Layer, line_names, text};
use foldhash::fast::FixedState;
use kurbo::{Point, Rect};
use oaktag_geometry::path::Path;
use oaktag_language::pattern::spec::Value;
use std::collections::{HashMap, HashSet};

/// A named point this near to another is that point.
const SAME: f64 = 0.01;
/// Names in neighbouring squares of this side are in each other's way.
const CROWD: f64 = 20.0;
/// One construction point is named for so many square millimetres of the piece, …
const ROOM: f64 = 6000.0;
/// … but never more than this, nor fewer than [`FEWEST`].
const MOST: usize = 24;
const FEWEST: usize = 4;
/// Construction lines named on a piece, at most.
const MOST_LINES: usize = 8;

/// Column and row of a grid.
type Square = (i64, i64);

/// Places already named, to a hundredth of a millimetre.
#[derive(Default)]
pub(super) struct Seen(HashSet<Square, FixedState>);

impl Seen {
    fn of(places: impl Iterator<Item = Point>) -> Self {
        Self(places.map(|p| square(p, SAME)).collect())
    }

    /// Whether a place was not seen before; now it is.
    pub(super) fn is_new(&mut self, p: Point) -> bool {
        self.0.insert(square(p, SAME))
    }

    fn has(&self, p: Point) -> bool {
        around(square(p, SAME)).any(|place| self.0.contains(&place))
    }
}

/// The square of a side that a place lies in.
fn square(p: Point, side: f64) -> Square {
    let round = |v: f64| (v / side).round() as i64;
    (round(p.x), round(p.y))
}

/// A square and its neighbours.
fn around((x, y): Square) -> impl Iterator<Item = Square> {
    (-1..=1).flat_map(move |right| (-1..=1).map(move |down| (x + right, y + down)))
}

/// Draws dots and puts a name beside each; both points and places are on the sheet.
pub(super) fn draw(
    canvas: &mut Canvas,
    panel: &str,
    points: &[(&str, Point)],
    (layer, hand): (Layer, Hand),
) {
    let of = Of::piece(panel);
    let (fill, radius) = match hand {
        Hand::ConstructionName => (Fill::ConstructionDot, 0.6),
        _ => (Fill::Dot, 0.8),
    };
    for (member, at) in points {
        canvas.dot(layer, of.named(member), *at, radius, fill);
    }
    let mut squares: HashMap<Square, usize, FixedState> = HashMap::default();
    for (_, at) in points {
        *squares.entry(square(*at, CROWD)).or_default() += 1;
    }
    let crowd = |at: Point| -> usize {
        let near = around(square(at, CROWD)).filter_map(|place| squares.get(&place));
        near.sum()
    };
    let mut order: Vec<&(&str, Point)> = points.iter().collect();
    order.sort_by_cached_key(|(_, at)| std::cmp::Reverse(crowd(*at)));
    for (member, at) in order {
        let name = text::label(member);
        if let Some(found) = canvas
            .labels
            .place_at_point(&name, hand, *at, Keep::default())
        {
            canvas.placed(layer, of.named(member), found);
        }
    }
}

/// Points that are corners of the outline. Where the draft gives one place two names, both stand beside it.
pub(super) fn outline(canvas: &mut Canvas, placed: &Placed<'_>) {
    let corners = Seen::of(self::corners(placed));
    let mut found: Vec<(String, Point)> = Vec::new();
    let mut places: HashMap<Square, usize, FixedState> = HashMap::default();
    for (member, p) in named(placed).filter(|(_, p)| corners.has(*p)) {
        let known = around(square(p, SAME)).find_map(|place| places.get(&place).copied());
        match known.and_then(|known| found.get_mut(known)) {
            Some((names, _)) if !names.contains('/') => *names = format!("{names} / {member}"),
            Some(_) => {}
            None => {
                places.insert(square(p, SAME), found.len());
                found.push((member.to_owned(), placed.place * p));
            }
        }
    }
    let found: Vec<(&str, Point)> = found
        .iter()
        .map(|(names, at)| (names.as_str(), *at))
        .collect();
    let hand = (Layer::Names, Hand::PointName);
    draw(canvas, &placed.piece.name, &found, hand);
}

/// Points and guide lines of the construction that fall on the piece: those on its edges first, then the first drawn.
pub(super) fn construction(canvas: &mut Canvas, placed: &Placed<'_>) {
    let shown = placed.shown();
    let mut seen = Seen::of(corners(placed));
    let edges = placed.piece.edges.iter().map(|edge| &edge.path);
    let edges: Vec<(Rect, &Path)> = edges
        .filter_map(|path| Some((path.bounds().ok()?.inflate(SAME, SAME), path)))
        .collect();
    let mut found: Vec<(bool, &str, Point)> = Vec::new();
    for (member, p) in named(placed) {
        if !shown.contains(placed.place * p) || !seen.is_new(p) {
            continue;
        }
        let near = edges.iter().filter(|(bounds, _)| bounds.contains(p));
        let on_edge = near.into_iter().any(|(_, path)| path.passes(p, SAME));
        found.push((!on_edge, member, placed.place * p));
    }
    found.sort_by_key(|(inside, ..)| *inside);
    let room = (placed.bounds.area() / ROOM) as usize;
    let kept = found.into_iter().take(room.clamp(FEWEST, MOST));
    let kept: Vec<(&str, Point)> = kept.map(|(_, member, at)| (member, at)).collect();
    let hand = (Layer::Construction, Hand::ConstructionName);
    draw(canvas, &placed.piece.name, &kept, hand);
    lines(canvas, placed);
}

fn lines(canvas: &mut Canvas, placed: &Placed<'_>) {
    let piece = placed.piece;
    let mut named = 0;
    let drawn = placed.construction();
    let drawn = drawn.map(|(member, path)| (member.to_owned(), path));
    for (member, path) in drawn.chain(placed.redrawn()) {
        if named >= MOST_LINES {
            break;
        }
        let of = Of::piece(&piece.name).named(&member);
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

fn corners<'a>(placed: &Placed<'a>) -> impl Iterator<Item = Point> + use<'a> {
    let edges = placed.piece.edges.iter();
    let ends = edges.flat_map(|edge| [edge.path.start(), edge.path.end()]);
    ends.flatten()
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
        draw(
            &mut canvas,
            "back",
            &points,
            (Layer::Names, Hand::PointName),
        );
        let items = canvas.drawing.layer(Layer::Names);
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
