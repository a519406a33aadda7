//! How edges flow across a joined seam: the angle between them there, and one smooth line through both.

use super::angle::Angle;
use super::curves::CurveFault;
use super::edit::End;
use super::fair::bridge;
use super::moves::{MoveFault, lay_at};
use super::path::{Path, PathFault};
use super::segment::unit;
use kurbo::{Affine, Point, Vec2};

/// Two edges that end at the two sides of a seam, one moved so that the seam is joined.
#[derive(Clone, Debug, PartialEq)]
pub struct Flow {
    /// The first edge, running to the seam.
    pub before: Path,
    /// The second edge, moved to the joined position and running on from the seam.
    pub after: Path,
    /// The move that joined it.
    pub joined_by: Affine,
    /// The kink at the seam: how far the second edge turns from the first, clockwise positive. Zero is smooth.
    pub kink: Angle,
}

/// Joins a seam and looks along an edge across it.
///
/// `seam_a` and `seam_b` are the two sides of the seam, `edge_a` and `edge_b` the edges that end at the corresponding
/// ends of them. The second side is laid on the first so that these ends and the seam's directions there match.
pub fn flow(edge_a: &Path, seam_a: &Path, edge_b: &Path, seam_b: &Path) -> Result<Flow, MoveFault> {
    let (corner_a, away_a) = corner(edge_a, seam_a)?;
    let (corner_b, away_b) = corner(edge_b, seam_b)?;
    let joined_by = lay_at(corner_b, away_b, corner_a, away_a)?;
    let before = edge_a.from_end_near(corner_a)?.reversed();
    let after = edge_b.from_end_near(corner_b)?.transformed(joined_by);
    let kink = Angle::between(before.end_tangent(), after.start_tangent());
    Ok(Flow {
        before,
        after,
        joined_by,
        kink,
    })
}

/// The end of the seam that lies at an end of the edge, and the seam's direction away from it.
fn corner(edge: &Path, seam: &Path) -> Result<(Point, Vec2), PathFault> {
    let (start, end) = (seam.start()?, seam.end()?);
    let distance = |p: Point| -> Result<f64, PathFault> {
        Ok((p - edge.start()?).hypot().min((p - edge.end()?).hypot()))
    };
    if distance(start)? <= distance(end)? {
        Ok((start, seam.start_tangent()))
    } else {
        Ok((end, -seam.end_tangent()))
    }
}

impl Flow {
    /// Both edges redrawn within a stretch on either side of the seam as one smooth curve, then cut back along it.
    ///
    /// Returned as the edges were handed over: the first in place, running to the seam; the second back in its own
    /// place, running from it. The seam is crossed where the direct way between the ends of the stretches crosses its
    /// direction `along`, so both seams keep or change their length alike.
    pub fn blended(&self, within: f64, along: Vec2) -> Result<(Path, Path), CurveFault> {
        let keep = |path: &Path, at: End| -> Result<Path, CurveFault> {
            let length = path.length()?;
            if !(within > super::MEETING && within < length - super::MEETING) {
                return Err(CurveFault::Stretch {
                    wanted: within,
                    length,
                });
            }
            Ok(match at {
                End::End => path.part_between(0.0, length - within)?,
                End::Start => path.part_between(within, length)?,
            })
        };
        let (first, last) = (
            keep(&self.before, End::End)?,
            keep(&self.after, End::Start)?,
        );
        let middle = bridge(&first, &last)?;
        let seam = Path::endless(self.before.end()?, unit(along))?;
        let found = super::meet::meetings(&middle, &seam);
        let crossing = found.crossings.first().ok_or(CurveFault::NoDirection)?.on_a;
        let cut = middle.split_at_locations(&[crossing])?;
        let (Some(to_seam), Some(from_seam)) = (cut.first(), cut.last()) else {
            return Err(CurveFault::NoDirection);
        };
        let before = Path::joined(&[first, to_seam.clone()])?;
        let after = Path::joined(&[from_seam.clone(), last])?.transformed(self.joined_by.inverse());
        Ok((before, after))
    }
}
