//! Which names can be seen where. A layer is a file, a panel or an operation; a panel that is finished becomes a
//! [`Sheet`] under its name. Values never change, so a traced name simply shares its slot with the old one.

use super::program::{Node, SiteId, Slot};
use super::shape::Shape;
use crate::kind::Kind;
use crate::report::Span;
use crate::syntax::tree::NEXT;
use std::cell::Cell;
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;
use std::sync::Arc;

/// Names in a layer or on a sheet.
pub(super) type Names = BTreeMap<Arc<str>, Binding>;

#[derive(Clone, Debug)]
pub(super) struct Binding {
    /// What it stands for.
    pub bound: Bound,
    /// Where it was drawn.
    pub span: Span,
    /// Whether anything read it; shared by every copy.
    pub used: Rc<Cell<bool>>,
    /// Came with the panel that was traced, and may be hidden.
    pub traced: bool,
    /// Where the name is a list of lines: the lines' names, as seen from the sheet that holds the list.
    pub lines: Option<Lines>,
    /// Where the name is a list of panels: what is on each.
    pub items: Option<Rc<Shape>>,
    /// An aid of the operation of that head (none: of the draft itself), which does not give it.
    pub guide: Option<Arc<str>>,
}

/// Names of lines that stand together in a list, so that a seam may name the list.
pub(super) type Lines = Rc<[Vec<Arc<str>>]>;

/// What a name stands for.
#[derive(Clone, Debug)]
pub(super) enum Bound {
    Value {
        slot: Slot,
        kind: Kind,
        /// The sentence that drew it.
        site: Option<SiteId>,
    },
    /// A panel, or a file that was imported.
    Sheet(Rc<Sheet>),
    /// Drawn only in a branch of this `if`: what each branch that draws it leaves, of which one run has one at most.
    OnOneBranch(Span, Vec<(Slot, Kind, SiteId)>),
}

impl Binding {
    pub(super) fn new(bound: Bound, span: Span) -> Self {
        Self {
            bound,
            span,
            used: Rc::new(Cell::new(false)),
            traced: false,
            lines: None,
            items: None,
            guide: None,
        }
    }

    /// Where its value is.
    pub(super) fn slot(&self) -> Option<Slot> {
        match &self.bound {
            Bound::Value { slot, .. } => Some(*slot),
            Bound::Sheet(_) | Bound::OnOneBranch(..) => None,
        }
    }

    /// Where it came from, for a label at its place.
    pub(super) fn origin(&self, name: &str) -> String {
        match &self.bound {
            Bound::Value {
                kind: Kind::Quantity(_) | Kind::Text | Kind::Answer,
                ..
            } => format!("`{name}` comes from here"),
            Bound::Sheet(sheet) if sheet.is_file => format!("`{name}` is brought in here"),
            _ => format!("`{name}` is drawn here"),
        }
    }

    /// The same name, redrawn: whoever read the old one used the name.
    pub(super) fn redrawn(&self, bound: Bound, span: Span) -> Self {
        Self {
            bound,
            span,
            used: Rc::clone(&self.used),
            traced: false,
            lines: None,
            items: None,
            guide: self.guide.clone(),
        }
    }
}

/// A finished panel or an imported file.
#[derive(Clone, Debug, Default)]
pub(super) struct Sheet {
    /// Its full name: `back`, `house.back`.
    pub full_name: String,
    /// Its members; whoever traces them shares them until one is drawn.
    pub members: Rc<Names>,
    /// Where the cloth is, for `inside` and `outside`.
    pub cloth: Option<Node>,
    /// A file rather than a panel.
    pub is_file: bool,
    /// Members are not known yet: the panel an operation will be given.
    pub is_open: bool,
    /// What it offers to be taken: the number of an [`Offer`](super::offers::Offer).
    pub offers: Option<usize>,
    /// How many names it holds, those of panels on it counted.
    pub size: usize,
    /// Full names of the panels it was traced or made from, and of those that they were.
    pub origins: Rc<[String]>,
    /// In an operation: the panel it was given that this one is, or is laid over.
    pub laid_on: Option<LaidOn>,
}

/// A panel that an operation was given, or one that lies on it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct LaidOn {
    /// Which of the panels it was given.
    pub argument: usize,
    /// By which path it is reached there, with a point at its end: empty, `front.`.
    pub path: Arc<str>,
}

