//! Straight lines, squared lines, and lines made longer or shorter.

use super::fault::endless;
use super::points::{meeting, square_foot};
use crate::kind::Kind;
use crate::phrase::aid::Aid;
use crate::phrase::argument::{Arg, Dot, Length, Line, LineOrDot, LineOrNothing, Lines, Way};
use crate::phrase::call::{Call, Fault, tangent_near};
use crate::phrase::form::{Form, Takes, form};
use crate::phrase::value::Value;
use crate::phrase::wording::ByHand;
use crate::report::Code;
use crate::say;
use crate::syntax::tree::Link;
use crate::voice::{self, figure};
use kurbo::{Point, Vec2};
use oaktag_geometry::edit::End;
use oaktag_geometry::meet::meetings;
use oaktag_geometry::path::{Location, Path, PathFault};
use oaktag_geometry::seam::{SeamFault, orientations};
use oaktag_geometry::{LARGEST, MEETING};
use std::sync::Arc;

const WAY: Takes = Takes::BEARING.or(Takes::POINT);
const STOP: Takes = Takes::PATH.or(Takes::POINT);

/// The rows of this family.
pub(super) fn rows() -> Vec<Form> {
    vec![
        form("")
            .at(Link::From, Takes::POINT, "point", "one end")
            .at(Link::To, Takes::POINT, "point", "the other end")
            .gives(Kind::Line)
            .says("A straight line between two points.", "line side = from top to tip")
            .guessed(&["line from POINT to OTHER", "a line from POINT to OTHER", "straight from POINT to OTHER", "straight line from POINT to OTHER", "rule from POINT to OTHER", "line POINT to OTHER", "line between POINT and OTHER", "POINT to OTHER", "connect POINT to OTHER", "connect POINT and OTHER", "connect POINT with OTHER", "join POINT to OTHER", "join POINT and OTHER", "through POINT and OTHER", "between POINT and OTHER", "from POINT until OTHER", "line POINT OTHER"], "from POINT to OTHER")
            .drawn("straight line from {from} to {to}")
            .means(between),
        form("")
            .at(Link::From, Takes::POINT, "point", "through which point")
            .at(Link::Toward, WAY, "direction", "which way")
            .gives(Kind::Line)
            .says("An endless straight line through a point. It can be met, squared to and folded over; it has no length.", "line guide = from tip toward down")
            .guessed(&["line DIRECTION from POINT", "DIRECTION from POINT", "line from POINT toward DIRECTION", "from POINT DIRECTION", "square DIRECTION from POINT"], "from POINT toward DIRECTION")
            .guessed(&["vertical through POINT", "vertical from POINT", "vertical at POINT", "plumb from POINT", "plumb through POINT", "upright through POINT"], "from POINT toward down")
            .guessed(&["horizontal through POINT", "horizontal from POINT", "horizontal at POINT", "level from POINT", "level through POINT", "level at POINT"], "from POINT toward right")
            .drawn("guide line from {from} {toward}")
            .means(endless_line),
        form("")
            .at(Link::From, Takes::POINT, "point", "one end")
            .at(Link::Toward, WAY, "direction", "which way")
            .at(Link::For, Takes::LENGTH, "length", "how long")
            .gives(Kind::Line)
            .says("A straight line of a stated length.", "line side = from tip toward down for 12cm")
            .guessed(&["from POINT DIRECTION LENGTH", "from POINT DIRECTION for LENGTH", "from POINT DIRECTION by LENGTH", "from POINT LENGTH DIRECTION", "LENGTH DIRECTION from POINT", "LENGTH from POINT toward DIRECTION", "line DIRECTION from POINT for LENGTH", "line from POINT DIRECTION LENGTH", "line from POINT DIRECTION for LENGTH", "line LENGTH DIRECTION from POINT", "from POINT to ( POINT DIRECTION ) for LENGTH", "from POINT toward DIRECTION LENGTH", "from POINT toward DIRECTION by LENGTH", "square DIRECTION from POINT for LENGTH"], "from POINT toward DIRECTION for LENGTH")
            .drawn("straight line from {from} {toward}, {for} long")
            .means(line_for),
        form("")
            .at(Link::From, Takes::POINT, "point", "one end")
            .at(Link::Toward, WAY, "direction", "which way")
            .at(Link::Until, Takes::PATH, "stop", "the line to run to")
            .gives(Kind::Line)
            .says("A straight line that runs until it meets another.", "line side = from tip toward down until level")
            .guessed(&["from POINT DIRECTION to LINE", "from POINT DIRECTION until LINE", "from POINT toward DIRECTION to LINE", "line DIRECTION from POINT to LINE", "line DIRECTION from POINT until LINE", "DIRECTION from POINT to LINE", "DIRECTION from POINT until LINE", "square DIRECTION from POINT to LINE", "square DIRECTION from POINT until LINE", "from POINT until LINE toward DIRECTION", "line from POINT DIRECTION to LINE", "line from POINT DIRECTION until LINE"], "from POINT toward DIRECTION until LINE")
            .drawn("straight line from {from} {toward} until it meets {until}")
            .means(line_until),
        form("")
            .at(Link::From, Takes::POINT, "point", "one end")
            .at(Link::Toward, WAY, "direction", "which way")
            .at(Link::LevelOf, Takes::POINT, "point", "where it stops: square across from this point")
            .gives(Kind::Line)
            .says("A straight line that runs until it is level with a point: until the point lies square to its side.", "line side = from tip toward down to level of low")
            .drawn("straight line from {from} {toward} until it is level with {to level of}")
            .means(line_until),
        form("square")
            .also(&["perpendicular"])
            .costs(5)
            .at(Link::To, Takes::PATH, "line", "to which line")
            .at(Link::At, Takes::POINT, "point", "through which point")
            .at(Link::Toward, WAY, "direction", "which side of the line")
            .optional()
            .gives(Kind::Line)
            .says("An endless line square to another, through a point.", "line across = square to centre at low")
            .guessed(&["perpendicular to LINE at POINT", "square from LINE at POINT", "square off LINE at POINT", "square of LINE at POINT", "square LINE at POINT", "square on LINE at POINT", "at right angles to LINE at POINT", "square to LINE on POINT", "normal to LINE at POINT"], "square to LINE at POINT")
            .guessed(&["square DIRECTION from LINE at POINT", "square DIRECTION off LINE at POINT", "square from LINE at POINT DIRECTION", "square to LINE at POINT DIRECTION"], "square to LINE at POINT toward DIRECTION")
            .thing("the square to {to} at {at}[ {toward}]")
            .act("at {at}, square out from {to}[ {toward}]")
            .means(square),
        form("square")
            .costs(5)
            .at(Link::To, Takes::PATH, "line", "to which line")
            .at(Link::At, Takes::POINT, "point", "from which point")
            .at(Link::Toward, WAY, "direction", "which side of the line")
            .at(Link::For, Takes::LENGTH, "length", "how long")
            .gives(Kind::Line)
            .says("A line squared off another for a length.", "line across = square to centre at low toward right for 8cm")
            .thing("the square to {to} at {at} {toward}, {for} long")
            .act("at {at}, square out from {to} {toward}, {for} long")
            .means(square_for),
        form("square")
            .costs(5)
            .at(Link::To, Takes::PATH, "line", "to which line")
            .at(Link::At, Takes::POINT, "point", "from which point")
            .at(Link::Toward, WAY, "direction", "which side; without it, the side on which it meets")
            .optional()
            .at(Link::Until, Takes::PATH, "stop", "the line to run to")
            .gives(Kind::Line)
            .says("A line squared off another until it meets a third.", "line across = square to centre at low until plumb")
            .thing("the square to {to} at {at}[ {toward}] until {until}")
            .act("at {at}, square out from {to}[ {toward}] until {until}")
            .means(square_until),
        form("square")
            .costs(5)
            .at(Link::To, Takes::PATH, "line", "to which line")
            .at(Link::At, Takes::POINT, "point", "from which point")
            .at(Link::Toward, WAY, "direction", "which side; without it, the side of the point it stops level with")
            .optional()
            .at(Link::LevelOf, Takes::POINT, "point", "where it stops: square across from this point")
            .gives(Kind::Line)
            .says("A line squared off another until it is level with a point.", "line across = square to centre at low to level of tip")
            .thing("the square to {to} at {at}[ {toward}] to the level of {to level of}")
            .act("at {at}, square out from {to}[ {toward}] until level with {to level of}")
            .means(square_until),
        form("square")
            .costs(5)
            .at(Link::To, Takes::PATH, "line", "to which line")
            .at(Link::Through, Takes::POINT, "point", "the point it runs to")
            .gives(Kind::Line)
            .says("A line squared off another through a point: it runs from its foot on that line to the point.", "line drop = square to centre through spot")
            .guessed(&["square to LINE from POINT", "square from POINT to LINE", "square from POINT on LINE", "perpendicular to LINE through POINT", "perpendicular to LINE from POINT", "perpendicular from POINT to LINE", "perpendicular from POINT onto LINE", "square LINE through POINT", "square from LINE to POINT", "square from POINT onto LINE"], "square to LINE through POINT")
            .thing("the square to {to} through {through}")
            .act("square out from {to} to {through}")
            .means(square_through),
        form("square")
            .costs(5)
            .at(Link::To, Takes::PATH, "line", "to which line")
            .at(Link::Through, Takes::POINT, "point", "a point it runs through")
            .at(Link::For, Takes::LENGTH, "length", "how long, counted from its foot")
            .gives(Kind::Line)
            .says("A line squared off another through a point, for a length from its foot.", "line drop = square to centre through spot for 10cm")
            .thing("the square to {to} through {through}, {for} long")
            .act("square out from {to} through {through}, {for} long")
            .means(square_through_for),
        form("square")
            .costs(5)
            .at(Link::To, Takes::PATH, "line", "to which line")
            .at(Link::Through, Takes::POINT, "point", "a point it runs through")
            .at(Link::Until, Takes::PATH, "stop", "the line to run on to")
            .gives(Kind::Line)
            .says("A line squared off another through a point and on until it meets a third.", "line drop = square to centre through spot until plumb")
            .guessed(&["square from LINE through POINT until STOP", "square to LINE from POINT until STOP", "perpendicular to LINE through POINT until STOP"], "square to LINE through POINT until STOP")
            .thing("the square to {to} through {through} until {until}")
            .act("square out from {to} through {through} until {until}")
            .means(square_through_until),
        form("extend")
            .also(&["lengthen"])
            .costs(5)
            .direct(Takes::PATH, "line", "which line")
            .at(Link::At, Takes::POINT, "end", "at which of its ends")
            .at(Link::By, Takes::LENGTH, "length", "by how much")
            .gives_by(crate::phrase::Gives::SameAsFirst)
            .says("A line made longer at one end; a curve goes on straight. A negative length makes it shorter.", "line longer = extend edge at tip by 3cm")
            .guessed(&["extend LINE LENGTH", "lengthen LINE by LENGTH", "LINE longer by LENGTH", "LINE longer LENGTH", "LINE extended by LENGTH", "make LINE longer by LENGTH", "continue LINE by LENGTH", "LINE LENGTH longer", "LINE plus LENGTH"], "extend LINE by LENGTH")
            .guessed(&["extend LINE at POINT LENGTH", "extend LINE by LENGTH at POINT", "extend LINE from POINT by LENGTH"], "extend LINE at POINT by LENGTH")
            .guessed(&["shorten LINE by LENGTH", "LINE shorter by LENGTH", "LINE LENGTH shorter", "LINE shortened by LENGTH"], "extend LINE by -LENGTH")
            .act("lengthen {line} at {at} by {by}")
            .means(extend_by),
        form("extend")
            .costs(5)
            .direct(Takes::PATH, "line", "which line")
            .at(Link::By, Takes::LENGTH, "length", "by how much")
            .gives_by(crate::phrase::Gives::SameAsFirst)
            .says("A line made longer at its end, as it was drawn.", "line longer = extend edge by 3cm")
            .act("lengthen {line} at its end by {by}")
            .means(extend_end_by),
        form("extend")
            .costs(5)
            .direct(Takes::PATH, "line", "which line")
            .at(Link::Until, Takes::PATH, "stop", "the line to run to")
            .gives_by(crate::phrase::Gives::SameAsFirst)
            .says("A line made longer at its end, as it was drawn, until it meets another.", "line longer = extend edge until plumb")
            .act("lengthen {line} at its end until {until}")
            .means(extend_end_until),
        form("extend")
            .costs(5)
            .direct(Takes::PATH, "line", "which line")
            .at(Link::At, Takes::POINT, "end", "at which of its ends")
            .at(Link::Until, Takes::PATH, "stop", "the line to run to")
            .gives_by(crate::phrase::Gives::SameAsFirst)
            .says("A line made longer at one end until it meets another.", "line longer = extend edge at tip until plumb")
            .guessed(&["extend LINE to STOP", "lengthen LINE to STOP", "lengthen LINE until STOP", "continue LINE to STOP", "continue LINE until STOP", "extend LINE onto STOP"], "extend LINE until STOP")
            .act("lengthen {line} at {at} until {until}")
            .means(extend_until),
        form("part")
            .costs(5)
            .at(Link::Of, Takes::PATH, "line", "which line")
            .at(Link::From, STOP, "place", "a point on it, or a line that crosses it")
            .at(Link::To, STOP, "place", "a point on it, or a line that crosses it")
            .gives_by(crate::phrase::Gives::SameAsFirst)
            .says("The part of a line between two places on it.", "curve piece_of_neck = part of neck from top to (1/2 of the way along neck)")
            .guessed(&["LINE from POINT to OTHER", "segment of LINE from POINT to OTHER", "piece of LINE from POINT to OTHER", "part of LINE between POINT and OTHER", "LINE between POINT and OTHER"], "part of LINE from POINT to OTHER")
            .thing("the part of {of} from {from} to {to}")
            .act("take the part of {of} from {from} to {to}")
            .means(part),
        form("part")
            .costs(5)
            .at(Link::Of, Takes::PATH, "line", "which line")
            .at(Link::From, STOP, "place", "where it is cut: a point on it, or a line that crosses it")
            .at(Link::Toward, Takes::POINT, "point", "which part is kept")
            .gives_by(crate::phrase::Gives::SameAsFirst)
            .says("A line trimmed: cut at a place, and the part toward a point kept.", "curve rest = part of neck from (1/2 of the way along neck) toward tip")
            .thing("the part of {of} from {from} toward {toward}")
            .act("take the part of {of} from {from} toward {toward}")
            .means(part_toward),
        form("join")
            .also(&["connect"])
            .direct(Takes::PATH, "lines", "lines that follow one another, turned as need be")
            .many()
            .gives(Kind::Curve)
            .says("Lines that share ends, made into one.", "curve whole = join neck, edge")
            .guessed(&["LINE and OTHER", "join LINE and OTHER", "join LINE to OTHER", "join LINE with OTHER", "connect LINE and OTHER", "connect LINE to OTHER", "LINE then OTHER", "LINE + OTHER"], "join LINE, OTHER")
            .thing("{lines} joined")
            .act("join {lines:end to end}")
            .by_hand(ByHand::PlacesOfParts)
            .means(join),
        form("reverse")
            .tight(Takes::PATH, "line", "which line")
            .gives_by(crate::phrase::Gives::SameAsFirst)
            .says("The same line drawn the other way.", "curve back_to_front = reverse of neck")
            .guessed(&["LINE reversed", "reversed LINE", "reverse LINE"], "reverse of LINE")
            .means(|line: Arg<LineOrNothing>| Ok(line.reversed().into())),
    ]
}

