//! From text to tree: tokens, brackets, sentences; and back to text in the one canonical layout.
//!
//! The tree keeps the order and the words of the text. It does not know which words are phrases or what kind a name has:
//! [`crate::kind`] finds that out. Comments and blank lines stand beside the tree, never in it.

mod brackets;
mod figure;
mod foreign;
pub mod guess;
pub mod kept;
pub mod lexer;
mod lines;
mod look_alike;
pub mod messages;
mod nearest;
pub mod needed;
mod parser;
mod plain_words;
pub mod project;
mod refigure;
pub mod reserved;
pub mod sentences;
pub mod starts;
mod tidy;
pub mod tokens;
pub mod tree;
mod unmerged;
mod words;

pub(crate) use parser::parse_text;
pub use parser::{Parsed, parse, prepare, read};
pub use tidy::{Tidied, WIDEST, meaning, tidy, tidy_file};
