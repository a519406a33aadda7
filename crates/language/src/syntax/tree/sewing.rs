//! What is cut and sewn: pieces, seams, notches and cloths as sentences say them.

use super::{Expr, Name, Setting, Text, Word};
use crate::report::Span;
use crate::sewing::{Held, PieceSays, SeamSays, SewnAs, Stage, Written};
use serde::{Deserialize, Serialize};

/// `pieces of house without band`
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Take {
    /// Pieces with the seams that sew them, or seams alone.
    pub what: Taken,
    /// The import, or the panel that an operation gave.
    pub of: Name,
    /// Pieces and seams that are left there; with a piece every seam that sews it.
    pub without: Vec<Word>,
}

/// What is taken of what is offered.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Taken {
    /// Every piece and seam that the file offers.
    Pieces,
    /// Its seams, for pieces that the taker makes.
    Seams,
}

/// `piece NAME "LABEL" of PANEL { … }` or `piece NAME traced from PIECE { … }`
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Piece {
    pub name: Word,
    /// As printed on it.
    pub label: Option<Text>,
    /// The panel whose lines it takes; without one the panel of its own name.
    pub of: Option<Name>,
    /// The offered piece it alters.
    pub traced_from: Option<Name>,
    pub sentences: Vec<PieceSentence>,
    /// The block, its braces included.
    pub body: Span,
}

/// A sentence of a piece.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PieceSentence {
    /// What it says, or holds.
    pub kind: PieceSentenceKind,
    /// From its first word to its last, a block's closing brace included.
    pub span: Span,
}

/// A sentence of a piece, or an `if` around some.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[allow(
    clippy::large_enum_variant,
    reason = "nearly every sentence says something"
)]
pub enum PieceSentenceKind {
    /// Something that is said of the piece.
    Says(PieceSays<AsWritten>),
    /// `if` around sentences of a piece.
    If(Vec<(Expr, Vec<PieceSentence>)>, Vec<PieceSentence>),
    /// What could not be read; a message tells of it.
    Broken,
}

/// The stage of sentences as they are written: nothing is looked up yet.
#[derive(Clone, Debug, PartialEq)]
pub struct AsWritten;

impl Stage for AsWritten {
    type Length = Expr;
    type Point = Expr;
    type Text = Option<Text>;
    type NotchForm = Option<Word>;
    type Count = Expr;
    type Cloth = Word;
    type Outlined = OutlineEdge;
    type Edge = Name;
    type Corner = Vec<Name>;
    type Treatment = Vec<Word>;
    type Grain = Expr;
    type Line = Name;
    type Notches = NotchPlace;
    type Marked = Expr;
    type Button = Vec<Setting>;
    type Held = Held<Expr>;
    type SeamEdge = Name;
    type SeamNotch = NotchPlace;
    type Sewn = SewnAs<Word, Expr>;
}

impl Written for AsWritten {}

/// One edge of an outline.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct OutlineEdge {
    pub name: Name,
    /// `as` another name.
    pub as_name: Option<Word>,
}

/// Where a notch stands.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum NotchPlace {
    /// `at 85mm from back.underarm`
    Measured { distance: Expr, from: Expr },
    /// `at arm.crown, body.shoulder_point`: the same notch on both sides. One point in a piece.
    Points(Vec<Expr>),
    /// `at joints`
    Joints,
}

/// An edge as a seam names it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SeamEdge {
    /// `mirrored` before it: the twin's edge.
    pub mirrored: bool,
    /// `over` before it: passed by, and not sewn.
    pub over: bool,
    /// `each` before it: that edge of every copy that an `each` lays out.
    pub each: bool,
    /// The piece's edge or the panel's line.
    pub name: Name,
}

/// `a, b until P`
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SeamSide {
    pub edges: Vec<SeamEdge>,
    /// Where it stops within an edge.
    pub until: Option<Expr>,
}

/// `seam NAME joins … to … from P, Q toward R, S { … }`
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Seam {
    pub name: Word,
    pub first: SeamSide,
    pub second: SeamSide,
    /// Where the walk starts: an end of either side, or one of each.
    pub from: Vec<Expr>,
    /// Where each side of a closed edge goes first.
    pub toward: Vec<Expr>,
    /// What its block says.
    pub sentences: Vec<SeamSentence>,
}

impl Seam {
    /// Every edge it names, passed by or sewn.
    pub fn edges(&self) -> impl Iterator<Item = &SeamEdge> {
        self.first.edges.iter().chain(&self.second.edges)
    }
}

/// A sentence of a seam.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SeamSentence {
    pub kind: SeamSentenceKind,
    /// From its first word to its last.
    pub span: Span,
}

/// A sentence of a seam.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[allow(
    clippy::large_enum_variant,
    reason = "nearly every sentence says something"
)]
pub enum SeamSentenceKind {
    /// Something that is said of the seam.
    Says(SeamSays<AsWritten>),
    /// What could not be read; a message tells of it.
    Broken,
}

/// `cloth NAME "…" width 150cm, …`
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Cloth {
    pub name: Word,
    pub label: Option<Text>,
    /// `width 150cm, thickness 0.4mm`
    pub settings: Vec<Setting>,
}
