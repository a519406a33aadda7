//! `compare --log`: the revisions of a draft, oldest first, with what each changed in the pattern. A revision that changed
//! only a file the draft imports counts too.

use super::compare::{Arguments, Format};
use super::compare_sides::{Asked, Loaded};
use super::git::{A_LINK, NOT_THERE, Repository, Revision, Tree};
use super::{End, load, told};
use oaktag_language::syntax::project::ReadFault;
use oaktag_studio::compare::report::{Detail, IN_PATTERN, IN_TEXT, Report, report};
use oaktag_studio::compare::{self, Comparison, Options};
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// Sentences of one file that are listed; more are counted.
const MOST_SENTENCES: usize = 3;

/// One line of the history.
#[derive(Serialize)]
struct Row {
    revision: String,
    day: String,
    subject: String,
    file: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    cannot_be_drawn: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    comparison: Option<Comparison>,
}

/// Lists the revisions of a draft.
pub(super) fn run(file: &str, arguments: &Arguments) -> End {
    match rows(file, arguments) {
        Ok(rows) => {
            match arguments.format {
                Format::Json => match serde_json::to_string_pretty(&rows) {
                    Ok(text) => told::json(&format!("{text}\n")),
                    Err(error) => {
                        told::line(&format!("the JSON could not be made: {error}"));
                        return End::NoFile;
                    }
                },
                Format::Text => told::report(&rows.iter().map(as_text).collect::<String>()),
                Format::Markdown => told::report(&rows.iter().map(as_markdown).collect::<String>()),
            }
            End::Well
        }
        Err(Failure::Ended(end)) => end,
        Err(Failure::Told(why)) => {
            told::line(&format!("{file}: {why}."));
            End::NoFile
        }
    }
}

enum Failure {
    Ended(End),
    Told(String),
}

impl From<String> for Failure {
    fn from(why: String) -> Self {
        Failure::Told(why)
    }
}

fn rows(file: &str, arguments: &Arguments) -> Result<Vec<Row>, Failure> {
    let repository = Repository::of(Path::new(file))?;
    let path = repository.path(Path::new(file))?;
    let followed = repository.followed(&path)?;
    if followed.is_empty() {
        return Err(Failure::Told("git keeps no revision of it".to_owned()));
    }
    let read = |revision: &Revision, at: &str| {
        Loaded::load(
            &Asked::of_commit(&revision.short, &repository, &revision.hash, at),
            &arguments.values,
        )
    };
    let own: BTreeSet<String> = followed.iter().map(|(_, at)| at.clone()).collect();
    let mut paths: Vec<String> = own.into_iter().collect();
    let with_imports = imports(&repository, &followed, arguments);
    paths.extend(with_imports);
    let at_commit: BTreeMap<&str, &str> = followed
        .iter()
        .map(|(hash, at)| (hash.as_str(), at.as_str()))
        .collect();
    let mut rows = Vec::new();
    let mut before: Option<Loaded> = None;
    let mut at: Option<&str> = None;
    for revision in repository.log(&paths)? {
        at = at_commit.get(revision.hash.as_str()).copied().or(at);
        // Before the draft was there, a file it imports concerns nobody.
        let Some(at) = at else { continue };
        if let Err(fault) = repository.read(&Tree::Commit(revision.hash.clone()), at) {
            let why = match fault {
                ReadFault::Unreadable(why) if why == NOT_THERE => "the draft is not there".into(),
                ReadFault::Unreadable(why) if why == A_LINK => why,
                // Git itself cannot say, so that no more of the history can be told.
                ReadFault::Unreadable(why) => return Err(Failure::Told(why)),
                fault => load::why(&fault),
            };
            rows.push(row(&revision, at, Some(why), None));
            continue;
        }
        let loaded = read(&revision, at).map_err(Failure::Ended)?;
        let first = loaded.side();
        if let Some(message) = first
            .outcome
            .diagnostics
            .iter()
            .find(|one| one.is_error() && !one.code.is_judged())
        {
            let line = first.project.sources.line(message.place);
            rows.push(row(
                &revision,
                at,
                Some(format!(
                    "line {line}: {}",
                    message.message.in_unit(first.outcome.program.unit)
                )),
                None,
            ));
            continue;
        }
        let comparison = before.as_ref().map(|before| {
            compare::compare(before.side(), loaded.side(), &Options::default()).map_err(|_| ())
        });
        rows.push(row(&revision, at, None, comparison.and_then(Result::ok)));
        before = Some(loaded);
    }
    Ok(rows)
}

/// Every file that any revision of the draft imports, as the repository names them.
fn imports(
    repository: &Repository,
    followed: &[(String, String)],
    arguments: &Arguments,
) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    for (hash, at) in followed {
        let tree = Tree::Commit(hash.clone());
        if repository.read(&tree, at).is_err() {
            continue;
        }
        let asked = Asked::of_commit(hash, repository, hash, at);
        if let Ok(loaded) = Loaded::load(&asked, &arguments.values) {
            found.extend(loaded.brought().map(str::to_owned));
        }
    }
    found
}

fn row(
    revision: &Revision,
    at: &str,
    trouble: Option<String>,
    comparison: Option<Comparison>,
) -> Row {
    Row {
        revision: revision.short.clone(),
        day: revision.day.clone(),
        subject: revision.subject.clone(),
        file: at.to_owned(),
        cannot_be_drawn: trouble,
        comparison,
    }
}

/// What a row says, a sentence a line.
fn said(row: &Row) -> Vec<String> {
    if let Some(why) = &row.cannot_be_drawn {
        return vec![format!("Cannot be drawn: {why}")];
    }
    let Some(comparison) = &row.comparison else {
        return vec!["The first that can be drawn.".to_owned()];
    };
    if comparison.is_empty() {
        return vec!["Only comments or layout; the pattern is the same.".to_owned()];
    }
    let report: Report = report(comparison, Detail::Outline);
    let groups = |heading: &str| {
        let sections = report.sections.iter();
        let own = sections.filter(move |section| section.heading == heading);
        own.flat_map(|section| &section.groups).collect::<Vec<_>>()
    };
    let mut lines = Vec::new();
    // What the pattern became: of pieces, then of seams and checks.
    for group in groups(IN_PATTERN) {
        let of_piece = group.lines.iter().all(|line| line.piece.is_some());
        let name = match group.heading.as_str() {
            "Seams" => "Seam",
            "Checks" => "Check",
            heading if of_piece => heading.split(": ").next().unwrap_or(heading),
            _ => continue,
        };
        let said = group
            .lines
            .iter()
            .map(|line| format!("{name}: {}", line.words));
        lines.extend(said);
    }
    lines.push(report.verdict.clone());
    for group in groups(IN_TEXT) {
        let is_text = group.heading.starts_with("Sentences");
        if is_text && group.lines.len() > MOST_SENTENCES {
            lines.push(format!("{}: {} changed", group.heading, group.lines.len()));
        } else {
            lines.extend(group.lines.iter().map(|line| line.words.clone()));
        }
    }
    lines
}

fn as_text(row: &Row) -> String {
    let lines: String = said(row)
        .iter()
        .map(|line| format!("    {line}\n"))
        .collect();
    format!(
        "{} {} {} ({})\n{lines}",
        row.revision, row.day, row.subject, row.file
    )
}

fn as_markdown(row: &Row) -> String {
    let lines: String = said(row)
        .iter()
        .map(|line| format!("  - {}\n", oaktag_studio::compare::text::escaped(line)))
        .collect();
    let subject = oaktag_studio::compare::text::escaped(&row.subject);
    format!("- `{}` {} {subject}\n{lines}", row.revision, row.day)
}
