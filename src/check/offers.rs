//! What imports and operations offer: pieces and seams, checked only where one sentence takes them, since the names in
//! them are looked up there.

use super::checker::Checker;
use super::program::Op;
use super::scope::{Bound, Layer, LayerKind, Names, Sheet, nearest_word};
use crate::report::{Code, Diagnostic, Span};
use crate::syntax::tree;
use std::rc::Rc;

/// A sentence that is offered.
#[derive(Clone, Copy)]
pub(super) enum OfferSentence<'a> {
    /// A piece.
    Piece(&'a tree::Piece, Span),
    /// A seam.
    Seam(&'a tree::Seam, Span),
    /// Offers on what was offered.
    Take(&'a tree::Name),
}

/// Where the names of an offer come from, after those of the taker.
#[derive(Clone)]
pub(super) enum Home {
    /// An imported file: prefix and names.
    File(String, Names),
    /// The panel an operation gave, under whatever name it has been given.
    Panel,
}

/// An offer.
#[derive(Clone)]
pub(super) struct Offer<'a> {
    pub sentences: Vec<OfferSentence<'a>>,
    pub home: Home,
}

/// A piece to trace, its sentence, and the sheet and home it comes from where it is offered.
type OfferedPiece<'a> = (&'a tree::Piece, Span, Option<Rc<Sheet>>, Option<Home>);

impl<'a> Checker<'a> {
    /// `pieces of arm`
    pub fn take_pieces(&mut self, name: &'a tree::Name) -> Vec<Op> {
        if self.offer(OfferSentence::Take(name)) {
            return Vec::new();
        }
        let Some(binding) = self.resolve(name) else {
            return Vec::new();
        };
        let Bound::Sheet(sheet) = &binding.bound else {
            let message = format!("`{}` offers no pieces.", self.said(name.span));
            self.fail(
                Diagnostic::error(Code::UnknownEdge, name.span, message)
                    .help("Name an import, or a panel that an operation gave."),
            );
            return Vec::new();
        };
        let sheet = Rc::clone(sheet);
        if sheet.is_open {
            return Vec::new();
        }
        let Some(offer) = sheet
            .offers
            .and_then(|number| self.offers.get(number))
            .cloned()
        else {
            let message = format!("`{}` offers no pieces.", self.said(name.span));
            self.fail(Diagnostic::error(Code::UnknownEdge, name.span, message));
            return Vec::new();
        };
        self.take(&offer, &sheet)
    }

    fn take(&mut self, offer: &Offer<'a>, sheet: &Rc<Sheet>) -> Vec<Op> {
        let mut ops = Vec::new();
        let own = self.own_declarations();
        for sentence in &offer.sentences {
            ops.extend(self.at_home(&offer.home, sheet, |c| match sentence {
                OfferSentence::Piece(piece, _) if own.0.contains(&piece.name.text.to_string()) => {
                    Vec::new()
                }
                OfferSentence::Seam(seam, _) if own.1.contains(&seam.name.text.to_string()) => {
                    Vec::new()
                }
                OfferSentence::Piece(piece, span) => {
                    c.unbroken(|c| c.lower_piece(piece, *span, Some(sheet))).0
                }
                OfferSentence::Seam(seam, span) => c.unbroken(|c| c.lower_seam(seam, *span)).0,
                OfferSentence::Take(name) => c.take_pieces(name),
            }));
        }
        ops
    }

    /// Runs `f` where the names of the offer's home can be seen behind those of the taker.
    pub fn at_home<T>(
        &mut self,
        home: &Home,
        sheet: &Rc<Sheet>,
        f: impl FnOnce(&mut Self) -> T,
    ) -> T {
        let (prefix, names) = match home {
            Home::File(prefix, names) => (prefix.clone(), names.clone()),
            Home::Panel => (format!("{}.", sheet.full_name), sheet.members.clone()),
        };
        let mut layer = Layer::new(LayerKind::File, "", prefix);
        layer.names = names;
        self.layers.insert(0, layer);
        let result = f(self);
        if !self.layers.is_empty() {
            self.layers.remove(0);
        }
        result
    }

    /// The piece that `traced from` names, with the sheet it comes from: this file's own, or one that is offered.
    pub fn offered_piece(&mut self, name: &'a tree::Name) -> Option<OfferedPiece<'a>> {
        let (last, owner) = name.words.split_last()?;
        if owner.is_empty() {
            let found = self
                .own_pieces()
                .find(|(piece, _)| piece.name.text == last.text);
            if let Some((piece, span)) = found {
                return Some((piece, span, None, None));
            }
            self.no_such_piece(name, &last.text, Vec::new());
            return None;
        }
        let owner = tree::Name {
            words: owner.to_vec(),
            span: name.span,
        };
        let binding = self.resolve(&owner)?;
        let Bound::Sheet(sheet) = &binding.bound else {
            self.no_such_piece(name, &last.text, Vec::new());
            return None;
        };
        let sheet = Rc::clone(sheet);
        let offer = sheet
            .offers
            .and_then(|number| self.offers.get(number))
            .cloned();
        let pieces: Vec<(&'a tree::Piece, Span)> = offer
            .iter()
            .flat_map(|offer| &offer.sentences)
            .filter_map(|s| {
                if let OfferSentence::Piece(piece, span) = s {
                    Some((*piece, *span))
                } else {
                    None
                }
            })
            .collect();
        let found = pieces
            .iter()
            .find(|(piece, _)| piece.name.text == last.text)
            .copied();
        match found {
            Some((piece, span)) => Some((piece, span, Some(sheet), offer.map(|offer| offer.home))),
            None => {
                let names = pieces
                    .iter()
                    .map(|(piece, _)| piece.name.text.to_string())
                    .collect();
                self.no_such_piece(name, &last.text, names);
                None
            }
        }
    }

    fn no_such_piece(&mut self, name: &tree::Name, wanted: &str, offered: Vec<String>) {
        let mut diagnostic = Diagnostic::error(
            Code::UnknownEdge,
            name.span,
            format!("There is no piece `{}` to trace.", self.said(name.span)),
        );
        if let Some(near) = nearest_word(wanted, offered.iter().map(String::as_str)) {
            diagnostic = diagnostic.help(format!("Did you mean `{near}`?"));
        }
        self.fail(diagnostic);
    }

    fn own_pieces(&self) -> impl Iterator<Item = (&'a tree::Piece, Span)> + use<'a> {
        let sentences: &'a [tree::Sentence] = self
            .project
            .file(self.file.index)
            .map_or(&[], |file| &file.tree.sentences);
        sentences.iter().filter_map(|s| {
            if let tree::SentenceKind::Piece(piece) = &s.kind {
                Some((piece, s.span))
            } else {
                None
            }
        })
    }

    /// Pieces and seams the draft declares itself; they stand in place of offered ones.
    fn own_declarations(&self) -> (Vec<String>, Vec<String>) {
        let sentences: &'a [tree::Sentence] = self
            .project
            .file(0)
            .map_or(&[], |file| &file.tree.sentences);
        let mut own = (Vec::new(), Vec::new());
        for sentence in sentences {
            match &sentence.kind {
                tree::SentenceKind::Piece(piece) => own.0.push(piece.name.text.to_string()),
                tree::SentenceKind::Seam(seam) => own.1.push(seam.name.text.to_string()),
                _ => {}
            }
        }
        own
    }
}
