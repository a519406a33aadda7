//! A draft at hand, many bodies, two revisions, lessons.
#![allow(
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::string_slice,
    clippy::unwrap_used,
    missing_docs,
    unreachable_pub,
    reason = "a test that fails should say so where it does"
)]

#[allow(dead_code, reason = "each program uses a part of it")]
#[path = "../output/paper/reader.rs"]
mod reader;

#[allow(dead_code, reason = "each program uses a part of it")]
#[path = "../support/chance.rs"]
mod chance;

#[path = "../support/chords.rs"]
mod chords;

#[allow(dead_code, reason = "each program uses a part of it")]
#[path = "../support/kinded.rs"]
mod kinded;

#[path = "../support/edits.rs"]
mod edits;

#[allow(dead_code, reason = "each program uses a part of it")]
#[path = "../support/relaid.rs"]
mod relaid;

mod compare;
mod desk;
mod editor;
mod hands;
mod hands_add;
mod hands_laws;
mod lesson;
mod lesson_page;
mod merge;
mod search;
mod session;
mod session_edits;
mod sizes;
mod unfinished;
mod view;
