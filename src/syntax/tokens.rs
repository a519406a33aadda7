//! Letters to tokens. logos finds them; this file also cuts a text with holes into its parts, and puts comments and
//! blank lines into a side table, so that nothing after it sees them and the canonical layout can put them back.

use super::foreign;
use super::look_alike;
use super::messages::Messages;
use super::tree::{DirectionWord, Link};
use crate::report::{Code, Diagnostic, FileId, Span};
use logos::Logos;

/// More tokens than this in one file are not read.
pub const MOST_TOKENS: usize = 4_000_000;
/// A file with more bytes than this is not read.
pub const MOST_BYTES: usize = 16 << 20;

/// One token, without its letters: those are found through its span.
#[derive(Logos, Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[logos(skip r"[ \t\r]+")]
#[allow(missing_docs, reason = "each is the sign or word it names")]
pub enum Tok {
    #[token("\n")]
    Newline,
    #[regex(r"#[^\n]*", allow_greedy = true)]
    #[regex(r"//[^\n]*", allow_greedy = true)]
    Comment,
    /// A character beyond ASCII; what it begins is found by hand.
    #[regex(r"[^\x00-\x7f]")]
    Foreign,
    /// Spaces that do not look like what they are.
    HardSpace,

    /// `neck_point`, statement words and kinds included: those are known by their place.
    #[regex(r"[A-Za-z_][A-Za-z0-9_]*", priority = 2)]
    Name,
    /// `back.neck`
    #[regex(r"[A-Za-z_][A-Za-z0-9_]*(\.[A-Za-z_][A-Za-z0-9_]*)+", priority = 2)]
    Dotted,

    /// `94cm`, `0.5`, `3%`, `3/8in`, `15 3/4in`
    #[regex(r"[0-9]+(\.[0-9]+)?([A-Za-z%][A-Za-z0-9_]*)?")]
    #[regex(r"([0-9]+ )?[0-9]+/[0-9]+[A-Za-z%][A-Za-z0-9_]*")]
    Figure,
    /// A figure in a form that another pen would use: read all the same, with a message.
    #[regex(r"[0-9]+,[0-9]+[A-Za-z%][A-Za-z0-9_]*")]
    #[regex(r#"[0-9]+(\.[0-9]+)?""#)]
    #[regex(r#"([0-9]+[ -])?[0-9]+/[0-9]+""#)]
    #[regex(r"[0-9]+-[0-9]+/[0-9]+[A-Za-z%][A-Za-z0-9_]*")]
    #[regex(r"\.[0-9]+([A-Za-z%][A-Za-z0-9_]*)?")]
    #[regex(r"[0-9]+\.([A-Za-z%][A-Za-z0-9_]*)?")]
    OddFigure,

    /// A text without holes.
    #[regex(r#""[^"\n]*""#)]
    Text,
    #[regex(r#""[^"\n]*"#)]
    OpenText,
    /// A text in curly, angled or single quotation marks.
    #[regex(r"'[^'\n]*'")]
    CurlyText,
    /// The same, not closed on its line.
    OpenCurlyText,
    /// `"the {`
    TextHead,
    /// `} and the {`
    TextMiddle,
    /// `} neck"`
    TextTail,

    #[token("(")]
    OpenRound,
    #[token(")")]
    CloseRound,
    #[token("[")]
    OpenSquare,
    #[token("]")]
    CloseSquare,
    #[token("{")]
    OpenBrace,
    #[token("}")]
    CloseBrace,
    #[token(",")]
    Comma,
    #[token("+")]
    Plus,
    #[token("-")]
    Minus,
    #[token("*")]
    Star,
    #[token("/")]
    Slash,
    #[token("<")]
    Less,
    #[token("<=")]
    AtMost,
    #[token("=")]
    Equal,
    #[token(">=")]
    AtLeast,
    #[token(">")]
    More,

    #[token("if")]
    If,
    #[token("else")]
    Else,
    #[token("each")]
    Each,
    #[token("yes")]
    Yes,
    #[token("no")]
    No,
    #[token("origin")]
    Origin,

