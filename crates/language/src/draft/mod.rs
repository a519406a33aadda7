//! Drawing a checked draft for one body: values, the record of steps, and what is handed over to be cut and sewn.
//!
//! [`make`] does it all: reads nothing, writes nothing, and returns what was drawn with every message.

mod anew;
mod arguments;
pub mod bodies;
mod condition;
mod cures;
mod fault;
mod handover;
pub mod inputs;
mod judge;
mod machine;
mod measure;
mod node;
mod printed;
mod range;
pub mod record;
mod trial;
mod unfinished;
mod withdraw;
mod work;

pub use inputs::Inputs;
pub use record::Record;

use crate::check::program::Program;
use crate::check::{self};
use crate::pattern::spec::Drawn;
use crate::pattern::{Kept, Pattern};
use crate::report::{self, Diagnostic};
use crate::syntax::project::Project;
use std::sync::Arc;
use std::sync::atomic::AtomicBool;

/// Most messages of one run; more would hide the ones that matter.
pub const MOST_SHOWN: usize = 100;

/// A draft drawn for one body.
#[derive(Clone, Debug)]
pub struct Outcome {
    /// What was drawn from: the sentences that the record counts.
    pub program: Arc<Program>,
    /// What was drawn, before it was made into pieces.
    pub drawn: Drawn,
    /// What is cut and sewn: pieces closed, seams walked, checks judged.
    pub pattern: Pattern,
    /// What each sentence did.
    pub record: Record,
    /// Everything to be told, in the order of reading, checking, drawing, judging.
    pub diagnostics: Vec<Diagnostic>,
}

impl Outcome {
    /// Whether nothing is missing from the drawing; a failed check or seam stands in it.
    pub fn is_whole(&self) -> bool {
        !self.diagnostics.iter().any(Diagnostic::stops)
    }

    /// Whether anything is wrong.
    pub fn has_errors(&self) -> bool {
        self.diagnostics.iter().any(Diagnostic::is_error)
    }
}

/// Checks a project and draws it. What is wrong is told in the outcome, and what needs it is missing there.
pub fn make(project: &Project, inputs: &Inputs) -> Outcome {
    draw(project, &check::check(project), inputs)
}

/// Draws a checked draft; its messages come first among the outcome's.
pub fn draw(project: &Project, checked: &check::Checked, inputs: &Inputs) -> Outcome {
    drawn(project, checked, inputs, true, None)
}

/// The same, with the geometry that is kept of a drawing before taken over where it is equal. Once `stopped` is set nobody waits
/// for it: the drawing ends soon, and what has come of it is of no use.
pub fn draw_after(
    project: &Project,
    checked: &check::Checked,
    inputs: &Inputs,
    kept: &mut Kept,
    stopped: &AtomicBool,
) -> Outcome {
    drawn(project, checked, inputs, true, Some((kept, stopped)))
}

/// Draws a checked draft without a record of its steps, for batches: a tenth faster. The pattern is the same; messages say
/// less of what a sentence read, and a caution stands where the library says it.
pub fn draw_unrecorded(project: &Project, checked: &check::Checked, inputs: &Inputs) -> Outcome {
    drawn(project, checked, inputs, false, None)
}

fn drawn(
    project: &Project,
    checked: &check::Checked,
    inputs: &Inputs,
    recording: bool,
    at_hand: Option<(&mut Kept, &AtomicBool)>,
) -> Outcome {
    let (kept, stopped) = at_hand.unzip();
    let program = Arc::clone(&checked.program);
    let mut diagnostics = checked.diagnostics.clone();
    let done = machine::run(&program, &project.sources, inputs, recording, stopped);
    diagnostics.extend(done.diagnostics);
    let (mut pattern, mut told) =
        judge::judge(&done.drawn, &done.tags, &program, &diagnostics, kept);
    judge::tell_loops_once(&mut diagnostics, &mut told, &program);
    diagnostics.extend(told);
    pattern.unfinished = unfinished::of(project, &program, &diagnostics, &done.drawn.lost);
    let told = diagnostics.into_iter().map(|told| {
        let told = cures::offered(told, &program, &project.sources);
        told.clipped()
    });
    let diagnostics = told.collect();
    let diagnostics = report::at_most(diagnostics, MOST_SHOWN);
    Outcome {
        program,
        drawn: done.drawn,
        pattern,
        record: done.record,
        diagnostics,
    }
}
