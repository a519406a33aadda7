//! What evaluation hands over: the panels as drawn, and what the draft's sentences say of pieces, seams and checks, with
//! every name already looked up and every figure in millimetres. Each sentence carries a [`Tag`], so that a fault found
//! while building can be told at its place by those who know the text.

pub use super::cloth_spec::ClothSpec;
use super::{Allowance, WearerSide};
pub use crate::sewing::EaseHow;
use crate::sewing::{self, EdgeRef, Held, OwnNotch, Place, SewnAs, Stage};
use crate::voice::LengthUnit;
use kurbo::{Point, Vec2};
use oaktag_geometry::path::Path;

/// Stands for the sentence (or the name in it) that said so; only evaluation knows where that is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Tag(pub u32);

/// The stage of sentences as they are drawn: every figure worked out, in millimetres.
#[derive(Clone, Debug, PartialEq)]
pub struct AsDrawn;

impl Stage for AsDrawn {
    type Length = f64;
    type Point = SeamPoint;
    type Text = String;
    type NotchForm = NotchForm;
    type Count = u32;
    type Cloth = String;
    type Outlined = EdgeSpec;
    type Edge = EdgeRef;
    type Corner = (EdgeRef, EdgeRef);
    type Treatment = CornerTreatment;
    type Grain = (Path, String);
    type Line = (Tag, String, Path);
    type Notches = Vec<OwnNotch<Self>>;
    type Marked = Marked;
    type Button = Option<Button>;
    type Held = Held<Amount>;
    type SeamEdge = EdgeName;
    type SeamNotch = SeamNotchPlace;
    type Sewn = SewnAs<SeamKind, f64>;
}

/// A place along a seam: at a point, or so many millimetres from one.
pub type SeamPlace = Place<AsDrawn>;

/// Where a seam's notch stands, distances in millimetres.
pub type SeamNotchPlace = sewing::SeamNotchPlace<AsDrawn>;

/// Everything a draft says about what is to be cut and sewn.
#[derive(Clone, Debug, Default)]
pub struct Drawn {
    /// What the draft calls itself; empty where it does not.
    pub title: String,
    /// The unit of lengths wherever people read them.
    pub unit: LengthUnit,
    /// Measures and choices with the values used.
    pub measures: Vec<MeasureUsed>,
    /// Every value by full name, the last sheet of each panel.
    pub values: Vec<NamedValue>,
    /// Lines as they were before they were redrawn, on the same sheets.
    pub redrawn: Vec<(String, Path)>,
    /// Pieces in the order they are declared.
    pub pieces: Vec<PieceSpec>,
    /// Seams in the order they are declared.
    pub seams: Vec<SeamSpec>,
    /// Names of seams in the order they are made up.
    pub order: Vec<String>,
    /// What the draft asks to hold, judged as it was drawn.
    pub checks: Vec<Check>,
    /// Every cloth that the draft declares, in order.
    pub cloths: Vec<ClothSpec>,
    /// What makes this drawing unfit to cut, for the reader of the paper (failed checks add themselves).
    pub cautions: Vec<String>,
    /// What is missing because a sentence could not be carried out.
    pub lost: Lost,
}

/// What a drawing lacks because a sentence could not be carried out.
#[derive(Clone, Debug, Default)]
pub struct Lost {
    /// Names of values, panels and pieces, and sentences that take pieces.
    pub names: Vec<String>,
    /// Pieces as far as they go: those of their edges that are drawn.
    pub pieces: Vec<LostPiece>,
    /// Seams that are not walked.
    pub seams: Vec<LostSeam>,
    /// Words of sentences that may be seams, for each the names that stand in it.
    pub words: Vec<Vec<String>>,
    /// In which order seams are made up is not known.
    pub order: bool,
}

/// A piece of which something is missing.
#[derive(Clone, Debug)]
pub struct LostPiece {
    /// What is known of it; its edges are those that are drawn.
    pub spec: PieceSpec,
    /// Names of edges that are not drawn.
    pub missing: Vec<String>,
}

