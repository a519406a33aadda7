//! What imports and operations offer: pieces and seams, checked only where one sentence takes them, since the names in
//! them are looked up there.

use super::checker::{Checker, PanelOffers, Typed};
use super::copies::OfCopy;
use super::lay_out::Copy;
use super::left_there::LeftThere;
use super::program::Op;
use super::scope::{Binding, Bound, Layer, LayerKind, Lines, Names, Sheet, nearest_word};
use crate::kind::Kind;
use crate::report::{Code, Diagnostic, Span};
use crate::syntax::tree;
use std::collections::BTreeMap;
use std::rc::Rc;
use std::sync::Arc;

/// A sentence that is offered.
#[derive(Clone, Copy)]
pub(super) enum OfferSentence<'a> {
    Piece(&'a tree::Piece, Span),
    Seam(&'a tree::Seam, Span),
    /// Offers on what was offered.
    Take(&'a tree::Take),
}

/// Where the names of an offer come from, after those of the taker.
#[derive(Clone)]
pub(super) enum Home {
    /// An imported file.
    File {
        /// Before its full names.
        prefix: String,
        names: Rc<Names>,
        /// What was laid out in it by an `each`.
        laid: Rc<BTreeMap<Arc<str>, Rc<[Copy]>>>,
    },
    /// The panel an operation gave, under whatever name it has been given.
    Panel,
}

#[derive(Clone)]
pub(super) struct Offer<'a> {
    pub sentences: Vec<Offered<'a>>,
    pub home: Home,
}

/// A sentence that is offered, with what the call that offers it was given.
#[derive(Clone)]
pub(super) struct Offered<'a> {
    pub sentence: OfferSentence<'a>,
    pub passed: Option<Rc<Passed>>,
    /// Of which copy it is, where an `each` lays it out.
    pub copy: Option<Rc<OfCopy<'a>>>,
}

impl OfferSentence<'_> {
    pub(super) fn span(&self) -> Span {
        match self {
            OfferSentence::Piece(piece, _) => piece.name.span,
            OfferSentence::Seam(seam, _) => seam.name.span,
            OfferSentence::Take(take) => take.of.span,
        }
    }
}

/// What an operation was given by name. A seam that it offers is walked against those very panels and lines, on the
/// newest sheet there is where it is taken.
#[derive(Clone, Debug, Default)]
pub(super) struct Passed {
    panels: BTreeMap<Arc<str>, PassedPanel>,
    lines: BTreeMap<Arc<str>, Lines>,
    /// The sentence is the operation's own, so what its call is given is still to be added.
    is_own: bool,
}

/// A panel an operation was given.
#[derive(Clone, Debug)]
struct PassedPanel {
    /// By this name; none where it is the result itself.
    name: Option<Arc<str>>,
    /// What it offered at the time, for a piece that is traced from one of these.
    offers: Option<usize>,
}

impl Passed {
    /// Keeps what stands for a parameter, where it has a name.
    pub(super) fn note(&mut self, parameter: &Arc<str>, given: &[Typed]) {
        if let [one] = given {
            if let (Kind::Panel, Some(name)) = (&one.kind, &one.name) {
                let panel = PassedPanel {
                    name: Some(Arc::clone(name)),
                    offers: one.shape.as_ref().and_then(|shape| shape.offers),
                };
                self.panels.insert(Arc::clone(parameter), panel);
            }
            if let Some(lines) = &one.lines {
                self.lines.insert(Arc::clone(parameter), Rc::clone(lines));
            }
        }
        if let Some(lines) = lines_of(given) {
            self.lines.insert(Arc::clone(parameter), lines);
        }
    }
}

impl Passed {
    /// The same, where the panel of that name is the result.
    fn given_as(&self, name: &str) -> Self {
        let mut passed = self.clone();
        for panel in passed.panels.values_mut() {
            if panel.name.as_deref() == Some(name) {
                panel.name = None;
            }
        }
        passed
    }

