//! Closes a piece's outline: edges turned to chain in the order named, the whole run anticlockwise, gaps and crossings
//! told with the edges they lie between.

use super::fault::Fault;
use super::kept::{self, Kept};
use super::piece::Edge;
use super::spec::{EdgeSpec, PieceSpec};
use crate::report::Code;
use crate::say;
use crate::voice::{self, figure};
use kurbo::Point;
use oaktag_geometry::MEETING;
use oaktag_geometry::outline::{Outline, OutlineFault};
use oaktag_geometry::path::Path;

/// Edges in outline order, and what they enclose where they close.
pub(crate) struct Closed {
    /// Anticlockwise from the first edge named; as declared where they do not close.
    pub(crate) edges: Vec<Edge>,
    /// For each edge, its index in the declaration.
    pub(crate) declared: Vec<usize>,
    /// The outline, where it closes; it names edges by their index in the declaration.
    pub(crate) outline: Option<Outline>,
    /// The sewing line all round.
    pub(crate) sewing: Option<Path>,
}

/// Chains and closes the edges of the piece at a place among the draft's.
pub(crate) fn close(
    spec: &PieceSpec,
    place: usize,
    kept: Option<&mut Kept>,
    faults: &mut Vec<Fault>,
) -> Closed {
    let paths: Vec<Path> = spec.edges.iter().map(|edge| edge.path.clone()).collect();
    match Outline::new(&paths) {
        Ok(outline) => {
            let crossing = kept::crossing(kept, place, &outline);
            faults.extend(crossing.map(|fault| crossing_fault(spec, &fault)));
            let mut run: Vec<(usize, Path, bool)> = outline
                .edges()
                .iter()
                .map(|edge| (edge.index, edge.path.clone(), !edge.reversed))
                .collect();
            let first = run.iter().position(|(index, ..)| *index == 0).unwrap_or(0);
            run.rotate_left(first);
            let parts: Vec<Path> = run.iter().map(|(_, path, _)| path.clone()).collect();
            let sewing = Path::joined(&parts).ok();
            closed(spec, run, Some(outline), sewing)
        }
        Err(fault) => {
            let turned = chain(&spec.edges);
            let edges = spec.edges.iter().enumerate().zip(turned);
            let run: Vec<(usize, Path, bool)> = edges
                .map(|((index, edge), turned)| {
                    let path = if turned {
                        edge.path.reversed()
                    } else {
                        edge.path.clone()
                    };
                    (index, path, !turned)
                })
                .collect();
            let before = faults.len();
            for (before, after, gap) in gaps(&run) {
                faults.extend(open_fault(spec, before, after, gap));
            }
            if faults.len() == before {
                faults.push(nothing_fault(spec, &fault));
            }
            closed(spec, run, None, None)
        }
    }
}

fn closed(
    spec: &PieceSpec,
    run: Vec<(usize, Path, bool)>,
    outline: Option<Outline>,
    sewing: Option<Path>,
) -> Closed {
    let declared = run.iter().map(|(index, ..)| *index).collect();
    let edges = run.into_iter().filter_map(|(index, path, as_drawn)| {
        let edge = spec.edges.get(index)?;
        Some(Edge {
            tag: edge.tag,
            name: edge.name.clone(),
            line: edge.line.clone(),
            length: path.length().unwrap_or(0.0),
            path,
            as_drawn,
            allowance: None,
            mirrored: false,
            on_fold: spec.cut.fold_edge == Some(index),
            finish: edge.finish.clone(),
            seams: Vec::new(),
            mouth: edge.mouth,
            pleated: false,
            taken: Vec::new(),
            beyond: Vec::new(),
            held: Vec::new(),
            open: Vec::new(),
        })
    });
    Closed {
        edges: edges.collect(),
        declared,
        outline,
        sewing,
    }
}

/// The edges of a piece that cannot be made, as far as they are drawn.
pub(crate) fn open(spec: &PieceSpec) -> Vec<Edge> {
    let turned = chain(&spec.edges);
    let edges = spec.edges.iter().enumerate().zip(turned);
    let run = edges.map(|((index, edge), turned)| {
        let path = if turned {
            edge.path.reversed()
        } else {
            edge.path.clone()
        };
        (index, path, !turned)
    });
    closed(spec, run.collect(), None, None).edges
}

