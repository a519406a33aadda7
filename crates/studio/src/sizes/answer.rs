//! What is said of one body: well, refused by the draft's own limits, failed, or not read from its table. An answer is one
//! line for people and one JSON value for tools, and knows its reason, so that a batch can be summed up.

use super::ordered::Crashed;
use super::sides;
use oaktag_language::check::Checked;
use oaktag_language::draft::bodies::Table;
use oaktag_language::draft::{Inputs, Outcome};
use oaktag_language::report::{Code, Diagnostic, SourceMap, Span};
use oaktag_language::syntax::project::Project;
use oaktag_language::voice::{self, LengthUnit};
use serde::{Deserialize, Serialize};
use std::borrow::Cow;

/// How a body fared.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    /// Every seam and check holds.
    Well,
    /// The draft says that it is not for this body.
    Refused,
    /// A seam or check fails, or a line cannot be drawn.
    Fails,
    /// Its row of the table is wrong.
    NotRead,
}

/// Why a body is not well.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Reason {
    /// Of the message: `seam-differs`.
    pub code: String,
    /// `shirt.draft line 40`; empty for what is wrong with a table.
    pub place: String,
}

/// What is said of one body.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Answer {
    /// As the table calls the body.
    pub name: String,
    /// Well, refused, failing, or with a row that cannot be read.
    pub verdict: Verdict,
    /// Why it is not well.
    pub reason: Option<Reason>,
    /// The message, on one line; for a row that is wrong, a line for each cell.
    pub said: String,
}

impl Answer {
    /// Draws a body of a table, and says how it fared. `inputs` are the settings for every body.
    pub fn of_body(
        project: &Project,
        checked: &Checked,
        inputs: &Inputs,
        table: &Table,
        number: usize,
    ) -> Self {
        match table.body(number) {
            Err(wrong) => Self::not_read(table.name(number), &wrong, checked.program.unit),
            Ok(body) => {
                let name = body.name.clone();
                let inputs = Inputs {
                    body: Some(body),
                    ..inputs.clone()
                };
                let outcome = sides::draw_one_of_many(project, checked, &inputs);
                Self::of_outcome(name, &project.sources, &outcome)
            }
        }
    }

    /// How a body fared, from its drawing.
    pub(crate) fn of_outcome(name: String, sources: &SourceMap, outcome: &Outcome) -> Self {
        let mut errors = outcome.diagnostics.iter().filter(|d| d.is_error());
        let Some(first) = errors.next() else {
            return Self {
                name,
                verdict: Verdict::Well,
                reason: None,
                said: String::new(),
            };
        };
        let more = match errors.count() {
            0 => String::new(),
            more => format!(" ({})", voice::count(more, "more message")),
        };
        let verdict = if is_refusal(first.code) {
            Verdict::Refused
        } else {
            Verdict::Fails
        };
        Self {
            name,
            verdict,
            reason: Some(reason(sources, first)),
            said: format!("{}{more}", one_line(first, outcome.program.unit)),
        }
    }

    /// A row that could not be read.
    pub(crate) fn not_read(name: String, wrong: &[Diagnostic], unit: LengthUnit) -> Self {
        let lines: Vec<Cow<str>> = wrong.iter().map(|d| d.message.in_unit(unit)).collect();
        Self {
            name,
            verdict: Verdict::NotRead,
            reason: Some(Reason {
                code: Code::BodyTable.name().to_owned(),
                place: String::new(),
            }),
            said: lines.join("\n"),
        }
    }

    /// A body on which the program itself failed.
    pub fn crashed(name: String, crash: &Crashed) -> Self {
        Self {
            name,
            verdict: Verdict::Fails,
            reason: Some(Reason {
                code: "program".to_owned(),
                place: String::new(),
            }),
            said: format!(
                "the program failed on this body, and the fault is the program's: {}",
                crash.words
            ),
        }
    }

    /// As a line for people, with its end.
    pub fn line(&self) -> String {
        match self.verdict {
            Verdict::Well => format!("{}: well\n", self.name),
            Verdict::Refused => format!("{}: refused: {}\n", self.name, self.said),
            Verdict::Fails => format!("{}: fails: {}\n", self.name, self.said),
            Verdict::NotRead => format!("{}\n", self.said),
        }
    }

    /// As a line of JSON, with its end.
    pub fn json_line(&self) -> String {
        // Texts and words alone: there is nothing that could not be written.
        let line = serde_json::to_string(self).unwrap_or_default();
        format!("{line}\n")
    }
}

/// Whether a draft says by this that it is not for a body, rather than being wrong.
pub(crate) fn is_refusal(code: Code) -> bool {
    matches!(
        code,
        Code::Required | Code::OutOfRange | Code::MeasureMissing | Code::NothingSolves
    )
}

/// The sentence of a draft that a message is about. A value outside its range is told where the value was given; the
/// sentence is the one that has the range.
pub(crate) fn sentence_of(diagnostic: &Diagnostic) -> Span {
    let range = diagnostic.see.first();
    match (diagnostic.code, range) {
        (Code::OutOfRange, Some((range, _))) => *range,
        _ => diagnostic.place,
    }
}

fn reason(sources: &SourceMap, diagnostic: &Diagnostic) -> Reason {
    let span = sentence_of(diagnostic);
    let place = match sources.get(span.file) {
        Some(file) => format!("{} line {}", file.name, sources.line(span)),
        None => String::new(),
    };
    Reason {
        code: diagnostic.code.name().to_owned(),
        place,
    }
}

/// A message on one line: its step, its sentence and its figures.
pub fn one_line(diagnostic: &Diagnostic, unit: LengthUnit) -> String {
    let step = diagnostic
        .step
        .as_ref()
        .map_or(String::new(), |(number, name)| {
            format!("step {number}, \"{name}\": ")
        });
    let mut line = format!("{step}{}", diagnostic.message.in_unit(unit));
    for words in diagnostic.notes.iter().chain(&diagnostic.help) {
        line.push(' ');
        line.push_str(&words.in_unit(unit));
    }
    line.replace(['\n', '\r'], " ")
}
