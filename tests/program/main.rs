//! The program from outside: its commands, files, pages, limits, and what it is built from.
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
#[path = "../support/edits.rs"]
mod edits;
#[path = "../example_drafts/mod.rs"]
mod example_drafts;
#[allow(dead_code, reason = "each program uses a part of it")]
#[path = "../support/kinded.rs"]
mod kinded;
#[allow(dead_code, reason = "each program uses a part of it")]
#[path = "../output/paper/reader.rs"]
mod reader;

mod batch;
mod cli;
mod compare_against;
mod compare_git;
mod compare_paper;
mod cutting_table;
mod damage;
mod desk;
mod docs;
mod draw_options;
mod files;
mod fuzzed;
mod git;
mod language_server;
mod licences;
mod limits;
mod merge_git;
mod same_bytes;
mod words;
