//! Letters to tokens. logos finds them; this file takes letters beyond ASCII along, cuts a text with holes into its parts,
//! and puts comments and blank lines aside.

use super::foreign;
use super::look_alike;
use super::messages::Messages;
use super::tokens::{Comment, Placed, Tok, Trivia};
use super::tree::Link;
use super::unmerged;
use crate::report::{Code, Diagnostic, FileId, Span};
use logos::Logos;

/// More tokens than this in one file are not read.
pub(crate) const MOST_TOKENS: usize = 4_000_000;
/// A file with more bytes than this is not read.
pub const MOST_BYTES: usize = 16 << 20;

/// What the letters came to.
#[derive(Debug)]
pub struct Lexed {
    /// Tokens, with a [`Tok::Newline`] for each line that held one.
    pub tokens: Vec<Placed>,
    /// What is kept beside them.
    pub trivia: Trivia,
}

/// Reads the letters of `text`.
pub fn lex(text: &str, file: FileId, messages: &mut Messages) -> Lexed {
    let first = unmerged::first_version(text, file, messages);
    let text = first.as_deref().unwrap_or(text);
    let mut lexer = Lexer {
        text,
        file,
        messages,
        tokens: Vec::with_capacity(text.len().min(MOST_BYTES) / 4 + 16),
        trivia: Trivia::default(),
        line: LineSoFar::Empty,
    };
    if text.len() > MOST_BYTES {
        lexer.too_large();
    } else {
        lexer.run(0, text.len(), Place::Sentence);
    }
    Lexed {
        tokens: lexer.tokens,
        trivia: lexer.trivia,
    }
}

/// What a token is when its letters beyond ASCII are taken too, and its whole length.
#[inline]
fn goes_on(
    found: Result<Tok, ()>,
    slice: &str,
    range: &std::ops::Range<usize>,
) -> (Result<Tok, ()>, usize) {
    let rest = || slice.get(range.start..).unwrap_or("");
    match found {
        Ok(Tok::Foreign) => match foreign::begin(rest()) {
            Some((tok, length)) => (Ok(tok), length.max(range.len())),
            None => (Err(()), range.len()),
        },
        Ok(tok) if foreign::may_go_on(tok, slice.as_bytes().get(range.end..).unwrap_or(&[])) => {
            let (tok, length) = foreign::go_on(tok, range.len(), rest());
            (Ok(tok), length.max(range.len()))
        }
        found => (found, range.len()),
    }
}

/// The other spelling of a linking word.
const TOWARDS: &str = "towards";

/// What other languages say for `otherwise`.
const ELSE: &str = "else";

/// What has been met on the present line.
#[derive(Clone, Copy, PartialEq)]
enum LineSoFar {
    Empty,
    Comment,
    Tokens,
}

/// Whether letters stand in a sentence or in the hole of a text.
#[derive(Clone, Copy, PartialEq)]
enum Place {
    Sentence,
    Hole,
}

struct Lexer<'a> {
    text: &'a str,
    file: FileId,
    messages: &'a mut Messages,
    tokens: Vec<Placed>,
    trivia: Trivia,
    line: LineSoFar,
}

