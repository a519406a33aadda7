//! Holding figures to the ranges that measures, choices and arguments declare.

use crate::check::program::Range;
use crate::kind::Kind;
use crate::report::{Code, Diagnostic, Span};
use crate::say;
use crate::voice::Figure;

/// What is wrong with a figure of a kind that stands at `span`; none where it lies within the range. The sentence begins
/// with `subject`, which is asked for only then.
pub(super) fn outside(
    range: &Range,
    (figure, kind): (f64, &Kind),
    subject: impl FnOnce() -> String,
    span: Span,
) -> Option<Diagnostic> {
    if range.holds(figure) {
        return None;
    }
    let shown = |figure: f64| Figure::of_kind(kind, figure);
    let message = say!(
        "{} is {}, and it should lie between {} and {}.",
        subject(),
        shown(figure),
        shown(range.low),
        shown(range.high)
    );
    let told = Diagnostic::error(Code::OutOfRange, span, message);
    Some(told.at(shown(figure)).see(range.span, "the range"))
}
