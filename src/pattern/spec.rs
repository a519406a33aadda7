//! What evaluation hands over: the panels as drawn, and what the draft's sentences say of pieces, seams and checks, with
//! every name already looked up and every figure in millimetres. Each sentence carries a [`Tag`], so that a fault found
//! while building can be told at its place by those who know the text.

use crate::geometry::path::Path;
use kurbo::{Point, Vec2};

/// Stands for the sentence (or the name in it) that said so; only evaluation knows where that is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Tag(pub u32);

/// In which unit figures are printed for people.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum PrintUnit {
    /// To a tenth.
    #[default]
    Millimetre,
    /// To a tenth of a millimetre: two decimals.
    Centimetre,
    /// To the nearest sixteenth.
    Inch,
}

/// Everything a draft says about what is to be cut and sewn.
#[derive(Clone, Debug, Default)]
pub struct Drawn {
    /// The draft's title.
    pub title: String,
    /// Unit for people.
    pub unit: PrintUnit,
    /// Measures and choices with the values used.
    pub measures: Vec<MeasureUsed>,
    /// Every value by full name, the last sheet of each panel.
    pub values: Vec<NamedValue>,
    /// Pieces in the order they are declared.
    pub pieces: Vec<PieceSpec>,
    /// Seams in the order they are declared.
    pub seams: Vec<SeamSpec>,
    /// Names of seams in the order they are made up.
    pub order: Vec<String>,
    /// Checks already judged.
    pub checks: Vec<Check>,
    /// Declared cloths.
    pub cloths: Vec<ClothSpec>,
    /// What makes this drawing unfit to cut, for the reader of the paper (failed checks add themselves).
    pub cautions: Vec<String>,
}

/// A measure or choice and the value used for it.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasureUsed {
    /// Full name.
    pub name: String,
    /// A measure of the body, rather than a choice.
    pub of_body: bool,
    /// The value.
    pub value: Value,
    /// How to take it.
    pub text: String,
    /// Worked out from other measures by the draft's formula.
    pub worked_out: bool,
    /// The figure with which the library declares it: an example, which nobody gave for this body.
    pub example: bool,
}

/// A value, for those who do not evaluate.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// A point.
    Point(Point),
    /// A straight line, endless or bounded.
    Line(Path),
    /// A curve.
    Curve(Path),
    /// Millimetres.
    Length(f64),
    /// Degrees, clockwise positive.
    Angle(f64),
    /// Square millimetres.
    Area(f64),
    /// A plain number.
    Number(f64),
    /// A unit vector.
    Direction(Vec2),
    /// Letters.
    Text(String),
    /// Yes or no.
    Answer(bool),
    /// Items in order.
    List(Vec<Value>),
}

/// A value and where it was drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct NamedValue {
    /// `back.cb_hip`
    pub name: String,
    /// The value.
    pub value: Value,
    /// Source file as people name it.
    pub file: String,
    /// Source line, from 1.
    pub line: usize,
    /// Number of the step, from 1; none outside steps.
    pub step: Option<usize>,
}

/// A piece as declared.
#[derive(Clone, Debug)]
pub struct PieceSpec {
    /// Its sentence.
    pub tag: Tag,
    /// Its name.
    pub name: String,
    /// As printed on it.
    pub label: String,
    /// The panel whose lines it takes.
    pub panel: String,
    /// Its outline in order; edges may run either way.
    pub edges: Vec<EdgeSpec>,
    /// How many, of what.
    pub cut: CutSpec,
    /// The line the grain runs along; its direction and length as drawn.
    pub grain: Option<Path>,
    /// Width where neither edge nor seam says one.
    pub default_allowance: Option<f64>,
    /// `corner a, b turned back`
    pub corners: Vec<CornerSpec>,
    /// Fold lines inside the piece, with their names.
    pub fold_lines: Vec<(Tag, String, Path)>,
    /// Fold lines that are laid onto another: the one that is folded, and the other.
    pub folded_onto: Vec<(Path, Path)>,
    /// An interlining to be made of it.
    pub interlining: Option<InterliningSpec>,
    /// Notches without a partner.
    pub notches: Vec<PieceNotchSpec>,
    /// Points and lines to copy onto the cloth: name, what, words.
    pub marks: Vec<MarkSpec>,
}

