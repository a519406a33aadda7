//! What people read is held against the program: every example runs, every picture is the program's own, every path and
//! link leads somewhere, and what DEVELOPERS.md says of layers and dependencies is so.
//!
//! `UPDATE_EXPECT=1 cargo test --test program docs::` writes the pictures, the table of phrases and what shell examples print anew.
#![allow(
    clippy::indexing_slicing,
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a test that fails should say so where it does"
)]

mod blocks;
mod console;
mod developers;
mod drafts;
mod links;
mod made;
