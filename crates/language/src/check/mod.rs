//! The static check: names looked up, phrases bound to their forms, kinds and units proved, before anything is drawn.
//!
//! In goes the tree of every file, out comes a [`program::Program`] that can be drawn for any body, and every message
//! that can be given without knowing a figure. Imports are checked in place, once for each name they are imported under;
//! operations once for each set of panels they are given.

mod checker;
mod choose;
mod declaration;
mod dispatch;
mod draw;
mod edge;
mod expression;
mod give;
mod import;
mod is_drawn;
mod kind_mismatch;
mod list;
mod measure;
mod names;
mod nearest_form;
mod notch;
mod offers;
mod operation;
mod panel;
mod piece;
pub mod program;
mod range;
mod relation;
mod says;
mod scope;
mod seam;
mod sentence;
mod text;
mod texts;
mod unused;

pub use scope::nearest_word;

use crate::report::Diagnostic;
use crate::syntax::project::Project;
use program::Program;
use std::sync::Arc;

/// What the check makes of a project, to be drawn for any body.
#[derive(Clone, Debug)]
pub struct Checked {
    /// What can be drawn; sentences that are wrong are left out, and their names are missing.
    pub program: Arc<Program>,
    /// Messages of reading and checking, in the order of the text.
    pub diagnostics: Vec<Diagnostic>,
}

/// Checks a draft with everything it reads.
pub fn check(project: &Project) -> Checked {
    checker::Checker::run(project)
}
