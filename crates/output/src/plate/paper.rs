//! A plate on paper: its shapes as those of a drawing, with the pens that its page has for the same classes.

use super::{Plate, Shape};
use crate::drawing::ink::{Broken, Pen, PlateLine, Tone};
use crate::drawing::{self, Drawing, Layer, Text};
use kurbo::{Affine, Vec2};

/// A surface of plates: its class, and its colour.
pub type Surface = (&'static str, Tone);

/// The style of lines and surfaces in a page.
pub fn css(lines: &[PlateLine], surfaces: &[Surface]) -> String {
    let mut out = String::new();
    for line in lines {
        let dashes: Vec<String> = line.broken.dashes().iter().map(f64::to_string).collect();
        let dashes = match line.broken {
            Broken::No => String::new(),
            _ => format!(";stroke-dasharray:{};stroke-linecap:butt", dashes.join(" ")),
        };
        let width = f64::from(line.hundredths) / 100.0;
        let tone = line.tone.css();
        out.push_str(&format!(
            "path.{}{{stroke:{tone};stroke-width:{width}{dashes}}}\n",
            line.class
        ));
    }
    for (class, tone) in surfaces {
        out.push_str(&format!(
            "path.{class}{{fill:{};stroke:none}}\n",
            tone.css()
        ));
    }
    out
}

impl Plate {
    /// Draws it onto a drawing, its top left corner at `at`, lines and surfaces as given by class. What has a class of
    /// neither is left out.
    pub fn draw_on(
        &self,
        drawing: &mut Drawing,
        at: Vec2,
        lines: &[PlateLine],
        surfaces: &[Surface],
    ) {
        let move_by = Affine::translate(at);
        for item in &self.items {
            let (piece, name) = (item.piece.as_deref(), item.name.as_deref());
            let (layer, shape) = match &item.shape {
                Shape::Stroke(path) => {
                    let Some(line) = lines.iter().find(|line| line.class == item.class) else {
                        continue;
                    };
                    let path = move_by * path.clone();
                    let pen = Pen::Plate(*line);
                    (Layer::Construction, drawing::Shape::Stroke(path, pen))
                }
                Shape::Fill(path) => {
                    let known = surfaces.iter().find(|(class, _)| *class == item.class);
                    let Some((_, tone)) = known else {
                        continue;
                    };
                    let path = move_by * path.clone();
                    (Layer::Construction, drawing::Shape::Fill(path, tone.ink()))
                }
                Shape::Text(text) => {
                    let text = Text {
                        at: text.at + at,
                        ..text.clone()
                    };
                    (Layer::Text, drawing::Shape::Text(text))
                }
            };
            drawing.add(layer, piece, name, shape);
        }
    }
}
