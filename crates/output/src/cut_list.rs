//! The cut list for the table: as text in columns, by cloth, and as CSV (RFC 4180) for a spreadsheet. Text in a cell is data:
//! one that a spreadsheet would take for a formula is led by an apostrophe.

use super::number::{AREA_DECIMALS, rounded};
use oaktag_language::pattern::Pattern;
use oaktag_language::pattern::spec::ClothSpec;
use oaktag_language::report::terminal;
use oaktag_language::voice::LengthUnit;
use std::fmt::Write;

/// The columns of the CSV, one row a piece.
pub const COLUMNS: [&str; 13] = [
    "cloth",
    "cloth_label",
    "number",
    "of",
    "piece",
    "label",
    "cut",
    "laid",
    "left",
    "right",
    "area_mm2",
    "issue",
    "cautions",
];

/// The cut list by cloth, in columns.
pub fn text(pattern: &Pattern) -> String {
    let mut text = String::new();
    let lists = pattern.cut_list();
    let wide = pattern
        .pieces
        .iter()
        .map(|piece| piece.label.chars().count());
    let wide = wide.max().unwrap_or(0);
    for cuts in &lists {
        let facts = cuts
            .cloth
            .map_or(String::new(), |cloth| cloth_facts(cloth, pattern.unit));
        let _ = writeln!(text, "{}{facts}", cuts.heading());
        for piece in &cuts.pieces {
            let line = format!(
                "  {:>3}  {:wide$}  {}",
                piece.number.0,
                piece.label,
                piece.cut_words()
            );
            let _ = writeln!(text, "{}", line.trim_end());
        }
        let area = pattern.unit.area(cuts.area());
        let _ = writeln!(text, "       {area} of cloth inside the cutting lines\n");
    }
    text
}

/// Width, nap, print and repeats, as far as they are declared: `, 150 cm wide, with nap`.
pub fn cloth_facts(cloth: &ClothSpec, unit: LengthUnit) -> String {
    let mut facts = String::new();
    if let Some(width) = cloth.width {
        let _ = write!(facts, ", {} wide", unit.length(width));
    }
    if cloth.nap {
        facts.push_str(", with nap");
    }
    for pattern in patterned(cloth, unit) {
        let _ = write!(facts, ", {pattern}");
    }
    facts
}

/// What of a cloth binds how its pieces lie; none where they may lie either way.
pub fn one_way(cloth: &ClothSpec, unit: LengthUnit) -> Option<String> {
    let nap = cloth.nap.then(|| "one way, with nap".to_owned());
    let words: Vec<String> = nap.into_iter().chain(patterned(cloth, unit)).collect();
    (!words.is_empty()).then(|| words.join(", "))
}

/// The stripes and the plaid of a cloth with their repeats, and whether they, or its print, have a direction.
fn patterned(cloth: &ClothSpec, unit: LengthUnit) -> Vec<String> {
    let stripe = cloth.stripe.map(|every| ("stripes", every));
    let plaid = cloth.plaid.map(|every| ("plaid", every));
    let way = if cloth.one_way { "one-way " } else { "" };
    let repeats = stripe.into_iter().chain(plaid);
    let repeats = repeats.map(|(what, every)| format!("{way}{what} every {}", unit.length(every)));
    let mut words: Vec<String> = repeats.collect();
    if cloth.one_way && words.is_empty() {
        words.push("one-way print".to_owned());
    }
    words
}

/// The cut list as CSV with a heading row.
///
/// # Errors
/// None that a pattern can cause; the writer's own are passed on.
pub fn csv(pattern: &Pattern) -> Result<Vec<u8>, csv::Error> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(COLUMNS)?;
    let issue = pattern.issue.words();
    for cuts in pattern.cut_list() {
        for piece in &cuts.pieces {
            let area = piece.cloth_area();
            let [left, right] = match piece.left_and_right() {
                Some(counts) => counts.map(|count| count.to_string()),
                None => [const { String::new() }; 2],
            };
            writer.write_record([
                cell(cuts.name),
                cell(cuts.cloth.map_or("", |cloth| cloth.label.as_str())),
                piece.number.0.to_string(),
                piece.number.1.to_string(),
                cell(&piece.name),
                cell(&piece.label),
                piece.cut.count.to_string(),
                piece.laid().word().to_owned(),
                left,
                right,
                area.map_or(String::new(), |area| {
                    rounded(area, AREA_DECIMALS).to_string()
                }),
                cell(&issue),
                cell(&piece.cautions.join("; ")),
            ])?;
        }
    }
    writer
        .into_inner()
        .map_err(|error| error.into_error().into())
}

/// A text as a cell that no spreadsheet runs (the signs: OWASP, "CSV Injection", from memory).
pub fn cell(text: &str) -> String {
    // Cleaned first: what is taken away might have hidden a sign.
    let text = terminal::harmless(text);
    let first = text.trim_start_matches(' ').chars().next();
    if first.is_some_and(|first| "=+-@\t\r\n".contains(first)) {
        format!("'{text}")
    } else {
        text.into_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::cell;

    #[test]
    fn no_cell_is_a_formula() {
        assert_eq!(cell("=1+1"), "'=1+1");
        assert_eq!(cell("@a"), "'@a");
        assert_eq!(cell("Facing, upper"), "Facing, upper");
    }
}
