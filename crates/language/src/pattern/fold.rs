//! A piece on the fold: its fold edge is straight, and the edges beside it meet it squarely, or the unfolded piece would
//! show a point or a dent there.

use super::fault::Fault;
use super::piece::{Edge, Piece};
use crate::report::Code;
use crate::say;
use crate::voice::{self, figure};
use kurbo::{BezPath, Shape, Vec2};
use oaktag_geometry::MEETING;
use oaktag_geometry::edit::End;
use oaktag_geometry::meet::meetings;
use oaktag_geometry::path::Path;

/// An edge may lie so far beyond a fold, in millimetres: a pencil line.
const OVER: f64 = 0.5;
/// How far from 90° an edge may meet the fold ("square at CB, CF, fold", common practice), in degrees.
const SQUARE: f64 = 0.5;

/// A fold line that ends this near to an edge is carried on to it, in millimetres: an end farther inside is meant.
const CARRIED: f64 = 10.0;

/// A fold line, carried straight on to the edge where it ends near to it.
pub(crate) fn carried(fold: &Path, sewing: Option<&Path>) -> Path {
    let Some(sewing) = sewing.filter(|_| !fold.is_endless()) else {
        return fold.clone();
    };
    let mut whole = fold.clone();
    for end in [End::Start, End::End] {
        let at = match end {
            End::Start => whole.start(),
            End::End => whole.end(),
        };
        let Ok(at) = at else { continue };
        if sewing.nearest(at).distance <= MEETING {
            continue;
        }
        let way = match end {
            End::Start => -whole.start_tangent(),
            End::End => whole.end_tangent(),
        };
        let Ok(ahead) = Path::line(at, at + way * CARRIED) else {
            continue;
        };
        let met = meetings(&ahead, sewing).crossings;
        let far = met.iter().map(|one| (one.point - at).hypot());
        let far = far.fold(f64::INFINITY, f64::min);
        // One that ends outside the piece reaches over its edge already.
        let inside = BezPath::from_path_segments(sewing.segs().iter().copied()).winding(at) != 0;
        if inside && far <= CARRIED {
            whole = whole.extended(end, far).unwrap_or(whole);
        }
    }
    whole
}

/// How far the grain may run from the fold, in degrees.
const ALONG: f64 = 0.5;

/// Warns of a fold that the grain does not run along: cloth is folded along its selvedges.
fn along_grain(piece: &Piece, fold: &Edge) -> Option<Fault> {
    let grain = piece.grain.as_ref()?.direction_of_straight()?;
    let apart = between(fold.path.start_tangent(), grain);
    let apart = apart.min(180.0 - apart);
    if apart <= ALONG {
        return None;
    }
    let (name, on) = (voice::name(&piece.name), voice::name(&fold.name));
    let message = say!(
        "piece {}: the grain runs at {} to {}, which lies on the fold of the cloth",
        name,
        figure::angle(apart),
        on
    );
    let how = if apart >= 90.0 - ALONG {
        "crosswise"
    } else {
        "askew"
    };
    let fault = Fault::warning(Code::FoldAcrossGrain, fold.tag, message)
        .at("the fold")
        .note(format!(
            "Cloth is folded along its selvedges; for this piece it would have to be folded {how}."
        ))
        .help("Let the grain run along the fold, or cut the piece unfolded: `draw --unfold` draws it whole.")
        .on_piece(&piece.name)
        .print(
            say!("Its fold lies at {} to the grain: fold the cloth {}, or cut it unfolded", figure::angle(apart), how),
        );
    Some(fault)
}

/// Checks the fold of a piece.
pub(crate) fn check(piece: &Piece, faults: &mut Vec<Fault>) {
    let Some(index) = piece.cut.fold_edge else {
        return;
    };
    let Some(fold) = piece.edges.get(index) else {
        return;
    };
    if !fold.path.is_straight() {
        let message = format!(
            "piece {}: {} lies on the fold of the cloth, and is not straight",
            voice::name(&piece.name),
            voice::name(&fold.name)
        );
        let fault = Fault::error(Code::FoldNotSquare, fold.tag, message)
            .help("Redraw it as a straight line, or cut two and seam them.")
            .on_piece(&piece.name)
            .print("The fold edge is not straight");
        faults.push(fault);
        return;
    }
    faults.extend(along_grain(piece, fold));
    if piece.sewing.is_none() {
        return;
    }
    let count = piece.edges.len();
    let before = piece
        .edges
        .get((index + count.saturating_sub(1)) % count.max(1));
    let after = piece.edges.get((index + 1) % count.max(1));
    if let Some(before) = before {
        let found = between(-before.path.end_tangent(), fold.path.start_tangent());
        faults.extend(not_square(piece, fold, before, found));
    }
    if let Some(after) = after {
        let found = between(-fold.path.end_tangent(), after.path.start_tangent());
        faults.extend(not_square(piece, fold, after, found));
    }
    let beside = piece.edges.iter().filter(|edge| !edge.on_fold);
    faults.extend(beside.filter_map(|edge| beyond(piece, fold, edge)));
}

/// An edge that goes over the fold: unfolded, the piece would cross itself there. Edges run with the cloth at their left.
fn beyond(piece: &Piece, fold: &Edge, edge: &Edge) -> Option<Fault> {
    let start = fold.path.start().ok()?;
    let way = fold.path.start_tangent();
    let outward = Vec2::new(way.y, -way.x).normalize();
    let far = edge.path.farthest_along(outward).ok()?;
    let over = (far - start).dot(outward);
    if over <= OVER {
        return None;
    }
    let (name, on) = (voice::name(&edge.name), voice::name(&fold.name));
    let message = say!(
        "piece {}: {} lies up to {} beyond the fold {}",
        voice::name(&piece.name),
        name,
        figure::spoken(over),
        on
    );
    let fault = Fault::error(Code::OutlineCrosses, edge.tag, message)
        .note("Unfolded, the outline would cross itself there.")
        .help(format!("Draw {name} so that it stays on one side of {on}."))
        .see(fold.tag, "the fold")
        .on_piece(&piece.name)
        .print(say!(
            "{} goes over the fold by {}",
            name,
            figure::spoken(over)
        ));
    Some(fault)
}

/// The angle between two directions in degrees, 0 to 180.
fn between(a: Vec2, b: Vec2) -> f64 {
    a.cross(b).abs().atan2(a.dot(b)).to_degrees()
}

fn not_square(piece: &Piece, fold: &Edge, edge: &Edge, found: f64) -> Option<Fault> {
    if (found - 90.0).abs() <= SQUARE {
        return None;
    }
    let (name, on) = (voice::name(&edge.name), voice::name(&fold.name));
    let message = say!(
        "piece {}: {} meets the fold {} at {}, wanted 90° within 0.5°",
        voice::name(&piece.name),
        name,
        on,
        figure::angle(found)
    );
    let effect = if found < 90.0 { "a point" } else { "a dent" };
    let fault = Fault::error(Code::FoldNotSquare, edge.tag, message)
        .note(format!("Unfolded, the piece would show {effect} there."))
        .help(format!("Draw {name} so that it leaves square to {on}."))
        .see(fold.tag, "the fold")
        .on_piece(&piece.name)
        .print(say!(
            "{} is not square to the fold: {}",
            name,
            figure::angle(found)
        ));
    Some(fault)
}
