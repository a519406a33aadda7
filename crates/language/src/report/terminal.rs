//! Messages for people, drawn by ariadne: the source line, what stands where, figures and a way out. Every source is
//! prepared once for all messages, and nothing in a draft can write control characters to the screen.

use super::source::{FileId, SourceMap, Span};
use super::trouble::{Diagnostic, Severity};
use crate::voice::{self, LengthUnit, Words};
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

/// All messages as text, their figures in the unit of the person who reads, with or without colour: how many there are,
/// where there are several, the errors in the order given, then the warnings, of which the first of each kind is shown and
/// the others are listed behind it.
pub fn render(map: &SourceMap, told: &[Diagnostic], unit: LengthUnit, colour: bool) -> String {
    let shown = render_counted(map, told, unit, colour);
    if told.len() < 2 {
        return shown;
    }
    let errors = told.iter().filter(|told| told.is_error()).count();
    format!("{}\n{shown}", counted(errors, told.len() - errors))
}

/// The same where it is said already how many there are.
pub fn render_counted(
    map: &SourceMap,
    told: &[Diagnostic],
    unit: LengthUnit,
    colour: bool,
) -> String {
    let mut sources = Sources {
        map,
        ready: HashMap::new(),
    };
    let (errors, warnings): (Vec<&Diagnostic>, Vec<&Diagnostic>) =
        told.iter().partition(|told| told.is_error());
    let mut out = String::new();
    let kinds = errors.into_iter().map(|one| vec![one]);
    for kind in kinds.chain(by_kind(warnings)) {
        let Some((told, others)) = kind.split_first() else {
            continue;
        };
        if !out.is_empty() {
            out.push('\n');
        }
        let shown = Shown { map, told, unit };
        match shown.picture(&mut sources, colour) {
            Some(picture) => shown.with_words_below(&picture, &mut out),
            None => shown.plain(&mut out),
        }
        if others.is_empty() {
            continue;
        }
        let more = voice::agree(others.len(), "One more", "More");
        let _ = writeln!(out, "{more} of this kind:");
        for told in others {
            Shown { map, told, unit }.listed(&mut out);
        }
    }
    out
}

/// "2 errors, 13 warnings."
fn counted(errors: usize, warnings: usize) -> String {
    let counts = [
        (errors, "error", "errors"),
        (warnings, "warning", "warnings"),
    ];
    let said = counts.iter().filter(|(count, ..)| *count > 0);
    let said =
        said.map(|(count, one, many)| format!("{count} {}", voice::agree(*count, one, many)));
    format!("{}.\n", said.collect::<Vec<_>>().join(", "))
}

/// Messages with those of one code together, in the order in which each code is first told.
fn by_kind(told: Vec<&Diagnostic>) -> Vec<Vec<&Diagnostic>> {
    let mut kinds: Vec<Vec<&Diagnostic>> = Vec::new();
    for one in told {
        let same =
            |kind: &&mut Vec<&Diagnostic>| kind.first().is_some_and(|first| first.code == one.code);
        match kinds.iter_mut().find(same) {
            Some(kind) => kind.push(one),
            None => kinds.push(vec![one]),
        }
    }
    kinds
}

/// A message being shown.
struct Shown<'d> {
    map: &'d SourceMap,
    told: &'d Diagnostic,
    unit: LengthUnit,
}

/// A place with what stands there.
struct Label<'d> {
    span: Span,
    words: Cow<'d, str>,
    is_main: bool,
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

