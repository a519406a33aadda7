//! Pieces, seams and cloths of a checked draft.

use super::{Node, Slot};
use crate::kind::Kind;
use crate::pattern::spec::{CornerTreatment, NotchForm, SeamKind};
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
    /// Fold lines, and the one they are laid onto.
    Fold(Vec<FoldCode>, Option<FoldCode>),
    /// An interlining: how many, not mirrored, from which cloth, how far inside; and where.
    Interline(Node, bool, Option<String>, Node, Span),
    /// A notch of its own.
    Notch(NotchForm, Node, Span),
    /// Marks (full name, kind, value), what they are for, and the button's diameter and thickness.
    Mark(Vec<(String, Kind, Node)>, Node, Option<(Node, Node)>, Span),
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
