//! Unfolds a half piece: the half as drawn and its mirror image over the fold, as one outline, for cutting from a single
//! layer of cloth or card. What stood on the fold edge is then the mirror line, which is no edge any more.

use super::spec::{MarkSpec, Value};
use super::{Edge, Notch, NotchMark, Pattern, Piece};
use crate::geometry::moves::mirror;
use crate::geometry::path::Path;
use kurbo::{Affine, Point, Vec2};

/// A point this near to the fold is its own mirror image.
const ON_FOLD: f64 = 0.001;

impl Pattern {
    /// The pattern with each piece on the fold drawn whole. A piece whose fold edge is not straight stays a half.
    pub fn unfolded(&self) -> Pattern {
        let mut whole = self.clone();
        for piece in &mut whole.pieces {
            if let Some(unfolded) = piece.unfolded() {
                *piece = unfolded;
            }
        }
        whole
    }
}

impl Piece {
    /// The whole of a piece on the fold; none where it is not on a straight fold, or its outline does not close.
    pub fn unfolded(&self) -> Option<Piece> {
        let fold_index = self.cut.fold_edge?;
        let fold = self.edges.get(fold_index)?;
        self.sewing.as_ref()?;
        let over = mirror(&fold.path)
            .ok()
            .filter(|_| fold.path.is_straight())?;
        let kept = after(&self.edges, fold_index);
        let renumber =
            |index: usize| (index + self.edges.len() - fold_index - 1) % self.edges.len();
        let turned = |index: usize| 2 * kept.len() - 1 - index;
        let mut whole = self.clone();
        whole.edges = kept.iter().map(|edge| (*edge).clone()).collect();
        whole
            .edges
            .extend(kept.iter().rev().map(|edge| twin(edge, over)));
        let parts: Vec<Path> = whole.edges.iter().map(|edge| edge.path.clone()).collect();
        whole.sewing = Some(Path::joined(&parts).ok()?);
        cutting(self, &mut whole, fold_index, over, &renumber, &turned);
        whole.cut.fold_edge = None;
        whole.mirror_line = Some((fold.name.clone(), fold.path.clone()));
        whole.drawn_area = self.drawn_area.map(|area| 2.0 * area);
        whole.cut_area = self.cut_area.map(|area| 2.0 * area);
        let through = fold.path.start().ok()?;
        let off = move |p: Point| (over * p - p).hypot() / 2.0 > ON_FOLD;
        for (name, path) in &self.fold_lines {
            let other = path.transformed(over);
            if !is_same_line(path, &other, &off) {
                whole.fold_lines.push((name.clone(), other));
            }
        }
        let other = |(fold, onto): &(Path, Path)| (fold.transformed(over), onto.transformed(over));
        whole.folded_onto.extend(self.folded_onto.iter().map(other));
        whole.marks.extend(
            self.marks
                .iter()
                .filter_map(|mark| mirrored_mark(mark, over, &off)),
        );
        whole.notches = notches(self, fold_index, &renumber, &turned, over, through);
        whole.corners = corners(self, fold_index, &renumber, &turned);
        Some(whole)
    }
}

/// Whether a line's mirror image covers it: an endless one along the fold or square to it, one that lies on the fold.
fn is_same_line(path: &Path, other: &Path, off: &dyn Fn(Point) -> bool) -> bool {
    match (path.endless_line(), other.endless_line()) {
        (Some((a, u)), Some((b, v))) => u.cross(v).abs() < 1e-9 && u.cross(b - a).abs() < ON_FOLD,
        _ => {
            path.is_straight()
                && [path.start(), path.end()]
                    .into_iter()
                    .flatten()
                    .all(|p| !off(p))
        }
    }
}

/// All but one, from the one after it.
fn after(edges: &[Edge], index: usize) -> Vec<&Edge> {
    edges
        .iter()
        .skip(index + 1)
        .chain(edges.iter().take(index))
        .collect()
}

/// The edge of the other half.
fn twin(edge: &Edge, over: Affine) -> Edge {
    Edge {
        path: edge.path.transformed(over).reversed(),
        as_drawn: !edge.as_drawn,
        mirrored: true,
        ..edge.clone()
    }
}

