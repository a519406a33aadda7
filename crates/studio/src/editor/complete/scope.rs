//! Names that can be seen from a place, as they would be written there.

use super::{Before, Offered, kind_of, plain};
use crate::editor::Editor;
use oaktag_language::kind::Kind;
use oaktag_language::phrase::Takes;
use oaktag_language::syntax::starts::KINDS;
use oaktag_language::syntax::tokens::Tok;
use oaktag_language::syntax::tree::Link;
use std::collections::BTreeMap;
use std::ops::Range;

/// A sentence with what it holds.
struct Block<'t> {
    /// Its first word.
    word: &'t str,
    /// The name behind that.
    name: &'t str,
    /// Of a piece, the panel that it says it is of.
    of: &'t str,
    from: usize,
    /// Where what stands in its braces begins; where it begins itself, if it has none.
    inside: usize,
    to: usize,
}

impl Block<'_> {
    fn is_over(&self, byte: usize) -> bool {
        self.inside > self.from && self.inside <= byte && byte < self.to
    }

    fn is_panel_over(&self, byte: usize) -> bool {
        self.word == "panel" && self.is_over(byte)
    }

    /// Whether it draws the panel of that name: `gore` in an `each` draws `gore_1`, `gore_2`.
    fn is_written_for(&self, panel: &str) -> bool {
        panel.strip_prefix(self.name).is_some_and(|number| {
            let digits = number.strip_prefix('_').unwrap_or("x");
            number.is_empty() || digits.bytes().all(|byte| byte.is_ascii_digit())
        })
    }
}

