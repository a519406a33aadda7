//! Places of a text as pages and editors count them: UTF-16 code units.

use serde::Serialize;

/// A place in a text, from a code unit to another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Place {
    /// The first.
    pub from: usize,
    /// The one after the last.
    pub to: usize,
}

/// Bytes of a text in code units, and back.
#[derive(Debug)]
pub struct Units {
    /// Each character of more than one byte: where it ends, in bytes and in code units, and its bytes.
    ends: Vec<(usize, usize, usize)>,
}

impl Units {
    /// Of this text.
    pub fn of(text: &str) -> Self {
        let mut units = 0;
        let mut ends = Vec::new();
        if !text.is_ascii() {
            for (at, letter) in text.char_indices() {
                units += letter.len_utf16();
                if letter.len_utf8() > 1 {
                    ends.push((at + letter.len_utf8(), units, letter.len_utf8()));
                }
            }
        }
        Self { ends }
    }

    /// The code unit at which a byte stands that begins a character.
    pub fn unit(&self, byte: usize) -> usize {
        let before = self.ends.partition_point(|end| end.0 <= byte);
        match before.checked_sub(1).and_then(|at| self.ends.get(at)) {
            Some((bytes, units, _)) => units + (byte - bytes),
            None => byte,
        }
    }

    /// The byte at which a code unit stands; within a character, where that ends.
    pub fn byte(&self, unit: usize) -> usize {
        let before = self.ends.partition_point(|end| end.1 <= unit);
        let byte = match before.checked_sub(1).and_then(|at| self.ends.get(at)) {
            Some((bytes, units, _)) => bytes + (unit - units),
            None => unit,
        };
        match self.ends.get(before) {
            Some((end, _, bytes)) if byte + bytes > *end => *end,
            _ => byte,
        }
    }

    /// A range of bytes.
    pub fn place(&self, bytes: std::ops::Range<usize>) -> Place {
        Place {
            from: self.unit(bytes.start),
            to: self.unit(bytes.end),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bytes_and_code_units_are_counted_as_the_standard_library_counts_them() {
        for text in ["", "plain", "é", "naïve 𝄞 ½ end", "𝄞𝄞", "a½b¼"] {
            let units = Units::of(text);
            for (byte, _) in text.char_indices().chain([(text.len(), ' ')]) {
                let unit = text[..byte].encode_utf16().count();
                assert_eq!(units.unit(byte), unit, "{text}, byte {byte}");
                assert_eq!(units.byte(unit), byte, "{text}, unit {unit}");
            }
        }
        // Between the halves of a pair.
        assert_eq!(Units::of("a𝄞").byte(2), 5);
    }
}
