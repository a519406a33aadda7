//! Source texts and places in them. A [`Span`] names a range of one file; the [`SourceMap`] holds every file of a run,
//! the draft that was asked for first and its imports after it. A module of the library has its number for good, so that
//! what is made of it holds for every draft.
//!
//! The places of a file are numbered once, when it is read: a byte each. Where a word is put in place of another of another
//! length, every other word keeps its number, and with it all that was made of the text; the map knows how much further on
//! in the text each now stands. Numbers keep the order of the text, so that spans are joined and compared without it.

use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::fmt;
use std::ops::Range;
use std::sync::{Arc, OnceLock};

/// Which file of the [`SourceMap`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct FileId(pub u32);

impl FileId {
    /// Numbers from here on are those of the library's modules: more than a run has files.
    const LIBRARY: u32 = 1 << 20;

    /// The module of the library that has this number there.
    pub fn of_library(number: u32) -> Self {
        Self(Self::LIBRARY.saturating_add(number))
    }

    fn module(self) -> Option<usize> {
        self.0
            .checked_sub(Self::LIBRARY)
            .map(|number| number as usize)
    }
}

/// A range of one file's places.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Span {
    /// Which text of the map it lies in.
    pub file: FileId,
    /// The number of its first place, which is no byte of the text.
    pub start: u32,
    /// One past the last place.
    pub end: u32,
}

impl Span {
    /// The places `start..end` of `file`; bytes, where it was not changed since it was read.
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

    /// As a range of places.
    pub fn range(self) -> Range<usize> {
        self.start as usize..self.end as usize
    }

    /// How many places it takes; bytes of the text as it was read.
    pub fn len(self) -> usize {
        self.end.saturating_sub(self.start) as usize
    }

    /// Whether it holds no place.
    pub fn is_empty(self) -> bool {
        self.len() == 0
    }
}

/// In few bytes where it lies in the library: the module's number, its first place and how many there are.
impl Serialize for Span {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let module = self.file.0.wrapping_sub(FileId::LIBRARY);
        (module, self.start, self.end.wrapping_sub(self.start)).serialize(to)
    }
}

impl<'de> Deserialize<'de> for Span {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        let (module, start, length) = <(u32, u32, u32)>::deserialize(from)?;
        Ok(Self {
            file: FileId(module.wrapping_add(FileId::LIBRARY)),
            start,
            end: start.wrapping_add(length),
        })
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
    /// Byte offset of the start of each line, worked out when it is first asked for.
    line_starts: OnceLock<Vec<u32>>,
    /// Where words of another length were put, in order.
    shifts: Vec<Shift>,
}

/// From a place on, the text lies so many bytes further on than it did when it was read; fewer than none: further back.
#[derive(Clone, Copy, Debug)]
struct Shift {
    from: u32,
    by: i64,
}

impl SourceFile {
    fn new(name: String, text: &str) -> Self {
        Self {
            name,
            text: text.strip_prefix('\u{feff}').unwrap_or(text).into(),
            line_starts: OnceLock::new(),
            shifts: Vec::new(),
        }
    }

    fn line_starts(&self) -> &[u32] {
        self.line_starts.get_or_init(|| {
            let breaks = self.text.match_indices('\n').map(|(at, _)| at + 1);
            let starts = std::iter::once(0).chain(breaks);
            starts
                .map(|at| u32::try_from(at).unwrap_or(u32::MAX))
                .collect()
        })
    }

    /// The byte at which a place now stands.
    fn byte(&self, place: u32) -> usize {
        if self.shifts.is_empty() {
            return place as usize;
        }
        let after = self.shifts.partition_point(|shift| shift.from <= place);
        let at = |place: u32, by: i64| usize::try_from(i64::from(place) + by).unwrap_or(0);
        let before = after.checked_sub(1).and_then(|at| self.shifts.get(at));
        let byte = at(place, before.map_or(0, |shift| shift.by));
        // Inside a word that was made shorter.
        let next = self.shifts.get(after);
        next.map_or(byte, |next| byte.min(at(next.from, next.by)))
    }

    /// The line on which a place stands, from 1, and its byte.
    fn line(&self, place: u32) -> (usize, u32) {
        let byte = u32::try_from(self.byte(place)).unwrap_or(u32::MAX);
        let line = self.line_starts().partition_point(|&start| start <= byte);
        (line.max(1), byte)
    }

