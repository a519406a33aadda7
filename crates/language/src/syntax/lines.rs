//! Lines to sentences: puts a [`Tok::End`] where a sentence ends and drops the newlines.
//!
//! A newline ends the sentence unless a round or square bracket is open, the last token asks for more (a comma, `=`, an
//! operator, a linking word), or the next line begins with a linking word, a direction, an operator, `otherwise` or `needs (`. A closing
//! brace ends one too. Where the next line begins as a sentence beyond doubt, the line that asked for more was cut short,
//! and ends all the same: so one slip does not swallow the next line.

use super::messages::Messages;
use super::starts::{NEEDS, begins_surely};
use super::tokens::{Placed, Tok};
use super::tree::Link;
use crate::report::{Code, Diagnostic, FileId, Span};

/// A sentence of more tokens than this is not read.
pub(super) const LONGEST_SENTENCE: usize = 10_000;

/// Puts the ends of sentences into balanced tokens.
pub(super) fn end_sentences(
    text: &str,
    tokens: &[Placed],
    file: FileId,
    messages: &mut Messages,
) -> Vec<Placed> {
    let mut pass = Pass {
        text,
        out: Vec::with_capacity(tokens.len() + 8),
        open: Vec::new(),
        begun: 0,
        messages,
    };
    for (at, &(tok, span)) in tokens.iter().enumerate() {
        if tok == Tok::Newline {
            let next = tokens.get(at + 1).map(|(next, _)| *next);
            if begins_needs(text, tokens.get(at + 1..).unwrap_or_default()) {
                continue;
            }
            let cut_short = |options| begins_surely(text, tokens, at + 1, options);
            pass.newline(next, cut_short, span);
        } else {
            pass.token(tok, span);
        }
    }
    let end = pass
        .out
        .last()
        .map_or(Span::new(file, 0, 0), |(_, span)| span.after());
    pass.end(end);
    pass.out
}

struct Pass<'a> {
    text: &'a str,
    out: Vec<Placed>,
    open: Vec<Tok>,
    /// Where in `out` the present sentence, or the part after its last brace, begins.
    begun: usize,
    messages: &'a mut Messages,
}

impl Pass<'_> {
    #[inline]
    fn token(&mut self, tok: Tok, span: Span) {
        match tok {
            Tok::OpenRound | Tok::OpenSquare | Tok::TextHead => self.open.push(tok),
            Tok::CloseRound | Tok::CloseSquare | Tok::TextTail => {
                self.open.pop();
            }
            Tok::OpenBrace => {
                self.open.push(tok);
                self.out.push((tok, span));
                self.cap();
                self.begun = self.out.len();
                return;
            }
            Tok::CloseBrace => {
                self.end(Span {
                    end: span.start,
                    ..span
                });
                self.open.pop();
                self.out.push((tok, span));
                self.begun = self.out.len();
                return;
            }
            _ => self.end_after_brace(tok, span),
        }
        self.out.push((tok, span));
        if matches!(
            tok,
            Tok::Name | Tok::Link(Link::From | Link::Along | Link::Of)
        ) {
            self.several_words(tok, span);
        }
    }

    /// Words on one line that are read as one: `of the way`, `of the way from`, `of the way along`, `to level of`. The words
    /// between stay free for names.
    fn several_words(&mut self, last: Tok, span: Span) {
        let is = |span: Span, word| self.text.get(span.range()) == Some(word);
        let (rest, link, first) = match (self.out.as_slice(), last) {
            ([rest @ .., (Tok::Link(Link::Of), of), (Tok::Name, the), _], Tok::Name)
                if is(*the, "the") && is(span, "way") =>
            {
                (rest.len(), Link::OfTheWay, *of)
            }
            ([rest @ .., (Tok::Link(Link::OfTheWay), of), _], Tok::Link(Link::From)) => {
                (rest.len(), Link::WayFrom, *of)
            }
            ([rest @ .., (Tok::Link(Link::OfTheWay), of), _], Tok::Link(Link::Along)) => {
                (rest.len(), Link::WayAlong, *of)
            }
            (
                [rest @ .., (Tok::Link(Link::To), to), (Tok::Name, level), _],
                Tok::Link(Link::Of),
            ) if is(*level, "level") => (rest.len(), Link::LevelOf, *to),
            _ => return,
        };
        let words = self.text.get(first.to(span).range()).unwrap_or("");
        if words.contains('\n') {
            return;
        }
        self.out.truncate(rest);
        self.out.push((Tok::Link(link), first.to(span)));
    }

    /// `{ a } b` on one line: the brace ended the sentence before `b`.
    #[inline]
    fn end_after_brace(&mut self, tok: Tok, span: Span) {
        if self.last() == Some(Tok::CloseBrace) && matches!(tok, Tok::Name | Tok::If | Tok::Each) {
            self.end(Span {
                end: span.start,
                ..span
            });
        }
    }

    fn newline(&mut self, next: Option<Tok>, cut_short: impl Fn(bool) -> bool, span: Span) {
        if self.open.last().is_some_and(|open| *open != Tok::OpenBrace)
            || next.is_some_and(carries_on)
        {
            return;
        }
        let last = self.last();
        let options_possible = matches!(last, Some(Tok::Comma | Tok::Link(Link::With)));
        if !last.is_none_or(asks_for_more) || cut_short(options_possible) {
            self.end(Span {
                end: span.start,
                ..span
            });
        }
    }

    /// Ends the sentence if there is one.
    fn end(&mut self, at: Span) {
        if !matches!(self.last(), None | Some(Tok::End | Tok::OpenBrace)) {
            self.cap();
            self.out.push((Tok::End, at));
        }
        self.begun = self.out.len();
    }

    /// Takes out a sentence that is too long.
    fn cap(&mut self) {
        if self.out.len() - self.begun <= LONGEST_SENTENCE {
            return;
        }
        let Some(&(_, first)) = self.out.get(self.begun) else {
            return;
        };
        let brace = self.out.pop_if(|(tok, _)| *tok == Tok::OpenBrace);
        self.out.truncate(self.begun);
        let message = format!("This sentence has more than {LONGEST_SENTENCE} words and signs.");
        self.messages.push(
            Diagnostic::error(Code::TooLarge, first, message)
                .help("Draw its parts first, each under its own name."),
        );
        self.out.push((Tok::Damaged, first));
        self.out.extend(brace);
    }

    fn last(&self) -> Option<Tok> {
        self.out.last().map(|(tok, _)| *tok)
    }
}

/// Whether a line that ends with this token goes on.
fn asks_for_more(tok: Tok) -> bool {
    tok == Tok::Comma
        || tok.is_operator()
        || matches!(tok, Tok::Link(link) if link != Link::OfTheWay)
        || matches!(tok, Tok::OpenBrace | Tok::End)
}

/// `needs (…`: the head of an operation goes on, and no sentence begins so.
fn begins_needs(text: &str, tokens: &[Placed]) -> bool {
    match tokens {
        [(Tok::Name, span), (Tok::OpenRound, _), ..] => text.get(span.range()) == Some(NEEDS),
        _ => false,
    }
}

/// Whether a line that begins with this token belongs to the one before.
fn carries_on(tok: Tok) -> bool {
    tok.is_operator()
        || matches!(
            tok,
            Tok::Link(_) | Tok::Direction(_) | Tok::Otherwise | Tok::OpenBrace
        )
}
