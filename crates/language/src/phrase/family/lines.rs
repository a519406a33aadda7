//! Straight lines, squared lines, parallels, and lines made longer or shorter.

use super::fault::{Say, endless, small};
use super::points::{meeting, square_foot};
use crate::kind::Kind;
use crate::phrase::aid::Aid;
use crate::phrase::call::{Call, Fault, tangent_near};
use crate::phrase::form::{Form, Takes, form};
use crate::phrase::value::{Bearing, Value};
use crate::report::Code;
use crate::syntax::tree::Link;
use crate::voice;
use kurbo::{Point, Vec2};
use oaktag_geometry::edit::End;
use oaktag_geometry::meet::meetings;
use oaktag_geometry::parallel::{Side, parallel_of, side_of, side_toward};
use oaktag_geometry::path::{Location, Path, PathFault};
use oaktag_geometry::seam::{SeamFault, orientations};
use oaktag_geometry::{LARGEST, MEETING};

const WAY: Takes = Takes::BEARING.or(Takes::POINT);
const STOP: Takes = Takes::PATH.or(Takes::POINT);

/// The rows of this family.
pub fn rows() -> Vec<Form> {
    vec![
        form("")
            .at(Link::From, Takes::POINT, "point", "one end")
            .at(Link::To, Takes::POINT, "point", "the other end")
            .gives(Kind::Line)
            .says("A straight line between two points.", "line side = from top to tip")
            .means(|c| Path::line_or_nothing(c.point(0)?, c.point(1)?).map(Value::from).map_err(|f| f.say(c).label(0, "").label(1, ""))),
        form("")
            .at(Link::From, Takes::POINT, "point", "through which point")
            .at(Link::Toward, WAY, "direction", "which way")
            .gives(Kind::Line)
            .says("An endless straight line through a point. It can be met, squared to and folded over; it has no length.", "line guide = from tip toward down")
            .means(endless_line),
        form("")
            .at(Link::From, Takes::POINT, "point", "one end")
            .at(Link::Toward, WAY, "direction", "which way")
            .at(Link::For, Takes::LENGTH, "length", "how long")
            .gives(Kind::Line)
            .says("A straight line of a stated length.", "line side = from tip toward down for 12cm")
            .means(line_for),
        form("")
            .at(Link::From, Takes::POINT, "point", "one end")
            .at(Link::Toward, WAY, "direction", "which way")
            .at(Link::Until, STOP, "stop", "a line to run to, or a point to stop level with")
            .gives(Kind::Line)
            .says("A straight line that runs until it meets another, or is level with a point.", "line side = from tip toward down until level")
            .means(line_until),
        form("square")
            .costs(5)
            .at(Link::To, Takes::PATH, "line", "to which line")
            .at(Link::At, Takes::POINT, "point", "through which point")
            .at(Link::Toward, WAY, "direction", "which side of the line")
            .optional()
            .gives(Kind::Line)
            .says("An endless line square to another, through a point.", "line across = square to centre at low")
            .means(square),
        form("square")
            .costs(5)
            .at(Link::To, Takes::PATH, "line", "to which line")
            .at(Link::At, Takes::POINT, "point", "from which point")
            .at(Link::Toward, WAY, "direction", "which side of the line")
            .at(Link::For, Takes::LENGTH, "length", "how long")
            .gives(Kind::Line)
            .says("A line squared off another for a length.", "line across = square to centre at low toward right for 8cm")
            .means(square_for),
        form("square")
            .costs(5)
            .at(Link::To, Takes::PATH, "line", "to which line")
            .at(Link::At, Takes::POINT, "point", "from which point")
            .at(Link::Toward, WAY, "direction", "which side; without it, the side on which it meets")
            .optional()
            .at(Link::Until, STOP, "stop", "a line to run to, or a point to stop level with")
            .gives(Kind::Line)
            .says("A line squared off another until it meets a third.", "line across = square to centre at low until plumb")
            .means(square_until),
        form("square")
            .costs(5)
            .at(Link::From, Takes::POINT, "point", "from which point")
            .at(Link::Onto, Takes::PATH, "line", "onto which line")
            .gives(Kind::Line)
            .says("The perpendicular from a point onto a line: it runs from the point to its foot.", "line drop = square from spot onto centre")
            .means(square_onto),
        form("parallel")
            .costs(50)
            .at(Link::To, Takes::PATH, "line", "to which line")
            .at(Link::By, Takes::LENGTH, "distance", "how far away")
            .at(Link::Toward, WAY, "side", "which side: a direction, a point, inside or outside")
            .gives_by(crate::phrase::Gives::SameAsFirst)
            .says("The line beside another at an even distance. A curve's parallel is not a scaled copy.", "curve wide = parallel to neck by 6mm toward spot")
            .means(parallel_by),
        form("parallel")
            .costs(50)
            .at(Link::To, Takes::LINE, "line", "to which straight line")
            .at(Link::At, Takes::POINT, "point", "through which point")
            .gives(Kind::Line)
            .says("An endless line through a point, parallel to another.", "line guide = parallel to centre at spot")
            .means(parallel_at),
        form("extend")
            .costs(5)
            .direct(Takes::PATH, "line", "which line")
            .at(Link::At, Takes::POINT, "end", "at which of its ends")
            .at(Link::By, Takes::LENGTH, "length", "by how much")
            .gives_by(crate::phrase::Gives::SameAsFirst)
            .says("A line made longer at one end; a curve goes on straight. Less than nothing makes it shorter.", "line longer = extend edge at tip by 3cm")
            .means(extend_by),
        form("extend")
            .costs(5)
            .direct(Takes::PATH, "line", "which line")
            .at(Link::At, Takes::POINT, "end", "at which of its ends")
            .at(Link::Until, Takes::PATH, "stop", "the line to run to")
            .gives_by(crate::phrase::Gives::SameAsFirst)
            .says("A line made longer at one end until it meets another.", "line longer = extend edge at tip until plumb")
            .means(extend_until),
        form("part")
            .costs(5)
            .at(Link::Of, Takes::PATH, "line", "which line")
            .at(Link::From, STOP, "place", "a point on it, or a line that crosses it")
            .at(Link::To, STOP, "place", "a point on it, or a line that crosses it")
            .gives_by(crate::phrase::Gives::SameAsFirst)
            .says("The part of a line between two places on it.", "curve piece_of_neck = part of neck from top to (1/2 along neck)")
            .means(part),
        form("part")
            .costs(5)
            .at(Link::Of, Takes::PATH, "line", "which line")
            .at(Link::From, STOP, "place", "where it is cut: a point on it, or a line that crosses it")
            .at(Link::Toward, Takes::POINT, "point", "which part is kept")
            .gives_by(crate::phrase::Gives::SameAsFirst)
            .says("A line trimmed: cut at a place, and the part toward a point kept.", "curve rest = part of neck from (1/2 along neck) toward tip")
            .means(part_toward),
        form("join")
            .direct(Takes::PATH, "lines", "lines that follow one another, turned as need be")
            .many()
            .gives(Kind::Curve)
            .says("Lines that share ends, made into one.", "curve whole = join neck, edge")
            .means(join),
        form("reverse")
            .tight(Takes::PATH, "line", "which line")
            .gives_by(crate::phrase::Gives::SameAsFirst)
            .says("The same line drawn the other way.", "curve back_to_front = reverse of neck")
            .means(|c| Ok(c.path_or_nothing(0)?.reversed().into())),
    ]
}

