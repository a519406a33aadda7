//! How a seam is sewn: the allowance each way takes, and whether both sides have what it needs. Widths are common practice for
//! a shirt; a draft that wants others says so.

use super::fault::Fault;
use super::seam::{Decided, Interval, Seam, Side, SideEdge, on_pieces};
use super::spec::{SeamKind, SeamSpec};
use super::{Allowance, Piece};
use crate::report::{Code, Put};
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
/// Where one tapers, the raw edges may lie so far off each other: what may pass in a seam's length.
const LYING: f64 = 0.5;

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
            let Some(width) = width_on(edge, pieces).map(|allowance| allowance.width) else {
                continue;
            };
            let (least, most) = ((width.least(), edge), (width.most(), edge));
            found = Some(match found {
                None => Self { least, most },
                Some(old) => Self {
                    least: if least.0 < old.least.0 {
                        least
                    } else {
                        old.least
                    },
                    most: if most.0 > old.most.0 { most } else { old.most },
                },
            });
        }
        found
    }
}

fn width_on(taken: &SideEdge, pieces: &[Piece]) -> Option<Allowance> {
    let piece = pieces.get(taken.at.0)?;
    width_of(piece.edges.get(taken.at.1)?, taken)
}

/// The cloth beyond the part of an edge that a side takes.
pub(super) fn width_of(edge: &super::Edge, taken: &SideEdge) -> Option<Allowance> {
    let (from, to) = (
        taken.along.0.min(taken.along.1),
        taken.along.0.max(taken.along.1),
    );
    let part = edge
        .beyond
        .iter()
        .find(|(a, b, _)| from >= a - SAME && to <= b + SAME);
    if let Some((.., width)) = part {
        return Some((*width).into());
    }
    let mut allowance = edge.allowance.clone()?;
    if allowance.tapers.is_some() {
        allowance.width = allowance.width.part(from / edge.length, to / edge.length);
    }
    Some(allowance)
}

/// Both sides at the place where their raw edges lie farthest off each other, where one of them tapers.
struct Apart<'a>([(f64, &'a SideEdge); 2]);

impl<'a> Apart<'a> {
    /// None where both keep one width, or one has none.
    fn of(seam: &'a Seam, pieces: &[Piece]) -> Option<Self> {
        let edges = seam.first.edges.iter().chain(&seam.second.edges);
        let tapers = |edge: &SideEdge| !width_on(edge, pieces).is_some_and(|a| a.width.is_even());
        if !edges.clone().any(tapers) || edges.clone().any(|e| width_on(e, pieces).is_none()) {
            return None;
        }
        let found = Self::walked(seam, pieces, false);
        // As long as nothing says which ends meet, either may be meant.
        match seam.decided {
            Decided::Whole | Decided::Unsure => {
                let other = Self::walked(seam, pieces, true);
                [found, other]
                    .into_iter()
                    .flatten()
                    .min_by(|a, b| a.far().total_cmp(&b.far()))
            }
            _ => found,
        }
    }

    fn walked(seam: &'a Seam, pieces: &[Piece], crossed: bool) -> Option<Self> {
        let whole = Interval {
            from: (0.0, 0.0),
            to: (seam.first.length, seam.second.length),
        };
        let sewn = seam.sections.iter().filter(|section| !section.open);
        let mut stretches: Vec<Interval> = sewn.map(|section| section.between).collect();
        if crossed || stretches.is_empty() {
            stretches = vec![whole];
        }
        let places = stretches.iter().flat_map(|stretch| {
            let (long, other) = stretch.lengths();
            let share = |at: f64, from: f64, length: f64| (at - from) / length.max(SAME);
            let first = seam.first.joints().into_iter();
            let second = seam.second.joints().into_iter();
            let mut shares: Vec<f64> = first
                .map(|at| share(at, stretch.from.0, long))
                .chain(second.map(|at| {
                    let at = share(at, stretch.from.1, other);
                    if crossed { 1.0 - at } else { at }
                }))
                .chain([0.0, 1.0])
                .filter(|share| (0.0..=1.0).contains(share))
                .collect();
            shares.sort_by(f64::total_cmp);
            let pairs: Vec<(f64, f64)> = shares
                .iter()
                .copied()
                .zip(shares.iter().skip(1).copied())
                .collect();
            pairs.into_iter().flat_map(move |(a, b)| {
                [a, b].map(|share| {
                    let turned = |share: f64| if crossed { 1.0 - share } else { share };
                    let middle = (a + b) / 2.0;
                    let on_first = |share: f64| stretch.from.0 + long * share;
                    let on_second = |share: f64| stretch.from.1 + other * turned(share);
                    [
                        (on_first(middle), on_first(share)),
                        (on_second(middle), on_second(share)),
                    ]
                })
            })
        });
        let found = places.filter_map(|[(near, at), (near_other, at_other)]| {
            let one = there(&seam.first, near, at, pieces)?;
            Some(Self([
                one,
                there(&seam.second, near_other, at_other, pieces)?,
            ]))
        });
        found.reduce(|worst, one| {
            if one.far() > worst.far() + SAME {
                one
            } else {
                worst
            }
        })
    }

