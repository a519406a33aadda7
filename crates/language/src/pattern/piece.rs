//! A piece as it will be cut: its edges in order round the outline, the sewing line they make, the cutting line round
//! that, and what is marked on it. A piece whose outline does not close keeps its edges and has neither line.

use super::dart::Dart;
use super::shown::Shown;
use super::spec::{CornerTreatment, CutSpec, EaseHow, MarkSpec, NotchForm, Tag};
use super::{Allowance, PlaceSaid};
use crate::voice::{self, LengthUnit};
use kurbo::{Point, Vec2};
use oaktag_geometry::path::Path;

/// A piece. Its edges run anticlockwise round it, the cloth on their left, from the first that the draft names.
#[derive(Clone, Debug)]
pub struct Piece {
    /// The sentence of the draft that says it, where messages point.
    pub tag: Tag,
    /// Its name in the draft, as it is written there.
    pub name: String,
    /// As printed on it.
    pub label: String,
    /// Which of the draft's pieces it is, and how many those are.
    pub number: (usize, usize),
    /// The panel whose lines it takes.
    pub panel: String,
    /// Which half of the wearer it shows as drawn, right side up.
    pub shown: Shown,
    /// The lines of its outline in order, mouths of darts among them.
    pub edges: Vec<Edge>,
    /// The sewing line all round, closed; none where the edges leave a gap.
    pub sewing: Option<Path>,
    /// The cutting line all round, closed; none where it cannot be drawn.
    pub cutting: Option<Path>,
    /// How many, of what; `fold_edge` counts in [`Piece::edges`].
    pub cut: CutSpec,
    /// The cutting line by the edge it belongs to (index in [`Piece::edges`]), anticlockwise. An edge may come in several
    /// parts, or in none where its neighbours' allowances swallow it.
    pub cut_edges: Vec<(usize, Path)>,
    /// Gaps inside the cutting line, where allowances meet round a slot.
    pub cut_holes: Vec<Path>,
    /// The label of the piece whose interlining this is, and how far inside its sewing line it lies, in millimetres.
    pub inside_of: Option<(String, f64)>,
    /// Drawn without the allowances that the draft gives it.
    pub net: bool,
    /// Area inside the sewing line as drawn, half of a piece on the fold, in square millimetres; none where there is no such
    /// line.
    pub drawn_area: Option<f64>,
    /// Area inside the cutting line as drawn, in square millimetres; none where there is no such line.
    pub cut_area: Option<f64>,
    /// The line the grain runs along.
    pub grain: Option<Path>,
    /// That line as the draft calls it: "along the centre".
    pub grain_words: String,
    /// Where it was folded and is not any more: the fold edge of a half piece drawn whole, by name.
    pub mirror_line: Option<(String, Path)>,
    /// Fold lines inside the piece, by name.
    pub fold_lines: Vec<(String, Path)>,
    /// Fold lines that are laid onto another: the one that is folded, and the other.
    pub folded_onto: Vec<(Path, Path)>,
    /// Corners with a treatment of their own: the edge before and after, and what.
    pub corners: Vec<(usize, usize, CornerTreatment)>,
    /// Notches, by the seam or sentence that set them.
    pub notches: Vec<Notch>,
    /// Darts, as the half that is drawn has them.
    pub darts: Vec<Dart>,
    /// What is copied onto the cloth.
    pub marks: Vec<MarkSpec>,
    /// What must be read before this piece is cut.
    pub cautions: Vec<String>,
    /// Something that it needs is not drawn: it has no cutting line, and may not close.
    pub unfinished: bool,
}

impl Piece {
    /// Whether half of it is drawn and the cloth folded.
    pub fn on_fold(&self) -> bool {
        self.cut.fold_edge.is_some()
    }

    /// Every line it is folded on, with its name; the middle of one that was unfolded among them.
    pub fn folds(&self) -> impl Iterator<Item = &(String, Path)> {
        self.fold_lines.iter().chain(&self.mirror_line)
    }

    /// Area of the whole piece inside the sewing line, both halves of one on the fold, in square millimetres; none where
    /// its edges leave a gap.
    pub fn area(&self) -> Option<f64> {
        let halves = if self.on_fold() { 2.0 } else { 1.0 };
        self.drawn_area.map(|area| area * halves)
    }