fn way(c: &Call, place: usize, at: Point) -> Result<Vec2, Fault> {
    c.direction(place, at, None)
}

fn endless_line(c: &mut Call) -> Result<Value, Fault> {
    let from = c.point(0)?;
    Path::endless(from, way(c, 1, from)?)
        .map(Value::from)
        .map_err(|f| f.say(c))
}

fn line_for(c: &mut Call) -> Result<Value, Fault> {
    let (from, length) = (c.point(0)?, c.figure(2)?);
    let way = way(c, 1, from)?;
    bounded(c, from, way * length)
}

fn bounded(c: &Call, from: Point, by: Vec2) -> Result<Value, Fault> {
    Path::line_or_nothing(from, from + by)
        .map(Value::from)
        .map_err(|f| f.say(c))
}

fn line_until(c: &mut Call) -> Result<Value, Fault> {
    let from = c.point(0)?;
    let way = way(c, 1, from)?;
    run_until(c, from, way, 2)
}

/// From a point in a direction until a path, or level with a point.
fn run_until(c: &Call, from: Point, way: Vec2, stop: usize) -> Result<Value, Fault> {
    let to = reach(c, from, way, stop)?;
    Path::line_or_nothing(from, to)
        .map(Value::from)
        .map_err(|f| f.say(c))
}

