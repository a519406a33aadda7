//! Lines that run on over a seam: hem, neck, armhole and waist. At each end of a seam where the edges beside it belong to one
//! line, the angle of that line as sewn, and its step.

use super::super::fault::Fault;
use super::super::piece::Edge;
use super::super::spec::SeamKind;
use super::places::Walked;
use super::reading::{Tip, end_named};
use super::side::{Corner, Ground, Taken, same};
use super::{SAME_PLACE, Seam, outside, told};
use crate::report::{Code, Put, Severity};
use crate::say;
use crate::voice::{self, figure};

/// A line that runs on turns by no more than this many degrees …
const TURN: f64 = 3.0;
/// … and steps by no more than this many millimetres.
const STEP: f64 = 1.0;
/// Edges beside a seam that lie on each other when it is sewn, as those of a vent, make at least this angle.
const LAID: f64 = 300.0;

/// An end of a seam at which a line runs on.
#[derive(Clone, Debug, PartialEq)]
pub struct SeamEnd {
    /// The pieces whose edges run on into each other.
    pub pieces: (String, String),
    /// Those edges, by their names in the pieces.
    pub edges: (String, String),
    /// The point where it is, as people say it.
    pub place: String,
    /// The angle between the two edges, inside the cloth, as sewn: 180 degrees run straight on.
    pub angle: f64,
    /// How far one lies beside the other, in millimetres.
    pub step: f64,
    /// Why a corner is meant there; none where the draft does not say that one is.
    pub corner: Option<String>,
    /// Whether the line runs on, or a corner is meant.
    pub ok: bool,
}

impl SeamEnd {
    /// Both edges as one says them; where they are one edge and its twin, the second as the twin's.
    pub(crate) fn spoken(&self) -> (String, String) {
        let one = voice::name(&format!("{}.{}", self.pieces.0, self.edges.0));
        let other = voice::name(&format!("{}.{}", self.pieces.1, self.edges.1));
        if one == other {
            let twin = format!("mirrored {one}");
            (one, twin)
        } else {
            (one, other)
        }
    }
}

/// The ends of a seam at which lines run on, each judged.
pub(super) fn of(
    walked: &Walked<'_>,
    seam: &Seam,
    index: usize,
    faults: &mut Vec<Fault>,
) -> Vec<SeamEnd> {
    let (first, second) = (&walked.first.tips, &walked.second.tips);
    for said in &walked.spec.corners {
        let is_end = |tips| end_named(walked.ground, &said.at, tips).is_some();
        if !is_end(first) && !is_end(second) {
            faults.push(told::no_corner(walked, said));
        }
    }
    if !seam.ends_known() {
        return Vec::new();
    }
    let mut found = Vec::new();
    for (end, (a, b)) in first.iter().zip(second).enumerate() {
        let (Some(one), Some(other)) = (a.beyond, b.beyond) else {
            continue;
        };
        if !runs_on(walked.ground, seam, index, one, other) {
            continue;
        }
        let angle = 360.0 - a.turn - b.turn;
        if angle > LAID {
            continue;
        }
        let said = walked.spec.corners.iter().find(|said| {
            let mut ends = [first, second].into_iter();
            ends.any(|tips| {
                let named = end_named(walked.ground, &said.at, tips);
                named.is_some_and(|(at, _)| at == end)
            })
        });
        // Of a seam that does not fit its lengths are told already.
        let differs = faults.iter().any(|fault| fault.severity == Severity::Error);
        let step = if end == 0 || differs {
            0.0
        } else {
            outside(seam.ease(), seam.wanted).abs()
        };
        let flat = (angle - 180.0).abs() <= TURN && step <= STEP;
        let name = |corner: Corner| {
            let piece = walked.ground.pieces.get(corner.piece)?;
            let edge = piece.edges.get(corner.edge)?;
            Some((piece.name.clone(), edge.name.clone()))
        };
        let (Some(one), Some(other)) = (name(one), name(other)) else {
            continue;
        };
        let end = SeamEnd {
            place: told::tip_said(walked.ground, a),
            pieces: (one.0, other.0),
            edges: (one.1, other.1),
            angle,
            step,
            corner: said.map(|said| said.words.clone()),
            ok: flat || said.is_some(),
        };
        if !end.ok {
            faults.push(breaks(walked, seam, &end, a));
        }
        found.push(end);
    }
    found
}

