//! Text that can be searched: letters come back in the order they are read, whatever a draft says.

use super::reader::Pdf;
use super::{document, shirt, written};
use oaktag_output::drawing::manner::Scale;
use oaktag_output::pages::lay_out;
use oaktag_output::pdf;
use oaktag_output::sheet::{PageSize, Sheet};

/// Markup, quotes, an accent, a right-to-left word; all of it has glyphs.
const ODD: &str = "<b> & \"q\" 'a' Größe 38½ → שלום";
/// Letters that the faces lack.
const LACKING: [char; 2] = ['漢', '\u{1f9f5}'];

#[test]
fn the_title_and_the_words_are_found_in_order() {
    let pdf = written(&document(Sheet::Page(PageSize::A4), Scale::Full));
    let text = pdf.text(1);
    let places: Vec<usize> = [
        "Ferry crew shirt, body",
        "Print this page alone",
        "100 mm",
        "How the tiles lie",
    ]
    .iter()
    .map(|words| {
        text.find(words)
            .unwrap_or_else(|| panic!("{words} is not in {text}"))
    })
    .collect();
    assert!(text.contains("4 in") && places[0] < places[1], "{text}");
    let info = pdf
        .file
        .trailer
        .get(b"Info")
        .unwrap()
        .as_reference()
        .unwrap();
    let title = pdf
        .file
        .get_dictionary(info)
        .unwrap()
        .get(b"Title")
        .unwrap();
    assert_eq!(
        lopdf::decode_text_string(title).unwrap(),
        "Ferry crew shirt, body"
    );
}

#[test]
fn odd_letters_come_back_as_they_were() {
    let mut pattern = shirt();
    pattern.title = ODD.to_owned();
    pattern.pieces[0].label = ODD.to_owned();
    for sheet in [Sheet::Fit, Sheet::Page(PageSize::A3)] {
        let written = pdf::write(&lay_out(&pattern, sheet, Scale::Full).unwrap(), &[]);
        assert!(written.missing.is_empty(), "{:?}", written.missing);
        let pdf = Pdf::read(&written.bytes);
        let pages = (1..=pdf.pages.len())
            .map(|number| pdf.text(number))
            .collect::<String>();
        assert!(pages.matches(ODD).count() >= 2, "{sheet:?}: {pages}");
    }
}

#[test]
fn a_letter_without_a_glyph_is_a_box_that_is_told_and_can_still_be_searched() {
    let mut pattern = shirt();
    pattern.title = format!("A {}{} B", LACKING[0], LACKING[1]);
    let written = pdf::write(&lay_out(&pattern, Sheet::Fit, Scale::Full).unwrap(), &[]);
    assert_eq!(written.missing, LACKING);
    let text = Pdf::read(&written.bytes).text(1);
    assert!(text.contains(&pattern.title), "{text}");
}
