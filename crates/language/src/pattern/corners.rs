//! How the cutting line goes round corners where no `corner` says it. The order of making up decides: an allowance that a later
//! seam crosses is cut square to the seam that is sewn first, and a turned hem is cut so that it lies on the side it is
//! turned back over. Without an order all corners are mitred.

use super::fault::Fault;
use super::piece::{Edge, Piece};
use super::spec::{CornerTreatment, PieceSpec};
use crate::report::Code;
use crate::voice;

/// Edges that meet with less of a turn than this run on, and need no treatment.
const RUNS_ON: f64 = 10.0;
/// Words of a finish by which an edge is turned back on the piece.
const TURNED: [&str; 3] = ["turned", "hemmed", "hem"];

/// Finds the corners that have a treatment: of their own, or by the order.
pub(crate) fn settle(
    piece: &mut Piece,
    spec: &PieceSpec,
    order: &[String],
    faults: &mut Vec<Fault>,
) {
    let mut found = own(piece, spec, faults);
    let count = piece.edges.len();
    if !order.is_empty() && count > 1 {
        for index in 0..count {
            let next = (index + 1) % count;
            let said = found
                .iter()
                .any(|(a, b, _)| [(index, next), (next, index)].contains(&(*a, *b)));
            if !said {
                found.extend(by_order(piece, index, next, order));
            }
        }
    }
    piece.corners = found;
}

/// The treatment of the corner between an edge and the next.
fn by_order(
    piece: &Piece,
    index: usize,
    next: usize,
    order: &[String],
) -> Option<(usize, usize, CornerTreatment)> {
    let (a, b) = (piece.edges.get(index)?, piece.edges.get(next)?);
    let (u, v) = (a.path.end_tangent(), b.path.start_tangent());
    let turn = u.cross(v).atan2(u.dot(v)).to_degrees();
    if a.on_fold || b.on_fold || turn < RUNS_ON {
        return None;
    }
    match (turned(a), turned(b)) {
        (true, false) => Some((index, next, CornerTreatment::TurnedBack)),
        (false, true) => Some((next, index, CornerTreatment::TurnedBack)),
        (true, true) => None,
        (false, false) => {
            let (first, second) = (sewn(a, order)?, sewn(b, order)?);
            match first.cmp(&second) {
                std::cmp::Ordering::Less => Some((index, next, CornerTreatment::Squared)),
                std::cmp::Ordering::Greater => Some((next, index, CornerTreatment::Squared)),
                std::cmp::Ordering::Equal => None,
            }
        }
    }
}

/// Whether an edge that no seam joins is turned back on the piece.
fn turned(edge: &Edge) -> bool {
    let words = edge.finish.as_deref().unwrap_or("").to_lowercase();
    edge.seams.is_empty()
        && edge.has_cloth()
        && words
            .split(|c: char| !c.is_alphanumeric())
            .any(|word| TURNED.contains(&word))
}

/// When an edge is sewn first.
fn sewn(edge: &Edge, order: &[String]) -> Option<usize> {
    order.iter().position(|name| edge.seams.contains(name))
}

/// The corners that the piece itself speaks of.
fn own(
    piece: &Piece,
    spec: &PieceSpec,
    faults: &mut Vec<Fault>,
) -> Vec<(usize, usize, CornerTreatment)> {
    let mut found: Vec<(usize, usize, CornerTreatment)> = Vec::new();
    for corner in &spec.corners {
        let index = |name: &str| piece.edges.iter().position(|edge| edge.name == name);
        let (first, second) = (index(&corner.edges.0), index(&corner.edges.1));
        let (Some(first), Some(second)) = (first, second) else {
            let name = if first.is_none() {
                &corner.edges.0
            } else {
                &corner.edges.1
            };
            let message = format!(
                "piece {} has no edge {}",
                voice::name(&piece.name),
                voice::name(name)
            );
            faults.push(Fault::error(Code::UnknownEdge, corner.tag, message).on_piece(&piece.name));
            continue;
        };
        let count = piece.edges.len();
        if (first + 1) % count == second || (second + 1) % count == first {
            found.push((first, second, corner.treatment));
            continue;
        }
        let message = format!(
            "piece {}: {} and {} do not meet in a corner",
            voice::name(&piece.name),
            voice::name(&corner.edges.0),
            voice::name(&corner.edges.1)
        );
        faults.push(Fault::error(Code::UnknownEdge, corner.tag, message).on_piece(&piece.name));
    }
    found
}
