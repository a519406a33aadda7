//! The cutting ticket: all that goes to the table in words, on one sheet of plain text.

use super::{cut_list, spec_sheet};
use crate::pattern::Pattern;
use std::fmt::Write;

/// Writes the ticket.
pub fn text(pattern: &Pattern) -> String {
    let mut text = String::new();
    let title = pattern.title.trim();
    let _ = writeln!(
        text,
        "{}",
        if title.is_empty() {
            "Untitled draft"
        } else {
            title
        }
    );
    let issue = pattern.issue.words();
    if !issue.is_empty() {
        let _ = writeln!(text, "{issue}");
    }
    for caution in &pattern.cautions {
        let _ = writeln!(text, "Caution: {caution}");
    }
    for piece in &pattern.pieces {
        for caution in &piece.cautions {
            let _ = writeln!(text, "Caution, {}: {caution}", piece.label);
        }
    }
    for part in [cut_list::text(pattern), spec_sheet::text(pattern)] {
        if !part.is_empty() {
            let _ = writeln!(text, "\n{}", part.trim_end());
        }
    }
    text
}
