//! What is cut and sewn: pieces, seams, notches and cloths as sentences say them.

use super::{Expr, Name, Setting, Text, Word};
use crate::report::Span;

/// `piece NAME "LABEL" of PANEL { … }` or `piece NAME traced from PIECE { … }`
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// Its name.
    pub name: Word,
    /// As printed on it.
    pub label: Option<Text>,
    /// The panel whose lines it takes; without one the panel of its own name.
    pub of: Option<Name>,
    /// The offered piece it alters.
    pub traced_from: Option<Name>,
    /// What it says.
    pub sentences: Vec<PieceSentence>,
    /// With both braces.
    pub body: Span,
}

/// A sentence of a piece.
#[derive(Clone, Debug, PartialEq)]
pub struct PieceSentence {
    /// What it says.
    pub kind: PieceSentenceKind,
    /// Where.
    pub span: Span,
}

/// What a sentence of a piece says.
#[derive(Clone, Debug, PartialEq)]
pub enum PieceSentenceKind {
    /// `outline a, b as c, d`
    Outline(Vec<OutlineEdge>),
    /// `cut 2 alike on fold at L from main`
    Cut {
        /// How many.
        count: Expr,
        /// `alike`: not a mirrored pair.
        alike: bool,
        /// `on fold at L`
        fold: Option<Name>,
        /// `from CLOTH`
        cloth: Option<Word>,
    },
    /// `grain along L`
    Grain(Expr),
    /// `allow W on a, b`; without edges the piece's default.
    Allow(Expr, Vec<Name>),
    /// `corner a, b turned back` and the other treatments.
    Corner {
        /// The two edges that meet there.
        edges: Vec<Name>,
        /// The words of the treatment: `turned back`, `squared`, `stepped`, `mitred`.
        treatment: Vec<Word>,
    },
    /// `finish a, b "hemmed 5 and 5"`: an edge that no seam joins.
    Finish(Vec<Name>, Option<Text>),
    /// `fold a, b onto c`: fold lines, notched where they cross the outline, and the line they are laid onto.
    Fold(Vec<Name>, Option<Name>),
    /// `interline 1 from fusible by 2mm`: an interlining so much smaller all round.
    Interline {
        /// How many.
        count: Expr,
        /// `alike`: not a mirrored pair.
        alike: bool,
        /// `from CLOTH`
        cloth: Option<Word>,
        /// How far inside the sewing line.
        inside: Expr,
    },
    /// `notch double at …`
    Notch(Notch),
    /// `mark P "button" with diameter 12mm`, `mark L "stitch"`: a point or line to copy onto the cloth.
    Mark {
        /// What is marked.
        what: Vec<Expr>,
        /// What it is for.
        text: Option<Text>,
        /// `with diameter 12mm, thickness 3mm`
        settings: Vec<Setting>,
    },
    /// `if` around sentences of a piece.
    If(Vec<(Expr, Vec<PieceSentence>)>, Vec<PieceSentence>),
    /// Already reported.
    Broken,
}

/// One edge of an outline.
#[derive(Clone, Debug, PartialEq)]
pub struct OutlineEdge {
    /// The panel's line.
    pub name: Name,
    /// `as` another name.
    pub as_name: Option<Word>,
}

/// `notch KIND at PLACE …`
#[derive(Clone, Debug, PartialEq)]
pub struct Notch {
    /// `single`, `double` and so on.
    pub form: Option<Word>,
    /// Where.
    pub place: NotchPlace,
}

/// Where a notch stands.
#[derive(Clone, Debug, PartialEq)]
pub enum NotchPlace {
    /// `at 85mm from back.underarm`
    Measured {
        /// How far.
        distance: Expr,
        /// From which end.
        from: Expr,
    },
    /// `at arm.crown, body.shoulder_point`: the same notch on both sides. One point in a piece.
    Points(Vec<Expr>),
    /// `at joints`
    Joints,
}

/// An edge as a seam names it.
#[derive(Clone, Debug, PartialEq)]
pub struct SeamEdge {
    /// `mirrored` before it: the twin's edge.
    pub mirrored: bool,
    /// The panel's line.
    pub name: Name,
}

/// `seam NAME joins … to … from P { … }`
#[derive(Clone, Debug, PartialEq)]
pub struct Seam {
    /// Its name.
    pub name: Word,
    /// The first side in sewing order.
    pub first: Vec<SeamEdge>,
    /// The second side in sewing order.
    pub second: Vec<SeamEdge>,
    /// Where the walk starts.
    pub from: Option<Expr>,
    /// What its block says.
    pub sentences: Vec<SeamSentence>,
}

/// A sentence of a seam.
#[derive(Clone, Debug, PartialEq)]
pub struct SeamSentence {
    /// What it says.
    pub kind: SeamSentenceKind,
    /// Where.
    pub span: Span,
}

/// What a sentence of a seam says.
#[derive(Clone, Debug, PartialEq)]
pub enum SeamSentenceKind {
    /// `ease 4mm to 12mm on a, b`: that side is longer by so much.
    Ease {
        /// Least, or exact.
        low: Expr,
        /// Most.
        high: Option<Expr>,
        /// Edges of the longer side.
        on: Vec<Name>,
    },
    /// `notch …`
    Notch(Notch),
    /// `allow W` or `allow W on a`
    Allow(Expr, Vec<Name>),
    /// `sewn felled 6mm, 16mm`: how it is sewn, and the widths that this takes.
    Sewn(Word, Vec<Expr>),
    /// `tolerance 1mm`
    Tolerance(Expr),
    /// Already reported.
    Broken,
}

/// `cloth NAME "…" width 150cm, …`
#[derive(Clone, Debug, PartialEq)]
pub struct Cloth {
    /// Its name.
    pub name: Word,
    /// What it is.
    pub label: Option<Text>,
    /// `width 150cm, thickness 0.4mm`
    pub settings: Vec<Setting>,
}
