//! A seam walked: both sides as edges of pieces in sewing order, which ends meet, the places named on both, and a verdict
//! on every section between them and on the whole.

mod alone;
mod ease;
mod ends;
mod flow;
mod judge;
mod places;
mod reading;
mod rim;
mod side;
mod told;
mod walk;

pub(crate) use alone::Alone;
pub use ends::SeamEnd;
pub(crate) use places::DOUBLE;
pub(crate) use side::{Meant, meant};
pub(crate) use told::on_pieces;
pub(crate) use walk::walk_all;

use super::PlaceSaid;
use super::spec::{EaseHow, NotchForm, SeamPoint, Sewn, Tag};
use oaktag_geometry::path::Path;
use side::Ground;

/// Places this near to each other are one, in millimetres: a hundredth, as finely as anything is drawn.
pub(crate) const SAME_PLACE: f64 = 0.01;
/// What may pass ("plain seam pair", common practice): ± this many millimetres, in each section and on the whole.
pub(super) const TOLERANCE: f64 = 0.5;
/// A stated range of ease is kept to within what counts as equal.
pub(super) const EQUAL: f64 = 0.001;

/// Two sides sewn to each other, as they were walked.
#[derive(Clone, Debug)]
pub struct Seam {
    /// The sentence of the draft that says it, where messages point.
    pub tag: Tag,
    /// Its name in the draft, as it is written there.
    pub name: String,
    /// How it is sewn; none where the draft does not say.
    pub sewn: Option<Sewn>,
    /// The side named first.
    pub first: Side,
    /// The side named second, walked from the end that meets the first's start.
    pub second: Side,
    /// What decided which ends meet.
    pub decided: Decided,
    /// Least and most that the first side may be longer than the second, in millimetres, before tolerance.
    pub wanted: (f64, f64),
    /// What may pass beyond that, in millimetres.
    pub tolerance: f64,
    /// The seam's notch places, in walking order.
    pub notches: Vec<SeamNotch>,
    /// What lies from notch to notch, in walking order.
    pub intervals: Vec<Interval>,
    /// Places named on both sides, in walking order, its ends left out.
    pub places: Vec<Place>,
    /// What lies from place to place, in walking order, each with a verdict.
    pub sections: Vec<Section>,
    /// What is eased in, gathered and stretched.
    pub eases: Vec<Ease>,
    /// Parts that are not sewn.
    pub openings: Vec<Opening>,
    /// How the lines beside it run on at its ends, where they do.
    pub ends: Vec<SeamEnd>,
    /// Whether it can be sewn as stated.
    pub ok: bool,
}

/// What decides which ends of a seam meet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Decided {
    /// The draft's `from`.
    From,
    /// The edges beside its ends.
    Corner,
    /// Places named on both sides.
    Places,
    /// Finishes beside its ends.
    Finish,
    /// Nothing, and nothing in the seam needs it: it is walked as a whole.
    Whole,
    /// Nothing, though the seam needs it.
    Unsure,
}

impl Decided {
    /// As the JSON has it.
    pub fn word(self) -> &'static str {
        match self {
            Decided::From => "from",
            Decided::Corner => "corner",
            Decided::Places => "places",
            Decided::Finish => "finish",
            Decided::Whole => "whole",
            Decided::Unsure => "unsure",
        }
    }

    /// As people are told it.
    pub fn said(self) -> &'static str {
        match self {
            Decided::From => "ends by from",
            Decided::Corner => "ends by corner",
            Decided::Places => "ends by notches",
            Decided::Finish => "ends by finish",
            Decided::Whole => "walked as a whole, ends not decided",
            Decided::Unsure => "ends not decided",
        }
    }
}

impl Seam {
    /// How much longer the first side is, in millimetres.
    pub fn ease(&self) -> f64 {
        self.first.length - self.second.length
    }

    /// How far the ease lies outside what was wanted, in millimetres, 0 within: positive where the first side is too long.
    pub fn excess(&self) -> f64 {
        outside(self.ease(), self.wanted)
    }

    /// A side as a sentence calls it: by its edge, or by its place where it has several.
    pub(super) fn called(&self, side: &Side) -> String {
        match (side.edges.as_slice(), std::ptr::eq(side, &self.first)) {
            ([_], _) => side.spoken(),
            (_, true) => "the first side".to_owned(),
            (_, false) => "the second side".to_owned(),
        }
    }

