//! What is said of a seam beside its two lengths, in the same words wherever it is said: its sections, what is eased in,
//! gathered or stretched, its pleats, darts and openings, and how the lines beside it run on.

use super::spec::Value;
use super::{After, Ease, Held, Opening, Pattern, Piece, Seam, SeamEnd, Section, Side};
use crate::voice;
use crate::voice::LengthUnit;

/// Everything of a seam that is more than its two lengths, a sentence each.
pub fn of_seam(seam: &Seam, pattern: &Pattern) -> Vec<String> {
    let mut said = Vec::new();
    if let Some(words) = sections(seam, pattern) {
        said.push(words);
    }
    let eases = seam.eases.iter().filter(|ease| ease.most > 0.0);
    said.extend(eases.map(|one| ease(one, seam, pattern)));
    said.extend(passed(seam));
    said.extend(seam.openings.iter().map(|one| opening(one, pattern)));
    said.extend(ends(seam, pattern));
    said
}

/// The lengths of the sections, where there is more than one or something is eased.
pub fn sections(seam: &Seam, pattern: &Pattern) -> Option<String> {
    if seam.sections.len() < 2 && !seam.is_eased() {
        return None;
    }
    let said: Vec<String> = seam
        .sections
        .iter()
        .map(|one| section(one, pattern))
        .collect();
    (!said.is_empty()).then(|| format!("sections {}", said.join(", ")))
}

/// By how many millimetres two lengths that are held against each other differ before it is seen in their figures: a difference that
/// is found fault with is always seen.
pub fn least_said(fits: bool) -> f64 {
    if fits { STEP } else { 1e-6 }
}

fn section(section: &Section, pattern: &Pattern) -> String {
    let (first, second) = section.between.lengths();
    let unit = pattern.unit;
    let lengths = unit.lengths_apart(&[first, second], least_said(section.ok));
    let lengths = lengths.join(" to ");
    match (section.ok, section.open) {
        (false, _) => format!("{lengths} DIFFER"),
        (true, true) => format!("{lengths} open"),
        (true, false) => lengths,
    }
}

/// What is done with an edge that is not as long as its partner: `back cap eased 4 mm between 95 mm and 231 mm`.
pub fn ease(ease: &Ease, seam: &Seam, pattern: &Pattern) -> String {
    let unit = pattern.unit;
    let side = if ease.on_first {
        &seam.first
    } else {
        &seam.second
    };
    let amount = amount((ease.least, ease.most), ease.ratio, unit);
    let place = match (ease.spans.first(), ease.spans.last()) {
        (Some(first), Some(last)) if ease.placed => format!(
            ", between {} and {} from its start",
            unit.length(first.0),
            unit.length(last.1)
        ),
        _ => String::new(),
    };
    let edges = if ease.edges.is_empty() {
        side.spoken()
    } else {
        ease.edges.clone()
    };
    format!("{edges} {} {amount}{place}", ease.done())
}

/// Darts and pleats that the sides run on over.
fn passed(seam: &Seam) -> Vec<String> {
    let of = |side: &Side| {
        let count = |after: After| side.edges.iter().filter(|edge| edge.after == after).count();
        let said = |count: usize, one: &str, many: &str| match count {
            0 => None,
            1 => Some(format!("a {one}")),
            n => Some(format!("{n} {many}")),
        };
        let over: Vec<String> = [
            said(count(After::Dart), "dart", "darts"),
            said(count(After::Pleat), "pleat", "pleats"),
            said(
                count(After::Over),
                "part that is passed by",
                "parts that are passed by",
            ),
        ]
        .into_iter()
        .flatten()
        .collect();
        let verb = if side.edges.len() > 1 { "run" } else { "runs" };
        (!over.is_empty())
            .then(|| format!("{} {verb} on over {}", side.spoken(), voice::list(&over)))
    };
    [&seam.first, &seam.second]
        .into_iter()
        .filter_map(of)
        .collect()
}