    #[token("from", |_| Link::From)]
    #[token("to", |_| Link::To)]
    #[token("through", |_| Link::Through)]
    #[token("around", |_| Link::Around)]
    #[token("toward", |_| Link::Toward)]
    #[token("at", |_| Link::At)]
    #[token("on", |_| Link::On)]
    #[token("onto", |_| Link::Onto)]
    #[token("by", |_| Link::By)]
    #[token("for", |_| Link::For)]
    #[token("about", |_| Link::About)]
    #[token("over", |_| Link::Over)]
    #[token("along", |_| Link::Along)]
    #[token("until", |_| Link::Until)]
    #[token("near", |_| Link::Near)]
    #[token("with", |_| Link::With)]
    #[token("leaving", |_| Link::Leaving)]
    #[token("arriving", |_| Link::Arriving)]
    #[token("hollow", |_| Link::Hollow)]
    #[token("into", |_| Link::Into)]
    #[token("meets", |_| Link::Meets)]
    #[token("of", |_| Link::Of)]
    #[token("between", |_| Link::Between)]
    #[token("and", |_| Link::And)]
    #[token("or", |_| Link::Or)]
    #[token("not", |_| Link::Not)]
    #[token("that", |_| Link::That)]
    #[token("is", |_| Link::Is)]
    #[token("within", |_| Link::Within)]
    #[token("than", |_| Link::Than)]
    #[token("above", |_| Link::Above)]
    #[token("below", |_| Link::Below)]
    #[token("joins", |_| Link::Joins)]
    #[token("as", |_| Link::As)]
    #[token("gives", |_| Link::Gives)]
    Link(Link),

    #[token("up", |_| DirectionWord::Up)]
    #[token("down", |_| DirectionWord::Down)]
    #[token("left", |_| DirectionWord::Left)]
    #[token("right", |_| DirectionWord::Right)]
    #[token("inside", |_| DirectionWord::Inside)]
    #[token("outside", |_| DirectionWord::Outside)]
    #[token("clockwise", |_| DirectionWord::Clockwise)]
    #[token("anticlockwise", |_| DirectionWord::Anticlockwise)]
    Direction(DirectionWord),

    /// The end of a sentence.
    End,
    /// A sentence that was taken out, with a message already given.
    Damaged,
}

impl Tok {
    /// `+ - * / < <= = >= >`
    pub fn is_operator(self) -> bool {
        matches!(
            self,
            Tok::Plus
                | Tok::Minus
                | Tok::Star
                | Tok::Slash
                | Tok::Less
                | Tok::AtMost
                | Tok::Equal
                | Tok::AtLeast
                | Tok::More
        )
    }

    /// Whether a value may begin with it, direction words and signs left aside.
    pub fn begins_operand(self) -> bool {
        matches!(
            self,
            Tok::Name
                | Tok::Dotted
                | Tok::Figure
                | Tok::OddFigure
                | Tok::OpenRound
                | Tok::OpenSquare
                | Tok::Yes
                | Tok::No
                | Tok::Origin
                | Tok::Each
        ) || self.begins_text()
    }

    /// Whether a text begins with it.
    pub fn begins_text(self) -> bool {
        matches!(self, Tok::Text | Tok::TextHead)
    }
}

/// A token and where it stands.
pub type Placed = (Tok, Span);

/// Comments and blank lines: what the tree does not keep.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Trivia {
    /// In order.
    pub comments: Vec<Comment>,
    /// The first byte of each blank line, in order.
    pub blank_lines: Vec<u32>,
}

/// One comment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Comment {
    /// From `#` to the last letter.
    pub span: Span,
    /// Nothing but spaces stands before it on its line.
    pub own_line: bool,
}

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
            _ => {
                self.line = LineSoFar::Tokens;
                self.tokens.push((tok, span));
            }
        }
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
            let help = format!("Write `#{}`.", letters.trim_start_matches('/').trim_end());
            self.messages
                .push(Diagnostic::error(Code::StrayCharacter, span, message).help(help));
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