impl<'d> Shown<'d> {
    fn said(&self, words: &'d Words) -> Cow<'d, str> {
        match words.in_unit(self.unit) {
            Cow::Borrowed(words) => harmless(words),
            Cow::Owned(words) => harmless(&words).into_owned().into(),
        }
    }

    /// Drawn by ariadne, where all its places can be.
    fn picture(&self, sources: &mut Sources, colour: bool) -> Option<String> {
        if !self.is_drawable() {
            return None;
        }
        let mut bytes = Vec::new();
        self.report(colour).write(sources, &mut bytes).ok()?;
        String::from_utf8(bytes).ok()
    }

    /// The picture, padding trimmed, and below it inside the frame the figures first and then what to write.
    fn with_words_below(&self, picture: &str, out: &mut String) {
        let trimmed: Vec<&str> = picture.lines().map(str::trim_end).collect();
        let Some((corner, lines)) = trimmed.split_last() else {
            return;
        };
        for line in lines {
            out.push_str(line);
            out.push('\n');
        }
        let margin = corner.replace('─', " ").replace('╯', "│");
        let notes = self.told.notes.iter().map(|note| self.said(note));
        let help = self.told.help.iter().map(|help| self.said(help));
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

    fn report(&self, colour: bool) -> ariadne::Report<'d, Place> {
        let (kind, paint) = match self.told.severity {
            Severity::Error => (ReportKind::Error, ariadne::Color::Red),
            Severity::Warning => (ReportKind::Warning, ariadne::Color::Yellow),
        };
        let main = self.told.place;
        let config = Config::default()
            .with_index_type(IndexType::Char)
            .with_color(colour);
        let mut report =
            ariadne::Report::build(kind, place(self.map, main.file, self.map.bytes(main)))
                .with_config(config)
                .with_code(self.told.code)
                .with_message(self.headline());
        for (order, label) in (0..).zip(self.in_order()) {
            let paint = if label.is_main {
                paint
            } else {
                ariadne::Color::Cyan
            };
            // A label without words draws no mark, and every message marks its place.
            let words = if label.words.is_empty() {
                "here".into()
            } else {
                label.words
            };
            report.add_label(
                ariadne::Label::new(place(
                    self.map,
                    label.span.file,
                    first_line(self.map, label.span),
                ))
                .with_color(paint)
                .with_priority(i32::from(label.is_main))
                .with_order(order)
                .with_message(words),
            );
        }
        report.finish()
    }

    /// The labels as they are read: the main file first, its lines from the top, on one line the rightmost first, so that
    /// no arrow crosses another. A second place without words says nothing and is left out.
    fn in_order(&self) -> Vec<Label<'d>> {
        let told = self.told;
        let main = std::iter::once((told.place, &told.label, true));
        let others = told.see.iter().filter(|(_, words)| !words.is_empty());
        let all = main.chain(others.map(|(span, words)| (*span, words, false)));
        let said = all.map(|(span, words, is_main)| Label {
            span,
            words: self.said(words),
            is_main,
        });
        let mut labels: Vec<Label> = said.collect();
        labels.sort_by_key(|label| {
            let span = label.span;
            let at = self.map.line_column(span.file, span.start);
            (
                span.file != told.place.file,
                span.file,
                at.line,
                std::cmp::Reverse(at.column),
            )
        });
        labels
    }

    /// The step, then what is wrong, in one sentence; the line number follows below.
    fn headline(&self) -> String {
        let message = self.said(&self.told.message);
        match &self.told.step {
            Some((number, name)) => {
                let message = uncapital(&message);
                format!("Step {number}, \"{}\": {message}", harmless(name))
            }
            None => message.into_owned(),
        }
    }

    /// Whether all its places lie in known files, on lines that fit a screen.
    fn is_drawable(&self) -> bool {
        let others = self.told.see.iter().map(|(span, _)| *span);
        std::iter::once(self.told.place).chain(others).all(|span| {
            self.map.get(span.file).is_some_and(|source| {
                let range = self.map.bytes(span);
                let line = line_around(&source.text, range.start);
                source.text.get(range).is_some() && line.len() <= LONGEST_LINE
            })
        })
    }

    /// On a line of its own: where, and what is wrong.
    fn listed(&self, out: &mut String) {
        let place = self.told.place;
        let at = self.map.line_column(place.file, place.start);
        let name = one_line(self.map.name(place.file));
        let said = self.headline();
        let said = one_line(&said);
        let _ = writeln!(out, "   {name}:{}:{}  {said}", at.line, at.column);
    }

    /// Without a picture of the line: for lines that no screen holds and for files that are not in the map.
    fn plain(&self, out: &mut String) {
        let kind = match self.told.severity {
            Severity::Error => "Error",
            Severity::Warning => "Warning",
        };
        let map = self.map;
        // Writing to a String cannot fail.
        let _ = writeln!(out, "[{}] {kind}: {}", self.told.code, self.headline());
        for label in self.in_order() {
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
            if !label.words.is_empty() {
                let _ = write!(out, "  ({})", label.words);
            }
            out.push('\n');
        }
        for note in &self.told.notes {
            let _ = writeln!(out, "   {}", self.said(note));
        }
        if let Some(help) = &self.told.help {
            let _ = writeln!(out, "   Help: {}", self.said(help));
        }
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

/// Texts as the library that draws messages wants them.
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
