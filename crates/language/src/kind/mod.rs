//! Kinds and units: what a value is, before anybody knows its figure.

mod quantity;
mod unit;

pub use quantity::Dimension;

use std::fmt;

/// The kind of a value.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Kind {
    /// A place on the paper.
    Point,
    /// A straight line, endless or bounded. It may stand wherever a curve is asked.
    Line,
    /// A curve, straight or not.
    Curve,
    /// A length, an angle, an area, a number, or a product half way between them.
    Quantity(Dimension),
    /// A way to go.
    Direction,
    /// A direction that is settled only where it is used: `along hem`, `square to hem`.
    Bearing,
    /// An angle with its sense.
    Turn,
    /// A length with the sense in which it goes round a circle.
    LengthRound,
    /// A point with the sense in which it is gone to round a circle.
    PointRound,
    /// Letters, as in a label; they are never worked with.
    Text,
    /// Yes or no, as a draft decides it.
    Answer,
    /// Items of one kind.
    List(Box<Kind>),
    /// A group of names on one shared plane.
    Panel,
    /// Not known, because something above is already reported; fits everywhere.
    Unknown,
}

impl Kind {
    /// A length, whose figures are millimetres.
    pub const LENGTH: Kind = Kind::Quantity(Dimension::LENGTH);
    /// An angle without a sense, whose figures are degrees.
    pub const ANGLE: Kind = Kind::Quantity(Dimension::ANGLE);
    /// An area, whose figures are square millimetres.
    pub const AREA: Kind = Kind::Quantity(Dimension::AREA);
    /// A figure without a unit: a share, a count.
    pub const NUMBER: Kind = Kind::Quantity(Dimension::NUMBER);

    /// Whether it is a line or a curve.
    pub(crate) fn is_path(&self) -> bool {
        matches!(self, Kind::Line | Kind::Curve)
    }

    /// Whether it is a list of panels, or a list of such lists.
    pub fn holds_panels(&self) -> bool {
        match self {
            Kind::List(item) => **item == Kind::Panel || item.holds_panels(),
            _ => false,
        }
    }

    /// Whether a value of this kind may stand where `wanted` is asked.
    pub fn fits(&self, wanted: &Kind) -> bool {
        match (self, wanted) {
            (Kind::Unknown, _) | (_, Kind::Unknown) | (Kind::Line, Kind::Curve) => true,
            (Kind::List(item), Kind::List(asked)) => item.fits(asked),
            _ => self == wanted,
        }
    }

    /// The kind that holds both, as after two branches: a line and a curve make a curve.
    pub fn joined(&self, other: &Kind) -> Option<Kind> {
        if self.fits(other) {
            Some(if *other == Kind::Unknown {
                self.clone()
            } else {
                other.clone()
            })
        } else if other.fits(self) {
            Some(self.clone())
        } else {
            None
        }
    }

    /// With its article: "a point", "an angle".
    pub fn with_article(&self) -> String {
        let name = self.to_string();
        match self {
            Kind::Answer | Kind::Unknown => name,
            _ if name.starts_with(['a', 'e', 'i', 'o', 'u']) => format!("an {name}"),
            _ => format!("a {name}"),
        }
    }

    /// More than one of it: "points".
    fn plural(&self) -> String {
        match self {
            Kind::Answer => "answers".into(),
            Kind::List(item) => format!("lists of {}", item.plural()),
            _ => format!("{self}s"),
        }
    }
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Kind::Point => f.write_str("point"),
            Kind::Line => f.write_str("line"),
            Kind::Curve => f.write_str("curve"),
            Kind::Quantity(dimension) => dimension.fmt(f),
            Kind::Direction | Kind::Bearing => f.write_str("direction"),
            Kind::Turn => f.write_str("turn"),
            Kind::LengthRound => f.write_str("length with a sense"),
            Kind::PointRound => f.write_str("point with a sense"),
            Kind::Text => f.write_str("text"),
            Kind::Answer => f.write_str("yes or no"),
            Kind::List(item) if **item == Kind::Unknown => f.write_str("list"),
            Kind::List(item) => write!(f, "list of {}", item.plural()),
            Kind::Panel => f.write_str("panel"),
            Kind::Unknown => f.write_str("something not yet known"),
        }
    }
}
