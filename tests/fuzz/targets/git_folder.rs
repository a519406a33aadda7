//! Feeds the subject `git_folder` what the fuzzer makes.
#![no_main]
#![allow(dead_code, clippy::unwrap_used, missing_docs)]

#[path = "../../support/chance.rs"]
mod chance;
#[path = "../folders.rs"]
mod folders;

libfuzzer_sys::fuzz_target!(|data: &[u8]| folders::git_folder(data));
