//! The units that a draft writes, and what people are told of figures by their kind.

use super::{Dimension, Kind};
use crate::syntax::tree::Unit;
use crate::voice::{Figure, INCH, LengthUnit, Measured, figure};

impl Unit {
    /// What it measures, and how many millimetres or degrees one of it is.
    pub fn measure(self) -> (Dimension, f64) {
        match self {
            Unit::Millimetre => (Dimension::LENGTH, 1.0),
            Unit::Centimetre => (Dimension::LENGTH, 10.0),
            Unit::Metre => (Dimension::LENGTH, 1000.0),
            Unit::Inch => (Dimension::LENGTH, INCH),
            Unit::Degree => (Dimension::ANGLE, 1.0),
            Unit::Percent => (Dimension::NUMBER, 0.01),
        }
    }

    /// The letters that stand after a figure: `cm`.
    pub fn name(self) -> &'static str {
        match self {
            Unit::Millimetre => "mm",
            Unit::Centimetre => "cm",
            Unit::Metre => "m",
            Unit::Inch => "in",
            Unit::Degree => "deg",
            Unit::Percent => "%",
        }
    }

    /// The unit of that name.
    pub fn named(name: &str) -> Option<Self> {
        [
            Unit::Millimetre,
            Unit::Centimetre,
            Unit::Metre,
            Unit::Inch,
            Unit::Degree,
            Unit::Percent,
        ]
        .into_iter()
        .find(|unit| unit.name() == name)
    }
}

impl From<Dimension> for Measured {
    fn from(dimension: Dimension) -> Self {
        match dimension {
            Dimension::LENGTH => Self::Length,
            Dimension::AREA => Self::Area,
            Dimension::ANGLE => Self::Angle,
            _ => Self::Number,
        }
    }
}

impl Figure {
    /// A value of `kind`, where it is a quantity.
    pub fn of_kind(kind: &Kind, value: f64) -> Self {
        match kind {
            Kind::Quantity(dimension) => figure::quantity(*dimension, value),
            _ => figure::quantity(Measured::Number, value),
        }
    }
}

impl LengthUnit {
    /// The printing unit for figures written in `unit`; angles and shares have none.
    pub fn for_figures_in(unit: Unit) -> Option<Self> {
        match unit {
            Unit::Millimetre | Unit::Metre => Some(Self::Millimetre),
            Unit::Centimetre => Some(Self::Centimetre),
            Unit::Inch => Some(Self::Inch),
            Unit::Degree | Unit::Percent => None,
        }
    }
}
