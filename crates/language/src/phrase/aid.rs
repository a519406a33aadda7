//! Construction aids: what a hand would leave on the paper beside the line itself, kept for lessons and drawings.

use kurbo::{Point, Vec2};

/// Something drawn on the way to a result.
#[derive(Clone, Debug, PartialEq)]
pub enum Aid {
    /// The arc of a ruler or compass set to a length.
    Arc {
        /// Where it is held.
        centre: Point,
        /// Where it arrives.
        to: Point,
    },
    /// A right angle.
    Square {
        /// At the corner.
        at: Point,
        /// One arm, a unit vector.
        along: Vec2,
        /// The other arm, a unit vector.
        up: Vec2,
    },
    /// A turn about a point.
    Turn {
        /// About where.
        centre: Point,
        /// Degrees, clockwise positive.
        degrees: f64,
    },
    /// The corner a hollow curve fills.
    Corner {
        /// The corner.
        at: Point,
        /// Where the curve leaves.
        from: Point,
        /// Where it arrives.
        to: Point,
    },
}
