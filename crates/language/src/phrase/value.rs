//! What an expression is worth.

use kurbo::{Point, Vec2};
use oaktag_geometry::path::Path;
use std::sync::Arc;

/// A value. Which kind it has is known from the check, so quantities carry their figure alone: millimetres, degrees
/// (clockwise positive), square millimetres or plain numbers.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// A place on the sheet, in millimetres, y up.
    Point(Point),
    /// A line or curve.
    Path(Arc<Path>),
    /// A figure; the check knows of which kind.
    Quantity(f64),
    /// A fixed direction, as a unit vector.
    Direction(Vec2),
    /// A direction settled where it is used.
    Bearing(Box<Bearing>),
    /// An angle with its sense: degrees, clockwise positive.
    Turn(f64),
    /// Letters, with their figures filled in.
    Text(Arc<str>),
    /// Yes or no, decided.
    Answer(bool),
    /// Items in the order of the draft.
    List(Arc<[Value]>),
    /// Nothing of this lies where it was asked for (a cut leaves some lines wholly on the other side).
    Absent,
}

/// A direction as written, settled by the place it is used at.
#[derive(Clone, Debug, PartialEq)]
pub enum Bearing {
    /// The same way wherever it is used, as a unit vector.
    Fixed(Vec2),
    /// Toward this point from wherever it is used.
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
