//! `check`: the measures at the head, each seam with both lengths, each check, and the edges nobody walks.

use super::End;
use super::batch;
use super::let_go;
use super::load::{self, Values};
use super::search;
use super::told::{self, Format};
use super::why;
use oaktag_language::draft::Outcome;
use oaktag_language::draft::record::NotJudged;
use oaktag_language::pattern::said::{self, least_said};
use oaktag_language::pattern::spec::{Anew, Check, MeasureUsed};
use oaktag_language::pattern::{Decided, Pattern, Seam};
use oaktag_language::voice::{self, LengthUnit};
use oaktag_studio::session::Session;
use serde_json::json;
use std::fmt::Write;

/// Arguments of `check`.
#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// Drafts to check; - reads one from standard input
    #[arg(required = true, value_name = "FILE")]
    files: Vec<String>,
    #[command(flatten)]
    values: Values,
    /// Check the draft for each body of a table, a line a body
    #[arg(long, value_name = "TABLE", conflicts_with = "body")]
    bodies: Option<String>,
    #[command(flatten)]
    batch: batch::BatchOptions,
    #[command(flatten)]
    search: search::SearchOptions,
    /// Tell what moves a seam, edge or figure, and by how much for a centimetre: armhole, front.side
    #[arg(long, value_name = "NAME", conflicts_with_all = ["bodies", "search"])]
    why: Option<String>,
    /// How messages are written
    #[arg(long, value_enum, default_value_t)]
    format: Format,
    /// Say only what is wrong
    #[arg(long, short)]
    quiet: bool,
}

impl Arguments {
    /// Whether a draft is drawn once, and told.
    fn tells_one_drawing(&self) -> bool {
        self.bodies.is_none() && !self.search.search && self.why.is_none()
    }
}

/// Checks each draft.
pub(super) fn run(arguments: &Arguments) -> End {
    let mut end = End::Well;
    let mut reports = Vec::new();
    for file in &arguments.files {
        let one = one(arguments, file, &mut reports);
        end = worse(end, one);
    }
    // A table's answers are lines of their own.
    if arguments.format == Format::Json && arguments.tells_one_drawing() {
        let value = if arguments.files.len() == 1 {
            reports.pop().unwrap_or_default()
        } else {
            serde_json::Value::Array(reports)
        };
        told::json(&format!("{value:#}\n"));
    }
    end
}

fn worse(a: End, b: End) -> End {
    let rank = |end: End| match end {
        End::Well => 0,
        End::Wrong => 1,
        End::NoFile => 2,
        End::Misused => 3,
    };
    if rank(b) > rank(a) { b } else { a }
}

fn one(arguments: &Arguments, file: &str, reports: &mut Vec<serde_json::Value>) -> End {
    told_of(arguments, file, reports).unwrap_or_else(|end| end)
}

fn told_of(
    arguments: &Arguments,
    file: &str,
    reports: &mut Vec<serde_json::Value>,
) -> Result<End, End> {
    let mut session = load::with_values(file, &arguments.values)?;
    if let Some(table) = &arguments.bodies {
        let manner = batch::Manner {
            format: arguments.format,
            quiet: arguments.quiet,
        };
        return batch::run(&mut session, table, &arguments.batch, manner);
    }
    let by = arguments.batch.by;
    if (arguments.search.search || arguments.why.is_some()) && session.is_sided() {
        told::line("--search and --why draw one half of a body: give one value for either side.");
        return Err(End::Misused);
    }
    if arguments.search.search {
        let again = search::command(
            file,
            &arguments.values.set,
            arguments.values.body.as_deref(),
        );
        return Ok(search::run(&session, &again, &arguments.search, by));
    }
    if let Some(name) = &arguments.why {
        return Ok(why::run(&session, name, by));
    }
    let outcome = session.outcome();
    let wrong = outcome.has_errors();
    if arguments.format == Format::Json {
        reports.push(as_json(file, &session, outcome));
    } else {
        if arguments.quiet {
            told::diagnostics(&session, &outcome.diagnostics);
        } else {
            told::report(&summary(file, outcome));
            told::diagnostics_counted(&session, &outcome.diagnostics);
        }
    }
    let_go(session);
    Ok(if wrong { End::Wrong } else { End::Well })
}

