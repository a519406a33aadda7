//! Where the grain arrow stands: along the grain inside the piece, at least half as long as the piece is there ("at least
//! half the piece length", common practice), where most room is.

use super::compose::upright;
use crate::path_data::bez;
use kurbo::{Affine, Point, Rect, Shape as _, Vec2};
use oaktag_geometry::meet::meetings;
use oaktag_geometry::path::Path;
use oaktag_language::pattern::spec::Value;
use oaktag_language::pattern::{Dart, Edge, Piece, WearerSide};

/// The grain of a piece as a stretch inside it, in the pattern's own coordinates.
pub fn grain_line(piece: &Piece) -> Option<(Point, Point)> {
    let turn = upright(piece.grain.as_ref()?);
    let outline = piece.sewing.as_ref()?.transformed(turn);
    let on_sheet = (outline.bounds().ok()?, turn);
    let (a, b) = stretch(piece, &outline, on_sheet, false, |_, _| 0.0)?;
    let back = turn.inverse();
    Some((back * a, back * b))
}

/// An arrow nearer than this to an upright line that is folded or copied would be taken for it: millimetres, or a share of a narrow piece.
const BESIDE_FOLD: (f64, f64) = (4.0, 0.15);

/// An upright stretch inside an outline, in the roomiest part of a box, on no line that is folded or copied and beside the darts, where least is in
/// the way; at its side where its middle is wanted for words.
/// The whole of a half that was drawn has a line down its middle.
pub(super) fn stretch(
    piece: &Piece,
    outline: &Path,
    (bounds, place): (Rect, Affine),
    aside: bool,
    in_the_way: impl Fn(Point, Point) -> f64,
) -> Option<(Point, Point)> {
    let marked = piece.marks.iter().filter_map(|mark| match &mark.shape {
        Value::Line(line) | Value::Curve(line) => Some(line),
        _ => None,
    });
    let folds = piece.fold_lines.iter().map(|(_, line)| line).chain(marked);
    let folds: Vec<f64> = folds.filter_map(|line| upright_at(line, place)).collect();
    let near = BESIDE_FOLD.0.min(BESIDE_FOLD.1 * bounds.width());
    let hidden = |x: f64| folds.iter().any(|fold| (fold - x).abs() < near);
    let darts: Vec<Rect> = piece.darts.iter().map(|dart| around(dart, place)).collect();
    let mut best: Option<(f64, Point, Point)> = None;
    let shares = [0.5, 0.56, 0.44, 0.62, 0.38, 0.68, 0.32, 0.74, 0.26];
    let of_both_sides = |edge: &Edge| WearerSide::split(&edge.name).is_some();
    let has_middle = piece.mirror_line.is_some() || piece.edges.iter().any(of_both_sides);
    let taken = if has_middle { 3 } else { 0 };
    let shares: Vec<f64> = match aside {
        true => between(&folds, outline, bounds).chain(ASIDE).collect(),
        false => shares.into_iter().skip(taken).collect(),
    };
    for share in shares {
        let x = bounds.x0 + bounds.width() * share;
        let whole = stretches_inside(outline, Point::new(x, 0.0), Vec2::new(0.0, 1.0));
        let clear = whole.into_iter().map(|stretch| beside(&darts, stretch));
        for (top, bottom) in clear {
            let off_middle = match (hidden(x), aside) {
                (true, _) => 0.5,
                (false, false) => f64::abs(share - 0.5),
                // As far aside as it is half as long as it could be.
                (false, true) => 0.7 * (0.5 - f64::abs(share - 0.5)),
            };
            let own = 0.6 * bounds.height() * off_middle;
            let long = bottom.y - top.y;
            for (part, shift) in PARTS {
                let score = long * (part / PARTS[0].0 - 0.3 * f64::abs(shift)) - own;
                // What lies in the way only takes away from that.
                if best.is_some_and(|(most, ..)| score <= most) {
                    continue;
                }
                let half = (bottom - top) * (0.5 * part);
                let middle = top.midpoint(bottom) + (bottom - top) * shift;
                let (a, b) = (middle - half, middle + half);
                let score = score - in_the_way(a, b);
                if best.is_none_or(|(most, ..)| score > most) {
                    best = Some((score, a, b));
                }
            }
        }
    }
    best.map(|(_, a, b)| (a, b))
}

