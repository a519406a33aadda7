//! Sentences with their blocks, comments and blank lines, ready to be written; and which of them stay as they are.

use super::notes::{Mark, Notes};
use crate::report::Span;
use crate::syntax::starts::{KINDS, NEEDS, PIECE_SENTENCES, SEAM_SENTENCES, SENTENCES};
use crate::syntax::tokens::{Comment, Placed, Tok, Trivia};
use crate::syntax::tree::Link;
use std::iter::Peekable;
use std::ops::Range;

/// A comment on a line of its own, or what else stands above a sentence.
#[derive(Debug)]
pub(super) struct Line<'t> {
    /// A blank line stands above it.
    pub blank: bool,
    pub comment: &'t str,
}

/// One word or sign as it is written.
#[derive(Debug)]
pub(super) struct Cell<'t> {
    pub text: std::borrow::Cow<'t, str>,
    /// Nothing stands between it and the one before.
    pub glued: bool,
    /// A line may begin with it.
    pub mark: Option<Mark>,
    /// A line does begin with it: a comment stands before it.
    pub forced: bool,
    /// Comments on lines of their own above it.
    pub above: Vec<&'t str>,
    /// The comment behind it.
    pub beside: Option<&'t str>,
    pub tok: Tok,
    /// Letters that it takes, with the space before it.
    pub width: usize,
}

#[derive(Debug)]
pub(super) enum Part<'t> {
    Words(Vec<Cell<'t>>),
    Block(Block<'t>),
}

/// What stands between two braces; those are words of the sentence.
#[derive(Debug)]
pub(super) struct Block<'t> {
    /// The comment behind the opening brace.
    pub beside: Option<&'t str>,
    pub items: Vec<Item<'t>>,
    /// Comments above the closing brace.
    pub tail: Vec<Line<'t>>,
}

#[derive(Debug)]
pub(super) enum Body<'t> {
    Parts(Vec<Part<'t>>),
    /// As it was, whole lines of it.
    Kept(&'t str),
}

/// A sentence.
#[derive(Debug)]
pub(super) struct Item<'t> {
    pub above: Vec<Line<'t>>,
    /// A blank line stands above it.
    pub blank: bool,
    pub body: Body<'t>,
    pub beside: Option<&'t str>,
    /// The first word.
    pub first: Tok,
    pub word: &'t str,
    bytes: Range<usize>,
    /// The byte up to which what is wrong is wrong with it.
    reach: usize,
    /// It cannot be read, or stands on one line with what cannot.
    stays: bool,
}

/// The sentences of a file. What is wrong in it stands at these places.
pub(super) fn items<'t>(
    text: &'t str,
    tokens: &'t [Placed],
    trivia: &'t Trivia,
    notes: &'t Notes,
    wrong: &[Span],
) -> Option<Block<'t>> {
    let wrong = outside_comments(wrong, &trivia.comments);
    let mut gatherer = Gatherer {
        text,
        tokens,
        comments: trivia.comments.iter().peekable(),
        blank_lines: &trivia.blank_lines,
        notes,
        wrong: &wrong,
        next: 0,
        read_to: 0,
    };
    let (mut items, tail) = gatherer.items();
    let whole = 0..text.len();
    gatherer.settle(&mut items, whole);
    let block = Block {
        beside: None,
        items,
        tail,
    };
    gatherer.peek().is_none().then_some(block)
}

/// Where sentences are wrong: what is wrong with a comment alone leaves its sentence sound. What is missing before a comment
/// is missing in the sentence, though the comment stands right there.
fn outside_comments(wrong: &[Span], comments: &[Comment]) -> Vec<usize> {
    let outside = wrong.iter().filter(|place| {
        let at = comments.partition_point(|comment| comment.span.end <= place.start);
        comments.get(at).is_none_or(|comment| {
            place.start < comment.span.start
                || (place.is_empty() && place.start == comment.span.start)
        })
    });
    outside.map(|place| place.start as usize).collect()
}

