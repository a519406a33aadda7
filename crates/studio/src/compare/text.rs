//! A report for the terminal and for a review. In Markdown nothing that a draft says becomes markup.

use super::report::{Line, Report};

/// The comparison in lines of plain letters, as a terminal shows it.
pub fn plain(report: &Report) -> String {
    let mut out = format!("{}: {}\n", report.title, report.sides);
    for section in &report.sections {
        out.push_str(&format!("\n{}\n", section.heading));
        for group in &section.groups {
            let indent = if group.heading.is_empty() {
                "  "
            } else {
                out.push_str(&format!("  {}\n", group.heading));
                "    "
            };
            for line in &group.lines {
                out.push_str(&format!("{indent}{}\n", line.words));
                for (sign, text) in [('-', &line.old), ('+', &line.new)] {
                    if let Some(text) = text {
                        out.push_str(&format!("{indent}  {sign} {text}\n"));
                    }
                }
            }
        }
    }
    out.push_str(&format!("\n{}\n", report.verdict));
    out
}

/// For a review: Markdown, what to do with the paper first, then headings and lists, the sentences as differences.
pub fn markdown(report: &Report) -> String {
    let mut out = format!(
        "## {}: what changed\n\n{}\n\n**{}**\n",
        escaped(&report.title),
        escaped(&report.sides),
        escaped(&report.verdict)
    );
    for section in &report.sections {
        out.push_str(&format!("\n### {}\n", section.heading));
        for group in &section.groups {
            if !group.heading.is_empty() {
                out.push_str(&format!("\n**{}**\n", escaped(&group.heading)));
            }
            out.push('\n');
            let (written, plain): (Vec<&Line>, Vec<&Line>) =
                group.lines.iter().partition(|line| has_text(line));
            for line in plain {
                out.push_str(&format!("- {}\n", escaped(&line.words)));
            }
            if !out.ends_with("\n\n") && !written.is_empty() {
                out.push('\n');
            }
            out.push_str(&in_fence(&written));
        }
    }
    out
}

fn has_text(line: &Line) -> bool {
    line.old.is_some() || line.new.is_some()
}

/// The author's sentences as one difference, each under its place.
fn in_fence(lines: &[&Line]) -> String {
    if lines.is_empty() {
        return String::new();
    }
    let texts: Vec<&Option<String>> = lines
        .iter()
        .flat_map(|line| [&line.old, &line.new])
        .collect();
    let fence = fence(&texts);
    let mut out = format!("{fence}diff\n");
    for line in lines {
        out.push_str(&format!("@@ {} @@\n", line.words));
        for (sign, text) in [('-', &line.old), ('+', &line.new)] {
            if let Some(text) = text {
                out.push_str(&format!("{sign} {text}\n"));
            }
        }
    }
    format!("{out}{fence}\n")
}

/// A fence longer than any row of backticks in the texts it holds.
fn fence(texts: &[&Option<String>]) -> String {
    let longest = |text: &str| text.split(|c| c != '`').map(str::len).max().unwrap_or(0);
    let most = texts
        .iter()
        .filter_map(|text| text.as_deref())
        .map(longest)
        .max()
        .unwrap_or(0);
    "`".repeat((most + 1).max(3))
}

/// Letters that Markdown would read as its own get a backslash before them (CommonMark 0.31, 2.4 Backslash escapes).
pub fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        if matches!(
            c,
            '\\' | '`' | '*' | '_' | '<' | '>' | '[' | ']' | '|' | '#' | '~' | '&' | '!'
        ) {
            out.push('\\');
        }
        out.push(if c.is_control() { ' ' } else { c });
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_draft_says_is_no_markup() {
        assert_eq!(
            escaped("<b> *x* [y](z) `q`"),
            "\\<b\\> \\*x\\* \\[y\\](z) \\`q\\`"
        );
        assert_eq!(fence(&[&Some("a ```` b".into()), &None]), "`````");
    }
}
