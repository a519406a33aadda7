//! The checked draft: every name looked up, every phrase bound to its form, every kind known. Evaluation runs it without
//! looking anything up by name.

mod bound;
mod node;
mod sewing;
mod walk;

pub use bound::Bound;
pub(crate) use node::*;
pub(crate) use sewing::*;
pub use sewing::{PieceCode, SeamCode};

use crate::kind::{Dimension, Kind};
use crate::report::Span;
use crate::syntax::tree::MeasureOf;
use crate::voice::LengthUnit;
use std::sync::Arc;

/// Where a value is kept while the draft is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Slot {
    /// Of the sentence row being carried out: the draft itself, or one call of an operation.
    Local(u32),
    /// A measure or choice, from within an operation.
    Global(u32),
}

impl Slot {
    /// Of lines that are known by their names alone: no value of theirs is kept.
    pub(crate) const NONE: Slot = Slot::Local(u32::MAX);
}

/// The number of a [`Site`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct SiteId(pub u32);

/// The number of a [`StepInfo`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct StepId(pub u32);

/// Which form a phrase was bound to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum FormRef {
    /// A row of the built-in table.
    Built(usize),
    /// An operation declared in the language.
    Operation(usize),
}

/// The whole checked draft.
#[derive(Clone, Debug, Default)]
pub struct Program {
    /// As the draft says it; empty where it says none.
    pub title: String,
    /// The unit for people.
    pub unit: LengthUnit,
    /// Figures as they are written, apart from what is done with them: where one is changed, all else stays as it is.
    pub figures: Vec<Figure>,
    /// Values kept by the draft itself.
    pub(crate) slots: u32,
    /// What is done, in order.
    pub(crate) body: Vec<Op>,
    /// Operations as called: one for each set of panels they were given.
    pub(crate) routines: Vec<Routine>,
    /// Every sentence that draws.
    pub sites: Vec<Site>,
    /// Every step in order.
    pub steps: Vec<StepInfo>,
    /// Measures and choices in the order they are settled.
    pub measures: Vec<MeasureCode>,
    /// Every name at the end of the draft, by full name; of a panel drawn more than once, the last sheet.
    pub names: Vec<FinalName>,
    /// Numbers of these names, by the slots of their values.
    pub(crate) names_by_slot: Vec<u32>,
    /// Pieces as declared or taken.
    pub pieces: Vec<PieceCode>,
    /// Seams as declared or taken.
    pub seams: Vec<SeamCode>,
    /// Seams by name in the order they are made up.
    pub order: Vec<String>,
    /// Edges of seams that only another draft can walk: the line, the seam, its allowance.
    pub(crate) offered_edges: Vec<(String, String, Option<Node>)>,
    pub(crate) cloths: Vec<ClothCode>,
    /// Operations declared in the draft, its imports and the library modules it uses, with their rows.
    pub operations: Vec<OperationInfo>,
    /// What is not drawn, whatever the body is, and has no name among those above: panels of which it is not known what is on
    /// them, sentences that take pieces.
    pub(crate) not_drawn: Vec<String>,
    /// Pieces whose sentences are wrong, by name, and those of them of which some edges are known.
    pub(crate) lost_pieces: Vec<String>,
    pub(crate) broken_pieces: Vec<PieceCode>,
    /// There may be pieces whose names are not known.
    pub(crate) pieces_lost: bool,
    pub(crate) lost_seams: Vec<LostSeam>,
    /// In which order seams are made up is not known.
    pub(crate) order_lost: bool,
    /// Some sentence is wrong and left out.
    pub(crate) is_wrong: bool,
    /// Where names and heads of the draft and of what it imports are read, with where each is written first.
    pub mentions: Vec<Mention>,
}

/// A name, or the head of an act, where it is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Mention {
    /// The word.
    pub at: Span,
    /// The word that draws or declares it; of an act, the sentence that says how it is done.
    pub of: Span,
}

/// A figure as it is written.
#[derive(Clone, Copy, Debug)]
pub struct Figure {
    /// Millimetres, degrees, square millimetres or a plain number.
    pub value: f64,
    /// The place in the text, for messages.
    pub span: Span,
}

impl Program {
    /// What a node comes to that is a figure and nothing else.
    pub(crate) fn figure_of(&self, node: &Node) -> Option<f64> {
        match node {
            Node::Known(crate::phrase::Value::Quantity(figure)) => Some(*figure),
            Node::Figure(at) => self.figures.get(*at as usize).map(|figure| figure.value),
            _ => None,
        }
    }

