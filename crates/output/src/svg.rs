//! Writes a drawing as SVG at true size, for the eye or for a cutting machine: width, height and view box in millimetres, a group with an id for each layer, lines
//! and texts styled by class so that a reader can restyle or hide them. Letters from a draft are data: they are escaped,
//! and nothing a draft says becomes markup, style or a comment.

use super::drawing::style::{self, Colours};
use super::drawing::{Anchor, Drawing, Item, Layer, Shape, Text, compose};
use super::number::{self, DRAWING_DECIMALS};
use super::path_data;
use kurbo::BezPath;
use oaktag_language::pattern::Pattern;
use svg::node::element as el;
use svg::{Document, Node};

/// Writes a pattern as an SVG document.
pub fn write(pattern: &Pattern) -> String {
    of_drawing(&compose::compose(pattern))
}

/// The tint of the sheet is for screens.
const PRINTED: &str = "@media print{.sheet{fill:none}}\n";

/// Writes a drawing as an SVG document.
pub fn of_drawing(drawing: &Drawing) -> String {
    let mut document = at_true_size(drawing).set("font-family", "sans-serif");
    if !drawing.words.is_empty() {
        document = document.add(described(drawing));
    }
    let css = style::css([drawing], Colours::Fixed) + PRINTED;
    document = document.add(el::Style::new(css));
    for layer in Layer::ALL {
        let mut group = el::Group::new().set("id", layer.id());
        drawing.layer(layer).for_each(|item| add(&mut group, item));
        document = document.add(group);
    }
    file(&document)
}

/// A line on a sheet as path data, in millimetres.
pub fn path(line: &BezPath) -> String {
    path_data::of_bez(line, DRAWING_DECIMALS)
}

/// A drawing as a part of a page, which has its style. `id` is unique in the page.
pub fn inline(drawing: &Drawing, id: &str) -> String {
    let (title, words) = (format!("{id}-title"), format!("{id}-words"));
    let document = boxed(drawing)
        .set("id", id)
        .set("role", "img")
        .set("aria-labelledby", title.as_str())
        .set("aria-describedby", words.as_str())
        .add(el::Title::new(drawing.title.as_str()).set("id", title))
        .add(described(drawing).set("id", words));
    let mut all = el::Group::new();
    for layer in Layer::ALL {
        drawing.layer(layer).for_each(|item| add(&mut all, item));
    }
    document.add(all).to_string()
}

fn boxed(drawing: &Drawing) -> Document {
    let (width, height) = (mm(drawing.width), mm(drawing.height));
    Document::new().set("viewBox", format!("0 0 {width} {height}"))
}

fn at_true_size(drawing: &Drawing) -> Document {
    boxed(drawing)
        .set("width", format!("{}mm", mm(drawing.width)))
        .set("height", format!("{}mm", mm(drawing.height)))
        .add(el::Title::new(drawing.title.as_str()))
}

fn described(drawing: &Drawing) -> el::Description {
    el::Description::new().add(svg::node::Text::new(drawing.words.as_str()))
}

fn file(document: &Document) -> String {
    format!("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n{document}\n")
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
    let mut document = at_true_size(drawing);
    for (layer, colour) in TOOLS {
        let mut group = el::Group::new()
            .set("id", layer.id())
            .set("fill", "none")
            .set("stroke", colour)
            .set("stroke-width", number::short(HAIRLINE, 2));
        for item in drawing.layer(layer) {
            match &item.shape {
                Shape::Stroke(path, _) => {
                    let node = el::Path::new().set("d", path_data::of_bez(path, DRAWING_DECIMALS));
                    group.append(about(node, item));
                }
                Shape::Text(text) if layer == Layer::Cautions => {
                    let node = placed(text)
                        .set("fill", colour)
                        .set("stroke", "none")
                        .set("font-family", "sans-serif")
                        .set("font-size", number::short(text.hand.size(), 2));
                    group.append(about(node, item));
                }
                Shape::Text(_) | Shape::Fill(..) => {}
            }
        }
        document = document.add(group);
    }
    file(&document)
}

fn add(group: &mut el::Group, item: &Item) {
    let style = item.shape.style();
    match &item.shape {
        Shape::Stroke(path, _) | Shape::Fill(path, _) => {
            let data = path_data::of_bez(path, DRAWING_DECIMALS);
            let node = el::Path::new().set("class", style).set("d", data);
            group.append(about(node, item));
        }
        Shape::Text(text) => group.append(about(placed(text).set("class", style), item)),
    }
}

/// A text where it stands, not styled.
fn placed(text: &Text) -> el::Text {
    let (x, y) = (mm(text.at.x), mm(text.at.y));
    let node = el::Text::new(text.letters.as_str());
    let node = match text.anchor {
        Anchor::Start => node,
        Anchor::Middle => node.set("text-anchor", "middle"),
        Anchor::End => node.set("text-anchor", "end"),
    };
    let turn = text.along.atan2().to_degrees();
    let node = node.set("x", x.as_str()).set("y", y.as_str());
    if number::fixed(turn, 2) == "0.00" {
        node
    } else {
        node.set(
            "transform",
            format!("rotate({} {x} {y})", number::short(turn, 2)),
        )
    }
}

/// Says which piece and what of it a node shows.
fn about<N: Node>(mut node: N, item: &Item) -> N {
    if let Some(piece) = &item.piece {
        node.assign("data-piece", piece.as_str());
    }
    if let Some(name) = &item.name {
        node.assign("data-name", name.as_str());
    }
    node
}

fn mm(value: f64) -> String {
    number::short(value, DRAWING_DECIMALS)
}
