//! Writes a drawing as SVG at true size, for the eye or for a cutting machine: width, height and view box in millimetres, a group with an id for each layer, lines
//! and texts styled by class so that a reader can restyle or hide them. Letters from a draft are data: they are escaped,
//! and nothing a draft says becomes markup, style or a comment.

use super::drawing::style::{self, Colours};
use super::drawing::{Anchor, Drawing, Item, Layer, Shape, Text, compose};
use super::number::{self, DRAWING_DECIMALS};
use super::path_data;
use super::xml::Xml;
use oaktag_language::pattern::Pattern;

/// Writes a pattern as an SVG document.
pub fn write(pattern: &Pattern) -> String {
    of_drawing(&compose::compose(pattern))
}

/// Writes a drawing as an SVG document.
pub fn of_drawing(drawing: &Drawing) -> String {
    let mut xml = file(drawing, Some("sans-serif"));
    if !drawing.words.is_empty() {
        xml.begin("desc");
        xml.end_with("desc", &drawing.words);
    }
    xml.begin("style");
    xml.end_with_lines("style", &style::css([drawing], Colours::Fixed));
    for layer in Layer::ALL {
        xml.begin("g");
        xml.set("id", layer.id());
        drawing.layer(layer).for_each(|item| add(&mut xml, item));
        xml.end("g");
    }
    finished(xml)
}

/// A drawing as a part of a page, which has its style. `id` is unique in the page.
pub fn inline(drawing: &Drawing, id: &str) -> String {
    let (title, words) = (format!("{id}-title"), format!("{id}-words"));
    let mut xml = Xml::default();
    xml.begin("svg");
    xml.set("aria-describedby", &words);
    xml.set("aria-labelledby", &title);
    xml.set("id", id);
    xml.set("role", "img");
    view_box(&mut xml, drawing);
    xml.set("xmlns", NAMESPACE);
    for (name, id, letters) in [
        ("title", &title, &drawing.title),
        ("desc", &words, &drawing.words),
    ] {
        xml.begin(name);
        xml.set("id", id);
        xml.end_with(name, letters);
    }
    xml.begin("g");
    for layer in Layer::ALL {
        drawing.layer(layer).for_each(|item| add(&mut xml, item));
    }
    xml.end("g");
    xml.end("svg");
    xml.finish()
}

const NAMESPACE: &str = "http://www.w3.org/2000/svg";

/// Begins a file at true size, with its title.
fn file(drawing: &Drawing, font: Option<&str>) -> Xml {
    let mut xml = Xml::file();
    xml.begin("svg");
    if let Some(font) = font {
        xml.set("font-family", font);
    }
    xml.set("height", &format!("{}mm", mm(drawing.height)));
    view_box(&mut xml, drawing);
    xml.set("width", &format!("{}mm", mm(drawing.width)));
    xml.set("xmlns", NAMESPACE);
    xml.begin("title");
    xml.end_with("title", &drawing.title);
    xml
}

fn finished(mut xml: Xml) -> String {
    xml.end("svg");
    let mut text = xml.finish();
    text.push('\n');
    text
}

fn view_box(xml: &mut Xml, drawing: &Drawing) {
    let (width, height) = (mm(drawing.width), mm(drawing.height));
    xml.set("viewBox", &format!("0 0 {width} {height}"));
}

/// Width of a line that a machine follows: it takes any line as thin as this for one without width.
const HAIRLINE: f64 = 0.1;

/// The colour of each layer that a machine can follow, so that each can be given a tool of its own.
const TOOLS: [(Layer, &str); 8] = [
    (Layer::Cut, "#000000"),
    (Layer::Notches, "#d00000"),
    (Layer::Sew, "#0050d0"),
    (Layer::Fold, "#008000"),
    (Layer::Marks, "#c000c0"),
    (Layer::Grain, "#00a0a0"),
    (Layer::Cautions, "#d06000"),
    (Layer::TestSquare, "#808080"),
];

/// Writes the lines of a drawing for a cutting machine: unbroken hairlines without fills, styled where they stand, a group
/// and a colour for each layer. Of its words only the cautions are left.
pub fn hairlines(drawing: &Drawing) -> String {
    let mut xml = file(drawing, None);
    for (layer, colour) in TOOLS {
        xml.begin("g");
        xml.set("fill", "none");
        xml.set("id", layer.id());
        xml.set("stroke", colour);
        xml.set("stroke-width", &number::short(HAIRLINE, 2));
        for item in drawing.layer(layer) {
            match &item.shape {
                Shape::Stroke(path, _) => {
                    xml.begin("path");
                    xml.set_written("d", |text| {
                        path_data::push_bez(text, path, DRAWING_DECIMALS)
                    });
                    about(&mut xml, item);
                    xml.end("path");
                }
                Shape::Text(text) if layer == Layer::Cautions => {
                    xml.begin("text");
                    about(&mut xml, item);
                    xml.set("fill", colour);
                    xml.set("font-family", "sans-serif");
                    xml.set("font-size", &number::short(text.hand.size(), 2));
                    xml.set("stroke", "none");
                    placed(&mut xml, text);
                }
                Shape::Text(_) | Shape::Fill(..) => {}
            }
        }
        xml.end("g");
    }
    finished(xml)
}

fn add(xml: &mut Xml, item: &Item) {
    let style = item.shape.style();
    match &item.shape {
        Shape::Stroke(path, _) | Shape::Fill(path, _) => {
            xml.begin("path");
            xml.set("class", style);
            xml.set_written("d", |text| {
                path_data::push_bez(text, path, DRAWING_DECIMALS)
            });
            about(xml, item);
            xml.end("path");
        }
        Shape::Text(text) => {
            xml.begin("text");
            xml.set("class", style);
            about(xml, item);
            placed(xml, text);
        }
    }
}

/// Ends a text: where it stands, and its letters.
fn placed(xml: &mut Xml, text: &Text) {
    match text.anchor {
        Anchor::Start => {}
        Anchor::Middle => xml.set("text-anchor", "middle"),
        Anchor::End => xml.set("text-anchor", "end"),
    }
    let (x, y) = (mm(text.at.x), mm(text.at.y));
    let turn = number::short(text.along.atan2().to_degrees(), 2);
    if turn != "0" {
        xml.set("transform", &format!("rotate({turn} {x} {y})"));
    }
    xml.set("x", &x);
    xml.set("y", &y);
    xml.end_with_lines("text", &text.letters);
}

/// Says which piece and what of it an element shows.
fn about(xml: &mut Xml, item: &Item) {
    if let Some(name) = &item.name {
        xml.set("data-name", name);
    }
    if let Some(piece) = &item.piece {
        xml.set("data-piece", piece);
    }
}

fn mm(value: f64) -> String {
    number::short(value, DRAWING_DECIMALS)
}
