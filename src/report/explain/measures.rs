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
    explain(
        Code::MeasureUnused,
        "No sentence reads the measure or choice, so that changing it changes nothing.",
        "body wrist_girth = 16cm",
        "Use it, or take it out.",
    ),
];
