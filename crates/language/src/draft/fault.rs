//! From a construction that failed to a message at its place in the text.

use crate::check::program::{Program, SiteId, Slot};
use crate::phrase::Fault;
use crate::report::{Diagnostic, SourceMap, Span};

/// Why a sentence was not carried out.
#[derive(Clone, Debug)]
pub enum Stop {
    /// What it needs was not drawn; that is told already.
    Missing(Slot),
    /// Too much has been done; that is told already.
    Exhausted,
    /// It cannot be drawn.
    Fault(Box<Faulted>),
}

/// A fault with its places.
#[derive(Clone, Debug)]
pub struct Faulted {
    pub fault: Fault,
    /// The sentence's own place for it.
    pub primary: Span,
    /// Words on the main place.
    pub at: String,
    pub labels: Vec<(Span, String)>,
}

impl Stop {
    /// A fault at a place.
    pub fn at(span: Span, fault: Fault) -> Self {
        Stop::Fault(Box::new(Faulted {
            fault,
            primary: span,
            at: String::new(),
            labels: Vec::new(),
        }))
    }

    /// A fault of a phrase. One argument that is to blame alone is the main place; what is pointed at without words
    /// tells where it came from.
    pub fn in_phrase(
        span: Span,
        spans: &[Span],
        mut fault: Fault,
        origin: impl Fn(usize) -> Option<(Span, String)>,
    ) -> Self {
        let blamed = std::mem::take(&mut fault.labels);
        let alone = if let [(place, _)] = blamed.as_slice() {
            spans.get(*place).copied()
        } else {
            None
        };
        let (mut at, mut labels) = (String::new(), Vec::new());
        for (place, text) in blamed {
            let came_from = origin(place);
            match (text.is_empty(), alone) {
                (false, Some(_)) => at = text,
                (false, None) => labels.extend(spans.get(place).map(|place| (*place, text))),
                (true, _) => {}
            }
            labels.extend(came_from);
        }
        Stop::Fault(Box::new(Faulted {
            fault,
            primary: alone.unwrap_or(span),
            at,
            labels,
        }))
    }

    /// Words on the main place.
    pub fn marked(mut self, words: impl Into<String>) -> Self {
        if let Stop::Fault(faulted) = &mut self {
            faulted.at = words.into();
        }
        self
    }

    pub fn seen(mut self, label: Option<(Span, String)>) -> Self {
        if let Stop::Fault(faulted) = &mut self {
            faulted.labels.extend(label);
        }
        self
    }

    /// The same fault, told at the sentence that called the operation it happened in.
    pub fn called_from(self, call: Span, inside: String, given: Vec<(Span, String)>) -> Self {
        match self {
            Stop::Missing(_) | Stop::Exhausted => self,
            Stop::Fault(mut faulted) => {
                let inner = std::mem::replace(&mut faulted.primary, call);
                let words = std::mem::replace(&mut faulted.at, "asked for here".into());
                let inside = if words.is_empty() {
                    inside
                } else {
                    format!("{inside}: {words}")
                };
                faulted.labels.insert(0, (inner, inside));
                faulted.labels.extend(given);
                Stop::Fault(faulted)
            }
        }
    }
}

impl Faulted {
    /// The message for people.
    pub fn diagnostic(self, program: &Program, site: Option<SiteId>) -> Diagnostic {
        let mut diagnostic =
            Diagnostic::error(self.fault.code, self.primary, self.fault.message).at(self.at);
        diagnostic.notes = self.fault.notes;
        diagnostic.help = self.fault.help;
        for (span, text) in self.labels {
            if span != self.primary || !text.is_empty() {
                diagnostic = diagnostic.see(span, text);
            }
        }
        with_step(diagnostic, program, site)
    }
}

/// Names the step a sentence stands in.
pub fn with_step(diagnostic: Diagnostic, program: &Program, site: Option<SiteId>) -> Diagnostic {
    let step = site
        .and_then(|id| program.site(id))
        .and_then(|site| site.step);
    match step.and_then(|id| program.step(id)) {
        Some(step) => diagnostic.in_step(step.number, step.name.clone()),
        None => diagnostic,
    }
}

/// The text of a span on one line, for messages.
pub fn quoted(sources: &SourceMap, span: Span) -> String {
    sources
        .slice(span)
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
}
