//! What the rules carry along: the text, the messages, the words met so far and how deep the present sentence may go.

use crate::report::{Code, Diagnostic, SourceFile, Span};
use crate::syntax::messages::Messages;
use crate::syntax::tree::Word;
use crate::voice::Words;
use std::collections::HashMap;
use std::sync::Arc;
use unicode_normalization::UnicodeNormalization;

/// So many signs and heads may be chained in one expression: a tree is walked by recursion, which must end.
pub(super) const DEEPEST_CHAIN: u32 = 400;

/// An `of` that belongs to a sentence, and not to the word before it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum KeepOf {
    /// None here.
    None,
    /// Between `within` and its `of`, any.
    Any,
    /// In a range, one before the texts that are chosen from.
    BeforeText,
}

/// The state of one reading.
pub(super) struct Context<'s> {
    text: &'s str,
    /// Where a part is read of a file whose places are no bytes any more: that file.
    source: Option<&'s SourceFile>,
    messages: &'s mut Messages,
    words: HashMap<&'s str, Arc<str>, foldhash::fast::RandomState>,
    /// Names a broken sentence would have drawn.
    pub broken_names: Vec<Word>,
    /// What is left of [`DEEPEST_CHAIN`] on the way from the file to here.
    pub chain_left: u32,
    /// Which `of` no word takes.
    pub keep_of: KeepOf,
    /// No sentence has been read yet.
    pub at_top: bool,
    /// The word that the present sentence begins with.
    pub first: &'s str,
    /// What is wrong with the present sentence, blocks in it aside, has been told: what else is astray in it comes of that.
    pub told: bool,
    /// A word that begins a line and was told as one that the sentence above it waits for.
    pub told_above: Option<Span>,
}

impl<'s> Context<'s> {
    pub(super) fn new(text: &'s str, messages: &'s mut Messages) -> Self {
        Self {
            text,
            source: None,
            messages,
            words: HashMap::default(),
            broken_names: Vec::new(),
            chain_left: DEEPEST_CHAIN,
            keep_of: KeepOf::None,
            at_top: true,
            first: "",
            told: false,
            told_above: None,
        }
    }

    /// For a part of a file.
    pub(super) fn within(source: &'s SourceFile, messages: &'s mut Messages) -> Self {
        Self {
            source: Some(source),
            ..Self::new(&source.text, messages)
        }
    }

    /// The letters at a place.
    pub(super) fn slice(&self, span: Span) -> &'s str {
        match self.source {
            Some(source) => source.slice(span),
            None => self.text.get(span.range()).unwrap_or(""),
        }
    }

    /// The digits that stand tight before a comma that stands tight before a place, and the whole of it.
    pub(super) fn figure_before_comma(&self, after: Span) -> Option<(&'s str, Span)> {
        let before = self.text.get(..after.start as usize)?.strip_suffix(',')?;
        let start = before
            .rfind(|c: char| !c.is_ascii_digit())
            .map_or(0, |at| at + 1);
        let digits = before.get(start..).filter(|digits| !digits.is_empty())?;
        let whole = Span::new(after.file, start, after.end as usize);
        Some((digits, whole))
    }

    /// Whether one begins a line that is indented further than that of the other.
    pub(super) fn stands_further_in(&self, one: Span, other: Span) -> bool {
        let indent = |span: Span| {
            let before = self.text.get(..span.start as usize)?;
            let line = before.rsplit('\n').next()?;
            line.trim().is_empty().then_some(line.len())
        };
        self.source.is_none() && indent(one) > indent(other) && indent(other).is_some()
    }

    /// The word at a place, in normal form C.
    pub(super) fn word(&mut self, span: Span) -> Word {
        let letters = self.slice(span);
        let text = self.words.entry(letters).or_insert_with(|| {
            if letters.is_ascii() {
                letters.into()
            } else {
                letters.nfc().collect::<String>().into()
            }
        });
        Word {
            text: text.clone(),
            span,
        }
    }

    pub(super) fn tell(&mut self, message: Diagnostic) {
        self.messages.push(message);
    }

    /// Gives a message of that code, for building on.
    pub(super) fn error(code: Code, span: Span, message: impl Into<Words>) -> Diagnostic {
        Diagnostic::error(code, span, message)
    }
}
