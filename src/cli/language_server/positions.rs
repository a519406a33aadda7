//! Places in a text as clients count them: lines, and within a line UTF-8, UTF-16 or UTF-32 code units.

use lsp_types::{Position, PositionEncodingKind, Range, TextDocumentContentChangeEvent};
use oaktag_studio::session::places::{Place, Units};
use std::ops;
use std::sync::Arc;

/// What a client counts within a line.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Encoding {
    Utf8,
    #[default]
    Utf16,
    Utf32,
}

impl Encoding {
    /// The first that the client offers and that is known; what every client knows, where it offers none.
    pub(super) fn of(offered: Option<&[PositionEncodingKind]>) -> Self {
        let known = |kind: &PositionEncodingKind| match kind.as_str() {
            "utf-8" => Some(Self::Utf8),
            "utf-16" => Some(Self::Utf16),
            "utf-32" => Some(Self::Utf32),
            _ => None,
        };
        let mut offered = offered.into_iter().flatten().filter_map(known);
        offered.next().unwrap_or_default()
    }

    /// Its name.
    pub(super) fn name(self) -> PositionEncodingKind {
        match self {
            Self::Utf8 => PositionEncodingKind::UTF8,
            Self::Utf16 => PositionEncodingKind::UTF16,
            Self::Utf32 => PositionEncodingKind::UTF32,
        }
    }

    /// So many units a text has.
    pub(super) fn count(self, text: &str) -> u32 {
        let count = match self {
            Self::Utf8 => text.len(),
            Self::Utf16 if text.is_ascii() => text.len(),
            Self::Utf32 if text.is_ascii() => text.len(),
            Self::Utf16 => text.encode_utf16().count(),
            Self::Utf32 => text.chars().count(),
        };
        u32::try_from(count).unwrap_or(u32::MAX)
    }

    /// The byte of a line at which that unit stands; within a letter, where that ends; beyond the line, its end.
    fn byte(self, line: &str, unit: u32) -> usize {
        let mut left = unit as usize;
        for (byte, letter) in line.char_indices() {
            if left == 0 {
                return byte;
            }
            left = left.saturating_sub(match self {
                Self::Utf8 => letter.len_utf8(),
                Self::Utf16 => letter.len_utf16(),
                Self::Utf32 => 1,
            });
        }
        line.len()
    }
}

/// A text with its places.
#[derive(Clone)]
pub(super) struct Text {
    /// As the client has it.
    whole: Arc<str>,
    /// The bytes at which lines begin; a line ends with `\n`, `\r\n` or `\r`.
    starts: Vec<usize>,
    /// The bytes of a byte-order mark, which is no part of a draft.
    mark: usize,
    /// Of what is behind it.
    units: Arc<Units>,
    encoding: Encoding,
}

/// A mark that some editors put before a text.
const MARK: char = '\u{feff}';

impl Text {
    /// A text, for a client that counts so.
    pub(super) fn new(whole: Arc<str>, encoding: Encoding) -> Self {
        let mark = if whole.starts_with(MARK) {
            MARK.len_utf8()
        } else {
            0
        };
        let units = Units::of(whole.get(mark..).unwrap_or_default());
        Self {
            starts: starts(&whole),
            units: Arc::new(units),
            whole,
            mark,
            encoding,
        }
    }

    /// The draft.
    pub(super) fn draft(&self) -> &str {
        self.whole.get(self.mark..).unwrap_or_default()
    }

    /// The text as the client has it.
    pub(super) fn whole(&self) -> &Arc<str> {
        &self.whole
    }

    /// Where a byte of the draft stands.
    pub(super) fn position(&self, byte: usize) -> Position {
        let byte = byte + self.mark;
        let line = self.starts.partition_point(|start| *start <= byte).max(1) - 1;
        let start = self.starts.get(line).copied().unwrap_or_default();
        let before = self.whole.get(start..byte).unwrap_or_default();
        Position {
            line: u32::try_from(line).unwrap_or(u32::MAX),
            character: self.encoding.count(before),
        }
    }

