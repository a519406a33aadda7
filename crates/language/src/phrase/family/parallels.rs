//! Lines beside a line: at an even distance, at one that grows, through a point.

use super::lines::end_at;
use crate::kind::Kind;
use crate::phrase::argument::{Arg, Dot, Length, Lengths, Line, Way};
use crate::phrase::call::{Call, Fault};
use crate::phrase::form::{Form, Takes, form};
use crate::phrase::value::{Bearing, Value};
use crate::phrase::wording::ByHand;
use crate::report::Code;
use crate::syntax::tree::Link;
use kurbo::Point;
use oaktag_geometry::edit::End;
use oaktag_geometry::parallel::{Side, parallel_of, side_of, side_toward};
use oaktag_geometry::path::Path;
use oaktag_geometry::taper::tapered_of;

const WAY: Takes = Takes::BEARING.or(Takes::POINT);

/// The rows of this family.
pub(super) fn rows() -> Vec<Form> {
    vec![
        form("parallel")
            .also(&["offset"])
            .costs(50)
            .at(Link::To, Takes::PATH, "line", "to which line")
            .at(Link::By, Takes::LENGTH, "distance", "how far away")
            .at(Link::Toward, WAY, "side", "which side: a direction, a point, inside or outside")
            .gives_by(crate::phrase::Gives::SameAsFirst)
            .says("The line beside another at an even distance. A curve's parallel is not a scaled copy.", "curve wide = parallel to neck by 6mm toward spot")
            .guessed(&["parallel to LINE LENGTH SIDE", "parallel to LINE by LENGTH SIDE", "parallel to LINE at LENGTH SIDE", "parallel to LINE SIDE LENGTH", "parallel to LINE SIDE by LENGTH", "parallel to LINE at LENGTH toward SIDE", "parallel LINE by LENGTH toward SIDE", "parallel LINE LENGTH SIDE", "offset LINE by LENGTH toward SIDE", "offset LINE by LENGTH SIDE", "offset LINE LENGTH SIDE", "offset LINE SIDE LENGTH", "offset LINE SIDE by LENGTH", "LENGTH SIDE of LINE", "LENGTH SIDE from LINE", "LINE parallel LENGTH SIDE", "LINE parallel by LENGTH SIDE"], "parallel to LINE by LENGTH toward SIDE")
            .guessed(&["parallel to LINE at LENGTH", "parallel to LINE by LENGTH", "parallel to LINE LENGTH", "parallel LINE by LENGTH", "parallel LINE at LENGTH", "offset LINE by LENGTH", "offset LINE LENGTH", "offset of LINE by LENGTH", "offset from LINE by LENGTH", "LENGTH parallel to LINE"], "parallel to LINE by LENGTH toward right | parallel to LINE by LENGTH toward left")
            .guessed(&["parallel to LINE by LENGTH toward SIDE until STOP", "parallel to LINE LENGTH SIDE until STOP"], "extend (parallel to LINE by LENGTH toward SIDE) until STOP")
            .drawn("parallel to {to} at {by} {toward}")
            .by_hand(ByHand::ItsPlaces)
            .means(parallel_by),
        form("parallel")
            .costs(50)
            .at(Link::To, Takes::PATH, "line", "to which line")
            .at(Link::By, Takes::LENGTH, "widths", "two widths: at the end named by `from`, and at the other end; it grows evenly along the line")
            .many()
            .at(Link::From, Takes::POINT, "end", "the end at which the first width is")
            .at(Link::Toward, WAY, "side", "which side: a direction, a point, inside or outside")
            .gives(Kind::Curve)
            .says("The line beside another at a distance that grows or runs out evenly from one end to the other.", "curve wide = parallel to neck by 5mm, 1cm from top toward spot")
            .drawn("line beside {to}, {by} from it, the first at {from}, {toward}")
            .by_hand(ByHand::ItsPlaces)
            .means(parallel_tapered),
        form("parallel")
            .costs(50)
            .at(Link::To, Takes::LINE, "line", "to which straight line")
            .at(Link::At, Takes::POINT, "point", "through which point")
            .gives(Kind::Line)
            .says("An endless line through a point, parallel to another.", "line guide = parallel to centre at spot")
            .guessed(&["parallel to LINE through POINT", "parallel to LINE from POINT", "parallel LINE through POINT", "parallel LINE at POINT", "parallel through POINT to LINE"], "parallel to LINE at POINT")
            .drawn("parallel to {to} through {at}")
            .means(parallel_at),
    ]
}

fn parallel_by(
    c: &mut Call,
    line: Arg<Line>,
    by: Arg<Length>,
    toward: Arg<Way>,
) -> Result<Value, Fault> {
    let side = side_of_line(&line, &toward)?;
    let signed = if side == Side::Left { *by } else { -*by };
    let (made, pairs) = parallel_of(&line, signed);
    c.more_work += pairs;
    made.map(Value::from)
        .map_err(|f| Fault::from(f).label(&line, ""))
}

/// The side of a line that is meant.
fn side_of_line(line: &Arg<Line>, toward: &Arg<Way>) -> Result<Side, Fault> {
    let side = match &**toward {
        Bearing::At(point) => side_of(line, *point),
        Bearing::AwayFrom(point) => side_of(line, *point).map(|side| {
            if side == Side::Left {
                Side::Right
            } else {
                Side::Left
            }
        }),
        _ => side_toward(line, toward.settled(middle(line), None)?),
    };
    side.map_err(|f| Fault::from(f).label(toward, "which side?"))
}

fn parallel_tapered(
    c: &mut Call,
    line: Arg<Line>,
    by: Arg<Lengths>,
    from: Arg<Dot>,
    toward: Arg<Way>,
) -> Result<Value, Fault> {
    let [first, last] = by.as_slice() else {
        let message = "A parallel that grows or runs out has two widths: at the end named by `from`, and at the other.";
        return Err(Fault::new(Code::NamesAndValues, message)
            .help("Write the two with a comma between.")
            .label(&by, ""));
    };
    if *first < 0.0 || *last < 0.0 {
        let message = "A width cannot be less than nothing; `toward` says which side it lies on.";
        return Err(Fault::new(Code::FigureUndefined, message).label(&by, ""));
    }
    let (at_start, at_end) = match end_at(&line, *from)? {
        End::Start => (*first, *last),
        End::End => (*last, *first),
    };
    let sign = match side_of_line(&line, &toward)? {
        Side::Left => 1.0,
        Side::Right => -1.0,
    };
    let (made, pairs) = tapered_of(&line, sign * at_start, sign * at_end);
    c.more_work += pairs;
    made.map(Value::from)
        .map_err(|f| Fault::from(f).label(&line, ""))
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

fn parallel_at(line: Arg<Line>, at: Arg<Dot>) -> Result<Value, Fault> {
    let Some(direction) = line.direction_of_straight() else {
        return Err(Fault::new(
            Code::CannotBeDrawn,
            "Only a straight line has a parallel through a point; this one is curved.",
        )
        .label(&line, "curved"));
    };
    Ok(Path::endless(*at, direction)?.into())
}
