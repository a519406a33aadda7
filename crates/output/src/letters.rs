//! The letters of paper and pictures: two faces that the program carries with it, or is given, so that a page looks the same on
//! every machine. Finds the glyph of each letter, sets a line of text in either writing direction, and says which letters the
//! faces lack. Letters that change their shape with their neighbours (Arabic and its kin) stand in their separate forms.

use kurbo::{BezPath, Point};
use std::sync::OnceLock;
use ttf_parser::{Face, GlyphId, OutlineBuilder};
use unicode_normalization::UnicodeNormalization;

/// One of the two faces.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weight {
    /// Of words that are read.
    Regular,
    /// For names and cautions.
    Bold,
}

/// The files of the faces: DejaVu Sans Condensed 2.37, whole and unchanged; its licence stands beside it.
#[cfg(feature = "faces")]
const CARRIED: Option<[&[u8]; 2]> = Some([
    include_bytes!("../../../assets/font/DejaVuSansCondensed.ttf"),
    include_bytes!("../../../assets/font/DejaVuSansCondensed-Bold.ttf"),
]);
/// A page fetches them when something is put on paper.
#[cfg(not(feature = "faces"))]
const CARRIED: Option<[&[u8]; 2]> = None;

static LAID: OnceLock<[Vec<u8>; 2]> = OnceLock::new();
static FACES: OnceLock<[Option<Face<'static>>; 2]> = OnceLock::new();

/// Gives the files of both faces, in the order of [`Weight::ALL`], to a program that does not carry them. What is laid first
/// stays.
///
/// # Errors
/// In words, where one of them is no face.
pub fn lay(files: [Vec<u8>; 2]) -> Result<(), String> {
    for file in &files {
        Face::parse(file, 0).map_err(|why| format!("that is no face: {why}"))?;
    }
    LAID.get_or_init(|| files);
    Ok(())
}

/// Whether the faces are at hand; without them every letter is a box.
pub fn are_at_hand() -> bool {
    files().is_some()
}

fn files() -> Option<[&'static [u8]; 2]> {
    CARRIED.or_else(|| LAID.get().map(|files| files.each_ref().map(Vec::as_slice)))
}

impl Weight {
    /// Both faces, in the order in which documents carry them.
    pub const ALL: [Weight; 2] = [Weight::Regular, Weight::Bold];

    /// The face for a hand.
    pub fn of(bold: bool) -> Self {
        if bold { Self::Bold } else { Self::Regular }
    }

    /// The bytes of the face's TrueType file.
    pub fn data(self) -> &'static [u8] {
        files().map_or(&[], |files| self.of_both(files))
    }

    fn of_both<T>(self, [regular, bold]: [T; 2]) -> T {
        match self {
            Self::Regular => regular,
            Self::Bold => bold,
        }
    }

    /// Its name in documents.
    pub fn name(self) -> &'static str {
        match self {
            Self::Regular => "DejaVuSansCondensed",
            Self::Bold => "DejaVuSansCondensed-Bold",
        }
    }

    fn face(self) -> Option<&'static Face<'static>> {
        let files = files()?;
        let faces = FACES.get_or_init(|| files.map(|file| Face::parse(file, 0).ok()));
        self.of_both(faces.each_ref()).as_ref()
    }

    /// What a document must know of it, in thousandths of an em.
    pub fn measures(self) -> Measures {
        let Some(face) = self.face() else {
            return Measures::default();
        };
        let scale = 1000.0 / f64::from(face.units_per_em());
        let of = |units: i16| f64::from(units) * scale;
        let b = face.global_bounding_box();
        Measures {
            bounds: [of(b.x_min), of(b.y_min), of(b.x_max), of(b.y_max)],
            ascent: of(face.ascender()),
            descent: of(face.descender()),
            capitals: face.capital_height().map_or(729.0, of),
        }
    }

    /// Width of a glyph in em.
    pub(crate) fn advance(self, glyph: u16) -> f64 {
        let units = self.face().and_then(|face| {
            let advance = face.glyph_hor_advance(GlyphId(glyph))?;
            Some(f64::from(advance) / f64::from(face.units_per_em()))
        });
        units.unwrap_or(0.5)
    }

    /// Outline of a glyph in em, y up from the baseline.
    pub fn outline(self, glyph: u16) -> BezPath {
        let Some(face) = self.face() else {
            return BezPath::new();
        };
        let mut pen = GlyphPen {
            path: BezPath::new(),
            scale: 1.0 / f64::from(face.units_per_em()),
        };
        face.outline_glyph(GlyphId(glyph), &mut pen);
        pen.path
    }
}

/// Measures of a face in thousandths of an em.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Measures {
    /// The box of all glyphs: left, bottom, right, top.
    pub bounds: [f64; 4],
    /// Height above the baseline.
    pub ascent: f64,
    /// Depth below it, negative.
    pub descent: f64,
    /// From the baseline to the top of capitals, in thousandths of an em.
    pub capitals: f64,
}

/// A letter in its place on a line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Letter {
    /// The letter as it is written.
    pub letter: char,
    /// Its glyph; 0, a box, where the face lacks it.
    pub glyph: u16,
    /// From the start of the line to its origin, in em.
    pub x: f64,
    /// Its width in em.
    pub advance: f64,
}

/// A line of text: letters in the order they are read, each with its place.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Line {
    /// Each with its glyph and how far from the start it stands.
    pub letters: Vec<Letter>,
    /// Width of the line in em.
    pub width: f64,
}

