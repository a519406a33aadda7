//! Lists: how many, which one.

use crate::kind::Kind;
use crate::phrase::call::{Call, Fault};
use crate::phrase::form::{Form, Gives, Takes, form};
use crate::phrase::value::Value;
use crate::report::Code;
use crate::syntax::tree::Link;

/// The rows of this family.
pub fn rows() -> Vec<Form> {
    vec![
        form("count")
            .tight(Takes::LIST, "list", "a list")
            .gives(Kind::NUMBER)
            .says(
                "How many items a list has.",
                "list spots = [top, tip, low]\nnumber many = count of spots",
            )
            .means(|c| Ok(Value::Quantity(c.items(0)?.len() as f64))),
        form("item")
            .direct(Takes::NUMBER, "number", "which, counted from 1")
            .at(Link::From, Takes::LIST, "list", "a list")
            .gives_by(Gives::ItemOf(1))
            .says(
                "An item of a list by its number; the first is 1.",
                "list spots = [top, tip, low]\npoint p = item 2 from spots",
            )
            .means(item),
        form("first")
            .tight(Takes::LIST, "list", "a list")
            .gives_by(Gives::ItemOf(0))
            .says(
                "The first item of a list.",
                "list spots = [top, tip, low]\npoint p = first of spots",
            )
            .means(|c| nth(c, 0, 1.0)),
        form("last")
            .tight(Takes::LIST, "list", "a list")
            .gives_by(Gives::ItemOf(0))
            .says(
                "The last item of a list.",
                "list spots = [top, tip, low]\npoint p = last of spots",
            )
            .means(|c| {
                let count = c.items(0)?.len();
                nth(c, 0, count as f64)
            }),
    ]
}

fn item(c: &mut Call) -> Result<Value, Fault> {
    let number = c.figure(0)?;
    nth(c, 1, number).map_err(|fault| fault.label(0, ""))
}

fn nth(c: &Call, list: usize, number: f64) -> Result<Value, Fault> {
    let items = c.items(list)?;
    let whole = number.round();
    let at = if (number - whole).abs() < 1e-9 && whole >= 1.0 {
        items.get(whole as usize - 1)
    } else {
        None
    };
    at.cloned().ok_or_else(|| {
        let message = format!(
            "This list has {} items, and none is number {}.",
            items.len(),
            crate::voice::decimals(number, 3)
        );
        Fault::new(Code::PastTheEnd, message).label(list, "")
    })
}
