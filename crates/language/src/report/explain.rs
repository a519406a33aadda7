//! What each code means, with a short draft that gives it and its cure: `explain/CODE.draft`, one file a code. At the head of
//! each, in remarks, stand its meaning, what the draft needs beside its text (`given:`), and its `cure:`. Nothing here runs a
//! draft; a test runs every example and holds it to its code.

use super::Code;

/// What there is to say of a code.
#[derive(Clone, Debug)]
pub struct Explanation {
    /// What it means, in one to three sentences.
    pub meaning: String,
    /// A draft that gives it.
    pub example: &'static str,
    /// How to mend it.
    pub cure: String,
    /// What the example needs beside its text.
    pub given: Given,
}

/// What an example is run with.
#[derive(Clone, Debug, PartialEq, Eq)]
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
    Table(String),
}

impl Given {
    /// In words for the reader; nothing where the draft stands alone.
    pub fn words(&self) -> Option<String> {
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

/// The explanation of a code. Every code has one, which a test sees to.
pub fn explanation(code: Code) -> Option<Explanation> {
    read(code.explained())
}

/// Reads a file of the form above: remarks, an empty line, the draft.
fn read(file: &'static str) -> Option<Explanation> {
    let (head, example) = file.split_once("\n\n")?;
    let lines: Vec<&str> = head
        .lines()
        .map(|line| line.strip_prefix("# ").unwrap_or(line))
        .collect();
    let cure_at = lines.iter().position(|line| line.starts_with("cure: "))?;
    let (before, cure) = lines.split_at_checked(cure_at)?;
    let given_at = before
        .iter()
        .position(|line| line.starts_with("given: "))
        .unwrap_or(cure_at);
    let (meaning, given) = before.split_at_checked(given_at)?;
    Some(Explanation {
        meaning: meaning.join(" "),
        example: example.strip_suffix('\n').unwrap_or(example),
        cure: cure.join(" ").strip_prefix("cure: ")?.to_owned(),
        given: given_with(given)?,
    })
}

/// What an example is given: nothing, or a word and what is called so; a table stands on the lines below its word.
fn given_with(lines: &[&'static str]) -> Option<Given> {
    let Some((first, below)) = lines.split_first() else {
        return Some(Given::Nothing);
    };
    let said = first.strip_prefix("given: ")?;
    match said.split_once(' ').unwrap_or((said, "")) {
        ("file", name) => Some(Given::FileName(name)),
        ("setting", setting) => Some(Given::Setting(setting)),
        ("body", name) => Some(Given::Body(name)),
        ("table", "") => Some(Given::Table(below.join("\n"))),
        _ => None,
    }
}
