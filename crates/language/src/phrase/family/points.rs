//! Points: measured off straight, along a line, by a share of the way, where lines meet, by a swung ruler.

use super::fault::{Say, small};
use crate::kind::Kind;
use crate::phrase::aid::Aid;
use crate::phrase::call::{Call, Fault};
use crate::phrase::form::{Form, Takes, form};
use crate::phrase::value::Value;
use crate::report::Code;
use crate::syntax::tree::Link;
use crate::voice;
use kurbo::{Point, Vec2};
use oaktag_geometry::MEETING;
use oaktag_geometry::meet::{Meeting, meetings};
use oaktag_geometry::path::Path;
use oaktag_geometry::swing::{Swung, swing};

/// The rows of this family.
pub fn rows() -> Vec<Form> {
    vec![
        form("")
            .direct(Takes::LENGTH, "length", "how far")
            .at(Link::From, Takes::POINT, "point", "from where")
            .at(Link::Toward, Takes::BEARING.or(Takes::POINT), "direction", "which way: a direction, or a point to head for")
            .gives(Kind::Point)
            .says("A point so far from another, straight in a direction or toward a point.", "point p = 5cm from tip toward 19deg below right")
            .means(straight),
        form("")
            .direct(Takes::NUMBER, "share", "0 is the first point, 1 the second; beyond them it goes on straight")
            .at(Link::From, Takes::POINT, "point", "the first point")
            .at(Link::To, Takes::POINT, "point", "the second point")
            .gives(Kind::Point)
            .says("A point at a share of the straight way from one point to another.", "point p = 1/3 from top to tip")
            .means(share_straight),
        form("")
            .direct(Takes::LENGTH, "length", "how far, measured along the line")
            .at(Link::Along, Takes::PATH, "line", "the line or curve")
            .at(Link::From, Takes::POINT, "point", "an end, or any point on the line")
            .at(Link::Toward, Takes::POINT.or(Takes::BEARING), "direction", "which way, where the start is not an end")
            .optional()
            .gives(Kind::Point)
            .says("A point measured along a line from one of its points, as a tape lies on the curve.", "point p = 4cm along neck from top")
            .means(along),
        form("")
            .direct(Takes::NUMBER, "share", "between 0 and 1")
            .at(Link::Along, Takes::PATH, "line", "the line or curve")
            .at(Link::From, Takes::POINT, "point", "the end it is counted from; without it, the start as drawn")
            .optional()
            .gives(Kind::Point)
            .says("A point at a share of a line's length.", "point p = 1/2 along neck\npoint q = 1/4 along neck from tip")
            .means(share_along),
        form("where")
            .costs(40)
            .direct(Takes::PATH, "line", "the first line")
            .at(Link::Meets, Takes::PATH, "line", "the second line")
            .at(Link::Near, Takes::POINT, "point", "which meeting, where there are several")
            .optional()
            .gives(Kind::Point)
            .says("Where two lines meet. Where they meet more than once, `near` chooses.", "point p = where centre meets level")
            .means(where_meets),
        form("foot")
            .at(Link::From, Takes::POINT, "point", "from where")
            .at(Link::Onto, Takes::PATH, "line", "the line")
            .gives(Kind::Point)
            .says("The foot of the perpendicular from a point onto a line; onto a curve, its nearest such point.", "point p = foot from tip onto centre")
            .means(foot),
        form("nearest")
            .at(Link::To, Takes::POINT, "point", "to what")
            .at(Link::On, Takes::PATH, "line", "on which line")
            .gives(Kind::Point)
            .says("The point of a line that is nearest to a point.", "point p = nearest to spot on neck")
            .means(|c| Ok(c.path(1)?.nearest(c.point(0)?).point.into())),
        form("start")
            .tight(Takes::PATH, "line", "a line with ends")
            .gives(Kind::Point)
            .says("Where a line starts, as it was drawn.", "point p = start of neck")
            .means(|c| c.path_or_nothing(0)?.start().map(Value::Point).map_err(|f| f.say(c).label(0, "endless"))),
        form("end")
            .tight(Takes::PATH, "line", "a line with ends")
            .gives(Kind::Point)
            .says("Where a line ends, as it was drawn.", "point p = end of neck")
            .means(|c| c.path_or_nothing(0)?.end().map(Value::Point).map_err(|f| f.say(c).label(0, "endless"))),
        form("nearest_end")
            .at(Link::Of, Takes::PATH, "line", "a line with ends")
            .at(Link::To, Takes::POINT, "point", "near which of its ends")
            .gives(Kind::Point)
            .says("The end of a line that is nearer to a point, so that nobody must remember which way it was drawn.", "point p = nearest_end of neck to tip")
            .means(nearest_end),
        form("swing")
            .costs(5)
            .direct(Takes::LENGTH, "length", "the length set on the ruler or compass")
            .at(Link::From, Takes::POINT, "point", "where it is held")
            .at(Link::Onto, Takes::PATH, "line", "the line it must land on")
            .at(Link::Near, Takes::POINT, "point", "which landing, where there are two")
            .optional()
            .at(Link::Toward, Takes::BEARING, "direction", "which landing, by its side")
            .optional()
            .gives(Kind::Point)
            .says("The measured pivot: a length set from a point is swung until it lands on a line.", "point p = swing 20cm from tip onto centre near low")
            .means(swing_onto),
    ]
}

