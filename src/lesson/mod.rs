//! A draft as a lesson: one section a step, its sentences made from the statements themselves with this body's figures,
//! a figure that shows what is new, what to check, and what a usual slip would give. Reads a drawn draft and its record;
//! [`page`] writes it.

mod does;
mod last;
mod phrases;
mod plates;
mod sheets;
mod speech;
mod steps;
mod terms;
mod trees;

pub mod page;

use crate::draft::Outcome;
use crate::kind::unit::LengthUnit;
use crate::output::plate::Plate;
use crate::syntax::project::Project;

/// How a lesson is made.
#[derive(Clone, Debug, Default)]
pub struct Options {
    /// Show the steps inside imports and library operations too.
    pub unfold: bool,
    /// So many millimetres of the figure's subject to one of the figure: 2 for half scale; none fits the page.
    pub scale: Option<f64>,
}

/// A measure or figure as a student needs it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Figure {
    /// As it is spoken.
    pub name: String,
    /// This body's value.
    pub value: String,
    /// How it is worked out; empty for what is measured or chosen.
    pub formula: String,
    /// How to take it, or what it does.
    pub text: String,
}

/// A usual slip: what it gives, and what it means.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Slip {
    /// The figure a student would have.
    pub figure: String,
    /// What went wrong.
    pub text: String,
}

/// Something the student can hold against their own paper.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Check {
    /// What it is about.
    pub text: String,
    /// What was measured on the drawing.
    pub measured: String,
    /// What is wanted.
    pub wanted: String,
    /// Whether it holds.
    pub ok: bool,
}

/// One step.
pub struct Step {
    /// Counted through the lesson: `7`, and `7.2` inside an operation.
    pub number: String,
    /// Its aim.
    pub title: String,
    /// The panel it is drawn on, as spoken; empty at the file's level.
    pub panel: String,
    /// What should be known first.
    pub notes: Vec<String>,
    /// What to do, one action a sentence.
    pub does: Vec<String>,
    /// Figures used.
    pub figures: Vec<Figure>,
    /// The picture; none where nothing is drawn.
    pub plate: Option<Plate>,
    /// The whole sheet, small, with a frame where the picture lies.
    pub locator: Option<Plate>,
    /// Lengths of new lines, to be laid a tape along.
    pub measures: Vec<(String, String)>,
    /// Checks that what is drawn here decides.
    pub checks: Vec<Check>,
    /// Usual slips.
    pub slips: Vec<Slip>,
    /// Reasons.
    pub whys: Vec<String>,
    /// What must not be overlooked.
    pub cautions: Vec<String>,
    /// Words of the trade the author names.
    pub terms: Vec<String>,
    /// Steps inside, where it calls an operation and they were asked for.
    pub inside: Vec<Step>,
}

/// A whole lesson.
pub struct Lesson {
    /// The draft's title.
    pub title: String,
    /// In words: "centimetres".
    pub unit: &'static str,
    /// Measures of the body.
    pub body: Vec<Figure>,
    /// Choices.
    pub choices: Vec<Figure>,
    /// Steps in order.
    pub steps: Vec<Step>,
    /// The whole after half of the steps: after which step, and the picture.
    pub midway: Option<(String, Plate)>,
    /// The pieces.
    pub last: Option<Plate>,
    /// What each piece is and how it is cut.
    pub pieces: Vec<(String, String)>,
    /// All checks.
    pub checks: Vec<Check>,
    /// Seams, with both lengths.
    pub seams: Vec<Check>,
    /// What must be known before cutting.
    pub cautions: Vec<String>,
    /// Terms used and what they mean.
    pub terms: Vec<(&'static str, &'static str)>,
    /// The scale of the figures, where it is fixed.
    pub scale: Option<f64>,
}

/// Makes the lesson of a drawn draft, its figures in `unit`.
pub fn lesson(project: &Project, outcome: &Outcome, unit: LengthUnit, options: &Options) -> Lesson {
    steps::lesson(project, outcome, unit, options)
}
