//! What is measured off the drawing: lengths, areas, distances, angles and directions.

use super::fault::Say;
use super::points::meeting;
use crate::kind::Kind;
use crate::phrase::call::{Call, Fault};
use crate::phrase::form::{Form, Takes, form};
use crate::phrase::value::Value;
use crate::report::Code;
use crate::syntax::tree::Link;
use crate::voice;
use kurbo::Vec2;
use oaktag_geometry::angle::Angle;
use oaktag_geometry::moves::{mouth, opening};
use oaktag_geometry::outline::{Outline, OutlineFault};
use oaktag_geometry::path::Path;

/// The rows of this family.
pub fn rows() -> Vec<Form> {
    vec![
        form("length")
            .tight(Takes::PATH, "line", "a line with ends, or a list of them")
            .many()
            .gives(Kind::LENGTH)
            .says("How long a line is, measured along the curve; of a list, all together.", "length neck_length = length of neck")
            .means(length),
        form("area")
            .tight(Takes::PATH.or(Takes::LIST), "outline", "a list of lines that close, in order")
            .many()
            .gives(Kind::AREA)
            .says("The area inside a closed outline.", "area inside_it = area of [neck, (from tip to low), (from low to top)]")
            .means(area),
        form("distance")
            .at(Link::From, Takes::POINT, "point", "from where")
            .at(Link::To, Takes::POINT, "point", "to where")
            .gives(Kind::LENGTH)
            .says("The straight distance between two points.", "length chord = distance from top to tip")
            .means(|c| Ok(Value::Quantity((c.point(1)? - c.point(0)?).hypot()))),
        form("distance")
            .at(Link::From, Takes::POINT, "point", "from where")
            .at(Link::To, Takes::PATH, "line", "to which line")
            .gives(Kind::LENGTH)
            .says("The distance from a point to the nearest place of a line.", "length off = distance from spot to centre")
            .means(|c| Ok(Value::Quantity(c.path(1)?.nearest(c.point(0)?).distance))),
        form("rise")
            .at(Link::From, Takes::POINT, "point", "from where")
            .at(Link::To, Takes::POINT, "point", "to where")
            .gives(Kind::LENGTH)
            .says("How much higher the second point lies than the first; less than nothing where it lies lower.", "length up_by = rise from low to top")
            .means(|c| Ok(Value::Quantity(c.point(1)?.y - c.point(0)?.y))),
        form("run")
            .at(Link::From, Takes::POINT, "point", "from where")
            .at(Link::To, Takes::POINT, "point", "to where")
            .gives(Kind::LENGTH)
            .says("How much farther right the second point lies than the first; less than nothing where it lies left.", "length across_by = run from top to tip")
            .means(|c| Ok(Value::Quantity(c.point(1)?.x - c.point(0)?.x))),
        form("bow")
            .at(Link::Of, Takes::PATH, "line", "which curve")
            .at(Link::From, Takes::POINT, "point", "one end of the straight line it is held against")
            .at(Link::To, Takes::POINT, "point", "the other end")
            .at(Link::Toward, Takes::BEARING.or(Takes::POINT), "side", "on which side of that straight line")
            .gives(Kind::LENGTH)
            .says("How far a curve bows out from the straight line between two points, on one side of it: its greatest round or hollow.", "length hollow_depth = bow of neck from top to tip toward low")
            .means(bow),
        form("turn")
            .at(Link::About, Takes::POINT, "point", "the point held still")
            .at(Link::From, Takes::POINT, "point", "where something was")
            .at(Link::To, Takes::POINT, "point", "where it is now")
            .gives(Kind::ANGLE)
            .says("By how much something turned about a point; clockwise counts as positive.", "angle turned = turn about top from tip to low")
            .means(turn),
        form("angle")
            .at(Link::Between, Takes::PATH, "line", "one line")
            .at(Link::And, Takes::PATH, "line", "the other")
            .at(Link::Near, Takes::POINT, "point", "at which of their meetings")
            .optional()
            .gives(Kind::ANGLE)
            .says("The angle at which two lines meet, between 0 and 180 degrees, measured between the parts that leave the corner.", "angle square_angle = angle between centre and level")
            .means(corner),
        form("opening")
            .direct(Takes::LENGTH, "mouth", "how wide it opens")
            .at(Link::At, Takes::POINT, "point", "where the width is measured")
            .at(Link::About, Takes::POINT, "point", "the point of the dart or slash")
            .gives(Kind::ANGLE)
            .says("The angle of a dart or slash, from the width of its mouth at a point.", "angle dart = opening 11mm at tip about low")
            .means(|c| opening(c.figure(0)?, c.point(1)?, c.point(2)?).map(|a| Value::Quantity(a.degrees())).map_err(|f| f.say(c).label(0, ""))),
        form("mouth")
            .at(Link::Of, Takes::ANGLE, "angle", "the angle of the dart or slash")
            .at(Link::At, Takes::POINT, "point", "where the width is measured")
            .at(Link::About, Takes::POINT, "point", "the point of the dart or slash")
            .gives(Kind::LENGTH)
            .says("How wide a dart or slash of an angle opens at a point.", "length wide = mouth of 12deg at tip about low")
            .means(|c| Ok(Value::Quantity(mouth(Angle::from_degrees(c.figure(0)?), (c.point(1)? - c.point(2)?).hypot())))),
        form("direction")
            .at(Link::From, Takes::POINT, "point", "from where")
            .at(Link::To, Takes::POINT, "point", "to where")
            .gives(Kind::Direction)
            .says("The direction from one point to another.", "direction lean = direction from top to tip")
            .means(|c| unit(c.point(1)? - c.point(0)?)),
        form("direction")
            .at(Link::Of, Takes::PATH, "line", "which line")
            .at(Link::At, Takes::POINT, "point", "where on it")
            .gives(Kind::Direction)
            .says("The direction of a line at a point of it, as it was drawn.", "direction lean = direction of neck at tip")
            .means(|c| Ok(Value::Direction(crate::phrase::call::tangent_near(c.path(0)?.as_ref(), c.point(1)?)))),
    ]
}