/// A seam that is not walked.
#[derive(Clone, Debug)]
pub struct LostSeam {
    /// Its edges, and what it says of their widths.
    pub spec: SeamSpec,
    /// Whether that is all it would say of them.
    pub is_known: bool,
}

/// A measure or choice and the value used for it.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasureUsed {
    /// Its name with the panel's or import's before it: `house.bust_ease`.
    pub name: String,
    /// A measure of the body, rather than a choice.
    pub of_body: bool,
    /// What it comes to, in the kind that it was declared or drawn as.
    pub value: Value,
    /// How to take it.
    pub text: String,
    /// Worked out from other measures by the draft's formula.
    pub worked_out: bool,
    /// The figure with which the library declares it: an example, which nobody gave for this body.
    pub example: bool,
}

/// A value of a drawn draft, with its kind: for writers and tools. (While it is drawn it is a
/// [`phrase::Value`](crate::phrase::Value), whose kind the check knows.)
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// A place on the sheet, in millimetres.
    Point(Point),
    /// A straight line, endless or bounded.
    Line(Path),
    /// A line that bends, with both its ends.
    Curve(Path),
    /// How long something is, in millimetres.
    Length(f64),
    /// An angle or a turn in degrees, clockwise as seen on the paper.
    Angle(f64),
    /// How large something is, in square millimetres.
    Area(f64),
    /// A figure without a unit: a count or a share.
    Number(f64),
    /// A way to go, as a vector of length one.
    Direction(Vec2),
    /// Words of the draft, its figures filled in.
    Text(String),
    /// The words `yes` and `no`.
    Answer(bool),
    /// Several values of one kind, in order.
    List(Vec<Value>),
}

/// A value and where it was drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct NamedValue {
    /// `back.cb_hip`
    pub name: String,
    /// What it comes to, in the kind that it was declared or drawn as.
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
    /// The sentence of the draft that says it, where messages point.
    pub tag: Tag,
    /// Its name in the draft, as it is written there.
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
    /// That line as the draft calls it: "along the centre"; empty where it has no grain.
    pub grain_words: String,
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
    /// Its darts in the order they are declared.
    pub darts: Vec<DartSpec>,
    /// Points and lines to copy onto the cloth: name, what, words.
    pub marks: Vec<MarkSpec>,
    /// One of its sentences is wrong and left out: where it is cut is not known.
    pub is_broken: bool,
}

/// An interlining as a piece asks for it.
#[derive(Clone, Debug, PartialEq)]
pub struct InterliningSpec {
    /// The sentence of the draft that says it, where messages point.
    pub tag: Tag,
    /// How many; none takes back what was asked before.
    pub count: u32,
    /// All the same way up, not mirrored pairs.
    pub alike: bool,
    /// The cloth it is cut from, by name; none where the draft says none.
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
    /// The panel's line as drawn, in millimetres.
    pub path: Path,
    /// `allow W on` this edge, along the line as drawn.
    pub allowance: Option<Allowance>,
    /// `finish` of this edge.
    pub finish: Option<String>,
    /// The dart whose mouth it closes, by its place among the piece's; such an edge is made, not named.
    pub mouth: Option<usize>,
}

/// A dart: a seam of a piece with itself. Lengths in millimetres.
#[derive(Clone, Debug)]
pub struct DartSpec {
    /// The sentence of the draft that says it, where messages point.
    pub tag: Tag,
    /// The ends of its mouth; of a dart inside the piece its widest place.
    pub mouth: (Point, Point),
    /// The point at which its legs meet.
    pub apex: Point,
    /// The other end of a dart that lies whole inside the piece.
    pub other_apex: Option<Point>,
    /// Its legs, where they are not straight.
    pub legs: Option<(Path, Path)>,
    /// It is pressed toward this point.
    pub pressed: Option<Point>,
    /// Drill marks stand so far inside each apex.
    pub drill: Option<f64>,
    /// It is sewn so far from the mouth; the rest is a pleat.
    pub sewn: Option<f64>,
    /// Said of the piece that this one is traced from: passed over where the outline has lost its mouth since.
    pub of_base: bool,
}

