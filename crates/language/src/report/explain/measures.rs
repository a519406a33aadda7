//! Messages about measures, choices and the values set for them.

use super::{Explanation, Given, explain};
use crate::report::Code;

/// The codes of this topic.
pub(super) const ROWS: &[(Code, Explanation)] = &[
    explain(
        Code::OutOfRange,
        "A measure or choice lies outside the range declared for it. Often it was taken in another unit, or at another place on the body.",
        r#"body bust_girth = 192cm between 74cm and 140cm
length half = bust_girth / 2"#,
        "Measure again, or widen the range if such a body is meant.",
    ),
    explain(
        Code::MeasureDisagrees,
        "A measure's range runs backwards or is no plain figure, or two files declare one measure as different kinds.",
        r#"body bust_girth = 92cm between 140cm and 74cm
length half = bust_girth / 2"#,
        "Write the smaller figure first; let all files agree what the measure is.",
    ),
    (
        Code::NothingToSet,
        Explanation {
            meaning: "A value is set for a name that no measure or choice has, or for one that several files have, or the value cannot be read.",
            example: r#"choose bust_ease = 10cm
length half = bust_ease / 2"#,
            cure: "Mend the name; of several, set the one you mean by its full name, `house.bust_ease`.",
            given: Given::Setting("bust_eas=8cm"),
        },
    ),
    (
        Code::MeasureMissing,
        Explanation {
            meaning: "The body it is drawn for lacks a measure. Another body's figure is never taken in its place, unless the draft works it out from other measures.",
            example: r#"body hip_girth = 98cm
length half = hip_girth / 2"#,
            cure: "Measure it and add it to the body.",
            given: Given::Body("mate"),
        },
    ),
    (
        Code::BodyTable,
        Explanation {
            meaning: "A table of bodies has a header or a cell that cannot be read. The row and the column are named; the other rows are drawn.",
            example: r#"unit cm
body hip_girth = 98cm
length half = hip_girth / 2
check "half" that half > 30cm"#,
            cure: "Write a plain figure in the draft's unit, a unit in the header as in `hip_girth [mm]`, or a unit in the cell as in `98cm`.",
            given: Given::Table("name,hip_girth\nmate,98 feet"),
        },
    ),
    (
        Code::SidesApart,
        Explanation {
            meaning: "A body differs left from right, and the drawings of its halves cannot be put together: they do not meet on the fold, or are not made of the same parts, or the draft does not say which half a piece shows.",
            example: r#"unit cm
body back_length = 60cm between 40cm and 80cm
panel back {
  line centre = from origin toward down for back_length
  line hem = from end of centre toward right for 20cm
  line side = from end of hem toward up for back_length
  line upper = from end of side to origin
}
piece back "Back" {
  outline centre, hem, side, upper
  cut 1 on fold at centre
  allow 1cm
  finish hem, side, upper
}"#,
            cure: "Draw what lies on the fold from measures that are the same left and right; say in a panel which half it shows, `text shown_half = \"left\"`.",
            given: Given::Setting("back_length.left=61cm"),
        },
    ),
    (
        Code::SideNotTold,
        Explanation {
            meaning: "A body differs left from right, and so does a piece that no seam joins to the draft's first one, or something is marked on one side of it alone, so that it has to be known which half of the wearer its sheet shows. It is taken for the right.",
            example: r#"unit cm
body arm_length = 60cm between 40cm and 80cm
panel band {
  line upper = from origin toward right for 8cm
  line lower = from (origin down 20cm) toward right for 8cm
  line inner_edge = from origin to start of lower
  line outer_edge = from end of upper to end of lower
}
panel belt {
  line upper = from origin toward right for 8cm
  line lower = from (origin down arm_length) toward right for 8cm
  line inner_edge = from origin to start of lower
  line outer_edge = from end of upper to end of lower
}
piece band "Band" {
  outline upper, outer_edge, lower, inner_edge
  cut 2
  allow 1cm
  finish upper, outer_edge, lower, inner_edge
}
piece belt "Belt" {
  outline upper, outer_edge, lower, inner_edge
  cut 2
  allow 1cm
  finish upper, outer_edge, lower, inner_edge
}"#,
            cure: "Hold the piece against the body, and say it in its panel: `text shown_half = \"left\"` or `\"right\"`.",
            given: Given::Setting("arm_length.left=61cm"),
        },
    ),
    explain(
        Code::MeasureUnused,
        "No sentence reads the measure or choice, so that changing it changes nothing.",
        "body wrist_girth = 16cm",
        "Use it, or take it out.",
    ),
];
