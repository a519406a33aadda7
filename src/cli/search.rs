//! `check --search`: what was tried, what was found, and the line that shows it again.

use super::End;
use super::batch::Threads;
use super::progress::Progress;
use super::told;
use oaktag_language::check::program::Program;
use oaktag_language::draft::inputs::Given;
use oaktag_language::kind::Dimension;
use oaktag_language::report::{SourceMap, Span, terminal};
use oaktag_language::voice;
use oaktag_studio::session::Session;
use oaktag_studio::sizes::answer::one_line;
use oaktag_studio::sizes::search::axis::{Range, typed};
use oaktag_studio::sizes::search::{Covered, Found, NoSearch, Plan, Report};
use std::fmt::Write;

/// Options of a search.
#[derive(Clone, Debug, clap::Args)]
pub(super) struct SearchOptions {
    /// Look through the declared ranges of measures and choices for a body on which the draft fails
    #[arg(long, conflicts_with = "bodies")]
    pub search: bool,
    /// Try at most this many bodies with --search
    #[arg(long, value_name = "N", default_value_t = 2_000, requires = "search")]
    pub tries: usize,
    /// Begin the sweep of --search elsewhere; the same seed tries the same bodies
    #[arg(long, value_name = "N", default_value_t = 1, requires = "search")]
    pub seed: u64,
}

/// Different failures that are looked for in one run.
const MOST: usize = 5;

/// Searches a draft. `again` is the command that checks it as it was asked for.
pub(super) fn run(session: &Session, again: &str, options: &SearchOptions, by: Threads) -> End {
    let plan = Plan {
        seed: options.seed,
        tries: options.tries,
        most: MOST,
        threads: by.count(),
    };
    let mut progress = Progress::of_silent_run("bodies", plan.tries);
    let report = session.search(plan, &mut || progress.step());
    progress.end();
    match report {
        Ok(report) => {
            told::report(&words(&report, session, again, plan));
            for found in &report.found {
                told::diagnostics(session, std::slice::from_ref(&found.diagnostic));
            }
            if report.found.is_empty() {
                End::Well
            } else {
                End::Wrong
            }
        }
        Err(NoSearch::NotWell) => {
            told::line(&format!(
                "the draft already fails as it stands, so there is nothing to search for: first mend what `{again}` reports."
            ));
            End::Wrong
        }
        Err(NoSearch::NothingToVary) => {
            told::line(
                "there is nothing to vary: no measure or choice has a range. Write one after it, `between 70cm and 140cm`.",
            );
            End::Misused
        }
    }
}

fn words(report: &Report, session: &Session, again: &str, plan: Plan) -> String {
    let (sources, program) = (session.sources(), session.program());
    let mut text = String::new();
    let refused: usize = report.refused.values().sum();
    let _ = writeln!(
        text,
        "Bodies tried: {} (seed {}). {} held, {refused} refused by the draft's own limits, {} failed.",
        report.tried, plan.seed, report.held, report.failed
    );
    covered(&mut text, report, program);
    refusals(&mut text, report, sources);
    for (number, found) in report.found.iter().enumerate() {
        failure(
            &mut text,
            (number + 1, report.found.len()),
            found,
            program,
            again,
        );
    }
    let last = match (report.found.len(), report.held) {
        (0, 0) => "Nothing was drawn, so nothing was found.".to_owned(),
        (0, _) => "No body was found on which it fails.".to_owned(),
        (MOST.., _) => format!("{MOST} failures were found, and the search ended there."),
        (1, _) => "1 failure was found.".to_owned(),
        (found, _) => format!("{found} failures were found."),
    };
    let _ = writeln!(text, "\n{last}");
    text
}

/// What was varied, how far, and what was not.
fn covered(text: &mut String, report: &Report, program: &Program) {
    let wide = report
        .covered
        .iter()
        .map(|c| c.axis.name.chars().count())
        .max()
        .unwrap_or(0);
    let _ = writeln!(text, "\nVaried");
    for one in &report.covered {
        let name = voice::name(&one.axis.name);
        let _ = writeln!(text, "  {name:wide$}  {}", range_words(one, program));
    }
    if !report.fixed.is_empty() {
        let mut by_why: Vec<(&str, Vec<String>)> = Vec::new();
        for fixed in &report.fixed {
            let name = voice::name(&fixed.name);
            match by_why.iter_mut().find(|(why, _)| *why == fixed.why) {
                Some((_, names)) => names.push(name),
                None => by_why.push((fixed.why, vec![name])),
            }
        }
        let _ = writeln!(text, "\nNot varied");
        for (why, names) in by_why {
            let _ = writeln!(text, "  {why}: {}", names.join(", "));
        }
    }
}