    /// Settles by which slots the names at the end of the draft are found.
    pub(crate) fn sort_names_by_slot(&mut self) {
        let mut order: Vec<(Slot, u32)> =
            self.names.iter().map(|name| name.slot).zip(0..).collect();
        order.sort_unstable();
        self.names_by_slot = order.into_iter().map(|(_, at)| at).collect();
    }

    /// A sentence that draws, requires, checks or offers something.
    pub fn site(&self, id: SiteId) -> Option<&Site> {
        self.sites.get(id.0 as usize)
    }

    /// The same, to be added to while the draft is checked.
    pub(crate) fn site_mut(&mut self, id: SiteId) -> Option<&mut Site> {
        self.sites.get_mut(id.0 as usize)
    }

    /// A step of the draft, its imports or its operations.
    pub fn step(&self, id: StepId) -> Option<&StepInfo> {
        self.steps.get(id.0 as usize)
    }

    /// The names that a value has at the end of the draft.
    pub(crate) fn names_of(&self, slot: Slot) -> impl Iterator<Item = &str> {
        let named = |at: &u32| self.names.get(*at as usize);
        let before = |at: &u32| named(at).is_some_and(|name| name.slot < slot);
        let first = self.names_by_slot.partition_point(before);
        let after = self.names_by_slot.iter().skip(first).filter_map(named);
        after
            .take_while(move |name| name.slot == slot)
            .map(|name| name.name.as_str())
    }
}

/// What tools may know of an operation.
#[derive(Clone)]
pub struct OperationInfo {
    /// Head, places, options, kinds and documentation, as of a phrase of the table.
    pub form: crate::phrase::Form,
    /// The sentence in the text, from its first word to its last.
    pub span: Span,
    /// What it needs of the panels it is given, where its head says so.
    pub needs: Vec<NeedInfo>,
    /// What it leaves on the panel it gives, as it was checked last.
    pub draws: Vec<DrawnInfo>,
}

/// A name that an operation draws on the panel it gives.
#[derive(Clone, Debug)]
pub struct DrawnInfo {
    /// By its path on that panel: `front.hem`.
    pub name: String,
    /// As it gives it.
    pub kind: Kind,
    /// In the place of one that it was given.
    pub anew: bool,
}

/// A name that an operation needs.
#[derive(Clone, Debug)]
pub struct NeedInfo {
    /// With the parameter it lies on: `body.front.hem`.
    pub name: String,
    /// A curve takes a line, too.
    pub kind: Kind,
    /// Used where it is there, and not missed where it is not.
    pub if_drawn: bool,
    /// In the author's words; may be empty.
    pub doc: String,
}

impl std::fmt::Debug for OperationInfo {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}", self.form.signature())
    }
}

/// A name and where its value is.
#[derive(Clone, Debug)]
pub struct FinalName {
    /// `back.cb_hip`
    pub name: String,
    /// Where its last value is kept.
    pub slot: Slot,
    /// Of the value at the end of the draft.
    pub kind: Kind,
    /// The sentence that drew it.
    pub site: SiteId,
    /// Of a list of lines that have names: their full names, for which it stands, redrawn or not.
    pub lines: Vec<String>,
}

/// A sentence that draws, requires, checks or offers something.
#[derive(Clone, Debug)]
pub struct Site {
    /// From its first word to its last.
    pub span: Span,
    /// The names it draws.
    pub targets: Vec<Target>,
    /// Where the value stands in the text.
    pub value: Span,
    /// The outermost form, where there is one.
    pub form: Option<FormRef>,
    /// The step it stands in.
    pub step: Option<StepId>,
    /// Values that it reads, its block included.
    pub reads: Vec<Slot>,
    /// The panel it stands in, by full name; empty at the file's level.
    pub panel: Arc<str>,
    /// The panel it lays over another, where it draws one whole.
    pub lays: Option<Lays>,
    /// The number of the copy it stands in, where an `each` lays it out.
    pub copy: Option<u32>,
}

/// A panel laid over another: what it does not draw anew it has from there.
#[derive(Clone, Debug)]
pub struct Lays {
    /// Its full name.
    pub panel: Arc<str>,
    /// The full name of the one below.
    pub over: Arc<str>,
}