    /// The name of the fold line that another is laid onto; none where it is only folded.
    pub fn laid_onto(&self, fold: &Path) -> Option<&str> {
        let (_, onto) = self.folded_onto.iter().find(|(from, _)| from == fold)?;
        let mut lines = self.fold_lines.iter();
        let (name, _) = lines.find(|(_, path)| path == onto)?;
        Some(name)
    }

    /// How wide the cloth stands beyond an edge, by its place among the edges: "1 cm", "2.5 cm at the waist to 1 cm". The end is
    /// told by the point that the draft names there, else by the edge beside it.
    pub fn allowance_said(&self, at: usize, unit: LengthUnit) -> Option<String> {
        let allowance = self.edges.get(at)?.allowance.as_ref()?;
        let Some(from) = self.tapers_from(at) else {
            return Some(allowance.words(unit));
        };
        let [first, last] = allowance.ends_said(unit);
        Some(format!("{first} at {from} to {last}"))
    }

    /// Where the width of an edge begins to taper, as one says it.
    pub fn tapers_from(&self, at: usize) -> Option<String> {
        let tapers = self.edges.get(at)?.allowance.as_ref()?.tapers.as_ref()?;
        if !tapers.from.is_empty() {
            return Some(voice::the(
                tapers.from.rsplit('.').next().unwrap_or_default(),
            ));
        }
        let count = self.edges.len();
        let beside = if tapers.from_start {
            at + count - 1
        } else {
            at + 1
        };
        let beside = self.edges.get(beside % count)?;
        Some(match beside.mouth {
            Some(_) => "the dart".to_owned(),
            None => voice::the_thing(&beside.name, "edge"),
        })
    }

    /// The edge of that name.
    pub fn edge(&self, name: &str) -> Option<&Edge> {
        self.edges.iter().find(|edge| edge.name == name)
    }

    /// The outline that scissors follow: the cutting line, or the sewing line where there is no other.
    pub fn outer(&self) -> Option<&Path> {
        self.cutting.as_ref().or(self.sewing.as_ref())
    }
}

/// A part of an edge that no seam takes is told from this length on, in millimetres: the tolerance of a seam.
const LEFT: f64 = 0.5;

/// An edge of a piece.
#[derive(Clone, Debug)]
pub struct Edge {
    /// Its name in the outline's sentence, where messages point.
    pub tag: Tag,
    /// Its name in the piece.
    pub name: String,
    /// The panel line it is, by full name.
    pub line: String,
    /// The line, running anticlockwise round the piece.
    pub path: Path,
    /// Whether that is the way the panel line was drawn.
    pub as_drawn: bool,
    /// Length along the sewing line, in millimetres.
    pub length: f64,
    /// The cloth beyond it; none where the draft says nothing.
    pub allowance: Option<Allowance>,
    /// Of the half that was not drawn, where a piece on the fold is unfolded.
    pub mirrored: bool,
    /// Lies on the fold of the cloth.
    pub on_fold: bool,
    /// How it is finished, in the draft's words; none where it says nothing.
    pub finish: Option<String>,
    /// The seams that take it.
    pub seams: Vec<String>,
    /// The dart whose mouth it closes: its place in [`Piece::darts`].
    pub mouth: Option<usize>,
    /// It lies whole in a pleat.
    pub pleated: bool,
    /// The parts of it that a seam takes, where none takes it whole: from where to where along it, in millimetres.
    pub taken: Vec<(f64, f64)>,
    /// Parts of it with a width of their own: from where to where along it, and how wide, in millimetres.
    pub beyond: Vec<(f64, f64, f64)>,
    /// Where it is eased in, gathered or stretched.
    pub held: Vec<Held>,
    /// Where a seam leaves it open: from where to where along it, in millimetres, and what for.
    pub open: Vec<(f64, f64, String)>,
}

/// A part of an edge that is eased in, gathered or stretched when it is sewn.
#[derive(Clone, Debug, PartialEq)]
pub struct Held {
    /// The seam that says so.
    pub seam: String,
    /// Whether the cloth is eased, gathered or stretched.
    pub how: EaseHow,
    /// From where to where along the edge, in millimetres.
    pub along: (f64, f64),
    /// At the least and at the most, over all edges that share it.
    pub amount: (f64, f64),
    /// The ratio that the draft gives.
    pub ratio: Option<(f64, f64)>,
    /// The draft says between which places; else it may lie anywhere along the edge.
    pub placed: bool,
}

