//! Drafts for editors: the parser that tree-sitter makes of `grammar.js`, and the queries beside it.

use tree_sitter_language::LanguageFn;

#[allow(
    unsafe_code,
    reason = "the parser is C, and its one function takes nothing and gives a table that is never freed"
)]
mod parser {
    unsafe extern "C" {
        fn tree_sitter_oaktag() -> *const ();
    }

    /// The language, for `tree_sitter::Parser::set_language`.
    pub const LANGUAGE: super::LanguageFn =
        unsafe { super::LanguageFn::from_raw(tree_sitter_oaktag) };
}

pub use parser::LANGUAGE;

/// Colours by kind of word.
pub const HIGHLIGHTS: &str = include_str!("../../queries/highlights.scm");
/// What folds: every block.
pub const FOLDS: &str = include_str!("../../queries/folds.scm");
/// Names where they are drawn and where they are read.
pub const LOCALS: &str = include_str!("../../queries/locals.scm");
/// The outline: panels, steps, operations, pieces and seams.
pub const TAGS: &str = include_str!("../../queries/tags.scm");