    /// Whether the draft states an ease, gathers or a stretch.
    pub fn is_eased(&self) -> bool {
        self.eases.iter().any(|ease| ease.most > 0.0)
    }

    /// Whether which ends meet is known.
    pub(crate) fn ends_known(&self) -> bool {
        !matches!(self.decided, Decided::Whole | Decided::Unsure)
    }

    /// The first side walked along the second of the same seam in another drawing, and judged.
    pub fn with_second_of(&self, other: &Seam) -> Seam {
        let mut seam = self.clone();
        seam.second = other.second.clone();
        for (notch, other) in seam.notches.iter_mut().zip(&other.notches) {
            notch.second.clone_from(&other.second);
            notch.main.1 = other.main.1;
            notch.said.1.clone_from(&other.said.1);
        }
        for (place, other) in seam.places.iter_mut().zip(&other.places) {
            place.at.1 = other.at.1;
        }
        for (ease, other) in seam.eases.iter_mut().zip(&other.eases) {
            if !ease.on_first {
                ease.spans.clone_from(&other.spans);
            }
        }
        let second = |own: &mut Interval, other: &Interval| {
            own.from.1 = other.from.1;
            own.to.1 = other.to.1;
        };
        for (own, other) in seam.intervals.iter_mut().zip(&other.intervals) {
            second(own, other);
        }
        for (own, other) in seam.sections.iter_mut().zip(&other.sections) {
            second(&mut own.between, &other.between);
            own.ok = own.is_fit();
        }
        seam.ok = self.ok
            && seam.excess().abs() <= seam.tolerance
            && seam.sections.iter().all(|section| section.ok);
        seam
    }
}

/// How far a figure lies outside a range, zero within.
fn outside(figure: f64, (least, most): (f64, f64)) -> f64 {
    if figure > most {
        figure - most
    } else if figure < least {
        figure - least
    } else {
        0.0
    }
}

/// One side of a seam.
#[derive(Clone, Debug, Default)]
pub struct Side {
    /// Its edges in sewing order.
    pub edges: Vec<SideEdge>,
    /// The lengths of its edges together, in millimetres.
    pub length: f64,
}

impl Side {
    /// A place by its length from the start of the side, in millimetres: the edge's index, and the length along that edge as
    /// walked; none beyond the side's end.
    pub fn locate(&self, at: f64) -> Option<(usize, f64)> {
        let within = |edge: &SideEdge| at <= edge.from + edge.length + EQUAL;
        let index = self.edges.iter().position(within)?;
        let edge = self.edges.get(index)?;
        Some((index, (at - edge.from).clamp(0.0, edge.length)))
    }

    /// Lengths from the start of the side, in millimetres, at which one edge ends and the next begins.
    pub fn joints(&self) -> Vec<f64> {
        self.edges.iter().skip(1).map(|edge| edge.from).collect()
    }

    /// Its edges as one says them: `back armhole and front armhole`.
    pub fn spoken(&self) -> String {
        let mut names: Vec<String> = self.edges.iter().map(SideEdge::spoken).collect();
        names.dedup();
        crate::voice::list(&names)
    }

    pub(super) fn with_verb(&self) -> String {
        let verb = if self.edges.len() > 1 {
            "are together"
        } else {
            "is"
        };
        format!("{} {verb}", self.spoken())
    }

    /// The side walked from its other end.
    pub fn reversed(&self) -> Side {
        let mut side = Side {
            edges: Vec::with_capacity(self.edges.len()),
            length: self.length,
        };
        let mut link = (After::Start, 0.0);
        for edge in self.edges.iter().rev() {
            side.edges.push(SideEdge {
                path: edge.path.reversed(),
                along: (edge.along.1, edge.along.0),
                from: self.length - edge.from - edge.length,
                after: link.0,
                turn: link.1,
                ..edge.clone()
            });
            link = (edge.after, edge.turn);
        }
        side
    }

    /// Where a named point lies along the side: on an edge drawn on the point's panel before one where it is traced.
    fn find(&self, ground: &Ground<'_>, named: &SeamPoint) -> Option<f64> {
        let find = |is_there: fn(&Ground<'_>, &SeamPoint, usize, &str) -> bool| {
            self.edges.iter().find_map(|edge| {
                let nearest = edge.path.nearest(named.point);
                let lies = nearest.distance <= SAME_PLACE
                    && is_there(ground, named, edge.at.0, &edge.line);
                lies.then(|| edge.from + edge.path.length_to(nearest.location))
            })
        };
        find(side::is_drawn_on).or_else(|| find(side::is_on_panel))
    }

