//! Darts: a seam of a piece with itself. The outline lists no mouth; the edge that closes it is made here, so that the
//! folded dart is caught in the seam: closed and pressed over, it lies on the line of the edge beside it (common practice).

use super::Allowance;
use super::fault::Fault;
use super::piece::Piece;
use super::spec::{CutSpec, DartSpec, EdgeSpec, MarkSpec, PieceSpec, Tag, Value};
use crate::report::Code;
use crate::say;
use crate::voice::{self, figure};
use kurbo::{BezPath, Point, Shape as _, Vec2};
use oaktag_geometry::MEETING;
use oaktag_geometry::edit::End;
use oaktag_geometry::meet::meetings;
use oaktag_geometry::moves::mirror;
use oaktag_geometry::path::Path;

/// Legs may differ by so much: the tolerance of a seam.
const LEGS: f64 = 0.5;
/// A line beside the grain by less than this many degrees may be a centre line.
const ALONG_GRAIN: f64 = 3.0;

/// A dart of a piece, drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct Dart {
    /// The sentence of the draft that says it, where messages point.
    pub tag: Tag,
    /// The ends of its mouth, in outline order; of a dart inside the piece its widest place.
    pub mouth: (Point, Point),
    /// The point at which its legs meet.
    pub apex: Point,
    /// The other end of a dart that lies whole inside the piece.
    pub other_apex: Option<Point>,
    /// Lengths of its legs, from either end of the mouth.
    pub legs: (f64, f64),
    /// The edge on whose side it is pressed, by name; empty for a dart inside the piece.
    pub pressed: String,
    /// Whether the draft says so.
    pub pressed_said: bool,
    /// Places to be drilled through the cloth, short of the apex.
    pub drills: Vec<Point>,
    /// How far it is sewn, where the rest is a pleat.
    pub sewn: Option<f64>,
}

impl Dart {
    /// What it takes up at its widest, straight across.
    pub fn take(&self) -> f64 {
        (self.mouth.1 - self.mouth.0).hypot()
    }
}

/// A piece as declared with the mouths of its darts among its edges, and the darts themselves.
pub(crate) fn with_mouths(spec: &PieceSpec, faults: &mut Vec<Fault>) -> (PieceSpec, Vec<Dart>) {
    if spec.darts.is_empty() {
        return (spec.clone(), Vec::new());
    }
    let mut whole = spec.clone();
    let mut darts: Vec<Dart> = Vec::new();
    let mut made: Vec<(usize, EdgeSpec)> = Vec::new();
    for said in &spec.darts {
        let opens = said.other_apex.is_some() || place(spec, said).is_some();
        if said.of_base && !opens {
            continue;
        }
        let number = darts.len();
        let legs = legs(said);
        faults.extend(legs_differ(spec, said, lengths(&legs)));
        let dart = if said.other_apex.is_some() {
            Some(inside(said, &legs))
        } else {
            mouth(spec, said, &legs, number, &mut made, faults)
        };
        let Some(dart) = dart else { continue };
        whole.marks.extend(marks(said, &legs, &dart, number));
        darts.push(dart);
    }
    over_each_other(spec, &darts, &made, faults);
    made.sort_by_key(|(after, _)| *after);
    for (after, edge) in made.into_iter().rev() {
        whole.edges.insert(after + 1, edge);
        let CutSpec { fold_edge, .. } = &mut whole.cut;
        *fold_edge = fold_edge.map(|at| if at > after { at + 1 } else { at });
    }
    (whole, darts)
}