/// Whether what is drawn at a byte can be seen from another: not from outside of the act, the `each` or the `try` it is in.
fn is_visible(blocks: &[Block<'_>], drawn: usize, from: usize) -> bool {
    let closed = blocks.iter().filter(|block| block.is_over(drawn));
    closed
        .filter(|block| matches!(block.word, "operation" | "list" | "try"))
        .all(|block| block.is_over(from))
}

impl Editor<'_> {
    /// Names that are drawn before a byte and fit; of the panel under the hand without its name.
    pub(super) fn names(&self, byte: usize, takes: Takes) -> Vec<Offered> {
        let program = self.session.program();
        let blocks = self.blocks();
        // What is under the hand: a panel, or that of a piece.
        let here = blocks.iter().filter(|block| block.is_over(byte));
        let here: Vec<&str> = here
            .flat_map(|block| match block.word {
                "panel" => vec![block.name],
                "piece" => vec![block.name, block.of],
                _ => Vec::new(),
            })
            .collect();
        // By whether it lies on another panel, and as it is written.
        let mut found: BTreeMap<(bool, String), String> = BTreeMap::new();
        let mut add = |panel: Option<&str>, word: &str, kind: &str| {
            match panel {
                Some(panel) if !here.contains(&panel) => {
                    found.insert((!here.is_empty(), format!("{panel}.{word}")), kind.into())
                }
                _ => found.insert((false, word.to_owned()), kind.into()),
            };
        };
        for site in &program.sites {
            for target in &site.targets {
                let (Some(at), true) = (self.bytes(target.span), takes.takes(&target.kind)) else {
                    continue;
                };
                let word = self.letters(at.clone());
                if at.start < byte && is_visible(&blocks, at.start, byte) {
                    let panel = blocks
                        .iter()
                        .rev()
                        .find(|block| block.is_panel_over(at.start));
                    add(
                        panel.map(|panel| panel.name),
                        word,
                        &target.kind.to_string(),
                    );
                }
            }
        }
        // What lies on a panel without being drawn in the text: it is traced, or an act has given it.
        for name in &program.names {
            let site = program
                .site(name.site)
                .and_then(|site| self.bytes(site.span));
            let is_later = site.is_some_and(|at| at.start >= byte || at.contains(&byte));
            if let (Some((panel, word)), false) = (name.name.split_once('.'), is_later) {
                let written = blocks.iter().find(|block| {
                    block.word == "panel" && block.from < byte && block.is_written_for(panel)
                });
                if takes.takes(&name.kind) {
                    let kind = name.kind.to_string();
                    add(Some(panel), word, &kind);
                    add(Some(written.map_or(panel, |block| block.name)), word, &kind);
                }
                if let (Some((on_it, _)), true) = (word.split_once('.'), takes.takes(&Kind::Panel))
                {
                    add(Some(panel), on_it, "panel");
                }
            }
        }
        for measure in &program.measures {
            if takes.takes(&measure.kind) {
                add(None, &measure.name, &measure.kind.to_string());
            }
        }
        for block in blocks.iter().filter(|block| block.from < byte) {
            if block.word == "panel" && takes.takes(&Kind::Panel) {
                add(None, block.name, "panel");
            }
            if block.from < byte && byte <= block.to {
                for (kind, word) in self.brought_by(block) {
                    let fits = kind_of(kind).is_none_or(|kind| takes.takes(&kind));
                    if fits {
                        add(None, word, kind);
                    }
                }
            }
        }
        let named = |((_, label), kind): ((bool, String), String)| Offered {
            insert: label.clone(),
            detail: String::new(),
            label,
            kind,
        };
        found.into_iter().map(named).collect()
    }

    /// The blocks of the text and what draws a panel without one, in the order in which they begin.
    fn blocks(&self) -> Vec<Block<'_>> {
        let mut blocks: Vec<Block<'_>> = Vec::new();
        let mut open = Vec::new();
        // The last sentence begun, and whether its block is still to come.
        let mut head: Option<usize> = None;
        let mut is_of = false;
        for ((tok, _), at) in self.tokens() {
            let word = self.letters(at.clone());
            if self.begins_sentence(at.start) {
                head = Some(blocks.len());
                blocks.push(Block {
                    word,
                    name: "",
                    of: "",
                    from: at.start,
                    inside: at.start,
                    to: at.end,
                });
                continue;
            }
            let this = head.and_then(|head| blocks.get_mut(head));
            match tok {
                Tok::OpenBrace => {
                    open.push(head);
                    if let Some(block) = this {
                        block.inside = at.end;
                    }
                }
                Tok::CloseBrace => {
                    head = open.pop().flatten();
                    if let Some(block) = head.and_then(|head| blocks.get_mut(head)) {
                        block.to = at.end;
                    }
                }
                _ => {
                    if let Some(block) = this {
                        if block.name.is_empty() && *tok == Tok::Name {
                            block.name = word;
                        } else if is_of && matches!(tok, Tok::Name | Tok::Dotted) {
                            block.of = word;
                        }
                        is_of = *tok == Tok::Link(Link::Of);
                        block.to = block.to.max(at.end);
                    }
                }
            }
        }
        let end = self.text().len();
        for head in open.into_iter().flatten() {
            if let Some(block) = blocks.get_mut(head) {
                block.to = end;
            }
        }
        blocks
    }

    /// Names that a block brings for its own sentences, with the word before each: the parameters of an act, what an `each`
    /// counts and carries, what a `try` finds.
    fn brought_by(&self, block: &Block<'_>) -> Vec<(&str, &str)> {
        let head = self
            .tokens()
            .map(|((tok, _), at)| (*tok, at))
            .filter(|(_, at)| block.from <= at.start && at.end <= block.inside);
        let head: Vec<(Tok, Range<usize>)> = head.collect();
        let words = head.windows(2).filter_map(|pair| match pair {
            [(_, first), (Tok::Name, second)] => {
                Some((self.letters(first.clone()), self.letters(second.clone())))
            }
            _ => None,
        });
        let brings = |before: &str| match block.word {
            "operation" => KINDS.contains(&before),
            "each" | "list" | "try" => matches!(before, "each" | "carrying" | "try"),
            _ => false,
        };
        words.filter(|(before, _)| brings(before)).collect()
    }

    /// The cloths that are declared, where a piece says what it is cut from.
    pub(super) fn cloths(&self, before: &Before<'_>) -> Vec<Offered> {
        if !matches!(before.first, "cut" | "interline") {
            return Vec::new();
        }
        let cloths = self.session.outcome().pattern.cloths.iter();
        let cloths = cloths.map(|cloth| Offered {
            kind: "cloth".into(),
            ..plain(&cloth.name)
        });
        cloths.collect()
    }

    /// Lines and points, in the sentences of pieces and seams.
    pub(super) fn names_in_sewing(&self, before: &Before<'_>, byte: usize) -> Vec<Offered> {
        let is_sewing = before
            .blocks
            .iter()
            .any(|(word, _)| matches!(*word, "piece" | "seam"));
        if !is_sewing && !matches!(before.first, "seam" | "give") {
            return Vec::new();
        }
        self.names(byte, Takes::DRAWN)
    }
}
