//! What people read is held against the program: every example runs, every picture is the program's own, every path and
//! link leads somewhere, and what DEVELOPERS.md says of layers and dependencies is so.
//!
//! `UPDATE_EXPECT=1 cargo test --test program docs::` writes the pictures, the table of phrases and what shell examples print anew.

mod blocks;
mod console;
mod developers;
mod drafts;
mod links;
mod made;
mod wordings;