    /// Where a span stands in the text, in bytes.
    pub fn bytes(&self, span: Span) -> Range<usize> {
        self.byte(span.start)..self.byte(span.end)
    }

    /// The text of a span; empty where it does not fit.
    pub fn slice(&self, span: Span) -> &str {
        self.text.get(self.bytes(span)).unwrap_or("")
    }

    /// The span of a word or sign that stands at these bytes of the text.
    pub fn span(&self, file: FileId, bytes: Range<usize>) -> Span {
        Span {
            file,
            start: self.place(bytes.start),
            end: self.place(bytes.end),
        }
    }

    /// The place of a byte at which a word begins or ends.
    fn place(&self, byte: usize) -> u32 {
        let byte = i64::try_from(byte).unwrap_or(i64::MAX);
        let passed = |shift: &Shift| i64::from(shift.from) + shift.by <= byte;
        let after = self.shifts.partition_point(passed);
        let before = after.checked_sub(1).and_then(|at| self.shifts.get(at));
        u32::try_from(byte - before.map_or(0, |shift| shift.by)).unwrap_or(u32::MAX)
    }

    /// Puts a word in place of the one at `word`, which stands on one line, as `letters` does.
    fn put(&mut self, word: Span, letters: &str) {
        let bytes = self.bytes(word);
        let (Some(before), Some(after)) =
            (self.text.get(..bytes.start), self.text.get(bytes.end..))
        else {
            return;
        };
        let by = letters.len() as i64 - bytes.len() as i64;
        self.text = [before, letters, after].concat().into();
        if by == 0 {
            return;
        }
        if let Some(starts) = self.line_starts.get_mut() {
            let line = starts.partition_point(|start| *start as usize <= bytes.start);
            for start in starts.iter_mut().skip(line) {
                *start = u32::try_from(i64::from(*start) + by).unwrap_or(u32::MAX);
            }
        }
        let at = self.shifts.partition_point(|shift| shift.from < word.end);
        if self
            .shifts
            .get(at)
            .is_none_or(|shift| shift.from != word.end)
        {
            let before = at.checked_sub(1).and_then(|at| self.shifts.get(at));
            let by = before.map_or(0, |shift| shift.by);
            self.shifts.insert(at, Shift { from: word.end, by });
        }
        for shift in self.shifts.iter_mut().skip(at) {
            shift.by += by;
        }
    }
}

/// A place as people count it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LineColumn {
    /// Which line of the text, counted from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
}

/// Every file of a run.
#[derive(Clone, Debug, Default)]
pub struct SourceMap {
    files: Vec<SourceFile>,
    /// The library's, by their numbers there.
    modules: Vec<Option<SourceFile>>,
}

impl SourceMap {
    /// A map to which files are still to be added.
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds a file; a leading byte-order mark is dropped.
    pub fn add(&mut self, name: impl Into<String>, text: &str) -> FileId {
        let id = FileId(u32::try_from(self.files.len()).unwrap_or(u32::MAX));
        self.files.push(SourceFile::new(name.into(), text));
        id
    }

    /// Adds a module of the library under the number that it has for good.
    pub fn add_module(&mut self, id: FileId, name: impl Into<String>, text: &str) {
        self.put_module(id, SourceFile::new(name.into(), text));
    }

    /// Adds a module of another map.
    pub fn take_module(&mut self, other: &SourceMap, id: FileId) {
        if let Some(file) = other.module(id) {
            self.put_module(id, file.clone());
        }
    }

    fn put_module(&mut self, id: FileId, file: SourceFile) {
        let Some(number) = id.module() else { return };
        if self.modules.len() <= number {
            self.modules.resize_with(number + 1, || None);
        }
        if let Some(place) = self.modules.get_mut(number) {
            *place = Some(file);
        }
    }

    /// The file, where there is one.
    pub fn get(&self, file: FileId) -> Option<&SourceFile> {
        match self.files.get(file.0 as usize) {
            None => self.module(file),
            found => found,
        }
    }

    fn module(&self, file: FileId) -> Option<&SourceFile> {
        self.modules.get(file.module()?)?.as_ref()
    }

    /// The file's name; empty where there is none.
    pub fn name(&self, file: FileId) -> &str {
        self.get(file).map_or("", |f| &f.name)
    }

