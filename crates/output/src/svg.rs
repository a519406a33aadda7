//! Writes a drawing as SVG at true size, for the eye or for a cutting machine: width, height and view box in millimetres, a group with an id for each layer, lines
//! and texts styled by class so that a reader can restyle or hide them. Letters from a draft are data: they are escaped,
//! and nothing a draft says becomes markup, style or a comment.

use super::drawing::style::{self, Colours};
use super::drawing::{Anchor, Drawing, Item, Layer, Shape, Text, compose};
use super::number::{self, DRAWING_DECIMALS};
use super::path_data;
use super::xml::Xml;
use kurbo::BezPath;
use oaktag_language::pattern::Pattern;

/// Writes a pattern as an SVG document.
pub fn write(pattern: &Pattern) -> String {
    of_drawing(&compose::compose(pattern))
}

/// The tint of the sheet is for screens.
const PRINTED: &str = "@media print{.sheet{fill:none}}\n";

/// Writes a drawing as an SVG document.
pub fn of_drawing(drawing: &Drawing) -> String {
    let mut xml = Xml::file();
    at_true_size(&mut xml, drawing, Some("sans-serif"));
    if !drawing.words.is_empty() {
        xml.element("desc").words(&drawing.words, "desc");
    }
    let css = style::css([drawing], Colours::Fixed) + PRINTED;
    xml.element("style").line_of_words(&css, "style");
    for layer in Layer::ALL {
        xml.element("g").set("id", layer.id());
        let mut items = drawing.layer(layer).peekable();
        if items.peek().is_none() {
            xml.empty();
            continue;
        }
        xml.enter();
        items.for_each(|item| add(&mut xml, item));
        xml.leave("g");
    }
    file(xml)
}

/// A line on a sheet as path data, in millimetres.
pub fn path(line: &BezPath) -> String {
    let mut data = String::new();
    path_data::push_bez(&mut data, line, DRAWING_DECIMALS);
    data
}

/// A drawing as a part of a page, which has its style. `id` is unique in the page.
pub fn inline(drawing: &Drawing, id: &str) -> String {
    let (title, words) = (format!("{id}-title"), format!("{id}-words"));
    let mut xml = Xml::default();
    xml.element("svg")
        .set("aria-describedby", &words)
        .set("aria-labelledby", &title)
        .set("id", id)
        .set("role", "img")
        .set("viewBox", &view_box(drawing))
        .set("xmlns", NAMESPACE)
        .enter();
    xml.element("title")
        .set("id", &title)
        .words(&drawing.title, "title");
    xml.element("desc")
        .set("id", &words)
        .words(&drawing.words, "desc");
    let mut items = Layer::ALL
        .into_iter()
        .flat_map(|layer| drawing.layer(layer))
        .peekable();
    xml.element("g");
    if items.peek().is_none() {
        xml.empty();
    } else {
        xml.enter();
        items.for_each(|item| add(&mut xml, item));
        xml.leave("g");
    }
    xml.leave("svg");
    xml.finish()
}

/// Of SVG 1.1, section 5.1.2.
const NAMESPACE: &str = "http://www.w3.org/2000/svg";

fn view_box(drawing: &Drawing) -> String {
    format!("0 0 {} {}", mm(drawing.width), mm(drawing.height))
}

/// Begins a document, up to its title.
fn at_true_size(xml: &mut Xml, drawing: &Drawing, face: Option<&str>) {
    xml.element("svg");
    if let Some(face) = face {
        xml.set("font-family", face);
    }
    xml.set("height", &format!("{}mm", mm(drawing.height)))
        .set("viewBox", &view_box(drawing))
        .set("width", &format!("{}mm", mm(drawing.width)))
        .set("xmlns", NAMESPACE)
        .enter();
    xml.element("title").words(&drawing.title, "title");
}

fn file(mut xml: Xml) -> String {
    xml.leave("svg");
    xml.finish() + "\n"
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
    let mut xml = Xml::file();
    at_true_size(&mut xml, drawing, None);
    for (layer, colour) in TOOLS {
        xml.element("g")
            .set("fill", "none")
            .set("id", layer.id())
            .set("stroke", colour)
            .set("stroke-width", &number::short(HAIRLINE, 2));
        let is_cut = |item: &&Item| match &item.shape {
            Shape::Stroke(..) => true,
            Shape::Text(_) => layer == Layer::Cautions,
            Shape::Fill(..) => false,
        };
        let mut items = drawing.layer(layer).filter(is_cut).peekable();
        if items.peek().is_none() {
            xml.empty();
            continue;
        }
        xml.enter();
        for item in items {
            match &item.shape {
                Shape::Stroke(path, _) | Shape::Fill(path, _) => {
                    xml.element("path");
                    draw(&mut xml, path);
                    about(&mut xml, item);
                    xml.empty();
                }
                Shape::Text(text) => {
                    xml.element("text");
                    about(&mut xml, item);
                    xml.set("fill", colour)
                        .set("font-family", "sans-serif")
                        .set("font-size", &number::short(text.hand.size(), 2))
                        .set("stroke", "none");
                    place(&mut xml, text);
                }
            }
        }
        xml.leave("g");
    }
    file(xml)
}

/// A line or a text with its style. Attributes stand in the order of their names.
fn add(xml: &mut Xml, item: &Item) {
    let style = item.shape.style();
    match &item.shape {
        Shape::Stroke(path, _) | Shape::Fill(path, _) => {
            xml.element("path").set("class", style);
            draw(xml, path);
            about(xml, item);
            xml.empty();
        }
        Shape::Text(text) => {
            xml.element("text").set("class", style);
            about(xml, item);
            place(xml, text);
        }
    }
}

fn draw(xml: &mut Xml, path: &BezPath) {
    xml.set_written("d", |data| {
        path_data::push_bez(data, path, DRAWING_DECIMALS)
    });
}

/// Where a text stands, and the text itself.
fn place(xml: &mut Xml, text: &Text) {
    match text.anchor {
        Anchor::Start => {}
        Anchor::Middle => {
            xml.set("text-anchor", "middle");
        }
        Anchor::End => {
            xml.set("text-anchor", "end");
        }
    }
    let (x, y) = (mm(text.at.x), mm(text.at.y));
    let turn = text.along.atan2().to_degrees();
    if number::fixed(turn, 2) != "0.00" {
        let turn = format!("rotate({} {x} {y})", number::short(turn, 2));
        xml.set("transform", &turn);
    }
    xml.set("x", &x).set("y", &y);
    xml.line_of_words(&text.letters, "text");
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