fn between(from: Arg<Dot>, to: Arg<Dot>) -> Result<Value, Fault> {
    Path::line_or_nothing(*from, *to)
        .map(Value::from)
        .map_err(|f| Fault::from(f).label(&from, "").label(&to, ""))
}

fn endless_line(from: Arg<Dot>, toward: Arg<Way>) -> Result<Value, Fault> {
    Ok(Path::endless(*from, toward.settled(*from, None)?)?.into())
}

fn line_for(from: Arg<Dot>, toward: Arg<Way>, long: Arg<Length>) -> Result<Value, Fault> {
    bounded(*from, *from + toward.settled(*from, None)? * *long)
}

fn bounded(from: Point, to: Point) -> Result<Value, Fault> {
    Ok(Path::line_or_nothing(from, to)?.into())
}

fn line_until(
    c: &mut Call,
    from: Arg<Dot>,
    toward: Arg<Way>,
    until: Arg<LineOrDot>,
) -> Result<Value, Fault> {
    let way = toward.settled(*from, None)?;
    bounded(*from, reach(c, *from, way, &until)?)
}

/// Where a way from a point meets a line, or is level with a point.
fn reach(c: &Call, from: Point, way: Vec2, until: &Arg<LineOrDot>) -> Result<Point, Fault> {
    let found = match &**until {
        LineOrDot::Dot(level) => Ok((*level - from).dot(way)),
        LineOrDot::Line(path) => first_meeting(from, way, path),
    };
    let stop = c.named(until, "what it should run to");
    match found {
        Ok(distance) if distance >= -MEETING => Ok(from + way * distance),
        Ok(distance) | Err(Reach::Behind(distance)) => Err(Fault::new(
            Code::NeverMeet,
            say!(
                "{} lies the other way, {} behind.",
                voice::capital(&stop),
                figure::length(distance.abs())
            ),
        )
        .help("Turn the direction round.")
        .label(until, "")),
        Err(Reach::Never(gap)) => {
            let message = say!(
                "This way never reaches {}: it passes {} beyond its end.",
                stop,
                figure::small(gap)
            );
            Err(Fault::new(Code::NeverMeet, message)
                .help("Draw that line longer, or endless.")
                .label(until, "ends too soon"))
        }
    }
}