fn as_json(file: &str, session: &Session, outcome: &Outcome) -> serde_json::Value {
    let seams: Vec<_> = outcome
        .pattern
        .seams
        .iter()
        .map(|s| json!({ "name": s.name, "first_mm": round(s.first.length), "second_mm": round(s.second.length), "ok": s.ok }))
        .collect();
    let checks: Vec<_> = outcome
        .pattern
        .checks
        .iter()
        .map(|c| {
            let redrawn = c.redrawn.iter();
            let redrawn: Vec<_> = redrawn.map(|one| json!({ "name": one.name, "by": one.by, "gone": one.is_gone })).collect();
            json!({ "text": c.text, "measured": c.measured, "wanted": c.wanted, "ok": c.ok, "of": c.of, "stands": c.stands(), "redrawn": redrawn })
        })
        .collect();
    json!({
        "file": file,
        "ok": !outcome.has_errors(),
        "pieces": outcome.pattern.pieces.len(),
        "sides": outcome.pattern.sides,
        "seams": seams,
        "checks": checks,
        "not_judged": outcome.record.not_judged.iter().map(|one| {
            json!({ "what": if one.is_seam { "seam" } else { "check" }, "name": one.name, "why": one.why })
        }).collect::<Vec<_>>(),
        "unwalked": outcome.pattern.unwalked.iter().map(|(piece, edge)| format!("{piece}.{edge}")).collect::<Vec<_>>(),
        "diagnostics": told::as_json(session, &outcome.diagnostics),
    })
}

fn round(mm: f64) -> f64 {
    (mm * 1e4).round() / 1e4
}

/// The report for people.
pub(super) fn summary(file: &str, outcome: &Outcome) -> String {
    let mut text = String::new();
    let pattern = &outcome.pattern;
    let title = if pattern.title.is_empty() {
        file
    } else {
        &pattern.title
    };
    let _ = writeln!(text, "{title}");
    measures(&mut text, &pattern.measures, outcome.program.unit);
    text.push_str(&sides_words(pattern));
    pieces(&mut text, pattern);
    let (lost_seams, lost_checks): (Vec<_>, Vec<_>) = outcome
        .record
        .not_judged
        .iter()
        .partition(|one| one.is_seam);
    seams(&mut text, pattern, &lost_seams);
    checks(&mut text, pattern, &lost_checks);
    held_then(&mut text, pattern);
    unwalked(&mut text, pattern);
    verdict(&mut text, outcome);
    text
}

fn measures(text: &mut String, measures: &[MeasureUsed], unit: LengthUnit) {
    for (of_body, heading) in [(true, "Measures"), (false, "Choices")] {
        let these: Vec<&MeasureUsed> = measures.iter().filter(|m| m.of_body == of_body).collect();
        if these.is_empty() {
            continue;
        }
        let _ = writeln!(text, "\n{heading}");
        let wide = these
            .iter()
            .map(|m| m.name.chars().count())
            .max()
            .unwrap_or(0);
        for measure in these {
            let value = said::value(&measure.value, unit);
            let worked = match (measure.worked_out, measure.example) {
                (true, _) => "  (worked out)",
                (_, true) => "  (the library's example)",
                _ => "",
            };
            let line = format!("  {:wide$}  {value:>9}{worked}", voice::name(&measure.name));
            let _ = writeln!(text, "{}", line.trim_end());
        }
    }
}

/// What has to be known of a body that differs left from right; empty for any other.
pub(super) fn sides_words(pattern: &Pattern) -> String {
    if pattern.sides.is_empty() {
        return String::new();
    }
    let mut text = "\nSides\n".to_owned();
    for words in &pattern.sides {
        let mut wide = 0;
        for word in words.split_whitespace() {
            let long = word.chars().count();
            let (before, indent) = match wide {
                0 => ("  ", 2),
                wide if wide + 1 + long > WIDEST => ("\n    ", 4),
                wide => (" ", wide + 1),
            };
            let _ = write!(text, "{before}{word}");
            wide = indent + long;
        }
        text.push('\n');
    }
    text
}

/// Most letters in a line of sentences.
const WIDEST: usize = 100;

fn pieces(text: &mut String, pattern: &Pattern) {
    if pattern.pieces.is_empty() {
        return;
    }
    let _ = writeln!(text, "\nPieces");
    let wide = pattern
        .pieces
        .iter()
        .map(|p| p.label.chars().count())
        .max()
        .unwrap_or(0);
    for piece in &pattern.pieces {
        let _ = writeln!(text, "  {:wide$}  {}", piece.label, piece.cut_words());
        for dart in piece.darts_said(pattern) {
            let _ = writeln!(text, "  {:wide$}    {dart}", "");
        }
    }
}

fn seams(text: &mut String, pattern: &Pattern, not_judged: &[&NotJudged]) {
    if pattern.seams.is_empty() && not_judged.is_empty() {
        return;
    }
    let _ = writeln!(text, "\nSeams");
    let names = pattern.seams.iter().map(|s| s.name.as_str());
    let wide = widest(names, not_judged);
    for seam in &pattern.seams {
        let verdict = match (seam.ok, seam.decided) {
            (true, _) => "fits",
            (false, Decided::Unsure) => "NOT JUDGED",
            (false, _) => "DOES NOT FIT",
        };
        let lengths = [seam.first.length, seam.second.length];
        let lengths: Vec<String> = pattern
            .unit
            .lengths_apart(&lengths, least_said(seam.ok))
            .into_iter()
            .map(|length| format!("{length:>10}"))
            .collect();
        let line = format!(
            "  {:wide$}  {}  {}  {verdict}, {}",
            voice::name(&seam.name),
            lengths.join(" to "),
            wanted_words(seam, pattern),
            seam.decided.said(),
        );
        let _ = writeln!(text, "{line}");
        for line in said::of_seam(seam, pattern) {
            let _ = writeln!(text, "  {:wide$}    {line}", "");
        }
    }
    for one in not_judged {
        let name = voice::name(&one.name);
        let _ = writeln!(text, "  {name:wide$}  not judged: {}", one.why);
    }
}

