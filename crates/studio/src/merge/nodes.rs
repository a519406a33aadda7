//! A draft as its sentences, each with the comments and the blank line above it and the sentences in its blocks. Places are
//! bytes of the text, which is tidy.

use oaktag_language::report::FileId;
use oaktag_language::syntax::messages::Messages;
use oaktag_language::syntax::prepare;
use oaktag_language::syntax::tokens::{Comment, Placed, Tok, Trivia};
use oaktag_language::syntax::tree::Link;
use std::ops::Range;

/// The number of a sentence, one over all versions of a draft: what came from one sentence has one number.
pub(super) type Id = usize;

/// A comment on a line of its own.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Line {
    /// A blank line stands above it.
    pub blank: bool,
    pub comment: String,
}

/// A sentence, or what of it stands before, between or behind its blocks.
#[derive(Clone, Debug, Default)]
pub(super) struct Words {
    /// As laid out; lines after the first are counted from the sentence's own margin.
    pub text: String,
    /// Its words and signs, one space between: two that are equal say the same.
    pub meaning: String,
    /// The comment behind it.
    pub beside: Option<String>,
    /// Where it stands.
    pub at: Range<usize>,
}

impl Words {
    /// Whether it says the same with the same comment, however it is laid out.
    pub(super) fn is(&self, other: &Self) -> bool {
        self.meaning == other.meaning && self.beside == other.beside
    }
}

#[derive(Clone, Debug)]
pub(super) enum Part {
    Words(Words),
    Block(Block),
}

/// What stands between two braces, or in a file.
#[derive(Clone, Debug, Default)]
pub(super) struct Block {
    pub nodes: Vec<Node>,
    /// Comments behind the last sentence.
    pub tail: Vec<Line>,
}

/// What a sentence is about, by its first words.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct About {
    /// What begins it; of all that draws, `draw`, and of a measure or choice, `measure`.
    pub word: String,
    /// What it draws or declares; of a sentence in a piece or a seam, the names in it.
    pub names: Vec<String>,
    /// No two sentences of one block are about the same.
    pub is_one: bool,
}

/// A sentence.
#[derive(Clone, Debug)]
pub(super) struct Node {
    pub id: Id,
    pub about: About,
    pub above: Vec<Line>,
    /// A blank line stands above it, under its comments.
    pub blank: bool,
    pub parts: Vec<Part>,
    /// All of it as laid out, its comment behind it.
    pub laid_out: String,
}

impl Node {
    /// The words before its first block.
    pub(super) fn head(&self) -> &str {
        match self.parts.first() {
            Some(Part::Words(words)) => &words.text,
            _ => "",
        }
    }

    /// Its own words, what stands in its blocks left out.
    pub(super) fn words(&self) -> impl Iterator<Item = &Words> {
        self.parts.iter().filter_map(|part| match part {
            Part::Words(words) => Some(words),
            Part::Block(_) => None,
        })
    }

    /// Its blocks in order.
    pub(super) fn blocks(&self) -> impl Iterator<Item = &Block> {
        self.parts.iter().filter_map(|part| match part {
            Part::Block(block) => Some(block),
            Part::Words(_) => None,
        })
    }

    /// Whether it is one sentence without a block.
    pub(super) fn is_leaf(&self) -> bool {
        self.blocks().next().is_none()
    }

    /// Whether its own words are those of another.
    pub(super) fn says(&self, other: &Node) -> bool {
        let (own, its) = (self.words(), other.words());
        self.parts.len() == other.parts.len() && own.zip(its).all(|(a, b)| a.is(b))
    }

    /// Whether it is the same with all that stands in it and above it.
    pub(super) fn is(&self, other: &Node) -> bool {
        self.above == other.above && self.blank == other.blank && self.means(other)
    }

    /// Whether it is the same with all that stands in it, whatever stands above it.
    pub(super) fn means(&self, other: &Node) -> bool {
        let blocks = || self.blocks().zip(other.blocks());
        self.says(other)
            && blocks().all(|(a, b)| {
                let nodes = || a.nodes.iter().zip(&b.nodes);
                a.tail == b.tail && a.nodes.len() == b.nodes.len() && nodes().all(|(a, b)| a.is(b))
            })
    }

    /// All that it says, in one row of words.
    pub(super) fn whole(&self) -> String {
        let mut out = String::new();
        for part in &self.parts {
            match part {
                Part::Words(words) => out.push_str(&words.meaning),
                Part::Block(block) => {
                    for node in &block.nodes {
                        out.push_str(&node.whole());
                    }
                }
            }
            out.push('\n');
        }
        out
    }
}

impl Block {
    /// Does something with every sentence, those in blocks behind the one they stand in.
    pub(super) fn each<'a>(&'a self, with: &mut dyn FnMut(&'a Node)) {
        for node in &self.nodes {
            with(node);
            for block in node.blocks() {
                block.each(with);
            }
        }
    }

