//! What a draft's text means: read, laid out, checked, drawn, told; marks, pieces and seams.
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
#[path = "../drawing/mod.rs"]
mod drawing;
#[path = "../example_drafts/mod.rs"]
mod example_drafts;
#[path = "../mutation/mod.rs"]
mod mutation;
#[path = "../pattern_fixture/mod.rs"]
mod pattern_fixture;
#[path = "../support/mod.rs"]
mod support;

mod darts;
mod errors;
mod explain;
mod grammar;
mod guesses;
mod highlighting;
mod honest;
mod hostile;
mod interlining;
mod marks;
mod mutations;
mod needs;
mod pattern_faults;
mod pattern_parts;
mod pattern_shirt;
mod phrases;
mod redrawn;
mod repetition;
mod rings;
mod sentences;
mod slips;
mod strips;
mod syntax;
mod tables;
mod taking;
mod tapering;
mod turning;