/// Whether two edges beside a seam are one line: on one side of one seam, each sewn to a piece of which that is true in turn (a
/// lining bagged out), or both finished and not laid on each other.
fn runs_on(ground: &Ground<'_>, seam: &Seam, index: usize, a: Corner, b: Corner) -> bool {
    let edge = |corner: Corner| ground.pieces.get(corner.piece)?.edges.get(corner.edge);
    let (Some(one), Some(other)) = (edge(a), edge(b)) else {
        return false;
    };
    let same = a.piece == b.piece && a.edge == b.edge;
    if one.on_fold || other.on_fold || (same && a.mirrored == b.mirrored) {
        return false;
    }
    let layers = seam.sewn.is_some_and(|sewn| sewn.kind == SeamKind::Faced)
        || (a.mirrored != b.mirrored && a.piece != b.piece);
    if layers {
        return false;
    }
    let holds = |side: &[Taken], corner: Corner| {
        let mut own = side.iter();
        own.any(|one| one.piece == corner.piece && one.edge == corner.edge && !one.over)
    };
    let together = ground.taken.iter().enumerate().any(|(at, sides)| {
        at != index
            && sides
                .iter()
                .flatten()
                .any(|side| holds(side, a) && holds(side, b))
    });
    together
        || (one.finish.is_some() && other.finish.is_some())
        || (!same_line(one, other) && sewn_to_one_layer(ground, index, a, b))
}

/// Whether two edges are one line traced: of two layers, not of one line that runs on.
fn same_line(one: &Edge, other: &Edge) -> bool {
    let ends = |edge: &Edge| edge.path.start().ok().zip(edge.path.end().ok());
    let Some(((a, b), (c, d))) = ends(one).zip(ends(other)) else {
        return false;
    };
    let as_long = (one.length - other.length).abs() <= SAME_PLACE;
    as_long && ((same(a, c) && same(b, d)) || (same(a, d) && same(b, c)))
}

/// Whether two edges beside a seam are sewn, by seams of their own, to one other layer: to one piece, or to two that are
/// sewn to each other as well.
fn sewn_to_one_layer(ground: &Ground<'_>, index: usize, a: Corner, b: Corner) -> bool {
    type Sides = [Vec<Taken>; 2];
    let sewn = |sides: &Sides, corner: Corner| -> Vec<usize> {
        let [first, second] = sides;
        let is_on = |side: &[Taken]| {
            let mut own = side.iter();
            own.any(|one| one.piece == corner.piece && one.edge == corner.edge && !one.over)
        };
        let pieces = |side: &[Taken]| side.iter().map(|one| one.piece).collect();
        match (is_on(first), is_on(second)) {
            (true, false) => pieces(second),
            (false, true) => pieces(first),
            _ => Vec::new(),
        }
    };
    let others = || {
        let seams = ground.taken.iter().enumerate();
        seams.filter_map(|(at, sides)| Some((at, sides.as_ref()?)).filter(|(at, _)| *at != index))
    };
    let are_sewn = |one: usize, other: usize| {
        others().any(|(_, [first, second])| {
            let has = |side: &[Taken], piece: usize| side.iter().any(|taken| taken.piece == piece);
            (has(first, one) && has(second, other)) || (has(first, other) && has(second, one))
        })
    };
    others().any(|(of_a, sides)| {
        sewn(sides, a).into_iter().any(|one| {
            let behind_b = others().filter(|(of_b, _)| *of_b != of_a);
            let mut behind_b = behind_b.flat_map(|(_, sides)| sewn(sides, b));
            one != a.piece
                && behind_b.any(|other| other != b.piece && (one == other || are_sewn(one, other)))
        })
    })
}

fn breaks(walked: &Walked<'_>, seam: &Seam, end: &SeamEnd, tip: &Tip) -> Fault {
    let name = voice::name(&seam.name);
    let (one, other) = end.spoken();
    let turn = end.angle - 180.0;
    let sewn = if turn.abs() > TURN {
        let way = if turn < 0.0 { "outward" } else { "inward" };
        say!(
            "it turns by {}, with a corner pointing {}",
            figure::angle(turn.abs()),
            way
        )
    } else {
        say!("it steps by {}", figure::difference(end.step))
    };
    let message = say!(
        "seam {}: at {} the line of {} and {} does not run on: sewn, {}",
        name,
        end.place,
        one,
        other,
        sewn
    );
    let fault = Fault::warning(Code::LineBreaks, walked.spec.tag, message).note(say!(
        "Wanted: a straight way over the seam, within {} and {}",
        figure::angle(TURN),
        figure::difference(STEP)
    ));
    let lead =
        "Redraw one of the two so that they run on; where a corner is meant, write in the seam";
    let corner = format!("corner at {}", told::tip_written(walked.ground, tip));
    told::one_of(fault, lead, walked.spec.tag, Put::Inside, "", vec![corner])
        .on_piece(&end.pieces.0)
        .on_piece(&end.pieces.1)
}
