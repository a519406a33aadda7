//! Pieces, seams and cloths of a checked draft.

use super::{Node, Slot};
use crate::kind::Kind;
use crate::pattern::side::SHOWN_HALF;
use crate::pattern::spec::{CornerTreatment, NotchForm, SeamKind};
use crate::phrase::Value;
use crate::report::{FileId, Offer, Span};
use crate::sewing::{EdgeRef, Held, OwnNotch, PieceSays, SeamNotchPlace, SeamSays, SewnAs, Stage};

/// A piece as declared, or as taken from the library.
#[derive(Clone, Debug)]
pub struct PieceCode {
    /// Its name, by which seams and the drawing know it.
    pub name: String,
    pub(crate) label: Node,
    /// Its panel's full name.
    pub(crate) panel: String,
    pub(crate) span: Span,
    /// The sentence without its block, for messages.
    pub head: Span,
    /// What it says, in order; later sentences of the same word and edge stand in place of earlier ones.
    pub(crate) sentences: Vec<PieceOp>,
    /// The draft's own sentence that takes it, where the library offers it.
    pub taken: Option<Span>,
    /// One of its sentences is wrong and left out.
    pub(crate) is_broken: bool,
}

impl PieceCode {
    /// A fresh sheet of its panel, above it, that says which half of the wearer it shows; none where the panel is not the
    /// draft's own.
    pub fn half_shown(&self, half: &str) -> Option<Offer<Span>> {
        let head = self.taken.unwrap_or(self.head);
        let panel = self.panel.as_str();
        (head.file == FileId(0) && !panel.contains('.')).then(|| Offer {
            place: Span {
                end: head.start,
                ..head
            },
            text: format!(
                "panel {panel} traced from {panel} {{ text {SHOWN_HALF} = \"{half}\" }}\n"
            ),
        })
    }

    /// What is printed on it; none where figures stand in it, which are known only once it is drawn.
    pub fn known_label(&self) -> Option<&str> {
        match &self.label {
            Node::Known(Value::Text(text)) => Some(text),
            _ => None,
        }
    }
}

/// A sentence of a piece, or some for one case.
#[derive(Clone, Debug)]
pub(crate) enum PieceOp {
    /// Something that is said of the piece.
    Says {
        says: Box<PieceSays<AsChecked>>,
        span: Span,
        /// Said of the piece that this one is traced from.
        of_base: bool,
    },
    /// The first case whose condition holds, or else the rest.
    If(Vec<(Node, Vec<PieceOp>)>, Vec<PieceOp>),
}

/// The stage of sentences as they are checked: names are looked up, figures not yet worked out.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct AsChecked;

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
pub(crate) struct CountCode {
    /// A plain number; a whole one is wanted.
    pub value: Node,
    pub span: Span,
}

/// The line that the grain runs along.
#[derive(Clone, Debug)]
pub(crate) struct GrainCode {
    /// A line or curve.
    pub line: Node,
    /// As the draft calls it: "along the centre".
    pub words: String,
}

/// A line of a panel.
#[derive(Clone, Debug)]
pub(crate) struct LineCode {
    /// The last word of its name.
    pub name: String,
    /// A line or curve.
    pub value: Node,
    /// Where the name stands.
    pub span: Span,
}

/// What is copied onto the cloth.
#[derive(Clone, Debug)]
pub(crate) struct MarkCode {
    /// Its name with the panel's before it: `back.underarm`.
    pub name: String,
    /// A point, line or curve, or a list of them.
    pub kind: Kind,
    pub value: Node,
}

#[derive(Clone, Debug)]
pub(crate) struct ButtonCode {
    pub diameter: Node,
    pub thickness: Node,
    pub span: Span,
}

/// An edge of an outline.
#[derive(Clone, Debug)]
pub(crate) struct EdgeCode {
    /// Its name in the piece.
    pub name: String,
    /// The panel line's full name.
    pub line: String,
    pub value: Node,
    /// Where the name stands.
    pub span: Span,
}

/// A seam as declared, or as taken from the library.
#[derive(Clone, Debug)]
pub struct SeamCode {
    /// By which the order of making up and the drawing know it.
    pub name: String,
    /// The sentence without its block, for messages.
    pub head: Span,
    pub(crate) first: SideCode,
    pub(crate) second: SideCode,
    /// Where the walk starts.
    pub(crate) from: Vec<PointCode>,
    /// Which way each side of a closed edge goes first.
    pub(crate) toward: Vec<PointCode>,
    /// The whole sentence, and where its `from` has its points, or would stand.
    pub(crate) span: Span,
    pub(crate) starts: Span,
    /// What its block says, and where.
    pub(crate) sentences: Vec<(SeamSays<AsChecked>, Span)>,
    /// The draft's own sentence that takes it, where the library offers it.
    pub taken: Option<Span>,
    /// A sentence of its block could not be read.
    pub(crate) is_broken: bool,
}

impl SeamCode {
    /// The edges of both sides.
    pub(crate) fn edges(&self) -> impl Iterator<Item = &SeamEdgeCode> {
        self.first.edges.iter().chain(&self.second.edges)
    }
}

/// A side of a seam.
#[derive(Clone, Debug)]
pub(crate) struct SideCode {
    pub edges: Vec<SeamEdgeCode>,
    /// Where it stops within an edge.
    pub until: Option<PointCode>,
}

/// An edge as a seam names it: a panel line that a piece outlines, or a piece's own edge.
#[derive(Clone, Debug)]
pub(crate) struct EdgeNameCode {
    /// The word before the last.
    pub owner: Option<String>,
    pub edge: String,
    /// The panel line's full name; empty where it is none.
    pub line: String,
    /// Where the name stands.
    pub span: Span,
}

/// An edge of a seam.
#[derive(Clone, Debug)]
pub(crate) struct SeamEdgeCode {
    /// As it is named.
    pub name: EdgeNameCode,
    /// It is meant of the piece's mirrored copy.
    pub mirrored: bool,
    /// It lies between the others and is not sewn.
    pub over: bool,
    /// Its value; none for a piece's own edge.
    pub value: Option<Node>,
    /// The slot, to find who drew it last.
    pub slot: Option<Slot>,
    /// What it hangs on, where it is of a copy that may not be asked for.
    pub when: Option<Node>,
}

/// How much cloth is held in or pulled.
#[derive(Clone, Debug)]
pub(crate) enum AmountCode {
    Length(Node),
    /// A plain number: of a gather the ratio, else a share of the partner.
    Number(Node),
}

/// A point by its name, where it has one.
#[derive(Clone, Debug)]
pub(crate) struct PointCode {
    pub value: Node,
    /// Its full name, which tells the side it lies on; empty where it has none.
    pub name: String,
    /// The panel it is drawn on; none where it is drawn on several, or beside them.
    pub panel: Option<String>,
}

#[derive(Clone, Debug)]
pub(crate) struct ClothCode {
    pub name: String,
    pub label: Node,
    /// What is said of it: width, thickness, warp, weft, stripe, plaid, nap, one_way.
    pub settings: Vec<(String, Node)>,
}
