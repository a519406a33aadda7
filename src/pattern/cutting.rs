//! The cutting line: the sewing line with its allowances, corners shaped as the draft asks and mitred where it is silent.

use super::fault::{Fault, Words};
use super::figure;
use super::piece::Piece;
use super::spec::CornerTreatment;
use crate::geometry::allowance::{AllowanceFault, Corner, CutEdge, cut_outline};
use crate::geometry::outline::Outline;
use crate::geometry::path::Path;
use crate::report::Code;

/// Draws the cutting line of a piece whose outline closes. An edge without an allowance is cut on its sewing line, and
/// where none has any, the sewing line is the cutting line.
pub(crate) fn draw(
    piece: &mut Piece,
    outline: Option<&Outline>,
    declared: &[usize],
    faults: &mut Vec<Fault>,
) {
    let Some(outline) = outline else { return };
    let count = piece.edges.len();
    let mut widths = vec![0.0; count];
    for (edge, index) in piece.edges.iter().zip(declared) {
        if let Some(width) = widths.get_mut(*index) {
            *width = edge.allowance.unwrap_or(0.0);
        }
    }
    if widths.iter().all(|width| *width == 0.0) {
        piece.cutting.clone_from(&piece.sewing);
        piece.cut_edges = piece
            .edges
            .iter()
            .map(|edge| edge.path.clone())
            .enumerate()
            .collect();
        piece.cut_area = piece.drawn_area;
        return;
    }
    match cut_outline(outline, &widths, &corners(piece, declared)) {
        Ok(cut) => {
            piece.cutting = joined(&cut.edges);
            let position = |listed: usize| declared.iter().position(|index| *index == listed);
            let named = cut
                .edges
                .iter()
                .filter_map(|edge| Some((position(edge.edge)?, edge.path.clone())));
            piece.cut_edges = named.collect();
            piece.cut_holes = cut.holes.iter().filter_map(|hole| joined(hole)).collect();
            piece.cut_area = Some(cut.area);
        }
        Err(fault) => faults.push(told(piece, declared, &fault)),
    }
}

fn joined(edges: &[CutEdge]) -> Option<Path> {
    let parts: Vec<Path> = edges.iter().map(|edge| edge.path.clone()).collect();
    Path::joined(&parts).ok()
}

/// The corners as geometry takes them: each at the earlier of its two edges as declared.
fn corners(piece: &Piece, declared: &[usize]) -> Vec<Corner> {
    let count = piece.edges.len();
    let mut corners = vec![Corner::Mitred; count];
    let index = |edge: usize| declared.get(edge).copied().unwrap_or(0);
    for (first, second, treatment) in &piece.corners {
        let (first, second) = (index(*first), index(*second));
        let at = if (first + 1) % count.max(1) == second {
            first
        } else {
            second
        };
        if let Some(corner) = corners.get_mut(at) {
            *corner = match treatment {
                CornerTreatment::Mitred => Corner::Mitred,
                CornerTreatment::Squared => Corner::Squared { first },
                CornerTreatment::TurnedBack => Corner::TurnedBack { hem: first },
                CornerTreatment::Stepped => Corner::Stepped {
                    edge: first,
                    at: 0.0,
                },
            };
        }
    }
    corners
}

fn told(piece: &Piece, declared: &[usize], fault: &AllowanceFault) -> Fault {
    let name = figure::name(&piece.name);
    let edge = |listed: usize| {
        let position = declared.iter().position(|index| *index == listed);
        position.and_then(|position| piece.edges.get(position))
    };
    let (tag, message) = match fault {
        AllowanceFault::Width {
            edge: listed,
            width,
        } => {
            let edge = edge(*listed);
            let of = edge.map_or(String::new(), |edge| figure::name(&edge.name));
            let words =
                Words::new(format!("piece {name}: the allowance of {of} is ")).spoken(*width);
            (
                edge.map(|edge| edge.tag),
                words.text(", wanted nothing or more"),
            )
        }
        AllowanceFault::StepBeyond {
            edge: listed,
            at,
            length,
        } => {
            let edge = edge(*listed);
            let of = edge.map_or(String::new(), |edge| figure::name(&edge.name));
            let words = Words::new(format!("piece {name}: a step at ")).spoken(*at);
            (
                edge.map(|edge| edge.tag),
                words
                    .text(format!(" lies beyond {of}, which is "))
                    .length(*length),
            )
        }
        AllowanceFault::NoCutLine
        | AllowanceFault::Count { .. }
        | AllowanceFault::NotAtCorner { .. }
        | AllowanceFault::Path(_) => {
            let words = Words::new(format!(
                "piece {name}: no single cutting line goes round these allowances"
            ));
            (None, words)
        }
    };
    Fault::error(Code::NoAllowance, tag.unwrap_or(piece.tag), message)
        .on_piece(&piece.name)
        .print(Words::new(
            "No cutting line could be drawn: the line is the sewing line",
        ))
}