fn cutting(
    half: &Piece,
    whole: &mut Piece,
    fold_index: usize,
    over: Affine,
    renumber: &dyn Fn(usize) -> usize,
    turned: &dyn Fn(usize) -> usize,
) {
    let on_fold = |(index, _): &&(usize, Path)| *index == fold_index;
    let count = half.cut_edges.len();
    let first = half.cut_edges.iter().rposition(|part| on_fold(&part));
    let Some(first) = first.filter(|_| half.cutting.is_some()) else {
        whole.cutting = None;
        whole.cut_edges.clear();
        return;
    };
    let run = half.cut_edges.iter().cycle().skip(first + 1).take(count);
    let kept: Vec<(usize, Path)> = run
        .filter(|part| !on_fold(part))
        .map(|(index, path)| (renumber(*index), path.clone()))
        .collect();
    let back = kept
        .iter()
        .rev()
        .map(|(index, path)| (turned(*index), path.transformed(over).reversed()));
    whole.cut_edges = kept.iter().cloned().chain(back).collect();
    let parts: Vec<Path> = whole
        .cut_edges
        .iter()
        .map(|(_, path)| path.clone())
        .collect();
    whole.cutting = Path::joined(&parts).ok();
    let holes = half
        .cut_holes
        .iter()
        .map(|hole| hole.transformed(over).reversed());
    whole.cut_holes.extend(holes);
}

/// Notches of both halves; one on the fold stands once.
fn notches(
    half: &Piece,
    fold_index: usize,
    renumber: &dyn Fn(usize) -> usize,
    turned: &dyn Fn(usize) -> usize,
    over: Affine,
    through: Point,
) -> Vec<Notch> {
    let way = |v: Vec2| over * (through + v) - over * through;
    let mut whole = Vec::new();
    for notch in half.notches.iter().filter(|notch| notch.edge != fold_index) {
        let edge = renumber(notch.edge);
        let length = half.edges.get(notch.edge).map_or(0.0, |edge| edge.length);
        whole.push(Notch {
            edge,
            ..notch.clone()
        });
        let off = |mark: &&NotchMark| (over * mark.sewing - mark.sewing).hypot() > 2.0 * ON_FOLD;
        let marks: Vec<NotchMark> = notch
            .marks
            .iter()
            .filter(off)
            .map(|mark| NotchMark {
                sewing: over * mark.sewing,
                cut: over * mark.cut,
                outward: way(mark.outward),
                along: -way(mark.along),
                from_start: length - mark.from_start,
                depth: mark.depth,
            })
            .collect();
        if !marks.is_empty() {
            whole.push(Notch {
                edge: turned(edge),
                marks,
                ..notch.clone()
            });
        }
    }
    whole
}

/// Treated corners of both halves; those on the fold are corners no more.
fn corners(
    half: &Piece,
    fold_index: usize,
    renumber: &dyn Fn(usize) -> usize,
    turned: &dyn Fn(usize) -> usize,
) -> Vec<(usize, usize, super::spec::CornerTreatment)> {
    let kept = half
        .corners
        .iter()
        .filter(|(a, b, _)| *a != fold_index && *b != fold_index);
    kept.flat_map(|(a, b, treatment)| {
        let (a, b) = (renumber(*a), renumber(*b));
        [(a, b, *treatment), (turned(a), turned(b), *treatment)]
    })
    .collect()
}

/// The mark of the other half; none for one that lies on the fold, or is no shape.
fn mirrored_mark(mark: &MarkSpec, over: Affine, off: &dyn Fn(Point) -> bool) -> Option<MarkSpec> {
    let shape = match &mark.shape {
        Value::Point(p) if off(*p) => Value::Point(over * *p),
        Value::Line(path) => Value::Line(path.transformed(over)),
        Value::Curve(path) => Value::Curve(path.transformed(over)),
        _ => return None,
    };
    (shape != mark.shape).then(|| MarkSpec {
        shape,
        ..mark.clone()
    })
}
