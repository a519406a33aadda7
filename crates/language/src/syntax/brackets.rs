//! The bracket pass: after it every bracket has its partner, so that the parser never searches for one. An unclosed
//! bracket is closed where a line begins as a sentence or leaves its block's margin, and its message names both ends.

use super::messages::Messages;
use super::starts::begins_sentence;
use super::tokens::{Placed, Tok};
use crate::report::{Code, Diagnostic, Span};

/// Brackets may stand so deep inside each other.
pub(super) const DEEPEST: usize = 64;

/// Gives every bracket its partner.
pub(super) fn balance(text: &str, tokens: Vec<Placed>, messages: &mut Messages) -> Vec<Placed> {
    match survey(text, &tokens) {
        Survey::Sound => tokens,
        Survey::Broken { open, close } => {
            let margins = Margins {
                close_blocks: open,
                open_blocks: close,
            };
            Mender::new(text, messages, margins).run(&tokens)
        }
    }
}

/// What a first look says.
enum Survey {
    Sound,
    /// Whether braces are left open, or close nothing.
    Broken {
        open: bool,
        close: bool,
    },
}

fn survey(text: &str, tokens: &[Placed]) -> Survey {
    let mut stack = Vec::new();
    let (mut sound, mut braces) = (true, 0_i64);
    let (mut lowest, mut deepest) = (0_i64, 0);
    for (at, (tok, _)) in tokens.iter().enumerate() {
        match tok {
            Tok::OpenRound | Tok::OpenSquare | Tok::OpenBrace | Tok::TextHead => {
                braces += i64::from(*tok == Tok::OpenBrace);
                stack.push(*tok);
                deepest = deepest.max(stack.len());
            }
            Tok::CloseRound | Tok::CloseSquare | Tok::CloseBrace | Tok::TextTail => {
                braces -= i64::from(*tok == Tok::CloseBrace);
                lowest = lowest.min(braces);
                let partner = stack.pop();
                sound &= partner.is_some_and(|open| partner_of(open) == *tok);
            }
            Tok::TextMiddle => sound &= stack.last() == Some(&Tok::TextHead),
            Tok::Newline => {
                let inside = matches!(stack.last(), Some(Tok::OpenRound | Tok::OpenSquare));
                sound &= !(inside && begins_sentence(text, tokens, at + 1));
            }
            _ => {}
        }
    }
    if sound && stack.is_empty() && deepest <= DEEPEST {
        return Survey::Sound;
    }
    Survey::Broken {
        open: braces > lowest.min(0),
        close: lowest < 0,
    }
}

fn partner_of(open: Tok) -> Tok {
    match open {
        Tok::OpenRound => Tok::CloseRound,
        Tok::OpenSquare => Tok::CloseSquare,
        Tok::TextHead => Tok::TextTail,
        _ => Tok::CloseBrace,
    }
}

fn sign(tok: Tok) -> &'static str {
    match tok {
        Tok::OpenRound => "(",
        Tok::OpenSquare => "[",
        Tok::CloseRound => ")",
        Tok::CloseSquare => "]",
        Tok::CloseBrace | Tok::TextTail => "}",
        _ => "{",
    }
}

/// Which blocks the margin may mend.
#[derive(Clone, Copy)]
struct Margins {
    /// Braces are left open: close a block where a sentence leaves its margin.
    close_blocks: bool,
    /// Braces close nothing: open a block where the margin says that one was meant.
    open_blocks: bool,
}

struct Open {
    tok: Tok,
    span: Span,
    /// Beyond the deepest: taken out, with its partner.
    taken_out: bool,
    /// Column of the line it stands on.
    margin: usize,
    /// Column of the first line inside.
    inner: Option<usize>,
}

struct Mender<'a> {
    text: &'a str,
    messages: &'a mut Messages,
    margins: Margins,
    open: Vec<Open>,
    out: Vec<Placed>,
    /// Column of the present line.
    margin: usize,
    /// The first token of the present line.
    line_begins: usize,
    told_deep: bool,
}

impl<'a> Mender<'a> {
    fn new(text: &'a str, messages: &'a mut Messages, margins: Margins) -> Self {
        Self {
            text,
            messages,
            margins,
            open: Vec::new(),
            out: Vec::new(),
            margin: 0,
            line_begins: 0,
            told_deep: false,
        }
    }

