//! Repositories of strangers: nothing that their author wrote is run, fetched or written, and nobody's settings change what is
//! read. The repositories are made here, by the git at hand.
#![cfg(unix)]
#![allow(
    clippy::indexing_slicing,
    clippy::unwrap_used,
    clippy::string_slice,
    missing_docs,
    dead_code,
    reason = "a test that fails should say so where it does"
)]

mod doors;
mod read;
pub mod repository;

#[path = "../../../src/cli/git/doors.rs"]
mod list;
