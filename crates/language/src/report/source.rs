//! Source texts and places in them. A [`Span`] is a byte range of one file; the [`SourceMap`] holds every file of a run,
//! the draft that was asked for first and its imports and library modules after it.

use std::fmt;
use std::ops::Range;
use std::sync::Arc;

/// Which file of the [`SourceMap`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct FileId(pub u32);

/// A byte range in one file.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Span {
    /// The file.
    pub file: FileId,
    /// First byte.
    pub start: u32,
    /// One past the last byte.
    pub end: u32,
}

impl Span {
    /// The bytes `start..end` of `file`.
    pub fn new(file: FileId, start: usize, end: usize) -> Self {
        let clip = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        Self {
            file,
            start: clip(start),
            end: clip(end),
        }
    }

    /// The smallest span that holds both; the file is this one's.
    pub fn to(self, other: Self) -> Self {
        Self {
            file: self.file,
            start: self.start.min(other.start),
            end: self.end.max(other.end),
        }
    }

    /// The empty place just after this one.
    pub fn after(self) -> Self {
        Self {
            start: self.end,
            ..self
        }
    }

    /// As a range of bytes.
    pub fn range(self) -> Range<usize> {
        self.start as usize..self.end as usize
    }

    /// Number of bytes.
    pub fn len(self) -> usize {
        self.end.saturating_sub(self.start) as usize
    }

    /// Whether it holds no byte.
    pub fn is_empty(self) -> bool {
        self.len() == 0
    }
}

impl fmt::Debug for Span {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}..{}", self.file.0, self.start, self.end)
    }
}

/// One file's name and text.
#[derive(Clone, Debug)]
pub struct SourceFile {
    /// As the user wrote it on the command line, or relative to the main draft's folder; `<library>/shirt.draft` for the
    /// built-in library; `<standard input>`.
    pub name: String,
    /// The text, without a byte-order mark.
    pub text: Arc<str>,
    /// Byte offset of the start of each line.
    line_starts: Vec<u32>,
    /// Part of the library inside the program: messages blame the user's own sentence first.
    pub is_library: bool,
}

/// A place as people count it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LineColumn {
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
}

/// Every file of a run.
#[derive(Clone, Debug, Default)]
pub struct SourceMap {
    files: Vec<SourceFile>,
}

impl SourceMap {
    /// No files yet.
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds a file; a leading byte-order mark is dropped.
    pub fn add(&mut self, name: impl Into<String>, text: &str, is_library: bool) -> FileId {
        let text: Arc<str> = text.strip_prefix('\u{feff}').unwrap_or(text).into();
        let starts = std::iter::once(0).chain(text.match_indices('\n').map(|(at, _)| at + 1));
        let line_starts = starts
            .map(|at| u32::try_from(at).unwrap_or(u32::MAX))
            .collect();
        let id = FileId(u32::try_from(self.files.len()).unwrap_or(u32::MAX));
        self.files.push(SourceFile {
            name: name.into(),
            text,
            line_starts,
            is_library,
        });
        id
    }

    /// The file, where there is one.
    pub fn get(&self, file: FileId) -> Option<&SourceFile> {
        self.files.get(file.0 as usize)
    }

    /// The file's name; empty where there is none.
    pub fn name(&self, file: FileId) -> &str {
        self.get(file).map_or("", |f| &f.name)
    }

    /// Whether the file is part of the library inside the program.
    pub fn is_library(&self, file: FileId) -> bool {
        self.get(file).is_some_and(|f| f.is_library)
    }

    /// The file's whole text.
    pub fn text(&self, file: FileId) -> &str {
        self.get(file).map_or("", |f| &f.text)
    }

    /// The text of a span; empty where it does not fit the file.
    pub fn slice(&self, span: Span) -> &str {
        self.text(span.file).get(span.range()).unwrap_or("")
    }

    /// Line and column of a byte.
    pub fn line_column(&self, file: FileId, byte: u32) -> LineColumn {
        let Some(source) = self.get(file) else {
            return LineColumn { line: 1, column: 1 };
        };
        let line = source.line_starts.partition_point(|&start| start <= byte);
        let start = source
            .line_starts
            .get(line.saturating_sub(1))
            .copied()
            .unwrap_or(0);
        let before = source.text.get(start as usize..byte as usize).unwrap_or("");
        LineColumn {
            line: line.max(1),
            column: before.chars().count() + 1,
        }
    }

    /// The line a span starts on, from 1.
    pub fn line(&self, span: Span) -> usize {
        self.line_column(span.file, span.start).line
    }

    /// All files in the order they were read.
    pub fn files(&self) -> impl Iterator<Item = (FileId, &SourceFile)> {
        self.files
            .iter()
            .enumerate()
            .map(|(n, f)| (FileId(u32::try_from(n).unwrap_or(u32::MAX)), f))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_count_characters_not_bytes() {
        let mut map = SourceMap::new();
        let file = map.add("a.draft", "\u{feff}é é\npoint 😀 x\n", false);
        assert_eq!(map.line_column(file, 3), LineColumn { line: 1, column: 3 });
        let x = map.text(file).find('x').unwrap();
        assert_eq!(
            map.line_column(file, x as u32),
            LineColumn { line: 2, column: 9 }
        );
    }
}