    /// The same, with leave to change it.
    pub(super) fn each_mut(&mut self, with: &mut dyn FnMut(&mut Node)) {
        for node in &mut self.nodes {
            with(node);
            for part in &mut node.parts {
                if let Part::Block(block) = part {
                    block.each_mut(with);
                }
            }
        }
    }
}

/// The sentences of a text that is tidy and without fault.
pub(super) fn nodes(text: &str) -> Block {
    let (tokens, trivia) = prepare(text, FileId::default(), &mut Messages::default());
    let mut reading = Reading {
        text,
        tokens: &tokens,
        trivia: &trivia,
        next: 0,
        comment: 0,
    };
    reading.block("")
}

struct Reading<'t> {
    text: &'t str,
    tokens: &'t [Placed],
    trivia: &'t Trivia,
    /// The next token.
    next: usize,
    /// The next comment.
    comment: usize,
}

impl<'t> Reading<'t> {
    /// Sentences up to a closing brace or the end; `of` is what the sentence begins with that they stand in.
    fn block(&mut self, of: &str) -> Block {
        let mut nodes = Vec::new();
        loop {
            while self.peek().is_some_and(|(tok, _)| tok == Tok::End) {
                self.next += 1;
            }
            let end = self.start();
            let mut above = Vec::new();
            while let Some(comment) = self.comment_before(end) {
                above.push(Line {
                    blank: self.is_blank_above(comment.span.range().start),
                    comment: self.slice(comment.span.range()).to_owned(),
                });
            }
            match self.peek() {
                None | Some((Tok::CloseBrace, _)) => return Block { nodes, tail: above },
                Some(_) => nodes.push(self.node(above, of)),
            }
        }
    }

    fn node(&mut self, above: Vec<Line>, of: &str) -> Node {
        let (begin, start) = (self.next, self.start());
        let blank = self.is_blank_above(start);
        let mut parts = Vec::new();
        let mut about = None;
        while self.peek().is_some_and(|(tok, _)| tok != Tok::End) {
            let from = self.next;
            let opens = self.reaches_brace();
            let own = about.get_or_insert_with(|| {
                let head = self.tokens.get(begin..self.next).unwrap_or_default();
                self.about(head, of)
            });
            let word = own.word.clone();
            parts.push(Part::Words(self.words(from, opens)));
            if opens {
                parts.push(Part::Block(self.block(&word)));
            }
            if self.peek().is_none() {
                break;
            }
        }
        let taken = self.tokens.get(begin..self.next).unwrap_or_default();
        let end = taken.last().map_or(start, |(_, span)| span.range().end);
        let mut laid_out = self.dedented(start..end);
        while self.peek().is_some_and(|(tok, _)| tok == Tok::End) {
            self.next += 1;
        }
        if let Some(Part::Words(last)) = parts.last_mut()
            && last.beside.is_none()
        {
            last.beside = self.beside();
            if let Some(comment) = &last.beside {
                laid_out.push(' ');
                laid_out.push_str(comment);
            }
        }
        Node {
            id: 0,
            about: about.unwrap_or_default(),
            above,
            blank,
            parts,
            laid_out,
        }
    }

    /// Goes on to behind the next opening brace, or to the end of the sentence; says which.
    fn reaches_brace(&mut self) -> bool {
        while let Some((tok, _)) = self.peek().filter(|(tok, _)| *tok != Tok::End) {
            self.next += 1;
            if tok == Tok::OpenBrace {
                return true;
            }
        }
        false
    }

    /// The words from a token up to the next that was not taken; the comment behind an opening brace is theirs.
    fn words(&mut self, from: usize, opens: bool) -> Words {
        let own = self.tokens.get(from..self.next).unwrap_or_default();
        let start = own.first().map_or(0, |(_, span)| span.range().start);
        let end = own.last().map_or(start, |(_, span)| span.range().end);
        let mut meaning = String::new();
        let mut add = |words: &str| {
            if !meaning.is_empty() {
                meaning.push(' ');
            }
            meaning.push_str(words);
        };
        for (_, span) in own {
            add(self.slice(span.range()));
        }
        // Comments inside a sentence go with its words.
        while let Some(comment) = self.comment_before(end) {
            add(self.slice(comment.span.range()));
        }
        Words {
            text: self.dedented(start..end),
            meaning,
            beside: if opens { self.beside() } else { None },
            at: start..end,
        }
    }

    /// The comment behind what was taken last, on its line.
    fn beside(&mut self) -> Option<String> {
        let end = self.start();
        let comment = self.trivia.comments.get(self.comment)?;
        if comment.own_line || comment.span.range().start >= end {
            return None;
        }
        self.comment += 1;
        Some(self.slice(comment.span.range()).to_owned())
    }

