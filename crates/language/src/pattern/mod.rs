//! The drawn pattern: pieces with their edges, allowances and marks, seams that have been walked, checks that have been
//! judged. Free of syntax: evaluation hands over a [`spec::Drawn`], [`build`] makes a [`Pattern`] of it, writers take
//! the [`Pattern`].

mod fault;
pub mod halves;
pub mod piece;
pub mod said;
pub mod seam;
pub mod shown;
pub mod spec;
pub mod spec_sheet;

mod allowance;
mod build;
mod buttons;
mod claim;
mod cloth_spec;
mod cloth_width;
mod corners;
mod cut_count;
pub mod cut_list;
mod cutting;
mod dart;
mod fold;
mod interlining;
mod issue;
mod kept;
mod making_up;
mod mark;
mod match_line;
mod notch;
mod outline;
mod pair;
mod place_said;
mod seam_kind;
mod select;
mod unfinished;
mod unfold;

pub use crate::sewing::side::{self, WearerSide};
pub use allowance::{Allowance, Tapers};
pub use build::build;
pub(crate) use build::build_after;
pub use buttons::Sewn as SewnButton;
pub use dart::Dart;
pub use fault::Fault;
pub use issue::Issue;
pub use kept::Kept;
pub use match_line::MatchLine;
pub use piece::{Edge, Held, Notch, NotchMark, Piece};
pub use place_said::PlaceSaid;
pub(crate) use seam::SAME_PLACE;
pub use seam::{
    After, Decided, Ease, Interval, Opening, Place, Seam, SeamEnd, Section, Side, SideEdge,
};
pub use unfinished::Unfinished;
pub(crate) use unfinished::piece as piece_as_far;

use crate::voice::LengthUnit;
use oaktag_geometry::path::Path;
use spec::{Check, ClothSpec, MeasureUsed, NamedValue};

/// A draft drawn, its pieces closed and its seams walked. All lengths are millimetres, all areas square millimetres; x
/// points right, y up. Every figure is finite.
#[derive(Clone, Debug, Default)]
pub struct Pattern {
    /// What the draft calls itself; empty where it does not.
    pub title: String,
    /// For whom and as what it is drawn this time.
    pub issue: Issue,
    /// The unit of lengths wherever people read them.
    pub unit: LengthUnit,
    /// Measures and choices with the values used.
    pub measures: Vec<MeasureUsed>,
    /// Every value by full name, the last sheet of each panel, in the order drawn.
    pub values: Vec<NamedValue>,
    /// Lines as they were before a `redraw`, by full name, where they lie off the new: on the last sheet of their panel.
    pub redrawn: Vec<(String, Path)>,
    /// Pieces in the order they are declared.
    pub pieces: Vec<Piece>,
    /// Seams in the order they are declared.
    pub seams: Vec<Seam>,
    /// Names of seams in the order they are made up; empty where the draft does not say.
    pub order: Vec<String>,
    /// What the draft asks to hold, judged as it was drawn.
    pub checks: Vec<Check>,
    /// Every cloth that the draft declares, in order.
    pub cloths: Vec<ClothSpec>,
    /// What makes this drawing unfit to cut, for the reader of the paper.
    pub cautions: Vec<String>,
    /// Edges that no seam, fold or finish accounts for: piece and edge.
    pub unwalked: Vec<(String, String)>,
    /// What has to be known of a body that differs left from right, a sentence each; empty for any other.
    pub sides: Vec<String>,
    /// What is missing because something is wrong; none where all is drawn.
    pub unfinished: Option<Unfinished>,
}

impl Pattern {
    /// The piece of that name.
    pub fn piece(&self, name: &str) -> Option<&Piece> {
        self.pieces.iter().find(|piece| piece.name == name)
    }

    /// The seam of that name.
    pub fn seam(&self, name: &str) -> Option<&Seam> {
        self.seams.iter().find(|seam| seam.name == name)
    }

    /// Whether every seam and check holds.
    pub fn holds(&self) -> bool {
        self.seams.iter().all(|seam| seam.ok) && self.checks.iter().all(|check| check.ok)
    }
}
