//! Arithmetic in words: the smallest and largest, rounding, roots and the functions of an angle.

use crate::kind::Kind;
use crate::phrase::call::{Call, Fault};
use crate::phrase::form::{Form, Gives, Takes, form};
use crate::phrase::value::Value;
use crate::report::Code;
use crate::syntax::tree::Link;

/// The rows of this family.
pub fn rows() -> Vec<Form> {
    let rounding = |head, doc, example, means: fn(&mut Call) -> Result<Value, Fault>| {
        form(head)
            .direct(Takes::FIGURE, "figure", "what is rounded")
            .at(
                Link::To,
                Takes::FIGURE,
                "step",
                "to a multiple of what, of the same kind",
            )
            .gives_by(Gives::SameAsFirst)
            .says(doc, example)
            .means(means)
    };
    vec![
        form("smallest")
            .at(
                Link::Of,
                Takes::FIGURE,
                "figures",
                "figures of one kind, or a list",
            )
            .many()
            .gives_by(Gives::ItemOf(0))
            .says(
                "The smallest of several figures of one kind.",
                "length least = smallest of 3cm, 25mm",
            )
            .means(|c| extreme(c, f64::min)),
        form("largest")
            .at(
                Link::Of,
                Takes::FIGURE,
                "figures",
                "figures of one kind, or a list",
            )
            .many()
            .gives_by(Gives::ItemOf(0))
            .says(
                "The largest of several figures of one kind.",
                "length most = largest of 3cm, 25mm",
            )
            .means(|c| extreme(c, f64::max)),
        rounding(
            "round",
            "A figure rounded to the nearest multiple of a step.",
            "length even = round 103mm to 5mm",
            |c| stepped(c, f64::round),
        ),
        rounding(
            "round_up",
            "A figure rounded up to a multiple of a step.",
            "number buttons = round_up 6.2 to 1",
            |c| stepped(c, |x| (x - 1e-9).ceil()),
        ),
        rounding(
            "round_down",
            "A figure rounded down to a multiple of a step.",
            "number folds = round_down 3.8 to 1",
            |c| stepped(c, |x| (x + 1e-9).floor()),
        ),
        form("magnitude")
            .tight(Takes::FIGURE, "figure", "a figure of either sign")
            .gives_by(Gives::SameAsFirst)
            .says(
                "A figure without its sign.",
                "length gap = magnitude of (3cm - 5cm)",
            )
            .means(|c| Ok(Value::Quantity(c.figure(0)?.abs()))),
        form("root")
            .tight(
                Takes::FIGURE.or(Takes::UNNAMED),
                "figure",
                "a number or an area",
            )
            .gives_by(Gives::RootOfFirst)
            .says(
                "The square root: of an area, a length.",
                "length edge_length = root of (3cm * 3cm)",
            )
            .means(root),
        form("pi")
            .gives(Kind::NUMBER)
            .says(
                "How many times a circle is as long round as it is across.",
                "length round_it = pi * 7cm",
            )
            .means(|_| Ok(Value::Quantity(std::f64::consts::PI))),
        form("sine")
            .tight(Takes::ANGLE, "angle", "an angle")
            .gives(Kind::NUMBER)
            .says("The sine of an angle.", "number s = sine of 30deg")
            .means(|c| Ok(Value::Quantity(c.figure(0)?.to_radians().sin()))),
        form("cosine")
            .tight(Takes::ANGLE, "angle", "an angle")
            .gives(Kind::NUMBER)
            .says("The cosine of an angle.", "number s = cosine of 60deg")
            .means(|c| Ok(Value::Quantity(c.figure(0)?.to_radians().cos()))),
        form("tangent")
            .tight(Takes::ANGLE, "angle", "an angle")
            .gives(Kind::NUMBER)
            .says("The tangent of an angle.", "number s = tangent of 45deg")
            .means(|c| Ok(Value::Quantity(c.figure(0)?.to_radians().tan()))),
        form("slope")
            .at(Link::Of, Takes::NUMBER, "figure", "rise over run")
            .gives(Kind::ANGLE)
            .says(
                "The angle whose tangent is a figure, between -90 and 90 degrees.",
                "angle lean = slope of (3cm / 80cm)",
            )
            .means(|c| Ok(Value::Quantity(c.figure(0)?.atan().to_degrees()))),
    ]
}

fn figures(c: &Call) -> Result<Vec<f64>, Fault> {
    let figure = |value: Value| {
        if let Value::Quantity(figure) = value {
            Some(figure)
        } else {
            None
        }
    };
    let figures: Option<Vec<f64>> = c.items(0)?.into_iter().map(figure).collect();
    figures.ok_or_else(|| Fault::new(Code::WrongKind, "Figures of one kind are compared."))
}

fn extreme(c: &Call, pick: fn(f64, f64) -> f64) -> Result<Value, Fault> {
    let picked = figures(c)?.into_iter().reduce(pick);
    picked.map(Value::Quantity).ok_or_else(|| {
        Fault::new(
            Code::FigureUndefined,
            "Of no figures none is the smallest or the largest.",
        )
        .label(0, "empty")
    })
}

fn stepped(c: &Call, whole: fn(f64) -> f64) -> Result<Value, Fault> {
    let (figure, step) = (c.figure(0)?, c.figure(1)?);
    if step <= 0.0 {
        return Err(Fault::new(
            Code::FigureUndefined,
            "The step to round to is more than nothing.",
        )
        .label(1, ""));
    }
    Ok(Value::Quantity(whole(figure / step) * step))
}

fn root(c: &mut Call) -> Result<Value, Fault> {
    let figure = c.figure(0)?;
    if figure < 0.0 {
        return Err(Fault::new(
            Code::FigureUndefined,
            "A figure less than nothing has no square root.",
        )
        .label(0, ""));
    }
    Ok(Value::Quantity(figure.sqrt()))
}
