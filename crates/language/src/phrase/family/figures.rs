//! Arithmetic in words: the smallest and largest, the sum, rounding, roots and the functions of an angle.

use crate::kind::Kind;
use crate::phrase::argument::{Angle, Arg, Figure, Figures, Number};
use crate::phrase::call::Fault;
use crate::phrase::form::{Form, Gives, Takes, form};
use crate::phrase::value::Value;
use crate::report::Code;
use crate::syntax::tree::Link;

/// The rows of this family.
pub(super) fn rows() -> Vec<Form> {
    let rounding = |head, thing, doc, example, whole: fn(f64) -> f64| {
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
            .thing(thing)
            .means(move |figure: Arg<Figure>, step: Arg<Figure>| stepped(*figure, &step, whole))
    };
    vec![
        form("smallest")
            .also(&["minimum", "min", "least"])
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
            .thing("the smallest of {of}")
            .means(|all: Arg<Figures>| extreme(&all, f64::min)),
        form("largest")
            .also(&["maximum", "max", "greatest"])
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
            .thing("the largest of {of}")
            .means(|all: Arg<Figures>| extreme(&all, f64::max)),
        form("sum")
            .also(&["total"])
            .at(
                Link::Of,
                Takes::FIGURE,
                "figures",
                "figures of one kind, or a list",
            )
            .many()
            .gives_by(Gives::LikeItemsOf(0))
            .says(
                "Several figures of one kind added up; nought for an empty list.",
                "list widths = [3cm, 25mm]\nlength whole = sum of widths",
            )
            .thing("the sum of {of}")
            .means(|all: Arg<Figures>| Ok(Value::Quantity(all.iter().sum()))),
        rounding(
            "round",
            "{figure} rounded to a multiple of {to}",
            "A figure rounded to the nearest multiple of a step.",
            "length even = round 103mm to 5mm",
            f64::round,
        ),
        rounding(
            "round_up",
            "{figure} rounded up to a multiple of {to}",
            "A figure rounded up to a multiple of a step.",
            "number buttons = round_up 6.2 to 1",
            |x| (x - 1e-9).ceil(),
        ),
        rounding(
            "round_down",
            "{figure} rounded down to a multiple of {to}",
            "A figure rounded down to a multiple of a step.",
            "number folds = round_down 3.8 to 1",
            |x| (x + 1e-9).floor(),
        ),
        form("magnitude")
            .also(&["absolute", "abs"])
            .tight(Takes::FIGURE, "figure", "a figure of either sign")
            .gives_by(Gives::SameAsFirst)
            .says(
                "A figure without its sign.",
                "length gap = magnitude of (3cm - 5cm)",
            )
            .means(|figure: Arg<Figure>| Ok(Value::Quantity(figure.abs()))),
        form("root")
            .also(&["sqrt"])
            .guessed(
                &["square root of NUMBER", "sqrt NUMBER", "sqrt of NUMBER"],
                "root of (NUMBER)",
            )
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
            .means(|| Ok(Value::Quantity(std::f64::consts::PI))),
        form("sine")
            .guessed(
                &["sin of ANGLE", "sin ANGLE", "sine ANGLE"],
                "sine of ANGLE",
            )
            .tight(Takes::ANGLE, "angle", "an angle")
            .gives(Kind::NUMBER)
            .says("The sine of an angle.", "number s = sine of 30deg")
            .means(|angle: Arg<Angle>| Ok(Value::Quantity(angle.to_radians().sin()))),
        form("cosine")
            .guessed(
                &["cos of ANGLE", "cos ANGLE", "cosine ANGLE"],
                "cosine of ANGLE",
            )
            .tight(Takes::ANGLE, "angle", "an angle")
            .gives(Kind::NUMBER)
            .says("The cosine of an angle.", "number s = cosine of 60deg")
            .means(|angle: Arg<Angle>| Ok(Value::Quantity(angle.to_radians().cos()))),
        form("tangent")
            .guessed(
                &["tan of ANGLE", "tan ANGLE", "tangent ANGLE"],
                "tangent of ANGLE",
            )
            .tight(Takes::ANGLE, "angle", "an angle")
            .gives(Kind::NUMBER)
            .says("The tangent of an angle.", "number s = tangent of 45deg")
            .means(|angle: Arg<Angle>| Ok(Value::Quantity(angle.to_radians().tan()))),
        form("slope")
            .at(Link::Of, Takes::NUMBER, "figure", "rise over run")
            .gives(Kind::ANGLE)
            .says(
                "The angle whose tangent is a figure, between -90 and 90 degrees.",
                "angle lean = slope of (3cm / 80cm)",
            )
            .means(|tangent: Arg<Number>| Ok(Value::Quantity(tangent.atan().to_degrees()))),
    ]
}

fn extreme(figures: &Arg<Figures>, pick: fn(f64, f64) -> f64) -> Result<Value, Fault> {
    let picked = figures.iter().copied().reduce(pick);
    picked.map(Value::Quantity).ok_or_else(|| {
        Fault::new(
            Code::FigureUndefined,
            "An empty list has no smallest and no largest figure.",
        )
        .label(figures, "empty")
    })
}

fn stepped(figure: f64, step: &Arg<Figure>, whole: fn(f64) -> f64) -> Result<Value, Fault> {
    if **step <= 0.0 {
        return Err(Fault::new(
            Code::FigureUndefined,
            "The step to round to is more than nothing.",
        )
        .label(step, ""));
    }
    Ok(Value::Quantity(whole(figure / **step) * **step))
}

fn root(figure: Arg<Figure>) -> Result<Value, Fault> {
    if *figure < 0.0 {
        return Err(Fault::new(
            Code::FigureUndefined,
            "A negative figure has no square root.",
        )
        .label(&figure, ""));
    }
    Ok(Value::Quantity(figure.sqrt()))
}
