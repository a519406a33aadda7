//! Which words of the text are words of the language, and what the others are.

use super::Editor;
use super::hover::rows_of;
use super::outline::Part;
use crate::session::places::Place;
use oaktag_language::kind::{Dimension, Kind};
use oaktag_language::phrase::Table;
use oaktag_language::report::Span;
use oaktag_language::syntax::sentences::Row;
use oaktag_language::syntax::tokens::Tok;
use oaktag_language::syntax::tree::{MeasureOf, NEXT};
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

/// What a part of the text is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Colour {
    /// A word of the language: of a sentence, a link, a direction, the head of a phrase.
    Word,
    /// The head of an act.
    Act,
    /// A name.
    Name,
    /// A figure with its unit.
    Figure,
    /// A text in quotation marks, or a part of one with holes.
    Text,
    /// A remark.
    Comment,
}

/// A part of the text, and of a name what it names.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tint {
    /// The part.
    pub at: Place,
    /// What it is.
    pub colour: Colour,
    /// Of a name, the word that begins the sentence which draws or declares it: `point`, `panel`, `choose`.
    pub what: Option<&'static str>,
    /// It is drawn or declared here.
    pub is_first: bool,
}

impl Editor<'_> {
    /// The same as [`Editor::colours`], with what each name names.
    pub fn tints(&self) -> Vec<Tint> {
        let mut own = BTreeMap::new();
        note(&self.outline(), &mut own);
        let program = self.session.program();
        let targets = program.sites.iter().flat_map(|site| &site.targets);
        let mut kinds: BTreeMap<Span, &'static str> = targets
            .filter_map(|target| Some((target.span, word_of(&target.kind)?)))
            .collect();
        for measure in &program.measures {
            let what = if measure.of == MeasureOf::Body {
                "body"
            } else {
                "choose"
            };
            kinds.insert(measure.name_span, what);
        }
        let mut read = BTreeMap::new();
        for mention in &program.mentions {
            let Some(at) = self.place(mention.at) else {
                continue;
            };
            let own = self.place(mention.of).and_then(|of| own.get(&of).copied());
            let what = own.filter(|what| *what != "redraw");
            let what = what.or_else(|| kinds.get(&mention.of).copied());
            // Of a name with panels before it the last word says what it is.
            read.extend(what.map(|what| (at.to, what)));
        }
        let tint = |(at, colour): (Place, Colour)| {
            let first = own.get(&at).copied();
            let what = first.filter(|what| *what != "redraw");
            let what = what.or_else(|| read.get(&at.to).copied());
            Tint {
                at,
                colour,
                what: what.filter(|_| colour == Colour::Name),
                is_first: first.is_some() && colour == Colour::Name,
            }
        };
        self.colours().into_iter().map(tint).collect()
    }

    /// Every part that is something, in the order of the text.
    pub fn colours(&self) -> Vec<(Place, Colour)> {
        let read: BTreeSet<usize> = self
            .session
            .program()
            .mentions
            .iter()
            .filter_map(|mention| Some(self.bytes(mention.at)?.start))
            .collect();
        let mut found = Vec::new();
        let acts = self.session.program().operations.iter();
        let acts: BTreeSet<&str> = acts.filter_map(|act| act.form.head.as_deref()).collect();
        // The words that the forms of the sentence have.
        let mut sentence = BTreeSet::new();
        for ((tok, _), at) in self.tokens() {
            let colour = match tok {
                Tok::Name => {
                    let word = self.letters(at.clone());
                    if self.begins_sentence(at.start) {
                        sentence = words_of(word);
                    }
                    match acts.contains(word) {
                        true => Colour::Act,
                        false => self.word(word, &at, &sentence, &read),
                    }
                }
                Tok::Dotted => Colour::Name,
                Tok::Figure | Tok::OddFigure => Colour::Figure,
                Tok::Link(_)
                | Tok::Direction(_)
                | Tok::If
                | Tok::Otherwise
                | Tok::Each
                | Tok::Yes
                | Tok::No
                | Tok::Origin => Colour::Word,
                _ if !self.letters(at.clone()).contains(['"', '\'']) => continue,
                _ => Colour::Text,
            };
            found.push((at, colour));
        }
        let remarks = self.lexed.trivia.comments.iter();
        found.extend(remarks.map(|remark| (remark.span.range(), Colour::Comment)));
        found.sort_by_key(|(at, _)| at.start);
        let placed = found.into_iter();
        placed
            .map(|(at, colour)| (self.units.place(at), colour))
            .collect()
    }

    fn word(
        &self,
        word: &str,
        at: &Range<usize>,
        sentence: &BTreeSet<&str>,
        read: &BTreeSet<usize>,
    ) -> Colour {
        let is_name = read.contains(&at.start) && word != NEXT;
        let is_word = self.begins_sentence(at.start) && rows_of(word).next().is_some();
        if is_word
            || (!is_name
                && (word == NEXT || sentence.contains(word) || Table::built_in().is_head(word)))
        {
            return Colour::Word;
        }
        Colour::Name
    }
}

/// The words in the forms of the sentences that begin with a word.
fn words_of(first: &str) -> BTreeSet<&'static str> {
    let written = |row: &'static Row| row.form.split(|letter: char| !letter.is_ascii_lowercase());
    rows_of(first).flat_map(written).collect()
}

/// What each name of a table of contents is, by its place.
fn note(parts: &[Part], found: &mut BTreeMap<Place, &'static str>) {
    for part in parts {
        found.insert(part.word, part.what);
        note(&part.inside, found);
    }
}

/// The word by which a draft writes a kind; none of kinds that have no name.
fn word_of(kind: &Kind) -> Option<&'static str> {
    Some(match kind {
        Kind::Point => "point",
        Kind::Line => "line",
        Kind::Curve => "curve",
        Kind::Quantity(Dimension::LENGTH) => "length",
        Kind::Quantity(Dimension::ANGLE) => "angle",
        Kind::Quantity(Dimension::AREA) => "area",
        Kind::Quantity(Dimension::NUMBER) => "number",
        Kind::Direction => "direction",
        Kind::Text => "text",
        Kind::Answer => "answer",
        Kind::List(_) => "list",
        Kind::Panel => "panel",
        _ => return None,
    })
}
