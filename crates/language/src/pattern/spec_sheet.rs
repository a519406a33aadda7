//! The spec sheet: what the finished garment measures, with what may pass, each by a named rule. Two sources: lengths that the
//! draft names `finished_…`, and the seams, as they were walked.

use super::spec::Value;
use super::{Pattern, WearerSide};
use crate::voice;

/// One line of the spec sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct FinishedMeasure {
    /// What is measured: `bust`, `side seam`.
    pub name: String,
    /// What it measures, in millimetres.
    pub mm: f64,
    /// What may pass, either way, in millimetres.
    pub tolerance: f64,
    /// How it is measured.
    pub rule: &'static str,
}

/// The prefix by which a draft names a finished measure.
pub const PREFIX: &str = "finished_";
/// How a seam is measured.
pub const SEAM_RULE: &str = "along the seam once, on the side that is not eased";
/// How a finished measure is taken that has no rule of its own here.
const AS_RECKONED: &str = "as the draft reckons it";
/// Names that the library knows for finished measures, and how each is taken on the garment laid flat and closed (common
/// practice): a line each, the name before a colon.
const RULES: &str = include_str!("../../../../stdlib/finished.txt");

/// How the finished measure of that name is taken.
fn rule(name: &str) -> &'static str {
    let rows = RULES.lines().filter_map(|line| line.split_once(": "));
    rows.into_iter()
        .find(|(known, _)| *known == name)
        .map_or(AS_RECKONED, |(_, rule)| rule)
}

/// What may pass on a finished measure (common practice): up to this length, so much.
const TOLERANCES: [(f64, f64); 2] = [(100.0, 3.0), (600.0, 5.0)];
/// What may pass on a longer one.
const WIDEST_TOLERANCE: f64 = 10.0;

/// What may pass on a finished length of so many millimetres.
pub fn tolerance(mm: f64) -> f64 {
    let row = TOLERANCES.iter().find(|(most, _)| mm <= *most);
    row.map_or(WIDEST_TOLERANCE, |(_, tolerance)| *tolerance)
}

impl Pattern {
    /// The spec sheet: the draft's own figures in the order drawn, then the seams in the order declared.
    pub fn spec_sheet(&self) -> Vec<FinishedMeasure> {
        let mut sheet: Vec<FinishedMeasure> = Vec::new();
        for value in &self.values {
            let (stem, side) = WearerSide::split(&value.name).unzip();
            let last = stem.unwrap_or(&value.name).rsplit('.').next().unwrap_or("");
            let (Some(what), Value::Length(mm)) = (last.strip_prefix(PREFIX), &value.value) else {
                continue;
            };
            let line = FinishedMeasure {
                name: side.map_or_else(
                    || voice::letters(what),
                    |side| voice::letters(&side.of(what)),
                ),
                mm: *mm,
                tolerance: tolerance(*mm),
                rule: rule(what),
            };
            match sheet.iter_mut().find(|other| other.name == line.name) {
                // One panel laid over another keeps the figure under both names.
                Some(other) if (other.mm - line.mm).abs() < 0.001 => {}
                Some(_) => sheet.push(FinishedMeasure {
                    name: voice::letters(&value.name.replace(PREFIX, "")),
                    ..line
                }),
                None => sheet.push(line),
            }
        }
        let seams = self.seams.iter().map(|seam| {
            let mm = seam.first.length.min(seam.second.length);
            FinishedMeasure {
                name: seam_name(&seam.name),
                mm,
                tolerance: tolerance(mm),
                rule: SEAM_RULE,
            }
        });
        sheet.extend(seams);
        sheet
    }
}

/// `side` is the side seam; a name that ends in `_seam` says so itself.
fn seam_name(name: &str) -> String {
    let name = voice::letters(name);
    if name.split(' ').any(|word| word == "seam") {
        name
    } else {
        format!("{name} seam")
    }
}
