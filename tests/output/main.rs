//! Drawings, pages, files for cutting rooms and other tools, each read back by another reader.
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
#[path = "../support/chance.rs"]
mod chance;
#[path = "../drawing/mod.rs"]
mod drawing;
#[path = "../example_drafts/mod.rs"]
mod example_drafts;
#[allow(dead_code, reason = "each program uses a part of it")]
#[path = "../support/kinded.rs"]
mod kinded;
#[path = "../pattern_fixture/mod.rs"]
mod pattern_fixture;
#[allow(dead_code, reason = "each program uses a part of it")]
#[path = "../support/relaid.rs"]
mod relaid;

mod cutting_room;
mod cutting_words;
mod lay;
mod layouts;
mod output_json;
mod output_svg;
mod paper;
mod pictures;
mod properties;
mod stripes;
mod tickets;