struct Gatherer<'t, 'w> {
    text: &'t str,
    tokens: &'t [Placed],
    comments: Peekable<std::slice::Iter<'t, Comment>>,
    blank_lines: &'t [u32],
    notes: &'t Notes,
    /// Where something is wrong, in order.
    wrong: &'w [usize],
    /// The next token.
    next: usize,
    /// The byte behind what was taken last, comments included.
    read_to: usize,
}

impl<'t> Gatherer<'t, '_> {
    /// Sentences up to a closing brace or the end, and the comments behind the last.
    fn items(&mut self) -> (Vec<Item<'t>>, Vec<Line<'t>>) {
        let mut items = Vec::new();
        loop {
            while self.peek().is_some_and(|(tok, _)| tok == Tok::End) {
                self.next += 1;
            }
            let end = self
                .peek()
                .map_or(self.text.len(), |(_, span)| span.start as usize);
            let mut above = Vec::new();
            while let Some(comment) = self.comments.next_if(|c| (c.span.start as usize) < end) {
                let begin = comment.span.start as usize;
                if let Some(junk) = self.junk(begin) {
                    items.push(self.left_over(junk, std::mem::take(&mut above)));
                }
                above.push(Line {
                    blank: self.blank_above(begin),
                    comment: self.slice(comment.span),
                });
                self.read_to = comment.span.end as usize;
            }
            if let Some(junk) = self.junk(end) {
                items.push(self.left_over(junk, std::mem::take(&mut above)));
            }
            match self.peek() {
                None | Some((Tok::CloseBrace, _)) => return (items, above),
                Some(_) => items.push(self.item(above)),
            }
        }
    }

    /// Letters that belong to no sentence.
    fn left_over(&mut self, bytes: Range<usize>, above: Vec<Line<'t>>) -> Item<'t> {
        self.read_to = bytes.end;
        Item {
            above,
            blank: self.blank_above(bytes.start),
            body: Body::Parts(Vec::new()),
            beside: None,
            first: Tok::Damaged,
            word: "",
            reach: bytes.end,
            bytes,
            stays: true,
        }
    }

    fn item(&mut self, above: Vec<Line<'t>>) -> Item<'t> {
        let (first, span) = self.peek().unwrap_or((Tok::End, Span::default()));
        let start = span.start as usize;
        let mut item = Item {
            above,
            blank: self.blank_above(start),
            body: Body::Parts(Vec::new()),
            beside: None,
            first,
            word: self.slice(span),
            bytes: start..start,
            reach: start,
            stays: false,
        };
        self.read_to = start;
        let mut inner = Vec::new();
        let parts = self.parts(&mut item, &mut inner);
        item.bytes.end = self.read_to.max(start);
        while self.peek().is_some_and(|(tok, _)| tok == Tok::End) {
            self.next += 1;
        }
        // What is found missing stands behind the sentence.
        item.reach = match self.peek() {
            Some((Tok::CloseBrace, span)) => span.start as usize + 1,
            Some((_, span)) => span.start as usize,
            None => self.text.len() + 1,
        };
        let from = self.wrong.partition_point(|place| *place < start);
        let wrong = self.wrong.get(from..).unwrap_or_default().iter();
        item.stays |= wrong.take_while(|place| **place < item.reach).any(|place| {
            !inner
                .iter()
                .any(|bytes: &Range<usize>| bytes.contains(place))
        });
        let next = self
            .peek()
            .map_or(self.text.len(), |(_, span)| span.start as usize);
        let beside = |c: &&Comment| !c.own_line && (c.span.start as usize) < next;
        if let Some(comment) = self.comments.next_if(beside) {
            item.stays |= self.junk(comment.span.start as usize).is_some();
            item.beside = Some(self.slice(comment.span));
            self.read_to = comment.span.end as usize;
        }
        item.body = Body::Parts(parts);
        item
    }

    /// The words and blocks of a sentence, and where the sentences in its blocks stand.
    fn parts(&mut self, item: &mut Item<'t>, inner: &mut Vec<Range<usize>>) -> Vec<Part<'t>> {
        let mut parts = Vec::new();
        let mut words = Words::default();
        while let Some((tok, span)) = self.peek() {
            if tok == Tok::End || (tok == Tok::CloseBrace && words.before != Some(Tok::OpenBrace)) {
                break;
            }
            self.comments_before(span, &mut words, item);
            item.stays |= self.junk(span.start as usize).is_some();
            self.word(&mut words);
            let empty = self.peek().is_some_and(|(next, after)| {
                let comment = self.comments.peek();
                next == Tok::CloseBrace && comment.is_none_or(|c| c.span.start > after.start)
            });
            if tok == Tok::OpenBrace && !empty {
                parts.push(Part::Words(std::mem::take(&mut words).cells));
                let open = self.read_to;
                let block = self.block(open, item, inner);
                parts.push(Part::Block(block));
                if self.peek().is_some_and(|(tok, _)| tok == Tok::CloseBrace) {
                    item.stays |= self
                        .peek()
                        .is_some_and(|(_, at)| self.junk(at.start as usize).is_some());
                    self.word(&mut words);
                }
            }
        }
        if !words.cells.is_empty() {
            parts.push(Part::Words(words.cells));
        }
        parts
    }

    fn block(
        &mut self,
        open: usize,
        item: &mut Item<'t>,
        inner: &mut Vec<Range<usize>>,
    ) -> Block<'t> {
        let next = self
            .peek()
            .map_or(self.text.len(), |(_, span)| span.start as usize);
        let comment = self
            .comments
            .next_if(|c| !c.own_line && (c.span.start as usize) < next);
        if let Some(comment) = comment {
            item.stays |= self.junk(comment.span.start as usize).is_some();
            self.read_to = comment.span.end as usize;
        }
        let (mut items, tail) = self.items();
        let close = self
            .peek()
            .map_or(self.text.len(), |(_, span)| span.start as usize);
        item.stays |= self.settle(&mut items, open..close);
        inner.extend(items.iter().map(|item| item.bytes.start..item.reach));
        Block {
            beside: comment.map(|comment| self.slice(comment.span)),
            items,
            tail,
        }
    }

    /// Comments inside a sentence: the line ends with each.
    fn comments_before(&mut self, token: Span, words: &mut Words<'t>, item: &mut Item<'t>) {
        while let Some(comment) = self.comments.next_if(|c| c.span.start < token.start) {
            item.stays |= self.junk(comment.span.start as usize).is_some();
            let letters = self.slice(comment.span);
            match words.cells.last_mut() {
                Some(last) if !comment.own_line && words.above.is_empty() => {
                    last.beside = Some(letters);
                }
                _ => words.above.push(letters),
            }
            words.forced = true;
            self.read_to = comment.span.end as usize;
        }
    }

    /// Takes the next word, or a whole text, to the words of the sentence.
    fn word(&mut self, words: &mut Words<'t>) {
        let Some((tok, span)) = self.peek() else {
            return;
        };
        let note = self.notes.at(span);
        words.forced |= self.parts_words(words, tok, span);
        words.mark = words.mark.into_iter().chain(note.mark).min();
        words.opens += usize::from(note.opens);
        words.by |= note.by;
        let mut last = span;
        self.next += 1;
        if tok == Tok::TextHead {
            let mut depth = 1;
            while depth > 0
                && let Some((tok, span)) = self.peek()
            {
                depth += usize::from(tok == Tok::TextHead);
                depth -= usize::from(tok == Tok::TextTail);
                last = span;
                self.next += 1;
            }
        }
        // What was put in to mend a bracket takes no letters.
        if last.start < last.end {
            self.read_to = last.end as usize;
        }
        let closes = usize::from(self.notes.closed_behind(last));
        if note.dropped {
            if let Some(last) = words.cells.last_mut() {
                last.close(closes);
            }
        } else {
            let whole = self.text.get(span.start as usize..last.end as usize);
            let letters = match tok {
                Tok::Link(link) => link.word(),
                _ => whole.unwrap_or(""),
            };
            let tight = note.tight || matches!(tok, Tok::OpenRound | Tok::OpenSquare);
            let glued = note.glued
                || words.tight
                || matches!(tok, Tok::CloseRound | Tok::CloseSquare | Tok::Comma)
                || (words.before == Some(Tok::OpenBrace) && tok == Tok::CloseBrace);
            let mark = words
                .mark
                .filter(|_| words.may_break(tok, letters, self.peek()));
            words.push(tok, letters, glued, mark);
            if let Some(last) = words.cells.last_mut() {
                last.close(closes);
            }
            words.tight = tight;
            words.earlier = words.before;
            words.before = Some(tok);
        }
        match tok {
            Tok::OpenRound | Tok::OpenSquare if !note.dropped => words.depth += 1,
            Tok::CloseRound | Tok::CloseSquare if !note.dropped => {
                words.depth = words.depth.saturating_sub(1);
            }
            _ => {}
        }
    }

    /// `to`, `level` and `of`, or `of`, `the` and `way`, which on several lines are words apart, and on one line would be read
    /// as one.
    fn parts_words(&self, words: &Words<'_>, tok: Tok, span: Span) -> bool {
        let after = self.tokens.get(self.next + 1).copied();
        let letters = self.slice(span);
        match (words.before, tok, after) {
            (Some(Tok::Link(Link::To)), Tok::Name, Some((Tok::Link(Link::Of), _))) => {
                letters == "level"
            }
            (Some(Tok::Link(Link::Of)), Tok::Name, Some((Tok::Name, way))) => {
                letters == "the" && self.slice(way) == "way"
            }
            _ => false,
        }
    }

    /// Marks what shares a line with what stays as it is, and keeps its lines; says whether the braces round it do.
    fn settle(&self, items: &mut Vec<Item<'t>>, within: Range<usize>) -> bool {
        if !items.iter().any(|item| item.stays) {
            return false;
        }
        let share = |from: usize, to: usize| {
            !self
                .text
                .get(from..to)
                .is_some_and(|gap| gap.contains('\n'))
        };
        for turn in [false, true] {
            for n in 1..items.len() {
                let n = if turn { items.len() - n } else { n };
                let Some([one, other]) = items.get_mut(n - 1..=n) else {
                    continue;
                };
                if (one.stays || other.stays) && share(one.bytes.end, other.bytes.start) {
                    (one.stays, other.stays) = (true, true);
                }
            }
        }
        let is_file = within.start == 0 && within.end == self.text.len();
        let first = items
            .first()
            .is_some_and(|item| item.stays && share(within.start, item.bytes.start));
        let last = items
            .last()
            .is_some_and(|item| item.stays && share(item.bytes.end, within.end));
        let mut at = 0;
        while at < items.len() {
            let mut bytes = match items.get(at) {
                Some(item) if item.stays => item.bytes.clone(),
                _ => {
                    at += 1;
                    continue;
                }
            };
            while let Some(next) = items.get(at + 1)
                && next.stays
                && share(bytes.end, next.bytes.start)
            {
                bytes.end = next.bytes.end;
                items.remove(at + 1);
            }
            if let Some(item) = items.get_mut(at) {
                item.body = Body::Kept(self.whole_lines(&bytes));
                item.beside = None;
            }
            at += 1;
        }
        !is_file && (first || last)
    }

    fn whole_lines(&self, bytes: &Range<usize>) -> &'t str {
        let before = self.text.get(..bytes.start).unwrap_or("");
        let start = before.rfind('\n').map_or(0, |at| at + 1);
        let after = self.text.get(bytes.end..).unwrap_or("");
        let end = after
            .find('\n')
            .map_or(self.text.len(), |at| bytes.end + at);
        let lines = self.text.get(start..end).unwrap_or("");
        lines.trim_end_matches([' ', '\t', '\r'])
    }

    /// What stands before a byte and was not taken: letters that no token has.
    fn junk(&self, until: usize) -> Option<Range<usize>> {
        let gap = self.text.get(self.read_to..until)?;
        let left = gap.trim_start_matches(|c: char| c.is_ascii_whitespace());
        let start = until - left.len();
        let junk = left.trim_end_matches(|c: char| c.is_ascii_whitespace());
        (!junk.is_empty()).then(|| start..start + junk.len())
    }

    /// Whether a blank line stands right above the line of a byte.
    fn blank_above(&self, byte: usize) -> bool {
        let index = self
            .blank_lines
            .partition_point(|line| (*line as usize) < byte);
        let Some(line) = index.checked_sub(1).and_then(|at| self.blank_lines.get(at)) else {
            return false;
        };
        let between = self.text.get(*line as usize..byte).unwrap_or("");
        between.trim().is_empty()
    }

    fn peek(&self) -> Option<Placed> {
        self.tokens.get(self.next).copied()
    }

    fn slice(&self, span: Span) -> &'t str {
        self.text.get(span.range()).unwrap_or("")
    }
}

