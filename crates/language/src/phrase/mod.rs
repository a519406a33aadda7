//! The one table of phrases. Each row holds a form's signature, its documentation, an example the tests run, how a lesson
//! says it, and its meaning; the check of kinds, evaluation, the printed reference, the nearest forms of a message, lessons
//! and the editor all read these rows and nothing else. A user's operation is a row too, made when its sentence is read.

pub mod aid;
pub mod argument;
mod call;
mod family;
pub mod form;
pub mod table;
mod value;
pub mod wording;

pub use call::{Blamed, Call, Fault};
pub(crate) use family::{Reach, first_meeting};
pub use form::{Form, Gives, Meaning, Option_, Place, Takes};
pub use table::Table;
pub use value::{Bearing, Value};