/// A name drawn by a sentence.
#[derive(Clone, Debug)]
pub struct Target {
    /// Its name with the panel's before it: `back.underarm`.
    pub name: Arc<str>,
    /// Of the value drawn here.
    pub kind: Kind,
    /// Where its value goes.
    pub slot: Slot,
    /// Where the name stands.
    pub span: Span,
    /// The value it stands in place of.
    pub replaces: Option<Slot>,
    /// The value of that name on the sheet that a panel given by a phrase is laid over.
    pub lies_over: Option<Slot>,
}

impl Target {
    /// A name that stands in place of nothing.
    pub(crate) fn new(name: Arc<str>, kind: Kind, slot: Slot, span: Span) -> Self {
        Self {
            name,
            kind,
            slot,
            span,
            replaces: None,
            lies_over: None,
        }
    }
}

/// A heading that sentences stand under.
#[derive(Clone, Debug)]
pub struct StepInfo {
    /// From 1; steps of imports and operations are numbered within them.
    pub number: usize,
    /// Its name; figures in it are filled in when it is drawn.
    pub name: String,
    /// The import it belongs to, by its full name here; empty in the draft itself.
    pub file: String,
    /// The sentence, its block included.
    pub span: Span,
}

/// A seam that cannot be walked, since its sentence is wrong.
#[derive(Clone, Debug, Default)]
pub(crate) struct LostSeam {
    /// The words of the sentence, names of edges among them.
    pub words: Vec<String>,
}

#[derive(Clone, Debug)]
pub(crate) enum Op {
    /// Settles a measure or choice.
    Measure(usize),
    Draw(Box<Drawing>),
    /// Which time of an `each` that is laid out it is.
    Number {
        slot: Slot,
        figure: f64,
    },
    /// After a branch: the value goes by this slot from here on.
    Carry {
        from: Slot,
        to: Slot,
    },
    /// Looks for a value.
    Try(Box<Trial>),
    If(Box<Branches>),
    Require(Box<ClaimCode>),
    Check(Box<ClaimCode>),
    /// Words for the lesson.
    Say(Box<Saying>),
    /// Gives results to the caller.
    Give(Box<[Giving]>),
    /// Declares the piece of that number.
    Piece(usize),
    /// Declares the seam of that number.
    Seam(usize),
}

impl Op {
    /// The sentence it is.
    pub(crate) fn site(&self) -> Option<SiteId> {
        match self {
            Op::Draw(drawing) => Some(drawing.site),
            Op::Try(trial) => Some(trial.site),
            Op::Require(claim) | Op::Check(claim) => Some(claim.site),
            Op::Say(saying) => Some(saying.site),
            Op::Measure(_)
            | Op::Number { .. }
            | Op::Carry { .. }
            | Op::If(_)
            | Op::Give(_)
            | Op::Piece(_)
            | Op::Seam(_) => None,
        }
    }
}

/// One value given, and where the caller finds it.
#[derive(Clone, Debug)]
pub(crate) struct Giving {
    pub value: Node,
    pub result: usize,
}

#[derive(Clone, Debug)]
pub(crate) struct Drawing {
    pub site: SiteId,
    /// Where the values go, in order.
    pub targets: Box<[Slot]>,
    pub value: Node,
    /// The value is a list, one item for each target.
    pub apart: bool,
    /// What lay on the old sheet and is not on the one laid over it, by full name.
    pub gone: Box<[(Arc<str>, Slot)]>,
}

/// `try`
#[derive(Clone, Debug)]
pub(crate) struct Trial {
    pub site: SiteId,
    /// The value looked for.
    pub slot: Slot,
    pub dimension: Dimension,
    pub low: Node,
    pub high: Node,
    /// Drawn in each trial.
    pub body: Vec<Op>,
    /// Left side of the equality.
    pub left: Node,
    /// Right side, with what it is to be longer by already added.
    pub right: Node,
    /// Where the right side is a figure and so much more or less: the figure's place.
    pub than: Option<Span>,
    /// What the two sides are.
    pub sides: Dimension,
    /// In the author's words: "length of armhole".
    pub wanted: Span,
    /// The left side's text.
    pub subject: Span,
    /// The author's words where no value will do.
    pub otherwise: Option<Node>,
}