fn opening(opening: &Opening, pattern: &Pattern) -> String {
    let (from, to) = (opening.from.0, opening.to.0);
    let words = if opening.words.is_empty() {
        String::new()
    } else {
        format!(" for the {}", opening.words)
    };
    format!(
        "open{words}, {} from {} on",
        pattern.unit.length(to - from),
        pattern.unit.length(from)
    )
}

/// A step or a difference smaller than this, in millimetres, is not said.
const STEP: f64 = 0.05;

fn ends(seam: &Seam, pattern: &Pattern) -> Vec<String> {
    let said = seam.ends.iter().map(|end| {
        let (one, other) = end.spoken();
        let edges = format!("{one} and {other}");
        let angle = voice::angle(end.angle) + &step(end, pattern.unit);
        match &end.corner {
            Some(words) if words.is_empty() => {
                format!("{edges} make a corner of {angle}, as meant")
            }
            Some(words) => format!("{edges} make a corner of {angle}: {words}"),
            None if end.ok => format!("{edges} run on at {angle}"),
            None => format!("{edges} DO NOT RUN ON: {angle}"),
        }
    });
    said.collect()
}

/// How far lines that run on lie beside each other; empty where that is not seen.
pub fn step(end: &SeamEnd, unit: LengthUnit) -> String {
    if end.step > STEP {
        format!(", with a step of {}", unit.difference(end.step))
    } else {
        String::new()
    }
}

/// How much: `4 mm`, `4 mm to 6 mm`, `1.5 to 1`.
fn amount(range: (f64, f64), ratio: Option<(f64, f64)>, unit: LengthUnit) -> String {
    match ratio {
        Some((low, high)) if low == high => format!("{} to 1", voice::number(low)),
        Some((low, high)) => {
            format!("{} or {} to 1", voice::number(low), voice::number(high))
        }
        None if range.0 == range.1 => unit.length(range.0),
        None => format!("{} to {}", unit.length(range.0), unit.length(range.1)),
    }
}

impl Held {
    /// What stands beside the edge on paper: `ease 4 mm`.
    pub fn words(&self, unit: LengthUnit) -> String {
        format!(
            "{} {}",
            self.how.word(),
            amount(self.amount, self.ratio, unit)
        )
    }
}

impl Piece {
    /// Its darts, a sentence each: `dart takes 30 mm, legs 120 mm, pressed toward side`.
    pub fn darts_said(&self, pattern: &Pattern) -> Vec<String> {
        let unit = pattern.unit;
        let said = self.darts.iter().map(|dart| {
            let inside = if dart.other_apex.is_some() {
                " inside the piece"
            } else {
                ""
            };
            let mut words = format!(
                "dart{inside} of {}, legs {}",
                unit.length(dart.take()),
                unit.length(dart.legs.0)
            );
            if !dart.pressed.is_empty() {
                words.push_str(&format!(", pressed toward {}", voice::name(&dart.pressed)));
            }
            if let Some(sewn) = dart.sewn {
                words.push_str(&format!(
                    ", sewn {} from the mouth, the rest a pleat",
                    unit.length(sewn)
                ));
            }
            words
        });
        said.collect()
    }
}

/// A value of a measure, a choice or a name.
pub fn value(value: &Value, unit: LengthUnit) -> String {
    match value {
        Value::Length(mm) => unit.length(*mm),
        Value::Angle(degrees) => voice::angle(*degrees),
        Value::Area(mm2) => unit.area(*mm2),
        Value::Number(number) => voice::number(*number),
        Value::Text(text) => text.clone(),
        Value::Answer(answer) => if *answer { "yes" } else { "no" }.to_owned(),
        Value::Point(_) => "a point".to_owned(),
        Value::Line(_) => "a line".to_owned(),
        Value::Curve(_) => "a curve".to_owned(),
        Value::Direction(_) => "a direction".to_owned(),
        Value::List(items) => voice::count(items.len(), "item"),
    }
}
