//! One message to the person: what is wrong, where, where the other values came from, and how to mend it.

use super::code::Code;
use super::source::Span;

/// How grave a message is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// The draft cannot be trusted until it is mended.
    Error,
    /// The draft is drawn, and the person should look.
    Warning,
}

/// A place with a few words about it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Label {
    /// Where.
    pub span: Span,
    /// What stands there; may be empty on the main label.
    pub text: String,
}

/// One message, with everything a renderer needs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Diagnostic {
    /// Error or warning.
    pub severity: Severity,
    /// The stable named code that `explain` knows.
    pub code: Code,
    /// The sentence at the head: what was expected and what was found, in the trade's words.
    pub message: String,
    /// The exact source.
    pub primary: Label,
    /// Where other values came from.
    pub secondary: Vec<Label>,
    /// Further lines: figures wanted and found, in the draft's unit.
    pub notes: Vec<String>,
    /// What to write instead.
    pub help: Option<String>,
    /// The step it happened in: its number and its name.
    pub step: Option<(usize, String)>,
}

impl Diagnostic {
    /// An error at `span`.
    pub fn error(code: Code, span: Span, message: impl Into<String>) -> Self {
        Self::new(Severity::Error, code, span, message.into())
    }

    /// A warning at `span`.
    pub fn warning(code: Code, span: Span, message: impl Into<String>) -> Self {
        Self::new(Severity::Warning, code, span, message.into())
    }

    fn new(severity: Severity, code: Code, span: Span, message: String) -> Self {
        let primary = Label {
            span,
            text: String::new(),
        };
        Self {
            severity,
            code,
            message,
            primary,
            secondary: Vec::new(),
            notes: Vec::new(),
            help: None,
            step: None,
        }
    }

    /// Words on the main label.
    pub fn at(mut self, text: impl Into<String>) -> Self {
        self.primary.text = text.into();
        self
    }

    /// A second place and what stands there.
    pub fn see(mut self, span: Span, text: impl Into<String>) -> Self {
        self.secondary.push(Label {
            span,
            text: text.into(),
        });
        self
    }

    /// A further line of figures.
    pub fn note(mut self, text: impl Into<String>) -> Self {
        self.notes.push(text.into());
        self
    }

    /// How to mend it.
    pub fn help(mut self, text: impl Into<String>) -> Self {
        self.help = Some(text.into());
        self
    }

    /// The step it happened in.
    pub fn in_step(mut self, number: usize, name: impl Into<String>) -> Self {
        self.step = Some((number, name.into()));
        self
    }

    /// The same message with nothing in it longer than anybody reads: a name of a million letters is cut.
    pub fn clipped(mut self) -> Self {
        let labels = self.secondary.iter_mut().map(|label| &mut label.text);
        let texts = [&mut self.message, &mut self.primary.text];
        for text in texts
            .into_iter()
            .chain(labels)
            .chain(&mut self.notes)
            .chain(&mut self.help)
        {
            clip(text);
        }
        self
    }

    /// Whether it is an error.
    pub fn is_error(&self) -> bool {
        self.severity == Severity::Error
    }

    /// Whether it is an error by which something is missing from the drawing; one of what was judged stands in it.
    pub fn stops(&self) -> bool {
        self.is_error() && !self.code.is_judged()
    }
}

/// The first `most` messages in the order given, errors before warnings where not all find room; the last one shown
/// says how many are left out.
pub fn at_most(mut messages: Vec<Diagnostic>, most: usize) -> Vec<Diagnostic> {
    let over = messages.len().saturating_sub(most);
    if over == 0 {
        return messages;
    }
    messages.sort_by_key(|message| message.severity);
    messages.truncate(most);
    if let Some(last) = messages.pop() {
        let plural = crate::voice::agree(over, "message is", "messages are");
        messages.push(last.note(format!("{over} more {plural} not shown; mend these first.")));
    }
    messages
}

/// Longest text of a message, in characters.
const LONGEST: usize = 2_000;
/// Longest word in it.
const LONGEST_WORD: usize = 80;

fn clip(text: &mut String) {
    if text.len() <= LONGEST_WORD {
        return;
    }
    let short = |word: &str| match word.char_indices().nth(LONGEST_WORD) {
        Some((at, _)) => format!("{}…", word.get(..at).unwrap_or(word)),
        None => word.to_owned(),
    };
    if text
        .split(' ')
        .any(|word| word.chars().nth(LONGEST_WORD).is_some())
    {
        *text = text.split(' ').map(short).collect::<Vec<_>>().join(" ");
    }
    if let Some((at, _)) = text.char_indices().nth(LONGEST) {
        text.truncate(at);
        text.push('…');
    }
}
