//! The geometry layer held against closed forms, general crates and facts of the trade.
#![allow(
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::string_slice,
    clippy::unwrap_used,
    missing_docs,
    unreachable_pub,
    reason = "a test that fails should say so where it does"
)]

#[path = "../support/chords.rs"]
mod chords;
#[path = "../support/lyon.rs"]
mod lyon;

mod allowances;
mod closed_forms;
mod common;
mod corners;
mod cutting;
mod fairness;
mod gallery;
mod meeting;
mod moving;
mod parallels;
mod peers;
mod properties;
mod seams;
mod slashing;
mod solving;
mod tapering;
mod trade_figures;
mod turning;
