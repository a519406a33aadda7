//! How wide the cloth stands beyond each edge, by the strongest sentence that says so: the piece's naming the edge, the
//! seam's naming a side, the seam's for both, the way the seam is sewn, the piece's default. A fold needs none.

use super::claim::Claims;
use super::fault::Fault;
use super::piece::Piece;
use super::spec::PieceSpec;
use crate::report::Code;
use crate::say;
use crate::voice::{self, figure};

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
            edge.allowance = Some(0.0);
            continue;
        }
        if edge.mouth.is_some() {
            continue;
        }
        let own = spec.edges.get(*declared).and_then(|edge| edge.allowance);
        let of_seams = claims.widths(index, at);
        let whole = of_seams.iter().find(|(part, _)| part.is_none());
        let whole = own.or(whole.map(|(_, width)| *width));
        let width = whole.or(spec.default_allowance);
        edge.allowance = width;
        if whole.is_none() {
            // Where a seam stops within the edge, its width does too.
            let parts = of_seams.iter().filter_map(|(part, w)| Some(((*part)?, *w)));
            edge.beyond = parts.map(|((from, to), w)| (from, to, w)).collect();
            if width.is_none() && !edge.beyond.is_empty() && edge.finish.is_none() {
                edge.allowance = edge.beyond.first().map(|(.., w)| *w);
            }
        }
        let width = edge.allowance;
        if width.is_none() {
            missing.push(voice::name(&edge.name));
            first_missing = first_missing.or(Some(edge.tag));
        }
    }
    let Some(tag) = first_missing else { return };
    let edges = missing.join(", ");
    let without = piece.edges.iter().find(|edge| edge.allowance.is_none());
    let example = without.map_or("", |edge| edge.name.as_str());
    let message = format!(
        "piece {}: no allowance on {edges}",
        voice::name(&piece.name)
    );
    let fault = Fault::warning(Code::NoAllowance, tag, message)
        .at("no sentence of the piece or of a seam gives it a width")
        .help(
            say!("Write  allow {} on {}  in the piece, or  allow  in the seam that sews it;  allow 0mm  says that there is none.", figure::written(10.0), example),
        )
        .on_piece(&piece.name)
        .print(format!("No allowance stated on {edges}"));
    faults.push(fault);
}
