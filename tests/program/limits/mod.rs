//! The limits that the reference states: its table against the constants of the source, and for each row a draft that goes just
//! past it and is told so, and where that is cheap one just within it that is not.
#![allow(
    clippy::indexing_slicing,
    clippy::unwrap_used,
    clippy::string_slice,
    missing_docs,
    reason = "a test that fails should say so where it does"
)]

use crate::drawing;
mod finite;
mod language;
mod results;
mod table;