fn straight(c: &mut Call) -> Result<Value, Fault> {
    let (length, from) = (c.figure(0)?, c.point(1)?);
    let way = c.direction(2, from, None)?;
    Ok((from + way * length).into())
}

fn share_straight(c: &mut Call) -> Result<Value, Fault> {
    let (share, from, to) = (c.figure(0)?, c.point(1)?, c.point(2)?);
    Ok(from.lerp(to, share).into())
}

fn along(c: &mut Call) -> Result<Value, Fault> {
    let (length, path, from) = (c.figure(0)?, c.path(1)?, c.point(2)?);
    if let Some((_, direction)) = path.endless_line() {
        if !c.has(3) {
            return Err(
                super::fault::endless("This line has no end to measure from.")
                    .help("Say which way: `toward` a direction or a point.")
                    .label(1, "endless"),
            );
        }
        let way = c.direction(3, from, None)?;
        let start = path.nearest(from).point;
        let sense = if direction.dot(way) < 0.0 { -1.0 } else { 1.0 };
        return Ok((start + direction * (sense * length)).into());
    }
    let total = path.length().map_err(|f| f.say(c))?;
    let near = path.nearest(from);
    if near.distance > MEETING * 10.0 {
        let message = format!(
            "The point to measure from does not lie on the line: it is {} away.",
            c.length(near.distance)
        );
        return Err(Fault::new(Code::CannotBeDrawn, message).label(2, "not on the line"));
    }
    let start = path.length_to(near.location);
    let forward = if start <= MEETING {
        true
    } else if total - start <= MEETING {
        false
    } else if c.has(3) {
        let way = c.direction(3, near.point, None)?;
        path.tangent_at(near.location).dot(way) >= 0.0
    } else {
        let message =
            "The point to measure from lies inside the line, so there are two ways to go.";
        return Err(Fault::new(Code::WhichSense, message)
            .help("Say which: `toward` a direction or a point.")
            .label(2, "inside the line"));
    };
    let wanted = if forward {
        start + length
    } else {
        start - length
    };
    let room = if forward { total - start } else { start };
    let behind = if forward { start } else { total - start };
    if -length > behind + MEETING {
        let message = format!(
            "{} along {} would lie {} before it begins.",
            c.length(length),
            c.named(1, "the line"),
            c.length(-length - behind)
        );
        return Err(Fault::new(Code::PastTheEnd, message)
            .help("Extend the line first, or measure the other way with a figure above nothing.")
            .label(0, "less than nothing"));
    }
    if length > room + MEETING {
        let message = format!(
            "{} were to be measured along {}, and from there it is {} long.",
            c.length(length),
            c.named(1, "the line"),
            c.length(room)
        );
        return Err(Fault::new(Code::PastTheEnd, message)
            .note(format!("That is {} past its end.", c.length(length - room)))
            .label(1, "ends too soon"));
    }
    path.point_at(wanted.clamp(0.0, total))
        .map(Value::Point)
        .map_err(|f| f.say(c))
}

fn share_along(c: &mut Call) -> Result<Value, Fault> {
    let (share, path) = (c.figure(0)?, c.path_or_nothing(1)?);
    let total = path.length().map_err(|f| f.say(c).label(1, "endless"))?;
    if !(0.0..=1.0).contains(&share) {
        let message = "A share of a line lies between 0 and 1.";
        return Err(
            Fault::new(Code::PastTheEnd, message).label(0, crate::voice::decimals(share, 4))
        );
    }
    let from_start = match c.maybe_point(2) {
        Some(from) => {
            let (start, end) = (
                path.start().map_err(|f| f.say(c))?,
                path.end().map_err(|f| f.say(c))?,
            );
            (start - from).hypot2() <= (end - from).hypot2()
        }
        None => true,
    };
    let length = if from_start {
        share * total
    } else {
        (1.0 - share) * total
    };
    path.point_at(length)
        .map(Value::Point)
        .map_err(|f| f.say(c))
}

/// The meeting of two lines, chosen by `near`.
pub fn meeting(c: &Call, a: usize, b: usize, near: Option<Point>) -> Result<Meeting, Fault> {
    let (first, second) = (c.path(a)?, c.path(b)?);
    let found = meetings(&first, &second);
    let chosen = match near {
        Some(near) => found.nearest_to(near, &first, &second),
        None => found.only(&first, &second),
    };
    chosen.map_err(|fault| {
        let said = fault.clone().say(c);
        match fault {
            oaktag_geometry::meet::MeetFault::NeverMeet {
                gap,
                at_first,
                at_second,
            } => {
                let message = format!(
                    "{} never meets {}: they pass {} apart.",
                    voice::capital(&c.named(a, "the first line")),
                    c.named(b, "the second line"),
                    small(c, gap)
                );
                let (note, short) = nearest_note(c, (a, &first, at_first), (b, &second, at_second));
                Fault::new(said.code, message)
                    .note(note)
                    .help(format!(
                        "Draw {short} longer, or endless, if they are meant to meet."
                    ))
                    .label(a, "")
                    .label(b, "")
            }
            oaktag_geometry::meet::MeetFault::SeveralAnswers { points } => {
                let message = format!(
                    "{} meets {} {} times.",
                    voice::capital(&c.named(a, "the first line")),
                    c.named(b, "the second line"),
                    points.len()
                );
                let mut said = said.label(a, "").label(b, "");
                said.message = message.into();
                said
            }
            oaktag_geometry::meet::MeetFault::RunTogether { .. } => said.label(a, "").label(b, ""),
        }
    })
}

