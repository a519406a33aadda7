//! What may stand at a place: sentences where one begins, phrases and acts where a value does, behind a linking word names of
//! the kinds that fit, behind `with` the options of the act.

mod forms;
mod scope;

use super::Editor;
use forms::{fill_in, headless, modules, tight_heads, words_after};
use oaktag_language::kind::Kind;
use oaktag_language::phrase::{Table, Takes};
use oaktag_language::syntax::reserved;
use oaktag_language::syntax::sentences::{self, Of};
use oaktag_language::syntax::starts::KINDS;
use oaktag_language::syntax::tokens::Tok;
use oaktag_language::syntax::tree::Link;
use serde::Serialize;
use std::ops::Range;

/// What may stand at a place.
#[derive(Debug, Serialize)]
pub struct Choices {
    /// The code unit at which what was typed begins: each choice stands in its place.
    pub from: usize,
    /// What fits best comes first.
    pub options: Vec<Offered>,
}

/// One that may stand there.
#[derive(Debug, PartialEq, Serialize)]
pub struct Offered {
    /// What it is called.
    pub label: String,
    /// `sentence`, `phrase`, `act`, `option`, `word`, or the kind of a name.
    pub kind: String,
    /// More of it: its form, its words.
    pub detail: String,
    /// The letters, with `${PLACE}` for what is to be filled in.
    pub insert: String,
}

/// What stands before the caret in its sentence.
pub(super) struct Before<'t> {
    tokens: Vec<(Tok, Range<usize>)>,
    /// What stands on the line above, where that is over.
    above: Vec<(Tok, Range<usize>)>,
    /// The caret is within brackets.
    is_inside: bool,
    /// The first word of the sentence.
    first: &'t str,
    /// The kind of block that the sentence stands in, outermost first: its first word with its name.
    blocks: Vec<(&'t str, &'t str)>,
}

impl Before<'_> {
    /// As if the sentence of the line above went on.
    fn line_above(&self) -> Self {
        Self {
            tokens: self.above.clone(),
            above: Vec::new(),
            is_inside: false,
            first: self.first,
            blocks: Vec::new(),
        }
    }
}