    /// The part of it up to a length, or from there on.
    fn cut(&self, at: f64, keeps_start: bool) -> Side {
        let (from, to) = if keeps_start {
            (0.0, at)
        } else {
            (at, self.length)
        };
        let mut side = Side::default();
        for edge in &self.edges {
            let (a, b) = (
                (from - edge.from).max(0.0),
                (to - edge.from).min(edge.length),
            );
            if b - a <= SAME_PLACE {
                continue;
            }
            let Ok(path) = edge.path.part_between(a, b) else {
                continue;
            };
            side.edges.push(SideEdge {
                path,
                along: (edge.along_at(a), edge.along_at(b)),
                from: side.length,
                length: b - a,
                after: if side.edges.is_empty() {
                    After::Start
                } else {
                    edge.after
                },
                ..edge.clone()
            });
            side.length += b - a;
        }
        side
    }

    /// The places on pieces' edges at a length from the start: the edge's index, and the length along the piece's edge. One
    /// place, or two where two edges meet that do not touch.
    pub(super) fn spots(&self, at: f64) -> Vec<(usize, f64)> {
        let mut found: Vec<(usize, f64)> = Vec::new();
        for (index, edge) in self.edges.iter().enumerate() {
            let far = at - edge.from;
            if far < -SAME_PLACE || far > edge.length + SAME_PLACE {
                continue;
            }
            if !found.is_empty() && edge.after == After::Touch {
                continue;
            }
            found.push((index, edge.along_at(far.clamp(0.0, edge.length))));
        }
        found
    }
}

/// How an edge of a side follows the one before it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum After {
    /// It is the first.
    Start,
    /// They touch on one piece.
    Touch,
    /// Over a closed dart.
    Dart,
    /// Over a folded pleat.
    Pleat,
    /// Across the seam that joins their pieces.
    Seam,
    /// Over an edge that is passed by.
    Over,
    /// No seam joins their pieces: in the order written.
    Apart,
}

impl After {
    /// As the JSON has it.
    pub fn word(self) -> &'static str {
        match self {
            After::Start => "start",
            After::Touch => "touch",
            After::Dart => "dart",
            After::Pleat => "pleat",
            After::Seam => "seam",
            After::Over => "over",
            After::Apart => "apart",
        }
    }
}

/// One edge of a side, or the part of it that is sewn there, running as it is sewn.
#[derive(Clone, Debug)]
pub struct SideEdge {
    /// The name in the sentence.
    pub tag: Tag,
    /// The panel line, by full name.
    pub line: String,
    /// The piece it is an edge of.
    pub piece: String,
    /// Its name in that piece.
    pub edge: String,
    /// It is meant of the piece's mirrored copy.
    pub mirrored: bool,
    /// How it follows the one before it.
    pub after: After,
    /// The turn from the one before it, as sewn, in degrees; a corner of the cloth turns to positive.
    pub turn: f64,
    /// The line in walking direction.
    pub path: Path,
    /// Length of the side before it.
    pub from: f64,
    /// How long it is by itself, in millimetres.
    pub length: f64,
    /// Lengths along the piece's edge where it begins and ends.
    pub along: (f64, f64),
    /// Piece and edge by index.
    pub(crate) at: (usize, usize),
}

impl SideEdge {
    /// The length along the piece's edge, after so much of the walk on it.
    pub(super) fn along_at(&self, far: f64) -> f64 {
        self.along.0 + (self.along.1 - self.along.0).signum() * far
    }

    /// As one says it: `mirrored back centre`. A piece's edge that bears another name than its line is called by it.
    pub fn spoken(&self) -> String {
        let of_panel = self.line.rsplit('.').next() == Some(self.edge.as_str());
        let name = if of_panel {
            crate::voice::name(&self.line)
        } else {
            crate::voice::name(&format!("{}.{}", self.piece, self.edge))
        };
        if self.mirrored {
            format!("mirrored {name}")
        } else {
            name
        }
    }

    /// As a draft writes it.
    pub fn written(&self) -> String {
        let of_panel = self.line.rsplit('.').next() == Some(self.edge.as_str());
        if of_panel {
            self.line.clone()
        } else {
            format!("{}.{}", self.piece, self.edge)
        }
    }
}