/// An edge as a sentence names it.
#[derive(Clone, Debug, PartialEq)]
pub struct EdgeName {
    /// The name in the sentence.
    pub tag: Tag,
    /// The word before the last, which may be a piece's name.
    pub owner: Option<String>,
    /// The last word: the edge's name in a piece, or the line's in its panel.
    pub edge: String,
    /// The panel line's full name; empty where the name is no panel line.
    pub line: String,
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
    /// That edge is the middle of a piece that is cut whole: it is drawn, laid and counted unfolded.
    pub whole: bool,
    /// The cloth it is cut from, by name; none where the draft says none.
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
    /// The sentence of the draft that says it, where messages point.
    pub tag: Tag,
    /// Names of the two edges as in the piece; the first is the hem, or the seam sewn first.
    pub edges: (String, String),
    /// How the cutting lines are led round it.
    pub treatment: CornerTreatment,
}

/// The shape of a notch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NotchForm {
    /// A single cut square to the edge.
    Single,
    /// Two, 10 mm apart.
    Double,
    /// With a bar that shows the exact line.
    Tee,
    /// Cut out as a wedge.
    Vee,
    /// A snip from the edge toward the sewing line.
    Slit,
}

impl NotchForm {
    /// Every form.
    pub(crate) const ALL: [Self; 5] =
        [Self::Single, Self::Double, Self::Tee, Self::Vee, Self::Slit];

    /// Its word in a draft and in the JSON.
    pub fn word(self) -> &'static str {
        match self {
            Self::Single => "single",
            Self::Double => "double",
            Self::Tee => "tee",
            Self::Vee => "vee",
            Self::Slit => "slit",
        }
    }
}

/// A notch of one piece alone.
#[derive(Clone, Debug)]
pub struct PieceNotchSpec {
    /// The sentence of the draft that says it, where messages point.
    pub tag: Tag,
    /// How it is cut or drawn.
    pub form: NotchForm,
    /// On or near the outline, or so far along it from one of its corners.
    pub place: SeamPlace,
    /// The point from which the draft measures along a line to get there.
    pub along_from: Option<SeamPoint>,
}

/// A point, line or curve that is marked.
#[derive(Clone, Debug)]
pub struct Marked {
    /// Its name with the panel's before it: `back.underarm`.
    pub name: String,
    /// A point, line or curve.
    pub shape: Value,
    /// One of a list: its number ends the name.
    pub of_list: bool,
}

/// Something to copy onto the cloth.
#[derive(Clone, Debug)]
pub struct MarkSpec {
    /// The sentence of the draft that says it, where messages point.
    pub tag: Tag,
    /// Full name of what is marked.
    pub name: String,
    /// A point, line or curve.
    pub shape: Value,
    /// What it is for.
    pub text: String,
    /// One of a list: its number ends the name.
    pub of_list: bool,
    /// The one side of the wearer that has it; none where all copies of the piece do.
    pub side: Option<WearerSide>,
    /// The button that is sewn on there, or for which a hole is cut.
    pub button: Option<Button>,
}

/// A button's size in millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Button {
    /// How wide it is, in millimetres.
    pub diameter: f64,
    /// How thick it is, in millimetres.
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
    /// The sentence of the draft that says it, where messages point.
    pub tag: Tag,
    /// The sort of seam that takes them.
    pub kind: SeamKind,
    /// The allowances of its first and its second side, in millimetres.
    pub widths: (f64, f64),
}