fn range_words(one: &Covered, program: &Program) -> String {
    let shown = |figure: f64, dimension: Dimension| program.unit.quantity(dimension, figure);
    match (&one.axis.range, one.drawn) {
        (
            Range::Figure {
                low,
                high,
                dimension,
                ..
            },
            Some((least, most)),
        ) => {
            let range = format!(
                "{} to {}",
                shown(*low, *dimension),
                shown(*high, *dimension)
            );
            if least <= low + 1e-6 && most >= high - 1e-6 {
                range
            } else {
                let (least, most) = (shown(least, *dimension), shown(most, *dimension));
                format!("{range}, not refused from {least} to {most}")
            }
        }
        (
            Range::Figure {
                low,
                high,
                dimension,
                ..
            },
            None,
        ) => {
            format!(
                "{} to {}, always refused",
                shown(*low, *dimension),
                shown(*high, *dimension)
            )
        }
        (Range::Words(words), _) => {
            let words: Vec<String> = words.iter().map(|word| typed(word, program.unit)).collect();
            words.join(", ")
        }
    }
}

/// Most refusals that are named.
const MOST_REFUSALS: usize = 5;

fn refusals(text: &mut String, report: &Report, sources: &SourceMap) {
    if report.refused.is_empty() {
        return;
    }
    let mut groups: Vec<_> = report.refused.iter().collect();
    groups.sort_by(|a, b| b.1.cmp(a.1).then(a.0.cmp(b.0)));
    let _ = writeln!(text, "\nRefused by");
    for (failure, count) in groups.iter().take(MOST_REFUSALS) {
        let quoted = sentence(sources, failure.span);
        let quoted: String = quoted.split_whitespace().collect::<Vec<_>>().join(" ");
        let quoted: String = quoted.chars().take(60).collect();
        let place = format!(
            "{} line {}",
            sources.name(failure.span.file),
            sources.line(failure.span)
        );
        let _ = writeln!(text, "  {count:>6}  {}, {place}: {quoted}", failure.code);
    }
    if groups.len() > MOST_REFUSALS {
        let _ = writeln!(text, "  and {} other limits", groups.len() - MOST_REFUSALS);
    }
}

/// The line in which something stands: a range alone would not say of what.
fn sentence(sources: &SourceMap, span: Span) -> &str {
    let (text, bytes) = (sources.text(span.file), sources.bytes(span));
    let before = text.get(..bytes.start).unwrap_or_default();
    let start = before.rfind('\n').map_or(0, |at| at + 1);
    let rest = text.get(start..).unwrap_or_default();
    let end = rest
        .find('\n')
        .unwrap_or(rest.len())
        .max(bytes.end.saturating_sub(start));
    rest.get(..end).unwrap_or(rest)
}

fn failure(
    text: &mut String,
    (number, count): (usize, usize),
    found: &Found,
    program: &Program,
    again: &str,
) {
    let which = if count > 1 {
        format!(" {number}")
    } else {
        String::new()
    };
    let _ = writeln!(
        text,
        "\nFailure{which}, met after {}",
        voice::count(found.tried, "body")
    );
    let _ = writeln!(text, "  {}", one_line(&found.diagnostic, program.unit));
    let _ = writeln!(
        text,
        "  See it with\n    {}",
        repeated(again, &found.changed, program)
    );
}

/// The command that shows a failure again.
fn repeated(again: &str, changed: &[(String, Given)], program: &Program) -> String {
    let mut line = again.to_owned();
    for (name, value) in changed {
        let _ = write!(
            line,
            " --set {}",
            quoted(&format!("{name}={}", typed(value, program.unit)))
        );
    }
    line
}

/// A word as a shell takes it.
pub(super) fn quoted(word: &str) -> String {
    let plain = |c: char| c.is_ascii_alphanumeric() || "=._-/:+".contains(c);
    if !word.is_empty() && word.chars().all(plain) {
        word.to_owned()
    } else {
        format!("'{}'", terminal::harmless(word).replace('\'', "'\\''"))
    }
}

/// The command that checks a draft with these settings.
pub(super) fn command(file: &str, settings: &[String], body: Option<&str>) -> String {
    let mut line = format!("oaktag check {}", quoted(file));
    if let Some(body) = body {
        let _ = write!(line, " --body {}", quoted(body));
    }
    for setting in settings {
        let _ = write!(line, " --set {}", quoted(setting));
    }
    line
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_command_is_quoted_where_a_shell_needs_it() {
        let line = command(
            "my draft.draft",
            &["shape=it's".to_owned()],
            Some("crew.csv:Ada"),
        );
        assert_eq!(
            line,
            r"oaktag check 'my draft.draft' --body crew.csv:Ada --set 'shape=it'\''s'"
        );
        assert_eq!(quoted("Größe"), "'Größe'");
    }
}
