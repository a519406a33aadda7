//! Folding and tracing through: what lies on one side of a fold is mirrored in it, fold after fold.

use super::MEETING;
use super::meet::{Approach, closest_approach, meetings};
use super::moves::{MoveFault, mirror};
use super::parallel::{Side, side_of};
use super::path::{Path, PathFault};
use kurbo::Point;

/// An edge unfolded over its folds.
#[derive(Clone, Debug, PartialEq)]
pub struct Unfolded {
    /// The whole edge, from its start over every fold to the raw edge.
    pub path: Path,
    /// The layers that make it up: the edge to the first fold, then one strip for each fold.
    pub layers: Vec<Path>,
    /// Where the edge meets each fold, and last the raw edge.
    pub points: Vec<Point>,
}

/// Why an edge cannot be unfolded. Lengths in millimetres.
#[derive(Clone, Debug, PartialEq)]
pub enum UnfoldFault {
    /// There is no line to fold over.
    NoFolds,
    /// The edge does not reach the first fold.
    NotAtFold {
        /// How far it stops short.
        gap: f64,
        /// The place of the edge nearest to the fold.
        at: Point,
        /// The nearest place of the fold.
        fold: Point,
    },
    /// The edge inside a fold is too short: mirrored, it does not reach the next fold or the raw edge.
    TooShort {
        /// Number of the fold, from 0, that it was mirrored in.
        fold: usize,
        /// How far the mirrored edge stops short.
        gap: f64,
        /// The place of the folded edge nearest to the next line.
        at: Point,
        /// The nearest place of the next line.
        next: Point,
    },
    /// A line to fold over is not straight, or an edge is endless.
    Move(MoveFault),
    /// The result is not a path.
    Path(PathFault),
}

impl From<MoveFault> for UnfoldFault {
    fn from(fault: MoveFault) -> UnfoldFault {
        UnfoldFault::Move(fault)
    }
}

impl From<PathFault> for UnfoldFault {
    fn from(fault: PathFault) -> UnfoldFault {
        UnfoldFault::Path(fault)
    }
}

/// Unfolds an edge over straight folds until a last line.
///
/// The edge, turned so that it runs to the first fold, ends there (what runs beyond is cut off). The strip inside the
/// fold is mirrored in it and cut at the next fold; that copy is mirrored in the next fold, and so on; the last copy is
/// cut at `until`. Paper is folded right across: a straight line counts as running on at both ends.
pub fn unfold(edge: &Path, folds: &[Path], until: &Path) -> Result<Unfolded, UnfoldFault> {
    let folds: Vec<Path> = folds.iter().map(run_on).collect::<Result<_, _>>()?;
    let until = &run_on(until)?;
    let Some(first) = folds.first() else {
        return Err(UnfoldFault::NoFolds);
    };
    let mut layer = to_fold(edge, first)?;
    let mut layers = vec![layer.clone()];
    let mut points = vec![layer.end()?];
    let stops = folds.iter().skip(1).chain(std::iter::once(until));
    for (number, (fold, stop)) in folds.iter().zip(stops).enumerate() {
        let copy = layer.transformed(mirror(fold)?).reversed();
        let found = meetings(&copy, stop);
        let reached = found
            .crossings
            .iter()
            .find(|m| copy.length_to(m.on_a) > MEETING);
        let Some(reached) = reached else {
            let Approach {
                gap,
                at_first,
                at_second,
            } = closest_approach(&copy, stop);
            return Err(UnfoldFault::TooShort {
                fold: number,
                gap,
                at: at_first,
                next: at_second,
            });
        };
        layer = copy.part(copy.start_location(), reached.on_a)?;
        points.push(layer.end()?);
        layers.push(layer.clone());
    }
    let path = Path::joined(&layers)?;
    Ok(Unfolded {
        path,
        layers,
        points,
    })
}

/// A straight line without its ends; a curve as it is.
fn run_on(line: &Path) -> Result<Path, PathFault> {
    match line.direction_of_straight() {
        Some(along) => Path::endless(line.point(line.start_location()), along),
        None => Ok(line.clone()),
    }
}

/// The edge turned and cut so that it ends on the fold.
fn to_fold(edge: &Path, fold: &Path) -> Result<Path, UnfoldFault> {
    let found = meetings(edge, fold);
    let (start, end) = (edge.start()?, edge.end()?);
    let on_fold = |p: Point| fold.passes(p, MEETING);
    if on_fold(end) {
        return Ok(edge.clone());
    }
    if on_fold(start) {
        return Ok(edge.reversed());
    }
    let Some(crossing) = found.crossings.first() else {
        let Approach {
            gap,
            at_first,
            at_second,
        } = closest_approach(edge, fold);
        return Err(UnfoldFault::NotAtFold {
            gap,
            at: at_first,
            fold: at_second,
        });
    };
    // It runs beyond the fold: the longer part is the piece's own edge.
    let along = edge.length_to(crossing.on_a);
    if along >= 0.5 * edge.length()? {
        Ok(edge.part(edge.start_location(), crossing.on_a)?)
    } else {
        Ok(edge.part(crossing.on_a, edge.end_location())?.reversed())
    }
}

/// The parts of a path on the side of a line on which a point lies, in order along the path.
///
/// Where the path does not cross the line the whole of it is kept or dropped.
pub fn cut_along(path: &Path, line: &Path, keep: Point) -> Result<Vec<Path>, CutFault> {
    let wanted = side_of(line, keep).map_err(|_| CutFault::NoSide { at: keep })?;
    let parts = parts_between(path, line)?;
    let side = |part: &Path| -> Result<Side, PathFault> {
        let middle = part.point_at(0.5 * part.length()?)?;
        Ok(side_of(line, middle).unwrap_or(wanted))
    };
    let mut kept = Vec::with_capacity(parts.len());
    for part in parts {
        if side(&part)? == wanted {
            kept.push(part);
        }
    }
    Ok(kept)
}

/// The parts into which crossings with a line divide a path, in order.
pub(crate) fn parts_between(path: &Path, line: &Path) -> Result<Vec<Path>, PathFault> {
    let length = path.length()?;
    let found = meetings(path, line);
    let crossed = found
        .crossings
        .iter()
        .filter(|m| !m.tangent)
        .map(|m| m.on_a);
    let shared = found.overlaps.iter().flat_map(|o| [o.on_a.0, o.on_a.1]);
    let mut places: Vec<_> = crossed.chain(shared).collect();
    places.retain(|place| {
        let along = path.length_to(*place);
        along > MEETING && along < length - MEETING
    });
    places.sort_by(|x, y| x.partial_cmp(y).unwrap_or(std::cmp::Ordering::Equal));
    path.split_at_locations(&places)
}

/// Why a part cannot be cut along a line.
#[derive(Clone, Debug, PartialEq)]
pub enum CutFault {
    /// The point that should tell the side lies on the line.
    NoSide {
        /// The point that should tell the side.
        at: Point,
    },
    /// The path cannot be cut.
    Path(PathFault),
}

impl From<PathFault> for CutFault {
    fn from(fault: PathFault) -> CutFault {
        CutFault::Path(fault)
    }
}
