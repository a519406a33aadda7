//! Which words of the text are words of the language, and what the others are.

use super::Editor;
use super::hover::rows_of;
use crate::session::places::Place;
use oaktag_language::phrase::Table;
use oaktag_language::syntax::sentences::Row;
use oaktag_language::syntax::tokens::Tok;
use oaktag_language::syntax::tree::NEXT;
use serde::Serialize;
use std::collections::BTreeSet;
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

impl Editor<'_> {
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
