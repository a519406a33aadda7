//! The `oaktag` program, as a library that its tests call: the command line, and all that touches disk or terminal. What it
//! stands on are the crates under `crates/`.

pub mod cli;
