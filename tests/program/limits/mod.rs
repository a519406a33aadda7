//! The limits that the reference states: its table against the constants of the source, and for each row a draft that goes just
//! past it and is told so, and where that is cheap one just within it that is not.

use crate::drawing;
mod finite;
mod language;
mod results;
mod table;
