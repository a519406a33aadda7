//! What became of one piece: its edges, notches, marks and folds, and what its paper needs. Where something lies is told in
//! the piece's own place: the old piece is first laid under the new one where most of its outline is kept.

use super::{Change, SAME};
use kurbo::Affine;
use oaktag_language::pattern::Edge;
use oaktag_output::number::{MM_DECIMALS, rounded};
use serde::Serialize;

/// How the old piece is laid under the new one: turned about a place, then moved.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Laid {
    /// Where it is turned about, on the old sheet: right and up in millimetres.
    pub about_mm: (f64, f64),
    /// How far it was turned on its sheet, in degrees; clockwise is positive.
    pub turned_deg: f64,
    /// Then to the right (negative: left) in millimetres.
    pub right_mm: f64,
    /// And up (negative: down) in millimetres.
    pub up_mm: f64,
}

/// A way on the sheet.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Way {
    /// To the right (negative: left) in millimetres.
    pub right_mm: f64,
    /// Up (negative: down) in millimetres.
    pub up_mm: f64,
}

/// The farthest that a line lies from where it lay, to one side of it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Off {
    /// How far, square to the line, in millimetres.
    pub distance_mm: f64,
    /// Which way on the sheet.
    #[serde(flatten)]
    pub way: Way,
    /// To the side where the cloth ends; none for a line inside the piece.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub outward: Option<bool>,
    /// Where: so far along the line, from `from`, in millimetres.
    pub at_mm: f64,
    /// The end that is counted from, in words.
    pub from: String,
}

/// Where a line lies, held against where it lay.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Lies {
    /// The farthest to either side, the greater first; none where it lies on its old line.
    pub off: Vec<Off>,
    /// It is so far off all along.
    pub all_along: bool,
    /// The way of both its ends, where it has its length and its line and lies farther along it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub along: Option<Way>,
}

impl Lies {
    /// Whether it lies elsewhere.
    pub(crate) fn is_change(&self) -> bool {
        !self.off.is_empty() || self.along.is_some()
    }
}

/// An edge of a piece before and after.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct EdgeChange {
    /// Its name in the piece on the new side.
    pub name: String,
    /// Its name before, where it had another.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub was_named: Option<String>,
    /// Length on the sewing line.
    pub length_mm: Change,
    /// How far the edge lies from where it lay, in millimetres.
    #[serde(flatten)]
    pub lies: Lies,
    /// The end that lies elsewhere, in words, where the other stayed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub moved_end: Option<String>,
    /// Allowance, where it changed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub allowance: Option<AllowanceChange>,
    /// Finish, where it changed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub finish: Option<(Option<String>, Option<String>)>,
    /// It lies on the fold now, or no longer.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub on_fold: Option<bool>,
}

/// An allowance before and after.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(into = "[Option<WidthOut>; 2]")]
pub struct AllowanceChange {
    /// Before; none where the draft says nothing.
    pub old: Option<WidthOut>,
    /// After.
    pub new: Option<WidthOut>,
    /// Both as people read them.
    pub words: (String, String),
}

impl From<AllowanceChange> for [Option<WidthOut>; 2] {
    fn from(change: AllowanceChange) -> Self {
        [change.old, change.new]
    }
}

/// How wide the cloth stands beyond an edge, in millimetres.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(untagged)]
pub enum WidthOut {
    /// One width.
    Even(f64),
    /// At the start and at the end of the edge, anticlockwise round the piece.
    Tapering([f64; 2]),
}

impl WidthOut {
    /// Of an edge; none where the draft says nothing.
    pub(super) fn of(edge: &Edge) -> Option<Self> {
        let width = edge.allowance.as_ref()?.width;
        Some(if width.is_even() {
            Self::Even(width.start)
        } else {
            Self::Tapering([width.start, width.end].map(|mm| rounded(mm, MM_DECIMALS)))
        })
    }
}

impl EdgeChange {
    /// Whether the line itself is another.
    pub(crate) fn has_another_line(&self) -> bool {
        self.length_mm.is_change() || self.lies.is_change()
    }

    /// Whether anything of it changed but its name.
    pub(crate) fn is_change(&self) -> bool {
        self.has_another_line()
            || self.allowance.is_some()
            || self.finish.is_some()
            || self.on_fold.is_some()
    }
}

