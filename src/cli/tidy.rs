//! `tidy`: the one canonical layout; what cannot be read stays as it is.

use super::End;
use super::disk;
use super::load::{STANDARD_INPUT, why};
use super::told;
use oaktag_language::report::SourceMap;
use oaktag_language::syntax::{Tidied, tidy_file};
use oaktag_language::voice::LengthUnit;
use std::path::Path;

/// Arguments of `tidy`.
#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// Drafts to lay out, in place; - reads standard input and writes standard output
    #[arg(required = true, value_name = "FILE")]
    files: Vec<String>,
    /// Change nothing; name the drafts that are not tidy
    #[arg(long)]
    check: bool,
}

/// Tidies each draft.
pub(super) fn run(arguments: &Arguments) -> End {
    let ends: Vec<End> = arguments
        .files
        .iter()
        .map(|file| one(file, arguments.check))
        .collect();
    [End::NoFile, End::Wrong]
        .into_iter()
        .find(|end| ends.contains(end))
        .unwrap_or(End::Well)
}

fn one(file: &str, check: bool) -> End {
    let is_input = file == STANDARD_INPUT;
    let text = if is_input {
        disk::read_standard_input()
    } else {
        disk::read_text(Path::new(file))
    };
    let text = match text {
        Ok(text) => text,
        Err(fault) => {
            told::line(&format!("{file}: {}", why(&fault)));
            return End::NoFile;
        }
    };
    let mut sources = SourceMap::new();
    let id = sources.add(if is_input { "<standard input>" } else { file }, &text);
    let Tidied {
        text: tidied,
        diagnostics: wrong,
    } = tidy_file(&sources, id);
    if !wrong.is_empty() {
        told::messages(&sources, &wrong, LengthUnit::default());
        if !check {
            told::line(&format!(
                "{file}: what cannot be read was left as it is, and the rest is laid out."
            ));
        }
    }
    let end = if wrong.is_empty() {
        End::Well
    } else {
        End::Wrong
    };
    let changed = tidied != text;
    if check {
        if changed {
            told::report(&format!("{file}\n"));
        }
        return if changed { End::Wrong } else { end };
    }
    if is_input {
        told::result(&tidied);
    } else if changed && let Err(end) = told::write_whole(Path::new(file), tidied.as_bytes()) {
        return end;
    }
    end
}
