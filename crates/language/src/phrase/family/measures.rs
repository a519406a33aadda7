//! What is measured off the drawing: lengths, areas, distances, angles and directions.

use super::points::meeting;
use crate::kind::Kind;
use crate::phrase::argument::{Angle as Angled, Arg, Dot, Length, Line, Lines, Way};
use crate::phrase::call::{Call, Fault, tangent_near};
use crate::phrase::form::{Form, Takes, form};
use crate::phrase::value::Value;
use crate::report::Code;
use crate::say;
use crate::syntax::tree::Link;
use crate::voice::{self, Words, figure};
use kurbo::Vec2;
use oaktag_geometry::angle::Angle;
use oaktag_geometry::moves::{mouth, opening};
use oaktag_geometry::outline::{Outline, OutlineFault};
use oaktag_geometry::path::{Path, PathFault};

/// The rows of this family.
pub(super) fn rows() -> Vec<Form> {
    vec![
        form("length")
            .also(&["measure"])
            .tight(Takes::PATH, "line", "a line with ends, or a list of them")
            .many()
            .gives(Kind::LENGTH)
            .says("How long a line is, measured along the curve; of a list, all together.", "length neck_length = length of neck")
            .guessed(&["measure of LINE", "measure LINE", "length LINE", "length along LINE", "size of LINE", "LINE length", "measured LINE", "length in LINE", "girth of LINE"], "length of LINE")
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
            .guessed(&["distance between POINT and OTHER", "measure from POINT to OTHER", "length from POINT to OTHER", "from POINT to OTHER", "distance POINT to OTHER", "distance of POINT and OTHER", "distance of POINT to OTHER", "distance POINT , OTHER"], "distance from POINT to OTHER")
            .thing("the distance from {from} to {to}")
            .means(|from: Arg<Dot>, to: Arg<Dot>| Ok(Value::Quantity((*to - *from).hypot()))),
        form("distance")
            .at(Link::From, Takes::POINT, "point", "from where")
            .at(Link::To, Takes::PATH, "line", "to which line")
            .gives(Kind::LENGTH)
            .says("The distance from a point to the nearest place of a line.", "length off = distance from spot to centre")
            .thing("the distance from {from} to {to}")
            .means(|from: Arg<Dot>, to: Arg<Line>| Ok(Value::Quantity(to.nearest(*from).distance))),
        form("rise")
            .at(Link::From, Takes::POINT, "point", "from where")
            .at(Link::To, Takes::POINT, "point", "to where")
            .gives(Kind::LENGTH)
            .says("How much higher the second point lies than the first; negative where it lies lower.", "length up_by = rise from low to top")
            .guessed(&["height from POINT to OTHER", "height between POINT and OTHER", "height of OTHER above POINT", "vertical distance from POINT to OTHER"], "rise from POINT to OTHER")
            .thing("the rise from {from} to {to}")
            .means(|from: Arg<Dot>, to: Arg<Dot>| Ok(Value::Quantity(to.y - from.y))),
        form("run")
            .at(Link::From, Takes::POINT, "point", "from where")
            .at(Link::To, Takes::POINT, "point", "to where")
            .gives(Kind::LENGTH)
            .says("How much farther right the second point lies than the first; negative where it lies left.", "length across_by = run from top to tip")
            .guessed(&["width from POINT to OTHER", "width between POINT and OTHER", "horizontal distance from POINT to OTHER"], "run from POINT to OTHER")
            .thing("the run from {from} to {to}")
            .means(|from: Arg<Dot>, to: Arg<Dot>| Ok(Value::Quantity(to.x - from.x))),
        form("bow")
            .at(Link::Of, Takes::PATH, "line", "which curve")
            .at(Link::From, Takes::POINT, "point", "one end of the straight line it is held against")
            .at(Link::To, Takes::POINT, "point", "the other end")
            .at(Link::Toward, Takes::BEARING.or(Takes::POINT), "side", "on which side of that straight line")
            .gives(Kind::LENGTH)
            .says("How far a curve bows out from the straight line between two points, on one side of it: its greatest round or hollow.", "length hollow_depth = bow of neck from top to tip toward low")
            .thing("how far {of} bows {toward} between {from} and {to}")
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
            .at(Link::At, Takes::POINT, "point", "at which of their meetings")
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
            .thing("the angle whose mouth is {mouth} at {at}, seen from {about}")
            .means(angle_of_mouth),
        form("mouth")
            .at(Link::Of, Takes::ANGLE, "angle", "the angle of the dart or slash")
            .at(Link::At, Takes::POINT, "point", "where the width is measured")
            .at(Link::About, Takes::POINT, "point", "the point of the dart or slash")
            .gives(Kind::LENGTH)
            .says("How wide a dart or slash of an angle opens at a point.", "length wide = mouth of 12deg at tip about low")
            .thing("the mouth of {of} at {at}, seen from {about}")
            .means(mouth_of_angle),
        form("direction")
            .at(Link::From, Takes::POINT, "point", "from where")
            .at(Link::To, Takes::POINT, "point", "to where")
            .gives(Kind::Direction)
            .says("The direction from one point to another.", "direction lean = direction from top to tip")
            .thing("the way from {from} to {to}")
            .means(|from: Arg<Dot>, to: Arg<Dot>| unit(*to - *from)),
        form("direction")
            .at(Link::Of, Takes::PATH, "line", "which line")
            .at(Link::At, Takes::POINT, "point", "where on it")
            .gives(Kind::Direction)
            .says("The direction of a line at a point of it, as it was drawn.", "direction lean = direction of neck at tip")
            .thing("the way {of} runs at {at}")
            .means(|line: Arg<Line>, at: Arg<Dot>| Ok(Value::Direction(tangent_near(&line, *at)))),
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

fn length(c: &mut Call, lines: Arg<Lines>) -> Result<Value, Fault> {
    let mut total = 0.0;
    for line in lines.iter() {
        total += line.length().map_err(|fault| match fault {
            PathFault::Endless => {
                let line = voice::capital(&c.named(&lines, "this line"));
                let message = format!("{line} has no end, so it has no length.");
                super::fault::endless(message).label(&lines, "endless")
            }
            other => other.into(),
        })?;
    }
    Ok(Value::Quantity(total))
}

fn area(lines: Arg<Lines>) -> Result<Value, Fault> {
    let some = lines.iter().filter(|line| !line.is_nothing());
    let edges: Vec<Path> = some.map(|line| Path::clone(line)).collect();
    let outline = Outline::new(&edges).map_err(|fault| {
        let why = match fault {
            OutlineFault::Gap(gap) => {
                say!(
                    "between two of them is a gap of {}",
                    figure::length(gap.width)
                )
            }
            OutlineFault::Empty => Words::from("none of them has a length"),
            OutlineFault::NoArea => "the outline encloses nothing".into(),
            OutlineFault::Crosses { .. } => "the outline crosses itself".into(),
            OutlineFault::Path(fault) => return Fault::from(fault).label(&lines, ""),
        };
        Fault::new(
            Code::OutlineOpen,
            say!("These lines enclose no area: {}.", why),
        )
        .help("Name the lines of a closed outline in order.")
        .label(&lines, "")
    })?;
    Ok(Value::Quantity(outline.area().abs()))
}

fn bow(line: Arg<Line>, from: Arg<Dot>, to: Arg<Dot>, toward: Arg<Way>) -> Result<Value, Fault> {
    let chord = *to - *from;
    if chord.hypot() < 1e-9 {
        return Err(Fault::new(
            Code::NoLength,
            "The straight line it is held against has no length.",
        )
        .label(&from, "")
        .label(&to, ""));
    }
    let normal = Vec2::new(-chord.y, chord.x) / chord.hypot();
    let way = toward.settled(from.midpoint(*to), None)?;
    let side = if normal.dot(way) < 0.0 {
        -normal
    } else {
        normal
    };
    line.farthest_along(side)
        .map(|far| Value::Quantity((far - *from).dot(side).max(0.0)))
        .map_err(|f| Fault::from(f).label(&line, ""))
}

fn turn(about: Arg<Dot>, from: Arg<Dot>, to: Arg<Dot>) -> Result<Value, Fault> {
    let (was, is) = (*from - *about, *to - *about);
    if was.hypot() < 1e-9 || is.hypot() < 1e-9 {
        return Err(Fault::new(
            Code::NoLength,
            "A turn is measured between points off its centre.",
        ));
    }
    Ok(Value::Quantity(Angle::between(was, is).degrees()))
}

fn corner(
    c: &mut Call,
    line: Arg<Line>,
    other: Arg<Line>,
    near: Option<Arg<Dot>>,
) -> Result<Value, Fault> {
    let found = meeting(c, &line, &other, near.as_deref().copied())?;
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
    let between = Angle::between(leaving(&line, found.on_a), leaving(&other, found.on_b));
    Ok(Value::Quantity(between.degrees().abs()))
}

fn angle_of_mouth(wide: Arg<Length>, at: Arg<Dot>, about: Arg<Dot>) -> Result<Value, Fault> {
    opening(*wide, *at, *about)
        .map(|angle| Value::Quantity(angle.degrees()))
        .map_err(|f| Fault::from(f).label(&wide, ""))
}

fn mouth_of_angle(angle: Arg<Angled>, at: Arg<Dot>, about: Arg<Dot>) -> Result<Value, Fault> {
    let wide = mouth(Angle::from_degrees(*angle), (*at - *about).hypot());
    Ok(Value::Quantity(wide))
}
