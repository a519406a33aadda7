//! Values printed for people: in texts, and as what a check found.

use crate::kind::{Dimension, Kind};
use crate::phrase::Value;
use crate::voice::LengthUnit;

/// A value of a kind, for people.
pub fn printed(unit: LengthUnit, value: &Value, kind: &Kind) -> String {
    match (value, kind) {
        (Value::Quantity(figure) | Value::Turn(figure), kind) => unit.of_kind(kind, *figure),
        (Value::Point(p), _) => {
            let side = |mm: f64, plus: &str, minus: &str| {
                format!(
                    "{} {}",
                    unit.length(mm.abs()),
                    if mm < 0.0 { minus } else { plus }
                )
            };
            format!(
                "{}, {}",
                side(p.x, "right", "left"),
                side(p.y, "up", "down")
            )
        }
        (Value::Path(path), _) => path.length().map_or_else(
            |_| "an endless line".into(),
            |length| format!("{} long", unit.length(length)),
        ),
        (Value::Direction(way), _) => {
            unit.quantity(Dimension::ANGLE, (-way.y).atan2(way.x).to_degrees())
        }
        (Value::Text(text), _) => text.to_string(),
        (Value::Answer(answer), _) => if *answer { "yes" } else { "no" }.into(),
        (Value::List(items), Kind::List(item)) => items
            .iter()
            .map(|i| printed(unit, i, item))
            .collect::<Vec<_>>()
            .join(", "),
        (Value::List(items), _) => format!("{} values", items.len()),
        (Value::Bearing(_) | Value::Absent, _) => "nothing".into(),
    }
}
