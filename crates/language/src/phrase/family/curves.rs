//! Curves: the hollow in a corner, the sweep with end directions, smooth through points, and the blend of an end.

use super::fault::Say;
use crate::kind::Kind;
use crate::phrase::aid::Aid;
use crate::phrase::call::{Call, Fault};
use crate::phrase::form::{Form, Takes, form};
use crate::phrase::value::Value;
use crate::report::Code;
use crate::syntax::tree::Link;
use kurbo::{Point, Vec2};
use oaktag_geometry::curves::{
    CurveFault, Handle, depth_for_fullness, hollow, hollow_by_depth, sweep, sweep_arriving,
    sweep_leaving,
};
use oaktag_geometry::edit::End;
use oaktag_geometry::fair::{blend, smooth};
use oaktag_geometry::path::Path;

const WAY: Takes = Takes::BEARING.or(Takes::POINT);
const HANDLE: Takes = Takes::NUMBER.or(Takes::LENGTH);

/// The rows of this family.
pub fn rows() -> Vec<Form> {
    vec![
        form("")
            .at(Link::From, Takes::POINT, "point", "one end")
            .at(Link::To, Takes::POINT, "point", "the other end")
            .at(Link::Around, Takes::POINT, "corner", "the corner it fills")
            .with("fullness", Takes::NUMBER, "0 is straight, 1 runs into the corner; 0.55 is near an ellipse, 2/3 a parabola (the default)")
            .gives(Kind::Curve)
            .says("The hollow curve in a corner, by fullness: it leaves toward the corner and arrives from it.", "curve scye = from tip to low around corner_point with fullness 0.6")
            .means(hollow_full),
        form("")
            .at(Link::From, Takes::POINT, "point", "one end")
            .at(Link::To, Takes::POINT, "point", "the other end")
            .at(Link::Around, Takes::POINT, "corner", "the corner it fills")
            .at(Link::Hollow, Takes::LENGTH, "depth", "how near it passes the corner, measured toward the middle of its chord")
            .gives(Kind::Curve)
            .says("The hollow curve in a corner, by the depth at which it passes the corner.", "curve scye = from tip to low around corner_point hollow 5cm")
            .means(hollow_deep),
        form("")
            .at(Link::From, Takes::POINT, "point", "one end")
            .at(Link::Through, Takes::POINT, "points", "points it runs through, in order")
            .many()
            .optional()
            .at(Link::To, Takes::POINT, "point", "the other end")
            .at(Link::Leaving, WAY, "direction", "which way it leaves")
            .at(Link::Arriving, WAY, "direction", "which way it is going where it arrives")
            .with("handles", HANDLE, "length of both handles, or their share of the chord; default 1/3; not with `through`")
            .with("handle_out", HANDLE, "the handle at the start alone")
            .with("handle_in", HANDLE, "the handle at the end alone")
            .gives(Kind::Curve)
            .says("The sweep: a curve with a direction at each end; with `through`, a smooth one through points. Opposite directions make an S.", "curve hip = from tip to low leaving down arriving down\ncurve side = from tip through spot to low leaving down arriving down")
            .means(swept),
        form("")
            .at(Link::From, Takes::POINT, "point", "one end")
            .at(Link::Through, Takes::POINT, "points", "points it runs through, in order")
            .many()
            .optional()
            .at(Link::To, Takes::POINT, "point", "the other end")
            .at(Link::Leaving, WAY, "direction", "which way it leaves")
            .gives(Kind::Curve)
            .says("A curve with a direction at its start alone; without `through` it bends evenly, up to a quarter circle as an arc does (within 0.03 %); beyond that strike an `arc`.", "curve neckline = from tip to low leaving down")
            .means(leaving),
        form("")
            .at(Link::From, Takes::POINT, "point", "one end")
            .at(Link::Through, Takes::POINT, "points", "points it runs through, in order")
            .many()
            .optional()
            .at(Link::To, Takes::POINT, "point", "the other end")
            .at(Link::Arriving, WAY, "direction", "which way it is going where it arrives")
            .gives(Kind::Curve)
            .says("A curve with a direction at its end alone; without `through` it bends evenly, up to a quarter circle as an arc does (within 0.03 %); beyond that strike an `arc`.", "curve neckline = from tip to low arriving left")
            .means(arriving),
        form("")
            .at(Link::From, Takes::POINT, "point", "one end")
            .at(Link::Through, Takes::POINT, "points", "points it runs through, in order")
            .many()
            .at(Link::To, Takes::POINT, "point", "the other end")
            .gives(Kind::Curve)
            .says("A smooth, fair curve through points (J. D. Hobby, Smooth, easy to compute interpolating splines, 1986).", "curve tail = from tip through spot to low")
            .means(|c| smooth_curve(c, None, None)),
        form("blend")
            .costs(50)
            .direct(Takes::PATH, "line", "which line")
            .at(Link::From, Takes::POINT, "end", "the end that is redrawn")
            .at(Link::Leaving, WAY, "direction", "which way it leaves that end now")
            .at(Link::Within, Takes::LENGTH, "length", "how much of the line may change")
            .gives(Kind::Curve)
            .says("A line redrawn at one end: square or otherwise there, then run into the old line within a stated length.", "curve eased = blend neck from top leaving square to centre toward right within 3cm")
            .means(blended),
    ]
}