/// An interlining as a piece asks for it.
#[derive(Clone, Debug, PartialEq)]
pub struct InterliningSpec {
    /// Its sentence.
    pub tag: Tag,
    /// How many; none takes back what was asked before.
    pub count: u32,
    /// All the same way up, not mirrored pairs.
    pub alike: bool,
    /// The cloth's name.
    pub cloth: Option<String>,
    /// How far it lies inside the sewing line, in millimetres.
    pub inside: f64,
}

/// One edge of a piece.
#[derive(Clone, Debug)]
pub struct EdgeSpec {
    /// The name in the outline.
    pub tag: Tag,
    /// Its name in the piece.
    pub name: String,
    /// The panel line it is, by full name: `back.armhole`.
    pub line: String,
    /// The line.
    pub path: Path,
    /// `allow W on` this edge.
    pub allowance: Option<f64>,
    /// `finish` of this edge.
    pub finish: Option<String>,
}

/// How a piece is cut.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct CutSpec {
    /// How many; 0 where the draft does not say.
    pub count: u32,
    /// All the same way up, not mirrored pairs.
    pub alike: bool,
    /// Index of the edge that lies on the fold of the cloth.
    pub fold_edge: Option<usize>,
    /// The cloth's name.
    pub cloth: Option<String>,
}

/// How a corner of the allowance is shaped.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CornerTreatment {
    /// Both run on until they meet, up to a limit.
    Mitred,
    /// Cut square to the seam sewn first.
    Squared,
    /// The sides mirrored in the hem's fold.
    TurnedBack,
    /// Both widths run on, with a step.
    Stepped,
}

/// A corner with a treatment of its own.
#[derive(Clone, Debug, PartialEq)]
pub struct CornerSpec {
    /// Its sentence.
    pub tag: Tag,
    /// Names of the two edges as in the piece; the first is the hem, or the seam sewn first.
    pub edges: (String, String),
    /// What.
    pub treatment: CornerTreatment,
}

/// The shape of a notch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NotchForm {
    /// One.
    Single,
    /// Two, 10 mm apart.
    Double,
    /// With a bar that shows the exact line.
    Tee,
    /// Cut out as a wedge.
    Vee,
    /// A snip.
    Slit,
}

/// A notch of one piece alone.
#[derive(Clone, Debug)]
pub struct PieceNotchSpec {
    /// Its sentence.
    pub tag: Tag,
    /// Shape.
    pub form: NotchForm,
    /// On or near the outline.
    pub at: Point,
}

/// Something to copy onto the cloth.
#[derive(Clone, Debug)]
pub struct MarkSpec {
    /// Its sentence.
    pub tag: Tag,
    /// Full name of what is marked.
    pub name: String,
    /// A point, line or curve.
    pub shape: Value,
    /// What it is for.
    pub text: String,
    /// The button that is sewn on there, or for which a hole is cut.
    pub button: Option<Button>,
}

/// A button's size in millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Button {
    /// Across.
    pub diameter: f64,
    /// Through.
    pub thickness: f64,
}

impl Button {
    /// The length of its buttonhole: diameter and thickness together (common practice).
    pub fn hole(&self) -> f64 {
        self.diameter + self.thickness
    }
}

/// How a seam is sewn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SeamKind {
    /// Once, right sides together.
    Plain,
    /// Lapped, one allowance folded over the other and stitched down.
    Felled,
    /// Twice, the raw edges inside the second seam.
    French,
    /// Plain, both raw edges in a strip of binding.
    Bound,
    /// Plain, trimmed and turned, so that one layer faces the other.
    Faced,
}

