//! Every act of the library laid after every other: both work, with true seams and whole outlines, or one sentence says
//! which comes first. What is true is known without a recording: outlines are read by another crate, lengths are those that
//! were asked for, and two acts that do not hang together give one garment in either order.
//!
//! `OAKTAG_PAIRS=all cargo test --test library library_pairs:: -- --nocapture` tries every option on every base and prints the table.

mod acts;
pub mod garment;
mod pairs;
mod promises;
