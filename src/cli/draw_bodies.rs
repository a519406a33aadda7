//! `draw --bodies`: a file for each body of a table, named after it, each written whole or not at all. A body that cannot be
//! drawn is told and leaves the others theirs.

use super::End;
use super::disk;
use super::draw::{Arguments, Ending, issue};
use super::load;
use super::progress::Progress;
use super::told;
use oaktag_language::draft::bodies::Table;
use oaktag_studio::session::{Refused, Session, Written};
use oaktag_studio::sizes::answer::{Answer, Verdict};
use oaktag_studio::sizes::ordered::in_order;
use std::collections::BTreeMap;
use std::ops::ControlFlow;
use std::path::{Path, PathBuf};

/// What stands for the body's name in the name of the files.
const PLACE: &str = "{name}";

/// Draws a draft for each body.
///
/// # Errors
/// Where the command line cannot be carried out, which has been told.
pub(super) fn run(
    arguments: &Arguments,
    ending: Ending,
    session: &mut Session,
    file: &str,
) -> Result<End, End> {
    let refused = |words: &str| {
        told::line(words);
        Err(End::Misused)
    };
    let out = arguments.output.to_string_lossy().into_owned();
    let stem = Path::new(&out)
        .file_name()
        .map(|name| name.to_string_lossy().into_owned());
    if !stem.is_some_and(|stem| stem.contains(PLACE)) {
        return refused(
            "with --bodies the name of the file says where the body's goes: -o 'shirts/{name}.pdf'.",
        );
    }
    if !session.is_checked_well() {
        told::diagnostics(session, session.checked());
        return Err(End::Wrong);
    }
    let table = load::bodies(session, file)?;
    let paths = match paths(&out, &table) {
        Ok(paths) => paths,
        Err(words) => return refused(&words),
    };
    let read = [Path::new(&arguments.file), Path::new(file)];
    let is_read = |path: &&PathBuf| {
        read.iter().any(|read| disk::same_file(read, path))
            || load::brings_in(session, &arguments.file, &arguments.values.root, path)
    };
    if let Some(over) = paths.iter().find(is_read) {
        return refused(&format!(
            "{} is read here; it would be written over.",
            over.display()
        ));
    }
    draw(arguments, ending, session, &table, &paths)
}

fn draw(
    arguments: &Arguments,
    ending: Ending,
    session: &Session,
    table: &Table,
    paths: &[PathBuf],
) -> Result<End, End> {
    let work = |number: usize| one(arguments, ending, session, table, number);
    let mut progress = Progress::new("bodies", 0, table.len());
    let (mut end, mut stopped) = (End::Well, None);
    let mut missing: Vec<char> = Vec::new();
    in_order(
        0..table.len(),
        arguments.by.count(),
        work,
        |number, drawn| {
            let (answer, made) =
                drawn.unwrap_or_else(|crash| (Answer::crashed(table.name(number), &crash), None));
            progress.step();
            if answer.verdict != Verdict::Well {
                end = End::Wrong;
                told::line(answer.line().trim_end());
            }
            let (Some(made), Some(path)) = (made, paths.get(number)) else {
                return ControlFlow::Continue(());
            };
            for letter in made.missing {
                if !missing.contains(&letter) {
                    missing.push(letter);
                }
            }
            match disk::write_whole_within(path, &made.bytes) {
                Ok(()) => {
                    told::report(&format!("{} written.\n", path.display()));
                    ControlFlow::Continue(())
                }
                Err(error) => {
                    let why = disk::reason(&error);
                    told::line(&format!("{} cannot be written: {why}", path.display()));
                    stopped = Some(End::NoFile);
                    ControlFlow::Break(())
                }
            }
        },
    );
    progress.end();
    if let Some(path) = paths.first() {
        disk::clear_left(path);
    }
    told::no_letters(&missing);
    stopped.map_or(Ok(end), Err)
}

/// A body drawn: how it fared, and its file where there is one.
fn one(
    arguments: &Arguments,
    ending: Ending,
    session: &Session,
    table: &Table,
    number: usize,
) -> (Answer, Option<Written>) {
    let order = |name: &str| {
        arguments
            .options
            .order(ending, issue(arguments, Some(name)))
    };
    let (mut answer, written) = session.write_for(table, number, &order);
    match written {
        Ok(written) => (answer, Some(written)),
        Err(Refused::Unfinished(_)) => (answer, None),
        Err(Refused::Nothing(words) | Refused::Asked(words) | Refused::Failed(words)) => {
            answer.verdict = Verdict::Fails;
            answer.said = words;
            (answer, None)
        }
    }
}

/// The file of each body: its name, with what no file name should hold left out.
fn paths(out: &str, table: &Table) -> Result<Vec<PathBuf>, String> {
    let mut taken: BTreeMap<String, String> = BTreeMap::new();
    let mut paths = Vec::with_capacity(table.len());
    for number in 0..table.len() {
        let name = table.name(number);
        let plain = plain(&name);
        if let Some(other) = taken.insert(plain.to_lowercase(), name.clone())
            && other != name
        {
            return Err(format!(
                "`{other}` and `{name}` would both be written to {}: give them names that differ in letters or figures.",
                out.replace(PLACE, &plain)
            ));
        }
        paths.push(PathBuf::from(out.replace(PLACE, &plain)));
    }
    Ok(paths)
}

/// Most bytes of a body's name in a file's; most disks take 255 for the whole.
const LONGEST_NAME: usize = 120;

/// A name as part of a file's.
fn plain(name: &str) -> String {
    let kept: String = name
        .chars()
        .map(|c| {
            if c.is_alphanumeric() || matches!(c, '-' | '_' | '.' | ' ') {
                c
            } else {
                '_'
            }
        })
        .scan(0, |bytes, c| {
            *bytes += c.len_utf8();
            (*bytes <= LONGEST_NAME).then_some(c)
        })
        .collect();
    let kept = kept.trim_matches([' ', '.']);
    if kept.is_empty() || is_device(kept) {
        format!("_{kept}")
    } else {
        kept.to_owned()
    }
}

/// Whether Windows takes a file of that name for a device, whatever its ending ("Naming Files, Paths, and Namespaces",
/// from memory).
fn is_device(name: &str) -> bool {
    let stem = name.split('.').next().unwrap_or(name).trim_end();
    let numbered = |device: &str| {
        let number = stem.to_ascii_uppercase();
        let number = number.strip_prefix(device).map(str::to_owned);
        number.is_some_and(|n| n.chars().count() == 1 && n.chars().all(char::is_numeric))
    };
    let named = ["CON", "PRN", "AUX", "NUL"];
    named.iter().any(|device| stem.eq_ignore_ascii_case(device))
        || numbered("COM")
        || numbered("LPT")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_name_leaves_the_folder() {
        assert_eq!(plain("../../etc/passwd"), "_.._etc_passwd");
        assert_eq!(plain("Jörg K."), "Jörg K");
        assert_eq!(plain(".."), "_");
        assert_eq!(plain("\u{202e}a\u{0}b\n"), "_a_b_");
        assert_eq!(plain(&"ю".repeat(300)).len(), LONGEST_NAME);
    }

    #[test]
    fn no_name_is_a_device() {
        for name in ["CON", "nul", "Com1", "LPT9", "COM²"] {
            assert_eq!(plain(name), format!("_{name}"));
        }
        assert_eq!(plain("aux.draft"), "_aux.draft");
        assert_eq!(plain("Conrad"), "Conrad");
    }
}
