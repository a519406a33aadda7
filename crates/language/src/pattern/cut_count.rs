//! Whether what the seams need is what is cut. An edge comes as often as its piece is cut, twice that where half of the piece
//! is drawn on the fold; a seam that is walked once is sewn as often as its scarcest edge allows, and every other edge of
//! it comes a whole number of times as often: parts that are cut in layers.

use super::Piece;
use super::fault::Fault;
use super::seam::{Seam, SideEdge};
use super::spec::Tag;
use crate::report::Code;
use crate::voice;

/// How often one of a seam's lines is cut, and how often the seam names it.
struct Counted<'a> {
    edge: &'a SideEdge,
    piece: &'a Piece,
    cut: u32,
    /// The names in the sentence that mean it.
    named: Vec<Tag>,
}

impl Counted<'_> {
    /// How often the seam can be sewn with it; none where that is not a whole number.
    fn seams(&self) -> Option<u32> {
        let uses = u32::try_from(self.named.len()).unwrap_or(u32::MAX);
        self.cut.is_multiple_of(uses).then(|| self.cut / uses)
    }

    fn said(&self) -> String {
        format!(
            "{} comes {} from {} ({})",
            voice::name(&self.edge.written()),
            times(self.cut),
            voice::name(&self.piece.name),
            self.piece.cut_words()
        )
    }
}

fn times(count: u32) -> String {
    match count {
        1 => "once".to_owned(),
        2 => "twice".to_owned(),
        n => format!("{n} times"),
    }
}

/// Tells each seam whose edges are not cut as often as it needs them.
pub(crate) fn check(seams: &[Seam], pieces: &[Piece], faults: &mut Vec<Fault>) {
    for seam in seams {
        let Some(counted) = counted(seam, pieces) else {
            continue;
        };
        if let Some(scarce) = scarce(seam, &counted, seams) {
            faults.push(told(seam, scarce, &counted));
        }
    }
}

/// The edge that a seam lacks; none where all is well.
fn scarce<'a, 'b>(
    seam: &Seam,
    counted: &'b [Counted<'a>],
    seams: &[Seam],
) -> Option<&'b Counted<'a>> {
    if let Some(uneven) = counted.iter().find(|one| one.seams().is_none()) {
        return Some(uneven);
    }
    let count = |one: &Counted<'_>| one.seams().unwrap_or(0);
    let least = counted.iter().min_by_key(|one| count(one))?;
    let layered = counted
        .iter()
        .all(|one| count(one).is_multiple_of(count(least)));
    let alone = count(least) == 1 && counted.iter().any(|one| count(one) > 1);
    // A seam that runs round both sides names the twins; one that does not is sewn on either side.
    let lacks = alone && !names_twins(seam) && !shared(seam, counted, seams);
    (!layered || lacks).then_some(least)
}

/// Every edge of a seam once; none where the draft does not say how often one of them is cut.
fn counted<'a>(seam: &'a Seam, pieces: &'a [Piece]) -> Option<Vec<Counted<'a>>> {
    let mut found: Vec<Counted<'a>> = Vec::new();
    for edge in seam.first.edges.iter().chain(&seam.second.edges) {
        if let Some(known) = found.iter_mut().find(|one| one.edge.at == edge.at) {
            if !known.named.contains(&edge.tag) {
                known.named.push(edge.tag);
            }
            continue;
        }
        let piece = pieces.get(edge.at.0)?;
        let halves = if piece.on_fold() { 2 } else { 1 };
        let cut = halves * (piece.cut.count > 0).then_some(piece.cut.count)?;
        found.push(Counted {
            edge,
            piece,
            cut,
            named: vec![edge.tag],
        });
    }
    Some(found)
}

fn names_twins(seam: &Seam) -> bool {
    seam.first
        .edges
        .iter()
        .chain(&seam.second.edges)
        .any(|edge| edge.mirrored)
}

/// Whether every edge that comes more often than the scarcest is wanted by another seam too, as a back that is sewn to two
/// different fronts.
fn shared(seam: &Seam, counted: &[Counted<'_>], seams: &[Seam]) -> bool {
    let elsewhere = |edge: &SideEdge| {
        seams.iter().any(|other| {
            let mut edges = other.first.edges.iter().chain(&other.second.edges);
            other.name != seam.name && edges.any(|one| one.at == edge.at)
        })
    };
    let plenty = counted
        .iter()
        .filter(|one| one.seams().is_none_or(|count| count > 1));
    plenty.into_iter().all(|one| elsewhere(one.edge))
}

fn told(seam: &Seam, scarce: &Counted<'_>, counted: &[Counted<'_>]) -> Fault {
    let name = voice::name(&seam.name);
    let message = format!(
        "seam {name}: its edges are not cut as often as it needs them: {}",
        scarce.said()
    );
    let mut fault = Fault::warning(Code::CutCount, scarce.edge.tag, message).at(times(scarce.cut));
    for other in counted
        .iter()
        .filter(|other| other.edge.at != scarce.edge.at)
    {
        fault = fault.note(format!("{}.", voice::capital(&other.said())));
    }
    fault = fault.on_piece(&scarce.piece.name);
    fault
        .help("Change `cut` in the piece, or, where the seam runs round both sides, name the twin's edges too, as in `mirrored front.waist`")
        .print(format!("Cut list and seam {name} do not agree"))
}
