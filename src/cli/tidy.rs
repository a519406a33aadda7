//! `tidy`: the one canonical layout.

use super::End;
use super::disk;
use super::load::{STANDARD_INPUT, why};
use super::told;
use oaktag_language::report::SourceMap;
use oaktag_language::syntax::tidy_file;
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
    let id = sources.add(
        if is_input { "<standard input>" } else { file },
        &text,
        false,
    );
    let tidied = match tidy_file(&sources, id) {
        Ok(tidied) => tidied,
        Err(wrong) => {
            told::messages(&sources, &wrong, LengthUnit::default());
            told::line(&format!(
                "{file} was left as it is: it is laid out only when every sentence can be read."
            ));
            return End::Wrong;
        }
    };
    let changed = tidied != text;
    if check {
        if changed {
            told::report(&format!("{file}\n"));
        }
        return if changed { End::Wrong } else { End::Well };
    }
    if is_input {
        told::result(&tidied);
    } else if changed && let Err(end) = told::write_whole(Path::new(file), tidied.as_bytes()) {
        return end;
    }
    End::Well
}
