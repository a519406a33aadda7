//! What the ends of an edge are called: by the point that lies there, or by the edge they meet; and which end the author of a
//! notch counted from.

use super::names::panel_of;
use super::{SAME, Side};
use kurbo::Point;
use oaktag_language::pattern::spec::{NamedValue, SeamNotchPlace, Value};
use oaktag_language::pattern::{Edge, Notch, Pattern, Piece, PlaceSaid, Seam, SideEdge};
use oaktag_language::voice;

/// The start of an edge, or its end.
pub(super) fn corner(edge: &Edge, end: bool) -> Option<Point> {
    let at = if end {
        edge.path.end()
    } else {
        edge.path.start()
    };
    at.ok()
}

/// An end of an edge in words, with `the` or `its` before: `the underarm`, `its corner with the side`.
pub(super) fn called(pattern: &Pattern, piece: &Piece, edge: usize, end: bool) -> String {
    let count = piece.edges.len();
    let Some(own) = piece.edges.get(edge) else {
        return "its end".to_owned();
    };
    let named = corner(own, end).and_then(|at| point_at(&pattern.values, panel_of(&own.line), at));
    if let Some(name) = named {
        return spoken(&name);
    }
    let beside = if end {
        edge + 1
    } else {
        edge + count.max(1) - 1
    };
    let beside = piece.edges.get(beside % count.max(1));
    match beside.filter(|other| other.name != own.name) {
        Some(other) => format!("its corner with the {}", voice::name(&other.name)),
        None if end => "where it ends, anticlockwise".to_owned(),
        None => "where it begins, anticlockwise".to_owned(),
    }
}

/// A point's name as it is counted from; a single letter takes no article.
pub(super) fn spoken(full: &str) -> String {
    let name = voice::name(member(full));
    if name.chars().count() < 3 {
        name
    } else {
        format!("the {name}")
    }
}

fn member(full: &str) -> &str {
    full.rsplit('.').next().unwrap_or(full)
}

/// The named point of a panel that lies at a place: the shortest name, no item of a list.
fn point_at(values: &[NamedValue], panel: &str, at: Point) -> Option<String> {
    let here = values.iter().filter(|value| {
        let is_item = value.name.ends_with(|c: char| c.is_ascii_digit());
        let lies = |p: &Point| (*p - at).hypot() <= SAME;
        !is_item
            && panel_of(&value.name) == panel
            && matches!(&value.value, Value::Point(p) if lies(p))
    });
    here.min_by_key(|value| member(&value.name).len())
        .map(|value| value.name.clone())
}

/// The end of its edge from which the author counts a notch of the piece's own, and its name: `8cm along armhole from
/// underarm`. None where it is counted from elsewhere, or stands at a point.
pub(super) fn of_own(edge: &Edge, notch: &Notch) -> Option<(bool, String)> {
    let PlaceSaid::From(name, along) = &notch.said else {
        return None;
    };
    let end = if along.abs() <= SAME {
        false
    } else if edge
        .path
        .length()
        .is_ok_and(|length| (along - length).abs() <= SAME)
    {
        true
    } else {
        return None;
    };
    Some((end, spoken(name)))
}

/// A notch of a seam that the author counts from an end of it.
pub(super) struct Measured {
    /// From the start of both sides, as they are walked.
    pub from_start: bool,
    pub name: String,
}

/// How the author counts a notch of a seam; none where it stands at a point, or is carried.
pub(super) fn of_seam(side: Side<'_>, notch: &Notch) -> Option<Measured> {
    let (name, number) = (notch.seam.as_deref()?, notch.number?);
    let seam = side.outcome.pattern.seam(name)?;
    let of_seam = seam.notches.get(number.checked_sub(1)?)?;
    let mut specs = side.outcome.drawn.seams.iter();
    let spec = specs.find(|spec| spec.name == name)?;
    let mut said = spec.notches.iter();
    let SeamNotchPlace::Measured { distance, from } =
        &said.find(|one| one.tag == of_seam.tag)?.place
    else {
        return None;
    };
    if from.name.is_empty() {
        return None;
    }
    let near = |a: f64, b: f64| (a - b).abs() <= SAME;
    let main = of_seam.main;
    let is_start = near(main.0, *distance) && near(main.1, *distance);
    let is_end =
        near(seam.first.length - main.0, *distance) && near(seam.second.length - main.1, *distance);
    let from_start = if is_start && is_end {
        let starts = [&seam.first, &seam.second].into_iter();
        let mut starts = starts.filter_map(|side| side.edges.first()?.path.start().ok());
        starts.any(|start| (start - from.point).hypot() <= SAME)
    } else {
        is_start
    };
    Some(Measured {
        from_start,
        name: from.name.clone(),
    })
}

/// Where a notch stands along a seam's side: the side's edge that carries it, how far from the side's start, and how long
/// the side is.
pub(super) fn on_side<'a>(
    seam: &'a Seam,
    piece: &Piece,
    notch: &Notch,
) -> Option<(&'a SideEdge, f64, f64)> {
    let edge = piece.edges.get(notch.edge)?;
    let of_seam = seam.notches.get(notch.number?.checked_sub(1)?)?;
    [
        (&seam.first, &of_seam.first),
        (&seam.second, &of_seam.second),
    ]
    .into_iter()
    .find_map(|(side, places)| {
        let at = *places.first()?;
        let mut edges = side.edges.iter();
        let on = edges.find(|one| {
            one.piece == piece.name
                && one.edge == edge.name
                && (one.from - SAME..=one.from + one.length + SAME).contains(&at)
        })?;
        Some((on, at, side.length))
    })
}

/// Which end of a piece's edge lies toward the start of a seam's side, as it is walked.
pub(super) fn toward_start(edge: &SideEdge) -> bool {
    edge.along.0 > edge.along.1
}