    fn run(mut self, tokens: &[Placed]) -> Vec<Placed> {
        self.out.reserve(tokens.len() + 64);
        if let Some((_, span)) = tokens.first() {
            self.margin = self.column(*span);
        }
        for (at, &(tok, span)) in tokens.iter().enumerate() {
            match tok {
                Tok::OpenRound | Tok::OpenSquare | Tok::OpenBrace | Tok::TextHead => {
                    self.opens(tok, span)
                }
                Tok::CloseBrace if self.is_one_too_many(tokens, at) => self.mismatch(tok, span),
                Tok::CloseRound | Tok::CloseSquare | Tok::CloseBrace | Tok::TextTail => {
                    if tok == Tok::CloseBrace && at == self.line_begins {
                        self.close_inner_blocks();
                    }
                    self.closes(tok, span);
                }
                Tok::TextMiddle => self.middle(tok, span),
                Tok::Newline => self.newline(tokens, at, span),
                _ => self.out.push((tok, span)),
            }
        }
        while let Some(open) = self.open.pop() {
            self.close_for(open, "The draft ends without it.");
        }
        self.out
    }

    fn opens(&mut self, tok: Tok, span: Span) {
        let taken_out = self.open.len() >= DEEPEST && tok != Tok::TextHead;
        if taken_out && !self.told_deep {
            self.told_deep = true;
            let message = format!("Brackets are nested more than {DEEPEST} deep here.");
            self.messages.push(
                Diagnostic::error(Code::TooLarge, span, message)
                    .help("Draw the inner parts first, each under its own name."),
            );
        }
        if !taken_out {
            self.out.push((tok, span));
        } else if self.out.last().is_none_or(|(tok, _)| *tok != Tok::Damaged) {
            self.out.push((Tok::Damaged, span));
        }
        self.open.push(Open {
            tok,
            span,
            taken_out,
            margin: self.margin,
            inner: None,
        });
    }

    fn closes(&mut self, tok: Tok, span: Span) {
        let fits = |open: &Open| partner_of(open.tok) == tok;
        // A round or square bracket never reaches over a brace, nor out of the hole of a text.
        let wall = |open: &Open| matches!(open.tok, Tok::OpenBrace | Tok::TextHead);
        let strong = matches!(tok, Tok::CloseBrace | Tok::TextTail);
        let partner = if strong {
            self.open.iter().rposition(fits)
        } else {
            let last = self.open.len().saturating_sub(1);
            let top_fits = self.open.last().is_some_and(fits);
            let within = self.open.iter().rposition(|o| fits(o) || wall(o));
            if top_fits {
                Some(last)
            } else {
                within.filter(|at| self.open.get(*at).is_some_and(fits))
            }
        };
        let Some(partner) = partner else {
            return self.mismatch(tok, span);
        };
        while self.open.len() > partner + 1 {
            if let Some(open) = self.open.pop() {
                self.close_for(open, "The next bracket closes an outer one.");
            }
        }
        if let Some(open) = self.open.pop()
            && !open.taken_out
        {
            self.out.push((tok, span));
        }
    }

    /// A brace at the margin of an outer block closes that one: the inner ones were left open.
    fn close_inner_blocks(&mut self) {
        let margin = self.margin;
        let outer = |open: &Open| open.tok == Tok::OpenBrace && open.margin <= margin;
        if !self.margins.close_blocks || !self.open.iter().any(outer) {
            return;
        }
        while let Some(open) = self
            .open
            .pop_if(|open| open.tok == Tok::OpenBrace && open.margin > margin)
        {
            self.close_for(
                open,
                "The brace on the next line closes the block around it.",
            );
        }
    }

    /// Where braces close nothing: one that stands further in than its block, or right after another, is the one.
    fn is_one_too_many(&self, tokens: &[Placed], at: usize) -> bool {
        let Some(top) = self
            .open
            .last()
            .filter(|top| self.margins.open_blocks && top.tok == Tok::OpenBrace)
        else {
            return false;
        };
        if at == self.line_begins {
            return top.inner.is_some_and(|inner| inner > top.margin) && self.margin > top.margin;
        }
        let after_another = at.checked_sub(1).and_then(|before| tokens.get(before));
        after_another.is_some_and(|(tok, _)| *tok == Tok::CloseBrace) && top.inner.is_some()
    }

    /// `)` where `[` is open, or a bracket that closes nothing.
    fn mismatch(&mut self, tok: Tok, span: Span) {
        let other = self
            .open
            .last()
            .filter(|open| matches!(open.tok, Tok::OpenRound | Tok::OpenSquare));
        if let Some(open) = other
            && matches!(tok, Tok::CloseRound | Tok::CloseSquare)
        {
            let (begun, wanted, taken_out) = (open.span, partner_of(open.tok), open.taken_out);
            let message = format!(
                "`{}` opens here and `{}` closes it.",
                sign(open.tok),
                sign(tok)
            );
            self.messages.push(
                Diagnostic::error(Code::BracketUnmatched, span, message)
                    .at("closed here")
                    .see(begun, "opened here")
                    .write(sign(wanted)),
            );
            self.open.pop();
            if !taken_out {
                self.out.push((wanted, span));
            }
            return;
        }
        let message = format!(
            "This `{}` closes nothing: no bracket is open before it.",
            sign(tok)
        );
        self.messages.push(
            Diagnostic::error(Code::BracketUnmatched, span, message)
                .help("Leave it out, or open the bracket where its part begins."),
        );
    }

