//! What is cut and sewn: pieces, seams, notches and cloths as sentences say them.

use super::{DirectionWord, Expr, Name, Setting, Text, Word};
use crate::report::Span;

/// `pieces of house without band`
#[derive(Clone, Debug, PartialEq)]
pub struct Take {
    /// Pieces with the seams that sew them, or seams alone.
    pub what: Taken,
    /// The import, or the panel that an operation gave.
    pub of: Name,
    /// Pieces and seams that are left there; with a piece every seam that sews it.
    pub without: Vec<Word>,
}

/// What is taken of what is offered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Taken {
    /// All of it.
    Pieces,
    /// Its seams, for pieces that the taker makes.
    Seams,
}

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
    /// `dart A to B at T pressed toward P`
    Dart(Box<Dart>),
    /// `mark P "button" on left with diameter 12mm`, `mark L "stitch"`: a point or line to copy onto the cloth.
    Mark {
        /// What is marked.
        what: Vec<Expr>,
        /// What it is for.
        text: Option<Text>,
        /// `on left`, `on right`: the wearer's side that alone has it.
        side: Option<DirectionWord>,
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

/// `dart A to B at T [, U] [along L, M] [pressed toward P] [drill D] [sewn D]`
#[derive(Clone, Debug, PartialEq)]
pub struct Dart {
    /// The ends of the mouth, in outline order; of a dart inside the piece its widest place.
    pub mouth: (Expr, Expr),
    /// Where it ends.
    pub apex: Expr,
    /// The other end of a dart that lies whole inside the piece.
    pub other_apex: Option<Expr>,
    /// Its legs, where they are not straight.
    pub legs: Option<(Name, Name)>,
    /// `pressed toward P`
    pub pressed: Option<Expr>,
    /// `drill 10mm`: marks so far inside each apex.
    pub drill: Option<Expr>,
    /// `sewn 6cm`: so far from the mouth; the rest is a pleat.
    pub sewn: Option<Expr>,
}

/// An edge as a seam names it.
#[derive(Clone, Debug, PartialEq)]
pub struct SeamEdge {
    /// `mirrored` before it: the twin's edge.
    pub mirrored: bool,
    /// `over` before it: passed by, and not sewn.
    pub over: bool,
    /// The piece's edge or the panel's line.
    pub name: Name,
}

/// `a, b until P`
#[derive(Clone, Debug, PartialEq)]
pub struct SeamSide {
    /// Its edges.
    pub edges: Vec<SeamEdge>,
    /// Where it stops within an edge.
    pub until: Option<Expr>,
}

/// `seam NAME joins … to … from P, Q toward R, S { … }`
#[derive(Clone, Debug, PartialEq)]
pub struct Seam {
    /// Its name.
    pub name: Word,
    /// The first side.
    pub first: SeamSide,
    /// The second side.
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
#[derive(Clone, Debug, PartialEq)]
pub struct SeamSentence {
    /// What it says.
    pub kind: SeamSentenceKind,
    /// Where.
    pub span: Span,
}

/// What is done with the cloth of a side that is not as long as its partner.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EaseHow {
    /// Longer, and held in.
    Ease,
    /// Longer, and drawn up.
    Gather,
    /// Shorter, and pulled.
    Stretch,
}

/// A place along a seam: a point, or so far from one.
#[derive(Clone, Debug, PartialEq)]
pub enum SeamPlace {
    /// `P`
    At(Expr),
    /// `85mm from P`
    Measured(Expr, Expr),
}

/// What a sentence of a seam says.
#[derive(Clone, Debug, PartialEq)]
pub enum SeamSentenceKind {
    /// `ease 4mm to 12mm on a, b between P and Q`, and `gather` and `stretch` alike
    Ease {
        /// What is done with the cloth.
        how: EaseHow,
        /// Least, or exact.
        low: Expr,
        /// Most.
        high: Option<Expr>,
        /// The edges it is done to.
        on: Vec<Name>,
        /// Where along them.
        between: Option<(SeamPlace, SeamPlace)>,
    },
    /// `notch …`
    Notch(Notch),
    /// `allow W` or `allow W on a`
    Allow(Expr, Vec<Name>),
    /// `sewn felled 6mm, 16mm`: how it is sewn, and the widths that this takes.
    Sewn(Word, Vec<Expr>),
    /// `tolerance 1mm`
    Tolerance(Expr),
    /// `P meets Q`
    Meets(Expr, Expr),
    /// `open between P and Q "zip"`
    Open((SeamPlace, SeamPlace), Option<Text>),
    /// `corner at P "…"`
    Corner(Expr, Option<Text>),
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