fn reach(c: &Call, from: Point, way: Vec2, stop: usize) -> Result<Point, Fault> {
    let found = match c.arg(stop) {
        Some(Value::Point(level)) => Ok((*level - from).dot(way)),
        Some(Value::Path(path)) => first_meeting(from, way, path),
        _ => Err(Reach::Never(f64::NAN)),
    };
    let stop_name = c.named(stop, "what it should run to");
    match found {
        Ok(distance) if distance >= -MEETING => Ok(from + way * distance),
        Ok(distance) | Err(Reach::Behind(distance)) => Err(Fault::new(
            Code::NeverMeet,
            format!(
                "{} lies the other way, {} behind.",
                voice::capital(&stop_name),
                c.length(distance.abs())
            ),
        )
        .help("Turn the direction round.")
        .label(stop, "")),
        Err(Reach::Never(gap)) => {
            let message = format!(
                "This way never reaches {stop_name}: it passes {} beyond its end.",
                small(c, gap)
            );
            Err(Fault::new(Code::NeverMeet, message)
                .help("Draw that line longer, or endless.")
                .label(stop, "ends too soon"))
        }
    }
}

/// Why a straight way reaches no line.
pub enum Reach {
    /// It lies so far behind.
    Behind(f64),
    /// It passes the line's end by so much.
    Never(f64),
}

/// How far it is from a point in a direction to a path.
///
/// # Errors
/// When the path lies behind, or is passed.
pub fn first_meeting(from: Point, way: Vec2, path: &Path) -> Result<f64, Reach> {
    let Ok(ray) = Path::endless(from, way) else {
        return Err(Reach::Never(0.0));
    };
    let found = meetings(&ray, path);
    let distances = found.crossings.iter().map(|m| (m.point - from).dot(way));
    let ahead = distances
        .clone()
        .filter(|d| *d >= -MEETING)
        .min_by(f64::total_cmp);
    if let Some(distance) = ahead {
        return Ok(distance.max(0.0));
    }
    if let Some(overlap) = found.overlaps.first() {
        return Ok((overlap.from - from).dot(way).max(0.0));
    }
    match distances.max_by(f64::total_cmp) {
        Some(distance) => Err(Reach::Behind(-distance)),
        None => Err(Reach::Never(
            oaktag_geometry::meet::closest_approach(&ray, path).gap,
        )),
    }
}

/// The normal of a line at its place nearest to a point, on the side of a bearing where one is given.
fn normal(c: &Call, line: usize, at: Point, side: Option<usize>) -> Result<Vec2, Fault> {
    let path = c.path(line)?;
    let tangent = tangent_near(&path, at);
    let normal = Vec2::new(-tangent.y, tangent.x);
    let Some(side) = side.filter(|side| c.has(*side)) else {
        return Ok(normal);
    };
    let way = c.direction(side, at, None)?;
    if normal.dot(way).abs() < 1f64.to_radians().sin() {
        let message = "This direction runs along the line, so it does not tell a side of it.";
        return Err(Fault::new(Code::WhichSense, message).label(side, "along the line"));
    }
    Ok(if normal.dot(way) < 0.0 {
        -normal
    } else {
        normal
    })
}

fn mark_square(c: &mut Call, line: usize, at: Point, up: Vec2) {
    if let Ok(path) = c.path(line) {
        c.leave(Aid::Square {
            at,
            along: tangent_near(&path, at),
            up,
        });
    }
}

