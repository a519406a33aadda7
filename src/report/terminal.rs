//! Messages for people, drawn by ariadne: the source line, what stands where, figures and a way out. Every source is
//! prepared once for all messages, and nothing in a draft can write control characters to the screen.

use super::diagnostic::{Diagnostic, Label, Severity};
use super::source::{FileId, SourceMap, Span};
use ariadne::{Cache, Config, IndexType, ReportKind, Source};
use std::borrow::Cow;
use std::collections::HashMap;
use std::fmt;
use std::fmt::Write as _;
use std::sync::Arc;

/// A line longer than this is not shown whole.
const LONGEST_LINE: usize = 500;
/// So much of it is shown.
const EXCERPT: usize = 60;

/// All messages as text, in the order given, with or without colour.
pub fn render(map: &SourceMap, diagnostics: &[Diagnostic], colour: bool) -> String {
    let mut sources = Sources {
        map,
        ready: HashMap::new(),
    };
    let mut out = String::new();
    for diagnostic in diagnostics {
        one(map, &mut sources, diagnostic, colour, &mut out);
    }
    out
}

fn one(
    map: &SourceMap,
    sources: &mut Sources,
    diagnostic: &Diagnostic,
    colour: bool,
    out: &mut String,
) {
    if !is_drawable(map, diagnostic) {
        plain(map, diagnostic, out);
        return;
    }
    let mut bytes = Vec::new();
    let drawn = report(diagnostic, colour).write(&mut *sources, &mut bytes);
    match (drawn, String::from_utf8(bytes)) {
        (Ok(()), Ok(text)) => trimmed(&text, out),
        _ => plain(map, diagnostic, out),
    }
}

/// ariadne pads some lines with spaces; nobody wants those in a file or a comparison.
fn trimmed(text: &str, out: &mut String) {
    for line in text.lines() {
        out.push_str(line.trim_end());
        out.push('\n');
    }
}

type Place = (FileId, std::ops::Range<usize>);

fn place(span: Span) -> Place {
    (span.file, span.range())
}

fn report(diagnostic: &Diagnostic, colour: bool) -> ariadne::Report<'_, Place> {
    let (kind, paint) = match diagnostic.severity {
        Severity::Error => (ReportKind::Error, ariadne::Color::Red),
        Severity::Warning => (ReportKind::Warning, ariadne::Color::Yellow),
    };
    let config = Config::default()
        .with_index_type(IndexType::Byte)
        .with_color(colour);
    let mut report = ariadne::Report::build(kind, place(diagnostic.primary.span))
        .with_config(config)
        .with_code(diagnostic.code)
        .with_message(headline(diagnostic))
        .with_label(label(&diagnostic.primary, paint).with_priority(1));
    for other in &diagnostic.secondary {
        report.add_label(label(other, ariadne::Color::Cyan));
    }
    for note in &diagnostic.notes {
        report.add_note(harmless(note));
    }
    if let Some(help) = &diagnostic.help {
        report.add_help(harmless(help));
    }
    report.finish()
}

fn label(label: &Label, paint: ariadne::Color) -> ariadne::Label<Place> {
    let drawn = ariadne::Label::new(place(label.span)).with_color(paint);
    if label.text.is_empty() {
        // A label without words draws no mark, and every message marks its place.
        drawn.with_message("here")
    } else {
        drawn.with_message(harmless(&label.text))
    }
}

/// The step, then what is wrong; the line number follows below.
fn headline(diagnostic: &Diagnostic) -> String {
    let message = harmless(&diagnostic.message);
    match &diagnostic.step {
        Some((number, name)) => format!("Step {number}, \"{}\": {message}", harmless(name)),
        None => message.into_owned(),
    }
}

/// Whether all its places lie in known files, on lines that fit a screen.
fn is_drawable(map: &SourceMap, diagnostic: &Diagnostic) -> bool {
    let mut labels = std::iter::once(&diagnostic.primary).chain(&diagnostic.secondary);
    labels.all(|label| {
        map.get(label.span.file).is_some_and(|source| {
            let range = label.span.range();
            let line = line_around(&source.text, range.start);
            source.text.get(range).is_some() && line.len() <= LONGEST_LINE
        })
    })
}

/// The line that holds a byte.
fn line_around(text: &str, byte: usize) -> &str {
    let start = text
        .get(..byte)
        .and_then(|t| t.rfind('\n'))
        .map_or(0, |at| at + 1);
    let end = text
        .get(byte..)
        .and_then(|t| t.find('\n'))
        .map_or(text.len(), |at| byte + at);
    text.get(start..end).unwrap_or("")
}

/// Without a picture of the line: for lines that no screen holds and for files that are not in the map.
fn plain(map: &SourceMap, diagnostic: &Diagnostic, out: &mut String) {
    let kind = match diagnostic.severity {
        Severity::Error => "Error",
        Severity::Warning => "Warning",
    };
    // Writing to a String cannot fail.
    let _ = writeln!(
        out,
        "[{}] {kind}: {}",
        diagnostic.code,
        headline(diagnostic)
    );
    for label in std::iter::once(&diagnostic.primary).chain(&diagnostic.secondary) {
        let at = map.line_column(label.span.file, label.span.start);
        let name = map.name(label.span.file);
        let _ = write!(out, "   {}:{}:{}", harmless(name), at.line, at.column);
        let text = map.slice(label.span);
        let shown: String = text.chars().take(EXCERPT).collect();
        let dots = if shown.len() < text.len() { " …" } else { "" };
        if !shown.is_empty() {
            let shown = shown.replace('\n', " ");
            let _ = write!(out, "  {}{dots}", harmless(&shown));
        }
        if !label.text.is_empty() {
            let _ = write!(out, "  ({})", harmless(&label.text));
        }
        out.push('\n');
    }
    for note in &diagnostic.notes {
        let _ = writeln!(out, "   Note: {}", harmless(note));
    }
    if let Some(help) = &diagnostic.help {
        let _ = writeln!(out, "   Help: {}", harmless(help));
    }
}

/// Characters that steer a terminal or hide text, replaced by harmless ones of the same length in bytes, so that places
/// stay where they are.
fn harmless(text: &str) -> Cow<'_, str> {
    if !text.chars().any(is_harmful) {
        return Cow::Borrowed(text);
    }
    let replace = |c: char| match (is_harmful(c), c.len_utf8()) {
        (false, _) => c,
        (true, 1) => ' ',
        (true, 2) => '¿',
        (true, _) => '\u{fffd}',
    };
    Cow::Owned(text.chars().map(replace).collect())
}

fn is_harmful(c: char) -> bool {
    (c.is_control() && !matches!(c, '\n' | '\t'))
        || matches!(c, '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}')
}

/// The prepared sources.
struct Sources<'m> {
    map: &'m SourceMap,
    ready: HashMap<FileId, Source<Arc<str>>>,
}

impl Cache<FileId> for &mut Sources<'_> {
    type Storage = Arc<str>;

    fn fetch(&mut self, id: &FileId) -> Result<&Source<Arc<str>>, impl fmt::Debug> {
        let Some(file) = self.map.get(*id) else {
            return Err("no such file");
        };
        Ok(self
            .ready
            .entry(*id)
            .or_insert_with(|| match harmless(&file.text) {
                Cow::Borrowed(_) => Source::from(file.text.clone()),
                Cow::Owned(text) => Source::from(Arc::from(text)),
            }))
    }

    fn display<'a>(&self, id: &'a FileId) -> Option<impl fmt::Display + 'a> {
        Some(harmless(self.map.name(*id)).into_owned())
    }
}
