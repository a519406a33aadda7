//! Sets notches on pieces: a place on the sewing line, carried square to the cut edge, no deeper than half the allowance.

use super::PlaceSaid;
use super::fault::Fault;
use super::piece::{Edge, Notch, NotchMark, Piece};
use super::seam::{Alone, DOUBLE, SAME_PLACE, Seam, SeamNotch, Side};
use super::spec::{NotchForm, PieceNotchSpec, SeamPlace, SeamPoint};
use crate::report::{Code, Put};
use crate::say;
use crate::voice::{self, figure};
use kurbo::{Point, Vec2};
use oaktag_geometry::meet::meetings;
use oaktag_geometry::path::{Location, Path};

/// Depth of a notch where the allowance is wide enough (slit 3 to 4 deep, common practice).
const DEPTH: f64 = 4.0;
/// A piece's own notch is taken for the outline this near to it.
const REACH: f64 = 30.0;
/// A line that crosses an edge with less of a slope than this (30 degrees) does not carry its notch.
const SLANTED: f64 = 0.5;

/// The sine of the turn from which on a corner is hollow: ten degrees.
const HOLLOW: f64 = 0.17;

/// Sets a seam's notches on the pieces that it joins: on both sides, or it is told.
pub(crate) fn of_seam(seam: &Seam, pieces: &mut [Piece], faults: &mut Vec<Fault>) {
    for (number, notch) in seam.notches.iter().enumerate() {
        for (side, places) in [(&seam.first, &notch.first), (&seam.second, &notch.second)] {
            if !on_side(&seam.name, number + 1, notch, side, places, pieces) {
                faults.push(lost(seam, notch, side));
            }
        }
    }
}

/// Sets the notches of a seam of which only one side is here.
pub(crate) fn of_alone(seam: &Alone, pieces: &mut [Piece]) {
    for (number, notch) in seam.notches.iter().enumerate() {
        on_side(
            &seam.name,
            number + 1,
            notch,
            &seam.side,
            &notch.first,
            pieces,
        );
    }
}

fn lost(seam: &Seam, notch: &SeamNotch, side: &Side) -> Fault {
    let message = format!(
        "seam {}: a notch finds no place on {}",
        voice::name(&seam.name),
        side.spoken()
    );
    Fault::error(Code::NotchOffSeam, notch.tag, message)
        .at("cannot be cut on both sides")
        .help("There is no allowance at that place, or the cut would run along the cutting line: give the edge an allowance, or move the notch a little.")
}

fn on_side(
    seam: &str,
    number: usize,
    notch: &SeamNotch,
    side: &Side,
    places: &[f64],
    pieces: &mut [Piece],
) -> bool {
    // One notch on each piece that the place lies on: on both sides of a dart, a pleat or a joining seam.
    let mut made: Vec<(usize, usize, Vec<NotchMark>)> = Vec::new();
    for at in places {
        for (index, along) in side.spots(*at) {
            let Some(edge) = side.edges.get(index) else {
                continue;
            };
            let (of_piece, of_edge) = edge.at;
            let Some(piece) = pieces.get(of_piece) else {
                continue;
            };
            let Some((on, mark)) = mark(piece, of_edge, along) else {
                continue;
            };
            let several = places.len() > 1;
            let same = made
                .iter_mut()
                .find(|(piece, edge, _)| several && *piece == of_piece && *edge == on);
            match same {
                Some((.., marks)) => marks.push(mark),
                None => made.push((of_piece, on, vec![mark])),
            }
        }
    }
    let found = !made.is_empty();
    for (of_piece, edge, marks) in made {
        if let Some(piece) = pieces.get_mut(of_piece) {
            piece.notches.push(Notch {
                seam: Some(seam.to_owned()),
                also: Vec::new(),
                number: Some(number),
                edge,
                form: notch.form,
                marks,
                said: PlaceSaid::Unnamed,
            });
        }
    }
    found
}

