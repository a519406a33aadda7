//! How a seam is sewn: the allowance each way takes, and whether both sides have what it needs. Widths are common practice for
//! a shirt; a draft that wants others says so.

use super::Piece;
use super::fault::Fault;
use super::seam::{Seam, Side, SideEdge, on_pieces};
use super::spec::{SeamKind, SeamSpec};
use crate::report::Code;
use crate::say;
use crate::voice::{self, figure};

/// Allowance of a plain seam.
const PLAIN: f64 = 10.0;
/// Of a felled seam, the side that is covered and the side that is folded over it.
const FELLED: (f64, f64) = (6.0, 16.0);
/// Of a French seam: half is sewn and trimmed first, the other half encloses it.
const FRENCH: f64 = 12.0;
/// Of a bound seam, as wide as its binding.
const BOUND: f64 = 7.0;
/// Of a seam that is trimmed and turned.
const FACED: f64 = 6.0;
/// Allowances that differ by less than this are one.
const SAME: f64 = 0.01;

impl SeamKind {
    /// Allowance on the first and the second side where the draft gives no widths, in millimetres.
    pub(crate) fn usual_widths(self) -> (f64, f64) {
        match self {
            SeamKind::Plain => (PLAIN, PLAIN),
            SeamKind::Felled => FELLED,
            SeamKind::French => (FRENCH, FRENCH),
            SeamKind::Bound => (BOUND, BOUND),
            SeamKind::Faced => (FACED, FACED),
        }
    }

    /// As one says it.
    pub fn said(self) -> &'static str {
        match self {
            SeamKind::French => "French",
            other => other.word(),
        }
    }

    /// As a draft writes it.
    pub fn word(self) -> &'static str {
        match self {
            SeamKind::Plain => "plain",
            SeamKind::Felled => "felled",
            SeamKind::French => "french",
            SeamKind::Bound => "bound",
            SeamKind::Faced => "faced",
        }
    }
}

/// Least and most allowance along a side.
struct Widths<'a> {
    least: (f64, &'a SideEdge),
    most: (f64, &'a SideEdge),
}

impl<'a> Widths<'a> {
    fn of(seam: &'a Seam, side: &'a Side, pieces: &[Piece]) -> Option<Self> {
        let mut found: Option<Self> = None;
        let of_first = std::ptr::eq(side, &seam.first);
        let open = |edge: &SideEdge| seam.openings.iter().any(|o| o.holds_edge(edge, of_first));
        for edge in side.edges.iter().filter(|edge| !open(edge)) {
            let of_piece = pieces
                .get(edge.at.0)
                .and_then(|piece| piece.edges.get(edge.at.1));
            let Some(width) = of_piece.and_then(|of_piece| width_at(of_piece, edge)) else {
                continue;
            };
            let one = (width, edge);
            found = Some(match found {
                None => Self {
                    least: one,
                    most: one,
                },
                Some(old) => Self {
                    least: if width < old.least.0 { one } else { old.least },
                    most: if width > old.most.0 { one } else { old.most },
                },
            });
        }
        found
    }
}

/// The width of the part of an edge that a side takes.
pub(super) fn width_at(edge: &super::Edge, taken: &SideEdge) -> Option<f64> {
    let (from, to) = (
        taken.along.0.min(taken.along.1),
        taken.along.0.max(taken.along.1),
    );
    let part = edge
        .beyond
        .iter()
        .find(|(a, b, _)| from >= a - SAME && to <= b + SAME);
    part.map(|(.., width)| *width).or(edge.allowance)
}

/// Tells each seam whose sides do not have the allowance that it needs. One that gives an edge a width of its own, and does
/// not say how it is sewn, is taken at its word.
pub(crate) fn check(specs: &[SeamSpec], seams: &[Seam], pieces: &[Piece], faults: &mut Vec<Fault>) {
    for seam in seams {
        let named = specs.iter().find(|spec| spec.name == seam.name);
        if seam.sewn.is_none() && named.is_some_and(|spec| !spec.allowance_on.is_empty()) {
            continue;
        }
        let first = Widths::of(seam, &seam.first, pieces);
        let sides = first.zip(Widths::of(seam, &seam.second, pieces));
        let Some((first, second)) = sides else {
            continue;
        };
        let felled = seam.sewn.is_some_and(|sewn| sewn.kind == SeamKind::Felled);
        let apart = first.most.0 + SAME < second.least.0 || second.most.0 + SAME < first.least.0;
        if felled && !apart {
            let fault = told(seam, first.most, second.most, true);
            faults.push(on_pieces(fault, [&seam.first, &seam.second]));
        }
        if felled {
            continue;
        }
        let (least, most) = if first.least.0 <= second.least.0 {
            (first.least, widest(&first, &second))
        } else {
            (second.least, widest(&first, &second))
        };
        if most.0 - least.0 > SAME {
            let fault = told(seam, least, most, false);
            faults.push(on_pieces(fault, [&seam.first, &seam.second]));
        }
    }
}

fn widest<'a>(first: &Widths<'a>, second: &Widths<'a>) -> (f64, &'a SideEdge) {
    if first.most.0 >= second.most.0 {
        first.most
    } else {
        second.most
    }
}

fn told(seam: &Seam, one: (f64, &SideEdge), other: (f64, &SideEdge), felled: bool) -> Fault {
    let name = voice::name(&seam.name);
    let message = say!(
        "seam {}: the allowance of {} is {}, that of {} {}",
        name,
        one.1.spoken(),
        figure::spoken(one.0),
        other.1.spoken(),
        figure::spoken(other.0)
    );
    let (wanted, help) = if felled {
        let help = if one.1.at == other.1.at {
            say!(
                "A piece that is sewn to its own twin is cut alike on both: sew this seam plain or French."
            )
        } else {
            say!(
                "Write both widths, the covered side's and the covering one's, in the order the seam names its sides:  sewn felled {}, {}",
                figure::written(FELLED.0),
                figure::written(FELLED.1)
            )
        };
        let wanted =
            "Wanted: of a felled seam, one side wider all along, to be folded over the other.";
        (wanted, help)
    } else {
        let help = say!(
            "Give both sides one width with  allow {}  in the seam, or, if they are meant to differ, say so there:  allow {} on {}",
            figure::written(other.0),
            figure::written(one.0),
            one.1.written()
        );
        (
            "Wanted: the raw edges of both sides lie on each other.",
            help,
        )
    };
    Fault::error(Code::AllowancesDiffer, one.1.tag, message)
        .note(wanted)
        .help(help)
        .print(say!(
            "Seam {}: allowances {} and {}",
            name,
            figure::spoken(one.0),
            figure::spoken(other.0)
        ))
}
