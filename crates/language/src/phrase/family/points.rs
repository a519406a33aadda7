//! Points: measured off straight, along a line, by a share of the way, where lines meet, by a swung ruler.

use crate::kind::Kind;
use crate::phrase::aid::Aid;
use crate::phrase::argument::{Arg, Dot, Length, Line, LineOrNothing, Number, Placed, Way};
use crate::phrase::call::{Call, Fault};
use crate::phrase::form::{Form, Takes, form};
use crate::phrase::value::Value;
use crate::report::Code;
use crate::say;
use crate::syntax::tree::Link;
use crate::voice::{self, Words, figure};
use kurbo::Point;
use oaktag_geometry::MEETING;
use oaktag_geometry::meet::{Meeting, meetings};
use oaktag_geometry::path::{Path, PathFault};
use oaktag_geometry::swing::swing;

/// The rows of this family.
pub(super) fn rows() -> Vec<Form> {
    vec![
        form("")
            .direct(Takes::LENGTH, "length", "how far")
            .at(Link::From, Takes::POINT, "point", "from where")
            .at(Link::Toward, Takes::BEARING.or(Takes::POINT), "direction", "which way: a direction, or a point to head for")
            .gives(Kind::Point)
            .says("A point so far from another, straight in a direction or toward a point.", "point p = 5cm from tip toward 19deg below right")
            .guessed(&["LENGTH from POINT to OTHER", "LENGTH from POINT onto OTHER"], "LENGTH from POINT toward OTHER")
            .guessed(&["LENGTH toward DIRECTION from POINT"], "LENGTH from POINT toward DIRECTION")
            .thing("[the point {length} from {from} {toward}|{from}]")
            .act("[from {from}, measure {length} {toward}|{from}]")
            .means(straight),
        form("")
            .direct(Takes::NUMBER, "share", "0 is the first point, 1 the second; beyond them it goes on straight")
            .at(Link::WayFrom, Takes::POINT, "point", "the first point")
            .at(Link::To, Takes::POINT, "point", "the second point")
            .gives(Kind::Point)
            .says("A point at a share of the straight way from one point to another.", "point p = 1/3 of the way from top to tip")
            .guessed(&["middle between POINT and OTHER", "middle of POINT and OTHER", "middle of POINT , OTHER", "middle from POINT to OTHER", "midpoint of POINT and OTHER", "midpoint of POINT , OTHER", "midpoint between POINT and OTHER", "midpoint from POINT to OTHER", "halfway from POINT to OTHER", "halfway between POINT and OTHER", "half way from POINT to OTHER", "half way between POINT and OTHER", "midway between POINT and OTHER", "midway from POINT to OTHER", "half from POINT to OTHER", "half between POINT and OTHER"], "1/2 of the way from POINT to OTHER")
            .guessed(&["SHARE from POINT to OTHER", "SHARE between POINT and OTHER", "SHARE way from POINT to OTHER"], "SHARE of the way from POINT to OTHER")
            .thing("the point {share} of the way from {of the way from} to {to}")
            .act("on the straight way from {of the way from} to {to}, go {share} of it")
            .means(share_straight),
        form("")
            .direct(Takes::LENGTH, "length", "how far, measured along the line")
            .at(Link::Along, Takes::PATH, "line", "the line or curve")
            .at(Link::From, Takes::POINT, "point", "an end, or any point on the line")
            .at(Link::Toward, Takes::POINT.or(Takes::BEARING), "direction", "which way, where the start is not an end")
            .optional()
            .gives(Kind::Point)
            .says("A point measured along a line from one of its points, as a tape lies on the curve.", "point p = 4cm along neck from top")
            .guessed(&["on LINE LENGTH from POINT", "point on LINE LENGTH from POINT", "LENGTH on LINE from POINT", "LENGTH from POINT on LINE", "LENGTH down LINE from POINT", "LENGTH up LINE from POINT", "LENGTH of LINE from POINT", "LENGTH along LINE of POINT"], "LENGTH along LINE from POINT")
            .guessed(&["LENGTH along LINE", "LENGTH on LINE"], "LENGTH along LINE from (start of LINE)")
            .thing("the point {length} along {along} from {from}")
            .act("along {along}, from {from}, measure {length}[ {toward}]")
            .means(along),
        form("")
            .direct(Takes::NUMBER, "share", "between 0 and 1")
            .at(Link::WayAlong, Takes::PATH, "line", "the line or curve")
            .at(Link::From, Takes::POINT, "point", "the end it is counted from; without it, the start as drawn")
            .optional()
            .gives(Kind::Point)
            .says("A point at a share of a line's length.", "point p = 1/2 of the way along neck\npoint q = 1/4 of the way along neck from tip")
            .guessed(&["middle of LINE", "half of LINE", "midpoint of LINE", "halfway along LINE", "half way along LINE", "midway along LINE", "halfway on LINE", "half along LINE", "half LINE"], "1/2 of the way along LINE")
            .guessed(&["third of LINE"], "1/3 of the way along LINE")
            .guessed(&["quarter of LINE"], "1/4 of the way along LINE")
            .guessed(&["SHARE along LINE", "SHARE of LINE", "SHARE way along LINE", "SHARE on LINE"], "SHARE of the way along LINE")
            .thing("the point {share} of the way along {of the way along}[ from {from}]")
            .act("along {of the way along}, [from {from}|from where it begins], go {share} of its length")
            .means(share_along),
        form("where")
            .also(&["intersection", "intersect"])
            .costs(40)
            .direct(Takes::PATH, "line", "the first line")
            .at(Link::Meets, Takes::PATH, "line", "the second line")
            .at(Link::Near, Takes::POINT, "point", "which meeting, where there are several")
            .optional()
            .gives(Kind::Point)
            .says("Where two lines meet. Where they meet more than once, `near` chooses.", "point p = where centre meets level")
            .guessed(&["where LINE crosses OTHER", "where LINE cuts OTHER", "where LINE hits OTHER", "where LINE intersects OTHER", "where LINE touches OTHER", "where LINE and OTHER meet", "where LINE and OTHER cross", "where LINE joins OTHER", "intersection of LINE and OTHER", "intersection of LINE , OTHER", "intersection of LINE with OTHER", "intersection between LINE and OTHER", "intersect LINE with OTHER", "intersect LINE and OTHER", "crossing of LINE and OTHER", "meeting of LINE and OTHER", "LINE meets OTHER", "LINE crosses OTHER", "LINE intersects OTHER"], "where LINE meets OTHER")
            .thing("where {line} meets {meets}[, the one near {near}]")
            .means(where_meets),
        form("foot")
            .also(&["project", "projection"])
            .at(Link::From, Takes::POINT, "point", "from where")
            .at(Link::Onto, Takes::PATH, "line", "the line")
            .gives(Kind::Point)
            .says("The foot of the perpendicular from a point onto a line; onto a curve, its nearest such point.", "point p = foot from tip onto centre")
            .guessed(&["square from POINT onto LINE", "square from POINT to LINE", "perpendicular from POINT to LINE", "perpendicular from POINT onto LINE", "foot of POINT onto LINE", "foot of POINT on LINE", "foot from POINT to LINE", "foot from POINT on LINE", "project POINT onto LINE", "projection of POINT onto LINE"], "foot from POINT onto LINE")
            .thing("the foot of the square from {from} onto {onto}")
            .act("square from {from} onto {onto}, and mark its foot")
            .means(foot),
        form("nearest")
            .at(Link::To, Takes::POINT, "point", "to what")
            .at(Link::On, Takes::PATH, "line", "on which line")
            .gives(Kind::Point)
            .says("The point of a line that is nearest to a point.", "point p = nearest to spot on neck")
            .thing("the point of {on} nearest to {to}")
            .means(nearest),
        form("start")
            .tight(Takes::PATH, "line", "a line with ends")
            .gives(Kind::Point)
            .says("Where a line starts, as it was drawn.", "point p = start of neck")
            .thing("the start of {of}")
            .means(start),
        form("end")
            .tight(Takes::PATH, "line", "a line with ends")
            .gives(Kind::Point)
            .says("Where a line ends, as it was drawn.", "point p = end of neck")
            .thing("the end of {of}")
            .means(end),
        form("nearest_end")
            .at(Link::Of, Takes::PATH, "line", "a line with ends")
            .at(Link::To, Takes::POINT, "point", "near which of its ends")
            .gives(Kind::Point)
            .says("The end of a line that is nearer to a point, so that nobody must remember which way it was drawn.", "point p = nearest_end of neck to tip")
            .thing("the end of {of} nearer to {to}")
            .means(nearest_end),
        form("swing")
            .also(&["compass", "strike"])
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
            .guessed(&["pivot LENGTH from POINT onto LINE", "pivot LENGTH from POINT to LINE", "swing LENGTH from POINT to LINE", "measure LENGTH from POINT to LINE", "measure LENGTH from POINT onto LINE", "compass LENGTH from POINT onto LINE", "strike LENGTH from POINT onto LINE", "LENGTH from POINT onto LINE", "swing LENGTH about POINT onto LINE"], "swing LENGTH from POINT onto LINE")
            .act("set the ruler to {length}, hold its end on {from} and swing it onto {onto}[, near {near}][, {toward}]")
            .means(swing_onto),
    ]
}

