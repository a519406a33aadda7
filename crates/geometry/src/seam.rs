//! Edges in sewing order, handed over in any direction, turned so that each goes on where the one before ended.

use super::MEETING;
use super::path::{Path, PathFault};
use kurbo::Point;

/// A gap between an edge and the next one.
#[derive(Clone, Debug, PartialEq)]
pub struct EdgeGap {
    /// Index of the edge before.
    pub before: usize,
    /// Index of the edge after; the first, where a closed row does not close.
    pub after: usize,
    /// Its width in millimetres.
    pub width: f64,
    /// The end of the edge before.
    pub from: Point,
    /// The nearest end of the edge after.
    pub to: Point,
}

/// Why edges make no chain.
#[derive(Clone, Debug, PartialEq)]
pub enum SeamFault {
    /// There is no edge to turn.
    Empty,
    /// Two edges do not join, whichever way they are turned.
    Gap(EdgeGap),
    /// An edge is endless.
    Path(PathFault),
}

impl From<PathFault> for SeamFault {
    fn from(fault: PathFault) -> SeamFault {
        SeamFault::Path(fault)
    }
}

/// For each edge whether it is turned round so that the row chains, gaps up to `tolerance` millimetres.
///
/// The first edge is turned toward the second; a single edge stays as drawn.
pub fn orientations(edges: &[Path], tolerance: f64) -> Result<Vec<bool>, SeamFault> {
    let ends = ends(edges)?;
    let Some(first) = ends.first() else {
        return Err(SeamFault::Empty);
    };
    let first_turned = match ends.get(1) {
        Some(second) => {
            let nearer = |p: Point| (p - second.0).hypot().min((p - second.1).hypot());
            // Equally near (a closed pair): as drawn, if that goes on.
            nearer(first.0) + tolerance.max(MEETING) < nearer(first.1)
        }
        None => false,
    };
    let chained = chained(&ends, first_turned, tolerance).map_err(SeamFault::Gap)?;
    Ok(chained.0)
}

/// Start and end of each edge.
pub(crate) fn ends(edges: &[Path]) -> Result<Vec<(Point, Point)>, PathFault> {
    let ends = edges.iter().map(|edge| Ok((edge.start()?, edge.end()?)));
    ends.collect()
}

/// For each edge, by its ends, whether it is turned so that the row goes on from the first, and where the last one ends.
pub(crate) fn chained(
    ends: &[(Point, Point)],
    first_turned: bool,
    tolerance: f64,
) -> Result<(Vec<bool>, Point), EdgeGap> {
    let mut turned = vec![first_turned];
    let first = ends.first().copied().unwrap_or_default();
    let mut at = if first_turned { first.0 } else { first.1 };
    for (after, (start, end)) in ends.iter().enumerate().skip(1) {
        let (to_start, to_end) = ((*start - at).hypot(), (*end - at).hypot());
        let reversed = to_end < to_start;
        let (near, far) = if reversed { (end, start) } else { (start, end) };
        let width = to_start.min(to_end);
        if width > tolerance {
            return Err(EdgeGap {
                before: after - 1,
                after,
                width,
                from: at,
                to: *near,
            });
        }
        turned.push(reversed);
        at = *far;
    }
    Ok((turned, at))
}
