//! From a construction that failed to a message at its place in the text.

use crate::check::program::{Program, SiteId, Slot};
use crate::phrase::Fault;
use crate::report::{Diagnostic, SourceMap, Span};

/// Why a sentence was not carried out.
#[derive(Clone, Debug)]
pub enum Stop {
    /// What it needs was not drawn; that is told already.
    Missing(Slot),
    /// It cannot be drawn.
    Fault(Box<Faulted>),
}

/// A fault with its places.
#[derive(Clone, Debug)]
pub struct Faulted {
    /// What is wrong.
    pub fault: Fault,
    /// The sentence's own place for it.
    pub primary: Span,
    /// Words on the main place.
    pub at: String,
    /// Other places.
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

    /// A fault of a phrase: its labelled arguments are pointed at.
    pub fn in_phrase(span: Span, spans: &[Span], mut fault: Fault) -> Self {
        let place = |(place, text): (usize, String)| Some((*spans.get(place)?, text));
        let labels: Vec<(Span, String)> = std::mem::take(&mut fault.labels)
            .into_iter()
            .filter_map(place)
            .collect();
        Stop::Fault(Box::new(Faulted {
            fault,
            primary: span,
            at: String::new(),
            labels,
        }))
    }

    /// The same fault, told at the sentence that called the operation it happened in.
    pub fn called_from(self, call: Span, inside: String, given: Vec<(Span, String)>) -> Self {
        match self {
            Stop::Missing(_) => self,
            Stop::Fault(mut faulted) => {
                let inner = std::mem::replace(&mut faulted.primary, call);
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
        .and_then(|id| program.sites.get(id.0 as usize))
        .and_then(|site| site.step);
    match step.and_then(|id| program.steps.get(id.0 as usize)) {
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
