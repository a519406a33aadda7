//! What a class is handed beside the lesson itself: a line at the head of every sheet, a sheet of formulas, and questions with
//! their answers apart.

use oaktag_language::pattern::Issue;

/// What is added for a class.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Class {
    /// Nothing: the lesson is for whoever reads it.
    #[default]
    None,
    /// A sheet of formulas, a column for each student's own figures, and room for name and date on every sheet.
    Sheets,
    /// The same, with the figures left to be worked out and the answers on sheets of their own at the end.
    Questions,
}

impl Class {
    /// Whether there is a class at all.
    pub fn is_one(self) -> bool {
        self != Class::None
    }

    /// Whether figures are left to be worked out.
    pub fn asks(self) -> bool {
        self == Class::Questions
    }
}

/// A figure of the draft as a class works it out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Formula {
    /// Where it is used: "1.3", step and act.
    pub place: String,
    /// What it is, or what it is for: "Hip quarter".
    pub of: String,
    /// How it comes about, with names as they are spoken.
    pub formula: String,
    /// The same out of measures and choices alone, where that says more.
    pub from_measures: Option<String>,
    /// This body's figures in their places, and what they come to.
    pub worked: String,
    /// What it comes to.
    pub value: String,
    /// The number of the question that asks for it.
    pub question: Option<usize>,
}

/// What a question is answered with.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answer {
    /// Its number through the lesson.
    pub question: usize,
    /// What is asked for.
    pub of: String,
    /// How it is worked out, and what it comes to.
    pub worked: String,
}

/// Over the sheet of formulas.
pub(super) const FORMULAS: &str = "Formula sheet";
/// Below that heading.
pub(super) const FORMULAS_SAID: &str = "Every figure that this lesson works out, as a formula of the body's measures and of \
    what was chosen. Where it is used is said by step and act. Lengths of lines are measured on the drawing.";
/// Over the empty column.
pub(super) const YOURS: &str = "Yours";
/// Over the answers.
pub(super) const ANSWERS: &str = "Answers";
/// Below that heading.
pub(super) const ANSWERS_SAID: &str =
    "For whoever teaches, apart from the sheets before: these are this body's figures.";
/// What stands where a figure is left to be worked out.
pub(super) const BLANK: &str = "________";

/// A blank with the number of its question.
pub(super) fn blank(question: usize) -> String {
    format!("[{question}] {BLANK}")
}

/// The line at the head of every sheet; empty where nothing was asked for.
pub(super) fn head(class: Class, issue: &Issue, date: Option<&str>) -> String {
    let mut parts = Vec::new();
    if class.is_one() && issue.made_for.is_none() {
        parts.push("Name ____________________".to_owned());
    }
    let words = issue.words();
    if !words.is_empty() {
        parts.push(words);
    }
    match date {
        Some(date) => parts.push(date.to_owned()),
        None if class.is_one() => parts.push("Date ____________".to_owned()),
        None => {}
    }
    parts.join(" · ")
}

/// What has to be known of a line that bears a name; none where it bears none.
pub fn personal(issue: &Issue) -> Option<String> {
    let named = [&issue.made_for, &issue.body];
    let named: Vec<&str> = named.into_iter().flatten().map(String::as_str).collect();
    (!named.is_empty()).then(|| {
        format!(
            "Every sheet bears {}: a person's name is personal data. Without --for, and with another name in the table of \
             bodies, it is left off.",
            named
                .iter()
                .map(|name| format!("“{name}”"))
                .collect::<Vec<_>>()
                .join(" and ")
        )
    })
}