/// Why a straight way reaches no line.
pub(crate) enum Reach {
    /// It lies so far behind.
    Behind(f64),
    /// It passes the line's end by so much.
    Never(f64),
}

/// How far it is from a point in a direction to a path.
///
/// # Errors
/// When the path lies behind, or is passed.
pub(crate) fn first_meeting(from: Point, way: Vec2, path: &Path) -> Result<f64, Reach> {
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
fn normal(line: &Path, at: Point, toward: Option<&Arg<Way>>) -> Result<Vec2, Fault> {
    let tangent = tangent_near(line, at);
    let normal = Vec2::new(-tangent.y, tangent.x);
    let Some(toward) = toward else {
        return Ok(normal);
    };
    let way = toward.settled(at, None)?;
    if normal.dot(way).abs() < 1f64.to_radians().sin() {
        let message = "This direction runs along the line, so it does not tell a side of it.";
        return Err(Fault::new(Code::WhichSense, message).label(toward, "along the line"));
    }
    Ok(if normal.dot(way) < 0.0 {
        -normal
    } else {
        normal
    })
}

fn mark_square(c: &mut Call, line: &Path, at: Point, up: Vec2) {
    c.leave(Aid::Square {
        at,
        along: tangent_near(line, at),
        up,
    });
}

fn square(
    c: &mut Call,
    line: Arg<Line>,
    at: Arg<Dot>,
    toward: Option<Arg<Way>>,
) -> Result<Value, Fault> {
    let normal = normal(&line, *at, toward.as_ref())?;
    mark_square(c, &line, *at, normal);
    Ok(Path::endless(*at, normal)?.into())
}

fn square_for(
    c: &mut Call,
    line: Arg<Line>,
    at: Arg<Dot>,
    toward: Arg<Way>,
    long: Arg<Length>,
) -> Result<Value, Fault> {
    let normal = normal(&line, *at, Some(&toward))?;
    mark_square(c, &line, *at, normal);
    bounded(*at, *at + normal * *long)
}

fn square_until(
    c: &mut Call,
    line: Arg<Line>,
    at: Arg<Dot>,
    toward: Option<Arg<Way>>,
    until: Arg<LineOrDot>,
) -> Result<Value, Fault> {
    let up = normal(&line, *at, toward.as_ref())?;
    let (up, to) = match reach(c, *at, up, &until) {
        Ok(to) => (up, to),
        // Without a side it goes to where the other line is.
        Err(fault) if toward.is_none() => (-up, reach(c, *at, -up, &until).map_err(|_| fault)?),
        Err(fault) => return Err(fault),
    };
    mark_square(c, &line, *at, up);
    bounded(*at, to)
}

fn square_through(c: &mut Call, line: Arg<Line>, through: Arg<Dot>) -> Result<Value, Fault> {
    let foot = square_foot(c, *through, &line)?;
    bounded(foot, *through)
}

/// The foot of the square through a point, and the way from there to the point.
fn foot_and_way(
    c: &mut Call,
    line: &Arg<Line>,
    through: &Arg<Dot>,
) -> Result<(Point, Vec2), Fault> {
    let foot = square_foot(c, **through, line)?;
    let way = **through - foot;
    if way.hypot() <= MEETING {
        let message =
            "This point lies on the line, so it does not tell on which side the square is drawn.";
        return Err(Fault::new(Code::WhichSense, message)
            .help("Say `at` the point and `toward` a direction.")
            .label(through, "on the line"));
    }
    Ok((foot, way / way.hypot()))
}

fn square_through_for(
    c: &mut Call,
    line: Arg<Line>,
    through: Arg<Dot>,
    long: Arg<Length>,
) -> Result<Value, Fault> {
    let (foot, way) = foot_and_way(c, &line, &through)?;
    bounded(foot, foot + way * *long)
}

fn square_through_until(
    c: &mut Call,
    line: Arg<Line>,
    through: Arg<Dot>,
    until: Arg<LineOrDot>,
) -> Result<Value, Fault> {
    let (foot, way) = foot_and_way(c, &line, &through)?;
    let stop = reach(c, *through, way, &until)?;
    bounded(foot, stop)
}

pub(super) fn end_at(line: &Arg<Line>, at: Point) -> Result<End, Fault> {
    line.end_near(at)
        .map_err(|f| Fault::from(f).label(line, "endless"))
}

fn extend_by(c: &mut Call, line: Arg<Line>, at: Arg<Dot>, by: Arg<Length>) -> Result<Value, Fault> {
    extended_by(c, &line, end_at(&line, *at)?, &by)
}

fn extend_end_by(c: &mut Call, line: Arg<Line>, by: Arg<Length>) -> Result<Value, Fault> {
    has_ends(&line)?;
    extended_by(c, &line, End::End, &by)
}

/// Refuses a line without ends, which no end can be made longer of.
fn has_ends(line: &Arg<Line>) -> Result<(), Fault> {
    if line.is_endless() {
        return Err(endless("A line without ends cannot be made longer.").label(line, "endless"));
    }
    Ok(())
}

fn extended_by(c: &mut Call, line: &Arg<Line>, end: End, by: &Arg<Length>) -> Result<Value, Fault> {
    line.extended(end, **by)
        .map(Value::from)
        .map_err(|f| match f {
            PathFault::PastTheEnd { wanted, length } => {
                let message = say!(
                    "{} was to be taken off {}, which is {} long.",
                    figure::length(wanted),
                    c.named(line, "the line"),
                    figure::length(length)
                );
                Fault::new(Code::PastTheEnd, message).label(by, "shorter by more than there is")
            }
            f => f.into(),
        })
}

fn extend_until(
    c: &mut Call,
    line: Arg<Line>,
    at: Arg<Dot>,
    until: Arg<LineOrDot>,
) -> Result<Value, Fault> {
    extended_until(c, &line, end_at(&line, *at)?, &until)
}

fn extend_end_until(c: &mut Call, line: Arg<Line>, until: Arg<LineOrDot>) -> Result<Value, Fault> {
    has_ends(&line)?;
    extended_until(c, &line, End::End, &until)
}

fn extended_until(
    c: &mut Call,
    line: &Arg<Line>,
    end: End,
    until: &Arg<LineOrDot>,
) -> Result<Value, Fault> {
    let (from, way) = match end {
        End::Start => (line.start()?, -line.start_tangent()),
        End::End => (line.end()?, line.end_tangent()),
    };
    let by = (reach(c, from, way, until)? - from).hypot();
    if by <= MEETING {
        return Ok(Value::Path(Arc::clone(line)));
    }
    Ok(line.extended(end, by.min(LARGEST))?.into())
}

/// A place on a line: a point on it, or where another line crosses it.
fn place_on(
    c: &Call,
    line: &Arg<Line>,
    place: &Arg<LineOrDot>,
    near: Option<Point>,
) -> Result<Location, Fault> {
    let point = match &**place {
        LineOrDot::Dot(point) => *point,
        LineOrDot::Line(other) => {
            let other = place.as_sort(Value::Path(other.clone()), c)?;
            return meeting(c, line, &other, near).map(|meeting| meeting.on_a);
        }
    };
    let near = line.nearest(point);
    if near.distance > MEETING * 10.0 {
        let message = say!(
            "This point does not lie on {}: it is {} away.",
            c.named(line, "the line"),
            figure::length(near.distance)
        );
        let help = "Take the point where they meet, or `nearest to` it.";
        return Err(Fault::new(Code::CannotBeDrawn, message)
            .help(help)
            .label(place, "not on the line"));
    }
    Ok(near.location)
}

fn part(
    c: &mut Call,
    line: Arg<Line>,
    from: Arg<LineOrDot>,
    to: Arg<LineOrDot>,
) -> Result<Value, Fault> {
    let (a, b) = (
        place_on(c, &line, &from, None)?,
        place_on(c, &line, &to, None)?,
    );
    let part = if line.is_endless() {
        Path::line_or_nothing(line.point(a), line.point(b))
    } else {
        what_is_left(line.part(a, b))
    };
    part.map(Value::from)
        .map_err(|f| Fault::from(f).label(&from, "").label(&to, ""))
}

fn part_toward(
    c: &mut Call,
    line: Arg<Line>,
    from: Arg<LineOrDot>,
    toward: Arg<Dot>,
) -> Result<Value, Fault> {
    if line.is_endless() {
        let message = "A line without ends has no part toward a point.";
        return Err(endless(message).label(&line, "endless"));
    }
    let cut = place_on(c, &line, &from, Some(*toward))?;
    let kept = line.nearest(*toward).location;
    let result = if kept < cut {
        line.part(line.start_location(), cut)
    } else {
        line.part(cut, line.end_location())
    };
    what_is_left(result)
        .map(Value::from)
        .map_err(|f| Fault::from(f).label(&from, ""))
}

/// A part of which nothing is left is a line of no length.
fn what_is_left(part: Result<Path, PathFault>) -> Result<Path, PathFault> {
    match part {
        Err(PathFault::NothingLeft { at }) => Ok(Path::nothing(at)),
        other => other,
    }
}

fn join(lines: Arg<Lines>) -> Result<Value, Fault> {
    joined(&lines, &copies(&lines)).map(Value::from)
}

/// Lines as geometry takes them.
pub(super) fn copies(lines: &Arg<Lines>) -> Vec<Path> {
    lines.iter().map(|line| Path::clone(line)).collect()
}

/// Lines that share ends, turned as need be, as one.
pub(super) fn joined(lines: &Arg<Lines>, paths: &[Path]) -> Result<Path, Fault> {
    if paths.iter().any(Path::is_endless) {
        let message = "A line without ends cannot be joined to another.";
        return Err(endless(message).label(lines, ""));
    }
    let turned = orientations(paths, MEETING).map_err(|fault| match fault {
        SeamFault::Empty => Fault::new(Code::CannotBeDrawn, "No line is named to be joined."),
        SeamFault::Gap(gap) => Fault::new(
            Code::CannotBeDrawn,
            say!(
                "These lines do not follow one another: a gap of {} is left.",
                figure::length(gap.width)
            ),
        )
        .help("Name them in order, each beginning where the last one ends.")
        .label(lines, ""),
        SeamFault::Path(fault) => Fault::from(fault).label(lines, ""),
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
    Path::joined(&in_order).map_err(Fault::from)
}
