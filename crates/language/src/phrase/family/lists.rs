//! Lists: how many, which one.

use super::points::square_foot;
use crate::kind::Kind;
use crate::phrase::argument::{Arg, Dot, Items, Length, Line, Number};

use crate::phrase::call::{Call, Fault};
use crate::phrase::form::{Form, Gives, Takes, form};
use crate::phrase::value::Value;
use crate::report::Code;
use crate::syntax::tree::Link;
use oaktag_geometry::MEETING;
use oaktag_geometry::path::Path;

/// The rows of this family.
pub(super) fn rows() -> Vec<Form> {
    vec![
        form("count")
            .tight(Takes::LIST, "list", "a list")
            .gives(Kind::NUMBER)
            .says(
                "How many items a list has.",
                "list spots = [top, tip, low]\nnumber many = count of spots",
            )
            .means(|list: Arg<Items>| Ok(Value::Quantity(list.len() as f64))),
        form("item")
            .direct(Takes::NUMBER, "number", "which, counted from 1")
            .at(Link::From, Takes::LIST, "list", "a list")
            .gives_by(Gives::ItemOf(1))
            .says(
                "An item of a list by its number; the first is 1.",
                "list spots = [top, tip, low]\npoint p = item 2 from spots",
            )
            .thing("number {number} of {from}")
            .means(item),
        form("first")
            .tight(Takes::LIST, "list", "a list")
            .gives_by(Gives::ItemOf(0))
            .says(
                "The first item of a list.",
                "list spots = [top, tip, low]\npoint p = first of spots",
            )
            .means(|list: Arg<Items>| nth(&list, 1.0)),
        form("last")
            .tight(Takes::LIST, "list", "a list")
            .gives_by(Gives::ItemOf(0))
            .says(
                "The last item of a list.",
                "list spots = [top, tip, low]\npoint p = last of spots",
            )
            .means(|list: Arg<Items>| nth(&list, list.len() as f64)),
        form("spaced")
            .also(&["buttons", "evenly"])
            .costs(5)
            .direct(Takes::LENGTH, "widest", "how far apart they may lie at most")
            .at(Link::Along, Takes::PATH, "line", "the line they lie on")
            .at(Link::From, Takes::POINT, "point", "from where they are counted; the first lies there, or a share of a space on")
            .at(Link::Through, Takes::POINT, "level", "one of them is level with this point: at its square onto the line")
            .optional()
            .at(Link::To, Takes::POINT, "last", "how far the row may go; without `through`, the last lies there")
            .with("first_space", Takes::NUMBER, "how much of a space lies before the first, as a share; 0 where nothing is said")
            .gives(Kind::List(Box::new(Kind::Point)))
            .says("Places at even spaces along a line, as for buttons: as wide apart as they may be, one of them level with a point.", "list buttons = spaced 95mm along centre from top through spot to low\nlist pins = spaced 4cm along edge from top to tip")
            .thing("places along {along} from {from}, evenly and at most {widest} apart[, one of them level with {through}], as far as {to}")
            .act("along {along}, from {from}, mark places evenly, at most {widest} apart[, one of them level with {through}], as far as {to}")
            .means(spaced),
    ]
}

/// More places than this are no row of buttons.
const MOST_PLACES: f64 = 10_000.0;

fn spaced(
    c: &mut Call,
    widest: Arg<Length>,
    line: Arg<Line>,
    from: Arg<Dot>,
    through: Option<Arg<Dot>>,
    to: Arg<Dot>,
    first: Option<Arg<Number>>,
) -> Result<Value, Fault> {
    let ahead = first.as_deref().copied().unwrap_or(0.0);
    if !(0.0..1.0).contains(&ahead) {
        let message =
            "The first place may lie on by a share of a space: 0 or more, and less than 1.";
        let said = Fault::new(Code::PastTheEnd, message);
        return Err(first.iter().fold(said, |said, first| said.label(first, "")));
    }
    if *widest <= MEETING {
        let message = "A space is more than nothing wide.";
        return Err(Fault::new(Code::FigureUndefined, message).label(&widest, ""));
    }
    // A line without ends is measured between the two ends of the row.
    let path = match line.endless_line() {
        Some(_) => Path::line(line.nearest(*from).point, line.nearest(*to).point)
            .map_err(|fault| Fault::from(fault).label(&from, "").label(&to, ""))?,
        None => Path::clone(&line),
    };
    let mut along = |at: &Arg<Dot>| {
        let foot = square_foot(c, **at, &line)?;
        Ok::<f64, Fault>(path.length_to(path.nearest(foot).location))
    };
    let (start, end) = (along(&from)?, along(&to)?);
    let sense = if end < start { -1.0 } else { 1.0 };
    let whole = (end - start) * sense;
    let level = match &through {
        Some(at) => Some((along(at)? - start) * sense),
        None => None,
    };
    if let (Some(level), Some(through)) = (level, &through)
        && !(MEETING..=whole + MEETING).contains(&level)
    {
        let message = "This point is not level with a place between the two ends of the row.";
        return Err(Fault::new(Code::PastTheEnd, message).label(through, "beyond the row"));
    }
    let met = level.unwrap_or(whole);
    let spaces = (met / *widest - ahead - 1e-9).ceil().max(1.0);
    let pitch = met / (spaces + ahead);
    let count = ((whole + MEETING) / pitch - ahead).floor();
    if !count.is_finite() || count > MOST_PLACES {
        let message = format!("This row would have more than {MOST_PLACES} places.");
        return Err(Fault::new(Code::TooLarge, message).label(&widest, ""));
    }
    let total = path.length()?;
    let places: Result<Vec<Value>, _> = (0..=count.max(0.0) as u32)
        .map(|n| start + sense * (f64::from(n) + ahead) * pitch)
        .map(|at| path.point_at(at.clamp(0.0, total)).map(Value::Point))
        .collect();
    Ok(Value::List(places?.into()))
}

fn item(number: Arg<Number>, list: Arg<Items>) -> Result<Value, Fault> {
    nth(&list, *number).map_err(|fault| fault.label(&number, ""))
}

fn nth(list: &Arg<Items>, number: f64) -> Result<Value, Fault> {
    let whole = number.round();
    let at = if (number - whole).abs() < 1e-9 && whole >= 1.0 {
        list.get(whole as usize - 1)
    } else {
        None
    };
    at.cloned().ok_or_else(|| {
        let message = format!(
            "The items of this list go up to {}, and none is number {}.",
            list.len(),
            crate::voice::decimals(number, 3)
        );
        Fault::new(Code::PastTheEnd, message).label(list, "")
    })
}
