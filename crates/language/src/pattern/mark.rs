//! Marks that would not be on the cloth: told, since whoever cuts never sees them.

use super::fault::Fault;
use super::piece::Piece;
use super::spec::Value;
use crate::report::Code;
use crate::say;
use crate::voice::{self, figure};
use kurbo::{BezPath, Shape as _};

/// A mark on the cutting line is on the cloth, in millimetres.
const SLACK: f64 = 0.5;

/// Warns of each sentence that marks a point which lies off its piece; of one that marks several, the farthest.
pub(crate) fn check(pieces: &[Piece], faults: &mut Vec<Fault>) {
    for piece in pieces {
        let Some(outer) = piece.outer() else { continue };
        let outline = BezPath::from_path_segments(outer.segs().iter().copied());
        let off = piece.marks.iter().filter_map(|mark| {
            let Value::Point(at) = mark.shape else {
                return None;
            };
            let off = outer.nearest(at).distance;
            (off > SLACK && outline.winding(at) == 0).then_some((mark, off))
        });
        let mut told = Vec::new();
        let mut off: Vec<_> = off.collect();
        off.sort_by(|a, b| b.1.total_cmp(&a.1));
        for (mark, off) in off {
            if told.contains(&mark.tag) {
                continue;
            }
            told.push(mark.tag);
            let message = say!(
                "piece {}: {} lies {} off the cloth",
                voice::name(&piece.name),
                voice::name(&mark.name),
                figure::spoken(off)
            );
            let fault = Fault::warning(Code::MarkOffPiece, mark.tag, message)
                .at("marked here")
                .help("Move it on to the piece, or mark it on the piece that it lies on.")
                .on_piece(&piece.name);
            faults.push(fault);
        }
    }
}
