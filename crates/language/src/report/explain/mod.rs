//! What each code means, with a short draft that gives it and its cure, one file a topic. Nothing here runs a draft; a
//! test runs every example and holds it to its code.

mod drawing;
mod files;
mod kinds;
mod letters;
mod measures;
mod names;
mod phrases;
mod pieces;
mod seams;
mod sentences;

use super::Code;

/// What there is to say of a code.
#[derive(Clone, Copy, Debug)]
pub struct Explanation {
    /// What it means, in one to three sentences.
    pub meaning: &'static str,
    /// A draft that gives it.
    pub example: &'static str,
    /// How to mend it.
    pub cure: &'static str,
    /// What the example needs beside its text.
    pub given: Given,
}

/// What an example is run with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Given {
    /// Nothing: the draft alone, in an empty folder.
    Nothing,
    /// The draft is a file of this name.
    FileName(&'static str),
    /// A setting as typed, `NAME=VALUE`.
    Setting(&'static str),
    /// A body of this name without any measure.
    Body(&'static str),
    /// A table of bodies with this text.
    Table(&'static str),
}

impl Given {
    /// In words for the reader; nothing where the draft stands alone.
    pub fn words(self) -> Option<String> {
        match self {
            Given::Nothing => None,
            Given::FileName(name) => Some(format!("in a file that is called {name} itself")),
            Given::Setting(setting) => Some(format!("run with --set {setting}")),
            Given::Table(text) => Some(format!(
                "with --bodies and this table:\n\n    {}",
                text.replace('\n', "\n    ")
            )),
            Given::Body(name) => Some(format!(
                "drawn for a body, {name}, of whom nothing is measured"
            )),
        }
    }
}

/// A row for an example that stands alone.
const fn explain(
    code: Code,
    meaning: &'static str,
    example: &'static str,
    cure: &'static str,
) -> (Code, Explanation) {
    let explanation = Explanation {
        meaning,
        example,
        cure,
        given: Given::Nothing,
    };
    (code, explanation)
}

const TOPICS: &[&[(Code, Explanation)]] = &[
    letters::ROWS,
    sentences::ROWS,
    files::ROWS,
    names::ROWS,
    kinds::ROWS,
    phrases::ROWS,
    measures::ROWS,
    drawing::ROWS,
    pieces::ROWS,
    seams::ROWS,
];

/// The explanation of a code. Every code has one, which a test sees to.
pub fn explanation(code: Code) -> Option<Explanation> {
    let rows = TOPICS.iter().copied().flatten();
    rows.copied()
        .find(|(other, _)| *other == code)
        .map(|(_, explanation)| explanation)
}
