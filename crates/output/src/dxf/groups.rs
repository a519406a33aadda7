//! The group codes of a DXF file, release 12 in text: a code on a line, its value on the next. Release 12 is what cutting
//! rooms read; it has no Unicode, so letters beyond ASCII are written as `\U+XXXX`, and what a reader could take for a code
//! of its own (`%%`, `\U+`) as well. Letters beyond the first plane are written as the pair that UTF-16 makes of them.

use crate::number;
use kurbo::Point;

/// Decimals of a millimetre.
const DECIMALS: usize = 4;
/// The longest text of a release 12 file, in characters as written.
const LONGEST: usize = 250;

/// A file under way.
#[derive(Default)]
pub(super) struct Groups(String);

impl Groups {
    pub(super) fn put(&mut self, code: u16, value: &str) {
        self.0.push_str(&format!("{code:>3}\n{value}\n"));
    }

    pub(super) fn whole(&mut self, code: u16, value: i32) {
        self.put(code, &value.to_string());
    }

    pub(super) fn figure(&mut self, code: u16, value: f64) {
        self.put(code, &number::fixed(value, DECIMALS));
    }

    /// A point under 10, 20 and 30, or the like.
    pub(super) fn point(&mut self, code: u16, p: Point) {
        self.figure(code, p.x);
        self.figure(code + 10, p.y);
        self.figure(code + 20, 0.0);
    }

    /// The beginning of an entity on a layer.
    pub(super) fn entity(&mut self, name: &str, layer: u16) {
        self.put(0, name);
        self.put(8, &layer.to_string());
    }

    pub(super) fn polyline(&mut self, layer: u16, points: &[Point], is_closed: bool) {
        self.entity("POLYLINE", layer);
        self.whole(66, 1);
        self.point(10, Point::ZERO);
        self.whole(70, i32::from(is_closed));
        for p in points {
            self.entity("VERTEX", layer);
            self.point(10, *p);
        }
        self.entity("SEQEND", layer);
    }

    pub(super) fn line(&mut self, layer: u16, a: Point, b: Point) {
        self.entity("LINE", layer);
        self.point(10, a);
        self.point(11, b);
    }

    pub(super) fn spot(&mut self, layer: u16, at: Point) {
        self.entity("POINT", layer);
        self.point(10, at);
    }

    pub(super) fn text(&mut self, layer: u16, at: Point, height: f64, letters: &str) {
        self.turned_text(layer, (at, 0.0), height, letters);
    }

    /// Letters that run on in a direction, in degrees anticlockwise.
    pub(super) fn turned_text(
        &mut self,
        layer: u16,
        (at, turn): (Point, f64),
        height: f64,
        letters: &str,
    ) {
        self.entity("TEXT", layer);
        self.point(10, at);
        self.figure(40, height);
        self.put(1, &written(letters));
        if turn.abs() > 1e-4 {
            self.figure(50, turn.rem_euclid(360.0));
        }
    }

    pub(super) fn section(&mut self, name: &str) {
        self.put(0, "SECTION");
        self.put(2, name);
    }

    pub(super) fn end_section(&mut self) {
        self.put(0, "ENDSEC");
    }

    pub(super) fn finish(mut self) -> String {
        self.put(0, "EOF");
        self.0
    }

    pub(super) fn append(&mut self, other: &Groups) {
        self.0.push_str(&other.0);
    }
}

/// Letters as a value holds them: one line of ASCII.
fn written(letters: &str) -> String {
    let mut text = String::new();
    let mut letters = crate::drawing::text::printable(letters).trim().to_owned();
    letters.retain(|c| !matches!(c, '\u{2028}' | '\u{2029}'));
    for (at, letter) in letters.char_indices() {
        let mut one = String::new();
        let next = letters.get(at + 1..).unwrap_or_default();
        match letter {
            // A caret begins a control character; by itself it is written with a blank.
            '^' => one.push_str("^ "),
            '\\' if next.starts_with("U+") || next.starts_with("M+") => one.push_str("\\U+005C"),
            '%' if next.starts_with('%') => one.push_str("\\U+0025"),
            ' '..='~' => one.push(letter),
            _ => {
                for unit in letter.encode_utf16(&mut [0; 2]) {
                    one.push_str(&format!("\\U+{unit:04X}"));
                }
            }
        }
        if text.len() + one.len() > LONGEST {
            break;
        }
        text.push_str(&one);
    }
    text
}

/// A name as tables and blocks take it in release 12: at most 31 capitals, figures, `_` and `-`.
pub(super) fn name(wanted: &str) -> String {
    let plain = wanted
        .to_uppercase()
        .chars()
        .map(|c| {
            if c.is_ascii_alphanumeric() || c == '-' {
                c
            } else {
                '_'
            }
        })
        .take(24)
        .collect::<String>();
    if plain.trim_matches('_').is_empty() {
        "PIECE".to_owned()
    } else {
        plain
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_beyond_ascii_and_codes_are_written_as_code_points() {
        assert_eq!(written("Größe 38"), "Gr\\U+00F6\\U+00DFe 38");
        assert_eq!(
            written("100% %%c a\\b \\U+0041 ^J"),
            "100% \\U+0025%c a\\b \\U+005CU+0041 ^ J"
        );
        assert_eq!(written("😀"), "\\U+D83D\\U+DE00");
        assert_eq!(written("a\nb\u{1}c"), "a bc");
        assert!(written(&"é".repeat(400)).len() <= LONGEST);
    }

    #[test]
    fn block_names_are_plain() {
        assert_eq!(name("upper back"), "UPPER_BACK");
        assert_eq!(name("שלום"), "PIECE");
        assert_eq!(name(&"a".repeat(90)).len(), 24);
    }
}
