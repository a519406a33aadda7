//! Texts to choose from, of a `choose` sentence or of an operation's parameter: what is none of them is told at its place.

use super::checker::{Checker, Typed};
use super::program::{Node, Slot};
use super::scope::nearest_word;
use crate::kind::Kind;
use crate::phrase::Value;
use crate::report::{Code, Diagnostic, Span};
use crate::syntax::tree;
use crate::voice;

/// A list of texts, with where it stands.
#[derive(Clone, Debug)]
pub(super) struct Texts {
    pub all: Vec<String>,
    pub span: Span,
}

impl Texts {
    /// Those of a parameter that has a list.
    pub(super) fn of_parameter(parameter: &tree::Parameter) -> Option<Self> {
        let span = parameter
            .choices
            .iter()
            .map(|text| text.span)
            .reduce(Span::to)?;
        let all = parameter.choices.iter().map(Checker::letters).collect();
        Some(Self { all, span })
    }

    /// `"left" or "right"`
    pub(super) fn quoted(&self) -> String {
        let quoted: Vec<String> = self.all.iter().map(|text| voice::text(text)).collect();
        voice::either(&quoted)
    }
}

impl Checker<'_> {
    /// A list of texts belongs to a text, and its default is one of them.
    pub(super) fn hold_default(&mut self, texts: &Texts, default: Option<&Typed>, kind: &Kind) {
        if *kind != Kind::Text {
            let message = "Only a text is one of a list of texts.";
            self.fail(Diagnostic::error(Code::WrongKind, texts.span, message));
        } else if let Some(default) = default
            && let Node::Known(Value::Text(text)) = &default.node
            && !texts.all.iter().any(|one| **one == **text)
        {
            let message = format!("The default \"{text}\" is none of the texts to choose from.");
            self.fail(
                Diagnostic::error(Code::OutOfRange, default.span, message)
                    .help("Take one of them, or add it to the list."),
            );
        }
    }

    /// What a text is held against, or given for, that can never be it.
    pub(super) fn none_of(&self, said: &str, texts: &Texts, other: &Typed) -> Option<Diagnostic> {
        let written = match &other.node {
            Node::Known(Value::Text(text)) => Some(text.to_string()),
            _ => None,
        };
        let can_be = match &written {
            Some(text) => vec![text.clone()],
            None => self.texts_of(other)?.all,
        };
        if texts.all.iter().any(|text| can_be.contains(text)) {
            return None;
        }
        let message = format!(
            "`{said}` is {}, and never {}.",
            texts.quoted(),
            self.said(other.span)
        );
        let all = texts.all.iter().map(String::as_str);
        let near = written.and_then(|text| nearest_word(&text, all).map(str::to_owned));
        let told = Diagnostic::error(Code::OutOfRange, other.span, message)
            .at("none of its texts")
            .see(texts.span, "its texts are listed here");
        Some(match near {
            Some(near) => told
                .help(format!("Did you mean \"{near}\"?"))
                .offer(other.span, format!("\"{near}\"")),
            None => told.help("Write one of them, or add this one to the list."),
        })
    }

    /// The texts that an expression may be, where it names a choice or a parameter that lists them.
    pub(super) fn texts_of(&self, side: &Typed) -> Option<Texts> {
        let Node::Slot(slot) = &side.node else {
            return None;
        };
        if let Some(texts) = self.here.texts.get(slot) {
            return Some(texts.clone());
        }
        let at = match (slot, &self.here.operation) {
            (Slot::Global(at), _) | (Slot::Local(at), None) => *at,
            // A value of the operation's own.
            (Slot::Local(_), Some(_)) => return None,
        };
        let mut measures = self.program.measures.iter();
        let choice = measures.find(|measure| measure.slot == Slot::Local(at))?;
        (!choice.choices.is_empty()).then(|| Texts {
            all: choice.choices.clone(),
            span: choice.span,
        })
    }
}
