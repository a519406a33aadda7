//! Writes a drawing as SVG at true size, for the eye or for a cutting machine: width, height and view box in millimetres, a group with an id for each layer, lines
//! and texts styled by class so that a reader can restyle or hide them. Letters from a draft are data: they are escaped,
//! and nothing a draft says becomes markup, style or a comment.

use super::drawing::ink::{Hand, Ink, Pen};
use super::drawing::{Anchor, Drawing, Item, Layer, Shape, Text, compose};
use super::number::{self, DRAWING_DECIMALS};
use super::path_data;
use oaktag_language::pattern::Pattern;
use svg::node::element as el;
use svg::{Document, Node};

/// Writes a pattern as an SVG document.
pub fn write(pattern: &Pattern) -> String {
    of_drawing(&compose::compose(pattern))
}

/// Writes a drawing as an SVG document.
pub fn of_drawing(drawing: &Drawing) -> String {
    let (width, height) = (mm(drawing.width), mm(drawing.height));
    let mut document = Document::new()
        .set("width", format!("{width}mm"))
        .set("height", format!("{height}mm"))
        .set("viewBox", format!("0 0 {width} {height}"))
        .set("font-family", "sans-serif")
        .add(el::Title::new(drawing.title.as_str()))
        .add(el::Style::new(style(drawing)));
    for layer in Layer::ALL {
        let mut group = el::Group::new().set("id", layer.id());
        for item in drawing.layer(layer) {
            add(&mut group, item);
        }
        document = document.add(group);
    }
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
    let (width, height) = (mm(drawing.width), mm(drawing.height));
    let mut document = Document::new()
        .set("width", format!("{width}mm"))
        .set("height", format!("{height}mm"))
        .set("viewBox", format!("0 0 {width} {height}"))
        .add(el::Title::new(drawing.title.as_str()));
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
    format!("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n{document}\n")
}

fn add(group: &mut el::Group, item: &Item) {
    match &item.shape {
        Shape::Stroke(path, pen) => {
            let node = el::Path::new()
                .set("class", pen.name())
                .set("d", path_data::of_bez(path, DRAWING_DECIMALS));
            group.append(about(node, item));
        }
        Shape::Fill(path, ink) => {
            let node = el::Path::new()
                .set("fill", colour(*ink))
                .set("d", path_data::of_bez(path, DRAWING_DECIMALS));
            group.append(about(node, item));
        }
        Shape::Text(text) => group.append(about(written(text), item)),
    }
}

fn written(text: &Text) -> el::Text {
    placed(text).set("class", text.hand.name())
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

/// The style sheet: pens and hands by class.
fn style(drawing: &Drawing) -> String {
    let mut css = String::from("\npath{fill-rule:nonzero}\n");
    // Those that few drawings have are named where they are drawn.
    let nested = (0..Pen::NESTED_STYLES).map(Pen::Nested);
    let nested = nested.chain([Pen::Match]);
    let nested = nested.filter(|pen| drawing.has(*pen));
    for pen in Pen::ALL.into_iter().chain(nested) {
        css.push_str(&format!(
            ".{}{{fill:none;stroke:{};stroke-width:{};stroke-linecap:{};stroke-linejoin:round",
            pen.name(),
            colour(pen.ink()),
            number::short(pen.width(), 2),
            if pen.dashes().is_empty() {
                "round"
            } else {
                "butt"
            },
        ));
        if !pen.dashes().is_empty() {
            let dashes: Vec<String> = pen
                .dashes()
                .iter()
                .map(|dash| number::short(*dash, 2))
                .collect();
            css.push_str(&format!(";stroke-dasharray:{}", dashes.join(" ")));
        }
        css.push_str("}\n");
    }
    let written = |hand: &Hand| drawing.texts().any(|text| text.hand == *hand);
    let others = Hand::OTHERS.into_iter().filter(written);
    for hand in Hand::ALL.into_iter().chain(others) {
        css.push_str(&format!(
            ".{}{{fill:{};font-size:{}px;font-weight:{}}}\n",
            hand.name(),
            colour(hand.ink()),
            number::short(hand.size(), 2),
            if hand.bold() { "bold" } else { "normal" },
        ));
    }
    css
}

fn colour(ink: Ink) -> String {
    format!("#{:02x}{:02x}{:02x}", ink.0, ink.1, ink.2)
}

fn mm(value: f64) -> String {
    number::short(value, DRAWING_DECIMALS)
}