/// A seam as declared.
#[derive(Clone, Debug, Default)]
pub struct SeamSpec {
    /// The sentence of the draft that says it, where messages point.
    pub tag: Tag,
    /// Its name in the draft, as it is written there.
    pub name: String,
    /// The side that is named before `to`.
    pub first: SideSpec,
    /// The side that is named after `to`.
    pub second: SideSpec,
    /// Where the walk starts: an end of a side, or of each.
    pub from: Vec<SeamPoint>,
    /// Which way each side of a closed edge goes first.
    pub toward: Vec<SeamPoint>,
    /// What is eased in, gathered or stretched.
    pub eases: Vec<EaseSpec>,
    /// Points that meet without a notch.
    pub meets: Vec<(Tag, SeamPoint, SeamPoint)>,
    /// Parts that are not sewn.
    pub openings: Vec<OpeningSpec>,
    /// Ends where the lines beside the seam are meant to turn.
    pub corners: Vec<CornerSaid>,
    /// What may pass; none takes the trade's.
    pub tolerance: Option<f64>,
    /// Notches in the order declared.
    pub notches: Vec<SeamNotchSpec>,
    /// How it is sewn; none where the draft does not say.
    pub sewn: Option<Sewn>,
    /// Allowance of both sides.
    pub allowance: Option<f64>,
    /// Allowance of single edges.
    pub allowance_on: Vec<(EdgeName, f64)>,
    /// The step that last drew each side's lines, for the message when they differ.
    pub last_changed: Vec<(Tag, String)>,
    /// A sentence of it could not be read.
    pub is_broken: bool,
}

impl SeamSpec {
    /// Every point that its sentences name.
    pub(crate) fn points_mut(&mut self) -> impl Iterator<Item = &mut SeamPoint> {
        fn of_places(places: &mut (SeamPlace, SeamPlace)) -> [&mut SeamPoint; 2] {
            [places.0.point_mut(), places.1.point_mut()]
        }
        let sides = [&mut self.first, &mut self.second];
        let until = sides.into_iter().filter_map(|side| side.until.as_mut());
        let eases = self
            .eases
            .iter_mut()
            .filter_map(|ease| ease.between.as_mut());
        let openings = self.openings.iter_mut().map(|opening| &mut opening.between);
        let notches = self
            .notches
            .iter_mut()
            .flat_map(|notch| match &mut notch.place {
                SeamNotchPlace::Measured { from, .. } => vec![from],
                SeamNotchPlace::Pair(a, b) => vec![a, b],
                SeamNotchPlace::One(one) => vec![one],
                SeamNotchPlace::Joints => Vec::new(),
            });
        until
            .chain(&mut self.from)
            .chain(&mut self.toward)
            .chain(eases.chain(openings).flat_map(of_places))
            .chain(self.meets.iter_mut().flat_map(|(_, a, b)| [a, b]))
            .chain(self.corners.iter_mut().map(|corner| &mut corner.at))
            .chain(notches)
    }
}

/// One side of a seam as declared.
#[derive(Clone, Debug, Default)]
pub struct SideSpec {
    /// Its edges, in any order.
    pub edges: Vec<SeamEdgeSpec>,
    /// Where it stops within an edge.
    pub until: Option<SeamPoint>,
}

/// One edge of a seam's side.
#[derive(Clone, Debug)]
pub struct SeamEdgeSpec {
    /// As it is named.
    pub name: EdgeName,
    /// It is meant of the piece's mirrored copy.
    pub mirrored: bool,
    /// Passed by, and not sewn.
    pub over: bool,
}

/// How much longer (of a stretch, shorter) an edge is than its partner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Amount {
    /// An amount of cloth, in millimetres.
    Length(f64),
    /// A share of the partner.
    Share(f64),
    /// The edge to its partner, as one number.
    Ratio(f64),
}

/// Cloth that is eased in, gathered or stretched.
#[derive(Clone, Debug)]
pub struct EaseSpec {
    /// The sentence of the draft that says it, where messages point.
    pub tag: Tag,
    /// Whether the cloth is eased, gathered or stretched.
    pub how: EaseHow,
    /// The least that is held in.
    pub low: Amount,
    /// The most that is held in; the same where one amount is said.
    pub high: Amount,
    /// The edges it is done to.
    pub on: Vec<EdgeName>,
    /// Where along them; none is anywhere.
    pub between: Option<(SeamPlace, SeamPlace)>,
}

/// A part of a seam that is not sewn.
#[derive(Clone, Debug)]
pub struct OpeningSpec {
    /// The sentence of the draft that says it, where messages point.
    pub tag: Tag,
    /// From where to where.
    pub between: (SeamPlace, SeamPlace),
    /// What it is for.
    pub words: String,
}