fn square(c: &mut Call) -> Result<Value, Fault> {
    let at = c.point(1)?;
    let normal = normal(c, 0, at, Some(2))?;
    mark_square(c, 0, at, normal);
    Path::endless(at, normal)
        .map(Value::from)
        .map_err(|f| f.say(c))
}

fn square_for(c: &mut Call) -> Result<Value, Fault> {
    let (at, length) = (c.point(1)?, c.figure(3)?);
    let normal = normal(c, 0, at, Some(2))?;
    mark_square(c, 0, at, normal);
    bounded(c, at, normal * length)
}

fn square_until(c: &mut Call) -> Result<Value, Fault> {
    let at = c.point(1)?;
    let mut normal = normal(c, 0, at, Some(2))?;
    if !c.has(2) {
        // Without a side it goes to where the other line is.
        let ahead = reach(c, at, normal, 3);
        normal = if ahead.is_ok() { normal } else { -normal };
        if ahead.is_err() && reach(c, at, normal, 3).is_err() {
            return Err(ahead.err().unwrap_or_else(|| {
                Fault::new(Code::NeverMeet, "The squared line meets nothing.")
            }));
        }
    }
    mark_square(c, 0, at, normal);
    run_until(c, at, normal, 3)
}

fn square_onto(c: &mut Call) -> Result<Value, Fault> {
    let (from, foot) = square_foot(c)?;
    Path::line_or_nothing(from, foot)
        .map(Value::from)
        .map_err(|f| f.say(c))
}

fn parallel_by(c: &mut Call) -> Result<Value, Fault> {
    let (path, distance) = (c.path(0)?, c.figure(1)?);
    let side = match c.bearing(2)? {
        Bearing::At(point) => side_of(&path, point),
        Bearing::AwayFrom(point) => side_of(&path, point).map(|side| {
            if side == Side::Left {
                Side::Right
            } else {
                Side::Left
            }
        }),
        _ => {
            let middle = middle(&path);
            side_toward(&path, c.direction(2, middle, None)?)
        }
    };
    let side = side.map_err(|f| f.say(c).label(2, "which side?"))?;
    let signed = if side == Side::Left {
        distance
    } else {
        -distance
    };
    let (made, pairs) = parallel_of(&path, signed);
    c.more_work += pairs;
    made.map(Value::from).map_err(|f| f.say(c).label(0, ""))
}

fn middle(path: &Path) -> Point {
    match path.endless_line() {
        Some((through, _)) => through,
        None => path
            .length()
            .and_then(|l| path.point_at(l / 2.0))
            .unwrap_or_default(),
    }
}

fn parallel_at(c: &mut Call) -> Result<Value, Fault> {
    let (path, at) = (c.path(0)?, c.point(1)?);
    let Some(direction) = path.direction_of_straight() else {
        return Err(Fault::new(
            Code::CannotBeDrawn,
            "Only a straight line has a parallel through a point; this one is curved.",
        )
        .label(0, "curved"));
    };
    Path::endless(at, direction)
        .map(Value::from)
        .map_err(|f| f.say(c))
}

fn end_at(c: &Call, place: usize) -> Result<(std::sync::Arc<Path>, End), Fault> {
    let (path, at) = (c.path(0)?, c.point(place)?);
    let end = path
        .end_near(at)
        .map_err(|f| f.say(c).label(0, "endless"))?;
    Ok((path, end))
}

fn extend_by(c: &mut Call) -> Result<Value, Fault> {
    let (path, end) = end_at(c, 1)?;
    path.extended(end, c.figure(2)?)
        .map(Value::from)
        .map_err(|f| match f {
            PathFault::PastTheEnd { wanted, length } => {
                let message = format!(
                    "{} were to be taken off {}, and it is {} long.",
                    c.length(wanted),
                    c.named(0, "the line"),
                    c.length(length)
                );
                Fault::new(Code::PastTheEnd, message).label(2, "shorter by more than there is")
            }
            f => f.say(c),
        })
}

