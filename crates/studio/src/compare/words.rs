//! Differences in words: which way, how much longer, what a value is.

use super::piece_change::Lies;
use super::{Change, Comparison, SAME};
use oaktag_language::voice;
use oaktag_language::voice::LengthUnit;

/// What the sides are called: "HEAD~1:back.draft → back.draft", and of one draft under other values its name.
pub fn sides(comparison: &Comparison) -> String {
    if comparison.old == comparison.new {
        format!("{}, under other values", comparison.new)
    } else {
        format!("{} → {}", comparison.old, comparison.new)
    }
}

/// Two figures of one kind as they are printed, and their difference: that of the printed figures, so that it can be worked out
/// again on paper. Figures that print alike and differ are not called the same.
pub struct Printed {
    /// The figure before, as printed, with its unit.
    pub old: String,
    /// The figure after, as printed, with its unit.
    pub new: String,
    /// How far they differ, without a sign.
    pub by: String,
    /// The second is less.
    pub is_less: bool,
}

impl Printed {
    /// Two lengths in millimetres.
    pub fn lengths(change: &Change, unit: LengthUnit) -> Self {
        Self::of(change, unit.step(), |mm| unit.length(mm))
    }

    /// Two areas in square millimetres.
    pub fn areas(change: &Change, unit: LengthUnit) -> Self {
        Self::of(change, unit.area_step(), |mm2| unit.area(mm2))
    }

    /// `step` is the last figure printed, in millimetres or square millimetres.
    fn of(change: &Change, step: f64, said: impl Fn(f64) -> String) -> Self {
        let (old, new) = (said(change.old), said(change.new));
        let by = (printed(&new) - printed(&old)).abs() / printed(&said(step)) * step;
        Self {
            by: if by < step / 2.0 && change.by != 0.0 {
                format!("less than {}", said(step))
            } else {
                said(by)
            },
            old,
            new,
            is_less: change.by < 0.0,
        }
    }

    /// "+1.4 cm", "−0.3 cm".
    pub fn signed(&self) -> String {
        let sign = if self.is_less { '−' } else { '+' };
        format!("{sign}{}", self.by)
    }
}

/// The value of a figure as it is printed: `3.5 cm`, `10 3/16 in`.
fn printed(text: &str) -> f64 {
    let value = |word: &str| -> Option<f64> {
        match word.split_once('/') {
            Some((top, bottom)) => Some(top.parse::<f64>().ok()? / bottom.parse::<f64>().ok()?),
            None => word.parse().ok(),
        }
    };
    let size = text.trim_start_matches('-');
    let sum: f64 = size.split(' ').map_while(value).sum();
    if size.len() < text.len() { -sum } else { sum }
}

/// A length that is a distance, without sign; what is too small to print is not called nothing.
pub fn length(mm: f64, unit: LengthUnit) -> String {
    let spoken = unit.length(mm.abs());
    if mm != 0.0 && printed(&spoken) == 0.0 {
        return format!("less than {}", unit.length(unit.step()));
    }
    spoken
}

/// "1.4 cm longer", "0.3 cm shorter".
pub fn longer(change: &Change, unit: LengthUnit) -> String {
    let printed = Printed::lengths(change, unit);
    let word = if printed.is_less { "shorter" } else { "longer" };
    format!("{} {word}", printed.by)
}

/// "0.3 cm lower", "1 cm farther right and 0.2 cm higher".
pub fn place(right: f64, up: f64, unit: LengthUnit) -> String {
    ways(
        (right, ["farther right", "farther left"]),
        (up, ["higher", "lower"]),
        unit,
    )
}

/// A turn with its sense: "5° clockwise".
pub fn turn(degrees: f64) -> String {
    let way = if degrees > 0.0 {
        "clockwise"
    } else {
        "anticlockwise"
    };
    format!("{} {way}", voice::angle(degrees.abs()))
}

/// A line lies higher or lower, right or left, where its way is that of the sheet to within 15 degrees; else out or in.
const SHEETS_WAY: f64 = 0.966;

/// Where a line lies: "lies up to 0.3 cm higher, 13 cm from the centre back".
pub fn lies(lies: &Lies, unit: LengthUnit) -> Vec<String> {
    let mut said: Vec<String> = Vec::new();
    for off in &lies.off {
        let (right, up, far) = (off.way.right_mm, off.way.up_mm, off.distance_mm);
        let side = if up.abs() >= SHEETS_WAY * far {
            if up > 0.0 { "higher" } else { "lower" }
        } else if right.abs() >= SHEETS_WAY * far {
            if right > 0.0 {
                "farther right"
            } else {
                "farther left"
            }
        } else {
            match off.outward {
                Some(true) => "farther out",
                Some(false) => "farther in",
                None => "away",
            }
        };
        let far = length(far, unit);
        if lies.all_along {
            said.push(format!("lies {far} {side} all along"));
            continue;
        }
        let begin = if said.is_empty() { "lies up" } else { "and up" };
        let at = length(off.at_mm, unit);
        let at = if off.at_mm <= SAME {
            format!("at {}", off.from)
        } else {
            format!("{at} from {}", off.from)
        };
        said.push(format!("{begin} to {far} {side}, {at}"));
    }
    if let Some(along) = lies.along {
        said.push(format!(
            "on its old line, {}",
            place(along.right_mm, along.up_mm, unit)
        ));
    }
    if said.is_empty() {
        said
    } else {
        vec![said.join(", ")]
    }
}

/// "1.4 cm down", "1 cm right and 0.2 cm up".
pub fn way(right: f64, up: f64, unit: LengthUnit) -> String {
    ways((right, ["right", "left"]), (up, ["up", "down"]), unit)
}

fn ways(across: (f64, [&str; 2]), along: (f64, [&str; 2]), unit: LengthUnit) -> String {
    let said = |(mm, [more, less]): (f64, [&str; 2])| {
        let word = if mm > 0.0 { more } else { less };
        (mm.abs() > SAME).then(|| format!("{} {word}", length(mm, unit)))
    };
    let ways: Vec<String> = [said(across), said(along)].into_iter().flatten().collect();
    if ways.is_empty() {
        "less than can be drawn".to_owned()
    } else {
        voice::list(&ways)
    }
}
