//! What carrying out a phrase costs, so that every draft ends: counted in parts of values, never timed. A part is an item
//! of a list or a piece of a line; the weights of phrases, in their rows, were measured against that of a plain sentence.

use super::fault::Stop;
use super::machine::MOST_PARTS;
use crate::phrase::{Form, Value};
use crate::report::{Code, Diagnostic, Span};

/// What a check that fails costs: each is held against all others before it is printed on the pieces.
pub(super) const FAILING_CHECK: u64 = 600;

/// Parts of several values, counted only as far as decides whether they are too many.
pub(super) fn size_of_all<'v>(values: impl IntoIterator<Item = &'v Value>) -> u64 {
    let mut size = 0;
    for value in values {
        add(value, &mut size);
    }
    size
}

fn add(value: &Value, size: &mut u64) {
    if *size > MOST_PARTS {
        return;
    }
    match value {
        Value::List(items) => {
            *size += 1;
            items.iter().for_each(|item| add(item, size));
        }
        Value::Path(path) => *size += path.segs().len().max(1) as u64,
        _ => *size += 1,
    }
}

/// What a phrase costs with these arguments: where it compares lines with each other, as their pieces multiplied.
pub(super) fn cost(form: &Form, args: &[Option<Value>]) -> u64 {
    let mut sizes = args.iter().flatten().map(|arg| size_of_all([arg]));
    let (first, rest) = (sizes.next().unwrap_or(1), sizes.sum::<u64>().max(1));
    form.weight * (first + rest + first * rest / 64)
}

/// A value of more parts than any pattern has.
pub(super) fn too_many_parts(span: Span) -> Stop {
    let message = format!(
        "This comes out with more than {MOST_PARTS} parts, the items of lists and the pieces of lines counted."
    );
    let help = "Draw less of it; a line made of copies of itself grows with every sentence.";
    Diagnostic::error(Code::TooLarge, span, message)
        .help(help)
        .into()
}
