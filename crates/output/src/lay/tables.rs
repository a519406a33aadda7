//! Yield in words and figures: how long a stretch of each cloth the lays take, and how much of it they use.

use super::{Lay, LayFault, Lays, Way, lays};
use crate::cut_list::{cell, cloth_facts};
use crate::number::{MM_DECIMALS, rounded};
use crate::sheet::length;
use oaktag_language::pattern::Pattern;
use oaktag_language::voice::LengthUnit;
use std::fmt::Write;

/// What is said beside every lay.
pub const NOTE: &str = "A simple lay, pieces on their grain: a marker maker will do better.";

/// What lies between two pieces at the least, as it is typed: a length with its unit.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Gap(pub f64);

impl std::str::FromStr for Gap {
    type Err = String;

    fn from_str(typed: &str) -> Result<Self, String> {
        /// More than anybody leaves, in millimetres.
        const MOST: f64 = 100.0;
        let mm = length(typed).ok_or_else(|| {
            format!("`{typed}` is no length with its unit; write 5mm, 0.5cm or 0.25in")
        })?;
        match (0.0..=MOST).contains(&mm) {
            true => Ok(Self(mm)),
            false => Err(format!("a gap is between 0 and {MOST} mm")),
        }
    }
}

/// The columns of the CSV, one row for each cloth and way to spread it.
pub const COLUMNS: [&str; 10] = [
    "cloth",
    "spread",
    "width_mm",
    "length_mm",
    "to_buy_mm",
    "used",
    "pieces",
    "why_not",
    "left_out",
    "stripes",
];

impl LayFault {
    /// Why there is no lay, in words.
    pub fn words(&self, unit: LengthUnit) -> String {
        match self {
            LayFault::NoWidth => "no lay: the draft does not say how wide the cloth is".to_owned(),
            LayFault::TooWide(label, width) => format!(
                "no lay: {label}, {} across, is wider than the cloth",
                unit.length(*width)
            ),
            LayFault::TooMany(count) => {
                format!("no lay: {count} pieces are more than are laid at once")
            }
        }
    }
}

/// What a lay takes: `184.50 cm long, 76 % used (140.2 cm if no cloth were wasted)`.
pub(super) fn taken(lay: &Lay<'_>, unit: LengthUnit) -> String {
    let mut words = format!(
        "{} long, {:.0} % used ({} if no cloth were wasted)",
        unit.length(lay.length),
        100.0 * lay.usage,
        unit.length(lay.length * lay.usage)
    );
    let shrinks = lay.to_buy > lay.length + lay.repeat + 0.05;
    let why = match (lay.repeat > 0.0, shrinks) {
        (true, true) => "with a repeat of the stripes, before it shrinks",
        (true, false) => "with a repeat of the stripes",
        (false, true) => "before it shrinks",
        (false, false) => return words,
    };
    let _ = write!(words, "; {} {why}", unit.length(lay.to_buy));
    words
}

/// What is said of a cloth's stripes, once where it is the same of both lays.
pub(super) fn stripes(lays: &Lays<'_>) -> Vec<String> {
    let of = |lay: &Result<Lay<'_>, LayFault>| match lay {
        Ok(lay) => lay.stripes.clone(),
        Err(_) => Vec::new(),
    };
    let (open, folded) = (of(&lays.open), of(&lays.folded));
    match (open.is_empty(), folded.is_empty()) {
        (_, true) => open,
        (true, _) => folded,
        _ if open == folded => open,
        _ => {
            let open = open.iter().map(|words| format!("Open: {words}"));
            let folded = folded.iter().map(|words| format!("Folded: {words}"));
            open.chain(folded).collect()
        }
    }
}

/// What is in no lay of a cloth, a sentence a piece.
pub(super) fn left_out<'a>(
    lays: &'a Lays<'_>,
    unit: LengthUnit,
) -> impl Iterator<Item = String> + use<'a> {
    let any = lays.better().is_some();
    lays.left_out
        .iter()
        .filter(move |_| any)
        .map(move |(piece, width)| {
            format!(
                "LEFT OUT: {}, {} across, is wider than the cloth",
                piece.label,
                unit.length(*width)
            )
        })
}

/// What each cloth takes, in lines; empty where no piece is cut from any.
pub fn text(pattern: &Pattern, gap: f64) -> String {
    let mut text = String::new();
    let unit = pattern.unit;
    for lays in lays(pattern, gap) {
        let facts = lays
            .cuts
            .cloth
            .map_or(String::new(), |cloth| cloth_facts(cloth, unit));
        let _ = writeln!(text, "Yield of {}{facts}", lays.cuts.words());
        match (&lays.open, &lays.folded) {
            (Err(fault), Err(other)) if fault == other => {
                let _ = writeln!(text, "  {}", fault.words(unit));
            }
            (open, folded) => {
                for (spread, lay) in [(Way::Open.words(), open), (Way::Folded.words(), folded)] {
                    let words = match lay {
                        Ok(lay) => taken(lay, unit),
                        Err(fault) => fault.words(unit),
                    };
                    let _ = writeln!(text, "  {spread:38} {words}");
                }
            }
        }
        for words in left_out(&lays, unit).chain(stripes(&lays)) {
            let _ = writeln!(text, "  {words}");
        }
    }
    if !text.is_empty() {
        let apart = match gap > 0.0 {
            true => format!(" {} between two pieces at the least.", unit.length(gap)),
            false => String::new(),
        };
        let _ = writeln!(text, "  {NOTE}{apart}");
    }
    text
}

/// Yield as CSV with a heading row, in millimetres; the share used is of the cloth in use.
///
/// # Errors
/// None that a pattern can cause; the writer's own are passed on.
pub fn csv(pattern: &Pattern, gap: f64) -> Result<Vec<u8>, csv::Error> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(COLUMNS)?;
    for lays in lays(pattern, gap) {
        for (spread, lay) in [("open", &lays.open), ("folded", &lays.folded)] {
            writer.write_record(row(&lays, spread, lay, pattern.unit))?;
        }
    }
    writer
        .into_inner()
        .map_err(|error| error.into_error().into())
}

fn row(
    lays: &Lays<'_>,
    spread: &str,
    lay: &Result<Lay<'_>, LayFault>,
    unit: LengthUnit,
) -> [String; 10] {
    let mm = |length: f64| rounded(length, MM_DECIMALS).to_string();
    let (width, length, to_buy, used, pieces, why_not) = match lay {
        Ok(lay) => (
            mm(lay.width),
            mm(lay.length),
            mm(lay.to_buy),
            rounded(lay.usage, 4).to_string(),
            lay.placed.len().to_string(),
            String::new(),
        ),
        Err(fault) => {
            let none = String::new;
            (
                none(),
                none(),
                none(),
                none(),
                none(),
                cell(&fault.words(unit)),
            )
        }
    };
    let name = cell(lays.cuts.name);
    let left_out: Vec<String> = lays
        .left_out
        .iter()
        .map(|(piece, width)| format!("{}, {} across", piece.label, unit.length(*width)))
        .collect();
    [
        name,
        spread.to_owned(),
        width,
        length,
        to_buy,
        used,
        pieces,
        why_not,
        cell(&left_out.join("; ")),
        cell(
            &lay.as_ref()
                .map_or(String::new(), |lay| lay.stripes.join("; ")),
        ),
    ]
}
