//! The figures of a sentence, in millimetres, square millimetres or degrees until the unit of the person who reads it is known.

use super::{LengthUnit, Measured};

/// A figure in a sentence, and how it is said.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure(How);

#[derive(Clone, Debug, PartialEq)]
enum How {
    Measured(f64),
    Alone(Measured, f64),
    Beside(Measured, Box<[f64]>),
    Written(f64),
    Difference(f64),
    Small(f64),
}

/// A measured length in millimetres, `413.4 mm`: those of one sentence that differ are printed so that it is seen.
pub fn length(mm: f64) -> Figure {
    Figure(How::Measured(mm))
}

/// A length that somebody chose, in millimetres: `10 mm`.
pub fn spoken(mm: f64) -> Figure {
    quantity(Measured::Length, mm)
}

/// A length in millimetres as a draft writes it: `10mm`.
pub fn written(mm: f64) -> Figure {
    Figure(How::Written(mm))
}

/// The size of a difference in millimetres.
pub fn difference(mm: f64) -> Figure {
    Figure(How::Difference(mm))
}

/// An angle in degrees.
pub fn angle(degrees: f64) -> Figure {
    quantity(Measured::Angle, degrees)
}

/// A distance in millimetres between things that do not touch, which is never nothing.
pub fn small(mm: f64) -> Figure {
    Figure(How::Small(mm))
}

/// Any quantity, in millimetres, square millimetres, degrees or as a plain number.
pub fn quantity(what: impl Into<Measured>, value: f64) -> Figure {
    Figure(How::Alone(what.into(), value))
}

/// Quantities of one kind; where they differ each has as many places as part them, in whatever sentence it stands.
pub fn apart<const N: usize>(what: impl Into<Measured>, values: [f64; N]) -> [Figure; N] {
    let what = what.into();
    std::array::from_fn(|own| {
        let own = values.get(own).into_iter();
        Figure(How::Beside(what, own.chain(&values).copied().collect()))
    })
}

/// A quantity that is not nothing, so that it is not printed as nothing.
pub(crate) fn not_nothing(what: impl Into<Measured>, value: f64) -> Figure {
    let [said, _] = apart(what, [value, 0.0]);
    said
}

impl Figure {
    /// The measured length, which is held against others of its sentence.
    pub(super) fn measured(&self) -> Option<f64> {
        match self.0 {
            How::Measured(mm) => Some(mm),
            _ => None,
        }
    }

    /// As it is said where no other figure has to be told apart from it.
    pub(super) fn in_unit(&self, unit: LengthUnit) -> String {
        match &self.0 {
            How::Measured(mm) => unit.length(*mm),
            How::Alone(what, value) => unit.quantity(*what, *value),
            How::Beside(what, values) => unit.first_apart(*what, values),
            How::Written(mm) => unit.typed(*mm),
            How::Difference(mm) => unit.difference(*mm),
            How::Small(mm) if *mm < 0.1 => "less than 0.1 mm".to_owned(),
            How::Small(mm) => unit.length(*mm),
        }
    }
}