/// Both legs from the mouth to the apex; of a dart inside the piece, all the way to its other end.
fn legs(said: &DartSpec) -> [Vec<Path>; 2] {
    if let Some((one, other)) = &said.legs {
        let from = |path: &Path, at: Point| path.from_end_near(at).unwrap_or_else(|_| path.clone());
        let pair = |a: Point, b: Point| [vec![from(one, a)], vec![from(other, b)]];
        let near = |path: &Path, p: Point| path.nearest(p).distance;
        let (a, b) = said.mouth;
        let straight = near(one, a) + near(other, b) <= near(one, b) + near(other, a);
        return if straight {
            pair(a, b)
        } else {
            [vec![from(other, a)], vec![from(one, b)]]
        };
    }
    let of = |at: Point| match said.other_apex {
        None => Path::line(at, said.apex).into_iter().collect(),
        Some(other) => {
            let both = [Path::line(said.apex, at), Path::line(at, other)];
            both.into_iter().flatten().collect()
        }
    };
    [of(said.mouth.0), of(said.mouth.1)]
}

fn lengths(legs: &[Vec<Path>; 2]) -> (f64, f64) {
    let of = |leg: &[Path]| leg.iter().filter_map(|path| path.length().ok()).sum();
    let [one, other] = legs;
    (of(one), of(other))
}

fn legs_differ(spec: &PieceSpec, said: &DartSpec, (one, other): (f64, f64)) -> Option<Fault> {
    if (one - other).abs() <= LEGS {
        return None;
    }
    let piece = voice::name(&spec.name);
    let message = say!(
        "piece {}: the legs of a dart are {} and {}",
        piece,
        figure::length(one),
        figure::length(other)
    );
    let fault = Fault::error(Code::DartDiffers, said.tag, message)
        .at(say!(
            "one leg is {} longer",
            figure::difference(one - other)
        ))
        .note(say!(
            "Wanted: both the same length, within {}",
            figure::difference(LEGS)
        ))
        .help("Set both ends of the mouth off from the apex by one length, as a swing does, or move the apex square to the middle of the mouth.")
        .on_piece(&spec.name)
        .print(say!(
            "Dart: legs differ, {} against {}",
            figure::length(one),
            figure::length(other)
        ));
    Some(fault)
}

/// A leg is looked at in so many places.
const LOOKED_AT: u32 = 8;
/// A dart whose point lies on the sewing line is inside it, in millimetres.
const ON_LINE: f64 = 0.5;

/// Tells each dart that runs off its piece: it cannot be sewn, and what it takes up is not known.
pub(crate) fn check_inside(pieces: &[Piece], faults: &mut Vec<Fault>) {
    for piece in pieces {
        let Some(sewing) = &piece.sewing else {
            continue;
        };
        let outline = BezPath::from_path_segments(sewing.segs().iter().copied());
        let off = |p: Point| {
            let off = sewing.nearest(p).distance;
            (off > ON_LINE && outline.winding(p) == 0).then_some(off)
        };
        for dart in &piece.darts {
            let apexes = || std::iter::once(dart.apex).chain(dart.other_apex);
            let legs = apexes().flat_map(|apex| {
                let mouth = [dart.mouth.0, dart.mouth.1].into_iter();
                mouth.flat_map(move |end| {
                    let at = move |n: u32| apex.lerp(end, f64::from(n) / f64::from(LOOKED_AT));
                    (1..LOOKED_AT).map(at)
                })
            });
            let farthest =
                |all: &mut dyn Iterator<Item = Point>| all.filter_map(off).max_by(f64::total_cmp);
            let name = voice::name(&piece.name);
            let message = if let Some(off) = farthest(&mut apexes()) {
                say!(
                    "piece {}: a dart runs off the piece: its point lies {} outside the sewing line",
                    name,
                    figure::spoken(off)
                )
            } else if let Some(off) = farthest(&mut legs.chain([dart.mouth.0, dart.mouth.1])) {
                say!(
                    "piece {}: a dart runs off the piece: a leg lies up to {} outside the sewing line",
                    name,
                    figure::spoken(off)
                )
            } else {
                continue;
            };
            let fault = Fault::error(Code::DartOffPiece, dart.tag, message)
                .at("said here")
                .help("Move its point, or make the dart shorter, so that it lies inside the sewing line; one that is to open in an edge has its mouth between two edges of the outline.")
                .on_piece(&piece.name)
                .print(say!("Dart: runs off the piece"));
            faults.push(fault);
        }
    }
}