    fn far(&self) -> f64 {
        let [one, other] = self.0;
        (one.0 - other.0).abs()
    }
}

/// The width of a side at a place, on the edge that passes another place near it.
fn there<'a>(side: &'a Side, near: f64, at: f64, pieces: &[Piece]) -> Option<(f64, &'a SideEdge)> {
    let (index, _) = side.locate(near)?;
    let edge = side.edges.get(index)?;
    let allowance = width_on(edge, pieces)?;
    let share = ((at - edge.from) / edge.length).clamp(0.0, 1.0);
    let share = if edge.along.1 < edge.along.0 {
        1.0 - share
    } else {
        share
    };
    Some((allowance.width.at(share), edge))
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
        if let Some(found) = Apart::of(seam, pieces) {
            if found.far() > LYING {
                let [one, other] = found.0;
                let fault = tapering(seam, one, other);
                faults.push(on_pieces(fault, [&seam.first, &seam.second]));
            }
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

/// Raw edges that do not lie on each other somewhere along the seam, where one of them tapers.
fn tapering(seam: &Seam, one: (f64, &SideEdge), other: (f64, &SideEdge)) -> Fault {
    let message = say!(
        "seam {}: where the allowance of {} is {}, that of {} is {}",
        voice::name(&seam.name),
        one.1.spoken(),
        figure::spoken(one.0),
        other.1.spoken(),
        figure::spoken(other.0)
    );
    Fault::error(Code::AllowancesDiffer, one.1.tag, message)
        .note("Wanted: the raw edges of both sides lie on each other.")
        .help("Let both taper alike, each in its piece: `allow WIDTH to WIDTH on EDGE from POINT`")
        .print(say!(
            "Seam {}: allowances {} and {}",
            voice::name(&seam.name),
            figure::spoken(one.0),
            figure::spoken(other.0)
        ))
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
    let fault = Fault::error(Code::AllowancesDiffer, one.1.tag, message).print(say!(
        "Seam {}: allowances {} and {}",
        name,
        figure::spoken(one.0),
        figure::spoken(other.0)
    ));
    if !felled {
        let both = say!("allow {}", figure::written(other.0));
        let own = say!("allow {} on {}", figure::written(one.0), one.1.written());
        return fault
            .note("Wanted: the raw edges of both sides lie on each other.")
            .help(say!(
                "Give both sides one width with `{}` in the seam, or, if they are meant to differ, say so there: `{}`",
                both,
                own
            ))
            .cure(seam.tag, Put::Inside, both)
            .cure(seam.tag, Put::Inside, own);
    }
    let fault = fault
        .note("Wanted: one side of a felled seam wider all along, to be folded over the other.");
    if one.1.at == other.1.at {
        return fault.help(
            "A piece that is sewn to its own twin is cut alike on both: sew this seam plain or French.",
        );
    }
    let sewn = say!(
        "sewn felled {}, {}",
        figure::written(FELLED.0),
        figure::written(FELLED.1)
    );
    let fault = fault.help(say!(
        "Write both widths, the covered side's and the covering one's, in the order the seam names its sides: `{}`",
        sewn
    ));
    match &seam.sewn {
        Some(said) => fault.cure(said.tag, Put::Over, sewn),
        None => fault,
    }
}