fn extend_until(c: &mut Call) -> Result<Value, Fault> {
    let (path, end) = end_at(c, 1)?;
    let (from, way) = match end {
        End::Start => (path.start().map_err(|f| f.say(c))?, -path.start_tangent()),
        End::End => (path.end().map_err(|f| f.say(c))?, path.end_tangent()),
    };
    let to = reach(c, from, way, 2)?;
    let by = (to - from).hypot();
    if by <= MEETING {
        return Ok(Value::Path(path));
    }
    path.extended(end, by.min(LARGEST))
        .map(Value::from)
        .map_err(|f| f.say(c))
}

/// A place on a line: a point on it, or where another line crosses it.
fn place_on(c: &Call, line: usize, place: usize, near: Option<Point>) -> Result<Location, Fault> {
    let path = c.path(line)?;
    match c.arg(place) {
        Some(Value::Point(point)) => {
            let near = path.nearest(*point);
            if near.distance > MEETING * 10.0 {
                let message = format!(
                    "This point does not lie on {}: it is {} away.",
                    c.named(line, "the line"),
                    c.length(near.distance)
                );
                let help = "Take the point where they meet, or `nearest to` it.";
                return Err(Fault::new(Code::CannotBeDrawn, message)
                    .help(help)
                    .label(place, "not on the line"));
            }
            Ok(near.location)
        }
        _ => meeting(c, line, place, near).map(|meeting| meeting.on_a),
    }
}

fn part(c: &mut Call) -> Result<Value, Fault> {
    let path = c.path(0)?;
    let (from, to) = (place_on(c, 0, 1, None)?, place_on(c, 0, 2, None)?);
    if path.is_endless() {
        return Path::line_or_nothing(path.point(from), path.point(to))
            .map(Value::from)
            .map_err(|f| f.say(c).label(1, "").label(2, ""));
    }
    what_is_left(path.part(from, to))
        .map(Value::from)
        .map_err(|f| f.say(c).label(1, "").label(2, ""))
}

fn part_toward(c: &mut Call) -> Result<Value, Fault> {
    let (path, toward) = (c.path(0)?, c.point(2)?);
    if path.is_endless() {
        return Err(endless("A line without ends has no part toward a point.").label(0, "endless"));
    }
    let cut = place_on(c, 0, 1, Some(toward))?;
    let kept = path.nearest(toward).location;
    let result = if kept < cut {
        path.part(path.start_location(), cut)
    } else {
        path.part(cut, path.end_location())
    };
    what_is_left(result)
        .map(Value::from)
        .map_err(|f| f.say(c).label(1, ""))
}

/// A part of which nothing is left is a line of no length.
fn what_is_left(part: Result<Path, PathFault>) -> Result<Path, PathFault> {
    match part {
        Err(PathFault::NothingLeft { at }) => Ok(Path::nothing(at)),
        other => other,
    }
}

fn join(c: &mut Call) -> Result<Value, Fault> {
    let paths: Vec<Path> = c.paths(0)?.iter().map(|path| Path::clone(path)).collect();
    joined(c, &paths).map(Value::from)
}

/// Lines that share ends, turned as need be, as one.
pub fn joined(c: &Call, paths: &[Path]) -> Result<Path, Fault> {
    if paths.iter().any(Path::is_endless) {
        return Err(endless("A line without ends cannot be joined to another.").label(0, ""));
    }
    let turned = orientations(paths, MEETING).map_err(|fault| match fault {
        SeamFault::Empty => Fault::new(Code::CannotBeDrawn, "No line is named to be joined."),
        SeamFault::Gap { gap, .. } => Fault::new(
            Code::CannotBeDrawn,
            format!(
                "These lines do not follow one another: a gap of {} is left.",
                c.length(gap)
            ),
        )
        .help("Name them in order, each beginning where the last one ends.")
        .label(0, ""),
        SeamFault::Path(fault) => fault.say(c).label(0, ""),
    })?;
    let in_order: Vec<Path> = paths
        .iter()
        .zip(turned)
        .map(|(path, turned)| {
            if turned {
                path.reversed()
            } else {
                path.clone()
            }
        })
        .collect();
    Path::joined(&in_order).map_err(|f| f.say(c))
}
