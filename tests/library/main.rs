//! The library and the examples, held to the trade.

#[allow(dead_code, reason = "each program uses a part of it")]
#[path = "../drawing/mod.rs"]
mod drawing;
#[allow(dead_code, reason = "each program uses a part of it")]
#[path = "../example_drafts/mod.rs"]
mod example_drafts;

mod ferry_shirt;
mod garments;
mod library_pairs;
mod library_parts;
mod library_shirt;
mod making_up;
mod method;
mod method_shirt;