impl Editor<'_> {
    /// What may stand at a place.
    pub fn completions(&self, at: usize) -> Choices {
        let byte = self.units.byte(at);
        let typed = self.typed_before(byte);
        let before = self.before(typed.start);
        let options = self.offered(&before, typed.start);
        Choices {
            from: self.units.unit(typed.start),
            options,
        }
    }

    /// The word, dots in it, that ends at a byte.
    pub(super) fn typed_before(&self, byte: usize) -> Range<usize> {
        let text = self.letters(0..byte);
        let is_of = |letter: char| letter.is_alphanumeric() || letter == '_' || letter == '.';
        let start = text.trim_end_matches(is_of).len();
        start..byte
    }

    /// The tokens of the sentence before a byte, within the innermost brackets, and what it stands in.
    pub(super) fn before(&self, byte: usize) -> Before<'_> {
        let begin = self.begins.partition_point(|at| *at < byte);
        let begin = begin.checked_sub(1).and_then(|at| self.begins.get(at));
        let mut blocks = Vec::new();
        let mut sentence = "";
        let mut name = "";
        let mut tokens: Vec<(Tok, Range<usize>)> = Vec::new();
        let mut open: Vec<usize> = Vec::new();
        for ((tok, _), at) in self.tokens().take_while(|(_, at)| at.end <= byte) {
            if self.begins_sentence(at.start) {
                sentence = self.letters(at.clone());
                name = "";
            } else if name.is_empty() && *tok == Tok::Name {
                name = self.letters(at.clone());
            }
            match tok {
                Tok::OpenBrace => blocks.push((sentence, name)),
                Tok::CloseBrace => drop(blocks.pop()),
                _ => {}
            }
            if begin.is_none_or(|begin| at.start < *begin) {
                continue;
            }
            match tok {
                Tok::OpenBrace | Tok::CloseBrace => {
                    tokens.clear();
                    open.clear();
                    continue;
                }
                Tok::OpenRound | Tok::OpenSquare => open.push(tokens.len()),
                Tok::CloseRound | Tok::CloseSquare => {
                    // What stands in brackets is one value.
                    if let Some(from) = open.pop() {
                        tokens.truncate(from);
                    }
                    tokens.push((Tok::CloseRound, at));
                    continue;
                }
                Tok::Newline | Tok::End => continue,
                _ => {}
            }
            tokens.push((*tok, at));
        }
        // A sentence that is over is not gone on with on a new line.
        let since = tokens.last().map_or(0, |(_, at)| at.end);
        let goes_on = tokens
            .last()
            .is_some_and(|(tok, _)| tok.is_operator() || matches!(tok, Tok::Link(_) | Tok::Comma));
        let is_over = self.letters(since..byte).contains('\n') && !goes_on && open.is_empty();
        let above = match is_over {
            true => std::mem::take(&mut tokens),
            false => Vec::new(),
        };
        let first = tokens.first().map(|(_, at)| self.letters(at.clone()));
        if let Some(inside) = open.last() {
            tokens.drain(..=*inside);
            tokens.insert(0, (Tok::OpenRound, byte..byte));
        }
        Before {
            tokens,
            above,
            is_inside: !open.is_empty(),
            first: first.unwrap_or_default(),
            blocks,
        }
    }

    fn offered(&self, before: &Before<'_>, byte: usize) -> Vec<Offered> {
        let Some((last, last_at)) = before.tokens.last() else {
            let mut found = self.sentences(before);
            found.extend(self.links(&before.line_above()));
            found.extend(["until", "otherwise"].map(plain));
            return found;
        };
        let word = self.letters(last_at.clone());
        match last {
            Tok::Link(Link::With) | Tok::Comma if self.is_in_options(before) => {
                self.options_of(before)
            }
            Tok::Link(link) => {
                if before.first == "panel" && *link == Link::From {
                    return self.names(byte, Takes::PANEL);
                }
                let share = before.tokens.iter().rev().nth(1).map(|(tok, _)| *tok);
                if *link == Link::Of && share == Some(Tok::Figure) {
                    return ["the way from", "the way along"].map(plain).into();
                }
                // In a sentence that draws nothing the link is the sentence's own.
                let is_drawing = kind_of(before.first).is_some() || before.is_inside;
                let takes = self.taken_by(before, Some(*link));
                let takes = takes.filter(|_| is_drawing).unwrap_or(ANY);
                let is_way = !takes.disjoint(Takes::BEARING);
                // A bearing may be turned by an angle.
                let takes = if is_way {
                    takes.or(Takes::ANGLE)
                } else {
                    takes
                };
                let mut found = self.names(byte, takes);
                if is_way || matches!(link, Link::Above | Link::Below) {
                    found.extend(reserved::DIRECTIONS.iter().map(|word| plain(word)));
                    found.extend(["along", "square to", "level of"].map(plain));
                }
                if takes.takes(&Kind::Point) {
                    found.push(plain("origin"));
                }
                if matches!(link, Link::Is | Link::That | Link::Not) {
                    found.extend(COMPARED.map(plain));
                }
                found.extend(tight_heads());
                found.extend(words_after(before.first));
                found.extend(self.cloths(before));
                found
            }
            Tok::Equal | Tok::OpenRound => {
                let wanted = kind_of(before.first).filter(|_| *last == Tok::Equal);
                let takes = wanted.as_ref().map_or(ANY, Takes::of);
                let mut found = self.phrases(wanted.as_ref());
                if *last == Tok::OpenRound && before.first == "operation" {
                    return KINDS.iter().map(|kind| plain(kind)).collect();
                }
                found.extend(self.names(byte, takes));
                if takes != ANY {
                    // What is wanted is made of other things.
                    found.extend(self.names(byte, ANY));
                }
                if takes.takes(&Kind::Point) {
                    found.push(plain("origin"));
                }
                found.extend(headless());
                if takes.takes(&Kind::Answer) {
                    found.extend(["yes", "no"].map(plain));
                }
                found.dedup_by(|a, b| a.label == b.label && a.kind == "word");
                found
            }
            Tok::Name if before.first == "use" && before.tokens.len() == 1 => modules(),
            Tok::Name if before.first == "order" && before.tokens.len() == 1 => self.seams(),
            Tok::Name if before.first == "piece" && before.tokens.len() == 1 => {
                self.names(byte, Takes::PANEL)
            }
            Tok::Name if before.first == "redraw" && before.tokens.len() == 1 => {
                self.names(byte, Takes::DRAWN)
            }
            Tok::Name if Table::built_in().is_head(word) || self.act(word).is_some() => {
                let takes = self.taken_by(before, None);
                let mut found = takes.map_or_else(Vec::new, |t| self.names(byte, t));
                found.extend(self.links(before));
                found.push(plain("origin"));
                found
            }
            Tok::Name
            | Tok::Dotted
            | Tok::Figure
            | Tok::Text
            | Tok::Origin
            | Tok::CloseRound
            | Tok::Direction(_) => {
                if before.tokens.len() == 1 && kind_of(before.first).is_some() {
                    // A name of the writer's own follows.
                    return Vec::new();
                }
                let mut found = self.links(before);
                found.extend(words_after(before.first));
                if *last == Tok::Figure {
                    found.extend(["of the way from", "of the way along"].map(plain));
                } else if word == "way" {
                    found.extend(["from", "along"].map(plain));
                } else if word == "the" {
                    found.extend(["way from", "way along"].map(plain));
                }
                // A point or a line may be gone on from: `top down 3cm`.
                found.extend(reserved::DIRECTIONS.iter().map(|word| plain(word)));
                found.extend(self.names_in_sewing(before, byte));
                if matches!(last, Tok::Direction(_)) {
                    found.push(plain("by"));
                    found.extend(self.names(byte, Takes::FIGURE));
                }
                found
            }
            Tok::Comma if before.first == "order" => self.seams(),
            _ => {
                let mut found = self.names(byte, ANY);
                found.extend(tight_heads());
                found.extend(["pi", "origin"].map(plain));
                found
            }
        }
    }

    /// The forms of the sentences that may begin here.
    fn sentences(&self, before: &Before<'_>) -> Vec<Offered> {
        let block = before.blocks.iter().rev();
        let block = block
            .map(|(word, _)| *word)
            .find(|word| !matches!(*word, "if" | "otherwise" | "step" | "each" | "try"));
        let places: &[Of] = match block {
            Some("piece") => &[Of::Piece],
            Some("seam") => &[Of::Seam],
            Some(_) => &[Of::Sheet],
            None => &[Of::Sheet, Of::Pattern, Of::Head],
        };
        let rows = places
            .iter()
            .flat_map(|of| sentences::ALL.iter().filter(move |row| row.of == *of));
        let mut found = Vec::new();
        for row in rows {
            let kinds = row.form.strip_prefix("KIND");
            let forms: Vec<String> = match kinds {
                Some(rest) => drawn_kinds().map(|kind| format!("{kind}{rest}")).collect(),
                None => vec![row.form.to_owned()],
            };
            for form in forms {
                let label = form.split([' ', '[']).next().unwrap_or_default();
                if label.is_empty() || label.starts_with(char::is_uppercase) {
                    continue;
                }
                found.push(Offered {
                    label: label.to_owned(),
                    kind: "sentence".into(),
                    detail: form.clone(),
                    insert: fill_in(&form),
                });
            }
        }
        found
    }
}

