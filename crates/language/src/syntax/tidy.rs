//! The one canonical layout. It works on tokens and comments: it sets indents and single spaces, and never aligns, joins
//! or splits what the writer laid out, so that a comparison of two revisions shows only what changed.
//!
//! Two spaces a block, four more for a continuation line, one blank line at most, `} else {` and `} until …` on one line.
//! A block of one sentence may stay on its line.

use super::messages::Messages;
use super::tokens::{Comment, Placed, Tok, Trivia};
use super::tree::{File, Link};
use super::{parse, prepare};
use crate::report::{Diagnostic, FileId, SourceMap};

/// The text in the canonical layout, or what is wrong with it: a text with slips is left alone.
pub fn tidy(text: &str) -> Result<String, Vec<Diagnostic>> {
    let mut map = SourceMap::new();
    let file = map.add("", text, false);
    tidy_file(&map, file)
}

/// The same for a file of a map, so that the messages point into it.
pub fn tidy_file(map: &SourceMap, file: FileId) -> Result<String, Vec<Diagnostic>> {
    let parsed = parse(map, file);
    if !parsed.diagnostics.is_empty() {
        return Err(parsed.diagnostics);
    }
    let text = map.text(file);
    let (tokens, trivia) = prepare(text, file, &mut Messages::default());
    Ok(Layout::new(text, &tokens, &trivia).run())
}

/// What a tree says, its places left out: two texts with the same meaning are the same draft in two layouts.
pub fn meaning(tree: &File) -> String {
    let written = format!("{tree:?}");
    let mut out = String::with_capacity(written.len());
    let mut quoted = false;
    let mut letters = written.chars().peekable();
    while let Some(letter) = letters.next() {
        out.push(letter);
        match letter {
            '\\' if quoted => out.extend(letters.next()),
            '"' => quoted = !quoted,
            // A place is written `0:12..15`.
            ':' if !quoted && letters.peek().is_some_and(char::is_ascii_digit) => {
                while letters
                    .next_if(|c| c.is_ascii_digit() || *c == '.')
                    .is_some()
                {}
            }
            _ => {}
        }
    }
    out
}

struct Layout<'a> {
    text: &'a str,
    tokens: &'a [Placed],
    comments: std::iter::Peekable<std::slice::Iter<'a, Comment>>,
    blank_lines: &'a [u32],
    out: String,
    /// Open braces: whether each stays on its line.
    blocks: Vec<bool>,
    /// The token before, without ends.
    before: Option<Placed>,
    /// The token before that.
    earlier: Option<Tok>,
    /// The sentence has ended before the present token.
    ended: bool,
    /// The token before is the first of its sentence.
    after_first: bool,
    /// The token before is a `-` that is the sign of one figure.
    after_sign: bool,
    /// Options are being listed, after `with`.
    options: bool,
}

impl<'a> Layout<'a> {
    fn new(text: &'a str, tokens: &'a [Placed], trivia: &'a Trivia) -> Self {
        Self {
            text,
            tokens,
            comments: trivia.comments.iter().peekable(),
            blank_lines: &trivia.blank_lines,
            out: String::with_capacity(text.len()),
            blocks: Vec::new(),
            before: None,
            earlier: None,
            ended: true,
            after_first: false,
            after_sign: false,
            options: false,
        }
    }

    fn run(mut self) -> String {
        for (at, &(tok, span)) in self.tokens.iter().enumerate() {
            if tok == Tok::End {
                self.ended = true;
                continue;
            }
            self.gap((tok, span));
            match tok {
                Tok::Link(link) => self.out.push_str(link.word()),
                _ => self.out.push_str(self.text.get(span.range()).unwrap_or("")),
            }
            match tok {
                Tok::OpenBrace => self.blocks.push(self.stays_on_line(at)),
                Tok::CloseBrace => drop(self.blocks.pop()),
                Tok::Link(Link::With) => self.options = true,
                _ => {}
            }
            let first = self.ended || self.before.is_some_and(|(tok, _)| tok == Tok::OpenBrace);
            self.after_sign = tok == Tok::Minus && self.is_sign();
            self.options &= !first;
            self.after_first = first;
            self.ended = false;
            self.earlier = self.before.map(|(tok, _)| tok);
            self.before = Some((tok, span));
        }
        self.comments_until(u32::MAX, 0);
        if !self.out.is_empty() {
            self.out.push('\n');
        }
        self.out
    }

