//! Text that can be searched: letters come back in the order they are read, whatever a draft says.

use super::reader::{POINT, Pdf};
use super::{document, shirt, written};
use crate::example_drafts::example;
use kurbo::{Affine, Point, Vec2};
use lopdf::content::Content;
use oaktag_output::drawing::frame::TextFrame;
use oaktag_output::drawing::manner::Scale;
use oaktag_output::drawing::{Anchor, Layer, Shape};
use oaktag_output::pages::lay_out;
use oaktag_output::pdf;
use oaktag_output::sheet::{PageSize, Sheet};
use std::collections::HashMap;

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

/// A line of letters as written on a page: its layer, where it starts, its way, and how far it runs by the widths that the font in
/// the file states (ISO 32000-1, 9.4.4 and 9.7.4.3, from memory), in millimetres.
struct Run {
    layer: String,
    start: Point,
    along: Vec2,
    long: f64,
}

/// Widths of the letters of a composite font by their code, in thousandths.
fn widths(file: &lopdf::Document, font: &lopdf::Dictionary) -> HashMap<u16, f64> {
    let below = font
        .get(b"DescendantFonts")
        .unwrap()
        .as_array()
        .unwrap()
        .clone();
    let below = file
        .get_dictionary(below[0].as_reference().unwrap())
        .unwrap();
    let table = below.get_deref(b"W", file).unwrap().as_array().unwrap();
    let figure = |object: &lopdf::Object| f64::from(object.as_float().unwrap());
    let (mut widths, mut at) = (HashMap::new(), 0);
    while at < table.len() {
        let first = table[at].as_i64().unwrap() as u16;
        match &table[at + 1] {
            lopdf::Object::Array(row) => {
                let row = row.iter().map(figure);
                widths.extend((first..).zip(row));
                at += 2;
            }
            last => {
                let last = last.as_i64().unwrap() as u16;
                widths.extend((first..=last).map(|code| (code, figure(&table[at + 2]))));
                at += 3;
            }
        }
    }
    widths
}

fn runs(file: &lopdf::Document, page: lopdf::ObjectId, height: f64) -> Vec<Run> {
    let fonts: HashMap<Vec<u8>, HashMap<u16, f64>> = file
        .get_page_fonts(page)
        .unwrap()
        .into_iter()
        .map(|(name, font)| (name, widths(file, font)))
        .collect();
    let content = Content::decode(&file.get_page_content(page)).unwrap();
    let on_paper = Affine::new([POINT, 0.0, 0.0, -POINT, 0.0, height]);
    let (mut place, mut saved, mut layers) = (on_paper, Vec::new(), Vec::new());
    let (mut font, mut size, mut matrix) = (Vec::new(), 0.0, Affine::IDENTITY);
    let mut found = Vec::new();
    for operation in &content.operations {
        let figures = || {
            let figures = operation.operands.iter();
            let figures = figures.filter_map(|object| object.as_float().ok());
            figures.map(f64::from).collect::<Vec<_>>()
        };
        let affine = || {
            let n = figures();
            Affine::new([n[0], n[1], n[2], n[3], n[4], n[5]])
        };
        match operation.operator.as_str() {
            "q" => saved.push(place),
            "Q" => place = saved.pop().unwrap(),
            "cm" => place *= affine(),
            "BDC" => {
                let name = operation.operands[1].as_name().unwrap().to_vec();
                layers.push(String::from_utf8(name).unwrap());
            }
            "EMC" => drop(layers.pop()),
            "Tf" => {
                font = operation.operands[0].as_name().unwrap().to_vec();
                size = figures()[0];
            }
            "Tm" => matrix = affine(),
            "TJ" => {
                let mut long = 0.0;
                for part in operation.operands[0].as_array().unwrap() {
                    match part {
                        lopdf::Object::String(codes, _) => {
                            let codes = codes.chunks(2).map(|c| u16::from_be_bytes([c[0], c[1]]));
                            long += codes.map(|code| fonts[&font][&code]).sum::<f64>();
                        }
                        back => long -= f64::from(back.as_float().unwrap()),
                    }
                }
                let written = place * matrix;
                let start = written * Point::ORIGIN;
                let end = written * Point::new(long / 1000.0 * size, 0.0);
                found.push(Run {
                    layer: layers.first().cloned().unwrap_or_default(),
                    start,
                    along: end - start,
                    long: (end - start).hypot(),
                });
            }
            _ => {}
        }
    }
    found
}

/// What is held of words in a drawing holds of the written page: each line of letters that a page shows is written on its layer, once,
/// at its place, and by the font's own widths it stays in its box.
#[test]
fn the_written_letters_stand_in_their_boxes() {
    let mut compared = 0;
    for (name, sheet, scale) in [
        ("womens-crew-shirt", Sheet::Page(PageSize::A4), Scale::Full),
        ("fitted-blouse", Sheet::Page(PageSize::Letter), Scale::Half),
        ("straight-skirt", Sheet::Page(PageSize::A0), Scale::Full),
        ("card-block-shirt", Sheet::Fit, Scale::Quarter),
    ] {
        let pattern = example(&format!("{name}.draft"), &[]).pattern;
        let document = lay_out(&pattern, sheet, scale).unwrap();
        let file = Pdf::read(&pdf::write(&document, &[]).bytes).file;
        for (page, id) in document.pages.iter().zip(file.get_pages().values()) {
            let written = runs(&file, *id, page.size.height);
            let mut wanted = 0;
            for view in &page.views {
                let drawing = &document.drawings[view.drawing];
                let layers = Layer::ALL.into_iter().chain([Layer::Joins]);
                for (layer, item) in
                    layers.flat_map(|layer| drawing.layer(layer).map(move |item| (layer, item)))
                {
                    let Shape::Text(text) = &item.shape else {
                        continue;
                    };
                    let frame = text.frame();
                    if view.shown.intersect(frame.bounds()).is_zero_area() {
                        continue;
                    }
                    wanted += 1;
                    let share = match text.anchor {
                        Anchor::Start => 0.0,
                        Anchor::Middle => 0.5,
                        Anchor::End => 1.0,
                    };
                    let at = text.at + view.shift;
                    let here = written.iter().filter(|run| {
                        run.layer == layer.id()
                            && (run.start + run.along * share - at).hypot() < 0.01
                    });
                    let here: Vec<&Run> = here.collect();
                    let of = format!("{name}, {}: {}", page.name, text.letters);
                    assert_eq!(here.len(), 1, "{of}");
                    let run = here[0];
                    assert!((run.along / run.long - text.along).hypot() < 1e-3, "{of}");
                    let frame = TextFrame {
                        centre: frame.centre + view.shift,
                        ..frame.grown(0.05)
                    };
                    for end in [run.start, run.start + run.along] {
                        assert!((frame.nearest(end) - end).hypot() < 1e-9, "{of}: {end:?}");
                    }
                    compared += 1;
                }
            }
            let shown = written.len();
            assert!(
                shown >= wanted,
                "{name}, {}: {shown} of {wanted}",
                page.name
            );
        }
    }
    assert!(compared > 700, "{compared}");
}