/// How a seam is sewn, and the allowance this takes on its first and its second side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sewn {
    /// Its sentence.
    pub tag: Tag,
    /// How.
    pub kind: SeamKind,
    /// Millimetres.
    pub widths: (f64, f64),
}

/// A seam as declared.
#[derive(Clone, Debug)]
pub struct SeamSpec {
    /// Its sentence.
    pub tag: Tag,
    /// Its name.
    pub name: String,
    /// First side, in sewing order.
    pub first: Vec<SeamEdgeSpec>,
    /// Second side, in sewing order.
    pub second: Vec<SeamEdgeSpec>,
    /// Where the walk starts: an end of the first edge of one side.
    pub from: Option<SeamPoint>,
    /// Which side is longer and by how much: least and most, of the first side over the second (negative: the second
    /// is the longer one).
    pub ease: Option<(f64, f64)>,
    /// What may pass; none takes the trade's.
    pub tolerance: Option<f64>,
    /// Notches in the order declared.
    pub notches: Vec<SeamNotchSpec>,
    /// How it is sewn; none where the draft does not say.
    pub sewn: Option<Sewn>,
    /// Allowance of both sides.
    pub allowance: Option<f64>,
    /// Allowance of single lines, by full name.
    pub allowance_on: Vec<(String, f64)>,
    /// The step that last drew each side's lines, for the message when they differ.
    pub last_changed: Vec<(Tag, String)>,
}

/// One edge of a seam's side.
#[derive(Clone, Debug)]
pub struct SeamEdgeSpec {
    /// The name in the sentence.
    pub tag: Tag,
    /// The panel line, by full name.
    pub line: String,
    /// The twin's edge.
    pub mirrored: bool,
    /// The line.
    pub path: Path,
}

/// A notch carried by a seam to both sides.
#[derive(Clone, Debug)]
pub struct SeamNotchSpec {
    /// Its sentence.
    pub tag: Tag,
    /// Shape.
    pub form: NotchForm,
    /// Where.
    pub place: SeamNotchPlace,
}

/// A point named in a seam. Every panel has its own sheet, so the same figures can mean a place on either side; the name's
/// panel then tells which is meant.
#[derive(Clone, Debug, PartialEq)]
pub struct SeamPoint {
    /// Where.
    pub point: Point,
    /// Its full name, `back.underarm`; empty where it has none.
    pub name: String,
}

/// Where a seam's notch stands.
#[derive(Clone, Debug, PartialEq)]
pub enum SeamNotchPlace {
    /// So far from an end of the seam (a point at an end of either side), the same on both sides.
    Measured {
        /// Millimetres.
        distance: f64,
        /// Which end.
        from: SeamPoint,
    },
    /// A point of one side and its fellow on the other.
    Pair(SeamPoint, SeamPoint),
    /// A point on one side, carried to the other in proportion between neighbouring notches.
    One(SeamPoint),
    /// Wherever edges of one side meet, carried to the other in proportion between neighbouring notches.
    Joints,
}

/// A check, judged.
#[derive(Clone, Debug, PartialEq)]
pub struct Check {
    /// Its sentence.
    pub tag: Tag,
    /// The author's words.
    pub text: String,
    /// What was found, as printed for people.
    pub measured: String,
    /// What was wanted, as printed for people.
    pub wanted: String,
    /// Whether it holds.
    pub ok: bool,
    /// Full names of the values it reads: where it fails, pieces that outline them say so in print.
    pub reads: Vec<String>,
}

/// A cloth as declared.
#[derive(Clone, Debug, PartialEq)]
pub struct ClothSpec {
    /// Its name.
    pub name: String,
    /// What it is.
    pub label: String,
    /// Usable width in millimetres.
    pub width: Option<f64>,
    /// Thickness in millimetres.
    pub thickness: Option<f64>,
    /// Shrinkage of warp and of weft, as shares.
    pub shrinkage: (f64, f64),
    /// Has a direction: all pieces lie the same way.
    pub nap: bool,
    /// Stripe repeat in millimetres.
    pub stripe: Option<f64>,
}