/// Sets a line. Letters keep the order in which they are read; those of a right-to-left word stand from right to left.
pub fn set(text: &str, weight: Weight) -> Line {
    let text: String = text.nfc().collect();
    let letters: Vec<Letter> = text.chars().map(|letter| of(letter, weight)).collect();
    let mut line = Line {
        letters,
        width: 0.0,
    };
    for run in runs(&text) {
        let places: Box<dyn Iterator<Item = usize>> = if run.right_to_left {
            Box::new(run.letters.rev())
        } else {
            Box::new(run.letters)
        };
        for place in places {
            if let Some(letter) = line.letters.get_mut(place) {
                letter.x = line.width;
                line.width += letter.advance;
            }
        }
    }
    line
}

/// Letters that a text has and its face lacks, in reading order.
pub fn missing(text: &str, weight: Weight) -> Vec<char> {
    let lacks = |letter: &Letter| letter.glyph == 0;
    set(text, weight)
        .letters
        .iter()
        .filter(|letter| lacks(letter))
        .map(|letter| letter.letter)
        .collect()
}

fn of(letter: char, weight: Weight) -> Letter {
    let face = weight.face();
    let unseen = is_unseen(letter);
    let wanted = if unseen { ' ' } else { letter };
    let glyph = face
        .and_then(|face| face.glyph_index(wanted))
        .map_or(0, |glyph| glyph.0);
    let advance = if unseen { 0.0 } else { weight.advance(glyph) };
    Letter {
        letter,
        glyph,
        x: 0.0,
        advance,
    }
}

/// Joiners and selectors that shape their neighbours and show nothing themselves.
fn is_unseen(letter: char) -> bool {
    matches!(letter, '\u{ad}' | '\u{200b}'..='\u{200f}' | '\u{2060}'..='\u{2064}' | '\u{fe00}'..='\u{fe0f}' | '\u{feff}' | '\u{e0000}'..='\u{e0fff}')
}

/// Letters of one writing direction, from left to right on the paper.
struct Run {
    letters: std::ops::Range<usize>,
    right_to_left: bool,
}

/// The runs of a line in the order they stand on the paper (Unicode Standard Annex 9).
fn runs(text: &str) -> Vec<Run> {
    let order = unicode_bidi::BidiInfo::new(text, None);
    let Some(paragraph) = order.paragraphs.first() else {
        return Vec::new();
    };
    let (levels, ranges) = order.visual_runs(paragraph, paragraph.range.clone());
    let mut index_of = vec![0; text.len() + 1];
    let mut count = 0;
    for (index, (at, _)) in text.char_indices().enumerate() {
        if let Some(slot) = index_of.get_mut(at) {
            *slot = index;
        }
        count = index + 1;
    }
    if let Some(slot) = index_of.get_mut(text.len()) {
        *slot = count;
    }
    let at = |byte: usize| index_of.get(byte).copied().unwrap_or(count);
    let run = |range: std::ops::Range<usize>| Run {
        right_to_left: levels
            .get(range.start)
            .is_some_and(unicode_bidi::Level::is_rtl),
        letters: at(range.start)..at(range.end),
    };
    ranges.into_iter().map(run).collect()
}

struct GlyphPen {
    path: BezPath,
    scale: f64,
}

impl GlyphPen {
    fn at(&self, x: f32, y: f32) -> Point {
        Point::new(f64::from(x) * self.scale, f64::from(y) * self.scale)
    }
}

impl OutlineBuilder for GlyphPen {
    fn move_to(&mut self, x: f32, y: f32) {
        self.path.move_to(self.at(x, y));
    }

    fn line_to(&mut self, x: f32, y: f32) {
        self.path.line_to(self.at(x, y));
    }

    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        self.path.quad_to(self.at(x1, y1), self.at(x, y));
    }

    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        self.path
            .curve_to(self.at(x1, y1), self.at(x2, y2), self.at(x, y));
    }

    fn close(&mut self) {
        self.path.close_path();
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::text;

    /// Boxes for names are made from a table of widths before any font is known: no letter may leave its box.
    #[test]
    fn no_letter_is_wider_than_the_drawing_takes_it_to_be() {
        let letters = (' '..='ÿ')
            .chain('Ā'..='ſ')
            .chain('А'..='я')
            .chain(['–', '—', '…', '·', '×', '✗', '→']);
        let mut wide = Vec::new();
        for letter in letters.filter(|c| !c.is_control()) {
            for weight in Weight::ALL {
                let taken = text::width(&letter.to_string(), 1.0, weight == Weight::Bold);
                let width = set(&letter.to_string(), weight).width;
                if width > taken + 1e-9 {
                    wide.push(format!("{letter} {weight:?} {width:.3} {taken:.3}"));
                }
            }
        }
        assert!(wide.is_empty(), "{wide:?}");
    }

    #[test]
    fn a_right_to_left_word_is_read_in_order_and_stands_from_the_right() {
        let line = set("size גדול 38", Weight::Regular);
        let read: String = line.letters.iter().map(|letter| letter.letter).collect();
        assert_eq!(read, "size גדול 38");
        let word: Vec<f64> = line
            .letters
            .iter()
            .filter(|l| ('א'..='ת').contains(&l.letter))
            .map(|l| l.x)
            .collect();
        assert!(word.len() == 4 && word.windows(2).all(|pair| pair[0] > pair[1]));
        let figure = line.letters.iter().find(|l| l.letter == '3').unwrap();
        assert!(
            word.iter().all(|x| *x > figure.x),
            "a figure after such a word stands on its left"
        );
    }

    #[test]
    fn letters_the_faces_lack_are_said_and_joiners_take_no_room() {
        assert_eq!(missing("size 38 漢 ½ é", Weight::Regular), ['漢']);
        assert!(missing("Größe, ножницы, μέγεθος, גדול", Weight::Bold).is_empty());
        assert_eq!(
            set("a\u{200d}\u{fe0f}", Weight::Regular).width,
            set("a", Weight::Regular).width
        );
    }
}