fn widest<'n>(names: impl Iterator<Item = &'n str>, not_judged: &'n [&NotJudged]) -> usize {
    let all = names.chain(not_judged.iter().map(|one| one.name.as_str()));
    all.map(|name| name.chars().count()).max().unwrap_or(0)
}

/// What a seam may differ by.
fn wanted_words(seam: &Seam, pattern: &Pattern) -> String {
    let length = |mm: f64| pattern.unit.length(mm);
    let (least, most) = seam.wanted;
    if !seam.is_eased() {
        return format!("within {}", length(seam.tolerance));
    }
    let longer = if seam.ease() >= 0.0 {
        "first"
    } else {
        "second"
    };
    let found = format!("{} longer on the {longer}", length(seam.ease().abs()));
    let wanted = if least == most {
        length(least.abs())
    } else if most <= 0.0 {
        format!("{} to {}", length(-most), length(-least))
    } else if least >= 0.0 {
        format!("{} to {}", length(least), length(most))
    } else {
        format!("{} less to {} more", length(-least), length(most))
    };
    format!("{found}, wanted {wanted}")
}

fn checks(text: &mut String, pattern: &Pattern, not_judged: &[&NotJudged]) {
    let these: Vec<&Check> = pattern
        .checks
        .iter()
        .filter(|check| check.stands())
        .collect();
    if these.is_empty() && not_judged.is_empty() {
        return;
    }
    let _ = writeln!(text, "\nChecks");
    let wide = widest(these.iter().map(|c| c.text.as_str()), not_judged);
    for check in these {
        let verdict = if check.ok { "holds" } else { "FAILS" };
        let _ = writeln!(
            text,
            "  {:wide$}  found {}, wanted {}  {verdict}",
            check.text, check.measured, check.wanted
        );
    }
    for one in not_judged {
        let _ = writeln!(text, "  {:wide$}  not judged: {}", one.name, one.why);
    }
}

/// Checks that no longer tell of the finished draft, by what they belong to.
fn held_then(text: &mut String, pattern: &Pattern) {
    let these: Vec<&Check> = pattern
        .checks
        .iter()
        .filter(|check| !check.stands())
        .collect();
    let wide = widest(these.iter().map(|check| check.text.as_str()), &[]);
    let mut of = None;
    for check in these {
        if of.is_none() {
            let _ = writeln!(text, "\nChecks of what is drawn anew afterwards");
        }
        if of.replace(check.of.as_str()) != Some(&check.of) {
            let of = if check.of.is_empty() {
                "the draft itself"
            } else {
                &check.of
            };
            let _ = writeln!(text, "  Of {of}");
        }
        let verdict = if check.ok { "held then" } else { "FAILED then" };
        let found = format!("found {}, wanted {}", check.measured, check.wanted);
        let _ = writeln!(text, "    {:wide$}  {found}  {verdict};", check.text);
        let _ = writeln!(text, "    {:wide$}    {}", "", Anew::said(&check.redrawn));
    }
}

fn unwalked(text: &mut String, pattern: &Pattern) {
    if pattern.unwalked.is_empty() {
        return;
    }
    let edges: Vec<String> = pattern
        .unwalked
        .iter()
        .map(|(piece, edge)| format!("{piece}.{edge}"))
        .collect();
    let _ = writeln!(text, "\nEdges nobody walks: {}", edges.join(", "));
    let _ = writeln!(
        text,
        "  No seam joins them, no fold holds them, and no `finish` says how they end."
    );
}

fn verdict(text: &mut String, outcome: &Outcome) {
    let (diagnostics, pattern) = (&outcome.diagnostics, &outcome.pattern);
    let errors = diagnostics.iter().filter(|d| d.is_error()).count();
    let warnings = diagnostics.len() - errors;
    let first = match (errors, pattern.pieces.is_empty()) {
        (0, true) => "All well; no pieces are declared yet".to_owned(),
        (0, false) => "All well".to_owned(),
        _ => voice::count(errors, "error"),
    };
    let second = if warnings > 0 {
        format!(", {}", voice::count(warnings, "warning"))
    } else {
        String::new()
    };
    let not_judged = match NotJudged::count(&outcome.record.not_judged) {
        none if none.is_empty() => none,
        some => format!("; not judged: {some}"),
    };
    let _ = writeln!(text, "\n{first}{second}{not_judged}.");
}
