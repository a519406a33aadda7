//! The block of a piece: its cutting line as chords, with a point for every corner and every place on a curve, and what is
//! marked on it.

use super::groups::Groups;
use super::words;
use super::{CHORD, OfSize};
use crate::corners::{corner, turns};
use crate::drawing::{grain_line, stretches_inside};
use crate::path_data::bez;
use kurbo::{PathEl, Point};
use oaktag_geometry::path::Path;
use oaktag_language::pattern::spec::{NotchForm, Value};
use oaktag_language::pattern::{MatchLine, NotchMark, Pattern, Piece};

/// A boundary that turns by less than this at a joint, in degrees, runs on there.
const TURN: f64 = 2.0;
/// Height of the number of a corner, in millimetres.
const GRADED: f64 = 2.0;
/// Length of the bar of a T-notch, in millimetres.
const BAR: f64 = 5.0;

/// Writes all of a piece.
pub(super) fn write(
    block: &mut Groups,
    pattern: &Pattern,
    piece: &Piece,
    outer: &Path,
    size: &OfSize<'_>,
) {
    boundary(block, outer);
    for (edge, number) in size.graded {
        if let Some(at) = corner(piece, edge) {
            block.text(2, at, GRADED, &format!("# {number}"));
        }
    }
    for hole in &piece.cut_holes {
        block.polyline(11, &open(&chords(hole)), true);
    }
    let sewn = piece.edges.iter().filter(|edge| !edge.on_fold);
    if piece.cutting.is_some() && piece.cutting != piece.sewing {
        for edge in sewn {
            block.polyline(14, &chords(&edge.path), false);
        }
    }
    for notch in &piece.notches {
        for mark in &notch.marks {
            self::notch(block, notch.form, mark);
        }
    }
    mirror_line(block, piece);
    if let Some((a, b)) = grain_line(piece) {
        block.line(7, a, b);
    }
    for (_, line) in piece.folds() {
        internal(block, 8, line, outer);
    }
    for mark in &piece.marks {
        match &mark.shape {
            Value::Point(p) => block.spot(if mark.is_drill() { 13 } else { 8 }, *p),
            Value::Line(_) | Value::Curve(_) if piece.buttonhole(mark).is_some() => {}
            Value::Line(path) | Value::Curve(path) => {
                let layer = match mark.match_line() {
                    Some(MatchLine::Stripe) => 9,
                    Some(MatchLine::Plaid) => 10,
                    Some(MatchLine::Balance) | None => 8,
                };
                internal(block, layer, path, outer);
            }
            _ => {}
        }
        if let Some((from, to)) = piece.buttonhole(mark) {
            block.line(8, from, to);
        }
    }
    words::write(block, pattern, piece, outer, size.name);
}

/// The boundary, and on it the points where it turns and those where it only bends.
fn boundary(block: &mut Groups, outer: &Path) {
    let points = open(&chords(outer));
    block.polyline(1, &points, true);
    let corners = turns(outer, TURN);
    for p in &points {
        let is_turn = corners.iter().any(|corner| (*corner - *p).hypot() < CHORD);
        block.spot(if is_turn { 2 } else { 3 }, *p);
    }
}

/// A path as points on it.
fn chords(path: &Path) -> Vec<Point> {
    let mut points: Vec<Point> = Vec::new();
    let mut start = Point::ZERO;
    kurbo::flatten(bez(path), CHORD, |element| match element {
        PathEl::MoveTo(p) => {
            start = p;
            points.push(p);
        }
        PathEl::LineTo(p) => points.push(p),
        PathEl::ClosePath => points.push(start),
        PathEl::QuadTo(..) | PathEl::CurveTo(..) => {}
    });
    points.dedup_by(|a, b| (*a - *b).hypot() < 1e-4);
    points
}

/// A closed row of points without its last, which is its first.
fn open(points: &[Point]) -> Vec<Point> {
    match (points.first(), points.last(), points.len()) {
        (Some(a), Some(b), 2..) if (*a - *b).hypot() < 1e-4 => {
            points.iter().take(points.len() - 1).copied().collect()
        }
        _ => points.to_vec(),
    }
}

/// A notch: a point on the boundary with its depth, the way it is cut and, as its height, how wide it is: a slit is not wide at
/// all, a V as wide as its mouth, a T as its bar.
fn notch(block: &mut Groups, form: NotchForm, mark: &NotchMark) {
    let (layer, wide) = match form {
        NotchForm::Tee => (80, BAR),
        NotchForm::Vee => (4, mark.depth),
        NotchForm::Single | NotchForm::Double | NotchForm::Slit => (4, 0.0),
    };
    block.entity("POINT", layer);
    block.figure(10, mark.cut.x);
    block.figure(20, mark.cut.y);
    block.figure(30, wide);
    block.figure(39, mark.depth);
    let inward = -mark.outward;
    block.figure(50, inward.atan2().to_degrees().rem_euclid(360.0));
}

/// The edge over which a half piece is mirrored.
fn mirror_line(block: &mut Groups, piece: &Piece) {
    let Some(index) = piece.cut.fold_edge else {
        return;
    };
    let cut = piece
        .cut_edges
        .iter()
        .find(|(edge, _)| *edge == index)
        .map(|(_, path)| path);
    let Some(path) = cut.or_else(|| piece.edges.get(index).map(|edge| &edge.path)) else {
        return;
    };
    if let (Ok(a), Ok(b)) = (path.start(), path.end()) {
        block.line(6, a, b);
    }
}

/// A line inside the piece; of an endless one what lies inside the boundary.
fn internal(block: &mut Groups, layer: u16, line: &Path, outer: &Path) {
    match line.endless_line() {
        Some((through, direction)) => {
            for (a, b) in stretches_inside(outer, through, direction) {
                block.line(layer, a, b);
            }
        }
        None => block.polyline(layer, &chords(line), line.is_closed()),
    }
}
