//! How wide the cloth stands beyond each edge, by the strongest sentence that says so: the piece's naming the edge, the
//! seam's naming a side, the seam's for both, the way the seam is sewn, the piece's default. A fold needs none.

use super::fault::{Fault, Words};
use super::figure;
use super::piece::Piece;
use super::seam_kind;
use super::spec::{PieceSpec, SeamSpec};
use crate::report::Code;

/// Gives each edge its width; edges left without are told in one warning a piece.
pub(crate) fn widths(
    piece: &mut Piece,
    spec: &PieceSpec,
    declared: &[usize],
    seams: &[SeamSpec],
    faults: &mut Vec<Fault>,
) {
    let mut missing: Vec<String> = Vec::new();
    let mut first_missing = None;
    for (edge, index) in piece.edges.iter_mut().zip(declared) {
        if edge.on_fold {
            edge.allowance = Some(0.0);
            continue;
        }
        let own = spec.edges.get(*index).and_then(|edge| edge.allowance);
        let width = own
            .or_else(|| of_seams(&edge.line, seams))
            .or(spec.default_allowance);
        edge.allowance = width;
        if width.is_none() {
            missing.push(figure::name(&edge.name));
            first_missing = first_missing.or(Some(edge.tag));
        }
    }
    let Some(tag) = first_missing else { return };
    let edges = missing.join(", ");
    let without = piece.edges.iter().find(|edge| edge.allowance.is_none());
    let example = without.map_or("", |edge| edge.name.as_str());
    let message = Words::new(format!(
        "piece {}: no allowance on {edges}",
        figure::name(&piece.name)
    ));
    let fault = Fault::warning(Code::NoAllowance, tag, message)
        .at(Words::new("no sentence of the piece or of a seam gives it a width"))
        .with_help(
            Words::new("Write  allow ").written(10.0).text(format!(
                " on {example}  in the piece, or  allow  in the seam that sews it;  allow 0mm  says that there is none."
            )),
        )
        .on_piece(&piece.name)
        .print(Words::new(format!("No allowance stated on {edges}")));
    faults.push(fault);
}

/// What the seams say of a line: a width for the line itself before one for the whole seam, the first declared first.
fn of_seams(line: &str, seams: &[SeamSpec]) -> Option<f64> {
    let named = seams
        .iter()
        .find_map(|seam| seam.allowance_on.iter().find(|(on, _)| on == line));
    if let Some((_, width)) = named {
        return Some(*width);
    }
    let takes = |seam: &&SeamSpec| {
        seam.first
            .iter()
            .chain(&seam.second)
            .any(|edge| edge.line == line)
    };
    let of_seam = |seam: &SeamSpec| seam.allowance.or_else(|| seam_kind::width_of(seam, line));
    seams.iter().filter(takes).find_map(of_seam)
}
