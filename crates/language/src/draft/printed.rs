//! Values printed for people: in texts, and as what a check found.

use crate::kind::Kind;
use crate::phrase::Value;
use crate::say;
use crate::voice::{self, Figure, Words, figure};

/// A value of a kind, for people.
pub(super) fn printed(value: &Value, kind: &Kind) -> Words {
    match (value, kind) {
        (Value::Quantity(found) | Value::Turn(found), kind) => Figure::of_kind(kind, *found).into(),
        (Value::Point(p), _) => {
            let side = |mm: f64, plus: &str, minus: &str| {
                say!(
                    "{} {}",
                    figure::spoken(mm.abs()),
                    if mm < 0.0 { minus } else { plus }
                )
            };
            say!(
                "{}, {}",
                side(p.x, "right", "left"),
                side(p.y, "up", "down")
            )
        }
        (Value::Path(path), _) => path.length().map_or_else(
            |_| "an endless line".into(),
            |length| say!("{} long", figure::spoken(length)),
        ),
        (Value::Direction(way), _) => figure::angle((-way.y).atan2(way.x).to_degrees()).into(),
        (Value::Text(text), _) => text.to_string().into(),
        (Value::Answer(answer), _) => if *answer { "yes" } else { "no" }.into(),
        (Value::List(items), Kind::List(item)) => {
            Words::joined(items.iter().map(|i| printed(i, item)), ", ")
        }
        (Value::List(items), _) => voice::count(items.len(), "value").into(),
        (Value::Bearing(_) | Value::Absent, _) => "nothing".into(),
    }
}