    /// The same as the caller of the operation sees it: the operation's own names for what it was given become the
    /// caller's.
    fn seen_from_outside(&self, outer: &Passed) -> Self {
        if self.is_own {
            let mut passed = outer.clone();
            passed.panels.extend(self.panels.clone());
            return passed;
        }
        let mut passed = self.clone();
        for panel in passed.panels.values_mut() {
            if let Some(outside) = panel.name.as_ref().and_then(|n| outer.panels.get(n)) {
                panel.name = outside.name.clone();
            }
        }
        passed
    }
}

impl<'a> Offered<'a> {
    /// A sentence that needs nothing it was given.
    pub(super) fn alone(sentence: OfferSentence<'a>) -> Self {
        Self {
            sentence,
            passed: None,
            copy: None,
        }
    }

    /// Its name where it is declared; empty where it takes others.
    pub(super) fn called(&self) -> String {
        let name = match &self.sentence {
            OfferSentence::Piece(piece, _) => piece.name.text.as_ref(),
            OfferSentence::Seam(seam, _) => seam.name.text.as_ref(),
            OfferSentence::Take(_) => "",
        };
        let round = self
            .copy
            .as_ref()
            .and_then(|copy| copy.one.layer.round.as_ref());
        [name, round.map_or("", |round| &round.suffix)].concat()
    }

    /// Two sentences of which one stands in place of the other.
    fn replaces(&self, other: &Self) -> bool {
        match (&self.sentence, &other.sentence) {
            (OfferSentence::Piece(a, _), OfferSentence::Piece(b, _)) => a.name.text == b.name.text,
            (OfferSentence::Seam(a, _), OfferSentence::Seam(b, _)) => a.name.text == b.name.text,
            (OfferSentence::Take(a), OfferSentence::Take(b)) => {
                a.what == b.what && a.of.words == b.of.words
            }
            _ => false,
        }
    }
}

/// The names of lines, where each of these is a line with a name.
pub(super) fn lines_of(items: &[Typed]) -> Option<Lines> {
    let mut names: Vec<Vec<Arc<str>>> = Vec::new();
    for item in items {
        match (&item.lines, &item.name) {
            (Some(lines), _) => names.extend(lines.iter().cloned()),
            (None, Some(name)) if item.kind.is_path() => {
                names.push(name.split('.').map(Arc::from).collect());
            }
            _ => return None,
        }
    }
    (!names.is_empty()).then(|| names.into())
}

/// A piece to trace, and where it is offered the sheet it comes from, its home with the names of its copy, and what that
/// was given.
type OfferedPiece<'a> = (
    &'a tree::Piece,
    Option<Rc<Sheet>>,
    Option<(Home, Option<Layer>)>,
    Names,
);

impl<'a> Checker<'a> {
    /// The draft's own sentence that takes what the library offers at `span`.
    pub(super) fn taken(&self, span: Span) -> Option<Span> {
        self.taking
            .filter(|_| self.project.sources.is_library(span.file))
    }

    /// `pieces of arm`
    pub(super) fn take(&mut self, take: &'a tree::Take) -> Vec<Op> {
        let name = &take.of;
        let outer = self.taking;
        if !self.project.sources.is_library(name.span.file) {
            self.taking = Some(name.span);
        }
        self.left_there.push(LeftThere::of(take));
        let ops = self.take_offered(take);
        let left = self.left_there.pop();
        for word in left.iter().flat_map(LeftThere::unknown) {
            let message = format!(
                "`{}` offers no piece and no seam `{}`.",
                self.said(name.span),
                word.text
            );
            let offered = left.iter().flat_map(|left| left.met.iter());
            let near = nearest_word(&word.text, offered.map(|met| met.as_ref()));
            let mut told = Diagnostic::error(Code::UnknownEdge, word.span, message);
            if let Some(near) = near {
                told = told.meant(near);
            }
            self.fail(told);
        }
        self.taking = outer;
        ops
    }

