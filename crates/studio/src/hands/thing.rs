//! What a hand takes hold of, and where it is.

use kurbo::{PathSeg, Point};
use oaktag_geometry::path::Path;
use oaktag_language::draft::Outcome;
use oaktag_language::pattern::Pattern;
use oaktag_language::pattern::spec::Value;
use serde::{Deserialize, Serialize};

/// An end of a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum End {
    /// Where it begins.
    Start,
    /// Where it ends.
    End,
}

/// What a hand takes hold of.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Thing {
    /// A point, by its full name: `back.underarm`.
    Point(String),
    /// A place on a line or curve, by its full name and the share of its length before that place.
    On(String, f64),
    /// The handle of a curve at one of its ends, by its full name: which way it leaves or arrives there, and how long it keeps to
    /// that way.
    Handle(String, End),
    /// A notch of a piece, by the piece's name and its number among the piece's notches, from 0.
    Notch(String, usize),
    /// A mark of a piece (a button, a drill hole), by the piece's name and its number among the piece's marks, from 0.
    Mark(String, usize),
}

impl Thing {
    /// Where it is in a drawing, in millimetres, y up; nowhere where it is not drawn.
    pub fn place(&self, outcome: &Outcome) -> Option<Point> {
        let pattern = &outcome.pattern;
        match self {
            Thing::Point(name) => match value(pattern, name)? {
                Value::Point(point) => Some(*point),
                _ => None,
            },
            Thing::On(name, share) => {
                let path = line(pattern, name)?;
                let length = path.length().ok()?;
                path.point_at(length * share).ok()
            }
            Thing::Handle(name, end) => Some(handle(line(pattern, name)?, *end)?.1),
            Thing::Notch(piece, number) => {
                let notch = pattern.piece(piece)?.notches.get(*number)?;
                notch.marks.first().map(|mark| mark.sewing)
            }
            Thing::Mark(piece, number) => match &pattern.piece(piece)?.marks.get(*number)?.shape {
                Value::Point(point) => Some(*point),
                Value::Line(path) | Value::Curve(path) => path.start().ok(),
                _ => None,
            },
        }
    }

    /// Its name in the drawing, for people and for what drew it.
    pub(super) fn names(&self, pattern: &Pattern) -> Vec<String> {
        match self {
            Thing::Point(name) | Thing::On(name, _) | Thing::Handle(name, _) => vec![name.clone()],
            Thing::Mark(piece, number) => {
                let piece = pattern.piece(piece);
                let Some(mark) = piece.and_then(|piece| piece.marks.get(*number)) else {
                    return Vec::new();
                };
                // What an act has marked it may have called otherwise.
                let is_it = |value: &Value| match value {
                    Value::List(items) => items.contains(&mark.shape),
                    other => *other == mark.shape,
                };
                let same = pattern.values.iter().filter(|one| is_it(&one.value));
                let same = same.map(|one| one.name.clone());
                std::iter::once(mark.name.clone()).chain(same).collect()
            }
            Thing::Notch(piece, number) => {
                let piece = pattern.piece(piece);
                let edge = piece.and_then(|piece| {
                    let notch = piece.notches.get(*number)?;
                    piece.edges.get(notch.edge)
                });
                edge.map(|edge| edge.line.clone()).into_iter().collect()
            }
        }
    }
}

/// A value by its full name; an item of a list by the list's name and its number: `front.buttons_3`.
pub(crate) fn value<'p>(pattern: &'p Pattern, name: &str) -> Option<&'p Value> {
    let find = |name: &str| {
        let mut values = pattern.values.iter();
        values.find(|one| one.name == *name).map(|one| &one.value)
    };
    let item = || {
        let (list, number) = name.rsplit_once('_')?;
        match find(list)? {
            Value::List(items) => items.get(number.parse::<usize>().ok()?.checked_sub(1)?),
            _ => None,
        }
    };
    find(name).or_else(item)
}

/// A line or a curve by its full name.
pub(crate) fn line<'p>(pattern: &'p Pattern, name: &str) -> Option<&'p Path> {
    match value(pattern, name)? {
        Value::Line(path) | Value::Curve(path) => Some(path),
        _ => None,
    }
}

/// A curve's end, and its handle there; none where it is straight there, or endless.
pub(crate) fn handle(path: &Path, end: End) -> Option<(Point, Point)> {
    let seg = match end {
        End::Start => path.segs().first(),
        End::End => path.segs().last(),
    };
    let (at, handle) = match (seg?, end) {
        (PathSeg::Cubic(cubic), End::Start) => (cubic.p0, cubic.p1),
        (PathSeg::Cubic(cubic), End::End) => (cubic.p3, cubic.p2),
        (PathSeg::Quad(quad), End::Start) => (quad.p0, quad.p1),
        (PathSeg::Quad(quad), End::End) => (quad.p2, quad.p1),
        (PathSeg::Line(_), _) => return None,
    };
    // On its end it cannot be seen.
    ((handle - at).hypot() > 0.5).then_some((at, handle))
}
