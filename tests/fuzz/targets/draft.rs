//! Feeds the subject `draft` what the fuzzer makes.
#![no_main]
#![allow(dead_code, clippy::unwrap_used, missing_docs)]

#[path = "../../support/chance.rs"]
mod chance;
#[path = "../../support/kinded.rs"]
mod kinded;
#[path = "../subjects.rs"]
mod subjects;

libfuzzer_sys::fuzz_target!(|data: &[u8]| subjects::draft(data));
