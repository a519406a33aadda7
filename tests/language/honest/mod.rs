//! Nothing wrong is said in silence: what a failed sentence drew is withdrawn, and no figure contradicts its words.
#![allow(
    clippy::indexing_slicing,
    clippy::unwrap_used,
    clippy::expect_used,
    missing_docs,
    reason = "a test that fails should say so where it does"
)]

use crate::drawing;
mod lines;
mod rings;
mod told;
mod trials;
mod withdrawn;
