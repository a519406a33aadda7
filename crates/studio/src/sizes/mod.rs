//! One draft over many bodies: batches, size sets, the search for a body on which it breaks, and what moves a seam. Each
//! body is drawn anew from its measures; nothing here draws a line of its own or touches a file.

pub mod answer;
pub mod journal;
pub mod ordered;
pub mod search;
pub mod set;
pub mod sides;
pub mod tally;
pub mod why;