/// `if`
#[derive(Clone, Debug)]
pub(crate) struct Branches {
    /// Conditions and what is done.
    pub branches: Vec<(Node, Vec<Op>)>,
    /// What is done otherwise.
    pub otherwise: Vec<Op>,
}

/// `require` and `check`
#[derive(Clone, Debug)]
pub(crate) struct ClaimCode {
    pub site: SiteId,
    /// The title of the import it stands in; empty elsewhere.
    pub import: String,
    /// What the author calls it, or says by it.
    pub text: Node,
    pub condition: Node,
}

/// What kind of words.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SayingKind {
    /// `note`: what to do.
    Note,
    /// `why`: the reason for it.
    Why,
    /// What must be known before cutting.
    Caution,
    /// `slip`: a usual mistake, with the figure it gives.
    Slip,
    /// Terms of the step.
    Terms,
}

/// `note`, `why`, `caution`, `slip`, `terms`
#[derive(Clone, Debug)]
pub(crate) struct Saying {
    pub kind: SayingKind,
    pub site: SiteId,
    pub text: Node,
    /// What a slip is made in, and the figure it gives, with its kind.
    pub slip: Option<(String, Node, Kind)>,
}

/// An operation as called.
#[derive(Clone, Debug, Default)]
pub(crate) struct Routine {
    pub head: String,
    /// The sentence that declares it.
    pub span: Span,
    /// Values kept in one call.
    pub slots: u32,
    pub body: Vec<Op>,
    /// Where each argument goes, in the order of the form's places, then options; those members of a panel that it reads
    /// follow one another.
    pub arguments: Vec<Slot>,
    pub results: usize,
    /// Its results are what it draws on a panel.
    pub gives_panel: bool,
    /// It ends with a `require` that what it is given cannot meet.
    pub refuses: bool,
    /// Arguments that are bounded.
    pub ranges: Vec<ArgumentRange>,
    /// Arguments that are one of a list of texts.
    pub texts: Vec<ArgumentTexts>,
}

/// The texts that an operation's argument may be.
#[derive(Clone, Debug)]
pub(crate) struct ArgumentTexts {
    /// Which argument, in the order of [`Routine::arguments`].
    pub argument: usize,
    pub name: String,
    /// What it may be.
    pub texts: Vec<String>,
    /// Where they are listed.
    pub span: Span,
}

/// The values that an operation's argument may take.
#[derive(Clone, Debug)]
pub(crate) struct ArgumentRange {
    /// Which argument, in the order of [`Routine::arguments`].
    pub argument: usize,
    pub name: String,
    pub kind: Kind,
    pub range: Range,
}

/// `between A and B`: the values that a measure, a choice or an argument may take, in millimetres, degrees or as plain
/// numbers. The drawing holds them to it (`draft/range.rs`).
#[derive(Clone, Copy, Debug)]
pub struct Range {
    /// The least that it may be.
    pub low: f64,
    /// The most that it may be.
    pub high: f64,
    /// Where that is said.
    pub span: Span,
}

impl Range {
    /// Whether a figure lies within, as nearly as figures are told apart.
    pub fn holds(&self, figure: f64) -> bool {
        figure >= self.low - 1e-9 && figure <= self.high + 1e-9
    }
}

/// A measure or choice.
#[derive(Clone, Debug)]
pub struct MeasureCode {
    /// `hip_girth`, `block.bust_ease`
    pub name: String,
    /// A measure of the body, or a choice.
    pub of: MeasureOf,
    /// Where its value goes.
    pub(crate) slot: Slot,
    /// A length, an angle, a number, an answer or a text.
    pub kind: Kind,
    /// Where nothing else is given.
    pub(crate) default: Node,
    /// The default reads other measures.
    pub worked_out: bool,
    /// Set on the import line.
    pub(crate) set_by_import: Option<Node>,
    /// Every declared range; all of them hold.
    pub ranges: Vec<Range>,
    /// The texts it may take.
    pub choices: Vec<String>,
    /// How to take it.
    pub text: String,
    /// The sentence that declares it.
    pub span: Span,
    /// Where its name stands.
    pub name_span: Span,
    /// The sentence that settles it.
    pub site: SiteId,
    /// Declared by the library alone, and read by nothing in this draft.
    pub is_idle: bool,
}

impl MeasureCode {
    /// Whether the import line sets it, so that nothing else can.
    pub fn is_set_by_import(&self) -> bool {
        self.set_by_import.is_some()
    }
}
