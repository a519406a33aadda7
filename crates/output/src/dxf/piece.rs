//! The block of a piece: its cutting line as chords, with a point for every corner and every place on a curve, and what is
//! marked on it.

use super::groups::Groups;
use super::{CHORD, LETTERS, SMALL};
use crate::drawing::{grain_line, stretches_inside};
use crate::path_data::bez;
use kurbo::{PathEl, Point, Vec2};
use oaktag_geometry::path::Path;
use oaktag_language::pattern::spec::{MarkSpec, NotchForm, Value};
use oaktag_language::pattern::{MatchLine, NotchMark, Pattern, Piece};
use oaktag_language::voice;

/// A boundary that turns by less than this at a joint, in degrees, runs on there.
const TURN: f64 = 2.0;

/// Writes all of a piece.
pub(super) fn write(
    block: &mut Groups,
    pattern: &Pattern,
    piece: &Piece,
    outer: &Path,
    size: &str,
) {
    boundary(block, outer);
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
        if let Some(at) = beside(mark).filter(|_| !mark.words().is_empty()) {
            block.text(15, at, SMALL, &mark.words());
        }
    }
    words(block, pattern, piece, outer, size);
}

/// Where the words of a mark stand.
fn beside(mark: &MarkSpec) -> Option<Point> {
    let at = match &mark.shape {
        Value::Point(at) => *at,
        Value::Line(path) | Value::Curve(path) if !path.is_endless() => {
            path.point_at(path.length().ok()? / 2.0).ok()?
        }
        _ => return None,
    };
    Some(at + Vec2::new(SMALL, SMALL / 2.0))
}

/// The boundary, and on it the points where it turns and those where it only bends.
fn boundary(block: &mut Groups, outer: &Path) {
    let points = open(&chords(outer));
    block.polyline(1, &points, true);
    let corners = corners(outer);
    for p in &points {
        let is_turn = corners.iter().any(|corner| (*corner - *p).hypot() < CHORD);
        block.spot(if is_turn { 2 } else { 3 }, *p);
    }
}

/// Where a closed path turns.
fn corners(path: &Path) -> Vec<Point> {
    let segs = path.segs();
    let next = segs.iter().cycle().skip(1);
    let turns = segs.iter().zip(next).filter_map(|(a, b)| {
        let (a, b) = (
            Path::from_segs(vec![*a]).ok()?,
            Path::from_segs(vec![*b]).ok()?,
        );
        let (u, v) = (a.end_tangent(), b.start_tangent());
        let turn = u.cross(v).abs().atan2(u.dot(v)).to_degrees();
        (turn > TURN).then(|| b.start().ok())?
    });
    turns.collect()
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

/// A notch: a point on the boundary with its depth and the way it is cut.
fn notch(block: &mut Groups, form: NotchForm, mark: &NotchMark) {
    let layer = match form {
        NotchForm::Tee => 80,
        NotchForm::Single | NotchForm::Double | NotchForm::Vee | NotchForm::Slit => 4,
    };
    block.spot(layer, mark.cut);
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

/// What a cutting room reads on the piece.
fn words(block: &mut Groups, pattern: &Pattern, piece: &Piece, outer: &Path, size: &str) {
    let Ok(bounds) = outer.bounds() else { return };
    let cloth = piece.cut.cloth.as_deref().unwrap_or("");
    let declared = pattern.cloths.iter().find(|one| one.name == cloth);
    let material = match declared {
        Some(one) if !one.label.is_empty() => format!("{}, {}", voice::letters(cloth), one.label),
        _ => voice::letters(cloth),
    };
    let mut lines = vec![
        (1, format!("Piece Name: {}", piece.label)),
        (1, format!("Size: {size}")),
        (1, format!("Quantity: {}", piece.cut.count)),
    ];
    if !material.is_empty() {
        lines.push((1, format!("Material: {material}")));
    }
    let (number, of) = piece.number;
    lines.push((15, format!("Piece {number} of {of}")));
    let issue = pattern.issue.words();
    lines.extend(
        [issue, piece.cut_words()]
            .into_iter()
            .filter(|line| !line.is_empty())
            .map(|line| (15, line)),
    );
    let folded = piece.fold_lines.iter().filter_map(|(name, path)| {
        let onto = piece.laid_onto(path)?;
        let (name, onto) = (voice::letters(name), voice::letters(onto));
        Some((15, format!("Lay {name} onto {onto}")))
    });
    lines.extend(folded);
    lines.extend(piece.cautions.iter().map(|caution| (15, caution.clone())));
    // Beside the grain line, which stands where the piece has room.
    let middle = grain_line(piece).map_or(bounds.center(), |(a, b)| a.midpoint(b));
    let top = middle + Vec2::new(2.0 * LETTERS, 3.0 * LETTERS);
    for (row, (layer, line)) in (0u32..).zip(&lines) {
        let at = top + Vec2::new(0.0, -1.5 * LETTERS * f64::from(row));
        block.text(*layer, at, LETTERS, line);
    }
}
