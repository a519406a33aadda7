//! In which place an old piece is laid under the new one: by the balance line that it marks; else as it lies on its sheet, unless moving it lets clearly more of its
//! outline lie where the new one does. What moved is then told in the piece, not on the sheet.

use super::SAME;
use super::fit;
use super::names::Names;
use super::piece_change::Laid;
use kurbo::{Affine, Point, Vec2};
use oaktag_geometry::path::Path;
use oaktag_language::pattern::spec::Value;
use oaktag_language::pattern::{Edge, MatchLine, Piece};
use oaktag_output::number::{DEGREE_DECIMALS, MM_DECIMALS, rounded};

/// An old piece is moved where so much more of its outline is kept by it.
const CLEARLY: f64 = 0.1;
/// Most moves that are tried.
const MOST_MOVES: usize = 24;
/// Pieces of more edges lie as they lie: nobody drew them by hand.
const MOST_EDGES: usize = 200;
/// Moves that bring a piece nearer than this, in millimetres, to where another does are one.
const ONE: f64 = 0.02;

/// Which edge of the old piece each edge of the new one was: by its line, then by its name, then by its place on one shape.
pub(super) fn edges(names: &Names<'_>, old: &Piece, new: &Piece) -> Vec<Option<usize>> {
    let mut found: Vec<Option<usize>> = vec![None; new.edges.len()];
    let mut is_used = vec![false; old.edges.len()];
    let mut pair = |fits: &dyn Fn(usize, &Edge, usize, &Edge) -> bool| {
        for (at, edge) in new.edges.iter().enumerate() {
            let Some(slot) = found.get_mut(at).filter(|slot| slot.is_none()) else {
                continue;
            };
            let mut olds = old.edges.iter().enumerate();
            let other = olds.find(|(was, other)| {
                is_used.get(*was) == Some(&false) && fits(*was, other, at, edge)
            });
            if let Some((was, _)) = other {
                *slot = Some(was);
                if let Some(used) = is_used.get_mut(was) {
                    *used = true;
                }
            }
        }
    };
    pair(&|_, old, _, new| names.value(&old.line) == new.line && old.name == new.name);
    pair(&|_, old, _, new| names.value(&old.line) == new.line);
    pair(&|_, old, _, new| old.name == new.name);
    if let Some((first, _)) = fit::same_outline(old, new, SAME) {
        let count = new.edges.len().max(1);
        pair(&|was, _, at, _| (at + count - first) % count == was);
    }
    found
}

/// How the old piece is laid: by the point that is held still, by one shape, by its balance line, or where most of the outline is kept.
pub(super) fn frame(
    old: &Piece,
    new: &Piece,
    edges: &[Option<usize>],
    held: Option<Vec2>,
) -> Affine {
    if let Some(held) = held {
        return Affine::translate(held);
    }
    if let Some((_, fit)) = fit::same_outline(old, new, SAME) {
        return unless_still(fit.turn_and_shift, old);
    }
    if let Some(by) = by_balance_line(old, new) {
        return unless_still(by, old);
    }
    if new.edges.len() > MOST_EDGES {
        return Affine::IDENTITY;
    }
    let pairs: Vec<(&Edge, &Edge)> = new
        .edges
        .iter()
        .zip(edges)
        .filter_map(|(new, at)| Some((old.edges.get((*at)?)?, new)))
        .collect();
    let rows: Vec<(Vec<Point>, f64, &Path)> = pairs
        .iter()
        .map(|(old, new)| (fit::places(&old.path), old.length, &new.path))
        .collect();
    let kept = |by: Affine| -> f64 {
        let of_row = rows.iter().map(|(places, length, path)| {
            let near = |p: &&Point| path.nearest(by * **p).distance <= SAME;
            length * places.iter().filter(near).count() as f64 / places.len().max(1) as f64
        });
        of_row.sum()
    };
    let all: f64 = old.edges.iter().map(|edge| edge.length).sum();
    let mut best = (Affine::IDENTITY, kept(Affine::IDENTITY) + CLEARLY * all);
    let moves = moves(&pairs, old).into_iter();
    for by in moves.filter(|by| grain_turns(*by, old, new)) {
        let score = kept(by);
        if score > best.1 {
            best = (by, score);
        }
    }
    unless_still(best.0, old)
}

