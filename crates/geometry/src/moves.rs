//! Rigid moves: pivot, mirror, and laying one seam against another. Each is a kurbo affine to be applied to whatever
//! is drawn, with the figures that say how well it fits.

use super::MEETING;
use super::angle::Angle;
use super::path::{Path, PathFault};
use super::segment::unit;
use kurbo::{Affine, Point, Vec2};

/// Why a move cannot be made. Lengths in millimetres.
#[derive(Clone, Debug, PartialEq)]
pub enum MoveFault {
    /// A fold or mirror line that is not straight.
    NotStraight,
    /// Two points that should give a direction, or a radius, coincide.
    NoDirection {
        /// The point on which they fall together.
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
        /// The length asked for, below nothing.
        length: f64,
    },
    /// The path cannot be measured.
    Path(PathFault),
}

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
