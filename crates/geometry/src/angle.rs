//! Angles as the trade turns paper: degrees, positive clockwise as seen on the paper.
//!
//! y points up, so a positive angle is a negative rotation in the mathematical sense; every conversion is here.

use kurbo::{Affine, Point, Vec2};
use std::ops::{Add, Div, Mul, Neg, Sub};

/// An angle in degrees, positive clockwise as seen on the paper.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Angle(f64);

impl Angle {
    /// An angle of that many degrees, clockwise if positive.
    pub const fn from_degrees(degrees: f64) -> Angle {
        Angle(degrees)
    }

    /// An angle of that many radians, clockwise if positive.
    pub fn from_radians(radians: f64) -> Angle {
        Angle(radians.to_degrees())
    }

    /// The turn that takes the direction `from` to the direction `to`, in (-180°, 180°]; zero if either has no length.
    pub fn between(from: Vec2, to: Vec2) -> Angle {
        let turn = -(from.cross(to).atan2(from.dot(to))).to_degrees();
        Angle(if turn <= -180.0 {
            turn + 360.0
        } else {
            turn + 0.0
        })
    }

    /// The turn in degrees, clockwise positive.
    pub const fn degrees(self) -> f64 {
        self.0
    }

    /// The turn in radians, clockwise positive.
    pub fn radians(self) -> f64 {
        self.0.to_radians()
    }

    /// Sine and cosine; exact at whole quarter turns.
    pub fn sin_cos(self) -> (f64, f64) {
        let quarters = (self.0 / 90.0).round();
        let (sin, cos) = (self.0 - quarters * 90.0).to_radians().sin_cos();
        match quarters.rem_euclid(4.0) as u8 {
            0 => (sin, cos),
            1 => (cos, -sin),
            2 => (-sin, -cos),
            _ => (-cos, sin),
        }
    }

    /// The direction turned by this angle.
    pub fn turn(self, direction: Vec2) -> Vec2 {
        let (sin, cos) = self.sin_cos();
        Vec2::new(
            direction.x * cos + direction.y * sin,
            direction.y * cos - direction.x * sin,
        )
    }

    /// The move that turns the drawing by this angle about a point.
    pub fn about(self, centre: Point) -> Affine {
        let (sin, cos) = self.sin_cos();
        let c = centre.to_vec2();
        let shift = c - self.turn(c);
        Affine::new([cos, -sin, sin, cos, shift.x, shift.y])
    }
}

impl Add for Angle {
    type Output = Angle;
    fn add(self, other: Angle) -> Angle {
        Angle(self.0 + other.0)
    }
}

impl Sub for Angle {
    type Output = Angle;
    fn sub(self, other: Angle) -> Angle {
        Angle(self.0 - other.0)
    }
}

impl Neg for Angle {
    type Output = Angle;
    fn neg(self) -> Angle {
        Angle(-self.0)
    }
}

impl Mul<f64> for Angle {
    type Output = Angle;
    fn mul(self, factor: f64) -> Angle {
        Angle(self.0 * factor)
    }
}

impl Div<f64> for Angle {
    type Output = Angle;
    fn div(self, divisor: f64) -> Angle {
        Angle(self.0 / divisor)
    }
}
