//! The static check: names looked up, phrases bound to their forms, kinds and units proved, before anything is drawn.
//!
//! In goes the tree of every file, out comes a [`program::Program`] that can be drawn for any body, and every message
//! that can be given without knowing a figure. Imports are checked in place, once for each name they are imported under;
//! operations once for each set of panels they are given.

mod carry;
mod checker;
mod choose;
mod copies;
mod declaration;
mod dispatch;
mod draw;
mod edge;
mod expression;
mod give;
mod import;
mod is_drawn;
mod kind_mismatch;
mod lay_out;
mod left_there;
mod list;
mod lost;
mod measure;
mod mend;
mod names;
mod nearest_form;
mod needs;
mod notch;
mod offers;
mod operation;
mod panel;
mod panels;
mod piece;
pub mod program;
mod range;
mod relation;
mod says;
mod scope;
mod seam;
mod sentence;
mod shape;
mod taken_from;
mod text;
mod texts;
mod unused;

pub use scope::nearest_word;

use crate::report::{Diagnostic, Span};
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
    /// Places whose letters or figures the check looked at.
    looked_at: Vec<Span>,
}

impl Checked {
    /// Whether the check looked at what stands there, so that more may come of another figure than another value.
    pub fn looked_at(&self, span: Span) -> bool {
        let meets =
            |seen: &Span| seen.file == span.file && seen.start < span.end && span.start < seen.end;
        self.looked_at.iter().any(meets)
    }

    /// Writes another value into a figure of the draft: millimetres, degrees or a plain number.
    pub fn set_figure(&mut self, span: Span, value: f64) {
        for figure in &mut Arc::make_mut(&mut self.program).figures {
            if figure.span == span {
                figure.value = value;
            }
        }
    }
}

/// Checks a draft with everything it reads. It never fails: a sentence that is wrong is told and left out.
pub fn check(project: &Project) -> Checked {
    checker::run(project, false)
}

/// Checks a draft and every operation of the library that it names, by what the heads of these say they need. This is for
/// those who show or prove the library; a draft is checked as it calls them.
pub fn check_with_library(project: &Project) -> Checked {
    checker::run(project, true)
}