/// For an outline that does not close: which edges must be turned so that each begins nearest to where the one before
/// ends, the first so that the gaps are smallest.
fn chain(edges: &[EdgeSpec]) -> Vec<bool> {
    let attempt = |first_turned: bool| {
        let mut turned = Vec::with_capacity(edges.len());
        let mut at: Option<Point> = None;
        let mut start: Option<Point> = None;
        let mut missing = 0.0;
        for edge in edges {
            let (Ok(a), Ok(b)) = (edge.path.start(), edge.path.end()) else {
                turned.push(false);
                continue;
            };
            let turn = match at {
                Some(at) => (b - at).hypot() < (a - at).hypot(),
                None => first_turned,
            };
            let (from, to) = if turn { (b, a) } else { (a, b) };
            missing += at.map_or(0.0, |at| (from - at).hypot());
            start = start.or(Some(from));
            at = Some(to);
            turned.push(turn);
        }
        missing += start.zip(at).map_or(0.0, |(a, b)| (b - a).hypot());
        (missing, turned)
    };
    let (as_drawn, turned) = (attempt(false), attempt(true));
    if turned.0 < as_drawn.0 - MEETING {
        turned.1
    } else {
        as_drawn.1
    }
}

/// Gaps between an edge and the next, by index in the declaration.
fn gaps(run: &[(usize, Path, bool)]) -> Vec<(usize, usize, f64)> {
    let next = run.iter().cycle().skip(1);
    let pairs = run.iter().zip(next);
    pairs
        .filter_map(|((before, a, _), (after, b, _))| {
            let gap = (b.start().ok()? - a.end().ok()?).hypot();
            (gap > MEETING).then_some((*before, *after, gap))
        })
        .collect()
}

fn open_fault(spec: &PieceSpec, before: usize, after: usize, gap: f64) -> Option<Fault> {
    let (a, b) = (spec.edges.get(before)?, spec.edges.get(after)?);
    let (first, second) = (voice::name(&a.name), voice::name(&b.name));
    let piece = voice::name(&spec.name);
    let message = say!(
        "piece {} does not close: between {} and {} there is a gap of {}",
        piece,
        first,
        second,
        figure::length(gap)
    );
    let fault = Fault::error(Code::OutlineOpen, b.tag, message)
        .at(say!("{} begins {} from the end of {}", second, figure::length(gap), first))
        .help(format!(
            "Draw {second} from the end of {first}, or name the edge that lies between them in the outline."
        ))
        .on_piece(&spec.name)
        .print(say!("Outline open between {} and {}: {}", first, second, figure::length(gap)));
    Some(if a.tag == b.tag {
        fault
    } else {
        fault.see(a.tag, format!("{first} ends here"))
    })
}

fn nothing_fault(spec: &PieceSpec, fault: &OutlineFault) -> Fault {
    let piece = voice::name(&spec.name);
    let endless = spec.edges.iter().find(|edge| edge.path.is_endless());
    let (code, tag, why) = match (fault, endless) {
        (OutlineFault::Path(_), Some(edge)) => {
            let why = format!(
                "{} is endless, so it cannot be an edge",
                voice::name(&edge.name)
            );
            (Code::LineIsEndless, edge.tag, why)
        }
        (OutlineFault::Empty, _) => (
            Code::OutlineOpen,
            spec.tag,
            "its outline names no edges".to_owned(),
        ),
        _ => (
            Code::OutlineOpen,
            spec.tag,
            "its outline encloses nothing".to_owned(),
        ),
    };
    Fault::error(code, tag, format!("piece {piece}: {why}")).on_piece(&spec.name)
}

fn crossing_fault(spec: &PieceSpec, fault: &OutlineFault) -> Fault {
    let OutlineFault::Crosses { first, second, at } = fault else {
        return nothing_fault(spec, fault);
    };
    let (one, other) = (spec.edges.get(*first), spec.edges.get(*second));
    let name = |edge: Option<&EdgeSpec>| edge.map_or(String::new(), |edge| voice::name(&edge.name));
    let which = if first == second {
        format!("{} crosses itself", name(one))
    } else {
        format!("{} crosses {}", name(one), name(other))
    };
    let message = format!("piece {}: {which}", voice::name(&spec.name));
    let mut fault = Fault::error(
        Code::OutlineCrosses,
        one.map_or(spec.tag, |edge| edge.tag),
        message,
    )
    .on_piece(&spec.name)
    .print(format!("Outline crosses itself: {which}"));
    if let Some(edge) = one {
        let along = edge.path.length_to(edge.path.nearest(*at).location);
        let words = say!(
            "It happens {} from the start of {}.",
            figure::length(along),
            name(one)
        );
        fault = fault.note(words);
    }
    match other {
        Some(other) if first != second => fault.see(other.tag, "the edge it crosses"),
        Some(_) | None => fault,
    }
}