/// Midway between upright lines, and between them and the sides of the outline, as shares of a box; nothing where there are none.
fn between(folds: &[f64], outline: &Path, bounds: Rect) -> impl Iterator<Item = f64> + use<> {
    let sides = outline.bounds().ok().filter(|_| !folds.is_empty());
    let sides = sides.map(|sides| [sides.x0, sides.x1]);
    let mut lines: Vec<f64> = sides.into_iter().flatten().chain(folds.to_vec()).collect();
    lines.sort_by(f64::total_cmp);
    let next = lines.clone().into_iter().skip(1);
    let middles = lines.into_iter().zip(next);
    middles.map(move |(a, b)| (f64::midpoint(a, b) - bounds.x0) / bounds.width().max(1.0))
}

/// How much of a stretch an arrow takes, and how far off its middle as a share of it; the usual first.
const PARTS: [(f64, f64); 9] = [
    (0.62, 0.0),
    (0.62, 0.08),
    (0.62, -0.08),
    (0.62, 0.16),
    (0.62, -0.16),
    (0.5, 0.2),
    (0.5, -0.2),
    (0.36, 0.28),
    (0.36, -0.28),
];

/// Where an arrow stands aside.
const ASIDE: [f64; 11] = [
    0.88, 0.12, 0.82, 0.18, 0.72, 0.28, 0.67, 0.33, 0.62, 0.38, 0.5,
];
/// Room kept between the arrow and a dart, in millimetres.
const BESIDE_DART: f64 = 4.0;

/// The box of a dart on the sheet, with room round it.
fn around(dart: &Dart, place: Affine) -> Rect {
    let ends = [dart.mouth.0, dart.mouth.1, dart.apex];
    let ends = ends
        .into_iter()
        .chain(dart.other_apex)
        .chain(dart.drills.clone());
    let points = ends.map(|end| place * end);
    let boxes = points.map(|p| Rect::from_points(p, p));
    let bounds = boxes.reduce(|a, b| a.union(b)).unwrap_or_default();
    bounds.inflate(BESIDE_DART, BESIDE_DART)
}

/// The longest part of an upright stretch that lies beside every dart.
fn beside(darts: &[Rect], (top, bottom): (Point, Point)) -> (Point, Point) {
    let mut crossed: Vec<(f64, f64)> = darts
        .iter()
        .filter(|dart| dart.x0 < top.x && top.x < dart.x1)
        .map(|dart| (dart.y0, dart.y1))
        .collect();
    crossed.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (high, low) = (top.y.min(bottom.y), top.y.max(bottom.y));
    let mut from = high;
    let mut best = (high, high);
    for (y0, y1) in crossed.into_iter().chain([(low, low)]) {
        let to = y0.clamp(high, low);
        if to - from > best.1 - best.0 {
            best = (from, to);
        }
        from = from.max(y1);
    }
    let at = |y: f64| Point::new(top.x, y);
    if top.y <= bottom.y {
        (at(best.0), at(best.1))
    } else {
        (at(best.1), at(best.0))
    }
}

/// Where a line stands that is upright on the sheet; none for one that slants.
fn upright_at(line: &Path, place: Affine) -> Option<f64> {
    let along = line.direction_of_straight()?;
    let way = place * (Point::ORIGIN + along) - place * Point::ORIGIN;
    let through = match line.endless_line() {
        Some((through, _)) => through,
        None => line.start().ok()?,
    };
    (way.x.abs() < 0.02 * way.hypot()).then(|| (place * through).x)
}

/// The stretches of an endless line that lie inside an outline, in the line's direction.
pub fn stretches_inside(outline: &Path, through: Point, direction: Vec2) -> Vec<(Point, Point)> {
    let Ok(line) = Path::endless(through, direction) else {
        return Vec::new();
    };
    let crossings = meetings(&line, outline).crossings;
    let points: Vec<Point> = crossings
        .iter()
        .filter(|meeting| !meeting.tangent)
        .map(|meeting| meeting.point)
        .collect();
    let shape = bez(outline);
    let pairs = points.iter().zip(points.iter().skip(1));
    pairs
        .filter(|(a, b)| shape.contains(a.midpoint(**b)))
        .map(|(a, b)| (*a, *b))
        .collect()
}