/// An end of a seam where a corner is meant.
#[derive(Clone, Debug)]
pub struct CornerSaid {
    /// The sentence of the draft that says it, where messages point.
    pub tag: Tag,
    /// The point of the seam at which it turns.
    pub at: SeamPoint,
    /// What the draft says of it, for paper.
    pub words: String,
}

/// A notch carried by a seam to both sides.
#[derive(Clone, Debug)]
pub struct SeamNotchSpec {
    /// The sentence of the draft that says it, where messages point.
    pub tag: Tag,
    /// How it is cut or drawn.
    pub form: NotchForm,
    /// Where it stands, by the points and lengths the draft names.
    pub place: SeamNotchPlace,
}

/// A point named in a seam. Every panel has its own sheet, so the same figures can mean a place on either side; the name's
/// panel then tells which is meant.
#[derive(Clone, Debug, PartialEq)]
pub struct SeamPoint {
    /// The place on its sheet, in millimetres.
    pub point: Point,
    /// Its full name, `back.underarm`; empty where it has none.
    pub name: String,
    /// The panel it is drawn on; none where it is drawn on several, or beside them.
    pub panel: Option<String>,
}

/// What the draft asks to hold, with what was found.
#[derive(Clone, Debug, PartialEq)]
pub struct Check {
    /// The sentence of the draft that says it, where messages point.
    pub tag: Tag,
    /// What the author calls it, or says by it.
    pub text: String,
    /// What was found, as printed for people.
    pub measured: String,
    /// What was wanted, as printed for people.
    pub wanted: String,
    /// What was found is what was wanted.
    pub ok: bool,
    /// Full names of the values it reads: where it fails, pieces that outline them say so in print.
    pub reads: Vec<String>,
    /// The act, step, panel or import it belongs to, in words; empty at the draft's own margin.
    pub of: String,
    /// What it read that was drawn anew since, and where; empty where what was found stands in the finished draft.
    pub redrawn: Vec<Anew>,
}

impl Check {
    /// Whether what was found stands in the finished draft.
    pub fn stands(&self) -> bool {
        self.redrawn.is_empty()
    }

    /// What was drawn anew since, and where; none where it stands.
    pub fn overtaken(&self) -> Option<String> {
        (!self.stands()).then(|| Anew::said(&self.redrawn))
    }
}

/// A value that a later sentence put another in the place of.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Anew {
    /// Its name on its panel: `back.armhole`.
    pub name: String,
    /// The act, step or panel that drew it anew, in words.
    pub by: String,
    /// It is no longer on the sheet.
    pub is_gone: bool,
    /// A figure, worked out rather than drawn.
    pub is_figure: bool,
}

impl Anew {
    /// What was drawn anew and where, in words: "the back armhole is drawn anew in `lengthen`".
    pub fn said(all: &[Anew]) -> String {
        let mut rows: Vec<(String, Vec<String>)> = Vec::new();
        for one in all {
            let spoken = crate::voice::the(&one.name);
            let what = match (one.is_gone, one.is_figure) {
                (true, _) => "no longer drawn after",
                (false, true) => "worked out anew in",
                (false, false) => "drawn anew in",
            };
            let what = format!("{what} {}", one.by);
            match rows.iter_mut().find(|(other, _)| *other == what) {
                Some((_, names)) => names.push(spoken),
                None => rows.push((what, vec![spoken])),
            }
        }
        let said = rows.into_iter().map(|(what, mut names)| {
            if names.len() > MOST_NAMED + 1 {
                let more = names.len() - MOST_NAMED;
                names.truncate(MOST_NAMED);
                names.push(format!("{more} more"));
            }
            let are = if names.len() == 1 { "is" } else { "are" };
            format!("{} {are} {what}", crate::voice::list(&names))
        });
        said.collect::<Vec<_>>().join("; ")
    }
}

/// Most names in a sentence that tells what was drawn anew.
const MOST_NAMED: usize = 3;
