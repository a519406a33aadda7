//! The error type of the grammar: what was wanted, what stood there, and in which rule. It is copied, never allocated,
//! since the grammar makes one for every place where it stops.

use super::Tokens;
use super::model::Model;
use crate::report::Span;
use crate::syntax::tokens::Tok;
use chumsky::error::{Error, LabelError};
use chumsky::util::MaybeRef;
use chumsky::{DefaultExpected, input::Input};

/// What a rule waits for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Want {
    /// In words: "a name", "`=`".
    pub what: &'static str,
    /// The words that may stand there, to suggest the one that was misspelt.
    pub words: &'static [&'static str],
}

impl Want {
    /// A thing in words.
    pub(super) const fn a(what: &'static str) -> Self {
        Self { what, words: &[] }
    }

    /// One of some words.
    pub(super) const fn word(what: &'static str, words: &'static [&'static str]) -> Self {
        Self { what, words }
    }
}

/// Where and why a rule stopped.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Fault {
    /// The token it stopped at.
    pub span: Span,
    /// That token; none at the end of the text.
    pub found: Option<Tok>,
    /// What it waited for.
    pub want: Want,
    pub model: Option<Model>,
    /// A message has been given already.
    pub told: bool,
}

impl Fault {
    /// Stopped at a token.
    pub(super) fn new(span: Span, found: Option<Tok>, want: Want) -> Self {
        Self {
            span,
            found,
            want,
            model: None,
            // A bracket without letters was put in with its own message.
            told: found == Some(Tok::Damaged) || (is_closing(found) && span.is_empty()),
        }
    }

    /// Stopped, with the message already given.
    pub(super) fn told(span: Span) -> Self {
        Self {
            told: true,
            ..Self::new(span, None, Want::a(""))
        }
    }

    /// The same, in that rule unless it was in another.
    pub(super) fn or_in(mut self, model: Model) -> Self {
        self.within(model);
        self
    }

    fn within(&mut self, model: Model) {
        self.model = self.model.or(Some(model));
    }
}

fn is_closing(found: Option<Tok>) -> bool {
    matches!(
        found,
        Some(Tok::CloseRound | Tok::CloseSquare | Tok::CloseBrace | Tok::TextTail)
    )
}

impl<'s> Error<'s, Tokens<'s>> for Fault {
    /// The one that came further explains more.
    fn merge(self, other: Self) -> Self {
        if other.span.start > self.span.start {
            other
        } else {
            self
        }
    }
}

impl<'s> LabelError<'s, Tokens<'s>, DefaultExpected<'s, Tok>> for Fault {
    fn expected_found<E: IntoIterator<Item = DefaultExpected<'s, Tok>>>(
        _: E,
        found: Option<MaybeRef<'s, Tok>>,
        span: Span,
    ) -> Self {
        Self::new(
            span,
            found.map(|tok| *tok),
            Want::a("the end of the sentence"),
        )
    }
}

impl<'s> LabelError<'s, Tokens<'s>, Model> for Fault {
    fn expected_found<E: IntoIterator<Item = Model>>(
        expected: E,
        found: Option<MaybeRef<'s, <Tokens<'s> as Input<'s>>::Token>>,
        span: Span,
    ) -> Self {
        let mut fault = Self::new(span, found.map(|tok| *tok), Want::a("a sentence"));
        fault.model = expected.into_iter().next();
        fault
    }

    fn label_with(&mut self, label: Model) {
        self.within(label);
    }

    fn in_context(&mut self, label: Model, _: Span) {
        self.within(label);
    }
}
