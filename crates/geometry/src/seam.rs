//! Edges in sewing order, handed over in any direction, turned so that each goes on where the one before ended.

use super::MEETING;
use super::path::{Path, PathFault};
use kurbo::Point;

/// Why edges make no chain. Lengths in millimetres.
#[derive(Clone, Debug, PartialEq)]
pub enum SeamFault {
    /// There is no edge to turn.
    Empty,
    /// Two edges do not join, whichever way they are turned.
    Gap {
        /// Index of the edge before.
        before: usize,
        /// Index of the edge after.
        after: usize,
        /// The gap between their nearest ends.
        gap: f64,
        /// The end of the edge before.
        from: Point,
        /// The nearest end of the edge after.
        to: Point,
    },
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
    let ends = edges
        .iter()
        .map(|e| Ok((e.start()?, e.end()?)))
        .collect::<Result<Vec<_>, PathFault>>()?;
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
    let mut turned = vec![first_turned];
    let mut at = if first_turned { first.0 } else { first.1 };
    for (index, (start, end)) in ends.iter().enumerate().skip(1) {
        let (to_start, to_end) = ((*start - at).hypot(), (*end - at).hypot());
        let reversed = to_end < to_start;
        let (gap, to) = if reversed {
            (to_end, *end)
        } else {
            (to_start, *start)
        };
        if gap > tolerance {
            return Err(SeamFault::Gap {
                before: index.saturating_sub(1),
                after: index,
                gap,
                from: at,
                to,
            });
        }
        turned.push(reversed);
        at = if reversed { *start } else { *end };
    }
    Ok(turned)
}