    /// Where bytes of the draft stand.
    pub(super) fn range(&self, bytes: ops::Range<usize>) -> Range {
        Range::new(self.position(bytes.start), self.position(bytes.end))
    }

    /// Where a place of the draft stands.
    pub(super) fn range_of(&self, place: Place) -> Range {
        self.range(self.units.byte(place.from)..self.units.byte(place.to))
    }

    /// Where a code unit of the draft stands.
    pub(super) fn position_of(&self, unit: usize) -> Position {
        self.position(self.units.byte(unit))
    }

    /// The letters of a place.
    pub(super) fn letters(&self, place: Place) -> &str {
        let bytes = self.units.byte(place.from)..self.units.byte(place.to);
        self.draft().get(bytes).unwrap_or_default()
    }

    /// The place at which the client points.
    pub(super) fn unit(&self, at: Position) -> usize {
        self.units.unit(self.byte(at).saturating_sub(self.mark))
    }

    /// The place of a range that the client points at.
    pub(super) fn place(&self, range: Range) -> Place {
        let (from, to) = (self.unit(range.start), self.unit(range.end));
        Place {
            from: from.min(to),
            to: from.max(to),
        }
    }

    /// The byte of the whole text at which the client points; beyond its end, the end.
    fn byte(&self, at: Position) -> usize {
        let line = at.line as usize;
        let Some(start) = self.starts.get(line).copied() else {
            return self.whole.len();
        };
        let next = self.starts.get(line + 1).copied();
        let end = next.unwrap_or(self.whole.len());
        let text = self.whole.get(start..end).unwrap_or_default();
        start
            + self
                .encoding
                .byte(text.trim_end_matches(['\r', '\n']), at.character)
    }

    /// The text with a change made in it.
    pub(super) fn changed(&self, change: &TextDocumentContentChangeEvent) -> Text {
        let Some(range) = change.range else {
            return Text::new(change.text.as_str().into(), self.encoding);
        };
        let (from, to) = (self.byte(range.start), self.byte(range.end));
        let (from, to) = (from.min(to), from.max(to));
        let mut whole = self.whole.to_string();
        whole.replace_range(from..to, &change.text);
        Text::new(whole.into(), self.encoding)
    }
}

fn starts(text: &str) -> Vec<usize> {
    let bytes = text.as_bytes();
    let ends = bytes.iter().enumerate().filter(|(at, byte)| match byte {
        b'\n' => true,
        b'\r' => bytes.get(at + 1) != Some(&b'\n'),
        _ => false,
    });
    std::iter::once(0)
        .chain(ends.map(|(at, _)| at + 1))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const ALL: [Encoding; 3] = [Encoding::Utf8, Encoding::Utf16, Encoding::Utf32];

    #[test]
    fn every_letter_is_found_again_by_its_position() {
        for whole in ["", "a\nb", "a\r\nb\rc\n", "\u{feff}é𝄞½\r\n𝄞x", "\u{feff}"] {
            for encoding in ALL {
                let text = Text::new(whole.into(), encoding);
                let draft = text.draft().to_owned();
                for (byte, letter) in draft.char_indices().chain([(draft.len(), ' ')]) {
                    let at = text.position(byte);
                    // The end of a line is before the signs that end it.
                    if !matches!(letter, '\n' | '\r') {
                        assert_eq!(
                            text.byte(at),
                            byte + text.mark,
                            "{whole:?} {encoding:?} {byte}"
                        );
                    }
                    let lines = whole.get(..byte + text.mark).unwrap();
                    let count = lines.replace("\r\n", "\n").matches(['\n', '\r']).count();
                    let is_between = letter == '\n' && lines.ends_with('\r');
                    assert!(is_between || at.line as usize == count, "{whole:?} {byte}");
                }
            }
        }
    }

    #[test]
    fn a_position_beyond_a_line_or_within_a_letter_is_an_end() {
        let text = Text::new("a𝄞\nb".into(), Encoding::Utf16);
        for (line, character, byte) in [(0, 9, 5), (0, 2, 5), (0, 3, 5), (1, 9, 7), (7, 0, 7)] {
            assert_eq!(text.byte(Position { line, character }), byte);
        }
    }
}
