//! Whether the drawings of two halves agree: each edge, line, notch and mark within a hundredth of a millimetre, wherever
//! on their sheets they stand.

use kurbo::{Affine, Point, Vec2};
use oaktag_geometry::path::Path;
use oaktag_language::pattern::halves::onto;
use oaktag_language::pattern::spec::{MarkSpec, Value};
use oaktag_language::pattern::{Allowance, Edge, Notch, Piece, Seam, Side};

/// As finely as anything is drawn, in millimetres ("paired pieces mirrored, congruent", common practice).
pub(crate) const ALIKE: f64 = 0.01;
/// Directions are alike within this, as a sine: a hundredth of a millimetre in a hundred.
const ALIKE_WAY: f64 = 1e-4;
/// Lines are held against each other at so many places.
const PLACES: u32 = 24;

/// Whether both drawings name the same edges, notches and marks: what is not the same in kind cannot be put together.
pub(crate) fn is_same_kind(a: &Piece, b: &Piece) -> bool {
    let names = |piece: &Piece| -> Vec<(String, bool)> {
        let edges = piece.edges.iter();
        edges.map(|e| (e.name.clone(), e.on_fold)).collect()
    };
    let folds = |piece: &Piece| piece.fold_lines.len();
    a.cut == b.cut && names(a) == names(b) && folds(a) == folds(b)
}

/// Whether two drawings are of one and the same piece.
pub(super) fn pieces(a: &Piece, b: &Piece) -> bool {
    if !is_same_kind(a, b) {
        return false;
    }
    // The longest edge tells best how the sheets lie.
    let chord = |edge: &Edge| match (edge.path.start(), edge.path.end()) {
        (Ok(start), Ok(end)) => (end - start).hypot(),
        _ => 0.0,
    };
    let pairs = a.edges.iter().zip(&b.edges);
    let longest = pairs.max_by(|x, y| chord(x.0).total_cmp(&chord(y.0)));
    let laid = longest.and_then(|(x, y)| onto(&y.path, &x.path));
    let Some(laid) = laid else {
        return a.edges.is_empty() && b.edges.is_empty();
    };
    let near = |p: Point, q: Point| (laid * q - p).hypot() <= ALIKE;
    let edges = a.edges.iter().zip(&b.edges);
    edges.into_iter().all(|(x, y)| {
        x.finish == y.finish
            && alike(x.allowance.as_ref(), y.allowance.as_ref())
            && lines(&x.path, &y.path.transformed(laid))
    }) && optional(a.cutting.as_ref(), b.cutting.as_ref(), laid)
        && all(&a.notches, &b.notches, |x, y| notches(x, y, &near))
        && all(&a.marks, &b.marks, |x, y| marks(x, y, laid))
        && all(&a.fold_lines, &b.fold_lines, |x, y| {
            lines(&x.1, &y.1.transformed(laid))
        })
        && ways(a.grain.as_ref(), b.grain.as_ref(), laid)
}

fn all<T>(a: &[T], b: &[T], same: impl Fn(&T, &T) -> bool) -> bool {
    a.len() == b.len() && a.iter().zip(b).all(|(x, y)| same(x, y))
}

fn alike(a: Option<&Allowance>, b: Option<&Allowance>) -> bool {
    match (a, b) {
        (Some(a), Some(b)) => a.is_like(b, ALIKE),
        (a, b) => a.is_none() && b.is_none(),
    }
}

fn optional(a: Option<&Path>, b: Option<&Path>, laid: Affine) -> bool {
    match (a, b) {
        (Some(a), Some(b)) => lines(a, &b.transformed(laid)),
        (a, b) => a.is_none() && b.is_none(),
    }
}

/// Whether two lines are one, place by place.
pub(super) fn lines(a: &Path, b: &Path) -> bool {
    match (a.endless_line(), b.endless_line()) {
        (Some((p, u)), Some((q, v))) => {
            return u.cross(v).abs() <= ALIKE_WAY && u.cross(q - p).abs() <= ALIKE;
        }
        (None, None) => {}
        _ => return false,
    }
    let (Ok(long), Ok(other)) = (a.length(), b.length()) else {
        return false;
    };
    (long - other).abs() <= ALIKE
        && (0..=PLACES).all(|place| {
            let share = f64::from(place) / f64::from(PLACES);
            match (a.point_at(long * share), b.point_at(other * share)) {
                (Ok(p), Ok(q)) => (q - p).hypot() <= ALIKE,
                _ => false,
            }
        })
}

fn notches(a: &Notch, b: &Notch, near: &dyn Fn(Point, Point) -> bool) -> bool {
    (&a.seam, a.number, a.edge, a.form) == (&b.seam, b.number, b.edge, b.form)
        && all(&a.marks, &b.marks, |x, y| {
            near(x.sewing, y.sewing) && near(x.cut, y.cut)
        })
}

fn marks(a: &MarkSpec, b: &MarkSpec, laid: Affine) -> bool {
    let same_place = match (&a.shape, &b.shape) {
        (Value::Point(p), Value::Point(q)) => (laid * *q - *p).hypot() <= ALIKE,
        (Value::Line(x), Value::Line(y)) | (Value::Curve(x), Value::Curve(y)) => {
            lines(x, &y.transformed(laid))
        }
        (x, y) => x == y,
    };
    same_place && (&a.text, a.side) == (&b.text, b.side) && a.button == b.button
}

/// Whether two grain lines run the same way: where the arrow stands is nothing to the cloth.
fn ways(a: Option<&Path>, b: Option<&Path>, laid: Affine) -> bool {
    let way = |path: &Path| -> Option<Vec2> {
        let along = match path.direction_of_straight() {
            Some(along) => along,
            None => path.end().ok()? - path.start().ok()?,
        };
        (along.hypot() > 0.0).then(|| along / along.hypot())
    };
    match (a.map(way), b.map(|b| way(&b.transformed(laid)))) {
        (Some(Some(u)), Some(Some(v))) => u.cross(v).abs() <= ALIKE_WAY && u.dot(v) > 0.0,
        (a, b) => a.flatten().is_none() && b.flatten().is_none(),
    }
}

/// Whether a seam is walked alike on both sides of the wearer.
pub(super) fn seams(a: &Seam, b: &Seam) -> bool {
    let near = |x: f64, y: f64| (x - y).abs() <= ALIKE;
    let sides = |x: &Side, y: &Side| {
        near(x.length, y.length)
            && all(&x.edges, &y.edges, |x, y| {
                x.line == y.line && near(x.length, y.length)
            })
    };
    sides(&a.first, &b.first)
        && sides(&a.second, &b.second)
        && a.ok == b.ok
        && near(a.wanted.0, b.wanted.0)
        && near(a.wanted.1, b.wanted.1)
        && all(&a.notches, &b.notches, |x, y| {
            x.form == y.form && near(x.main.0, y.main.0) && near(x.main.1, y.main.1)
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(a: (f64, f64), b: (f64, f64)) -> Path {
        Path::line(a.into(), b.into()).unwrap()
    }

    #[test]
    fn a_hundredth_is_what_may_pass() {
        let one = line((0.0, 0.0), (100.0, 0.0));
        assert!(lines(&one, &line((0.0, 0.009), (100.0, 0.0))));
        assert!(!lines(&one, &line((0.0, 0.011), (100.0, 0.0))));
        assert!(!lines(&one, &line((0.0, 0.0), (100.02, 0.0))));
        assert!(!lines(&one, &one.reversed()));
    }
}
