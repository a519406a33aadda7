//! The cutting ticket: all that goes to the table in words, on one sheet of plain text.

use super::drawing::tables::CARE;
use super::drawing::text::{heading, printable};
use super::{cut_list, lay, spec_sheet};
use oaktag_language::pattern::{Pattern, said};
use oaktag_language::voice;
use std::fmt::Write;

/// Writes all that the cutting table must know, in lines of plain text.
pub fn text(pattern: &Pattern) -> String {
    let mut text = String::new();
    let _ = writeln!(text, "{}", heading(pattern.title.trim()));
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
    for words in &pattern.sides {
        let _ = writeln!(text, "{}", broken(words, 100));
    }
    for part in [
        cut_list::text(pattern),
        lay::text(pattern),
        making_up(pattern),
        sewing(pattern),
        spec_sheet::text(pattern),
        broken(CARE, 100),
    ] {
        if !part.is_empty() {
            let _ = writeln!(text, "\n{}", part.trim_end());
        }
    }
    // It is read on a terminal as well, which the letters of a draft must not steer.
    text.lines().map(|line| printable(line) + "\n").collect()
}

/// The seams in the order they are made up; empty where the draft states none.
fn making_up(pattern: &Pattern) -> String {
    let steps = pattern.making_up();
    let Some(wide) = steps.iter().map(|step| step.seam.chars().count()).max() else {
        return String::new();
    };
    let mut text = "Making up, in this order\n".to_owned();
    for step in &steps {
        let line = format!("  {:>3}  {:wide$}  {}", step.number, step.seam, step.how());
        let _ = writeln!(text, "{}", line.trim_end());
    }
    text
}

/// Darts, and each seam with its sections, what is held in, pleats and openings; empty where there are neither.
fn sewing(pattern: &Pattern) -> String {
    let mut text = String::new();
    for piece in &pattern.pieces {
        for dart in piece.darts_said(pattern) {
            let _ = writeln!(text, "  {}: {dart}", piece.label);
        }
    }
    for seam in &pattern.seams {
        let name = voice::letters(&seam.name);
        let verdict = if seam.ok { "" } else { ": DOES NOT FIT" };
        let _ = writeln!(
            text,
            "  {name}  {} to {}{verdict}",
            pattern.unit.bare(seam.first.length),
            pattern.unit.length(seam.second.length)
        );
        for words in said::of_seam(seam, pattern) {
            let _ = writeln!(
                text,
                "      {}",
                broken(&words, 92).replace('\n', "\n        ")
            );
        }
    }
    if text.is_empty() {
        text
    } else {
        format!("Darts and seams\n{text}")
    }
}

/// Words broken into lines of at most so many letters.
fn broken(words: &str, most: usize) -> String {
    let mut lines: Vec<String> = Vec::new();
    for word in words.split_whitespace() {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= most => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines.join("\n")
}
