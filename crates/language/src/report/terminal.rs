//! Messages for people, drawn by ariadne: the source line, what stands where, figures and a way out. Every source is
//! prepared once for all messages, and nothing in a draft can write control characters to the screen.

use super::diagnostic::{Diagnostic, Label, Severity};
use super::source::{FileId, SourceMap, Span};
use ariadne::{Cache, Config, IndexType, ReportKind, Source};
use std::borrow::Cow;
use std::collections::HashMap;
use std::fmt;
use std::fmt::Write as _;
use std::ops::Range;
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
    if !out.is_empty() {
        out.push('\n');
    }
    if !is_drawable(map, diagnostic) {
        plain(map, diagnostic, out);
        return;
    }
    let mut bytes = Vec::new();
    let drawn = report(map, diagnostic, colour).write(&mut *sources, &mut bytes);
    match (drawn, String::from_utf8(bytes)) {
        (Ok(()), Ok(text)) => with_words_below(&text, diagnostic, out),
        _ => plain(map, diagnostic, out),
    }
}

/// The picture, padding trimmed, and below it inside the frame the figures first and then what to write.
fn with_words_below(picture: &str, diagnostic: &Diagnostic, out: &mut String) {
    let trimmed: Vec<&str> = picture.lines().map(str::trim_end).collect();
    let Some((corner, lines)) = trimmed.split_last() else {
        return;
    };
    for line in lines {
        out.push_str(line);
        out.push('\n');
    }
    let margin = corner.replace('─', " ").replace('╯', "│");
    let notes = diagnostic.notes.iter().map(|note| harmless(note));
    let help = diagnostic.help.iter().map(|help| harmless(help));
    let words = notes.chain(help.map(|help| format!("Help: {help}").into()));
    for (at, line) in words.flat_map(lines_of).enumerate() {
        if at == 0 {
            out.push_str(&margin);
            out.push('\n');
        }
        out.push_str(&format!("{margin} {line}\n"));
    }
    out.push_str(corner);
    out.push('\n');
}

fn lines_of(text: Cow<'_, str>) -> Vec<String> {
    text.lines().map(str::to_owned).collect()
}

/// A place in characters: ariadne finds the line of a second file by characters alone.
type Place = (FileId, Range<usize>);

fn place(map: &SourceMap, file: FileId, bytes: Range<usize>) -> Place {
    let text = map.text(file);
    let count = |bytes: Range<usize>| text.get(bytes).map_or(0, |t| t.chars().count());
    let start = count(0..bytes.start);
    (file, start..start + count(bytes))
}

/// The bytes of a place; one that runs on over several lines is marked on its first.
fn first_line(map: &SourceMap, span: Span) -> Range<usize> {
    let (letters, bytes) = (map.slice(span), map.bytes(span));
    let first = letters.lines().next().unwrap_or("").trim_end();
    let first = first.strip_suffix('{').map_or(first, str::trim_end);
    if letters.contains('\n') && !first.is_empty() {
        bytes.start..bytes.start + first.len()
    } else {
        bytes
    }
}

fn report<'d>(
    map: &SourceMap,
    diagnostic: &'d Diagnostic,
    colour: bool,
) -> ariadne::Report<'d, Place> {
    let (kind, paint) = match diagnostic.severity {
        Severity::Error => (ReportKind::Error, ariadne::Color::Red),
        Severity::Warning => (ReportKind::Warning, ariadne::Color::Yellow),
    };
    let config = Config::default()
        .with_index_type(IndexType::Char)
        .with_color(colour);
    let main = diagnostic.primary.span;
    let mut report = ariadne::Report::build(kind, place(map, main.file, map.bytes(main)))
        .with_config(config)
        .with_code(diagnostic.code)
        .with_message(headline(diagnostic));
    for (order, (label, is_main)) in (0..).zip(in_order(map, diagnostic)) {
        let paint = if is_main { paint } else { ariadne::Color::Cyan };
        // A label without words draws no mark, and every message marks its place.
        let words = if label.text.is_empty() {
            "here".into()
        } else {
            harmless(&label.text)
        };
        report.add_label(
            ariadne::Label::new(place(map, label.span.file, first_line(map, label.span)))
                .with_color(paint)
                .with_priority(i32::from(is_main))
                .with_order(order)
                .with_message(words),
        );
    }
    report.finish()
}

/// The labels as they are read: the main file first, its lines from the top, on one line the rightmost first, so that
/// no arrow crosses another. A second place without words says nothing and is left out.
fn in_order<'d>(map: &SourceMap, diagnostic: &'d Diagnostic) -> Vec<(&'d Label, bool)> {
    let worded = |label: &&Label| !label.text.is_empty();
    let mut labels: Vec<(&Label, bool)> = std::iter::once((&diagnostic.primary, true))
        .chain(
            diagnostic
                .secondary
                .iter()
                .filter(worded)
                .map(|l| (l, false)),
        )
        .collect();
    let main = diagnostic.primary.span.file;
    labels.sort_by_key(|(label, _)| {
        let span = label.span;
        let at = map.line_column(span.file, span.start);
        (
            span.file != main,
            span.file,
            at.line,
            std::cmp::Reverse(at.column),
        )
    });
    labels
}

/// The step, then what is wrong, in one sentence; the line number follows below.
fn headline(diagnostic: &Diagnostic) -> String {
    let message = harmless(&diagnostic.message);
    match &diagnostic.step {
        Some((number, name)) => {
            let message = uncapital(&message);
            format!("Step {number}, \"{}\": {message}", harmless(name))
        }
        None => message.into_owned(),
    }
}

/// Without the capital a sentence begins with; a word in capitals keeps them.
fn uncapital(sentence: &str) -> String {
    let mut letters = sentence.chars();
    let first = letters.next();
    let rest = letters.as_str();
    let is_word = !rest.starts_with(char::is_uppercase);
    match first {
        Some(first) if is_word => first.to_lowercase().chain(rest.chars()).collect(),
        _ => sentence.to_owned(),
    }
}

/// Whether all its places lie in known files, on lines that fit a screen.
fn is_drawable(map: &SourceMap, diagnostic: &Diagnostic) -> bool {
    let mut labels = std::iter::once(&diagnostic.primary).chain(&diagnostic.secondary);
    labels.all(|label| {
        map.get(label.span.file).is_some_and(|source| {
            let range = map.bytes(label.span);
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
    for (label, _) in in_order(map, diagnostic) {
        let at = map.line_column(label.span.file, label.span.start);
        let name = map.name(label.span.file);
        let _ = write!(out, "   {}:{}:{}", one_line(name), at.line, at.column);
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
        let _ = writeln!(out, "   {}", harmless(note));
    }
    if let Some(help) = &diagnostic.help {
        let _ = writeln!(out, "   Help: {}", harmless(help));
    }
}

/// Characters that steer a terminal or hide text, replaced by harmless ones of the same length in bytes, so that places
/// stay where they are.
pub fn harmless(text: &str) -> Cow<'_, str> {
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

/// The same for a name or a message that has to stay on its line, whatever stands in it.
pub fn one_line(text: &str) -> Cow<'_, str> {
    let text = harmless(text);
    if !text.contains(['\n', '\t']) {
        return text;
    }
    Cow::Owned(text.replace(['\n', '\t'], " "))
}

/// Whether a character steers a terminal or hides text.
pub fn is_harmful(c: char) -> bool {
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
        Some(one_line(self.map.name(*id)).into_owned())
    }
}