fn corner_aid(c: &mut Call) -> Result<(Point, Point, Point), Fault> {
    let (from, to, corner) = (c.point(0)?, c.point(1)?, c.point(2)?);
    c.leave(Aid::Corner {
        at: corner,
        from,
        to,
    });
    Ok((from, to, corner))
}

fn hollow_full(c: &mut Call) -> Result<Value, Fault> {
    let (from, to, corner) = corner_aid(c)?;
    let fullness = if c.has(3) { c.figure(3)? } else { 2.0 / 3.0 };
    hollow(from, corner, to, fullness)
        .map(Value::from)
        .map_err(|f| f.say(c).label(3, ""))
}

fn hollow_deep(c: &mut Call) -> Result<Value, Fault> {
    let (from, to, corner) = corner_aid(c)?;
    let depth = c.figure(3)?;
    hollow_by_depth(from, corner, to, depth)
        .map(Value::from)
        .map_err(|fault| {
            let mut said = fault.clone().say(c).label(3, "");
            if let CurveFault::Depth { .. } = fault {
                let usual = depth_for_fullness(from, corner, to, 0.6);
                said = said.note(format!(
                    "A fullness of 0.6 would be {} deep.",
                    c.length(usual)
                ));
            }
            said
        })
}

/// Directions at the ends, each settled by the way to the next point.
fn ends(
    c: &Call,
    leaving: Option<usize>,
    arriving: Option<usize>,
) -> Result<(Option<Vec2>, Option<Vec2>), Fault> {
    let (from, to) = (c.point(0)?, c.point(2)?);
    let through = if c.has(1) { c.points(1)? } else { Vec::new() };
    let next = through.first().copied().unwrap_or(to);
    let last = through.last().copied().unwrap_or(from);
    let at_start = leaving
        .map(|place| c.direction(place, from, Some(next - from)))
        .transpose()?;
    let at_end = arriving
        .map(|place| arriving_direction(c, place, to, to - last))
        .transpose()?;
    Ok((at_start, at_end))
}

/// A point to arrive at from is not the end itself: `arriving` a point means going on toward it.
fn arriving_direction(c: &Call, place: usize, to: Point, way_on: Vec2) -> Result<Vec2, Fault> {
    c.direction(place, to, Some(way_on))
}

fn handle(c: &Call, own: usize, both: usize) -> Result<Handle, Fault> {
    let place = if c.has(own) { own } else { both };
    if !c.has(place) {
        return Ok(Handle::default());
    }
    let figure = c.figure(place)?;
    Ok(if c.is_length(place) {
        Handle::Length(figure)
    } else {
        Handle::Share(figure)
    })
}

fn swept(c: &mut Call) -> Result<Value, Fault> {
    let (Some(leave), Some(arrive)) = ends(c, Some(3), Some(4))? else {
        return Err(Fault::new(
            Code::NoLength,
            "A sweep has a direction at either end.",
        ));
    };
    if c.has(1) {
        if c.has(5) || c.has(6) || c.has(7) {
            return Err(Fault::new(
                Code::UnknownOption,
                "Handles are for a curve of one sweep; a curve through points finds its own.",
            ));
        }
        return smooth_curve(c, Some(leave), Some(arrive));
    }
    let (out, into) = (handle(c, 6, 5)?, handle(c, 7, 5)?);
    sweep(c.point(0)?, leave, c.point(2)?, arrive, out, into)
        .map(Value::from)
        .map_err(|f| f.say(c))
}

fn leaving(c: &mut Call) -> Result<Value, Fault> {
    let (leave, _) = ends(c, Some(3), None)?;
    match leave {
        Some(leave) if !c.has(1) => sweep_leaving(c.point(0)?, leave, c.point(2)?)
            .map(Value::from)
            .map_err(|f| f.say(c)),
        leave => smooth_curve(c, leave, None),
    }
}

fn arriving(c: &mut Call) -> Result<Value, Fault> {
    let (_, arrive) = ends(c, None, Some(3))?;
    match arrive {
        Some(arrive) if !c.has(1) => sweep_arriving(c.point(0)?, c.point(2)?, arrive)
            .map(Value::from)
            .map_err(|f| f.say(c)),
        arrive => smooth_curve(c, None, arrive),
    }
}

fn smooth_curve(c: &Call, leave: Option<Vec2>, arrive: Option<Vec2>) -> Result<Value, Fault> {
    let mut points = vec![c.point(0)?];
    points.extend(c.points(1)?);
    points.push(c.point(2)?);
    smooth(&points, leave, arrive)
        .map(Value::from)
        .map_err(|f| f.say(c))
}

fn blended(c: &mut Call) -> Result<Value, Fault> {
    let (path, at, within) = (c.path(0)?, c.point(1)?, c.figure(3)?);
    let end = path
        .end_near(at)
        .map_err(|f| f.say(c).label(0, "endless"))?;
    let (place, inward) = match end {
        End::Start => (path.start().map_err(|f| f.say(c))?, path.start_tangent()),
        End::End => (path.end().map_err(|f| f.say(c))?, -path.end_tangent()),
    };
    let leave = c.direction(2, place, Some(inward))?;
    // Geometry wants the direction along the path as it is walked.
    let along = if end == End::Start { leave } else { -leave };
    let drawn: Result<Path, CurveFault> = blend(&path, end, along, within);
    drawn.map(Value::from).map_err(|f| f.say(c).label(3, ""))
}
