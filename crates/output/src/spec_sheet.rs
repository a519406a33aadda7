//! The spec sheet for the table and for a spreadsheet: what the finished garment measures, what may pass, and how it is taken.

use super::cut_list::cell;
use super::number::{MM_DECIMALS, rounded};
use oaktag_language::pattern::Pattern;
use std::fmt::Write;

/// The columns of the CSV, one row a measure.
pub const COLUMNS: [&str; 5] = ["measure", "mm", "tolerance_mm", "rule", "issue"];

/// The spec sheet in columns; empty where there is nothing to measure.
pub fn text(pattern: &Pattern) -> String {
    let sheet = pattern.spec_sheet();
    let wide = sheet.iter().map(|line| line.name.chars().count()).max();
    let Some(wide) = wide else {
        return String::new();
    };
    let mut text = "Finished measures, and their tolerance (common practice)\n".to_owned();
    for line in &sheet {
        let _ = writeln!(
            text,
            "  {:wide$}  {:>10}  ± {:<8}  {}",
            line.name,
            pattern.unit.length(line.mm),
            pattern.unit.length(line.tolerance),
            line.rule
        );
    }
    text
}

/// The spec sheet as CSV with a heading row, in millimetres.
///
/// # Errors
/// None that a pattern can cause; the writer's own are passed on.
pub fn csv(pattern: &Pattern) -> Result<Vec<u8>, csv::Error> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(COLUMNS)?;
    let issue = pattern.issue.words();
    for line in pattern.spec_sheet() {
        writer.write_record([
            cell(&line.name),
            rounded(line.mm, MM_DECIMALS).to_string(),
            rounded(line.tolerance, MM_DECIMALS).to_string(),
            line.rule.to_owned(),
            cell(&issue),
        ])?;
    }
    writer
        .into_inner()
        .map_err(|error| error.into_error().into())
}
