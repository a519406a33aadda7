//! Rigid moves: pivot, mirror, and laying one seam against another. Each is a kurbo affine to be applied to whatever
//! is drawn, with the figures that say how well it fits.

use super::MEETING;
use super::angle::Angle;
use super::path::{Path, PathFault};
use super::segment::unit;
use kurbo::{Affine, Point, Vec2};
use std::fmt;

/// Why a move cannot be made. Lengths in millimetres.
#[derive(Clone, Debug, PartialEq)]
pub enum MoveFault {
    /// A fold or mirror line that is not straight.
    NotStraight,
    /// Two points that should give a direction, or a radius, coincide.
    NoDirection {
        /// Where.
        at: Point,
    },
    /// A mouth wider than a pivot at that distance can open.
    MouthTooWide {
        /// The mouth asked for.
        mouth: f64,
        /// Twice the distance from the pivot: the widest there is.
        most: f64,
    },
    /// A length that cannot be negative.
    Negative {
        /// The length.
        length: f64,
    },
    /// The path cannot be measured.
    Path(PathFault),
}

impl fmt::Display for MoveFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            MoveFault::NotStraight => write!(f, "the line to fold or mirror over is not straight"),
            MoveFault::NoDirection { .. } => {
                write!(f, "the two points coincide, so they give no direction")
            }
            MoveFault::MouthTooWide { mouth, most } => {
                write!(
                    f,
                    "at this distance from the pivot a mouth opens to {most:.3} at most, not {mouth:.3}"
                )
            }
            MoveFault::Negative { length } => {
                write!(f, "a length of {length:.3} is less than nothing")
            }
            MoveFault::Path(fault) => fault.fmt(f),
        }
    }
}

impl std::error::Error for MoveFault {}

impl From<PathFault> for MoveFault {
    fn from(fault: PathFault) -> MoveFault {
        MoveFault::Path(fault)
    }
}

/// Turns the drawing about a point, clockwise if positive.
pub fn pivot(about: Point, by: Angle) -> Affine {
    by.about(about)
}

/// The angle whose mouth, at the distance of `at` from `about`, is `mouth` millimetres wide: 2·asin(w / 2r).
pub fn opening(mouth: f64, at: Point, about: Point) -> Result<Angle, MoveFault> {
    let radius = (at - about).hypot();
    if radius < MEETING {
        return Err(MoveFault::NoDirection { at });
    }
    if mouth.is_nan() || mouth < 0.0 {
        return Err(MoveFault::Negative { length: mouth });
    }
    let most = 2.0 * radius;
    if mouth > most {
        return Err(MoveFault::MouthTooWide { mouth, most });
    }
    Ok(Angle::from_radians(2.0 * (mouth / most).asin()))
}

/// The mouth in millimetres that an angle opens at a distance from its apex: 2·r·sin(α / 2).
pub fn mouth(angle: Angle, radius: f64) -> f64 {
    2.0 * radius * (angle / 2.0).sin_cos().0.abs()
}

/// Mirrors the drawing over a straight path, endless or not.
pub fn mirror(over: &Path) -> Result<Affine, MoveFault> {
    let along = over.direction_of_straight().ok_or(MoveFault::NotStraight)?;
    let through = over.point(over.start_location());
    Ok(mirror_over(through, along))
}

/// Mirrors the drawing over the line through a point in a unit direction.
pub(crate) fn mirror_over(through: Point, along: Vec2) -> Affine {
    let (xx, xy) = (
        along.x * along.x - along.y * along.y,
        2.0 * along.x * along.y,
    );
    let p = through.to_vec2();
    let shift = p - Vec2::new(xx * p.x + xy * p.y, xy * p.x - xx * p.y);
    Affine::new([xx, xy, xy, -xx, shift.x, shift.y])
}

/// The rigid move that takes a point to a point and a direction to a direction.
pub fn lay_at(from: Point, direction: Vec2, to: Point, onto: Vec2) -> Result<Affine, MoveFault> {
    let (u, v) = (unit(direction), unit(onto));
    if u == Vec2::ZERO || v == Vec2::ZERO {
        return Err(MoveFault::NoDirection { at: from });
    }
    // The turn that takes u to v, without going through an angle.
    let (cos, sin) = (u.dot(v), u.cross(v));
    let p = from.to_vec2();
    let turned = Vec2::new(cos * p.x - sin * p.y, sin * p.x + cos * p.y);
    let shift = to.to_vec2() - turned;
    Ok(Affine::new([cos, sin, -sin, cos, shift.x, shift.y]))
}

/// Lays the points `a`, `b` onto `c`, `d`: `a` on `c`, and `b` on the line from `c` toward `d`.
///
/// Also gives the gap in millimetres by which `b` then falls short of `d`; negative where it overlaps.
pub fn lay(a: Point, b: Point, c: Point, d: Point) -> Result<(Affine, f64), MoveFault> {
    for (p, q) in [(a, b), (c, d)] {
        if (q - p).hypot() < MEETING {
            return Err(MoveFault::NoDirection { at: p });
        }
    }
    Ok((
        lay_at(a, b - a, c, d - c)?,
        (d - c).hypot() - (b - a).hypot(),
    ))
}

/// How one seam lies when it is laid along another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Laid {
    /// The move that lays it.
    pub by: Affine,
    /// By how much the laid seam's far end falls short of the other's, in millimetres; negative where it runs over.
    pub short: f64,
    /// The farthest that the laid seam lies to the left of the other, in millimetres (0 if nowhere).
    pub left: f64,
    /// Where.
    pub left_at: Point,
    /// The farthest to the right.
    pub right: f64,
    /// Where.
    pub right_at: Point,
}

/// Lays a seam along another, start on start and the far end in line: exact for straight or congruent seams, and
/// otherwise with the gap and overlap told.
pub fn lay_seam(seam: &Path, onto: &Path) -> Result<Laid, MoveFault> {
    let (by, short) = lay(seam.start()?, seam.end()?, onto.start()?, onto.end()?)?;
    laid(seam, onto, by, short)
}

/// Lays a seam along another so that they match in place and direction at lengths from their starts.
pub fn lay_seam_at(seam: &Path, at: f64, onto: &Path, onto_at: f64) -> Result<Laid, MoveFault> {
    let (here, there) = (seam.location_at(at)?, onto.location_at(onto_at)?);
    let by = lay_at(
        seam.point(here),
        seam.tangent_at(here),
        onto.point(there),
        onto.tangent_at(there),
    )?;
    let short = (onto.length()? - onto_at) - (seam.length()? - at);
    laid(seam, onto, by, short)
}

fn laid(seam: &Path, onto: &Path, by: Affine, short: f64) -> Result<Laid, MoveFault> {
    const SAMPLES: u32 = 64;
    let start = by * seam.start()?;
    let mut laid = Laid {
        by,
        short,
        left: 0.0,
        left_at: start,
        right: 0.0,
        right_at: start,
    };
    for n in 0..=SAMPLES {
        let p = by * seam.point(seam.location_at_share(f64::from(n) / f64::from(SAMPLES))?);
        let near = onto.nearest(p);
        let off = onto.normal_at(near.location).dot(p - near.point);
        if off > laid.left {
            (laid.left, laid.left_at) = (off, p);
        }
        if -off > laid.right {
            (laid.right, laid.right_at) = (-off, p);
        }
    }
    Ok(laid)
}