    fn take_offered(&mut self, take: &'a tree::Take) -> Vec<Op> {
        let name = &take.of;
        if self.offer(OfferSentence::Take(take)) {
            if let Some(left) = self.left_there.last_mut() {
                left.without = &[];
            }
            return Vec::new();
        }
        let Some(binding) = self.resolve(name) else {
            self.lose_taken(self.take_said(take));
            return Vec::new();
        };
        let Bound::Sheet(sheet) = &binding.bound else {
            let message = format!("`{}` offers no pieces.", self.said(name.span));
            self.fail(
                Diagnostic::error(Code::UnknownEdge, name.span, message)
                    .help("Name an import, or a panel that an act gave."),
            );
            return Vec::new();
        };
        let sheet = Rc::clone(sheet);
        if sheet.is_open {
            self.lose_taken(self.take_said(take));
            if let Some(left) = self.left_there.last_mut() {
                left.without = &[];
            }
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
        self.take_all(&offer, &sheet)
    }

    fn take_all(&mut self, offer: &Offer<'a>, sheet: &Rc<Sheet>) -> Vec<Op> {
        let mut ops = Vec::new();
        let own = self.own_declarations();
        let renamed = self.renamed(offer, sheet);
        self.renamed.push(renamed);
        for sentence in &offer.sentences {
            if self.is_left_there(sentence) {
                continue;
            }
            let name = sentence.called();
            let is_own = match &sentence.sentence {
                OfferSentence::Piece(..) => own.0.contains(&name),
                OfferSentence::Seam(..) => own.1.contains(&name),
                OfferSentence::Take(_) => false,
            };
            if is_own {
                continue;
            }
            let passed = self.passed_panels(sentence.passed.as_deref(), sheet);
            let copy = sentence
                .copy
                .as_deref()
                .map(|copy| self.copy_as_taken(copy));
            let taken = self.at_home(&offer.home, sheet, (passed, None), |c| {
                match (&sentence.sentence, &copy) {
                    (_, Some(copy)) => c.take_of_copy(copy),
                    (OfferSentence::Piece(piece, span), None) => {
                        c.unbroken(|c| c.lower_piece(piece, *span, Some(sheet))).0
                    }
                    (OfferSentence::Seam(seam, span), None) => {
                        c.unbroken(|c| c.lower_seam(seam, *span)).0
                    }
                    (OfferSentence::Take(take), None) => c.take(take),
                }
            });
            ops.extend(taken);
        }
        self.renamed.pop();
        ops
    }

    /// Whether a sentence that is taken with these stays where it is offered.
    fn is_left_there(&mut self, sentence: &Offered<'_>) -> bool {
        let mut stays = false;
        for left in &mut self.left_there {
            stays |= left.keeps(sentence);
        }
        stays
    }

    /// Runs `f` where the names of the offer's home can be seen before those of the taker: a file's, each of its panels as
    /// the taker's sheet that was made from it where there is one; an operation's results, and what it was given. Before
    /// these stand the names of a copy.
    pub(super) fn at_home<T>(
        &mut self,
        home: &Home,
        sheet: &Rc<Sheet>,
        (passed, copy): (Names, Option<Layer>),
        f: impl FnOnce(&mut Self) -> T,
    ) -> T {
        let before = self.here.layers.len();
        let mut outer = None;
        match home {
            Home::File {
                prefix,
                names,
                laid,
            } => {
                let mut layer = Layer::new(LayerKind::File, "", prefix.clone());
                layer.names = self.as_taken(names, "");
                let laid = laid.iter();
                let laid =
                    laid.map(|(name, copies)| (Arc::clone(name), self.copies_as_taken(copies)));
                let laid = laid.collect();
                outer = Some(std::mem::replace(&mut self.here.laid, laid));
                self.here.layers.push(layer);
            }
            Home::Panel => {
                let mut given = Layer::new(LayerKind::File, "", String::new());
                given.names = Rc::new(passed);
                self.here.layers.push(given);
                let prefix = format!("{}.", sheet.full_name);
                let mut layer = Layer::new(LayerKind::File, "", prefix);
                layer.names = sheet.members.clone();
                self.here.layers.push(layer);
            }
        }
        self.here.layers.extend(copy);
        let result = f(self);
        self.here.layers.truncate(before);
        if let Some(outer) = outer {
            self.here.laid = outer;
        }
        result
    }

    fn copies_as_taken(&self, copies: &Rc<[Copy]>) -> Rc<[Copy]> {
        let taken = |copy: &Copy| Copy {
            names: self.as_taken(&copy.names, &copy.round.suffix),
            ..copy.clone()
        };
        copies.iter().map(taken).collect()
    }

    /// What an import offers of a copy, as the taker has its panels.
    fn copy_as_taken(&self, offered: &OfCopy<'a>) -> OfCopy<'a> {
        let mut taken = offered.clone();
        taken.copies = self.copies_as_taken(&offered.copies);
        taken.one.layer = self.layer_as_taken(&offered.one.layer);
        taken
    }

    fn layer_as_taken(&self, layer: &Layer) -> Layer {
        let suffix = layer.round.as_ref().map_or("", |round| &round.suffix);
        Layer {
            names: self.as_taken(&layer.names, suffix),
            ..layer.clone()
        }
    }

    /// The names of an import as the taker has them: a panel of the taker's takes the place of the one it was made from,
    /// if it bears its name or is the only one. In a copy the suffix stands behind the names.
    fn as_taken(&self, names: &Rc<Names>, suffix: &str) -> Rc<Names> {
        let own = self.here.layers.first();
        let own = own.into_iter().flat_map(|layer| layer.names.iter());
        let made: Vec<(&Arc<str>, &Binding, &Rc<Sheet>)> = own
            .filter_map(|(name, binding)| match &binding.bound {
                Bound::Sheet(sheet) if !sheet.origins.is_empty() => Some((name, binding, sheet)),
                _ => None,
            })
            .collect();
        if made.is_empty() {
            return Rc::clone(names);
        }
        let mut taken = Rc::clone(names);
        for (name, binding) in names.iter() {
            let Bound::Sheet(old) = &binding.bound else {
                continue;
            };
            let is_from = |(_, _, sheet): &&(&Arc<str>, &Binding, &Rc<Sheet>)| {
                sheet.origins.contains(&old.full_name)
            };
            let fresh: Vec<_> = made.iter().filter(is_from).collect();
            let is_namesake = |own: &str| own.strip_suffix(suffix) == Some(name.as_ref());
            let namesake = fresh.iter().find(|(own, ..)| is_namesake(own));
            let only = || {
                if let [one] = fresh.as_slice() {
                    Some(one)
                } else {
                    None
                }
            };
            if let Some((_, binding, _)) = namesake.or_else(only) {
                Rc::make_mut(&mut taken).insert(Arc::clone(name), (*binding).clone());
            }
        }
        taken
    }

    /// The panels and lists of lines that an operation was given, under its own names for them, as they are now.
    fn passed_panels(&mut self, passed: Option<&Passed>, home: &Rc<Sheet>) -> Names {
        let mut names = Names::new();
        let Some(passed) = passed else { return names };
        for (parameter, panel) in &passed.panels {
            let itself = Binding::new(Bound::Sheet(Rc::clone(home)), Span::default());
            let bound = match &panel.name {
                None => Some(itself),
                Some(name) => self.panel_at(name),
            };
            if let Some(mut binding) = bound {
                binding.used.set(true);
                if let Bound::Sheet(sheet) = &binding.bound {
                    let as_given = Sheet {
                        offers: panel.offers,
                        ..Sheet::clone(sheet)
                    };
                    binding.bound = Bound::Sheet(Rc::new(as_given));
                }
                names.insert(Arc::clone(parameter), binding);
            }
        }
        for (parameter, lines) in &passed.lines {
            let bound = Bound::Value {
                slot: super::program::Slot::NONE,
                kind: Kind::List(Box::new(Kind::Curve)),
                site: None,
            };
            let mut binding = Binding::new(bound, Span::default());
            binding.lines = Some(Rc::clone(lines));
            names.insert(Arc::clone(parameter), binding);
        }
        names
    }

    fn panel_at(&self, path: &str) -> Option<Binding> {
        let mut words = path.split('.');
        let mut bound = words.next().and_then(|first| self.find(first));
        for word in words {
            bound = match bound.map(|b| b.bound) {
                Some(Bound::Sheet(sheet)) => sheet.members.get(word).cloned(),
                _ => None,
            };
        }
        bound
    }

    /// The offers of one call, which remember what it was given.
    pub(super) fn offers_of_call(
        &mut self,
        offers: Option<usize>,
        passed: Passed,
    ) -> Option<usize> {
        let mut offer = self.offers.get(offers?)?.clone();
        let passed = Rc::new(passed);
        for offered in &mut offer.sentences {
            offered.passed = Some(match &offered.passed {
                None => Rc::clone(&passed),
                Some(inner) => Rc::new(inner.seen_from_outside(&passed)),
            });
        }
        self.offers.push(offer);
        Some(self.offers.len() - 1)
    }

    /// What an operation offers: what the panel it gives alone offers already, and what it says itself.
    pub(super) fn offers_given(
        &mut self,
        given: Option<PanelOffers>,
        own: Option<usize>,
    ) -> Option<usize> {
        let Some((name, inner)) = given else {
            return own;
        };
        let mut offer = self.offers.get(inner)?.clone();
        for offered in &mut offer.sentences {
            offered.passed = offered
                .passed
                .as_ref()
                .map(|passed| Rc::new(passed.given_as(&name)));
        }
        self.offers.push(offer);
        let inner = self.offers.len() - 1;
        // The operation's own sentences mean by that name what it gives, with what that offers already.
        let itself = PassedPanel {
            name: None,
            offers: Some(inner),
        };
        let passed = Rc::new(Passed {
            panels: BTreeMap::from([(name, itself)]),
            is_own: true,
            ..Passed::default()
        });
        if let Some(own) = own.and_then(|own| self.offers.get_mut(own)) {
            for offered in &mut own.sentences {
                offered.passed = Some(Rc::clone(&passed));
            }
        }
        self.offers_together(Some(inner), own)
    }

    /// What a fresh sheet offers: its own, and what the sheet below offers beside.
    pub(super) fn offers_together(
        &mut self,
        old: Option<usize>,
        new: Option<usize>,
    ) -> Option<usize> {
        let (Some(below), Some(above)) = (old, new) else {
            return new.or(old);
        };
        let mut offer = self.offers.get(below)?.clone();
        let above = self.offers.get(above)?.clone();
        offer
            .sentences
            .retain(|known| !above.sentences.iter().any(|fresh| fresh.replaces(known)));
        offer.sentences.extend(above.sentences);
        self.offers.push(offer);
        Some(self.offers.len() - 1)
    }

    /// The piece that `traced from` names, with the sheet it comes from: this file's own, or one that is offered.
    pub(super) fn offered_piece(&mut self, name: &'a tree::Name) -> Option<OfferedPiece<'a>> {
        let (last, owner) = name.words.split_last()?;
        if owner.is_empty() {
            let found = self
                .own_pieces()
                .find(|(piece, _)| piece.name.text == last.text);
            if let Some((piece, _)) = found {
                return Some((piece, None, None, Names::new()));
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
        let offered = offer.iter().flat_map(|offer| &offer.sentences);
        let mut names = Vec::new();
        let mut found = None;
        for one in offered {
            if let OfferSentence::Piece(piece, _) = one.sentence {
                let name = one.called();
                if name == *last.text {
                    found = Some((piece, one));
                    break;
                }
                names.push(name);
            }
        }
        let Some((piece, offered)) = found else {
            self.no_such_piece(name, &last.text, names);
            return None;
        };
        let passed = self.passed_panels(offered.passed.as_deref(), &sheet);
        let copy = offered.copy.as_deref();
        let copy = copy.map(|copy| self.layer_as_taken(&copy.one.layer));
        let home = offer.as_ref().map(|offer| (offer.home.clone(), copy));
        Some((piece, Some(sheet), home, passed))
    }

    fn no_such_piece(&mut self, name: &tree::Name, wanted: &str, offered: Vec<String>) {
        let mut diagnostic = Diagnostic::error(
            Code::UnknownEdge,
            name.span,
            format!("There is no piece `{}` to trace.", self.said(name.span)),
        );
        if let Some(near) = nearest_word(wanted, offered.iter().map(String::as_str)) {
            let place = name.words.last().map_or(name.span, |word| word.span);
            diagnostic = diagnostic
                .help(format!("Did you mean `{near}`?"))
                .offer(place, near);
        }
        self.fail(diagnostic);
    }

    pub(super) fn own_pieces(&self) -> impl Iterator<Item = (&'a tree::Piece, Span)> + use<'a> {
        let sentences: &'a [tree::Sentence] = self
            .project
            .file(self.here.file.index)
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
