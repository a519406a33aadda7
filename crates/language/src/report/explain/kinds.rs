//! Messages about kinds and units: points, lines, lengths, angles and what they can be used for.

use super::{Explanation, explain};
use crate::report::Code;

/// The codes of this topic.
pub(super) const ROWS: &[(Code, Explanation)] = &[
    explain(
        Code::WrongKind,
        "A value of one kind stands where another is wanted, such as a point where a line is.",
        r#"panel back {
  point tip = origin right 12cm
  line guide = parallel to tip by 3cm toward right
}"#,
        "Name something of the kind that is wanted; the label says what stands there now.",
    ),
    explain(
        Code::KindsDoNotMix,
        "Two kinds are added, compared or multiplied that do not go together, such as a line and a number.",
        r#"panel back {
  line edge = from origin to (origin right 12cm)
  length half = edge / 2
}"#,
        "Use a figure: `length of edge` for how long a line is.",
    ),
    explain(
        Code::KindWithoutName,
        "The whole of a sum comes out as no length, angle, area or number, such as a length times an angle.",
        "length hem = 94cm * 3cm * 2cm",
        "Look for a factor too many, or for one to divide by.",
    ),
    explain(
        Code::UnitMissing,
        "A plain figure stands where a length or an angle is wanted. Figures never get a unit by guessing.",
        "length hem = 94",
        "Write the unit: `94cm`.",
    ),
    explain(
        Code::TurnWithoutSense,
        "A turn needs its sense. The same angle the other way opens a dart where it should close.",
        r#"panel back {
  point tip = origin right 12cm
  point turned = pivot tip about origin by 6deg
}"#,
        "Add `clockwise` or `anticlockwise`, as seen on the paper.",
    ),
    explain(
        Code::LineIsEndless,
        "A line drawn without an end is endless: it can be met and followed, but has no length, no ends and no part.",
        r#"panel back {
  line centre = from origin toward down
  length half = length of centre
}"#,
        "Give it an end: `to` a point, `for` a length, or `until` another line.",
    ),
];
