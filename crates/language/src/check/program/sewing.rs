//! Pieces, seams and cloths of a checked draft.

use super::{Node, Slot};
use crate::kind::Kind;
use crate::pattern::WearerSide;
use crate::pattern::spec::{CornerTreatment, EaseHow, NotchForm, SeamKind};
use crate::report::Span;

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
        fold: Option<EdgeRef>,
        /// From which cloth.
        cloth: Option<String>,
        /// Where.
        span: Span,
    },
    /// The grain's line, and how the draft calls it.
    Grain(Node, String),
    /// A width, and the edges it is for.
    Allow(Node, Vec<EdgeRef>),
    /// A corner.
    Corner((EdgeRef, EdgeRef), CornerTreatment, Span),
    /// Edges no seam joins.
    Finish(Vec<EdgeRef>, Node),
    /// Fold lines, and the one they are laid onto.
    Fold(Vec<FoldCode>, Option<FoldCode>),
    /// An interlining: how many, not mirrored, from which cloth, how far inside; and where.
    Interline(Node, bool, Option<String>, Node, Span),
    /// Notches of its own: each place, and the point from which the draft measures along a line to get there.
    Notch(NotchForm, Vec<(PlaceCode, Option<PointCode>)>, Span),
    /// A dart.
    Dart(Box<DartCode>, Span),
    /// Marks (full name, kind, value), what they are for, the side that alone has them, and the button's diameter and
    /// thickness.
    Mark(
        Vec<(String, Kind, Node)>,
        Node,
        Option<WearerSide>,
        Option<(Node, Node)>,
        Span,
    ),
    /// Sentences for one case.
    If(Vec<(Node, Vec<PieceSay>)>, Vec<PieceSay>),
}

/// A fold line: its name, its value, and where the name stands.
pub type FoldCode = (String, Node, Span);

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

/// One of a piece's edges, as a sentence of the piece names it.
#[derive(Clone, Debug, PartialEq)]
pub struct EdgeRef {
    /// Its name in the piece.
    pub name: String,
    /// The panel line's full name.
    pub line: String,
    /// Where it is named.
    pub span: Span,
}

/// A dart.
#[derive(Clone, Debug)]
pub struct DartCode {
    /// The ends of its mouth.
    pub mouth: (Node, Node),
    /// Where it ends.
    pub apex: Node,
    /// The other end of one that lies inside the piece.
    pub other_apex: Option<Node>,
    /// Its legs, where they are not straight.
    pub legs: Option<(Node, Node)>,
    /// It is pressed toward this point.
    pub pressed: Option<Node>,
    /// Drill marks so far inside.
    pub drill: Option<Node>,
    /// Sewn so far.
    pub sewn: Option<Node>,
    /// Said of the piece that this one is traced from.
    pub of_base: bool,
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
    /// What its block says.
    pub sentences: Vec<SeamSay>,
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

/// A sentence of a seam.
#[derive(Clone, Debug)]
pub enum SeamSay {
    /// What is done, least and most, to which edges, between which places.
    Ease {
        /// What is done.
        how: EaseHow,
        /// Least.
        low: AmountCode,
        /// Most; the same where it is exact.
        high: Option<AmountCode>,
        /// The edges.
        on: Vec<EdgeNameCode>,
        /// From where to where.
        between: Option<(PlaceCode, PlaceCode)>,
        /// Where.
        span: Span,
    },
    /// A notch.
    Notch(NotchForm, NotchPlaceCode, Span),
    /// Points that meet.
    Meets(PointCode, PointCode, Span),
    /// A part that is not sewn, and what it is for.
    Open((PlaceCode, PlaceCode), Node, Span),
    /// An end where a corner is meant, and why.
    Corner(PointCode, Node, Span),
    /// A width for both sides, or for the named edges.
    Allow(Node, Vec<EdgeNameCode>),
    /// How it is sewn, and its widths: none, or one for each side.
    Sewn(SeamKind, Vec<Node>, Span),
    /// What may pass.
    Tolerance(Node),
}

/// A place along a seam.
#[derive(Clone, Debug)]
pub enum PlaceCode {
    /// A point.
    At(PointCode),
    /// So far from one.
    Measured(Node, PointCode),
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
