//! What is told: results on standard output, messages on standard error.

use super::{End, disk};
use crate::report::{Diagnostic, SourceMap, json, terminal};
use std::io::{self, IsTerminal, Write};
use std::path::Path;

/// How messages are written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, clap::ValueEnum)]
pub enum Format {
    /// For people.
    #[default]
    Text,
    /// For tools: one JSON value on standard output.
    Json,
}

/// One line of message.
pub fn line(text: &str) {
    // Where standard error is closed nobody listens.
    let _ = writeln!(io::stderr().lock(), "oaktag: {}", terminal::harmless(text));
}

/// A report for people, in which nothing from a draft can steer the terminal.
pub fn report(text: &str) {
    result(&terminal::harmless(text));
}

/// A result, byte for byte. A reader that has gone away, as `head` does, is no error.
pub fn result(text: &str) {
    let mut out = io::stdout().lock();
    let _ = out.write_all(text.as_bytes()).and_then(|()| out.flush());
}

/// Messages for people.
pub fn diagnostics(sources: &SourceMap, told: &[Diagnostic]) {
    if told.is_empty() {
        return;
    }
    let colour = io::stderr().is_terminal() && std::env::var_os("NO_COLOR").is_none();
    let text = terminal::render(sources, told, colour);
    let _ = io::stderr().lock().write_all(text.as_bytes());
}

/// Messages as JSON.
pub fn as_json(sources: &SourceMap, told: &[Diagnostic]) -> serde_json::Value {
    json::all_to_json(sources, told)
}

/// Writes a file whole or not at all.
///
/// # Errors
/// Where it cannot be written, which has been told.
pub fn write_whole(path: &Path, bytes: &[u8]) -> Result<(), End> {
    disk::write_whole(path, bytes).map_err(|error| {
        line(&format!(
            "{} cannot be written: {}",
            path.display(),
            disk::reason(&error)
        ));
        End::NoFile
    })
}