fn straight(length: Arg<Length>, from: Arg<Dot>, toward: Arg<Way>) -> Result<Value, Fault> {
    Ok((*from + toward.settled(*from, None)? * *length).into())
}

fn share_straight(share: Arg<Number>, from: Arg<Dot>, to: Arg<Dot>) -> Result<Value, Fault> {
    Ok(from.lerp(*to, *share).into())
}

fn along(
    c: &mut Call,
    far: Arg<Length>,
    line: Arg<Line>,
    from: Arg<Dot>,
    toward: Option<Arg<Way>>,
) -> Result<Value, Fault> {
    let length = *far;
    if let Some((_, direction)) = line.endless_line() {
        let Some(toward) = toward else {
            return Err(
                super::fault::endless("This line has no end to measure from.")
                    .help("Say which way: `toward` a direction or a point.")
                    .label(&line, "endless"),
            );
        };
        let way = toward.settled(*from, None)?;
        let start = line.nearest(*from).point;
        let sense = if direction.dot(way) < 0.0 { -1.0 } else { 1.0 };
        return Ok((start + direction * (sense * length)).into());
    }
    let total = line.length()?;
    let near = line.nearest(*from);
    if near.distance > MEETING * 10.0 {
        let message = say!(
            "The point to measure from does not lie on the line: it is {} away.",
            figure::length(near.distance)
        );
        return Err(Fault::new(Code::CannotBeDrawn, message).label(&from, "not on the line"));
    }
    let start = line.length_to(near.location);
    let forward = if start <= MEETING {
        true
    } else if total - start <= MEETING {
        false
    } else if let Some(toward) = toward {
        let way = toward.settled(near.point, None)?;
        line.tangent_at(near.location).dot(way) >= 0.0
    } else {
        let message =
            "The point to measure from lies inside the line, so there are two ways to go.";
        return Err(Fault::new(Code::WhichSense, message)
            .help("Say which: `toward` a direction or a point.")
            .label(&from, "inside the line"));
    };
    let wanted = if forward {
        start + length
    } else {
        start - length
    };
    let room = if forward { total - start } else { start };
    let behind = if forward { start } else { total - start };
    if -length > behind + MEETING {
        let message = say!(
            "{} along {} would lie {} before it begins.",
            figure::length(length),
            c.named(&line, "the line"),
            figure::length(-length - behind)
        );
        return Err(Fault::new(Code::PastTheEnd, message)
            .help("Extend the line first, or measure the other way with a figure above nothing.")
            .label(&far, "negative"));
    }
    if length > room + MEETING {
        let message = say!(
            "{} was to be measured along {}, which from there is {} long.",
            figure::length(length),
            c.named(&line, "the line"),
            figure::length(room)
        );
        return Err(Fault::new(Code::PastTheEnd, message)
            .note(say!(
                "That is {} past its end.",
                figure::length(length - room)
            ))
            .label(&line, "ends too soon"));
    }
    Ok(line.point_at(wanted.clamp(0.0, total))?.into())
}