/// A place on both sides that is notched.
#[derive(Clone, Debug, PartialEq)]
pub struct SeamNotch {
    /// The sentence of the draft that says it, where messages point.
    pub tag: Tag,
    /// How it is cut or drawn.
    pub form: NotchForm,
    /// Lengths from the start of the first side: one, or two for a double.
    pub first: Vec<f64>,
    /// The same on the second side.
    pub second: Vec<f64>,
    /// The place where the first mark counts for intervals and proportions.
    pub main: (f64, f64),
    /// How the draft calls that place, on either side.
    pub said: (PlaceSaid, PlaceSaid),
}

/// A place named on both sides.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Its lengths from the start of either side.
    pub at: (f64, f64),
    /// How it is named.
    pub how: How,
}

/// How a place is named.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum How {
    /// A notch that is cut on both sides.
    Notch,
    /// By `meets`.
    Meets,
    /// A joint that is carried over.
    Joint,
    /// The end of an opening.
    Opening,
}

impl How {
    /// As the JSON has it.
    pub fn word(self) -> &'static str {
        match self {
            How::Notch => "notch",
            How::Meets => "meets",
            How::Joint => "joint",
            How::Opening => "opening",
        }
    }
}

/// The stretch between two neighbouring notches.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interval {
    /// Where it begins on each side, from the start.
    pub from: (f64, f64),
    /// Where it ends: the lengths from the start of each side, in millimetres.
    pub to: (f64, f64),
}

impl Interval {
    /// Length on each side.
    pub fn lengths(&self) -> (f64, f64) {
        (self.to.0 - self.from.0, self.to.1 - self.from.1)
    }

    /// How much longer the first side is.
    pub fn ease(&self) -> f64 {
        let (first, second) = self.lengths();
        first - second
    }
}

/// What lies between two neighbouring places that are named on both sides.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Section {
    /// From where to where.
    pub between: Interval,
    /// How much longer the first side may be, at the least and at the most, before tolerance.
    pub wanted: (f64, f64),
    /// What may pass beyond that, in millimetres.
    pub tolerance: f64,
    /// It is not sewn.
    pub open: bool,
    /// Whether it can be sewn as stated.
    pub ok: bool,
}

impl Section {
    /// Whether its lengths are as wanted, within its tolerance.
    fn is_fit(&self) -> bool {
        outside(self.between.ease(), self.wanted).abs() <= self.tolerance
    }
}

/// Cloth that is eased in, gathered or stretched, as it lies along a side.
#[derive(Clone, Debug, PartialEq)]
pub struct Ease {
    /// The sentence of the draft that says it, where messages point.
    pub tag: Tag,
    /// Whether the cloth is eased, gathered or stretched.
    pub how: EaseHow,
    /// On the first side, rather than the second.
    pub on_first: bool,
    /// Where along that side.
    pub spans: Vec<(f64, f64)>,
    /// How much longer than its partner it is there (of a stretch, shorter): at the least, and at the most.
    pub least: f64,
    /// The most that it is longer there, in millimetres.
    pub most: f64,
    /// The ratio that the draft gives, as a number; none where it gives a length or a share.
    pub ratio: Option<(f64, f64)>,
    /// The draft says between which places.
    pub placed: bool,
    /// Its edges as one says them.
    pub edges: String,
}

/// A part of a seam that is not sewn.
#[derive(Clone, Debug, PartialEq)]
pub struct Opening {
    /// The sentence of the draft that says it, where messages point.
    pub tag: Tag,
    /// Where it begins on each side.
    pub from: (f64, f64),
    /// Where it ends: the lengths from the start of each side, in millimetres.
    pub to: (f64, f64),
    /// What it is for.
    pub words: String,
}

impl Opening {
    /// Whether a length along a side (the first, or the second) lies in it.
    fn holds(&self, from: f64, to: f64, of_first: bool) -> bool {
        let (a, b) = if of_first {
            (self.from.0, self.to.0)
        } else {
            (self.from.1, self.to.1)
        };
        from >= a - SAME_PLACE && to <= b + SAME_PLACE
    }

    /// Whether an edge lies whole in it.
    pub(super) fn holds_edge(&self, edge: &SideEdge, of_first: bool) -> bool {
        self.holds(edge.from, edge.from + edge.length, of_first)
    }
}
