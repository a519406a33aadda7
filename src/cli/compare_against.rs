//! `compare --against`: what one draft's change does to every draft of a folder that imports it, a line a draft.

use super::End;
use super::compare::{Arguments, Format};
use super::compare_sides::{Asked, Loaded};
use super::desk::drafts::Drafts;
use super::disk::{self, Folder};
use super::load;
use super::told;
use oaktag_language::library;
use oaktag_language::syntax::project::{ReadFault, Reader};
use oaktag_language::voice;
use oaktag_studio::compare::report::one_line;
use oaktag_studio::compare::text::escaped;
use oaktag_studio::compare::{self, Comparison, Options};
use oaktag_studio::session::Session;
use serde::Serialize;
use std::path::Path;

/// A draft that imports the changed one.
#[derive(Serialize)]
struct Row {
    file: String,
    comparison: Comparison,
}

/// Compares every draft of the folder with itself.
pub(super) fn run(old: &str, new: &str, folder: &Path, arguments: &Arguments) -> End {
    match rows(old, new, folder, arguments) {
        Ok(rows) => told_all(new, folder, &rows, arguments),
        Err(end) => end,
    }
}

/// What a draft imports, one of its files in another version.
struct InPlace {
    folder: Folder,
    name: String,
    text: String,
}

impl Reader for InPlace {
    fn home(&self) -> &str {
        self.folder.home()
    }

    fn read(&self, path: &str) -> Result<String, ReadFault> {
        if path == self.name {
            return Ok(self.text.clone());
        }
        self.folder.read(path)
    }
}

fn rows(old: &str, new: &str, folder: &Path, arguments: &Arguments) -> Result<Vec<Row>, End> {
    let refused = |why: String| {
        told::line(&why);
        End::NoFile
    };
    let (old, new) = (Asked::typed(old), Asked::typed(new));
    let changed = new.path().canonicalize();
    let changed = changed.map_err(|error| {
        refused(format!(
            "{}: {}",
            new.path().display(),
            disk::reason(&error)
        ))
    })?;
    let none = load::Values {
        set: Vec::new(),
        body: None,
        root: arguments.values.root.clone(),
    };
    let texts = [Loaded::load(&old, &none)?, Loaded::load(&new, &none)?];
    let [before, after] = texts.each_ref().map(|loaded| loaded.text().to_owned());
    let real = folder.canonicalize();
    let real =
        real.map_err(|error| refused(format!("{}: {}", folder.display(), disk::reason(&error))))?;
    if !real.is_dir() {
        return Err(refused(format!("{} is no folder.", folder.display())));
    }
    let mut rows = Vec::new();
    for listed in Drafts::new(real.clone()).list() {
        let file = real.join(&listed.path);
        if !listed.path.ends_with(".draft") || disk::same_file(&file, &changed) {
            continue;
        }
        // One that cannot be read, or lies outside the root, imports nothing.
        let (Ok(text), Ok(place)) = (disk::read_text(&file), arguments.values.root.of(&file))
        else {
            continue;
        };
        let Some(name) = place.name_of(&changed) else {
            continue;
        };
        let open = |imported: &str| -> Option<Session> {
            let reader = InPlace {
                folder: arguments.values.root.of(&file).ok()?,
                name: name.clone(),
                text: imported.to_owned(),
            };
            Some(Session::open(
                &listed.path,
                &text,
                Box::new(reader),
                library::MODULES,
            ))
        };
        let (Some(mut one), Some(mut other)) = (open(&before), open(&after)) else {
            continue;
        };
        if !one.imports().any(|import| import == name) {
            continue;
        }
        for session in [&mut one, &mut other] {
            load::set(session, &arguments.values.set)?;
            load::lay_body(session, arguments.values.body.as_deref())?;
        }
        let halves = [one.half(), other.half()];
        let [was, is] = &halves;
        let sides = (one.side(&listed.path, was), other.side(&listed.path, is));
        let comparison = compare::compare(sides.0, sides.1, &Options::default());
        rows.extend(comparison.ok().map(|comparison| Row {
            file: listed.path,
            comparison,
        }));
    }
    Ok(rows)
}

fn told_all(new: &str, folder: &Path, rows: &[Row], arguments: &Arguments) -> End {
    let changed = rows.iter().filter(|row| !row.comparison.is_same_pattern());
    let changed = changed.count();
    let all = voice::count(rows.len(), "draft");
    let folder = folder.display();
    let verb = voice::agree(changed, "changes", "change");
    let head = match rows.len() {
        0 => format!("No draft of {folder} imports {new}."),
        1 => format!("One draft of {folder} imports {new}; {changed} {verb}."),
        _ => format!("{all} of {folder} import {new}; {changed} {verb}."),
    };
    match arguments.format {
        Format::Json => match serde_json::to_string_pretty(rows) {
            Ok(text) => told::json(&format!("{text}\n")),
            Err(error) => {
                told::line(&format!("the JSON could not be made: {error}"));
                return End::NoFile;
            }
        },
        Format::Text => {
            let lines = rows
                .iter()
                .map(|row| format!("  {}: {}\n", row.file, one_line(&row.comparison)));
            told::report(&format!("{head}\n{}", lines.collect::<String>()));
        }
        Format::Markdown => {
            let lines = rows.iter().map(|row| {
                format!(
                    "- **{}**: {}\n",
                    escaped(&row.file),
                    escaped(&one_line(&row.comparison))
                )
            });
            told::report(&format!(
                "{}\n\n{}",
                escaped(&head),
                lines.collect::<String>()
            ));
        }
    }
    let is_wrong =
        |row: &Row| !row.comparison.troubles.is_empty() || !row.comparison.faults.is_empty();
    if rows.iter().any(is_wrong) || (arguments.exit_code && changed > 0) {
        End::Wrong
    } else {
        End::Well
    }
}
