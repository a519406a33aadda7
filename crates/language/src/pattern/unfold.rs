//! Unfolds a half piece: the half as drawn and its mirror image over the fold, as one outline, for cutting from a single
//! layer of cloth or card. What stood on the fold edge is then the mirror line, which is no edge any more.

use super::spec::{MarkSpec, Value};
use super::{Allowance, Edge, Notch, NotchMark, Pattern, Piece};
use kurbo::{Affine, Point, Vec2};
use oaktag_geometry::MEETING;
use oaktag_geometry::moves::mirror;
use oaktag_geometry::path::Path;

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
        let fold = self.edges.get(self.cut.fold_edge?)?;
        let over = mirror(&fold.path)
            .ok()
            .filter(|_| fold.path.is_straight())?;
        let mut whole = self.whole_with(self, over)?;
        let (kept, name) = (whole.edges.len() / 2, fold.name.clone());
        for twin in whole.edges.iter_mut().skip(kept) {
            twin.mirrored = true;
        }
        whole.mirror_line = Some((name, fold.path.clone()));
        Some(whole)
    }

    /// This half of a piece on the fold and another, which `over` mirrors to where it is sewn: one outline, the edges of
    /// this half first. The other has the same edges in the same order, and meets this one on the fold; none where not.
    pub(super) fn whole_with(&self, other: &Piece, over: Affine) -> Option<Piece> {
        let fold_index = self.cut.fold_edge?;
        let fold = self.edges.get(fold_index)?;
        self.sewing.as_ref()?;
        other.sewing.as_ref()?;
        if other.cut.fold_edge != self.cut.fold_edge || other.edges.len() != self.edges.len() {
            return None;
        }
        let kept = after(&self.edges, fold_index);
        let renumber =
            |index: usize| (index + self.edges.len() - fold_index - 1) % self.edges.len();
        let turned = |index: usize| 2 * kept.len() - 1 - index;
        let mut whole = self.clone();
        whole.edges = kept.iter().map(|edge| (*edge).clone()).collect();
        let others = after(&other.edges, fold_index);
        whole
            .edges
            .extend(others.iter().rev().map(|edge| twin(edge, over)));
        let parts: Vec<Path> = whole.edges.iter().map(|edge| edge.path.clone()).collect();
        whole.sewing = Some(Path::joined(&parts).ok()?);
        let halves = Halves {
            half: self,
            other,
            fold: fold_index,
            over,
            line: mirror(&fold.path).ok()?,
        };
        halves.cutting(&mut whole, &renumber, &turned);
        whole.cut.fold_edge = None;
        let both = |a: Option<f64>, b: Option<f64>| a.zip(b).map(|(a, b)| a + b);
        whole.drawn_area = both(self.drawn_area, other.drawn_area);
        whole.cut_area = both(self.cut_area, other.cut_area);
        for ((_, path), (name, twin)) in self.fold_lines.iter().zip(&other.fold_lines) {
            let twin = twin.transformed(over);
            if !is_same_line(path, &twin, &|p| halves.is_off(p)) {
                whole.fold_lines.push((name.clone(), twin));
            }
        }
        let twin = |mark: &MarkSpec| mirrored_mark(mark, over, &|p| halves.is_off(p));
        let (here, there) = (self.shown.half, self.shown.half.other());
        // What has no twin lies on the fold, and is whose side it may.
        whole
            .marks
            .retain(|mark| mark.is_on(here) || twin(mark).is_none());
        let others = other.marks.iter().filter(|mark| mark.is_on(there));
        whole.marks.extend(others.filter_map(twin));
        whole.notches = halves.notches(&renumber, &turned);
        let turned_over =
            |(fold, onto): &(Path, Path)| (fold.transformed(over), onto.transformed(over));
        whole
            .folded_onto
            .extend(other.folded_onto.iter().map(turned_over));
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

/// An edge mirrored, running the other way, so that the cloth is on its left again.
pub(super) fn twin(edge: &Edge, over: Affine) -> Edge {
    let turned = |from: f64, to: f64| (edge.length - to, edge.length - from);
    let mut twin = Edge {
        path: edge.path.transformed(over).reversed(),
        as_drawn: !edge.as_drawn,
        allowance: edge.allowance.as_ref().map(Allowance::reversed),
        ..edge.clone()
    };
    for part in &mut twin.taken {
        *part = turned(part.0, part.1);
    }
    for part in &mut twin.beyond {
        (part.0, part.1) = turned(part.0, part.1);
    }
    for open in &mut twin.open {
        (open.0, open.1) = turned(open.0, open.1);
    }
    for held in &mut twin.held {
        held.along = turned(held.along.0, held.along.1);
    }
    twin
}

/// Two halves of a piece that is put together over its fold.
struct Halves<'a> {
    half: &'a Piece,
    other: &'a Piece,
    fold: usize,
    /// Lays the other half beside the first.
    over: Affine,
    /// Mirrors over the fold as the first half has it.
    line: Affine,
}

/// Cutting lines of two halves that end this near to each other on the fold are carried on along it: what half a degree off
/// the square ("square at CB, CF, fold", common practice) does over a wide allowance.
const STEP: f64 = 0.5;

