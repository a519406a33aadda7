//! A piece that its cloth is too narrow for: told when it is drawn, and not only when it is laid.

use super::fault::Fault;
use super::piece::Piece;
use super::spec::ClothSpec;
use crate::report::Code;
use crate::say;
use crate::voice::{self, figure};
use kurbo::{Affine, Shape as _, Vec2};
use oaktag_geometry::moves::mirror;
use oaktag_geometry::path::Path;

/// A piece may be wider by so much, in millimetres: its figures are no finer.
const SLACK: f64 = 0.05;

/// Holds each piece against the width of the cloth that it names.
pub(crate) fn check(pieces: &[Piece], cloths: &[ClothSpec], faults: &mut Vec<Fault>) {
    for piece in pieces {
        let name = piece.cut.cloth.as_deref().unwrap_or_default();
        let cloth = cloths.iter().find(|cloth| cloth.name == name);
        let Some((cloth, width)) = cloth.and_then(|cloth| Some((cloth, cloth.width?))) else {
            continue;
        };
        // As wide as it is when it has shrunk.
        let width = width * (1.0 - cloth.shrinkage.1).clamp(0.1, 1.0);
        if no_wider_than(piece, width) {
            continue;
        }
        let Some(across) = across(piece).filter(|across| *across > width + SLACK) else {
            continue;
        };
        let message = say!(
            "piece {} is {} across the grain, and {} is {} wide",
            voice::name(&piece.name),
            figure::spoken(across),
            voice::name(name),
            figure::spoken(width)
        );
        let fault = Fault::warning(Code::WiderThanCloth, piece.tag, message)
            .at("wider than its cloth")
            .help("Divide it by a seam, turn its grain, or take a wider cloth.")
            .on_piece(&piece.name);
        faults.push(fault);
    }
}

/// Whether its control points alone, with their mirror images over the fold, show that a piece is no wider: most are, and
/// need not be unfolded for it.
fn no_wider_than(piece: &Piece, width: f64) -> bool {
    let Some(grain) = piece.grain.as_ref().and_then(Path::direction_of_straight) else {
        return true;
    };
    let over = match piece.cut.fold_edge.and_then(|at| piece.edges.get(at)) {
        Some(fold) => mirror(&fold.path).ok(),
        None => Some(Affine::IDENTITY),
    };
    let Some(over) = over else { return false };
    let across = grain.turn_90();
    let length = grain.hypot();
    let (mut least, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
    let lines = [&piece.cutting, &piece.sewing].into_iter().flatten();
    for seg in lines.flat_map(Path::segs) {
        let cubic = seg.to_cubic();
        for point in [cubic.p0, cubic.p1, cubic.p2, cubic.p3] {
            for at in [point, over * point] {
                let at = across.dot(at.to_vec2()) / length;
                (least, most) = (least.min(at), most.max(at));
            }
        }
    }
    most - least <= width
}

/// How wide a piece lies on one layer of cloth, its grain along the cloth.
fn across(piece: &Piece) -> Option<f64> {
    let grain = piece.grain.as_ref()?.direction_of_straight()?;
    let whole = if piece.on_fold() {
        piece.unfolded()?
    } else {
        piece.clone()
    };
    let outline = whole.outer()?;
    let along = Vec2::new(0.0, 1.0);
    let turn = kurbo::Affine::rotate(along.atan2() - grain.atan2());
    let bounds = outline
        .segs()
        .iter()
        .map(|seg| (turn * *seg).bounding_box())
        .reduce(|a, b| a.union(b))?;
    Some(bounds.width())
}