/// The words of a sentence gathered so far, and what is known of the next.
#[derive(Default)]
struct Words<'t> {
    cells: Vec<Cell<'t>>,
    above: Vec<&'t str>,
    forced: bool,
    mark: Option<Mark>,
    opens: usize,
    by: bool,
    /// Nothing stands behind the last one.
    tight: bool,
    before: Option<Tok>,
    earlier: Option<Tok>,
    /// Round and square brackets that are open.
    depth: usize,
}

impl<'t> Words<'t> {
    fn push(&mut self, tok: Tok, letters: &'t str, glued: bool, mark: Option<Mark>) {
        let by = if std::mem::take(&mut self.by) {
            "by "
        } else {
            ""
        };
        let opens = "(".repeat(std::mem::take(&mut self.opens));
        let text = match (by, opens.as_str()) {
            ("", "") => letters.into(),
            _ => format!("{by}{opens}{letters}").into(),
        };
        let forced = std::mem::take(&mut self.forced);
        let glued = (glued && by.is_empty()) || self.cells.is_empty();
        let mut cell = Cell {
            text,
            glued,
            mark,
            forced,
            above: std::mem::take(&mut self.above),
            beside: None,
            tok,
            width: usize::from(!glued),
        };
        cell.width += cell.text.chars().count();
        self.cells.push(cell);
        self.mark = None;
    }

