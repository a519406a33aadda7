//! Laying one row of points over another without stretching it: the turn and shift that bring them nearest, and how far
//! apart they still are. The plane case of the orthogonal Procrustes problem without scale, which has a closed form: the
//! turn is the angle of the sum of the products of the centred points as complex numbers.

use kurbo::{Affine, Point, Vec2};
use oaktag_geometry::path::Path;
use oaktag_language::pattern::{Edge, Piece};

/// Places along each edge that stand for it.
const PLACES: usize = 12;

/// How one row of points is laid over another.
#[derive(Clone, Copy, Debug)]
pub(super) struct Fit {
    /// From the old points to the new.
    pub turn_and_shift: Affine,
    /// The farthest that a point still lies from its fellow.
    pub off: f64,
}

/// Lays `old` over `new`; none where the counts differ or there is nothing.
pub(super) fn fit(old: &[Point], new: &[Point]) -> Option<Fit> {
    if old.len() != new.len() || old.is_empty() {
        return None;
    }
    let (from, to) = (middle(old), middle(new));
    let (mut cos, mut sin) = (0.0, 0.0);
    for (a, b) in old.iter().zip(new) {
        let (a, b) = (*a - from, *b - to);
        cos += a.dot(b);
        sin += a.cross(b);
    }
    let angle = if cos == 0.0 && sin == 0.0 {
        0.0
    } else {
        sin.atan2(cos)
    };
    let turn_and_shift = Affine::translate(to.to_vec2())
        * Affine::rotate(angle)
        * Affine::translate(-from.to_vec2());
    let off = old
        .iter()
        .zip(new)
        .map(|(a, b)| (turn_and_shift * *a - *b).hypot())
        .fold(0.0, f64::max);
    Some(Fit {
        turn_and_shift,
        off,
    })
}

pub(super) fn middle(points: &[Point]) -> Point {
    let sum = points.iter().fold(Vec2::ZERO, |sum, p| sum + p.to_vec2());
    (sum * (1.0 / points.len().max(1) as f64)).to_point()
}

/// Points spaced evenly along a line, both ends included; none on an endless one.
pub(super) fn places(path: &Path) -> Vec<Point> {
    let Ok(length) = path.length() else {
        return Vec::new();
    };
    (0..=PLACES)
        .filter_map(|n| {
            path.point_at((length * n as f64 / PLACES as f64).min(length))
                .ok()
        })
        .collect()
}

/// Points all round a piece, beginning at one of its edges.
pub(super) fn round(piece: &Piece, first: usize) -> Vec<Point> {
    let edges = edges_from(piece, first);
    edges.flat_map(|edge| places(&edge.path)).collect()
}

/// The edges of a piece in order, beginning at one of them.
fn edges_from(piece: &Piece, first: usize) -> impl Iterator<Item = &Edge> {
    let count = piece.edges.len();
    piece.edges.iter().cycle().skip(first).take(count)
}

/// The edge of `new` at which the outline of `old` begins, where both have one shape, and how it is laid there.
pub(super) fn same_outline(old: &Piece, new: &Piece, within: f64) -> Option<(usize, Fit)> {
    if old.edges.len() != new.edges.len() {
        return None;
    }
    let lengths = |piece: &Piece, first: usize| -> Vec<f64> {
        edges_from(piece, first).map(|edge| edge.length).collect()
    };
    let old_lengths = lengths(old, 0);
    let from = round(old, 0);
    (0..new.edges.len())
        .filter(|first| {
            let new_lengths = lengths(new, *first);
            old_lengths
                .iter()
                .zip(&new_lengths)
                .all(|(a, b)| (a - b).abs() <= within)
        })
        .filter_map(|first| Some((first, fit(&from, &round(new, first))?)))
        .find(|(_, fit)| fit.off <= within)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A known turn and shift is found again, whatever the points.
    #[test]
    fn a_turn_and_a_shift_are_found_exactly() {
        let points = [(0.0, 0.0), (310.0, 20.0), (280.0, -400.0), (15.0, -390.0)];
        let old: Vec<Point> = points.into_iter().map(Point::from).collect();
        for degrees in [-170.0f64, -30.0, 0.0, 8.0, 90.0] {
            let moved = Affine::translate((55.0, -7.0)) * Affine::rotate(-degrees.to_radians());
            let new: Vec<Point> = old.iter().map(|p| moved * *p).collect();
            let found = fit(&old, &new).unwrap();
            assert!(found.off < 1e-9, "{found:?}");
            let off = |p: &Point| (found.turn_and_shift * *p - moved * *p).hypot();
            assert!(old.iter().all(|p| off(p) < 1e-9), "{found:?}");
        }
    }
}
