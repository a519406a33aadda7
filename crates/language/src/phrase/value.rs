//! What an expression is worth.

use kurbo::{Point, Vec2};
use oaktag_geometry::path::Path;
use std::sync::Arc;

/// A value. Which kind it has is known from the check, so quantities carry their figure alone: millimetres, degrees
/// (clockwise positive), square millimetres or plain numbers.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// A place.
    Point(Point),
    /// A line or curve.
    Path(Arc<Path>),
    /// A figure.
    Quantity(f64),
    /// A unit vector.
    Direction(Vec2),
    /// A direction settled where it is used.
    Bearing(Box<Bearing>),
    /// Degrees, clockwise positive.
    Turn(f64),
    /// Letters.
    Text(Arc<str>),
    /// Yes or no.
    Answer(bool),
    /// Items in order.
    List(Arc<[Value]>),
    /// Nothing of this lies where it was asked for (a cut leaves some lines wholly on the other side).
    Absent,
}

/// A direction as written, settled by the place it is used at.
#[derive(Clone, Debug, PartialEq)]
pub enum Bearing {
    /// Always this way.
    Fixed(Vec2),
    /// Toward a point.
    At(Point),
    /// Away from a point.
    AwayFrom(Point),
    /// Along a path, in the sense nearer to the way on.
    Along(Arc<Path>),
    /// Square to a path, in the sense nearer to the way on, or to the bearing given.
    SquareTo(Arc<Path>, Option<Box<Bearing>>),
}

impl From<Path> for Value {
    fn from(path: Path) -> Self {
        Value::Path(Arc::new(path))
    }
}

impl From<Point> for Value {
    fn from(point: Point) -> Self {
        Value::Point(point)
    }
}
