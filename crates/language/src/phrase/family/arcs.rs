//! The arc that a pair of compasses strikes.

use crate::kind::Kind;
use crate::phrase::aid::Aid;
use crate::phrase::argument::{Arg, Dot, DotRound, LengthRound, Placed, Turn};
use crate::phrase::call::{Call, Fault};
use crate::phrase::form::{Form, Takes, form};
use crate::phrase::value::Value;
use crate::report::Code;
use crate::say;
use crate::syntax::tree::Link;
use crate::voice::{Measured, figure};
use kurbo::Point;
use oaktag_geometry::MEETING;
use oaktag_geometry::angle::Angle;
use oaktag_geometry::arc::arc;

/// The rows of this family.
pub(super) fn rows() -> Vec<Form> {
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
        .guessed(&["circle about POINT with radius LENGTH", "circle about POINT radius LENGTH", "circle at POINT radius LENGTH", "arc about POINT with radius LENGTH", "arc about POINT radius LENGTH", "arc about POINT by LENGTH"], "arc about POINT from (POINT down LENGTH) by 90deg clockwise")
        .guessed(&["quarter circle about POINT from OTHER", "arc about POINT from OTHER", "circle about POINT from OTHER", "strike about POINT from OTHER"], "arc about POINT from OTHER by 90deg clockwise | arc about POINT from OTHER by 90deg anticlockwise")
        .thing("the arc about {about} from {from} by {by}")
        .act("set the point of the compasses on {about}, open them to {from}, and strike an arc by {by}")
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
        .guessed(&["arc from POINT to OTHER about CENTRE", "arc about CENTRE from POINT to OTHER"], "arc about CENTRE from POINT to OTHER clockwise | arc about CENTRE from POINT to OTHER anticlockwise")
        .thing("the arc about {about} from {from} to {to}")
        .act("set the point of the compasses on {about}, open them to {from}, and strike an arc to {to}")
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
        .thing("the arc about {about} from {from} for {for}")
        .act("set the point of the compasses on {about}, open them to {from}, and strike an arc for {for}")
        .means(arc_for),
    ]
}

/// The radius from the centre to where the arc begins.
fn radius(centre: &Arg<Dot>, start: &Arg<Dot>) -> Result<f64, Fault> {
    let radius = (**start - **centre).hypot();
    if radius < MEETING {
        let message = "The arc begins at its own centre, so it has no radius.";
        return Err(Fault::new(Code::NoLength, message).label(start, "the centre itself"));
    }
    Ok(radius)
}

fn strike(
    c: &mut Call,
    (centre, start): (Point, Point),
    degrees: f64,
    far: impl Placed,
) -> Result<Value, Fault> {
    if degrees.abs() > 360.0 + 1e-9 {
        let message = format!(
            "This arc would go round more than once: by {}°.",
            crate::voice::decimals(degrees.abs(), 2)
        );
        return Err(Fault::new(Code::CannotBeDrawn, message)
            .help("A whole circle is 360°.")
            .label(far, "more than a circle"));
    }
    c.leave(Aid::Turn { centre, degrees });
    Ok(arc(centre, start, Angle::from_degrees(degrees))?.into())
}

fn arc_by(c: &mut Call, centre: Arg<Dot>, start: Arg<Dot>, by: Arg<Turn>) -> Result<Value, Fault> {
    radius(&centre, &start)?;
    strike(c, (*centre, *start), *by, &by)
}

fn arc_to(
    c: &mut Call,
    centre: Arg<Dot>,
    start: Arg<Dot>,
    to: Arg<DotRound>,
) -> Result<Value, Fault> {
    let (radius, end) = (radius(&centre, &start)?, to.far);
    let off = (end - *centre).hypot() - radius;
    if off.abs() > MEETING * 10.0 {
        let side = if off > 0.0 { "outside" } else { "inside" };
        let message = say!(
            "The end does not lie on the circle: it is {} {} it, whose radius is {}.",
            figure::not_nothing(Measured::Length, off.abs()),
            side,
            figure::length(radius)
        );
        return Err(Fault::new(Code::CannotBeDrawn, message)
            .help("Take a point as far from the centre, or say how far the arc goes: `by` an angle or `for` a length.")
            .label(&to, "not on the circle"));
    }
    let turned = Angle::between(*start - *centre, end - *centre)
        .radians()
        .to_degrees();
    let degrees = match (to.clockwise, (end - *start).hypot() <= MEETING) {
        // Back to where it began: all round.
        (true, true) => 360.0,
        (false, true) => -360.0,
        (true, false) => turned.rem_euclid(360.0),
        (false, false) => -(-turned).rem_euclid(360.0),
    };
    strike(c, (*centre, *start), degrees, &to)
}

fn arc_for(
    c: &mut Call,
    centre: Arg<Dot>,
    start: Arg<Dot>,
    long: Arg<LengthRound>,
) -> Result<Value, Fault> {
    let degrees = (long.far / radius(&centre, &start)?).to_degrees();
    let degrees = if long.clockwise { degrees } else { -degrees };
    strike(c, (*centre, *start), degrees, &long)
}
