//! How a draft calls a place along an edge or a seam, so that whoever is told of it hears the author's own words.

use super::spec::SeamPoint;

/// A place along an edge or a side, as its author names it.
#[derive(Clone, Debug, PartialEq, Default)]
pub enum PlaceSaid {
    /// Nothing that has a name lies there.
    #[default]
    Unnamed,
    /// At the point of that full name.
    At(String),
    /// By its distance from the point of that full name, which lies so far along, in millimetres.
    From(String, f64),
}

impl PlaceSaid {
    /// By its distance from a point that lies so far along.
    pub(crate) fn from(point: &SeamPoint, along: f64) -> Self {
        if point.name.is_empty() {
            return Self::Unnamed;
        }
        Self::From(point.name.clone(), along)
    }

    /// The place of a point that the draft names.
    pub(crate) fn at(point: &SeamPoint) -> Self {
        if point.name.is_empty() {
            return Self::Unnamed;
        }
        Self::At(point.name.clone())
    }

    /// Along an edge or side of that length, run the other way.
    pub(crate) fn reversed(&self, length: f64) -> Self {
        match self {
            Self::From(name, along) => Self::From(name.clone(), length - along),
            other => other.clone(),
        }
    }
}
