//! Sets notches on pieces: a place on the sewing line, carried square to the cut edge, no deeper than half the allowance.

use super::fault::{Fault, Words};
use super::figure;
use super::piece::{Edge, Notch, NotchMark, Piece};
use super::seam::{Seam, SeamNotch, Side};
use super::seam_notch::DOUBLE;
use super::sense::SAME_PLACE;
use super::spec::{NotchForm, PieceNotchSpec};
use crate::geometry::meet::meetings;
use crate::geometry::path::{Location, Path};
use crate::report::Code;
use kurbo::{Point, Vec2};

/// Depth of a notch where the allowance is wide enough (slit 3 to 4 deep, common practice).
const DEPTH: f64 = 4.0;
/// A piece's own notch is taken for the outline this near to it.
const REACH: f64 = 30.0;
/// Edges that meet with less of a turn than this run on: a notch there is needed, since no corner shows the place.
const RUNS_ON: f64 = 10.0;
/// A line that crosses an edge with less of a slope than this (30 degrees) does not carry its notch.
const SLANTED: f64 = 0.5;

/// Sets a seam's notches on every piece that outlines its lines.
pub(crate) fn of_seam(seam: &Seam, pieces: &mut [Piece]) {
    for (number, notch) in seam.notches.iter().enumerate() {
        on_side(seam, number + 1, notch, &seam.first, &notch.first, pieces);
        on_side(seam, number + 1, notch, &seam.second, &notch.second, pieces);
    }
}

fn on_side(
    seam: &Seam,
    number: usize,
    notch: &SeamNotch,
    side: &Side,
    places: &[f64],
    pieces: &mut [Piece],
) {
    let located: Vec<(&str, Point)> = places
        .iter()
        .filter_map(|at| {
            let (index, along) = side.locate(*at)?;
            let edge = side.edges.get(index)?;
            Some((edge.line.as_str(), edge.path.point_at(along).ok()?))
        })
        .collect();
    for piece in pieces {
        let mut made: Vec<(usize, NotchMark)> = Vec::new();
        for (line, point) in &located {
            let edges = piece
                .edges
                .iter()
                .enumerate()
                .filter(|(_, edge)| edge.line == *line);
            made.extend(edges.filter_map(|(index, _)| Some((index, mark(piece, index, *point)?))));
        }
        let Some((edge, _)) = made.first() else {
            continue;
        };
        let notch = Notch {
            seam: Some(seam.name.clone()),
            number: Some(number),
            edge: *edge,
            form: notch.form,
            marks: made.iter().map(|(_, mark)| *mark).collect(),
        };
        piece.notches.push(notch);
    }
}

/// The mark at a point of an edge; none in a corner, which shows the place itself.
fn mark(piece: &Piece, index: usize, point: Point) -> Option<NotchMark> {
    let edge = piece.edges.get(index)?;
    let at = edge.path.nearest(point).location;
    let along = edge.path.length_to(at);
    let count = piece.edges.len();
    let turn = |a: &Edge, b: &Edge| {
        let (u, v) = (a.path.end_tangent(), b.path.start_tangent());
        u.cross(v).abs().atan2(u.dot(v)).to_degrees()
    };
    if along < SAME_PLACE {
        let before = piece.edges.get((index + count - 1) % count)?;
        if turn(before, edge) > RUNS_ON {
            return None;
        }
    } else if along > edge.length - SAME_PLACE {
        let after = piece.edges.get((index + 1) % count)?;
        if turn(edge, after) > RUNS_ON {
            return None;
        }
    }
    Some(mark_at(edge, at, None, piece.cutting.as_ref()))
}

/// The mark at a place of an edge, carried square to it or, where a line crosses there, along that line.
fn mark_at(edge: &Edge, at: Location, crossing: Option<Vec2>, cutting: Option<&Path>) -> NotchMark {
    let sewing = edge.path.point(at);
    let square = -edge.path.normal_at(at);
    let outward = match crossing {
        Some(along) if along.dot(square) > SLANTED => along,
        Some(along) if along.dot(square) < -SLANTED => -along,
        Some(_) | None => square,
    };
    let width = edge.allowance.unwrap_or(0.0);
    NotchMark {
        sewing,
        cut: carried(sewing, outward, width / outward.dot(square), cutting),
        outward,
        along: edge.path.tangent_at(at),
        from_start: edge.path.length_to(at),
        depth: DEPTH.min(width / 2.0),
    }
}

