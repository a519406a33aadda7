//! Differences in words: which way, how much longer, what a value is.

use super::{Change, SAME};
use crate::pattern::figure;
use crate::pattern::spec::{PrintUnit, Value};

/// A length that is a difference, without sign; what is too small to print is not called nothing.
pub fn length(mm: f64, unit: PrintUnit) -> String {
    let size = mm.abs();
    let spoken = figure::spoken(size, unit);
    if size > SAME && (spoken.starts_with("0 ") || unit == PrintUnit::Inch) {
        // Sixteenths are coarse; the tape's other side shows the rest.
        let fine = (size * 100.0).round() / 100.0;
        return if unit == PrintUnit::Inch {
            format!("{spoken} ({fine} mm)")
        } else {
            format!("{fine} mm")
        };
    }
    spoken
}

/// "1.4 cm longer", "0.3 cm shorter".
pub fn longer(change: &Change, unit: PrintUnit) -> String {
    let word = if change.by >= 0.0 {
        "longer"
    } else {
        "shorter"
    };
    format!("{} {word}", length(change.by, unit))
}

/// "1.4 cm down", "1 cm right and 0.2 cm up".
pub fn way(right: f64, up: f64, unit: PrintUnit) -> String {
    let mut ways = Vec::new();
    if right.abs() > SAME {
        ways.push(format!(
            "{} {}",
            length(right, unit),
            if right > 0.0 { "right" } else { "left" }
        ));
    }
    if up.abs() > SAME {
        ways.push(format!(
            "{} {}",
            length(up, unit),
            if up > 0.0 { "up" } else { "down" }
        ));
    }
    if ways.is_empty() {
        "less than can be drawn".to_owned()
    } else {
        ways.join(" and ")
    }
}

/// "+1.4 cm", "−0.3 cm".
pub fn signed(mm: f64, unit: PrintUnit) -> String {
    let sign = if mm < 0.0 { '−' } else { '+' };
    format!("{sign}{}", length(mm, unit))
}

/// A value for people.
pub fn value(value: &Value, unit: PrintUnit) -> String {
    match value {
        Value::Length(mm) => figure::spoken(*mm, unit),
        Value::Angle(degrees) => {
            let text = format!("{degrees:.2}");
            format!("{}°", text.trim_end_matches('0').trim_end_matches('.'))
        }
        Value::Area(mm2) => figure::area(*mm2, unit),
        Value::Number(number) => figure::number(*number),
        Value::Text(text) => text.clone(),
        Value::Answer(answer) => if *answer { "yes" } else { "no" }.to_owned(),
        Value::Point(_) => "a point".to_owned(),
        Value::Line(_) => "a line".to_owned(),
        Value::Curve(_) => "a curve".to_owned(),
        Value::Direction(_) => "a direction".to_owned(),
        Value::List(items) => format!("{} items", items.len()),
    }
}

/// "Back, Front and Lining".
pub fn list(names: &[&str]) -> String {
    match names {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [rest @ .., last] => format!("{} and {last}", rest.join(", ")),
    }
}

/// With a capital letter first.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// "1 seam", "3 seams".
pub fn count(number: usize, one: &str) -> String {
    if number == 1 {
        format!("1 {one}")
    } else {
        format!("{number} {one}s")
    }
}
