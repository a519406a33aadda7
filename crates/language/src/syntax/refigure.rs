//! A figure changed in a draft that was read: everything else keeps its place and what was made of it. Whoever turns a
//! figure over and over while looking at the drawing changes nothing else.

use super::figure;
use super::lexer::{Lexed, lex};
use super::messages::Messages;
use super::parser::{prepare, read_at};
use super::project::Project;
use super::tokens::Tok;
use super::tree::{Sentence, SentenceKind, Unit};
use crate::report::{FileId, SourceFile, Span};
use std::sync::Arc;

/// So many figures may have another length than when the draft was read; then it is read anew.
const MOST_SHIFTS: usize = 256;

/// A figure in place of another of the same unit.
#[derive(Clone, Debug)]
pub struct Refigured {
    /// Where the figure stands.
    pub span: Span,
    /// Its value in millimetres, degrees or a plain number.
    pub value: f64,
    letters: String,
    /// Which sentence of the draft it stands in.
    sentence: usize,
}

impl Project {
    /// The figure in which a text differs from the draft as it was read; none where they differ in anything else, or where
    /// something in the draft is wrong, so that what is read there may hang together with it.
    pub fn refigured(&self, text: &str) -> Option<Refigured> {
        let file = self.file(0)?;
        let source = self.sources.get(file.id)?;
        if !self.diagnostics.is_empty() || self.sources.shifts(file.id) > MOST_SHIFTS {
            return None;
        }
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        let (start, old, new) = changed_line(&source.text, text)?;
        let (was, is) = (lexed(old, file.id)?, lexed(new, file.id)?);
        let mut both = was.tokens.iter().zip(&is.tokens);
        let differs = |((_, a), (_, b)): &(&(Tok, Span), &(Tok, Span))| {
            old.get(a.range()) != new.get(b.range())
        };
        let ((Tok::Figure, at), (Tok::Figure, to)) = both.find(differs)? else {
            return None;
        };
        let (letters, put) = (old.get(at.range())?, new.get(to.range())?);
        let same_around = old.get(..at.range().start) == new.get(..to.range().start)
            && old.get(at.range().end..) == new.get(to.range().end..);
        let same_after = both.all(|((a, _), (b, _))| a == b);
        if !same_around || !same_after || was.tokens.len() != is.tokens.len() {
            return None;
        }
        let (before, after) = (figure::read(letters, *at), figure::read(put, *to));
        let fine = before.message.is_none() && after.message.is_none();
        if !fine || before.unit != after.unit || suffix(letters) != suffix(put) {
            return None;
        }
        let bytes = at.range();
        let span = self
            .sources
            .span(file.id, start + bytes.start..start + bytes.end);
        let sentences = &file.tree.sentences;
        let sentence = sentences
            .partition_point(|sentence| sentence.span.start <= span.start)
            .checked_sub(1)?;
        let around = sentences.get(sentence)?;
        if span.end > around.span.end || matches!(around.kind, SentenceKind::Edition(_)) {
            return None;
        }
        let scale = after.unit.map_or(1.0, |unit| Unit::measure(unit).1);
        Some(Refigured {
            span,
            value: after.value * scale,
            letters: put.to_owned(),
            sentence,
        })
    }

    /// Writes a figure in place of another; where the draft has to be read anew after all it stays as it is, and false is given.
    pub fn refigure(&mut self, figure: &Refigured) -> bool {
        let was = self.sources.slice(figure.span).to_owned();
        self.sources.put(figure.span, &figure.letters);
        let file = self.files.first_mut().map(Arc::make_mut);
        let sentence = file.and_then(|file| file.tree.sentences.get_mut(figure.sentence));
        let source = self.sources.get(figure.span.file);
        if let (Some(sentence), Some(source)) = (sentence, source)
            && let Some(anew) = sentence_at(source, sentence.span)
            && anew.span == sentence.span
        {
            *sentence = anew;
            return true;
        }
        self.sources.put(figure.span, &was);
        false
    }
}

/// Where the line begins in which two texts differ, and the line in both; none where they differ in several or not at all.
fn changed_line<'t>(old: &'t str, new: &'t str) -> Option<(usize, &'t str, &'t str)> {
    let same = |(a, b): &(u8, u8)| a == b;
    let pairs = old.bytes().zip(new.bytes());
    let before = pairs.take_while(same).count();
    let pairs = old.bytes().rev().zip(new.bytes().rev());
    let after = pairs.take_while(same).count();
    let begin = |text: &str| {
        let line = text.as_bytes().get(..before)?;
        Some(
            line.iter()
                .rposition(|byte| *byte == b'\n')
                .map_or(0, |at| at + 1),
        )
    };
    let start = begin(old)?;
    let tail = old.as_bytes().get(old.len() - after..)?;
    let rest = tail
        .iter()
        .position(|byte| *byte == b'\n')
        .unwrap_or(tail.len());
    let keep = after - rest;
    let line = |text: &'t str| text.get(start..text.len().checked_sub(keep)?);
    let (old, new) = (line(old)?, line(new)?);
    (old != new && !old.contains('\n') && !new.contains('\n')).then_some((start, old, new))
}

/// The tokens of a line in which nothing is wrong.
fn lexed(line: &str, file: FileId) -> Option<Lexed> {
    let mut messages = Messages::default();
    let lexed = lex(line, file, &mut messages);
    messages.is_empty().then_some(lexed)
}

/// What stands behind the digits of a figure.
fn suffix(letters: &str) -> &str {
    letters.trim_start_matches(|c: char| c.is_ascii_digit() || matches!(c, '.' | '/' | ' '))
}

/// Reads the one sentence that stands there; none where something in it is wrong.
fn sentence_at(source: &SourceFile, span: Span) -> Option<Sentence> {
    let text = source.slice(span);
    let start = source.bytes(span).start;
    let mut messages = Messages::default();
    let (mut placed, _) = prepare(text, span.file, &mut messages);
    for (_, at) in &mut placed {
        let bytes = at.range();
        *at = source.span(span.file, start + bytes.start..start + bytes.end);
    }
    let (tree, broken) = read_at(source, span.file, &placed, &mut messages);
    let mut sentences = tree.sentences;
    let one = sentences.pop()?;
    (messages.is_empty() && broken.is_empty() && sentences.is_empty()).then_some(one)
}