/// Where the way out from a point of the sewing line meets the cut edge: after `expected` millimetres, or sooner or later
/// where a corner of the allowance is shaped.
fn carried(sewing: Point, outward: Vec2, expected: f64, cutting: Option<&Path>) -> Point {
    let wanted = sewing + outward * expected;
    let ray = Path::line(sewing, sewing + outward * (2.5 * expected));
    let (Some(cutting), Ok(ray)) = (cutting, ray) else {
        return wanted;
    };
    let found = meetings(&ray, cutting)
        .crossings
        .into_iter()
        .map(|meeting| meeting.point);
    found
        .min_by(|a, b| (*a - wanted).hypot().total_cmp(&(*b - wanted).hypot()))
        .unwrap_or(wanted)
}

/// Sets a notch of the piece alone.
pub(crate) fn own(spec: &PieceNotchSpec, piece: &mut Piece, faults: &mut Vec<Fault>) {
    let nearest = piece
        .edges
        .iter()
        .enumerate()
        .map(|(index, edge)| (index, edge.path.nearest(spec.at)));
    // At a joint the notch belongs to the edge that no seam owns: a fold's, beside a seam.
    let on_seam = |index: usize| piece.edges.get(index).is_some_and(|e| !e.seams.is_empty());
    let Some((index, nearest)) = nearest.min_by(|a, b| {
        let (one, other) = (a.1.distance, b.1.distance);
        if (one - other).abs() > SAME_PLACE {
            one.total_cmp(&other)
        } else {
            on_seam(a.0).cmp(&on_seam(b.0))
        }
    }) else {
        return;
    };
    if nearest.distance > REACH {
        let message = Words::new(format!(
            "piece {}: a notch lies ",
            figure::name(&piece.name)
        ))
        .length(nearest.distance)
        .text(" from the outline");
        let fault = Fault::error(Code::NotchOffSeam, spec.tag, message)
            .with_help(Words::new(
                "Notches stand on an edge. Inside the piece, write a mark instead.",
            ))
            .figure("off", nearest.distance)
            .on_piece(&piece.name);
        faults.push(fault);
        return;
    }
    let Some(edge) = piece.edges.get(index) else {
        return;
    };
    if let Some(seam) = edge.seams.first() {
        let message = Words::new(format!(
            "piece {}: a notch of this piece alone stands on {}, which seam {} sews",
            figure::name(&piece.name),
            figure::name(&edge.name),
            figure::name(seam)
        ));
        let fault = Fault::warning(Code::NotchOffSeam, spec.tag, message)
            .note(Words::new(
                "The other side of the seam gets no partner for it.",
            ))
            .with_help(Words::new(format!(
                "Write the notch in the seam {seam}, which sets it on both sides."
            )));
        faults.push(fault);
    }
    let mut marks = vec![mark_at(
        edge,
        nearest.location,
        None,
        piece.cutting.as_ref(),
    )];
    if spec.form == NotchForm::Double {
        let along = edge.path.length_to(nearest.location);
        let second = if along + DOUBLE <= edge.length {
            along + DOUBLE
        } else {
            along - DOUBLE
        };
        if let Ok(at) = edge.path.location_at(second) {
            marks.push(mark_at(edge, at, None, piece.cutting.as_ref()));
        }
    }
    piece.notches.push(Notch {
        seam: None,
        number: None,
        edge: index,
        form: spec.form,
        marks,
    });
}

/// Notches the outline where each fold line crosses it.
pub(crate) fn at_folds(piece: &mut Piece) {
    let Some(sewing) = &piece.sewing else { return };
    let mut found: Vec<Notch> = Vec::new();
    for (_, line) in &piece.fold_lines {
        for meeting in meetings(line, sewing).crossings {
            // At a joint of two edges the wider allowance has room for it.
            let here = piece
                .edges
                .iter()
                .enumerate()
                .filter(|(_, edge)| edge.path.passes(meeting.point, SAME_PLACE));
            let widest = here.max_by(|a, b| {
                let width = |edge: &Edge| edge.allowance.unwrap_or(0.0);
                width(a.1).total_cmp(&width(b.1)).then(b.0.cmp(&a.0))
            });
            let Some((index, edge)) = widest else {
                continue;
            };
            let at = edge.path.nearest(meeting.point).location;
            let along = line.tangent_at(meeting.on_a);
            found.push(Notch {
                seam: None,
                number: None,
                edge: index,
                form: NotchForm::Slit,
                marks: vec![mark_at(edge, at, Some(along), piece.cutting.as_ref())],
            });
        }
    }
    piece.notches.extend(found);
}
