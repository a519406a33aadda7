//! Lists: how many, which one.

use crate::kind::Kind;
use crate::phrase::argument::{Arg, Items, Number};
use crate::phrase::call::Fault;
use crate::phrase::form::{Form, Gives, Takes, form};
use crate::phrase::value::Value;
use crate::report::Code;
use crate::syntax::tree::Link;

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
    ]
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
            "This list has {} items, and none is number {}.",
            list.len(),
            crate::voice::decimals(number, 3)
        );
        Fault::new(Code::PastTheEnd, message).label(list, "")
    })
}
