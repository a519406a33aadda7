//! The `oaktag` program.

fn main() {}