/// A notch before and after.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct NotchChange {
    /// The seam that carries it, or none.
    pub seam: Option<String>,
    /// Number of its place along that seam.
    pub number: Option<usize>,
    /// The edge it stands on.
    pub edge: String,
    /// The end it is counted from, in words: the one that the author named, else one that stayed where it was.
    pub from: String,
    /// So far from there before; none before it was there.
    pub old_mm: Option<f64>,
    /// The same now; none after it went.
    pub new_mm: Option<f64>,
    /// How it moved in the piece, where it is on both sides.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub moved: Option<Way>,
    /// Its shape before and after, where that changed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub form: Option<(String, String)>,
}

impl NotchChange {
    /// Whether it has its distance and moved because its edge did.
    pub fn goes_with_edge(&self) -> bool {
        let both = self.old_mm.zip(self.new_mm);
        self.form.is_none() && both.is_some_and(|(old, new)| (old - new).abs() <= SAME)
    }
}

/// What a thing drawn inside a piece is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Inside {
    /// A mark for the cloth.
    Mark,
    /// A fold line inside the piece.
    Fold,
    /// The line that the grain runs along.
    Grain,
}

/// What became of a mark, a fold line or the grain.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum InsideEdit {
    /// Was not there before.
    New,
    /// Is not there any more.
    Gone,
    /// Lies so far off as a whole.
    Moved(Way),
    /// Turned by so many degrees, clockwise positive.
    Turned(f64),
    /// A line that runs otherwise: its length, and where it lies.
    Redrawn(Change, Lies),
    /// Something else stands in its place: a line for a point, an endless line.
    Other,
}

/// A mark, a fold line or the grain before and after.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct InsideChange {
    /// A mark, a fold line or the grain.
    pub kind: Inside,
    /// Its name in the piece's panel.
    pub name: String,
    /// What is printed beside it; may be empty.
    pub text: String,
    /// What became of it.
    pub edit: InsideEdit,
}

/// What has to be done with a piece's paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    /// The cut piece serves as it is.
    Keep,
    /// The same paper, other words on it.
    Relabel,
    /// The same outline, other marks, folds or grain.
    Mark,
    /// The same outline, other notches.
    Notch,
    /// The same outline, other notches and other marks.
    NotchAndMark,
    /// Another outline: a piece cut before cannot be used.
    Recut,
    /// Was not there before.
    New,
    /// Is no longer wanted.
    Gone,
    /// Is wanted, and cannot be drawn.
    NotDrawn,
}

impl Verdict {
    /// Whether the outline is as it was.
    pub(crate) fn keeps_outline(self) -> bool {
        match self {
            Verdict::Keep
            | Verdict::Relabel
            | Verdict::Mark
            | Verdict::Notch
            | Verdict::NotchAndMark => true,
            Verdict::Recut | Verdict::New | Verdict::Gone | Verdict::NotDrawn => false,
        }
    }
}

/// A new piece, as it is cut.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct NewPiece {
    /// How often and how; empty where the draft does not say.
    pub cut: String,
    /// What the cloth is called; none where the draft names none.
    pub cloth: Option<String>,
    /// Half of it is drawn, the cloth folded.
    pub on_fold: bool,
    /// As drawn, inside the sewing line: how wide and how high on the sheet, in millimetres.
    pub size_mm: Option<(f64, f64)>,
    /// Area of the whole piece inside the sewing line, square millimetres.
    pub area_mm2: Option<f64>,
}

/// A piece before and after.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PieceChange {
    /// Its name on the new side (the old one's where it is gone).
    pub name: String,
    /// Its name before, where it had another.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub was_named: Option<String>,
    /// What is printed on it.
    pub label: String,
    /// What to do with the paper.
    pub verdict: Verdict,
    /// How the old piece lies under the new one.
    #[serde(skip)]
    pub frame: Affine,
    /// The same in figures, where it moved on its sheet; all that is told of the piece is told after that.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub laid: Option<Laid>,
    /// Of one that is new: what it is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub is_new: Option<NewPiece>,
    /// Area of the whole piece inside the sewing line, square millimetres.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub area_mm2: Option<Change>,
    /// Edges of another length, shape or allowance, and those that came or went.
    pub edges: Vec<EdgeChange>,
    /// Edges that are as they were.
    pub edges_kept: Vec<String>,
    /// Edges that are new, with their length in millimetres.
    pub edges_added: Vec<(String, f64)>,
    /// Edges that went, with the length they had.
    pub edges_gone: Vec<(String, f64)>,
    /// The farthest that the cutting line lies from where it lay, where no edge says so.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cutting_mm: Option<f64>,
    /// Notches that moved, came or went.
    pub notches: Vec<NotchChange>,
    /// Marks, fold lines and the grain that moved, came or went.
    pub inside: Vec<InsideChange>,
    /// Other words: how it is cut, what it is called, what its marks say.
    pub notes: Vec<String>,
}
