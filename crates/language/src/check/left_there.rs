//! What a sentence that takes what is offered leaves where it is.

use super::offers::{OfferSentence, Offered};
use crate::syntax::tree;
use std::sync::Arc;

/// What sentences that take what is offered leave where it is, and what they met there.
#[derive(Default)]
pub(super) struct LeftThere<'a> {
    pub(super) without: &'a [tree::Word],
    seams_alone: bool,
    pub(super) met: Vec<Arc<str>>,
}

impl<'a> LeftThere<'a> {
    pub(super) fn of(take: &'a tree::Take) -> Self {
        Self {
            without: &take.without,
            seams_alone: take.what == tree::Taken::Seams,
            met: Vec::new(),
        }
    }

    /// Whether a sentence stays: a piece or seam that is named, a seam that sews such a piece, or any piece where seams
    /// alone are taken.
    pub(super) fn keeps(&mut self, offered: &Offered<'_>) -> bool {
        // Of what an `each` lays out, the name in its block stands for every copy.
        let named = |word: &tree::Word| {
            let own = offered
                .copy
                .as_ref()
                .and_then(|copy| copy.called(&word.text));
            let names = [Some(word.text.as_ref()), own.as_deref()];
            let mut left = self.without.iter();
            left.any(|left| names.contains(&Some(left.text.as_ref())))
        };
        let (name, stays) = match &offered.sentence {
            OfferSentence::Piece(piece, _) => (&piece.name, self.seams_alone || named(&piece.name)),
            OfferSentence::Seam(seam, _) => {
                let mut pieces = seam
                    .edges()
                    .filter_map(|edge| match edge.name.words.as_slice() {
                        [piece, _, ..] => Some((piece, edge.each)),
                        _ => None,
                    });
                let of_copies = |piece: &tree::Word| {
                    let mut left = self.without.iter();
                    left.any(|left| is_copy_of(&left.text, &piece.text))
                };
                let own = offered.called();
                let is_named = self.without.iter().any(|left| *left.text == *own);
                let sews = |(piece, each)| named(piece) || each && of_copies(piece);
                (
                    &seam.name,
                    is_named || named(&seam.name) || pieces.any(sews),
                )
            }
            OfferSentence::Take(_) => return false,
        };
        self.met.push(Arc::clone(&name.text));
        if offered.copy.is_some() {
            self.met.push(offered.called().into());
        }
        stays
    }

    /// Words that name nothing which is offered.
    pub(super) fn unknown(&self) -> impl Iterator<Item = &'a tree::Word> {
        let is_met = |word: &&tree::Word| !self.met.contains(&word.text);
        self.without.iter().filter(is_met)
    }
}

/// Whether a name is that of a copy: `gore_3` of `gore`.
fn is_copy_of(name: &str, block: &str) -> bool {
    let number = name
        .strip_prefix(block)
        .and_then(|rest| rest.strip_prefix('_'));
    number.is_some_and(|number| number.parse::<u32>().is_ok())
}
