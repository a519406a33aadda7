//! Writes a plate as SVG: whole, with its own style, or as a part of a page. Letters from a draft are data: they are escaped
//! and never become markup or style.

use super::{Item, Plate, Shape};
use crate::drawing::Anchor;
use crate::number::{self, DRAWING_DECIMALS};
use crate::path_data;
use svg::node::element as el;
use svg::{Document, Node};

/// A part of a page. `id` is unique in the page; `largest` is the widest the picture should be shown, in millimetres.
pub fn inline(plate: &Plate, id: &str) -> String {
    let (title, words) = (format!("{id}-title"), format!("{id}-words"));
    let document = base(plate)
        .set("id", id)
        .set("role", "img")
        .set("aria-labelledby", title.as_str())
        .set("aria-describedby", words.as_str());
    let document = titled(document, plate, &title, &words);
    with_items(document, plate).to_string()
}

/// A file of its own at true size.
pub fn whole(plate: &Plate, style: &str) -> String {
    let (width, height) = (mm(plate.width), mm(plate.height));
    let document = base(plate)
        .set("width", format!("{width}mm"))
        .set("height", format!("{height}mm"))
        .set("font-family", "sans-serif");
    let document = titled(document, plate, "title", "words").add(el::Style::new(fixed(style)));
    format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n{}\n",
        with_items(document, plate)
    )
}

/// A page's colours come from it by name, `var(--new,#a33a2a)`; alone a plate has those given there for want of one.
fn fixed(style: &str) -> String {
    let mut out = String::with_capacity(style.len());
    let mut rest = style;
    while let Some((before, after)) = rest.split_once("var(") {
        out.push_str(before);
        let (inside, after) = after.split_once(')').unwrap_or((after, ""));
        out.push_str(inside.split_once(',').map_or(inside, |(_, colour)| colour));
        rest = after;
    }
    out.push_str(rest);
    out
}

fn base(plate: &Plate) -> Document {
    let (width, height) = (mm(plate.width), mm(plate.height));
    Document::new().set("viewBox", format!("0 0 {width} {height}"))
}

fn titled(document: Document, plate: &Plate, title: &str, words: &str) -> Document {
    document
        .add(el::Title::new(plate.title.as_str()).set("id", title))
        .add(
            el::Description::new()
                .set("id", words)
                .add(svg::node::Text::new(plate.words.as_str())),
        )
}

fn with_items(document: Document, plate: &Plate) -> Document {
    plate
        .items
        .iter()
        .fold(document, |document, item| match &item.shape {
            Shape::Stroke(path) | Shape::Fill(path) => {
                let node = el::Path::new()
                    .set("class", item.class)
                    .set("d", path_data::of_bez(path, DRAWING_DECIMALS));
                document.add(about(node, item))
            }
            Shape::Text(text) => {
                let (x, y) = (mm(text.at.x), mm(text.at.y));
                let mut node = el::Text::new(text.letters.as_str())
                    .set("class", item.class)
                    .set("x", x.as_str())
                    .set("y", y.as_str())
                    .set("font-size", number::short(text.hand.size(), 2));
                match text.anchor {
                    Anchor::Start => {}
                    Anchor::Middle => node.assign("text-anchor", "middle"),
                    Anchor::End => node.assign("text-anchor", "end"),
                }
                let turn = text.along.atan2().to_degrees();
                if number::fixed(turn, 2) != "0.00" {
                    node.assign(
                        "transform",
                        format!("rotate({} {x} {y})", number::short(turn, 2)),
                    );
                }
                document.add(about(node, item))
            }
        })
}

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