/// A dart that lies whole inside the piece.
fn inside(said: &DartSpec, legs: &[Vec<Path>; 2]) -> Dart {
    let middle = said.mouth.0.midpoint(said.mouth.1);
    let ends = || std::iter::once(said.apex).chain(said.other_apex);
    Dart {
        tag: said.tag,
        mouth: said.mouth,
        apex: said.apex,
        other_apex: said.other_apex,
        legs: lengths(legs),
        pressed: String::new(),
        pressed_said: said.pressed.is_some(),
        drills: drills(said, ends(), middle),
        sewn: said.sewn,
    }
}

fn drills(said: &DartSpec, ends: impl Iterator<Item = Point>, middle: Point) -> Vec<Point> {
    let Some(inside) = said.drill else {
        return Vec::new();
    };
    ends.map(|end| end + (middle - end).normalize() * inside)
        .collect()
}

/// A dart that opens in the outline: the edge that closes its mouth is added to `made`, behind the edge it follows.
fn mouth(
    spec: &PieceSpec,
    said: &DartSpec,
    legs: &[Vec<Path>; 2],
    number: usize,
    made: &mut Vec<(usize, EdgeSpec)>,
    faults: &mut Vec<Fault>,
) -> Option<Dart> {
    let Some((at, turned)) = place(spec, said) else {
        faults.push(no_mouth(spec, said));
        return None;
    };
    let next = (at + 1) % spec.edges.len();
    let (before, after) = (spec.edges.get(at)?, spec.edges.get(next)?);
    let (a, b) = if turned {
        (said.mouth.1, said.mouth.0)
    } else {
        said.mouth
    };
    let [one, other] = legs;
    let (leg_a, leg_b) = if turned { (other, one) } else { (one, other) };
    let into = |leg: &[Path], from: Point| {
        let way = leg.first().map_or(said.apex - from, Path::start_tangent);
        way.normalize()
    };
    let (u, v) = (into(leg_a, a), into(leg_b, b));
    let axis = Axis {
        middle: a.midpoint(b),
        along: (u + v).normalize(),
    };
    let toward_a = match said.pressed {
        Some(p) => axis.is_on_side_of(p, a),
        None => axis.is_on_side_of(usual(spec, &axis), a),
    };
    let from_a = before.path.from_end_near(a).ok()?;
    let from_b = after.path.from_end_near(b).ok()?;
    let mouth = if toward_a {
        let half = axis.half(&from_a, a, u)?;
        joined(&half, &axis.mirrored(&half)?, b)?
    } else {
        let half = axis.half(&from_b, b, v)?;
        joined(&half, &axis.mirrored(&half)?, a)?.reversed()
    };
    let beside = if toward_a { before } else { after };
    made.push((
        at,
        EdgeSpec {
            tag: said.tag,
            name: mouth_name(spec, number),
            line: String::new(),
            path: mouth,
            allowance: None,
            finish: None,
            mouth: Some(number),
        },
    ));
    Some(Dart {
        tag: said.tag,
        mouth: (a, b),
        apex: said.apex,
        other_apex: None,
        legs: lengths(legs),
        pressed: beside.name.clone(),
        pressed_said: said.pressed.is_some(),
        drills: drills(said, std::iter::once(said.apex), axis.middle),
        sewn: said.sewn,
    })
}

/// `dart`, or `dart_2` of several.
fn mouth_name(spec: &PieceSpec, number: usize) -> String {
    if spec.darts.len() > 1 {
        format!("dart_{}", number + 1)
    } else {
        "dart".to_owned()
    }
}

/// The edge before the mouth in the outline as declared, and whether the mouth was named the other way round.
fn place(spec: &PieceSpec, said: &DartSpec) -> Option<(usize, bool)> {
    let ends = |edge: &EdgeSpec| [edge.path.start().ok(), edge.path.end().ok()];
    let at = |edge: &EdgeSpec, p: Point| {
        let near = |end: Point| (end - p).hypot() <= super::seam::SAME_PLACE;
        ends(edge).into_iter().flatten().any(near)
    };
    let next = spec.edges.iter().cycle().skip(1);
    let (a, b) = said.mouth;
    let mut pairs = spec.edges.iter().zip(next).enumerate();
    pairs.find_map(|(index, (before, after))| {
        if at(before, a) && at(after, b) {
            Some((index, false))
        } else if at(before, b) && at(after, a) {
            Some((index, true))
        } else {
            None
        }
    })
}