impl Edge {
    /// How wide the cloth stands beyond a place of it, in millimetres.
    pub fn width_at(&self, along: f64) -> f64 {
        let allowance = self.allowance.as_ref();
        allowance.map_or(0.0, |allowance| allowance.at(along, self.length))
    }

    /// Whether cloth stands beyond any of it.
    pub fn has_cloth(&self) -> bool {
        let mut allowance = self.allowance.iter();
        allowance.any(|allowance| allowance.width.most() > 0.0)
    }

    /// Whether a seam, the fold or a finish accounts for it.
    pub fn is_walked(&self) -> bool {
        self.is_made() || self.finish.is_some() || (!self.seams.is_empty() && self.left().is_none())
    }

    /// Whether nobody sews or finishes it: a fold, the mouth of a dart, the inside of a pleat.
    pub(crate) fn is_made(&self) -> bool {
        self.on_fold || self.mouth.is_some() || self.pleated
    }

    /// The longest part of it that no seam takes, where seams stop within it.
    pub fn left(&self) -> Option<(f64, f64)> {
        if self.taken.is_empty() {
            return None;
        }
        let mut taken = self.taken.clone();
        taken.sort_by(|a, b| a.0.total_cmp(&b.0));
        taken.push((self.length, self.length));
        let mut at = 0.0;
        let mut gaps: Vec<(f64, f64)> = Vec::new();
        for (from, to) in taken {
            if from - at > LEFT {
                gaps.push((at, from));
            }
            at = to.max(at);
        }
        gaps.into_iter()
            .max_by(|a, b| (a.1 - a.0).total_cmp(&(b.1 - b.0)))
    }
}

/// Notches set by one sentence at one place of one piece.
#[derive(Clone, Debug, PartialEq)]
pub struct Notch {
    /// The seam that carries it; none for a piece's own.
    pub seam: Option<String>,
    /// Other seams of which an equal notch stands at the same place.
    pub also: Vec<String>,
    /// Number of its place along that seam, shared with the partner: from 1 in the order walked.
    pub number: Option<usize>,
    /// The edge it stands on: index in [`Piece::edges`].
    pub edge: usize,
    /// How it is cut or drawn.
    pub form: NotchForm,
    /// One mark, or two for a double.
    pub marks: Vec<NotchMark>,
    /// Where the author says that it stands; of a seam's the seam knows.
    pub said: PlaceSaid,
}

/// One mark of a notch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NotchMark {
    /// On the sewing line.
    pub sewing: Point,
    /// Carried square to the cut edge.
    pub cut: Point,
    /// Unit direction out of the cloth.
    pub outward: Vec2,
    /// Unit direction of the sewing line there.
    pub along: Vec2,
    /// Length along the edge from its start to here, in millimetres.
    pub from_start: f64,
    /// How deep it is cut, in millimetres, at most half the allowance; 0 where there is no allowance to cut into.
    pub depth: f64,
}

impl Piece {
    /// How it is cut, in words: "cut 2: 1 left, 1 right"; empty where the draft does not say.
    pub fn cut_words(&self) -> String {
        if let Some([left, right]) = self.left_and_right() {
            return format!("cut {}: {left} left, {right} right", self.cut.count);
        }
        match (self.cut.count, self.on_fold(), self.cut.alike) {
            (n, _, _) if n > 0 && self.mirror_line.is_some() && !self.cut.whole => {
                format!("cut {n}, unfolded")
            }
            (0, true, _) => "on the fold".to_owned(),
            (0, false, _) => String::new(),
            (n, true, _) => format!("cut {n} on the fold"),
            (1, false, _) => "cut 1, right side up".to_owned(),
            (2, false, false) => "cut 2, a mirrored pair".to_owned(),
            (n, false, false) if n % 2 == 1 => {
                format!("cut {n}, mirrored pairs and one right side up")
            }
            (n, false, false) => format!("cut {n}, in mirrored pairs"),
            (n, false, true) => format!("cut {n} alike, right side up"),
        }
    }
}
