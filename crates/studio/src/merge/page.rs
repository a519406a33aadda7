//! The woven draft as text: tidy, with marks round what clashes, as every version control writes them.

use super::nodes::{Line, Node, Part, Words};
use super::weave::{Above, Item, Piece, Weft, Why, Woven};

/// So much further in stands what is in a block.
const BLOCK: usize = 2;

/// What a half of a clash is called behind its mark.
#[derive(Clone, Debug)]
pub struct Labels {
    /// The version in hand.
    pub ours: String,
    /// The version that is brought in.
    pub theirs: String,
}

impl Default for Labels {
    fn default() -> Self {
        Self {
            ours: "ours".to_owned(),
            theirs: "theirs".to_owned(),
        }
    }
}

/// Which half of a clash is written.
#[derive(Clone, Copy)]
pub(super) enum Half<'a> {
    /// Ours alone, so that it can be read.
    Ours,
    /// Both, with marks.
    Both(&'a Labels),
}

/// A clash as it was written.
#[derive(Debug)]
pub(super) struct Written {
    pub why: Why,
    /// The line of its first mark, from 1.
    pub line: usize,
    /// The first sentence of either half.
    pub ours: Option<Node>,
    pub theirs: Option<Node>,
    /// What is to be told, where more is known of it than its sort.
    pub words: Option<String>,
}

pub(super) struct Page<'a> {
    out: String,
    half: Half<'a>,
    /// Nothing stands in the block as yet.
    opened: bool,
    /// Clashes in order.
    pub clashes: Vec<Written>,
}

/// The text, and the clashes in it.
pub(super) fn write(weft: &Weft, half: Half<'_>) -> (String, Vec<Written>) {
    let mut page = Page {
        out: String::new(),
        half,
        opened: true,
        clashes: Vec::new(),
    };
    page.weft(weft, 0);
    if !page.out.is_empty() && !page.out.ends_with('\n') {
        page.out.push('\n');
    }
    (page.out, page.clashes)
}

impl Page<'_> {
    fn weft(&mut self, weft: &Weft, indent: usize) {
        for item in &weft.items {
            match item {
                Item::Node(woven) => self.woven(woven, indent),
                Item::Clash(clash) => {
                    let both = clash.ours.iter().chain(&clash.theirs);
                    let is_blank =
                        |node: &Node| node.above.first().map_or(node.blank, |line| line.blank);
                    self.blank(both.into_iter().any(is_blank));
                    let halves = [&clash.ours, &clash.theirs].map(|nodes| {
                        let nodes = nodes.clone();
                        move |page: &mut Self| nodes.iter().for_each(|node| page.node(node, indent))
                    });
                    let [ours, theirs] = halves;
                    let told = self.clash(clash.why, ours, theirs);
                    if let Some(told) = told {
                        told.ours = clash.ours.first().cloned();
                        told.theirs = clash.theirs.first().cloned();
                    }
                }
            }
        }
        self.above(&weft.tail, indent);
    }

    fn woven(&mut self, woven: &Woven, indent: usize) {
        self.above(&woven.above, indent);
        self.blank(woven.blank);
        if let Some(laid_out) = &woven.laid_out {
            return self.laid_out(laid_out, indent);
        }
        for part in &woven.parts {
            match part {
                Piece::Words(words) => self.words(words, indent),
                Piece::Block(weft) => {
                    self.opened = true;
                    self.weft(weft, indent + BLOCK);
                }
                Piece::Clash(why, ours, theirs) => {
                    let (one, other) = (ours.clone(), theirs.clone());
                    let told = self.clash(
                        *why,
                        move |page| page.words(&one, indent),
                        move |page| page.words(&other, indent),
                    );
                    if let Some(told) = told {
                        told.ours = Some(alone(ours));
                        told.theirs = Some(alone(theirs));
                    }
                }
            }
        }
    }

    fn node(&mut self, node: &Node, indent: usize) {
        self.lines(&node.above, indent);
        self.blank(node.blank);
        self.laid_out(&node.laid_out, indent);
    }

    fn laid_out(&mut self, letters: &str, indent: usize) {
        letters.split('\n').for_each(|line| self.line(line, indent));
    }

    /// Both halves between marks, or ours alone.
    fn clash(
        &mut self,
        why: Why,
        ours: impl FnOnce(&mut Self),
        theirs: impl FnOnce(&mut Self),
    ) -> Option<&mut Written> {
        let Half::Both(labels) = self.half else {
            ours(self);
            return None;
        };
        let line = self.out.matches('\n').count() + 1;
        self.opened = false;
        let mark = |page: &mut Self, mark: &str, label: &str| {
            page.out.push_str(&mark.repeat(7));
            if !label.is_empty() {
                page.out.push(' ');
                page.out.push_str(label);
            }
            page.out.push('\n');
        };
        mark(self, "<", &labels.ours);
        ours(self);
        mark(self, "=", "");
        theirs(self);
        mark(self, ">", &labels.theirs);
        self.clashes.push(Written {
            why,
            line,
            ours: None,
            theirs: None,
            words: None,
        });
        self.clashes.last_mut()
    }

    fn above(&mut self, above: &Above, indent: usize) {
        match above {
            Above::Lines(lines) => self.lines(lines, indent),
            Above::Clash(ours, theirs) => {
                let (ours, theirs) = (ours.clone(), theirs.clone());
                self.clash(
                    Why::Comment,
                    move |page| page.lines(&ours, indent),
                    move |page| page.lines(&theirs, indent),
                );
            }
        }
    }

    fn lines(&mut self, lines: &[Line], indent: usize) {
        for line in lines {
            self.blank(line.blank);
            self.line(&line.comment, indent);
        }
    }

    fn words(&mut self, words: &Words, indent: usize) {
        let mut lines = words.text.split('\n').peekable();
        while let Some(line) = lines.next() {
            let beside = words.beside.as_ref().filter(|_| lines.peek().is_none());
            match beside {
                Some(comment) => self.line(&format!("{line} {comment}"), indent),
                None => self.line(line, indent),
            }
        }
    }

    fn line(&mut self, line: &str, indent: usize) {
        self.opened = false;
        if !line.is_empty() {
            self.out.extend(std::iter::repeat_n(' ', indent));
            self.out.push_str(line);
        }
        self.out.push('\n');
    }

    /// A blank line, where one is wanted and something stands above it in its block.
    fn blank(&mut self, is_blank: bool) {
        let last = self.out.lines().next_back().unwrap_or("");
        let begins = ["<<<<<<<", "======="]
            .iter()
            .any(|mark| last.starts_with(mark));
        if is_blank && !last.is_empty() && !begins && !self.opened {
            self.out.push('\n');
        }
    }
}

/// The words of a sentence with a block, as a sentence of their own.
fn alone(words: &Words) -> Node {
    Node {
        id: usize::MAX,
        about: super::nodes::About::default(),
        above: Vec::new(),
        blank: false,
        parts: vec![Part::Words(words.clone())],
        laid_out: words.text.clone(),
    }
}