fn no_mouth(spec: &PieceSpec, said: &DartSpec) -> Fault {
    let piece = voice::name(&spec.name);
    let message = format!("piece {piece}: a dart opens where the outline has no gap for it");
    let mut fault = Fault::error(Code::DartDiffers, said.tag, message)
        .at("no mouth here")
        .on_piece(&spec.name);
    for (end, which) in [(said.mouth.0, "first"), (said.mouth.1, "second")] {
        let far = spec.edges.iter().filter_map(|edge| {
            let ends = [edge.path.start().ok()?, edge.path.end().ok()?];
            let near = ends.iter().map(|at| (*at - end).hypot());
            Some((near.fold(f64::INFINITY, f64::min), &edge.name))
        });
        if let Some((far, edge)) = far.min_by(|a, b| a.0.total_cmp(&b.0)) {
            fault = fault.note(say!(
                "The {} end of its mouth lies {} from an end of {}.",
                which,
                figure::length(far),
                voice::name(edge)
            ));
        }
    }
    fault.help("Name the ends of the two edges beside the mouth, which follow each other in the outline; a dart inside the piece has two points: `dart A to B at T, U`")
}

/// Where a dart is pressed that says nothing: an upright one toward the centre, one that lies level down.
fn usual(spec: &PieceSpec, axis: &Axis) -> Point {
    if axis.along.x.abs() > axis.along.y.abs() {
        return axis.middle - Vec2::new(0.0, 1e4);
    }
    let fold = spec.cut.fold_edge.and_then(|at| spec.edges.get(at));
    let centre = fold.or_else(|| {
        let grain = spec.grain.as_ref()?.start_tangent();
        let upright = spec.edges.iter().filter(|edge| {
            let way = edge.path.start_tangent();
            let off = way.cross(grain).abs().atan2(way.dot(grain).abs());
            edge.path.is_straight() && off.to_degrees() < ALONG_GRAIN
        });
        let length = |edge: &EdgeSpec| edge.path.length().unwrap_or(0.0);
        upright.max_by(|a, b| length(a).total_cmp(&length(b)))
    });
    centre.map_or(axis.middle - Vec2::new(1e4, 0.0), |edge| {
        edge.path.nearest(axis.middle).point
    })
}

/// The line along which a dart folds: through the middle of its mouth, between its legs.
struct Axis {
    middle: Point,
    along: Vec2,
}

impl Axis {
    /// Whether two points lie on the same side of it.
    fn is_on_side_of(&self, p: Point, q: Point) -> bool {
        let side = |at: Point| self.along.cross(at - self.middle);
        side(p) * side(q) >= 0.0
    }

    fn line(&self) -> Option<Path> {
        Path::endless(self.middle, self.along).ok()
    }

    /// The half of the mouth beside an edge, from the mouth's end to the axis: the edge folded over the leg.
    fn half(&self, edge: &Path, at: Point, leg: Vec2) -> Option<Path> {
        let over = mirror(&Path::endless(at, leg).ok()?).ok()?;
        let folded = edge.transformed(over);
        let line = self.line()?;
        let reach = 4.0 * (self.middle - at).hypot() + 10.0;
        let long = folded.extended(End::End, reach).unwrap_or(folded);
        let found = meetings(&long, &line).crossings;
        let met = found.iter().find(|one| long.length_to(one.on_a) > MEETING);
        match met {
            Some(met) => long.part(long.start_location(), met.on_a).ok(),
            // An edge that runs along the leg gives no shape: the mouth is straight.
            None => Path::line(at, self.middle).ok(),
        }
    }

    fn mirrored(&self, half: &Path) -> Option<Path> {
        Some(half.transformed(mirror(&self.line()?).ok()?).reversed())
    }
}