fn unit(way: Vec2) -> Result<Value, Fault> {
    if way.hypot() < 1e-9 {
        return Err(Fault::new(
            Code::NoLength,
            "Two points that fall together give no direction.",
        ));
    }
    Ok(Value::Direction(way / way.hypot()))
}

fn length(c: &mut Call) -> Result<Value, Fault> {
    let mut total = 0.0;
    for path in c.paths(0)? {
        total += path.length().map_err(|fault| match fault {
            oaktag_geometry::path::PathFault::Endless => {
                let line = voice::capital(&c.named(0, "this line"));
                let message = format!("{line} has no end, so it has no length.");
                super::fault::endless(&message).label(0, "endless")
            }
            other => other.say(c),
        })?;
    }
    Ok(Value::Quantity(total))
}

fn area(c: &mut Call) -> Result<Value, Fault> {
    let lines = c.paths(0)?;
    let lines = lines.iter().filter(|line| !line.is_nothing());
    let edges: Vec<Path> = lines.map(|p| Path::clone(p)).collect();
    let outline = Outline::new(&edges).map_err(|fault| {
        let why = match fault {
            OutlineFault::Gap { gap, .. } => {
                format!("between two of them is a gap of {}", c.length(gap))
            }
            OutlineFault::Empty => "none of them has a length".to_owned(),
            OutlineFault::NoArea => "the outline encloses nothing".to_owned(),
            OutlineFault::Crosses { .. } => "the outline crosses itself".to_owned(),
            OutlineFault::Path(fault) => return fault.say(c).label(0, ""),
        };
        Fault::new(
            Code::OutlineOpen,
            format!("These lines enclose no area: {why}."),
        )
        .help("Name the lines of a closed outline in order.")
        .label(0, "")
    })?;
    Ok(Value::Quantity(outline.area().abs()))
}

fn bow(c: &mut Call) -> Result<Value, Fault> {
    let (path, from, to) = (c.path(0)?, c.point(1)?, c.point(2)?);
    let chord = to - from;
    if chord.hypot() < 1e-9 {
        return Err(Fault::new(
            Code::NoLength,
            "The straight line it is held against has no length.",
        )
        .label(1, "")
        .label(2, ""));
    }
    let normal = Vec2::new(-chord.y, chord.x) / chord.hypot();
    let way = c.direction(3, from.midpoint(to), None)?;
    let side = if normal.dot(way) < 0.0 {
        -normal
    } else {
        normal
    };
    path.farthest_along(side)
        .map(|far| Value::Quantity((far - from).dot(side).max(0.0)))
        .map_err(|f| f.say(c).label(0, ""))
}

fn turn(c: &mut Call) -> Result<Value, Fault> {
    let (about, from, to) = (c.point(0)?, c.point(1)?, c.point(2)?);
    if (from - about).hypot() < 1e-9 || (to - about).hypot() < 1e-9 {
        return Err(Fault::new(
            Code::NoLength,
            "A turn is measured between points off its centre.",
        ));
    }
    Ok(Value::Quantity(
        Angle::between(from - about, to - about).degrees(),
    ))
}

fn corner(c: &mut Call) -> Result<Value, Fault> {
    let found = meeting(c, 0, 1, c.maybe_point(2))?;
    let (a, b) = (c.path(0)?, c.path(1)?);
    let leaving = |path: &Path, at| {
        let tangent = path.tangent_at(at);
        let is_end = path
            .end()
            .is_ok_and(|end| (end - found.point).hypot() < oaktag_geometry::MEETING);
        if is_end && !path.is_endless() {
            -tangent
        } else {
            tangent
        }
    };
    let between = Angle::between(leaving(&a, found.on_a), leaving(&b, found.on_b));
    Ok(Value::Quantity(between.degrees().abs()))
}