    fn middle(&mut self, tok: Tok, span: Span) {
        while self
            .open
            .last()
            .is_some_and(|open| open.tok != Tok::TextHead)
        {
            if let Some(open) = self.open.pop() {
                self.close_for(open, "The braces in the text end there.");
            }
        }
        self.out.push((tok, span));
    }

    /// Puts the missing bracket after the last token.
    fn close_for(&mut self, open: Open, why: &'static str) {
        if open.taken_out {
            return;
        }
        let closer = partner_of(open.tok);
        let end = self.out.last().map_or(open.span, |(_, span)| span.after());
        // Where brackets are too deep anyway, one of them is enough to speak of.
        if !self.told_deep || self.open.is_empty() {
            let message = format!("This `{}` is never closed.", sign(open.tok));
            self.messages.push(
                Diagnostic::error(Code::BracketUnmatched, open.span, message)
                    .at("opened here")
                    .see(end, format!("`{}` belongs here", sign(closer)))
                    .note(why)
                    .help(format!("Write `{}` there.", sign(closer)))
                    .offer(end, sign(closer)),
            );
        }
        self.out.push((closer, end));
    }

    fn newline(&mut self, tokens: &[Placed], at: usize, span: Span) {
        let Some(&(next, next_span)) = tokens.get(at + 1) else {
            self.out.push((Tok::Newline, span));
            return;
        };
        let column = self.column(next_span);
        let sentence = begins_sentence(self.text, tokens, at + 1);
        if sentence {
            self.close_round();
            if self.margins.close_blocks {
                self.close_blocks(column);
            }
            if self.margins.open_blocks {
                self.open_block(tokens, at, column, span);
            }
        }
        if let Some(open) = self.open.last_mut()
            && open.inner.is_none()
            && next != Tok::CloseBrace
        {
            open.inner = Some(column);
        }
        self.out.push((Tok::Newline, span));
        self.margin = column;
        self.line_begins = at + 1;
    }

    /// A line that begins as a sentence closes what is open in the sentence before.
    fn close_round(&mut self) {
        while self
            .open
            .last()
            .is_some_and(|open| open.tok != Tok::OpenBrace)
        {
            if let Some(open) = self.open.pop() {
                self.close_for(open, "The next line begins another sentence.");
            }
        }
    }

    fn close_blocks(&mut self, column: usize) {
        while let Some(open) = self.open.last()
            && open.inner.is_some_and(|inner| inner > open.margin)
            && column <= open.margin
        {
            if let Some(open) = self.open.pop() {
                self.close_for(
                    open,
                    "The sentence after it stands outside the block again.",
                );
            }
        }
    }

    /// A block sentence without its brace, followed by a line set further in.
    fn open_block(&mut self, tokens: &[Placed], newline: usize, column: usize, span: Span) {
        let line = tokens.get(self.line_begins..newline).unwrap_or(&[]);
        let braced = line
            .iter()
            .any(|(tok, _)| matches!(tok, Tok::OpenBrace | Tok::CloseBrace));
        if braced
            || column <= self.margin
            || !super::starts::takes_block(self.text, tokens, self.line_begins)
        {
            return;
        }
        let place = self.out.last().map_or(span, |(_, span)| span.after());
        self.messages.push(
            Diagnostic::error(
                Code::BracketUnmatched,
                place,
                "This sentence takes a block, and its `{` is missing.",
            )
            .at("`{` belongs here")
            .help("Write ` {` at the end of this line.")
            .offer(place, " {"),
        );
        self.out.push((Tok::OpenBrace, place));
        self.open.push(Open {
            tok: Tok::OpenBrace,
            span: place,
            taken_out: false,
            margin: self.margin,
            inner: None,
        });
    }

    fn column(&self, span: Span) -> usize {
        let before = self.text.get(..span.start as usize).unwrap_or("");
        let indent = before
            .bytes()
            .rev()
            .take_while(|b| *b == b' ' || *b == b'\t')
            .count();
        let at_start = before.len() == indent
            || before.as_bytes().get(before.len() - indent - 1) == Some(&b'\n');
        if at_start { indent } else { usize::MAX / 2 }
    }
}
