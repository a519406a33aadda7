//! A face as a document carries it: only the letters it uses, each with a code of its own, so that what is copied from the
//! page is what the draft says, also where the face has no glyph for a letter and shows a box.

use super::{CODES, Names, Objects, packed};
use crate::letters::{Letter, Weight};
use crate::pdf::content::number;
use pdf_writer::types::{CidFontType, FontFlags, UnicodeCmap};
use pdf_writer::{Filter, Finish, Name, Rect, Ref};
use std::collections::BTreeMap;
use subsetter::GlyphRemapper;

/// The letters used of a face, in the order first used.
pub(super) struct Alphabet {
    weight: Weight,
    codes: BTreeMap<char, u16>,
    letters: Vec<Letter>,
}

impl Alphabet {
    pub(super) fn new(weight: Weight) -> Self {
        Self {
            weight,
            codes: BTreeMap::new(),
            letters: Vec::new(),
        }
    }

    pub(super) fn weight(&self) -> Weight {
        self.weight
    }

    pub(super) fn is_empty(&self) -> bool {
        self.letters.is_empty()
    }

    /// The code of a letter: from 1, since 0 is no letter. A document of more different letters than codes shows boxes.
    pub(super) fn code(&mut self, letter: &Letter) -> u16 {
        if let Some(code) = self.codes.get(&letter.letter) {
            return *code;
        }
        let Ok(code) = u16::try_from(self.letters.len() + 1) else {
            return 0;
        };
        self.codes.insert(letter.letter, code);
        self.letters.push(*letter);
        code
    }

    /// Letters it has no glyph for.
    pub(super) fn missing(&self) -> impl Iterator<Item = char> {
        self.letters
            .iter()
            .filter(|letter| letter.glyph == 0)
            .map(|letter| letter.letter)
    }

    /// The objects of the font under a name.
    pub(super) fn write(&self, font: Ref, names: &mut Names) -> Objects {
        let mut objects = Objects::new();
        let (descendant, descriptor, file, map, unicode) = (
            names.next(),
            names.next(),
            names.next(),
            names.next(),
            names.next(),
        );
        let mut glyphs = GlyphRemapper::new();
        let codes: Vec<u16> = self
            .letters
            .iter()
            .map(|letter| glyphs.remap(letter.glyph))
            .collect();
        let (data, codes) = match subsetter::subset(self.weight.data(), 0, &glyphs) {
            Ok(part) => (part, codes),
            // The whole face does as well: only the file is larger.
            Err(_) => (
                self.weight.data().to_vec(),
                self.letters.iter().map(|letter| letter.glyph).collect(),
            ),
        };
        let name = format!("OAKTAG+{}", self.weight.name());
        let name = Name(name.as_bytes());
        objects
            .type0_font(font)
            .base_font(name)
            .encoding_predefined(Name(b"Identity-H"))
            .descendant_font(descendant)
            .to_unicode(unicode);
        let mut cid = objects.cid_font(descendant);
        cid.subtype(CidFontType::Type2)
            .base_font(name)
            .system_info(CODES)
            .font_descriptor(descriptor);
        cid.default_width(600.0).cid_to_gid_map_stream(map);
        cid.widths().consecutive(
            1,
            self.letters
                .iter()
                .map(|letter| number(letter.advance * 1000.0)),
        );
        cid.finish();
        self.descriptor(&mut objects, descriptor, name, file);
        let length = i32::try_from(data.len()).unwrap_or(i32::MAX);
        objects
            .stream(file, &packed(&data))
            .filter(Filter::FlateDecode)
            .pair(Name(b"Length1"), length);
        let table: Vec<u8> = std::iter::once(0)
            .chain(codes)
            .flat_map(u16::to_be_bytes)
            .collect();
        objects
            .stream(map, &packed(&table))
            .filter(Filter::FlateDecode);
        let mut cmap = UnicodeCmap::new(Name(b"Letters"), CODES);
        for (code, letter) in (1u16..).zip(&self.letters) {
            cmap.pair(code, letter.letter);
        }
        objects
            .stream(unicode, &packed(&cmap.finish()))
            .filter(Filter::FlateDecode);
        objects
    }

    fn descriptor(&self, objects: &mut Objects, descriptor: Ref, name: Name<'_>, file: Ref) {
        let measures = self.weight.measures();
        let [left, bottom, right, top] = measures.bounds.map(number);
        let mut written = objects.font_descriptor(descriptor);
        written
            .name(name)
            .flags(FontFlags::SYMBOLIC)
            .bbox(Rect::new(left, bottom, right, top));
        written
            .italic_angle(0.0)
            .ascent(number(measures.ascent))
            .descent(number(measures.descent));
        written
            .cap_height(number(measures.capitals))
            .stem_v(if self.weight == Weight::Bold {
                140.0
            } else {
                80.0
            });
        written.font_file2(file);
    }
}
