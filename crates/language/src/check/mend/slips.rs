//! One word of a sentence written wrong: what a slip of the pen most likely meant, and reads and checks.

use super::{Letters, Works};
use crate::check::checker::Checker;
use crate::report::Diagnostic;
use crate::syntax::reserved::{DIRECTIONS, LINKS, OTHERS};
use crate::syntax::starts::{KINDS, PIECE_SENTENCES, SEAM_SENTENCES, SENTENCES};
use crate::syntax::tokens::Tok;
use std::ops::Range;

/// Words that mean something by their place alone.
const BY_PLACE: &[&str] = &[
    "longer",
    "shorter",
    "more",
    "less",
    "drawn",
    "traced",
    "fold",
    "alike",
    "mirrored",
    "without",
    "pressed",
    "drill",
    "sewn",
    "all",
    "round",
    "carrying",
    "in",
    "double",
    "single",
    "joints",
    "turned",
    "back",
    "squared",
    "stepped",
    "mitred",
    "width",
    "needs",
    "next",
    "diameter",
    "thickness",
];
/// Words that begin a sentence that draws names, kinds aside.
const DRAWING: &[&str] = &["redraw", "guide", "body", "choose", "carry"];
/// Words that are held against a misspelt one.
const MOST_COMPARED: usize = 5_000;
/// Words that are tried for one.
const MOST_MEANT: usize = 6;
/// Words of a sentence that are looked at.
const MOST_SUSPECTS: usize = 6;

/// A word and what was meant by it.
pub(super) struct Slip {
    pub place: Range<usize>,
    pub found: String,
    pub meant: String,
    /// What was meant is something drawn, or a head.
    pub is_name: bool,
}

impl<'a> Checker<'a> {
    /// The one word that makes the sentence work when another stands for it.
    pub(super) fn slip(
        &mut self,
        letters: &Letters<'_>,
        wrong: &[(Range<usize>, Diagnostic, bool)],
        works: Works<'_, 'a>,
    ) -> Option<Slip> {
        let mut suspects = self.suspects(letters);
        // The one that is complained of first.
        suspects.sort_by_key(|(_, place)| !wrong.iter().any(|(at, ..)| at == place));
        for (is_first, place) in suspects.into_iter().take(MOST_SUSPECTS) {
            let found = letters.text.get(place.clone()).unwrap_or("").to_owned();
            for (meant, is_name) in self.meant(&found, is_first) {
                if self.holds(&letters.with(&place, &meant), letters.frame, works) {
                    return Some(Slip {
                        place,
                        found,
                        meant,
                        is_name,
                    });
                }
            }
        }
        None
    }

    /// Words that nothing is called by, with whether the sentence begins with them; fresh names aside.
    fn suspects(&self, letters: &Letters<'_>) -> Vec<(bool, Range<usize>)> {
        let tokens = &letters.tokens;
        let equal = tokens.iter().position(|(tok, _)| *tok == Tok::Equal);
        let first = tokens
            .first()
            .and_then(|(_, place)| letters.text.get(place.clone()));
        let draws = first.is_some_and(|word| KINDS.contains(&word) || DRAWING.contains(&word));
        let fresh = |at: usize| match equal {
            Some(equal) if draws => at > 0 && at < equal,
            _ => at == 1,
        };
        let mut suspects = Vec::new();
        for (at, (tok, place)) in tokens.iter().enumerate() {
            let word = letters.text.get(place.clone()).unwrap_or("");
            let begins = |words: &[&str]| at == 0 && words.contains(&word);
            let known = self.sees(word).is_some()
                || self.is_head(word)
                || BY_PLACE.contains(&word)
                || [KINDS, SENTENCES, PIECE_SENTENCES, SEAM_SENTENCES]
                    .into_iter()
                    .any(begins);
            if *tok == Tok::Name && !known && !letters.is_in_block(place) && !fresh(at) {
                suspects.push((at == 0, place.clone()));
            }
        }
        suspects
    }

    /// What may have been meant by a word, the likeliest first, and whether that is a name or a head.
    fn meant(&self, word: &str, is_first: bool) -> Vec<(String, bool)> {
        let allowed = match word.chars().count() {
            0..=4 => 1,
            5..=8 => 2,
            _ => 3,
        };
        let lower = word.to_lowercase();
        let language = [LINKS, DIRECTIONS, OTHERS, BY_PLACE].into_iter().flatten();
        let first = [KINDS, SENTENCES, PIECE_SENTENCES, SEAM_SENTENCES]
            .into_iter()
            .flatten()
            .filter(|_| is_first);
        let language = language.chain(first).map(|word| (*word, false));
        let heads = self.table.heads();
        let own = self.here.file.heads.keys().map(String::as_str);
        let names = self.visible().take(MOST_COMPARED);
        let named = heads.chain(own).chain(names).map(|word| (word, true));
        let mut near: Vec<(usize, &str, bool)> = language
            .chain(named)
            .filter(|(other, _)| other.len().abs_diff(word.len()) <= allowed && *other != word)
            .map(|(other, is_name)| {
                let distance = strsim::damerau_levenshtein(&lower, &other.to_lowercase());
                (distance, other, is_name)
            })
            .filter(|(distance, ..)| *distance <= allowed)
            .collect();
        near.sort_by_key(|(distance, ..)| *distance);
        near.dedup_by(|a, b| a.1 == b.1);
        near.truncate(MOST_MEANT);
        near.into_iter()
            .map(|(_, word, is_name)| (word.to_owned(), is_name))
            .collect()
    }
}
