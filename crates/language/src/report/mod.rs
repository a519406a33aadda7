//! What the program says when something is wrong: one type of message, where it points, and how it is shown.
//!
//! Every layer above builds [`Diagnostic`]s; the terminal, `--format json` and the editor each convert that one type.
//! Nothing here knows the language.

mod code;
pub mod explain;
pub mod json;
mod source;
pub mod terminal;
mod trouble;

pub use code::Code;
pub use source::{FileId, SourceFile, SourceMap, Span};
pub use trouble::{Cure, Diagnostic, Offer, Put, Severity, Told, Trouble, at_most};
