//! The checked draft: every name looked up, every phrase bound to its form, every kind known. Evaluation runs it without
//! looking anything up by name.

use crate::kind::unit::LengthUnit;
use crate::kind::{Dimension, Kind};
use crate::pattern::spec::{CornerTreatment, NotchForm, SeamKind};
use crate::phrase::Value;
use crate::report::Span;
use crate::syntax::tree::{Comparison, MeasureOf, Operator};
use kurbo::Vec2;
use std::sync::Arc;

/// Where a value is kept while the draft is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Slot {
    /// Of the sentence row being carried out: the draft itself, or one call of an operation.
    Local(u32),
    /// A measure or choice, from within an operation.
    Global(u32),
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
    /// The title.
    pub title: String,
    /// The unit for people.
    pub unit: LengthUnit,
    /// Values kept by the draft itself.
    pub slots: u32,
    /// What is done, in order.
    pub body: Vec<Op>,
    /// Operations as called: one for each set of panels they were given.
    pub routines: Vec<Routine>,
    /// Every sentence that draws.
    pub sites: Vec<Site>,
    /// Every step in order.
    pub steps: Vec<StepInfo>,
    /// Measures and choices in the order they are settled.
    pub measures: Vec<MeasureCode>,
    /// Every name at the end of the draft, by full name; of a panel drawn more than once, the last sheet.
    pub names: Vec<FinalName>,
    /// Pieces as declared or taken.
    pub pieces: Vec<PieceCode>,
    /// Seams as declared or taken.
    pub seams: Vec<SeamCode>,
    /// Seams by name in the order they are made up.
    pub order: Vec<String>,
    /// Edges of seams that only another draft can walk: the line, the seam, its allowance.
    pub offered_edges: Vec<(String, String, Option<Node>)>,
    /// Cloths.
    pub cloths: Vec<ClothCode>,
    /// Operations declared in the draft, its imports and the library modules it uses, with their rows.
    pub operations: Vec<OperationInfo>,
}

/// What tools may know of an operation.
#[derive(Clone)]
pub struct OperationInfo {
    /// Its row.
    pub form: crate::phrase::Form,
    /// Its sentence.
    pub span: Span,
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
    /// Where.
    pub slot: Slot,
    /// Its kind.
    pub kind: Kind,
    /// The sentence that drew it.
    pub site: SiteId,
}

/// A sentence that draws, requires, checks or offers something.
#[derive(Clone, Debug)]
pub struct Site {
    /// The sentence.
    pub span: Span,
    /// The names it draws.
    pub targets: Vec<Target>,
    /// Where the value stands in the text.
    pub value: Span,
    /// The outermost form, where there is one.
    pub form: Option<FormRef>,
    /// The step it stands in.
    pub step: Option<StepId>,
    /// What it reads.
    pub reads: Vec<Slot>,
    /// The panel it stands in, by full name; empty at the file's level.
    pub panel: Arc<str>,
}

/// A name drawn by a sentence.
#[derive(Clone, Debug)]
pub struct Target {
    /// Its full name.
    pub name: Arc<str>,
    /// Its kind.
    pub kind: Kind,
    /// Where its value goes.
    pub slot: Slot,
    /// Where the name stands.
    pub span: Span,
    /// The value it stands in place of.
    pub replaces: Option<Slot>,
}

/// A step.
#[derive(Clone, Debug)]
pub struct StepInfo {
    /// From 1; steps of imports and operations are numbered within them.
    pub number: usize,
    /// Its name; figures in it are filled in when it is drawn.
    pub name: String,
    /// Its sentence.
    pub span: Span,
    /// The panel it stands in, by full name.
    pub panel: String,
    /// The step around it.
    pub within: Option<StepId>,
    /// The operation it belongs to, by head.
    pub operation: Option<String>,
    /// The import it belongs to, by its full name here; empty in the draft itself.
    pub file: String,
}

