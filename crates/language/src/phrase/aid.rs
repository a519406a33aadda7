//! Construction aids: what a hand would leave on the paper beside the line itself, kept for lessons and drawings.

use kurbo::{Point, Vec2};

/// Something drawn on the way to a result.
#[derive(Clone, Debug, PartialEq)]
pub enum Aid {
    /// The arc of a ruler or compass set to a length.
    Arc {
        /// Where the ruler or compass is held.
        centre: Point,
        /// Where its other end arrives.
        to: Point,
    },
    /// The mark of a right angle.
    Square {
        /// The corner that both arms leave.
        at: Point,
        /// One arm, a unit vector.
        along: Vec2,
        /// The other arm, a unit vector.
        up: Vec2,
    },
    /// A turn about a point.
    Turn {
        /// The point held still.
        centre: Point,
        /// Degrees as seen on the paper, clockwise positive.
        degrees: f64,
    },
    /// The corner a hollow curve fills.
    Corner {
        /// The corner, which the curve does not reach.
        at: Point,
        /// Where the curve leaves.
        from: Point,
        /// The point at which the curve arrives.
        to: Point,
    },
}
