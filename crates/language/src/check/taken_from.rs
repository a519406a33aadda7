//! What pieces and seams are called that are taken a second time: from another import of one file, or from another panel of one act.

use super::checker::Checker;
use super::offers::{Home, Offer, OfferSentence};
use super::scope::Sheet;
use crate::syntax::tree;
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::sync::Arc;

/// An import, or the panel of an act, that is being taken from, and what of it is called otherwise here.
#[derive(Clone, Default)]
pub(super) struct Renamed {
    home: TakenFrom,
    pieces: BTreeMap<Arc<str>, Called>,
    seams: BTreeMap<Arc<str>, Called>,
}

/// Where a piece or a seam was taken from; both are empty for the draft's own.
#[derive(Clone, Default, PartialEq, Eq)]
pub(super) struct TakenFrom {
    /// The import's name.
    import: String,
    /// The name of the panel that an act gave.
    panel: String,
}

/// A name in place of another, with what stands before that in it.
#[derive(Clone)]
struct Called {
    name: String,
    whose: String,
}

impl TakenFrom {
    fn is_own(&self) -> bool {
        self.import.is_empty() && self.panel.is_empty()
    }

    /// What may stand before a name that stands already, taken from `other`: what tells the two apart, then all.
    fn before_names(&self, other: &Self) -> Vec<String> {
        let all = match (self.import.as_str(), self.panel.as_str()) {
            ("", one) | (one, "") => return vec![one.to_owned()],
            (import, panel) => format!("{import}_{panel}"),
        };
        let first = match self.import == other.import {
            true => &self.panel,
            false => &self.import,
        };
        vec![first.clone(), all]
    }
}

impl<'a> Checker<'a> {
    /// What pieces or seams are called where others of these names stand already, taken from another import or from another
    /// panel of an act: the name of the import, or of the panel, goes before theirs.
    pub(super) fn renamed(&self, offer: &Offer<'a>, sheet: &Sheet) -> Renamed {
        let mut renamed = self.renamed.last().cloned().unwrap_or_default();
        match &offer.home {
            Home::File { prefix, .. } => {
                renamed.home = TakenFrom {
                    import: prefix.trim_end_matches('.').replace('.', "_"),
                    panel: String::new(),
                };
            }
            // What an act within an act offers is of the panel that the draft has.
            Home::Panel if renamed.home.panel.is_empty() => {
                let name = sheet.full_name.rsplit('.').next();
                renamed.home.panel = name.unwrap_or_default().to_owned();
            }
            Home::Panel => {}
        }
        let home = renamed.home.clone();
        let fresh = |name: String, homes: &BTreeMap<String, TakenFrom>| {
            let taken = homes.get(&name);
            let taken = taken.filter(|taken| !taken.is_own() && **taken != home)?;
            let before = home.before_names(taken).into_iter();
            let mut called = before.map(|whose| Called {
                name: format!("{whose}_{name}"),
                whose,
            });
            let called = called.find(|called| !homes.contains_key(&called.name))?;
            Some((Arc::from(name), called))
        };
        for offered in &offer.sentences {
            match &offered.sentence {
                OfferSentence::Piece(..) => {
                    let name = offered.called();
                    renamed.pieces.extend(fresh(name, &self.piece_homes));
                }
                OfferSentence::Seam(..) => {
                    let name = offered.called();
                    renamed.seams.extend(fresh(name, &self.seam_homes));
                }
                OfferSentence::Take(_) => {}
            }
        }
        renamed
    }

    /// What a piece that is taken now is called.
    pub(super) fn piece_called(&self, name: &tree::Word) -> String {
        let own = self.own_name(name);
        let renamed = self.renamed.last();
        let called = renamed.and_then(|renamed| renamed.pieces.get(own.as_ref()));
        called.map_or_else(|| own.into_owned(), |called| called.name.clone())
    }

    /// What a piece is called where it is declared: in a copy, with its number.
    fn own_name<'w>(&self, name: &'w tree::Word) -> Cow<'w, str> {
        let called = self.round().and_then(|round| round.called(&name.text));
        called.map_or(Cow::Borrowed(name.text.as_ref()), Cow::Owned)
    }

    /// What a seam that is taken now is called.
    pub(super) fn seam_called(&self, name: &tree::Word) -> String {
        let suffix = self.round().map_or("", |round| &round.suffix);
        let own = [name.text.as_ref(), suffix].concat();
        let renamed = self.renamed.last();
        let called = renamed.and_then(|renamed| renamed.seams.get(own.as_str()));
        called.map_or(own, |called| called.name.clone())
    }

    /// Where a sentence is taken from now; nowhere where it is the draft's own.
    pub(super) fn taken_from(&self) -> TakenFrom {
        let renamed = self.renamed.last();
        renamed.map_or_else(TakenFrom::default, |renamed| renamed.home.clone())
    }

    /// What stands before the name of a piece that is taken now, to tell it from another.
    pub(super) fn whose(&self, name: &tree::Word) -> Option<&str> {
        let own = self.own_name(name);
        let called = self.renamed.last()?.pieces.get(own.as_ref())?;
        Some(&called.whose)
    }
}
