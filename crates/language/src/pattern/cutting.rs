//! The cutting line: the sewing line with its allowances, corners shaped as the draft asks and mitred where it is silent.

use super::fault::Fault;
use super::kept::{self, Kept};
use super::piece::Piece;
use super::spec::CornerTreatment;
use crate::report::Code;
use crate::say;
use crate::voice::{self, figure};
use oaktag_geometry::allowance::{AllowanceFault, Corner, CutEdge, Width};
use oaktag_geometry::outline::Outline;
use oaktag_geometry::path::Path;

/// An edge, or a part of one, with the width along it.
struct Part {
    edge: usize,
    path: Path,
    width: Width,
}

/// Draws the cutting line of a piece whose outline closes, by its place among the draft's. An edge without an allowance is cut on its sewing line, and
/// where none has any, the sewing line is the cutting line.
pub(crate) fn draw(
    piece: &mut Piece,
    place: usize,
    kept: Option<&mut Kept>,
    faults: &mut Vec<Fault>,
) {
    let parts = parts(piece);
    if parts.iter().all(|part| part.width.most() == 0.0) {
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
    let paths: Vec<Path> = parts.iter().map(|part| part.path.clone()).collect();
    let Ok(outline) = Outline::new(&paths) else {
        return;
    };
    let widths: Vec<Width> = parts.iter().map(|part| part.width).collect();
    match kept::cut(kept, place, &outline, &widths, &corners(piece, &parts)) {
        Ok(cut) => {
            piece.cutting = joined(&cut.edges);
            let named = cut.edges.iter();
            let named =
                named.filter_map(|edge| Some((parts.get(edge.edge)?.edge, edge.path.clone())));
            piece.cut_edges = named.collect();
            piece.cut_holes = cut.holes.iter().filter_map(|hole| joined(hole)).collect();
            piece.cut_area = Some(cut.area);
        }
        Err(fault) => faults.push(told(piece, &parts, &fault)),
    }
}

/// The edges in outline order, those whose width changes within them in parts.
fn parts(piece: &Piece) -> Vec<Part> {
    let mut parts = Vec::with_capacity(piece.edges.len());
    for (index, edge) in piece.edges.iter().enumerate() {
        let allowance = edge.allowance.as_ref();
        let plain = allowance.map_or(Width::from(0.0), |allowance| allowance.width);
        let mut stops = vec![0.0, edge.length];
        for (from, to, _) in &edge.beyond {
            stops.extend([*from, *to]);
        }
        stops.sort_by(f64::total_cmp);
        let before = parts.len();
        if !edge.beyond.is_empty() {
            for (from, to) in stops.iter().zip(stops.iter().skip(1)) {
                let middle = (from + to) / 2.0;
                let own = edge
                    .beyond
                    .iter()
                    .find(|(a, b, _)| *a <= middle && middle <= *b);
                if let Ok(path) = edge.path.part_between(*from, *to) {
                    parts.push(Part {
                        edge: index,
                        path,
                        width: own.map_or_else(
                            || plain.part(from / edge.length, to / edge.length),
                            |own| own.2.into(),
                        ),
                    });
                }
            }
        }
        if parts.len() == before {
            parts.push(Part {
                edge: index,
                path: edge.path.clone(),
                width: plain,
            });
        }
    }
    parts
}

fn joined(edges: &[CutEdge]) -> Option<Path> {
    let parts: Vec<Path> = edges.iter().map(|edge| edge.path.clone()).collect();
    Path::joined(&parts).ok()
}

/// The corners as geometry takes them: each at the part before it.
fn corners(piece: &Piece, parts: &[Part]) -> Vec<Corner> {
    let count = piece.edges.len();
    let mut corners = vec![Corner::Mitred; parts.len()];
    let last = |edge: usize| parts.iter().rposition(|part| part.edge == edge);
    let first = |edge: usize| parts.iter().position(|part| part.edge == edge);
    for (one, other, treatment) in &piece.corners {
        let follows = (one + 1) % count.max(1) == *other;
        let at = if follows { last(*one) } else { last(*other) };
        let own = if follows { last(*one) } else { first(*one) };
        let (Some(at), Some(own)) = (at, own) else {
            continue;
        };
        if let Some(corner) = corners.get_mut(at) {
            *corner = match treatment {
                CornerTreatment::Mitred => Corner::Mitred,
                CornerTreatment::Squared => Corner::Squared { first: own },
                CornerTreatment::TurnedBack => Corner::TurnedBack { hem: own },
                CornerTreatment::Stepped => Corner::Stepped { edge: own, at: 0.0 },
            };
        }
    }
    corners
}

fn told(piece: &Piece, parts: &[Part], fault: &AllowanceFault) -> Fault {
    let name = voice::name(&piece.name);
    let edge = |listed: usize| piece.edges.get(parts.get(listed)?.edge);
    let (tag, message) = match fault {
        AllowanceFault::Width {
            edge: listed,
            width,
        } => {
            let edge = edge(*listed);
            let of = edge.map_or(String::new(), |edge| voice::name(&edge.name));
            let words = say!(
                "piece {}: the allowance of {} is {}, wanted nothing or more",
                name,
                of,
                figure::spoken(*width)
            );
            (edge.map(|edge| edge.tag), words)
        }
        AllowanceFault::StepBeyond {
            edge: listed,
            at,
            length,
        } => {
            let edge = edge(*listed);
            let of = edge.map_or(String::new(), |edge| voice::name(&edge.name));
            let words = say!(
                "piece {}: a step at {} lies beyond {}, which is {}",
                name,
                figure::spoken(*at),
                of,
                figure::length(*length)
            );
            (edge.map(|edge| edge.tag), words)
        }
        AllowanceFault::NoCutLine
        | AllowanceFault::Count { .. }
        | AllowanceFault::NotAtCorner { .. }
        | AllowanceFault::Path(_) => {
            let words = say!(
                "piece {}: no single cutting line goes round these allowances",
                name
            );
            (None, words)
        }
    };
    Fault::error(Code::NoAllowance, tag.unwrap_or(piece.tag), message)
        .on_piece(&piece.name)
        .print("No cutting line could be drawn: the line is the sewing line")
}
