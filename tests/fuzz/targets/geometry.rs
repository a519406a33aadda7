//! Feeds the subject `geometry` what the fuzzer makes.
#![no_main]
#![allow(dead_code, clippy::unwrap_used, missing_docs)]

#[path = "../shapes.rs"]
mod shapes;

libfuzzer_sys::fuzz_target!(|data: &[u8]| shapes::geometry(data));