impl Halves<'_> {
    /// Whether a point has a twin of its own across the fold.
    fn is_off(&self, p: Point) -> bool {
        (self.line * p - p).hypot() / 2.0 > ON_FOLD
    }

    /// The cutting line of one half by edges, from the fold on; none where it cannot be drawn.
    fn cut_of(&self, half: &Piece) -> Option<Vec<(usize, Path)>> {
        half.cutting.as_ref()?;
        let on_fold = |part: &&(usize, Path)| part.0 == self.fold;
        let first = half.cut_edges.iter().rposition(|part| on_fold(&part))?;
        let count = half.cut_edges.len();
        let run = half.cut_edges.iter().cycle().skip(first + 1).take(count);
        Some(run.filter(|part| !on_fold(part)).cloned().collect())
    }

    fn cutting(
        &self,
        whole: &mut Piece,
        renumber: &dyn Fn(usize) -> usize,
        turned: &dyn Fn(usize) -> usize,
    ) {
        let (Some(kept), Some(others)) = (self.cut_of(self.half), self.cut_of(self.other)) else {
            whole.cutting = None;
            whole.cut_edges.clear();
            return;
        };
        let kept: Vec<(usize, Path)> = kept
            .into_iter()
            .map(|(index, path)| (renumber(index), path))
            .collect();
        let others = others.into_iter().rev().map(|(index, path)| {
            let path = path.transformed(self.over).reversed();
            (turned(renumber(index)), path)
        });
        whole.cut_edges = with_steps(kept, others.collect());
        let parts: Vec<Path> = whole
            .cut_edges
            .iter()
            .map(|(_, path)| path.clone())
            .collect();
        whole.cutting = Path::joined(&parts).ok();
        let holes = self.other.cut_holes.iter();
        let holes = holes.map(|hole| hole.transformed(self.over).reversed());
        whole.cut_holes.extend(holes);
    }

    /// Notches of both halves; one on the fold stands once.
    fn notches(
        &self,
        renumber: &dyn Fn(usize) -> usize,
        turned: &dyn Fn(usize) -> usize,
    ) -> Vec<Notch> {
        let over_fold = |notch: &&Notch| notch.edge != self.fold;
        let mut whole: Vec<Notch> = Vec::new();
        let twins = self.other.notches.iter().filter(over_fold);
        let mut twins = twins.map(|notch| self.twin_notch(notch, &|edge| turned(renumber(edge))));
        for notch in self.half.notches.iter().filter(over_fold) {
            whole.push(Notch {
                edge: renumber(notch.edge),
                ..notch.clone()
            });
            whole.extend(twins.next().flatten());
        }
        whole.extend(twins.flatten());
        whole
    }

    /// The other half's notch where it is sewn; none where it lies on the fold.
    fn twin_notch(&self, notch: &Notch, turned: &dyn Fn(usize) -> usize) -> Option<Notch> {
        let length = self.other.edges.get(notch.edge).map_or(0.0, |e| e.length);
        let off = |mark: &NotchMark| self.is_off(mark.sewing);
        let mirrored = mirrored_notch(notch, length, self.over);
        let marks: Vec<NotchMark> = mirrored.marks.into_iter().filter(off).collect();
        (!marks.is_empty()).then(|| Notch {
            edge: turned(notch.edge),
            marks,
            said: mirrored.said,
            ..notch.clone()
        })
    }
}

/// Two runs of a closed cutting line, each carried on to the other where they end a little apart.
fn with_steps(kept: Vec<(usize, Path)>, others: Vec<(usize, Path)>) -> Vec<(usize, Path)> {
    let step = |from: Option<&(usize, Path)>, to: Option<&(usize, Path)>| {
        let ((index, from), (_, to)) = (from?, to?);
        let (a, b) = (from.end().ok()?, to.start().ok()?);
        let gap = (b - a).hypot();
        (MEETING..STEP)
            .contains(&gap)
            .then(|| Path::line(a, b).ok().map(|line| (*index, line)))?
    };
    let (there, back) = (
        step(kept.last(), others.first()),
        step(others.last(), kept.first()),
    );
    kept.into_iter()
        .chain(there)
        .chain(others)
        .chain(back)
        .collect()
}

/// A notch on an edge of that length, mirrored with it.
pub(super) fn mirrored_notch(notch: &Notch, length: f64, over: Affine) -> Notch {
    let way = |v: Vec2| over * v.to_point() - over * Point::ORIGIN;
    let marks = notch.marks.iter().map(|mark| NotchMark {
        sewing: over * mark.sewing,
        cut: over * mark.cut,
        outward: way(mark.outward),
        along: -way(mark.along),
        from_start: length - mark.from_start,
        depth: mark.depth,
    });
    Notch {
        marks: marks.collect(),
        said: notch.said.reversed(length),
        ..notch.clone()
    }
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
    let twin = turned_mark(mark, over);
    let lies_on_fold = match &twin.shape {
        Value::Point(p) => !off(*p),
        Value::Line(path) | Value::Curve(path) => {
            let ends = [path.start(), path.end()].into_iter().flatten();
            path.is_straight() && !path.is_endless() && !ends.into_iter().any(off)
        }
        _ => true,
    };
    (!lies_on_fold && twin.shape != mark.shape).then_some(twin)
}

/// A mark laid elsewhere.
pub(super) fn turned_mark(mark: &MarkSpec, over: Affine) -> MarkSpec {
    let shape = match &mark.shape {
        Value::Point(p) => Value::Point(over * *p),
        Value::Line(path) => Value::Line(path.transformed(over)),
        Value::Curve(path) => Value::Curve(path.transformed(over)),
        other => other.clone(),
    };
    MarkSpec {
        shape,
        ..mark.clone()
    }
}
