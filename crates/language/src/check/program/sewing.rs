//! Pieces, seams and cloths of a checked draft.

use super::{Node, Slot};
use crate::kind::Kind;
use crate::pattern::spec::{CornerTreatment, NotchForm, SeamKind};
use crate::report::Span;
use crate::sewing::{EdgeRef, Held, OwnNotch, PieceSays, SeamNotchPlace, SeamSays, SewnAs, Stage};

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
    pub sentences: Vec<PieceOp>,
    /// The draft's own sentence that takes it, where the library offers it.
    pub taken: Option<Span>,
}

/// A sentence of a piece, or some for one case.
#[derive(Clone, Debug)]
pub enum PieceOp {
    /// Something that is said of the piece.
    Says {
        /// What.
        says: PieceSays<AsChecked>,
        /// The sentence.
        span: Span,
        /// Said of the piece that this one is traced from.
        of_base: bool,
    },
    /// The first case whose condition holds, or else the rest.
    If(Vec<(Node, Vec<PieceOp>)>, Vec<PieceOp>),
}

/// The stage of sentences as they are checked: names are looked up, figures not yet worked out.
#[derive(Clone, Debug, PartialEq)]
pub struct AsChecked;

impl Stage for AsChecked {
    type Length = Node;
    type Point = PointCode;
    type Text = Node;
    type NotchForm = NotchForm;
    type Count = CountCode;
    type Cloth = String;
    type Outlined = EdgeCode;
    type Edge = EdgeRef;
    type Corner = (EdgeRef, EdgeRef);
    type Treatment = CornerTreatment;
    type Grain = GrainCode;
    type Line = LineCode;
    type Notches = Vec<OwnNotch<Self>>;
    type Marked = MarkCode;
    type Button = Option<ButtonCode>;
    type Held = Held<AmountCode>;
    type SeamEdge = EdgeNameCode;
    type SeamNotch = SeamNotchPlace<Self>;
    type Sewn = SewnAs<SeamKind, Node>;
}

/// How many are cut.
#[derive(Clone, Debug)]
pub struct CountCode {
    /// A plain number; a whole one is wanted.
    pub value: Node,
    /// Where it stands.
    pub span: Span,
}

/// The line that the grain runs along.
#[derive(Clone, Debug)]
pub struct GrainCode {
    /// A line or curve.
    pub line: Node,
    /// As the draft calls it: "along the centre".
    pub words: String,
}

/// A line of a panel.
#[derive(Clone, Debug)]
pub struct LineCode {
    /// The last word of its name.
    pub name: String,
    /// A line or curve.
    pub value: Node,
    /// Where the name stands.
    pub span: Span,
}

/// What is copied onto the cloth.
#[derive(Clone, Debug)]
pub struct MarkCode {
    /// Its full name.
    pub name: String,
    /// A point, line or curve, or a list of them.
    pub kind: Kind,
    /// Its value.
    pub value: Node,
}

/// A button's size.
#[derive(Clone, Debug)]
pub struct ButtonCode {
    /// A length.
    pub diameter: Node,
    /// A length.
    pub thickness: Node,
    /// The sentence.
    pub span: Span,
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
    /// The sentence without its block, for messages.
    pub head: Span,
    /// First side.
    pub first: SideCode,
    /// Second side.
    pub second: SideCode,
    /// Where the walk starts.
    pub from: Vec<PointCode>,
    /// Which way each side of a closed edge goes first.
    pub toward: Vec<PointCode>,
    /// What its block says, and where.
    pub sentences: Vec<(SeamSays<AsChecked>, Span)>,
    /// The draft's own sentence that takes it, where the library offers it.
    pub taken: Option<Span>,
    /// A sentence of its block could not be read.
    pub is_broken: bool,
}

impl SeamCode {
    /// The edges of both sides.
    pub fn edges(&self) -> impl Iterator<Item = &SeamEdgeCode> {
        self.first.edges.iter().chain(&self.second.edges)
    }
}

/// A side of a seam.
#[derive(Clone, Debug)]
pub struct SideCode {
    /// Its edges.
    pub edges: Vec<SeamEdgeCode>,
    /// Where it stops within an edge.
    pub until: Option<PointCode>,
}

/// An edge as a seam names it: a panel line that a piece outlines, or a piece's own edge.
#[derive(Clone, Debug)]
pub struct EdgeNameCode {
    /// The word before the last.
    pub owner: Option<String>,
    /// The last word.
    pub edge: String,
    /// The panel line's full name; empty where it is none.
    pub line: String,
    /// Where the name stands.
    pub span: Span,
}

/// An edge of a seam.
#[derive(Clone, Debug)]
pub struct SeamEdgeCode {
    /// As it is named.
    pub name: EdgeNameCode,
    /// The twin's.
    pub mirrored: bool,
    /// Passed by.
    pub over: bool,
    /// Its value; none for a piece's own edge.
    pub value: Option<Node>,
    /// The slot, to find who drew it last.
    pub slot: Option<Slot>,
}

/// How much cloth is held in or pulled.
#[derive(Clone, Debug)]
pub enum AmountCode {
    /// A length.
    Length(Node),
    /// A plain number: of a gather the ratio, else a share of the partner.
    Number(Node),
}

/// A point by its name, where it has one.
#[derive(Clone, Debug)]
pub struct PointCode {
    /// Its value.
    pub value: Node,
    /// Its full name, which tells the side it lies on; empty where it has none.
    pub name: String,
    /// The panel it is drawn on; none where it is drawn on several, or beside them.
    pub panel: Option<String>,
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