/// Two halves of a mouth, carried to its far end where legs differ within their tolerance.
fn joined(near: &Path, far: &Path, end: Point) -> Option<Path> {
    let mut parts = vec![near.clone(), far.clone()];
    let last = far.end().ok()?;
    if (end - last).hypot() > MEETING {
        parts.push(Path::line(last, end).ok()?);
    }
    Path::joined(&parts).ok()
}

fn marks(said: &DartSpec, legs: &[Vec<Path>; 2], dart: &Dart, number: usize) -> Vec<MarkSpec> {
    let mark = |name: String, shape: Value, text: &str| MarkSpec {
        tag: said.tag,
        name,
        shape,
        text: text.to_owned(),
        of_list: false,
        side: None,
        button: None,
    };
    let mut made = Vec::new();
    for (leg, side) in legs.iter().zip(["a", "b"]) {
        let path = Path::joined(leg).ok();
        let sewn = path.and_then(|path| match said.sewn {
            Some(far) if path.length().is_ok_and(|length| far < length) => {
                path.part_between(0.0, far).ok()
            }
            _ => Some(path),
        });
        if let Some(path) = sewn {
            let name = format!("dart_{}_{side}", number + 1);
            made.push(mark(name, Value::Curve(path), "dart"));
        }
    }
    for (at, point) in dart.drills.iter().enumerate() {
        let name = format!("dart_{}_drill_{}", number + 1, at + 1);
        made.push(mark(name, Value::Point(*point), "drill"));
    }
    made
}

/// Darts of which one, pressed over, would lie in the mouth of another.
fn over_each_other(
    spec: &PieceSpec,
    darts: &[Dart],
    made: &[(usize, EdgeSpec)],
    faults: &mut Vec<Fault>,
) {
    let count = spec.edges.len();
    for (at, mouth) in made {
        let Some(dart) = mouth.mouth.and_then(|number| darts.get(number)) else {
            continue;
        };
        let next = (at + 1) % count.max(1);
        let (beside, beyond) = if spec.edges.get(*at).is_some_and(|e| e.name == dart.pressed) {
            (*at, (at + count - 1) % count.max(1))
        } else {
            (next, next)
        };
        let other = made
            .iter()
            .find(|(after, other)| *after == beyond && other.mouth != mouth.mouth);
        let Some((_, other)) = other else { continue };
        let Some(edge) = spec.edges.get(beside) else {
            continue;
        };
        let room = edge.path.length().unwrap_or(0.0);
        let half = dart.take() / 2.0;
        if half <= room {
            continue;
        }
        let message = say!(
            "piece {}: two darts lie over each other: pressed over, the first reaches {} along {}, which is {} long",
            voice::name(&spec.name),
            figure::length(half),
            voice::name(&edge.name),
            figure::length(room)
        );
        let fault = Fault::error(Code::DartsOverlap, mouth.tag, message)
            .see(other.tag, "the other dart")
            .help("Press it the other way, with `pressed toward POINT` in the dart, or set the darts farther apart.")
            .on_piece(&spec.name);
        faults.push(fault);
    }
}

/// The mouths of a piece's darts are as wide in their allowance as the edge they are pressed onto.
pub(crate) fn widths(piece: &mut Piece) {
    let Piece { edges, darts, .. } = piece;
    let beside: Vec<Option<Option<Allowance>>> = edges
        .iter()
        .enumerate()
        .map(|(index, edge)| {
            let dart = darts.get(edge.mouth?)?;
            let count = edges.len();
            let [before, after] = [(index + count - 1) % count, (index + 1) % count];
            let mut near = [(before, 1.0), (after, 0.0)].into_iter();
            Some(near.find_map(|(at, share)| {
                let edge = edges.get(at).filter(|edge| edge.name == dart.pressed)?;
                Some(edge.allowance.as_ref()?.width.at(share).into())
            }))
        })
        .collect();
    for (edge, width) in edges.iter_mut().zip(beside) {
        if let Some(width) = width {
            edge.allowance = width;
        }
    }
}