/// The mark at a length along an edge, and the edge that carries it: in a corner where its cut would run along the cutting
/// line, the edge beside it; none where neither can carry it.
fn mark(piece: &Piece, index: usize, along: f64) -> Option<(usize, NotchMark)> {
    let edge = piece.edges.get(index)?;
    let along = if along > edge.length + SAME_PLACE || along < -SAME_PLACE {
        along.rem_euclid(edge.length)
    } else {
        along.clamp(0.0, edge.length)
    };
    let at = edge.path.location_at(along).ok()?;
    let count = piece.edges.len();
    let beside = if along < SAME_PLACE {
        Some((index + count - 1) % count)
    } else if along > edge.length - SAME_PLACE {
        Some((index + 1) % count)
    } else {
        None
    };
    // In a hollow corner the cut goes to where both cutting lines meet, between the squares of the two edges.
    let between = beside.and_then(|beside| {
        let other = piece.edges.get(beside)?;
        let near = other.path.nearest(edge.path.point(at)).location;
        let (a, b) = (-edge.path.normal_at(at), -other.path.normal_at(near));
        let (before, after) = if along < SAME_PLACE { (b, a) } else { (a, b) };
        (before.cross(after) < -HOLLOW && !other.is_made()).then(|| (a + b).normalize())
    });
    let own = mark_at(edge, at, between, piece.cutting.as_ref());
    if can_be_seen(&own, piece) {
        return Some((index, own));
    }
    // A net piece has nothing to cut into: the place is marked on its sewing line.
    let Some(beside) = beside else {
        return (own.depth > 0.0 || is_net(piece)).then_some((index, own));
    };
    let other = piece.edges.get(beside)?;
    let near = other.path.nearest(own.sewing).location;
    let moved = mark_at(other, near, None, piece.cutting.as_ref());
    if !other.is_made() && can_be_seen(&moved, piece) {
        return Some((beside, moved));
    }
    is_net(piece).then_some((index, own))
}

/// Whether no edge has an allowance.
fn is_net(piece: &Piece) -> bool {
    !piece.edges.iter().any(Edge::has_cloth)
}