    /// Whether the file is part of the library inside the program.
    pub fn is_library(&self, file: FileId) -> bool {
        self.module(file).is_some()
    }

    /// The file's whole text.
    pub fn text(&self, file: FileId) -> &str {
        self.get(file).map_or("", |f| &f.text)
    }

    /// Where a span stands in its file's text, in bytes.
    pub fn bytes(&self, span: Span) -> Range<usize> {
        match self.get(span.file) {
            Some(file) => file.bytes(span),
            None => span.range(),
        }
    }

    /// The text of a span; empty where it does not fit the file.
    pub fn slice(&self, span: Span) -> &str {
        self.get(span.file).map_or("", |file| file.slice(span))
    }

    /// The span of a word or sign of a file's text that stands at these bytes.
    pub fn span(&self, file: FileId, bytes: Range<usize>) -> Span {
        match self.get(file) {
            Some(source) => source.span(file, bytes),
            None => Span::new(file, bytes.start, bytes.end),
        }
    }

    /// Puts letters in place of the word at `word`; both stand on one line. Every span but those that begin or end inside
    /// the word names what it named before.
    pub fn put(&mut self, word: Span, letters: &str) {
        if let Some(file) = self.files.get_mut(word.file.0 as usize) {
            file.put(word, letters);
        }
    }

    /// How many words of a file were put in place of others of another length.
    pub fn shifts(&self, file: FileId) -> usize {
        self.get(file).map_or(0, |file| file.shifts.len())
    }

    /// Line and column of a place.
    pub fn line_column(&self, file: FileId, place: u32) -> LineColumn {
        let Some(source) = self.get(file) else {
            return LineColumn { line: 1, column: 1 };
        };
        let (line, byte) = source.line(place);
        let start = source
            .line_starts()
            .get(line.saturating_sub(1))
            .copied()
            .unwrap_or(0);
        let before = source.text.get(start as usize..byte as usize).unwrap_or("");
        LineColumn {
            line,
            column: before.chars().count() + 1,
        }
    }

    /// The line a span starts on, from 1.
    pub fn line(&self, span: Span) -> usize {
        let source = self.get(span.file);
        source.map_or(1, |source| source.line(span.start).0)
    }

    /// All files in the order they were read, the library's last.
    pub fn files(&self) -> impl Iterator<Item = (FileId, &SourceFile)> {
        let own = (0..).map(FileId).zip(&self.files);
        let modules = (0..).map(FileId::of_library).zip(&self.modules);
        own.chain(modules.filter_map(|(id, file)| Some((id, file.as_ref()?))))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_count_characters_not_bytes() {
        let mut map = SourceMap::new();
        let file = map.add("a.draft", "\u{feff}é é\npoint 😀 x\n");
        assert_eq!(map.line_column(file, 3), LineColumn { line: 1, column: 3 });
        let x = map.text(file).find('x').unwrap();
        assert_eq!(
            map.line_column(file, x as u32),
            LineColumn { line: 2, column: 9 }
        );
    }

    /// However often words are made longer and shorter, every span of another word names that word.
    #[test]
    fn places_keep_their_words() {
        let text = "a 10cm b 7cm)\n3cm z";
        let mut map = SourceMap::new();
        let file = map.add("a.draft", text);
        let of = |word: &str| {
            let at = text.find(word).unwrap();
            Span::new(file, at, at + word.len())
        };
        let (ten, seven, three) = (of("10cm"), of("7cm"), of("3cm"));
        for (word, letters) in [
            (seven, "12.5cm"),
            (ten, "9cm"),
            (three, "3/8in"),
            (ten, "100cm"),
            (seven, "1cm"),
            (ten, "10cm"),
        ] {
            map.put(word, letters);
            assert_eq!(map.slice(word), letters);
            for other in ["a", "b", ")", "z"] {
                assert_eq!(map.slice(of(other)), other, "after {letters}");
            }
            for span in [of("b"), of(")"), of("z"), ten, seven, three] {
                assert_eq!(map.span(file, map.bytes(span)), span);
            }
        }
        assert_eq!(map.text(file), "a 10cm b 1cm)\n3/8in z");
        assert_eq!(
            map.line_column(file, three.start),
            LineColumn { line: 2, column: 1 }
        );
        assert_eq!(
            map.line_column(file, three.end),
            LineColumn { line: 2, column: 6 }
        );
    }
}
