//! Messages about lines that cannot be drawn as asked, for this body.

use super::{Explanation, explain};
use crate::report::Code;

/// The codes of this topic.
pub(super) const ROWS: &[(Code, Explanation)] = &[
    explain(
        Code::NeverMeet,
        "Two lines never meet, or a length never reaches the line it should land on. The message says by how much, and where each was drawn.",
        r#"panel back {
  line centre = from origin to (origin down 40cm)
  line hip_line = from (origin right 10cm down 20cm) to (origin right 24cm down 20cm)
  point cb_hip = where centre meets hip_line
}"#,
        "Draw one of them longer, or endless, or look for the measure that moved it.",
    ),
    explain(
        Code::SeveralAnswers,
        "Lines meet more than once, or a length lands at two places, and the sentence does not say which is meant.",
        r#"panel back {
  line centre = from origin toward down
  point tip = origin right 12cm down 20cm
  point landing = swing 15cm from tip onto centre
}"#,
        "Add `near` a point, or `toward` a side.",
    ),
    explain(
        Code::CannotBeDrawn,
        "No line does what is asked: a fullness beyond the corner, a parallel wider than the bend, parts that do not join.",
        r#"panel back {
  point tip = origin right 7cm up 2cm
  curve neck = from origin to tip around (origin right 7cm) with fullness 1.4
}"#,
        "Change the figure the message names; it says what is possible.",
    ),
    explain(
        Code::PastTheEnd,
        "A place is measured along a line and lies past its end.",
        r#"panel back {
  line shoulder = from origin to (origin right 12cm)
  point mark = 14cm along shoulder from origin
}"#,
        "Measure less, or draw the line longer.",
    ),
    explain(
        Code::NoLength,
        "Two points fall together where a direction should lie between them, or a line of no length is to lead somewhere. Where nothing goes along it, such a line is nothing, and passed over.",
        r#"panel back {
  line centre = from origin to origin
  line hem_line = square to centre at origin
}"#,
        "Look for the measure or ease that comes out as nothing.",
    ),
    explain(
        Code::WhichSense,
        "A direction could be followed two ways, and nothing near tells which: within a degree both are as good.",
        r#"panel back {
  line shoulder = from origin to (origin right 12cm)
  curve edge = from origin to (origin right 20cm) leaving square to shoulder arriving down
}"#,
        "Say the side: `square to shoulder toward down`.",
    ),
    explain(
        Code::FigureTooLarge,
        "A figure comes out larger than any paper, or as none at all. Everything is drawn within 10 km of the origin.",
        r#"panel back {
  point tip = origin right 99999m
}"#,
        "Look for a unit or a factor that is wrong.",
    ),
    explain(
        Code::FigureUndefined,
        "A figure is divided by nothing, a root is taken of a figure below nothing, or rounds are counted by parts.",
        r#"choose folds = 0
length pitch = 12cm / folds"#,
        "Guard it with `if`, or mend the figure that came out as 0.",
    ),
    explain(
        Code::NothingSolves,
        "`try` found no value in its range that makes the two figures equal. The message tells what came out at both ends and how near it came.",
        r#"panel back {
  try depth between 4cm and 9cm {
    line edge = from origin to (origin down depth)
  } until length of edge = 21cm
}"#,
        "Widen the range, or look for the line that is too short; if nothing changes, the block does not redraw what is measured.",
    ),
    explain(
        Code::TwoSolve,
        "`try` found more than one value that will do, and took the first.",
        r#"panel back {
  try tip_run between 0cm and 20cm {
    line edge = from (origin right 10cm down 5cm) to (origin right tip_run)
  } until length of edge = 8cm
}"#,
        "Narrow the range until it holds the one you mean.",
    ),
    explain(
        Code::MoreMaySolve,
        "`try` found a value that holds. Between the figures named, what is measured changes too fast to be looked through, so that another value may do too.",
        r#"panel back {
  try angle_out between 1deg and 9000deg {
    length swing_out = 10cm * sine of angle_out + 1mm
  } until swing_out = 0mm
}"#,
        "Narrow the range until it holds the value you mean.",
    ),
    explain(
        Code::Caution,
        "The author of the draft, or of an operation, warns of something that the figures bring about. It is printed with the drawing, since whoever cuts must know it.",
        r#"body bust_girth = 92cm
choose ease = 2cm
if ease < 5cm {
  caution "With {ease} of ease at {bust_girth} the shirt will not close over a breath."
}"#,
        "Change the figure it names, or cut knowing it.",
    ),
    explain(
        Code::Required,
        "The author of the draft, or of an operation, has set a limit that this body or these figures pass. The words are the author's.",
        r#"body bust_girth = 92cm
require "the bust is 1 m or more" that bust_girth >= 1m"#,
        "Change the measure or the choice that the message names.",
    ),
    explain(
        Code::TooManySteps,
        "The draft would carry out more sentences than any pattern needs, usually by `each` or `try` inside one another.",
        r#"panel back {
  list marks = each n from 1 to 20000 { give origin right n * 1mm }
}"#,
        "Take fewer rounds.",
    ),
];
