//! Messages about names: what is drawn, where it can be seen, and how often.

use super::{Explanation, explain};
use crate::report::Code;

/// The codes of this topic.
pub(super) const ROWS: &[(Code, Explanation)] = &[
    explain(
        Code::UnknownName,
        "Nothing of that name has been drawn, or it is drawn on another panel and must be called by its full name.",
        r#"panel back {
  point tip = origin right 12cm
  line edge = from origin to tpi
}"#,
        "Mend the spelling; the nearest name is offered. A line of another panel is called `back.tip`.",
    ),
    explain(
        Code::NameDrawnLater,
        "The sentence needs something that is drawn only further down. A draft is read from the top, as it is drawn.",
        r#"panel back {
  line edge = from origin to tip
  point tip = origin right 12cm
}"#,
        "Move one of the two sentences.",
    ),
    explain(
        Code::NameDrawnTwice,
        "The name is taken. A name is drawn once and never changes, so that it means one line wherever it stands.",
        r#"panel back {
  point tip = origin right 12cm
  point tip = origin right 13cm
}"#,
        "Take another name. To change a line, trace the panel and write `redraw`.",
    ),
    explain(
        Code::NameBeginsAPhrase,
        "The word is the head of a phrase, such as `square` or `pivot`, so that it cannot be a name as well: one word, one meaning.",
        r#"panel back {
  line square = from origin toward down
}"#,
        "Add a word: `square_line`.",
    ),
    explain(
        Code::NothingToRedraw,
        "`redraw` replaces a line of the panel it stands in, and there is no such line, or no panel.",
        r#"panel back {
  redraw tip = origin right 13cm
}"#,
        "Draw it for the first time with its kind, `point tip = …`; or trace the panel that has it first.",
    ),
    explain(
        Code::DrawnOnOneBranch,
        "The name is drawn only where a condition holds, and it is used where the condition may not.",
        r#"choose tuck = yes
panel back {
  if tuck {
    point tuck_top = origin right 3cm
  }
  line tuck_line = from tuck_top toward down
}"#,
        "Draw it on every branch, `else` included, or use it only inside that branch.",
    ),
    explain(
        Code::NamesAlike,
        "Two names differ in capitals only. Both are kept apart, but a reader will take one for the other.",
        r#"panel back {
  point tip = origin right 12cm
  point Tip = origin right 13cm
}"#,
        "Give one of them a name that sounds different.",
    ),
    explain(
        Code::NameUnused,
        "Something is drawn or worked out and nothing reads it. Often a slip: another name was meant.",
        "length hem = 94cm",
        "Use it, or take it out.",
    ),
    explain(
        Code::UnknownMember,
        "The panel or file has nothing of that name on it, or what stands before the dot is no panel.",
        r#"panel back {
  point tip = origin right 12cm
}
panel front {
  point tip = back.tpi
}"#,
        "Mend the spelling; the message offers the nearest, or lists what there is.",
    ),
    explain(
        Code::NamesAndValues,
        "One sentence names more or fewer things than its phrase gives. As many names as values.",
        r#"panel back {
  point tip, low = origin right 12cm
}"#,
        "Write one name for each value, in the order they are given.",
    ),
];