/// Whether a cut has depth and does not run along the cutting line.
fn can_be_seen(mark: &NotchMark, piece: &Piece) -> bool {
    let middle = mark.cut - mark.outward * (mark.depth / 2.0);
    // Scissors do not follow a fold.
    let mut cut = piece
        .cut_edges
        .iter()
        .filter(|(edge, _)| piece.edges.get(*edge).is_some_and(|edge| !edge.on_fold));
    mark.depth > 0.0 && cut.all(|(_, path)| path.nearest(middle).distance > mark.depth / 4.0)
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
    let from_start = edge.path.length_to(at);
    let width = edge.width_at(from_start);
    NotchMark {
        sewing,
        cut: carried(sewing, outward, width / outward.dot(square), cutting),
        outward,
        along: edge.path.tangent_at(at),
        from_start,
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
    let found = match &spec.place {
        SeamPlace::At(point) => by_point(spec, point, piece),
        SeamPlace::Measured { far, from } => off_corner(spec, *far, from, piece),
    };
    let (index, along, ahead) = match found {
        Ok(found) => found,
        Err(fault) => {
            faults.extend(fault.map(|fault| fault.on_piece(&piece.name)));
            return;
        }
    };
    let Some(edge) = piece.edges.get(index) else {
        return;
    };
    let at = edge.path.location_at(along).map(|at| edge.path.point(at));
    if let (Some(seam), Ok(at)) = (edge.seams.first(), at)
        && !beside_free(piece, at)
    {
        faults.push(unpartnered(spec, piece, edge, seam));
    }
    let step = if ahead { DOUBLE } else { -DOUBLE };
    let fits = (0.0..=edge.length).contains(&(along + step));
    let places = [along, along + if fits { step } else { -step }];
    let count = if spec.form == NotchForm::Double { 2 } else { 1 };
    let made = places.iter().take(count);
    let made: Vec<(usize, NotchMark)> = made.filter_map(|at| mark(piece, index, *at)).collect();
    let Some((on, _)) = made.first().copied() else {
        let message = format!(
            "piece {}: a notch on {} cannot be cut",
            voice::name(&piece.name),
            voice::name(&edge.name)
        );
        let fault = Fault::warning(Code::NotchOffSeam, spec.tag, message)
            .note(
                "There is no allowance at that place, or the cut would run along the cutting line.",
            )
            .help("Give the edge an allowance, or move the notch a little.")
            .on_piece(&piece.name);
        faults.push(fault);
        return;
    };
    let said = piece
        .edges
        .get(on)
        .map_or(PlaceSaid::Unnamed, |edge| called(spec, edge));
    let marks = made.into_iter().map(|(_, mark)| mark).collect();
    piece.notches.push(Notch {
        seam: None,
        also: Vec::new(),
        number: None,
        edge: on,
        form: spec.form,
        marks,
        said,
    });
}

/// How the draft calls the place of a piece's own notch on an edge.
fn called(spec: &PieceNotchSpec, edge: &Edge) -> PlaceSaid {
    let from = match (&spec.place, &spec.along_from) {
        (SeamPlace::Measured { from, .. }, _) | (SeamPlace::At(_), Some(from)) => from,
        (SeamPlace::At(point), None) => return PlaceSaid::at(point),
    };
    let near = edge.path.nearest(from.point);
    if near.distance > SAME_PLACE {
        return PlaceSaid::Unnamed;
    }
    PlaceSaid::from(from, edge.path.length_to(near.location))
}

/// An edge, a length along it, and whether a second mark goes farther along.
type Found = Result<(usize, f64, bool), Option<Box<Fault>>>;

/// The place of the outline nearest to a point.
fn by_point(spec: &PieceNotchSpec, point: &SeamPoint, piece: &Piece) -> Found {
    let nearest = piece
        .edges
        .iter()
        .enumerate()
        .map(|(index, edge)| (index, edge.path.nearest(point.point)));
    // In a corner it belongs to the edge that is sewn, not to a fold or a raw edge.
    let rank = |index: usize| match piece.edges.get(index) {
        Some(edge) if edge.is_made() => 2,
        Some(edge) if edge.seams.is_empty() => 1,
        _ => 0,
    };
    let nearest = nearest.min_by(|a, b| {
        let (one, other) = (a.1.distance, b.1.distance);
        if (one - other).abs() > SAME_PLACE {
            one.total_cmp(&other)
        } else {
            rank(a.0).cmp(&rank(b.0))
        }
    });
    let (index, nearest) = nearest.ok_or(None)?;
    if nearest.distance > REACH {
        let message = say!(
            "piece {}: a notch lies {} from the outline",
            voice::name(&piece.name),
            figure::length(nearest.distance)
        );
        let fault = Fault::error(Code::NotchOffSeam, spec.tag, message)
            .help("Notches stand on an edge. Inside the piece, write a mark instead.");
        return Err(Some(Box::new(fault)));
    }
    let edge = piece.edges.get(index).ok_or(None)?;
    Ok((index, edge.path.length_to(nearest.location), true))
}

/// So far from a corner, along the edge there that no seam takes: one that a seam takes has its notches from the seam.
fn off_corner(spec: &PieceNotchSpec, far: f64, from: &SeamPoint, piece: &Piece) -> Found {
    let mut ends: Vec<(usize, &Edge, bool)> = Vec::new();
    for (index, edge) in piece
        .edges
        .iter()
        .enumerate()
        .filter(|one| !one.1.is_made())
    {
        for (end, is_start) in [(edge.path.start(), true), (edge.path.end(), false)] {
            if end.is_ok_and(|end| (end - from.point).hypot() <= SAME_PLACE) {
                ends.push((index, edge, is_start));
            }
        }
    }
    let free: Vec<_> = ends
        .iter()
        .filter(|(_, edge, _)| edge.seams.is_empty())
        .collect();
    let (index, edge, is_start) = match (ends.as_slice(), free.as_slice()) {
        ([one], _) => *one,
        (_, [one]) => **one,
        _ => return Err(Some(Box::new(which_edge(spec, far, from, piece, &ends)))),
    };
    if !(0.0..=edge.length).contains(&far) {
        let message = say!(
            "piece {}: a notch {} along {}, which is {} long",
            voice::name(&piece.name),
            figure::spoken(far),
            voice::name(&edge.name),
            figure::length(edge.length)
        );
        let fault = Fault::error(Code::NotchOffSeam, spec.tag, message)
            .help("Give a distance within the edge.");
        return Err(Some(Box::new(fault)));
    }
    let along = if is_start { far } else { edge.length - far };
    Ok((index, along, is_start))
}

/// Nothing, or too much, begins at the corner that a notch is measured from.
fn which_edge(
    spec: &PieceNotchSpec,
    far: f64,
    from: &SeamPoint,
    piece: &Piece,
    ends: &[(usize, &Edge, bool)],
) -> Fault {
    let corner = if from.name.is_empty() {
        "that point".to_owned()
    } else {
        voice::name(from.name.rsplit('.').next().unwrap_or(&from.name))
    };
    let names: Vec<String> = ends
        .iter()
        .map(|(_, edge, _)| voice::name(&edge.name))
        .collect();
    let found = if names.is_empty() {
        "that is no corner of it".to_owned()
    } else {
        format!("{} meet there", voice::list(&names))
    };
    let point = from.name.rsplit('.').next().filter(|name| !name.is_empty());
    let message = say!(
        "piece {}: a notch {} from {}, and {}",
        voice::name(&piece.name),
        figure::spoken(far),
        corner,
        found
    );
    let along = |edge: &str| {
        let point = point.unwrap_or("P");
        say!("({} along {} from {})", figure::written(far), edge, point)
    };
    let edges = || ends.iter().map(|(_, edge, _)| edge.name.as_str());
    let help = say!(
        "Say along which edge: `at {}`",
        along(edges().next().unwrap_or("EDGE"))
    );
    let fault = Fault::error(Code::NotchOffSeam, spec.tag, message).help(help);
    let known = edges().filter(|_| point.is_some());
    known.fold(fault, |fault, edge| {
        fault.cure(spec.tag, Put::Behind("at"), along(edge))
    })
}

/// Whether an edge that no seam takes passes a place.
fn beside_free(piece: &Piece, at: Point) -> bool {
    let mut edges = piece.edges.iter();
    edges.any(|edge| edge.seams.is_empty() && edge.path.nearest(at).distance <= SAME_PLACE)
}

fn unpartnered(spec: &PieceNotchSpec, piece: &Piece, edge: &Edge, seam: &str) -> Fault {
    let message = format!(
        "piece {}: a notch of this piece alone stands on {}, which seam {} sews",
        voice::name(&piece.name),
        voice::name(&edge.name),
        voice::name(seam)
    );
    Fault::warning(Code::NotchOffSeam, spec.tag, message)
        .note("The other side of the seam gets no partner for it.")
        .help(format!(
            "Write the notch in the seam {seam}, which sets it on both sides."
        ))
}

/// Notches the outline where each fold line crosses it.
pub(crate) fn at_folds(piece: &mut Piece) {
    let Some(sewing) = &piece.sewing else { return };
    let mut found: Vec<Notch> = Vec::new();
    for (_, line) in &piece.fold_lines {
        for meeting in meetings(line, sewing).crossings {
            // At a joint of two edges the wider allowance has room for it.
            let here =
                piece.edges.iter().enumerate().filter(|(_, edge)| {
                    edge.path.passes(meeting.point, SAME_PLACE) && !edge.on_fold
                });
            let widest = here.max_by(|a, b| {
                let width = |edge: &Edge| {
                    let near = edge.path.nearest(meeting.point).location;
                    edge.width_at(edge.path.length_to(near))
                };
                width(a.1).total_cmp(&width(b.1)).then(b.0.cmp(&a.0))
            });
            let Some((index, edge)) = widest else {
                continue;
            };
            let at = edge.path.nearest(meeting.point).location;
            let along = line.tangent_at(meeting.on_a);
            found.push(Notch {
                seam: None,
                also: Vec::new(),
                number: None,
                edge: index,
                form: NotchForm::Slit,
                marks: vec![mark_at(edge, at, Some(along), piece.cutting.as_ref())],
                said: PlaceSaid::Unnamed,
            });
        }
    }
    piece.notches.extend(found);
}

/// Notches both legs of each dart that opens in the outline, carried along the legs.
pub(crate) fn at_darts(piece: &mut Piece) {
    let count = piece.edges.len();
    let mut found: Vec<Notch> = Vec::new();
    for (at, mouth) in piece.edges.iter().enumerate() {
        let Some(dart) = mouth.mouth.and_then(|dart| piece.darts.get(dart)) else {
            continue;
        };
        for (beside, end) in [
            ((at + count - 1) % count, mouth.path.start()),
            ((at + 1) % count, mouth.path.end()),
        ] {
            let (Some(edge), Ok(end)) = (piece.edges.get(beside), end) else {
                continue;
            };
            let location = edge.path.nearest(end).location;
            let along = (end - dart.apex).normalize();
            found.push(Notch {
                seam: None,
                also: Vec::new(),
                number: None,
                edge: beside,
                form: NotchForm::Single,
                marks: vec![mark_at(edge, location, Some(along), piece.cutting.as_ref())],
                said: PlaceSaid::Unnamed,
            });
        }
    }
    piece.notches.extend(found);
}

/// Equal notches at one place are one.
pub(crate) fn merge_equal(piece: &mut Piece) {
    let mut kept: Vec<Notch> = Vec::with_capacity(piece.notches.len());
    for notch in std::mem::take(&mut piece.notches) {
        let equal = |other: &&mut Notch| {
            let near = |a: &NotchMark, b: &NotchMark| (a.sewing - b.sewing).hypot() <= SAME_PLACE;
            let plain = |form| matches!(form, NotchForm::Single | NotchForm::Slit);
            let alike = other.form == notch.form || (plain(other.form) && plain(notch.form));
            alike
                && other.marks.len() == notch.marks.len()
                && other
                    .marks
                    .iter()
                    .all(|a| notch.marks.iter().any(|b| near(a, b)))
        };
        match kept.iter_mut().find(equal) {
            Some(other) if other.seam.is_none() => {
                other.seam = notch.seam;
                other.number = notch.number;
                other.form = notch.form;
                other.also = notch.also;
            }
            Some(other) => {
                let fresh = notch.seam.filter(|name| other.seam.as_ref() != Some(name));
                if let Some(name) = fresh.filter(|name| !other.also.contains(name)) {
                    other.also.push(name);
                }
            }
            None => kept.push(notch),
        }
    }
    piece.notches = kept;
}