fn share_along(
    share: Arg<Number>,
    line: Arg<LineOrNothing>,
    from: Option<Arg<Dot>>,
) -> Result<Value, Fault> {
    let total = line
        .length()
        .map_err(|f| Fault::from(f).label(&line, "endless"))?;
    if !(0.0..=1.0).contains(&*share) {
        let message = "A share of a line lies between 0 and 1.";
        let found = crate::voice::decimals(*share, 4);
        return Err(Fault::new(Code::PastTheEnd, message).label(&share, found));
    }
    let from_start = match from {
        Some(from) => {
            let (start, end) = (line.start()?, line.end()?);
            (start - *from).hypot2() <= (end - *from).hypot2()
        }
        None => true,
    };
    let length = if from_start {
        *share * total
    } else {
        (1.0 - *share) * total
    };
    Ok(line.point_at(length)?.into())
}

/// The meeting of two lines, chosen by `near`.
pub(super) fn meeting(
    c: &Call,
    a: &Arg<Line>,
    b: &Arg<Line>,
    near: Option<Point>,
) -> Result<Meeting, Fault> {
    let found = meetings(a, b);
    let chosen = match near {
        Some(near) => found.nearest_to(near, a, b),
        None => found.only(a, b),
    };
    chosen.map_err(|fault| {
        let said = Fault::from(fault.clone());
        match fault {
            oaktag_geometry::meet::MeetFault::NeverMeet {
                gap,
                at_first,
                at_second,
            } => {
                let message = say!(
                    "{} never meets {}: they pass {} apart.",
                    voice::capital(&c.named(a, "the first line")),
                    c.named(b, "the second line"),
                    figure::small(gap)
                );
                let (note, short) = nearest_note(c, (a, at_first), (b, at_second));
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

/// Which of two lines stops short of the other, and which to draw longer. Each is given with its point nearest to the
/// other.
fn nearest_note(
    c: &Call,
    (a, at_first): (&Arg<Line>, Point),
    (b, at_second): (&Arg<Line>, Point),
) -> (Words, String) {
    let ends = |path: &Path, p: Point| {
        let near = |end: Option<Point>| end.is_some_and(|end| (end - p).hypot() < MEETING);
        near(path.start().ok()) || near(path.end().ok())
    };
    let reach = figure::small((at_second - at_first).hypot());
    let (one, other) = (c.named(a, "the first line"), c.named(b, "the second line"));
    let stops = |short: String, far: &str| {
        (
            say!(
                "{} stops {} short of {}.",
                voice::capital(&short),
                reach,
                far
            ),
            short,
        )
    };
    match (ends(a, at_first), ends(b, at_second)) {
        (true, false) => stops(one, &other),
        (false, true) => stops(other, &one),
        (true, true) => (
            say!("Their nearest ends are {} apart.", reach),
            "them".into(),
        ),
        (false, false) => (
            "They run past each other there.".into(),
            "one of them".into(),
        ),
    }
}

fn where_meets(
    c: &mut Call,
    line: Arg<Line>,
    other: Arg<Line>,
    near: Option<Arg<Dot>>,
) -> Result<Value, Fault> {
    meeting(c, &line, &other, near.as_deref().copied()).map(|found| found.point.into())
}

fn foot(c: &mut Call, from: Arg<Dot>, onto: Arg<Line>) -> Result<Value, Fault> {
    square_foot(c, *from, &onto).map(Value::Point)
}

/// Where the square from a point falls on a line, with the square mark left there.
pub(super) fn square_foot(c: &mut Call, from: Point, onto: &Arg<Line>) -> Result<Point, Fault> {
    let near = onto.nearest(from);
    let arm = from - near.point;
    let tangent = onto.tangent_at(near.location);
    if arm.hypot() > MEETING && (arm.dot(tangent) / arm.hypot()).abs() > 1e-6 {
        let message = format!(
            "No square from this point falls on {}: it falls beyond the end.",
            c.named(onto, "the line")
        );
        return Err(Fault::new(Code::NeverMeet, message)
            .help("Draw the line longer, or endless.")
            .label(onto, ""));
    }
    if arm.hypot() > MEETING {
        c.leave(Aid::Square {
            at: near.point,
            along: tangent,
            up: arm / arm.hypot(),
        });
    }
    Ok(near.point)
}

fn nearest(to: Arg<Dot>, on: Arg<Line>) -> Result<Value, Fault> {
    Ok(on.nearest(*to).point.into())
}

fn start(line: Arg<LineOrNothing>) -> Result<Value, Fault> {
    end_of(&line, line.start())
}

fn end(line: Arg<LineOrNothing>) -> Result<Value, Fault> {
    end_of(&line, line.end())
}

fn end_of(line: impl Placed, end: Result<Point, PathFault>) -> Result<Value, Fault> {
    end.map(Value::Point)
        .map_err(|f| Fault::from(f).label(line, "endless"))
}

fn nearest_end(line: Arg<Line>, near: Arg<Dot>) -> Result<Value, Fault> {
    let (start, end) = (
        line.start()
            .map_err(|f| Fault::from(f).label(&line, "endless"))?,
        line.end()?,
    );
    Ok(if (start - *near).hypot2() <= (end - *near).hypot2() {
        start
    } else {
        end
    }
    .into())
}

fn swing_onto(
    c: &mut Call,
    length: Arg<Length>,
    from: Arg<Dot>,
    onto: Arg<Line>,
    near: Option<Arg<Dot>>,
    toward: Option<Arg<Way>>,
) -> Result<Value, Fault> {
    let found = swing(*length, *from, &onto).map_err(|f| {
        Fault::from(f)
            .label(&length, figure::length(*length))
            .label(&onto, "")
    })?;
    let chosen = match (near, toward) {
        (Some(near), _) => found.iter().min_by(|a, b| {
            (a.point - *near)
                .hypot2()
                .total_cmp(&(b.point - *near).hypot2())
        }),
        (None, Some(toward)) => {
            let way = toward.settled(*from, None)?;
            found.iter().max_by(|a, b| {
                (a.point - *from)
                    .dot(way)
                    .total_cmp(&(b.point - *from).dot(way))
            })
        }
        (None, None) if found.len() > 1 => {
            let message = format!(
                "The length lands on {} at {} places.",
                c.named(&onto, "the line"),
                found.len()
            );
            return Err(Fault::new(Code::SeveralAnswers, message)
                .help("Say which: `near` a point, or `toward` a side.")
                .label(&onto, ""));
        }
        (None, None) => found.first(),
    };
    let Some(landing) = chosen.map(|swung| swung.point) else {
        return Err(Fault::new(Code::NeverMeet, "The length reaches nothing."));
    };
    c.leave(Aid::Arc {
        centre: *from,
        to: landing,
    });
    Ok(landing.into())
}
