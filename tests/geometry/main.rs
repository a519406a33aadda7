//! The geometry layer held against closed forms, general crates and facts of the trade.
#![allow(
    clippy::indexing_slicing,
    clippy::unwrap_used,
    clippy::expect_used,
    missing_docs,
    reason = "a test that fails should say so where it does"
)]

mod allowances;
mod common;