/// Kinds with which a sentence that draws begins; a panel has sentences of its own.
fn drawn_kinds() -> impl Iterator<Item = &'static str> {
    KINDS.iter().copied().filter(|kind| *kind != "panel")
}

/// What may be said of something.
const COMPARED: [&str; 6] = ["within", "on", "above", "below", "at", "not"];

/// Whatever has a name.
const ANY: Takes = Takes::DRAWN
    .or(Takes::FIGURE)
    .or(Takes::TEXT)
    .or(Takes::LIST)
    .or(Takes::PANEL);

/// The kind that a sentence draws.
fn kind_of(first: &str) -> Option<Kind> {
    use oaktag_language::kind::Dimension;
    Some(match first {
        "point" => Kind::Point,
        "line" => Kind::Line,
        "curve" => Kind::Curve,
        "length" => Kind::Quantity(Dimension::LENGTH),
        "angle" => Kind::Quantity(Dimension::ANGLE),
        "area" => Kind::Quantity(Dimension::AREA),
        "number" => Kind::Quantity(Dimension::NUMBER),
        "direction" => Kind::Direction,
        "text" => Kind::Text,
        "panel" => Kind::Panel,
        _ => return None,
    })
}

/// A word as it stands.
fn plain(word: &str) -> Offered {
    Offered {
        label: word.to_owned(),
        kind: "word".into(),
        detail: String::new(),
        insert: word.to_owned(),
    }
}