/// Something done.
#[derive(Clone, Debug)]
pub enum Op {
    /// Settles a measure or choice.
    Measure(usize),
    /// Draws.
    Draw(Box<Drawing>),
    /// After a branch: the value goes by this slot from here on.
    Carry {
        /// From the branch.
        from: Slot,
        /// For what follows.
        to: Slot,
    },
    /// Looks for a value.
    Try(Box<Trial>),
    /// Chooses.
    If(Box<Branches>),
    /// Refuses to draw.
    Require(Box<ClaimCode>),
    /// Judges the drawing.
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

/// One value given, and where the caller finds it.
#[derive(Clone, Debug)]
pub struct Giving {
    /// The value.
    pub value: Node,
    /// The result's number.
    pub result: usize,
}

/// A drawing sentence.
#[derive(Clone, Debug)]
pub struct Drawing {
    /// The sentence.
    pub site: SiteId,
    /// Where the values go, in order.
    pub targets: Box<[Slot]>,
    /// The value.
    pub value: Node,
    /// The value is a list, one item for each target.
    pub apart: bool,
}

/// `try`
#[derive(Clone, Debug)]
pub struct Trial {
    /// The sentence.
    pub site: SiteId,
    /// The value looked for.
    pub slot: Slot,
    /// Its dimension.
    pub dimension: Dimension,
    /// First bound.
    pub low: Node,
    /// Second bound.
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
pub struct Branches {
    /// Conditions and what is done.
    pub branches: Vec<(Node, Vec<Op>)>,
    /// What is done otherwise.
    pub otherwise: Vec<Op>,
}

/// `require` and `check`
#[derive(Clone, Debug)]
pub struct ClaimCode {
    /// The sentence.
    pub site: SiteId,
    /// The author's words.
    pub text: Node,
    /// What must hold.
    pub condition: Node,
    /// Reads measures and choices alone.
    pub of_measures_alone: bool,
}

/// What kind of words.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SayingKind {
    /// What to do.
    Note,
    /// Why.
    Why,
    /// What must be known before cutting.
    Caution,
    /// A usual slip.
    Slip,
    /// Terms of the step.
    Terms,
}

/// `note`, `why`, `caution`, `slip`, `terms`
#[derive(Clone, Debug)]
pub struct Saying {
    /// Which.
    pub kind: SayingKind,
    /// The sentence.
    pub site: SiteId,
    /// The words.
    pub text: Node,
    /// The figure a slip gives, with its kind.
    pub slip: Option<(Node, Kind)>,
}

/// An operation as called.
#[derive(Clone, Debug, Default)]
pub struct Routine {
    /// Its head.
    pub head: String,
    /// Its sentence.
    pub span: Span,
    /// Values kept in one call.
    pub slots: u32,
    /// What is done.
    pub body: Vec<Op>,
    /// Where each argument goes, in the order of the form's places, then options; a panel's members follow one another.
    pub arguments: Vec<Slot>,
    /// How many results.
    pub results: usize,
    /// Its results are the members of a panel.
    pub gives_panel: bool,
    /// Arguments that are bounded.
    pub ranges: Vec<ArgumentRange>,
}

/// The values that an operation's argument may take.
#[derive(Clone, Debug)]
pub struct ArgumentRange {
    /// Which argument, in the order of [`Routine::arguments`].
    pub argument: usize,
    /// Its name.
    pub name: String,
    /// Its kind.
    pub kind: Kind,
    /// Least and most, and where that is said.
    pub range: (f64, f64, Span),
}

/// A measure or choice.
#[derive(Clone, Debug)]
pub struct MeasureCode {
    /// `hip_girth`, `block.bust_ease`
    pub name: String,
    /// Whose.
    pub of: MeasureOf,
    /// Where its value goes.
    pub slot: Slot,
    /// Its kind.
    pub kind: Kind,
    /// Where nothing else is given.
    pub default: Node,
    /// The default reads other measures.
    pub worked_out: bool,
    /// Set on the import line.
    pub set_by_import: Option<Node>,
    /// Every declared range, with where.
    pub ranges: Vec<(f64, f64, Span)>,
    /// The texts it may take.
    pub choices: Vec<String>,
    /// How to take it.
    pub text: String,
    /// Its sentence.
    pub span: Span,
    /// Where its name stands.
    pub name_span: Span,
    /// Its sentence's site.
    pub site: SiteId,
    /// Declared by the library alone, and read by nothing in this draft.
    pub is_idle: bool,
}

/// An expression.
#[derive(Clone, Debug)]
pub enum Node {
    /// Known beforehand.
    Known(Value),
    /// A value drawn before.
    Slot(Slot),
    /// A sum or product of figures.
    Sum(Box<SumNode>),
    /// A figure with the other sign.
    Negative(Box<Node>),
    /// A phrase.
    Call(Box<CallNode>),
    /// A call of an operation; several results make a list.
    Operation(Box<OperationCall>),
    /// A displaced point.
    Displaced(Box<DisplacedNode>),
    /// An angle with its sense.
    Turn(Box<Node>, bool),
    /// A direction settled where it is used.
    Bearing(Box<BearingNode>),
    /// A comparison.
    Compare(Box<CompareNode>),
    /// `not`
    Not(Box<Node>),
    /// `and`
    Both(Box<Node>, Box<Node>),
    /// `or`
    Either(Box<Node>, Box<Node>),
    /// Several values.
    List(Vec<Node>),
    /// A list among the items of another: its items stand there.
    Spread(Box<Node>),
    /// `each`
    Each(Box<EachNode>),
    /// Words with figures in them.
    Text(Box<[TextNode]>),
}

/// A sum or product.
#[derive(Clone, Debug)]
pub struct SumNode {
    /// Which.
    pub operator: Operator,
    /// Left.
    pub left: Node,
    /// Right.
    pub right: Node,
    /// Where.
    pub span: Span,
    /// Where the right side stands, for a division by nothing.
    pub right_span: Span,
}

/// A phrase bound to a form of the table.
#[derive(Clone, Debug)]
pub struct CallNode {
    /// The row.
    pub form: usize,
    /// By place, then by option.
    pub args: Box<[Option<Node>]>,
    /// Whether each is a length, where a share could stand too.
    pub lengths: Box<[bool]>,
    /// Names of arguments that are plain names.
    pub names: Box<[Option<Arc<str>>]>,
    /// Where each argument stands.
    pub spans: Box<[Span]>,
    /// The phrase.
    pub span: Span,
}

/// A call of an operation.
#[derive(Clone, Debug)]
pub struct OperationCall {
    /// Which routine.
    pub routine: usize,
    /// Arguments in the order of its slots.
    pub args: Box<[Node]>,
    /// The user's phrase.
    pub span: Span,
    /// Names of arguments, with their kinds and places, for messages.
    pub shown: Box<[(String, Kind, Span, usize)]>,
}

/// A displaced point.
#[derive(Clone, Debug)]
pub struct DisplacedNode {
    /// From where.
    pub from: Node,
    /// Legs in order: which way and how far.
    pub legs: Box<[(Vec2, FarNode)]>,
    /// Where.
    pub span: Span,
}

/// How far.
#[derive(Clone, Debug)]
pub enum FarNode {
    /// A length, and its place.
    By(Node, Span),
    /// Until a path, or level with a point; its name and place.
    Until(Node, Option<Arc<str>>, Span),
}

/// A direction settled where it is used.
#[derive(Clone, Debug)]
pub enum BearingNode {
    /// Toward a point.
    At(Node),
    /// Away from a point.
    AwayFrom(Node),
    /// Along a path.
    Along(Node),
    /// Square to a path.
    SquareTo(Node, Option<Node>),
    /// An angle below or above a level or plumb direction.
    Leaning {
        /// Degrees.
        angle: Node,
        /// Where the angle stands.
        span: Span,
        /// Below rather than above.
        below: bool,
        /// The level or plumb direction.
        from: Vec2,
    },
}

/// A comparison of two figures, or of two answers or texts.
#[derive(Clone, Debug)]
pub struct CompareNode {
    /// Left side.
    pub left: Node,
    /// What must hold.
    pub relation: RelationNode,
    /// What both sides are.
    pub kind: Kind,
    /// Where.
    pub span: Span,
    /// The left side's place.
    pub left_span: Span,
}

/// What must hold between two sides.
#[derive(Clone, Debug)]
pub enum RelationNode {
    /// A plain comparison.
    Plain(Comparison, Node),
    /// Within a tolerance of a figure.
    Within(Node, Node),
    /// Between two figures.
    Between(Node, Node),
    /// Longer than a figure by at least the first, at most the second; `false`: shorter.
    Than {
        /// At least.
        by: Node,
        /// At most; the same figure where none is given.
        up_to: Option<Node>,
        /// Longer rather than shorter.
        more: bool,
        /// Than what.
        than: Node,
    },
}

/// `each`
#[derive(Clone, Debug)]
pub struct EachNode {
    /// The running value.
    pub slot: Slot,
    /// First and last whole number, or a list.
    pub over: EachOverNode,
    /// What is done each time.
    pub body: Vec<Op>,
    /// What it gives each time.
    pub give: Node,
    /// Where.
    pub span: Span,
}

/// What `each` runs over.
#[derive(Clone, Debug)]
pub enum EachOverNode {
    /// Whole numbers.
    Count(Node, Node),
    /// A list.
    Items(Node),
}

/// A part of a text.
#[derive(Clone, Debug)]
pub enum TextNode {
    /// Letters.
    Letters(Arc<str>),
    /// A value, printed for people.
    Value(Node, Kind),
}

/// A piece.
#[derive(Clone, Debug)]
pub struct PieceCode {
    /// Its name, by which seams and the drawing know it.
    pub name: String,
    /// Its label.
    pub label: Node,
    /// Its panel's full name.
    pub panel: String,
    /// Its sentence.
    pub span: Span,
    /// The sentence without its block, for messages.
    pub head: Span,
    /// What it says, in order; later sentences of the same word and edge stand in place of earlier ones.
    pub sentences: Vec<PieceSay>,
    /// The draft's own sentence that takes it, where the library offers it.
    pub taken: Option<Span>,
}

/// A sentence of a piece.
#[derive(Clone, Debug)]
pub enum PieceSay {
    /// The outline.
    Outline(Vec<EdgeCode>),
    /// How it is cut.
    Cut {
        /// How many.
        count: Node,
        /// Not mirrored.
        alike: bool,
        /// The edge on the fold, by its name in the piece.
        fold: Option<(String, Span)>,
        /// From which cloth.
        cloth: Option<String>,
        /// Where.
        span: Span,
    },
    /// The grain's line.
    Grain(Node, Span),
    /// A width, and the edges it is for.
    Allow(Node, Vec<(String, Span)>, Span),
    /// A corner.
    Corner((String, String), CornerTreatment, Span),
    /// Edges no seam joins.
    Finish(Vec<(String, Span)>, Node, Span),
    /// Fold lines.
    Fold(Vec<(String, Node, Span)>),
    /// A notch of its own.
    Notch(NotchForm, Node, Span),
    /// Marks (full name, kind, value), what they are for, and the button's diameter and thickness.
    Mark(Vec<(String, Kind, Node)>, Node, Option<(Node, Node)>, Span),
    /// Sentences for one case.
    If(Vec<(Node, Vec<PieceSay>)>, Vec<PieceSay>),
}

/// An edge of an outline.
#[derive(Clone, Debug)]
pub struct EdgeCode {
    /// Its name in the piece.
    pub name: String,
    /// The panel line's full name.
    pub line: String,
    /// Its value.
    pub value: Node,
    /// Where the name stands.
    pub span: Span,
}

/// A seam.
#[derive(Clone, Debug)]
pub struct SeamCode {
    /// Its name.
    pub name: String,
    /// Its sentence.
    pub span: Span,
    /// The sentence without its block, for messages.
    pub head: Span,
    /// First side.
    pub first: Vec<SeamEdgeCode>,
    /// Second side.
    pub second: Vec<SeamEdgeCode>,
    /// Where the walk starts.
    pub from: Option<PointCode>,
    /// What its block says.
    pub sentences: Vec<SeamSay>,
    /// The draft's own sentence that takes it, where the library offers it.
    pub taken: Option<Span>,
}

/// An edge of a seam.
#[derive(Clone, Debug)]
pub struct SeamEdgeCode {
    /// The panel line's full name.
    pub line: String,
    /// The twin's.
    pub mirrored: bool,
    /// Its value.
    pub value: Node,
    /// The slot, to find who drew it last.
    pub slot: Option<Slot>,
    /// Where the name stands.
    pub span: Span,
}

/// A sentence of a seam.
#[derive(Clone, Debug)]
pub enum SeamSay {
    /// Least and most, and whether the first side is the longer.
    Ease(Node, Option<Node>, bool),
    /// A notch.
    Notch(NotchForm, NotchPlaceCode, Span),
    /// A width for both sides, or for the named lines.
    Allow(Node, Vec<String>),
    /// How it is sewn, and its widths: none, or one for each side.
    Sewn(SeamKind, Vec<Node>, Span),
    /// What may pass.
    Tolerance(Node),
}

/// Where a seam's notch stands.
#[derive(Clone, Debug)]
pub enum NotchPlaceCode {
    /// So far from a point.
    Measured(Node, PointCode),
    /// A point and its fellow.
    Pair(PointCode, PointCode),
    /// A point carried over in proportion.
    One(PointCode),
    /// Where edges meet.
    Joints,
}

/// A point a seam names.
#[derive(Clone, Debug)]
pub struct PointCode {
    /// Its value.
    pub value: Node,
    /// Its full name, which tells the side it lies on; empty where it has none.
    pub name: String,
}

/// A cloth.
#[derive(Clone, Debug)]
pub struct ClothCode {
    /// Its name.
    pub name: String,
    /// Its words.
    pub label: Node,
    /// What is said of it: width, thickness, warp, weft, stripe, nap.
    pub settings: Vec<(String, Node)>,
}