impl Lexer<'_> {
    fn run(&mut self, start: usize, end: usize, place: Place) {
        let Some(slice) = self.text.get(start..end) else {
            return;
        };
        let mut lexer = Tok::lexer(slice);
        let mut line_start = start;
        while let Some(found) = lexer.next() {
            let range = lexer.span();
            let (found, length) = goes_on(found, slice, &range);
            lexer.bump(length.saturating_sub(range.len()));
            let span = Span::new(self.file, start + range.start, start + range.start + length);
            match found {
                Ok(Tok::Newline) => {
                    self.end_line(line_start, span);
                    line_start = span.end as usize;
                }
                Ok(tok) => self.take(tok, span, place),
                Err(()) => {
                    self.line = LineSoFar::Tokens;
                    look_alike::replace(self.text, span, self.messages, &mut self.tokens);
                }
            }
            if self.tokens.len() > MOST_TOKENS {
                self.too_large();
                return;
            }
        }
    }

    fn end_line(&mut self, line_start: usize, newline: Span) {
        match self.line {
            LineSoFar::Empty => self
                .trivia
                .blank_lines
                .push(u32::try_from(line_start).unwrap_or(u32::MAX)),
            LineSoFar::Comment => {}
            LineSoFar::Tokens => self.tokens.push((Tok::Newline, newline)),
        }
        self.line = LineSoFar::Empty;
    }

    #[inline]
    fn take(&mut self, tok: Tok, span: Span, place: Place) {
        match tok {
            Tok::Comment => self.comment(span, place),
            Tok::HardSpace => look_alike::hard_space(self.text, span, self.messages),
            Tok::Text | Tok::OpenText | Tok::CurlyText | Tok::OpenCurlyText => {
                self.line = LineSoFar::Tokens;
                self.quoted(tok, span, place);
            }
            Tok::Name if span.len() == TOWARDS.len() && self.slice(span) == TOWARDS => {
                self.line = LineSoFar::Tokens;
                self.towards(span);
            }
            Tok::Otherwise => {
                self.line = LineSoFar::Tokens;
                if self.slice(span) == ELSE {
                    self.otherwise(span);
                }
                self.tokens.push((tok, span));
            }
            _ => {
                self.line = LineSoFar::Tokens;
                self.tokens.push((tok, span));
            }
        }
    }

    /// A word that other languages have is read as meant, with a message.
    fn otherwise(&mut self, span: Span) {
        let message = "The word is `otherwise`, not `else`.";
        self.messages.push(
            Diagnostic::error(Code::SentenceBroken, span, message)
                .at("did you mean `otherwise`?")
                .help("Write `otherwise`."),
        );
    }

    /// `towards` and `toward` are one word to a reader, so it is read as meant, with a message.
    fn towards(&mut self, span: Span) {
        let message = "The linking word is `toward`, not `towards`.";
        self.messages.push(
            Diagnostic::error(Code::SentenceBroken, span, message)
                .at("did you mean `toward`?")
                .write("toward"),
        );
        self.tokens.push((Tok::Link(Link::Toward), span));
    }

    fn comment(&mut self, span: Span, place: Place) {
        let text = self.text;
        let letters = text.get(span.range()).unwrap_or("");
        if place == Place::Hole {
            let message = "A comment cannot stand inside a text.";
            self.messages.push(
                Diagnostic::error(Code::TextHoleBroken, span, message)
                    .help("Write the comment on a line of its own, beginning with `#`."),
            );
            return;
        }
        if letters.starts_with("//") {
            let message = "A comment begins with `#`, and this one with `//`.";
            let remark = format!("#{}", letters.trim_start_matches('/').trim_end());
            self.messages
                .push(Diagnostic::error(Code::StrayCharacter, span, message).write(&remark));
        }
        let trimmed = letters.trim_end().len();
        self.trivia.comments.push(Comment {
            span: Span::new(
                self.file,
                span.start as usize,
                span.start as usize + trimmed,
            ),
            own_line: self.line != LineSoFar::Tokens,
        });
        if self.line == LineSoFar::Empty {
            self.line = LineSoFar::Comment;
        }
    }

    /// A text: mends its quotation marks, then looks for holes.
    fn quoted(&mut self, tok: Tok, span: Span, place: Place) {
        if place == Place::Hole {
            let message = "A text cannot stand inside the braces of another text.";
            let help = "Draw it first, `text NAME = \"…\"`, and write {NAME} here.";
            self.messages
                .push(Diagnostic::error(Code::TextHoleBroken, span, message).help(help));
            return;
        }
        let whole = look_alike::text_marks(self.text, tok, span, self.messages);
        let letters = self.slice(whole);
        if letters.contains('{') {
            self.holes(whole, matches!(tok, Tok::OpenText | Tok::OpenCurlyText));
        } else {
            self.tokens.push((Tok::Text, whole));
        }
        if whole.end < span.end {
            self.run(whole.end as usize, span.end as usize, Place::Sentence);
        }
    }

    /// Cuts `"the {front.neck} neck"` into its head, the tokens of the hole and its tail.
    fn holes(&mut self, whole: Span, told: bool) {
        let (mut from, mut at, end) = (
            whole.start as usize,
            whole.start as usize,
            whole.end as usize,
        );
        let mut opened = false;
        while let Some(found) = self.text.get(at..end).and_then(|rest| rest.find('{')) {
            let brace = at + found;
            if self
                .text
                .get(brace..end)
                .is_some_and(|rest| rest.starts_with("{{"))
            {
                at = brace + 2;
                continue;
            }
            let inside = brace + 1;
            let Some(length) = self.text.get(inside..end).and_then(|rest| rest.find('}')) else {
                if !told {
                    self.hole_not_closed(brace, whole);
                }
                break;
            };
            let kind = if opened {
                Tok::TextMiddle
            } else {
                Tok::TextHead
            };
            self.tokens.push((kind, Span::new(self.file, from, inside)));
            self.run(inside, inside + length, Place::Hole);
            opened = true;
            from = inside + length;
            at = from + 1;
        }
        let kind = if opened { Tok::TextTail } else { Tok::Text };
        self.tokens.push((kind, Span::new(self.file, from, end)));
    }

    fn hole_not_closed(&mut self, brace: usize, whole: Span) {
        let span = Span::new(self.file, brace, brace + 1);
        let message =
            "This brace opens a figure inside the text, and no `}` follows before the text ends.";
        self.messages.push(
            Diagnostic::error(Code::TextHoleBroken, span, message)
                .see(whole, "in this text")
                .help("Close it, as in \"the mouth is {dart}\", or write `{{` for a brace."),
        );
    }

    fn slice(&self, span: Span) -> &str {
        self.text.get(span.range()).unwrap_or("")
    }

    fn too_large(&mut self) {
        let at = self.tokens.last().map_or(0, |(_, span)| span.end as usize);
        let span = Span::new(self.file, at, at);
        let message = format!(
            "This file is larger than a draft can be: {MOST_TOKENS} words and signs, or {} MB.",
            MOST_BYTES >> 20
        );
        self.messages.push(
            Diagnostic::error(Code::TooLarge, span, message)
                .help("Divide it into several drafts and `import` them."),
        );
    }
}