    fn comment_before(&mut self, end: usize) -> Option<Comment> {
        let comment = self.trivia.comments.get(self.comment).copied();
        let comment = comment.filter(|comment| comment.span.range().start < end)?;
        self.comment += 1;
        Some(comment)
    }

    /// Letters without the margin of the line that they begin on.
    fn dedented(&self, at: Range<usize>) -> String {
        let before = self.text.get(..at.start).unwrap_or("");
        let line = before.rsplit('\n').next().unwrap_or("");
        let margin = line.len() - line.trim_start_matches(' ').len();
        let lines = self.slice(at).split('\n').enumerate().map(|(n, line)| {
            let spaces = line.len() - line.trim_start_matches(' ').len();
            let off = if n == 0 { 0 } else { spaces.min(margin) };
            line.get(off..).unwrap_or("")
        });
        lines.collect::<Vec<_>>().join("\n")
    }

    fn is_blank_above(&self, byte: usize) -> bool {
        let blanks = &self.trivia.blank_lines;
        let index = blanks.partition_point(|line| (*line as usize) < byte);
        let line = index.checked_sub(1).and_then(|at| blanks.get(at));
        line.is_some_and(|line| self.slice(*line as usize..byte).trim().is_empty())
    }

    fn peek(&self) -> Option<Placed> {
        self.tokens.get(self.next).copied()
    }

    /// Where the next token stands.
    fn start(&self) -> usize {
        let next = self.peek();
        next.map_or(self.text.len(), |(_, span)| span.range().start)
    }

    fn slice(&self, at: Range<usize>) -> &'t str {
        self.text.get(at).unwrap_or("")
    }

    /// What a sentence is about, by the words before its first block.
    fn about(&self, head: &[Placed], of: &str) -> About {
        let letters = |(_, span): &Placed| self.slice(span.range());
        let mut rest = head;
        if rest.len() > 2 && rest.first().map(letters) == Some("guide") {
            rest = rest.get(1..).unwrap_or_default();
        }
        let word = rest.first().map(letters).unwrap_or_default();
        let named = |from: usize| -> Vec<String> {
            let names = rest.iter().skip(from);
            let names = names.take_while(|(tok, _)| matches!(tok, Tok::Name | Tok::Comma));
            let names = names.filter(|(tok, _)| *tok == Tok::Name);
            names.map(|name| letters(name).to_owned()).collect()
        };
        let one = |word: &str, names: Vec<String>| About {
            word: word.to_owned(),
            names,
            is_one: true,
        };
        let gives = rest.iter().position(|(tok, _)| *tok == Tok::Equal);
        let said = || {
            rest.iter()
                .find(|(tok, _)| matches!(tok, Tok::Text | Tok::TextHead))
                .map(letters)
        };
        let in_pattern = matches!(of, "piece" | "seam");
        match word {
            "redraw" | "carry" if gives.is_some() => About {
                is_one: false,
                ..one(word, named(1))
            },
            "body" | "choose" if gives.is_some() => one("measure", named(1)),
            // One panel may be laid over itself as often as one likes.
            _ if gives.is_some() && !in_pattern => About {
                is_one: word != "panel",
                ..one("draw", named(1))
            },
            "panel" | "cloth" | "use" | "try" | "each" | "piece" | "seam" | "operation"
                if !in_pattern =>
            {
                one(word, named(1).into_iter().take(1).collect())
            }
            "import" => {
                let name = rest
                    .iter()
                    .skip_while(|(_, span)| self.slice(span.range()) != "as");
                one(
                    word,
                    name.skip(1)
                        .take(1)
                        .map(|name| letters(name).to_owned())
                        .collect(),
                )
            }
            "step" | "require" | "check" => {
                one(word, said().map(str::to_owned).into_iter().collect())
            }
            "edition" | "draft" | "unit" | "order" => one(word, Vec::new()),
            "outline" | "cut" | "grain" | "sewn" | "tolerance" if in_pattern => {
                one(word, Vec::new())
            }
            _ if in_pattern => {
                let all = rest.iter().skip(1);
                let behind_on = rest.iter().position(|(tok, _)| *tok == Tok::Link(Link::On));
                let from = match word {
                    "allow" | "ease" | "gather" | "stretch" => behind_on.unwrap_or(rest.len()),
                    _ => 0,
                };
                let names = all
                    .skip(from)
                    .filter(|(tok, _)| matches!(tok, Tok::Name | Tok::Dotted));
                About {
                    word: word.to_owned(),
                    names: names.map(|name| letters(name).to_owned()).collect(),
                    is_one: false,
                }
            }
            _ => About {
                word: word.to_owned(),
                ..About::default()
            },
        }
    }
}
