//! What is told: results on standard output, messages on standard error.

use super::{End, disk};
use oaktag_language::report::{Diagnostic, SourceMap, json, terminal};
use oaktag_language::voice::LengthUnit;
use oaktag_studio::session::{self, Refused, Session};
use std::cell::RefCell;
use std::io::{self, IsTerminal, Write};
use std::path::Path;
use std::sync::atomic::{AtomicBool, Ordering};

/// How messages are written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, clap::ValueEnum)]
pub(super) enum Format {
    /// For people.
    #[default]
    Text,
    /// For tools: one JSON value on standard output.
    Json,
}

/// What is said in a run within another program.
#[derive(Default)]
struct Kept {
    out: Vec<u8>,
    err: Vec<u8>,
}

thread_local! {
    /// In the thread of such a run; every command tells in the thread that it was called in.
    static KEPT: RefCell<Option<Kept>> = const { RefCell::new(None) };
}

/// Does what tells, and gives back what would have gone to standard output and to standard error.
pub(super) fn kept<T>(tells: impl FnOnce() -> T) -> (T, String, String) {
    KEPT.set(Some(Kept::default()));
    let result = tells();
    let kept = KEPT.take().unwrap_or_default();
    let text = |bytes: Vec<u8>| String::from_utf8_lossy(&bytes).into_owned();
    (result, text(kept.out), text(kept.err))
}

/// Whether what is said is kept for another program.
pub(super) fn is_kept() -> bool {
    KEPT.with_borrow(Option::is_some)
}

/// Keeps what is said, where it is kept.
fn keep(say: impl FnOnce(&mut Kept)) -> bool {
    KEPT.with_borrow_mut(|kept| kept.as_mut().map(say).is_some())
}

fn to_standard_error(text: &str) {
    if !keep(|kept| kept.err.extend_from_slice(text.as_bytes())) {
        // Where standard error is closed nobody listens.
        let _ = io::stderr().lock().write_all(text.as_bytes());
    }
}

/// One line of message.
pub(super) fn line(text: &str) {
    to_standard_error(&format!("oaktag: {}\n", terminal::one_line(text)));
}

/// What is wrong with a command line, or the help and the version that it asked for.
pub(super) fn usage(said: &clap::Error) {
    let text = said.render().to_string();
    if said.use_stderr() {
        if !keep(|kept| kept.err.extend_from_slice(text.as_bytes())) {
            // Nothing is left to be done where even this cannot be printed.
            let _ = said.print();
        }
    } else if !keep(|kept| kept.out.extend_from_slice(text.as_bytes())) {
        printed(said.print());
    }
}

/// A report for people, in which nothing from a draft can steer the terminal.
pub(super) fn report(text: &str) {
    result(&terminal::harmless(text));
}

/// Whether a result could not be written to standard output.
static LOST: AtomicBool = AtomicBool::new(false);

/// A result, byte for byte.
pub(super) fn result(text: &str) {
    if keep(|kept| kept.out.extend_from_slice(text.as_bytes())) {
        return;
    }
    let mut out = io::stdout().lock();
    let written = out.write_all(text.as_bytes()).and_then(|()| out.flush());
    drop(out);
    printed(written);
}

/// A result in JSON. Letters that steer a terminal are written as `\u` and their number, which every reader of JSON takes for
/// the letter itself.
pub(super) fn json(text: &str) {
    let mut escaped = String::with_capacity(text.len());
    for letter in text.chars() {
        if letter.is_ascii() || !terminal::is_harmful(letter) {
            escaped.push(letter);
            continue;
        }
        for unit in letter.encode_utf16(&mut [0; 2]) {
            escaped.push_str(&format!("\\u{unit:04x}"));
        }
    }
    result(&escaped);
}

/// What became of standard output. A reader that has gone away, as `head` does, is no error; a disk that is full is one, and
/// is told once.
pub(super) fn printed(written: io::Result<()>) {
    if let Err(error) = written
        && error.kind() != io::ErrorKind::BrokenPipe
        && !LOST.swap(true, Ordering::Relaxed)
    {
        let why = disk::reason(&error);
        line(&format!("standard output cannot be written: {why}"));
    }
}

/// How the program ends, with what became of standard output.
pub(super) fn end(end: End) -> End {
    if LOST.load(Ordering::Relaxed) {
        End::NoFile
    } else {
        end
    }
}

/// A text for a file that is read as text: what cannot steer a terminal cannot steer the one it is shown on, either.
pub(super) fn as_text(text: &str) -> Vec<u8> {
    terminal::harmless(text).into_owned().into_bytes()
}

/// Messages for people.
pub(super) fn diagnostics(session: &Session, told: &[Diagnostic]) {
    messages(session.sources(), told, session.unit());
}

/// The same below a report that says how many there are.
pub(super) fn diagnostics_counted(session: &Session, told: &[Diagnostic]) {
    shown(
        terminal::render_counted,
        session.sources(),
        told,
        session.unit(),
    );
}

/// Messages for people about texts that are no draft at hand.
pub(super) fn messages(sources: &SourceMap, told: &[Diagnostic], unit: LengthUnit) {
    shown(terminal::render, sources, told, unit);
}

fn shown(
    render: fn(&SourceMap, &[Diagnostic], LengthUnit, bool) -> String,
    sources: &SourceMap,
    told: &[Diagnostic],
    unit: LengthUnit,
) {
    if told.is_empty() {
        return;
    }
    let listens = !is_kept() && io::stderr().is_terminal();
    let colour = listens && std::env::var_os("NO_COLOR").is_none();
    to_standard_error(&render(sources, told, unit, colour));
}

/// Messages as JSON.
pub(super) fn as_json(session: &Session, told: &[Diagnostic]) -> serde_json::Value {
    json::all_to_json(session.sources(), told, session.unit())
}

/// Tells why a file was not written, and how the program ends.
pub(super) fn not_written(path: &Path, why: Refused) -> End {
    let (words, end) = match why {
        Refused::Unfinished(can_be_had) => {
            let words = format!("{} was not written: mend the draft first", path.display());
            let words = match can_be_had {
                true => format!("{words}, or add --unfinished to have what can be drawn."),
                false => format!("{words}."),
            };
            (words, End::Wrong)
        }
        Refused::Nothing(words) => (words, End::Wrong),
        Refused::Asked(words) => (words, End::Misused),
        Refused::Failed(words) => (words, End::NoFile),
    };
    line(&words);
    end
}

/// Says which letters the faces lack, where any do.
pub(super) fn no_letters(missing: &[char]) {
    let words = session::no_letters(missing);
    if !words.is_empty() {
        line(&words);
    }
}

/// Writes a file whole or not at all, and clears away what runs that were killed have left beside it.
///
/// # Errors
/// Where it cannot be written, which has been told.
pub(super) fn write_whole(path: &Path, bytes: &[u8]) -> Result<(), End> {
    disk::write_whole(path, bytes).map_err(|error| {
        line(&format!(
            "{} cannot be written: {}",
            path.display(),
            disk::reason(&error)
        ));
        End::NoFile
    })?;
    disk::clear_left(path);
    Ok(())
}