    /// What stands between the token before and this one.
    fn gap(&mut self, (tok, span): Placed) {
        let Some((before, before_span)) = self.before else {
            let commented = self.comments_until(span.start, 0);
            if commented {
                self.new_line(0, self.blank_before(span.start));
            }
            return;
        };
        let inline = self.blocks.last().copied().unwrap_or(false);
        let opened = before == Tok::OpenBrace;
        let closes = tok == Tok::CloseBrace;
        let depth = self.blocks.len() - usize::from(closes && !self.blocks.is_empty());
        let structural = !inline && (opened || closes || self.ended);
        // A comment before a closing brace belongs to the block.
        let continued = !structural && !inline;
        let comment_indent = if continued {
            2 * depth + 4
        } else {
            2 * self.blocks.len()
        };
        let commented = self.comments_until(span.start, comment_indent);
        if structural {
            let blank = !opened && !closes && self.blank_before(span.start);
            let blank = blank || (commented && !closes && self.blank_before(span.start));
            self.new_line(2 * depth, blank);
        } else if commented
            || (continued && self.breaks(before_span.end, span.start) && !joins(before, tok))
        {
            let indent = if joins(before, tok) {
                2 * depth
            } else {
                2 * depth + 4
            };
            self.new_line(indent, false);
        } else if self.spaced(before, tok, before_span.end == span.start) {
            self.out.push(' ');
        }
    }

    /// Writes the comments that stand before a byte; says whether there were any.
    fn comments_until(&mut self, byte: u32, indent: usize) -> bool {
        let mut any = false;
        while let Some(comment) = self.comments.next_if(|comment| comment.span.start < byte) {
            let letters = self.text.get(comment.span.range()).unwrap_or("");
            if comment.own_line {
                let first = self.out.is_empty() || (!any && self.out.ends_with('{'));
                let blank = !first && self.blank_before(comment.span.start);
                self.new_line(indent, blank);
            } else {
                self.out.push(' ');
            }
            self.out.push_str(letters);
            any = true;
        }
        any
    }

    /// Whether a blank line stands right above the line of a byte.
    fn blank_before(&self, byte: u32) -> bool {
        let index = self.blank_lines.partition_point(|line| *line < byte);
        let Some(line) = index.checked_sub(1).and_then(|at| self.blank_lines.get(at)) else {
            return false;
        };
        let between = self.text.get(*line as usize..byte as usize).unwrap_or("");
        between.trim().is_empty()
    }

    fn new_line(&mut self, indent: usize, blank: bool) {
        if self.out.is_empty() {
            return;
        }
        self.out.push_str(if blank { "\n\n" } else { "\n" });
        self.out.extend(std::iter::repeat_n(' ', indent));
    }

    fn breaks(&self, from: u32, to: u32) -> bool {
        let between = self.text.get(from as usize..to as usize);
        between.is_some_and(|gap| gap.contains('\n'))
    }

    /// Whether the block that opens at a token stays on its line: it is written so and holds one sentence, or nothing.
    fn stays_on_line(&self, at: usize) -> bool {
        let (mut depth, mut sentences) = (0_usize, 0);
        let mut last = None;
        for (tok, span) in self.tokens.get(at..).unwrap_or(&[]) {
            if last.is_some_and(|end| self.breaks(end, span.start)) {
                let empty = depth == 1 && sentences == 0 && *tok == Tok::CloseBrace;
                return empty && last.is_some_and(|end| !self.commented(end, span.start));
            }
            match tok {
                Tok::OpenBrace => depth += 1,
                Tok::CloseBrace if depth == 1 => return sentences <= 1,
                Tok::CloseBrace => depth -= 1,
                Tok::End if depth == 1 => sentences += 1,
                _ => {}
            }
            last = Some(span.end);
        }
        false
    }

    fn commented(&self, from: u32, to: u32) -> bool {
        self.text
            .get(from as usize..to as usize)
            .is_some_and(|gap| gap.contains('#'))
    }

    /// Whether a space stands between two tokens of one line.
    fn spaced(&self, before: Tok, tok: Tok, tight: bool) -> bool {
        match (before, tok) {
            (Tok::OpenRound | Tok::OpenSquare | Tok::TextHead | Tok::TextMiddle, _)
            | (
                _,
                Tok::CloseRound | Tok::CloseSquare | Tok::TextMiddle | Tok::TextTail | Tok::Comma,
            )
            | (Tok::OpenBrace, Tok::CloseBrace) => false,
            // `1/2` is written as one figure.
            (Tok::Figure, Tok::Slash) | (Tok::Slash, Tok::Figure) => !tight,
            (Tok::Minus, _) => !self.after_sign,
            _ => true,
        }
    }

    /// Whether a `-` after the token before is the sign of one figure rather than a subtraction.
    fn is_sign(&self) -> bool {
        let Some((before, _)) = self.before else {
            return true;
        };
        let option =
            self.options && matches!(self.earlier, Some(Tok::Link(Link::With) | Tok::Comma));
        let after_word = before == Tok::Name && (self.after_first || option);
        after_word
            || before.is_operator()
            || matches!(
                before,
                Tok::OpenRound
                    | Tok::OpenSquare
                    | Tok::OpenBrace
                    | Tok::TextHead
                    | Tok::TextMiddle
                    | Tok::Comma
                    | Tok::Link(_)
                    | Tok::Direction(_)
                    | Tok::If
            )
    }
}

/// Words that follow a closing brace, or a brace that follows its sentence, on the same line.
fn joins(before: Tok, tok: Tok) -> bool {
    tok == Tok::OpenBrace
        || (before == Tok::CloseBrace && matches!(tok, Tok::Otherwise | Tok::Link(Link::Until)))
}
