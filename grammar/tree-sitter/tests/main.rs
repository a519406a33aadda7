//! The grammar for editors, held against the program's own reader and against the other grammar of colours.
#![allow(
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::string_slice,
    clippy::unwrap_used,
    missing_docs,
    unreachable_pub,
    reason = "a test that fails should say so where it does"
)]

mod queries;
mod reading;
mod support;