    /// Whether a line may begin with the next word and go on the sentence. No line begins as a sentence does.
    fn may_break(&self, tok: Tok, letters: &str, next: Option<Placed>) -> bool {
        let named = match next {
            None | Some((Tok::Comma | Tok::CloseRound | Tok::CloseSquare | Tok::End, _)) => true,
            Some((Tok::Link(Link::Of), _)) => !matches!(letters, "pieces" | "seams"),
            Some((Tok::Link(link), _)) => !matches!(link, Link::At | Link::Between | Link::Along),
            Some((tok, _)) => tok.is_operator() || matches!(tok, Tok::Direction(_)),
        };
        let begins_sentence = tok == Tok::If
            || (tok == Tok::Name
                && !named
                && [KINDS, SENTENCES, PIECE_SENTENCES, SEAM_SENTENCES]
                    .iter()
                    .any(|words| words.contains(&letters)));
        let carries_on =
            tok.is_operator() || matches!(tok, Tok::Link(_) | Tok::Direction(_) | Tok::Otherwise);
        let needs = tok == Tok::Name
            && letters == NEEDS
            && next.is_some_and(|(tok, _)| tok == Tok::OpenRound);
        let asked_for = self
            .before
            .is_some_and(|tok| matches!(tok, Tok::Comma | Tok::Link(_)) || tok.is_operator());
        self.before.is_some()
            && (carries_on || needs || ((self.depth > 0 || asked_for) && !begins_sentence))
    }
}

impl Cell<'_> {
    fn close(&mut self, brackets: usize) {
        if brackets > 0 {
            self.text.to_mut().push_str(&")".repeat(brackets));
            self.width += brackets;
        }
    }
}
