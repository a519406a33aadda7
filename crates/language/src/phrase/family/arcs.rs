//! The arc that a pair of compasses strikes.

use super::fault::Say;
use crate::kind::Kind;
use crate::phrase::aid::Aid;
use crate::phrase::call::{Call, Fault};
use crate::phrase::form::{Form, Takes, form};
use crate::phrase::value::Value;
use crate::report::Code;
use crate::syntax::tree::Link;
use kurbo::Point;
use oaktag_geometry::MEETING;
use oaktag_geometry::angle::Angle;
use oaktag_geometry::arc::arc;

/// The rows of this family.
pub fn rows() -> Vec<Form> {
    let struck = |link, takes, name, what| {
        form("arc")
            .at(
                Link::About,
                Takes::POINT,
                "centre",
                "where the point of the compasses stands",
            )
            .at(
                Link::From,
                Takes::POINT,
                "point",
                "where it begins; its way from the centre is the radius",
            )
            .at(link, takes, name, what)
            .gives(Kind::Curve)
    };
    vec![
        struck(
            Link::By,
            Takes::TURN,
            "turn",
            "an angle and its sense, as seen on the paper",
        )
        .says(
            "An arc struck about a point: a part of a circle, by its angle.",
            "curve round_it = arc about low from top by 30deg clockwise",
        )
        .means(arc_by),
        struck(
            Link::To,
            Takes::POINT_ROUND,
            "end",
            "where it ends, with its sense; it must lie on the circle",
        )
        .says(
            "An arc struck about a point, to another that lies on the circle.",
            "curve round_it = arc about spot from (spot up 3cm) to (spot right 3cm) clockwise",
        )
        .means(arc_to),
        struck(
            Link::For,
            Takes::LENGTH_ROUND,
            "length",
            "how long it is, with its sense",
        )
        .says(
            "An arc struck about a point, by its length.",
            "curve round_it = arc about low from top for 16cm clockwise",
        )
        .means(arc_for),
    ]
}

/// Centre, start and radius.
fn circle(c: &Call) -> Result<(Point, Point, f64), Fault> {
    let (centre, start) = (c.point(0)?, c.point(1)?);
    let radius = (start - centre).hypot();
    if radius < MEETING {
        let message = "The arc begins at its own centre, so it has no radius.";
        return Err(Fault::new(Code::NoLength, message).label(1, "the centre itself"));
    }
    Ok((centre, start, radius))
}

fn strike(c: &mut Call, centre: Point, start: Point, degrees: f64) -> Result<Value, Fault> {
    if degrees.abs() > 360.0 + 1e-9 {
        let message = format!(
            "This arc would go round more than once: by {}°.",
            crate::voice::decimals(degrees.abs(), 2)
        );
        return Err(Fault::new(Code::CannotBeDrawn, message)
            .help("A whole circle is 360°.")
            .label(2, "more than a circle"));
    }
    c.leave(Aid::Turn { centre, degrees });
    arc(centre, start, Angle::from_degrees(degrees))
        .map(Value::from)
        .map_err(|f| f.say(c))
}

fn arc_by(c: &mut Call) -> Result<Value, Fault> {
    let ((centre, start, _), degrees) = (circle(c)?, c.figure(2)?);
    strike(c, centre, start, degrees)
}

fn arc_to(c: &mut Call) -> Result<Value, Fault> {
    let (centre, start, radius) = circle(c)?;
    let (end, clockwise) = c.point_round(2)?;
    let off = (end - centre).hypot() - radius;
    if off.abs() > MEETING * 10.0 {
        let unit = c.unit;
        let by = unit.not_nothing(crate::kind::Dimension::LENGTH, off.abs());
        let side = if off > 0.0 { "outside" } else { "inside" };
        let message = format!(
            "The end does not lie on the circle: it is {by} {side} it, whose radius is {}.",
            c.length(radius)
        );
        return Err(Fault::new(Code::CannotBeDrawn, message)
            .help("Take a point as far from the centre, or say how far the arc goes: `by` an angle or `for` a length.")
            .label(2, "not on the circle"));
    }
    let turned = Angle::between(start - centre, end - centre)
        .radians()
        .to_degrees();
    let degrees = match (clockwise, (end - start).hypot() <= MEETING) {
        // Back to where it began: all round.
        (true, true) => 360.0,
        (false, true) => -360.0,
        (true, false) => turned.rem_euclid(360.0),
        (false, false) => -(-turned).rem_euclid(360.0),
    };
    strike(c, centre, start, degrees)
}

fn arc_for(c: &mut Call) -> Result<Value, Fault> {
    let (centre, start, radius) = circle(c)?;
    let (length, clockwise) = c.length_round(2)?;
    let degrees = (length / radius).to_degrees();
    let degrees = if clockwise { degrees } else { -degrees };
    strike(c, centre, start, degrees)
}
