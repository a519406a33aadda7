//! From a construction that failed to a message at its place in the text.

use crate::check::program::{Program, SiteId, Slot};
use crate::phrase::{Blamed, Fault};
use crate::report::{Diagnostic, SourceMap, Span};
use crate::say;
use crate::voice::Words;

/// Why a sentence was not carried out.
#[derive(Clone, Debug)]
pub(super) enum Stop {
    /// What it needs was not drawn; that is told already.
    Missing(Slot),
    /// Too much has been done; that is told already.
    Exhausted,
    /// It cannot be drawn.
    Told(Diagnostic),
}

impl From<Diagnostic> for Stop {
    fn from(told: Diagnostic) -> Self {
        Stop::Told(told)
    }
}

impl Stop {
    /// The same fault, told at the sentence that called the operation it happened in.
    pub(super) fn called_from(self, call: Span, inside: Words, given: Vec<(Span, Words)>) -> Self {
        let Stop::Told(mut told) = self else {
            return self;
        };
        let inner = std::mem::replace(&mut told.place, call);
        let words = std::mem::replace(&mut told.label, "asked for here".into());
        let inside = if words.is_empty() {
            inside
        } else {
            say!("{}: {}", inside, words)
        };
        told.see.insert(0, (inner, inside));
        Stop::Told(told.seen(given))
    }
}

/// A fault of a phrase. One argument that is to blame alone is the main place; what is pointed at without words tells where
/// it came from.
pub(super) fn in_phrase(
    span: Span,
    spans: &[Span],
    fault: Fault,
    origin: impl Fn(usize) -> Option<(Span, Words)>,
) -> Diagnostic {
    let alone = match fault.see.as_slice() {
        [(Blamed::Argument(place), _)] => spans.get(*place).copied(),
        _ => None,
    };
    let mut label = Words::default();
    let see = |(blamed, words): (Blamed, Words)| {
        let (place, came_from) = match blamed {
            Blamed::Phrase => (Some(span), None),
            Blamed::Argument(at) => (spans.get(at).copied(), origin(at)),
        };
        let here = match (words.is_empty(), alone) {
            (false, Some(_)) => {
                label = words;
                None
            }
            (false, None) => place.map(|place| (place, words)),
            (true, _) => None,
        };
        here.into_iter().chain(came_from)
    };
    let told = fault.placed(alone.unwrap_or(span), see, |blamed| match blamed {
        Blamed::Phrase => Some(span),
        Blamed::Argument(at) => spans.get(at).copied(),
    });
    told.at(label)
}

/// Names the step a sentence stands in.
pub(super) fn with_step(
    diagnostic: Diagnostic,
    program: &Program,
    site: Option<SiteId>,
) -> Diagnostic {
    let step = site
        .and_then(|id| program.site(id))
        .and_then(|site| site.step);
    match step.and_then(|id| program.step(id)) {
        Some(step) => diagnostic.in_step(step.number, step.name.clone()),
        None => diagnostic,
    }
}

/// The text of a span on one line, for messages.
pub(super) fn quoted(sources: &SourceMap, span: Span) -> String {
    sources
        .slice(span)
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
}