/// Which of two lines stops short of the other, and which to draw longer. Each is given with its place in the phrase
/// and its point nearest to the other.
fn nearest_note(
    c: &Call,
    (a, first, at_first): (usize, &Path, Point),
    (b, second, at_second): (usize, &Path, Point),
) -> (String, String) {
    let ends = |path: &Path, p: Point| {
        let near = |end: Option<Point>| end.is_some_and(|end| (end - p).hypot() < MEETING);
        near(path.start().ok()) || near(path.end().ok())
    };
    let reach = small(c, (at_second - at_first).hypot());
    let (one, other) = (c.named(a, "the first line"), c.named(b, "the second line"));
    let stops = |short: String, far: &str| {
        (
            format!("{} stops {reach} short of {far}.", voice::capital(&short)),
            short,
        )
    };
    match (ends(first, at_first), ends(second, at_second)) {
        (true, false) => stops(one, &other),
        (false, true) => stops(other, &one),
        (true, true) => (
            format!("Their nearest ends are {reach} apart."),
            "them".into(),
        ),
        (false, false) => (
            "They run past each other there.".into(),
            "one of them".into(),
        ),
    }
}

fn where_meets(c: &mut Call) -> Result<Value, Fault> {
    meeting(c, 0, 1, c.maybe_point(2)).map(|found| found.point.into())
}

fn foot(c: &mut Call) -> Result<Value, Fault> {
    square_foot(c).map(|(_, foot)| foot.into())
}

/// The first argument and where the square from it falls on the second, with the square mark left there.
pub(super) fn square_foot(c: &mut Call) -> Result<(Point, Point), Fault> {
    let (from, path) = (c.point(0)?, c.path(1)?);
    let near = path.nearest(from);
    let arm = from - near.point;
    let tangent = path.tangent_at(near.location);
    if arm.hypot() > MEETING && (arm.dot(tangent) / arm.hypot()).abs() > 1e-6 {
        let message = format!(
            "No square from this point falls on {}: it falls beyond the end.",
            c.named(1, "the line")
        );
        return Err(Fault::new(Code::NeverMeet, message)
            .help("Draw the line longer, or endless.")
            .label(1, ""));
    }
    if arm.hypot() > MEETING {
        c.leave(Aid::Square {
            at: near.point,
            along: tangent,
            up: arm / arm.hypot(),
        });
    }
    Ok((from, near.point))
}

fn nearest_end(c: &mut Call) -> Result<Value, Fault> {
    let (path, near) = (c.path(0)?, c.point(1)?);
    let (start, end) = (
        path.start().map_err(|f| f.say(c).label(0, "endless"))?,
        path.end().map_err(|f| f.say(c))?,
    );
    Ok(if (start - near).hypot2() <= (end - near).hypot2() {
        start
    } else {
        end
    }
    .into())
}

fn swing_onto(c: &mut Call) -> Result<Value, Fault> {
    let (length, from, onto) = (c.figure(0)?, c.point(1)?, c.path(2)?);
    let found =
        swing(length, from, &onto).map_err(|f| f.say(c).label(0, c.length(length)).label(2, ""))?;
    let chosen = choose(c, &found, from)?;
    c.leave(Aid::Arc {
        centre: from,
        to: chosen,
    });
    Ok(chosen.into())
}

fn choose(c: &Call, found: &[Swung], from: Point) -> Result<Point, Fault> {
    if let Some(near) = c.maybe_point(3) {
        let nearest = found.iter().min_by(|a, b| {
            (a.point - near)
                .hypot2()
                .total_cmp(&(b.point - near).hypot2())
        });
        return nearest
            .map(|s| s.point)
            .ok_or_else(|| Fault::new(Code::NeverMeet, "The length reaches nothing."));
    }
    if c.has(4) {
        let way: Vec2 = c.direction(4, from, None)?;
        let farthest = found.iter().max_by(|a, b| {
            (a.point - from)
                .dot(way)
                .total_cmp(&(b.point - from).dot(way))
        });
        return farthest
            .map(|s| s.point)
            .ok_or_else(|| Fault::new(Code::NeverMeet, "The length reaches nothing."));
    }
    match found {
        [one] => Ok(one.point),
        _ => Err(Fault::new(
            Code::SeveralAnswers,
            format!(
                "The length lands on {} at {} places.",
                c.named(2, "the line"),
                found.len()
            ),
        )
        .help("Say which: `near` a point, or `toward` a side.")
        .label(2, "")),
    }
}