impl Sheet {
    /// What a panel made from this one comes from.
    pub(super) fn lineage(&self) -> Rc<[String]> {
        let own = std::iter::once(&self.full_name);
        own.chain(self.origins.iter()).cloned().collect()
    }
}

/// How many names there are, those of panels among them counted.
pub(super) fn size_of(names: &Names) -> usize {
    let size = |binding: &Binding| match &binding.bound {
        Bound::Sheet(sheet) => sheet.size.saturating_add(1),
        Bound::Value { .. } | Bound::OnOneBranch(..) => 1,
    };
    names.values().map(size).fold(0, usize::saturating_add)
}

/// What a layer is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum LayerKind {
    /// A file's own names.
    File,
    /// A panel being drawn.
    Panel,
    /// An operation's own names.
    Operation,
    /// The body of an `each` that collects.
    Each,
    /// One time of an `each` that is laid out.
    Round,
}

/// Which time of an `each` that is laid out it is, and what its names are called elsewhere.
#[derive(Clone, Debug)]
pub(super) struct Round {
    /// Behind every name that is drawn in it: `_3`.
    pub suffix: String,
    /// The same of the next time, where a seam may name it.
    pub next: Option<String>,
    /// Which copy it is, from 0, and its number.
    pub copy: usize,
    pub number: u32,
    /// Pieces that the block declares.
    pub pieces: Rc<BTreeSet<Arc<str>>>,
}

impl Round {
    /// What a piece of the block is called elsewhere; `next gore` is the next one.
    pub(super) fn called(&self, piece: &str) -> Option<String> {
        let next = piece
            .strip_prefix(NEXT)
            .and_then(|rest| rest.strip_prefix(' '));
        let suffix = match next {
            Some(_) => self.next.as_ref()?,
            None => &self.suffix,
        };
        let base = next.unwrap_or(piece);
        self.pieces
            .contains(base)
            .then(|| format!("{base}{suffix}"))
    }
}

/// A place where names are being drawn.
#[derive(Clone, Debug)]
pub(super) struct Layer {
    pub kind: LayerKind,
    /// The panel's own name; empty elsewhere.
    pub name: Arc<str>,
    /// Prefix of full names drawn here: `""`, `back.`, `house.back.`.
    pub prefix: String,
    /// The panel's full name; that of the prefix without its point.
    pub full_name: Arc<str>,
    /// Its names; branches and sheets share them until one is drawn.
    pub names: Rc<Names>,
    /// Where the cloth is.
    pub cloth: Option<Node>,
    /// Traced from a panel that is not known: whatever is not found here may have come with it.
    pub is_open: bool,
    /// In an operation: the panel it was given that this sheet is laid over.
    pub laid_on: Option<LaidOn>,
    /// Which time of an `each` it is.
    pub round: Option<Rc<Round>>,
}

impl Layer {
    pub(super) fn new(kind: LayerKind, name: &str, prefix: String) -> Self {
        Self {
            kind,
            name: name.into(),
            full_name: prefix.trim_end_matches('.').into(),
            prefix,
            names: Rc::default(),
            cloth: None,
            is_open: false,
            laid_on: None,
            round: None,
        }
    }

    /// The full name of what is drawn here under a name.
    pub(super) fn full(&self, name: &str) -> String {
        let suffix = self.round.as_ref().map_or("", |round| &round.suffix);
        [&self.prefix, name, suffix].concat()
    }

    /// Puts a name on the sheet, in the place of an older one.
    pub(super) fn put(&mut self, name: Arc<str>, binding: Binding) {
        Rc::make_mut(&mut self.names).insert(name, binding);
    }
}

/// The name among `candidates` that a slip of the pen most likely meant; ties go to the first.
pub fn nearest_word<'a>(
    wrong: &str,
    candidates: impl IntoIterator<Item = &'a str>,
) -> Option<&'a str> {
    let allowed = match wrong.chars().count() {
        0..=4 => 1,
        5..=8 => 2,
        _ => 3,
    };
    let lower = wrong.to_lowercase();
    candidates
        .into_iter()
        .filter(|word| *word != wrong)
        .map(|word| {
            (
                strsim::damerau_levenshtein(&lower, &word.to_lowercase()),
                word,
            )
        })
        .filter(|(distance, _)| *distance <= allowed)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, word)| word)
}