/// How the balance line of the one is laid on that of the other, start on start; none where either has none, or several.
fn by_balance_line(old: &Piece, new: &Piece) -> Option<Affine> {
    let line = |piece: &Piece| -> Option<(Point, Vec2)> {
        let marks = piece.marks.iter();
        let mut lines = marks.filter(|mark| mark.match_line() == Some(MatchLine::Balance));
        let (mark, more) = (lines.next()?, lines.next());
        match (&mark.shape, more) {
            (Value::Line(path) | Value::Curve(path), None) => {
                let start = path.start().ok()?;
                Some((start, path.end().ok()? - start))
            }
            _ => None,
        }
    };
    let ((from, was), (to, is)) = (line(old)?, line(new)?);
    let turn = was.cross(is).atan2(was.dot(is));
    Some(
        Affine::translate(to.to_vec2()) * Affine::rotate(turn) * Affine::translate(-from.to_vec2()),
    )
}

/// Moves that lay a corner on its fellow, or an edge of one shape on its own; what many ask for first, then the shortest.
fn moves(pairs: &[(&Edge, &Edge)], old: &Piece) -> Vec<Affine> {
    let about = middle(old);
    let corners = pairs.iter().flat_map(|(old, new)| {
        let ends = [
            (old.path.start(), new.path.start()),
            (old.path.end(), new.path.end()),
        ];
        ends.into_iter()
            .filter_map(|(a, b)| Some(Affine::translate(b.ok()? - a.ok()?)))
    });
    let shapes = pairs.iter().filter_map(|(old, new)| {
        let fit = fit::fit(&fit::places(&old.path), &fit::places(&new.path))?;
        (fit.off <= SAME).then_some(fit.turn_and_shift)
    });
    let far = |by: &Affine| (*by * about - about).hypot() + turn_of(*by).abs() * 1000.0;
    let mut all: Vec<Affine> = corners.chain(shapes).collect();
    all.sort_by(|a, b| far(a).total_cmp(&far(b)));
    // Nearly the same move again and again is one; what many corners ask for comes first.
    let mut found: Vec<(Affine, usize)> = Vec::new();
    for by in all {
        let one = |(known, _): &&mut (Affine, usize)| {
            let off = *known * about - by * about;
            off.hypot() <= ONE && (turn_of(*known) - turn_of(by)).abs() < 1e-5
        };
        match found.iter_mut().find(one) {
            Some((_, count)) => *count += 1,
            None => found.push((by, 1)),
        }
    }
    found.sort_by_key(|(_, count)| std::cmp::Reverse(*count));
    let found = found.into_iter().map(|(by, _)| by);
    found.take(MOST_MOVES).collect()
}

/// Whether the grain turned with the piece: an outline that turned under a grain that did not was drawn anew.
fn grain_turns(by: Affine, old: &Piece, new: &Piece) -> bool {
    let (Some(old), Some(new)) = (&old.grain, &new.grain) else {
        return true;
    };
    let was = by * old.start_tangent().to_point() - by * Point::ORIGIN;
    was.cross(new.start_tangent()).abs() < 1e-4
}

/// By how much a map turns, in radians; anticlockwise is positive.
fn turn_of(by: Affine) -> f64 {
    let [cos, sin, ..] = by.as_coeffs();
    sin.atan2(cos)
}

fn middle(piece: &Piece) -> Point {
    let places = fit::round(piece, 0);
    fit::middle(&places)
}

/// A move too small to be drawn is none.
fn unless_still(by: Affine, piece: &Piece) -> Affine {
    let still = |p: Point| (by * p - p).hypot() <= SAME / 2.0;
    let places = fit::round(piece, 0);
    if places.into_iter().all(still) {
        Affine::IDENTITY
    } else {
        by
    }
}

/// The move in figures; none where the piece lies as it lay.
pub(super) fn told(by: Affine, old: &Piece) -> Option<Laid> {
    if by == Affine::IDENTITY {
        return None;
    }
    let about = middle(old);
    let shift = by * about - about;
    Some(Laid {
        about_mm: (rounded(about.x, MM_DECIMALS), rounded(about.y, MM_DECIMALS)),
        turned_deg: rounded(-turn_of(by).to_degrees(), DEGREE_DECIMALS),
        right_mm: rounded(shift.x, MM_DECIMALS),
        up_mm: rounded(shift.y, MM_DECIMALS),
    })
}
