//! The library and the examples, held to the trade.
#![allow(
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::string_slice,
    clippy::unwrap_used,
    missing_docs,
    unreachable_pub,
    reason = "a test that fails should say so where it does"
)]

#[path = "../drawing/mod.rs"]
mod drawing;
#[path = "../example_drafts/mod.rs"]
mod example_drafts;

mod any_garment;
mod ferry_shirt;
mod garments;
mod kept;
mod library_pairs;
mod library_parts;
mod library_shirt;
mod making_up;
mod method;
mod method_shirt;
mod totals;
