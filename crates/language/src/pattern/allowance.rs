//! How wide the cloth stands beyond each edge, by the strongest sentence that says so: the piece's naming the edge, the
//! seam's naming a side, the seam's for both, the way the seam is sewn, the piece's default. A fold needs none.

use super::claim::Claims;
use super::fault::Fault;
use super::piece::Piece;
use super::spec::PieceSpec;
use crate::report::{Code, Put};
use crate::say;
use crate::voice::{self, LengthUnit, figure};
use oaktag_geometry::allowance::Width;

/// Widths that differ by less than this are one, in millimetres.
const SAME: f64 = 0.01;

/// The cloth beyond an edge.
#[derive(Clone, Debug, PartialEq)]
pub struct Allowance {
    /// How wide it is along the edge.
    pub width: Width,
    /// The end that the draft names where the width changes; none where it is one all along.
    pub tapers: Option<Tapers>,
}

/// From which end a width that changes is told.
#[derive(Clone, Debug, PartialEq)]
pub struct Tapers {
    /// From the start of the edge, or else from its end.
    pub from_start: bool,
    /// The full name of the point there; empty where it has none, or where the width goes on from the edge before.
    pub from: String,
}

impl From<f64> for Allowance {
    fn from(even: f64) -> Self {
        Self {
            width: even.into(),
            tapers: None,
        }
    }
}

impl Allowance {
    /// At a length along an edge of that length.
    pub fn at(&self, along: f64, length: f64) -> f64 {
        if self.width.is_even() {
            return self.width.start;
        }
        self.width.at((along / length).clamp(0.0, 1.0))
    }

    /// Of the same edge walked the other way.
    #[must_use]
    pub fn reversed(&self) -> Self {
        let tapers = self.tapers.as_ref().map(|tapers| Tapers {
            from_start: !tapers.from_start,
            from: tapers.from.clone(),
        });
        Self {
            width: self.width.reversed(),
            tapers,
        }
    }

    /// Whether no cloth stands beyond any of the edge.
    pub fn is_nothing(&self) -> bool {
        self.width.most() < SAME
    }

    /// The width at the end from which it is told, and at the other.
    pub fn told(&self) -> (f64, f64) {
        match &self.tapers {
            Some(tapers) if !tapers.from_start => (self.width.end, self.width.start),
            _ => (self.width.start, self.width.end),
        }
    }

    /// As people read it: "1 cm", "2.5 to 1 cm", "1 cm to nothing".
    pub fn words(&self, unit: LengthUnit) -> String {
        if self.tapers.is_none() {
            return unit.length(self.width.start);
        }
        let [first, last] = self.ends_said(unit);
        let bare = first
            .strip_suffix(unit.name())
            .filter(|_| last.ends_with(unit.name()));
        format!("{} to {last}", bare.unwrap_or(&first).trim_end())
    }

    /// Both ends of one that tapers, in the order in which it is told: "2.5 cm" and "1 cm", or "nothing".
    pub fn ends_said(&self, unit: LengthUnit) -> [String; 2] {
        let (first, last) = self.told();
        [first, last].map(|width| {
            if width < SAME {
                "nothing".to_owned()
            } else {
                unit.length(width)
            }
        })
    }

    /// Whether another is the same along the whole edge, to so many millimetres.
    pub fn is_like(&self, other: &Self, within: f64) -> bool {
        let near = |a: f64, b: f64| (a - b).abs() <= within;
        near(self.width.start, other.width.start) && near(self.width.end, other.width.end)
    }
}

/// Gives each edge its width; edges left without are told in one warning a piece.
pub(crate) fn widths(
    piece: &mut Piece,
    spec: &PieceSpec,
    declared: &[usize],
    index: usize,
    claims: &Claims<'_>,
    faults: &mut Vec<Fault>,
) {
    let mut missing: Vec<String> = Vec::new();
    let mut first_missing = None;
    for (at, (edge, declared)) in piece.edges.iter_mut().zip(declared).enumerate() {
        if edge.on_fold {
            edge.allowance = Some(0.0.into());
            continue;
        }
        if edge.mouth.is_some() {
            continue;
        }
        let own = spec.edges.get(*declared);
        let own = own.and_then(|edge| edge.allowance.as_ref());
        let own = own.map(|own| {
            if edge.as_drawn {
                own.clone()
            } else {
                own.reversed()
            }
        });
        let of_seams = claims.widths(index, at);
        let whole = of_seams.iter().find(|(part, _)| part.is_none());
        let whole = own.or(whole.map(|(_, width)| (*width).into()));
        let is_whole = whole.is_some();
        edge.allowance = whole.or(spec.default_allowance.map(Allowance::from));
        if !is_whole {
            // Where a seam stops within the edge, its width does too.
            let parts = of_seams.iter().filter_map(|(part, w)| Some(((*part)?, *w)));
            edge.beyond = parts.map(|((from, to), w)| (from, to, w)).collect();
            if edge.allowance.is_none() && !edge.beyond.is_empty() && edge.finish.is_none() {
                edge.allowance = edge.beyond.first().map(|(.., w)| (*w).into());
            }
        }
        if edge.allowance.is_none() {
            missing.push(voice::name(&edge.name));
            first_missing = first_missing.or(Some(edge.tag));
        }
    }
    let Some(tag) = first_missing else { return };
    let edges = missing.join(", ");
    let without = piece.edges.iter().filter(|edge| edge.allowance.is_none());
    let without: Vec<&str> = without.map(|edge| edge.name.as_str()).collect();
    let without = without.join(", ");
    let (some, none) = (
        say!("allow {} on {}", figure::written(10.0), without),
        say!("allow nothing on {}", without),
    );
    let message = format!(
        "piece {}: no allowance on {edges}",
        voice::name(&piece.name)
    );
    let fault = Fault::warning(Code::NoAllowance, tag, message)
        .at("no sentence of the piece or of a seam gives it a width")
        .help(
            say!("Write `{}` in the piece, or the width in the seam that sews it; `{}` says that there is none.", some, none),
        )
        .cure(piece.tag, Put::Inside, some)
        .cure(piece.tag, Put::Inside, none)
        .on_piece(&piece.name)
        .print(format!("No allowance stated on {edges}"));
    faults.push(fault);
}
