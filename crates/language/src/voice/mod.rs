//! How people are spoken to: figures with their units, names, lists and counts. What machines read is written elsewhere, with
//! more decimals.

pub mod figure;
pub mod say;
mod unit;
mod words;

pub use figure::Figure;
pub use say::Words;
pub use unit::{INCH, LengthUnit, Measured, decimals};
pub use words::{
    agree, capital, count, either, few, letters, list, name, own_name, place, small, text, the,
    the_thing, written,
};

/// An angle in degrees: `6.6°`.
pub fn angle(degrees: f64) -> String {
    LengthUnit::default().quantity(Measured::Angle, degrees)
}

/// A plain number, to four decimals.
pub fn number(value: f64) -> String {
    LengthUnit::default().quantity(Measured::Number, value)
}
