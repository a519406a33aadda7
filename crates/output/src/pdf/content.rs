//! The content of a page: one matrix that makes units millimetres with y down, then each view in its window, layer by layer.

use super::font::Alphabet;
use super::{POINT, Sizes, is_printed};
use crate::drawing::style::{Ink, Pen};
use crate::drawing::{Anchor, Item, Layer, Shape, Text};
use crate::letters::{self, Weight};
use crate::number::rounded;
use crate::pages::{Document, Page, View};
use kurbo::{BezPath, PathEl, Point, Rect, Shape as _};
use pdf_writer::types::{LineCapStyle, LineJoinStyle};
use pdf_writer::{Content, Name, Ref, Str};

/// Decimals of a millimetre, and of a point, in a page.
const DECIMALS: usize = 4;

/// A figure as a page holds it.
pub(super) fn number(value: f64) -> f32 {
    rounded(value, DECIMALS) as f32
}

/// What a face is called on a page.
pub(super) fn font_name(weight: Weight) -> &'static [u8] {
    match weight {
        Weight::Regular => b"Regular",
        Weight::Bold => b"Bold",
    }
}

/// Writes the content of a page.
pub(super) struct Writer<'a> {
    layers: &'a [(Layer, Ref)],
    sizes: &'a Sizes,
    alphabets: &'a mut [Alphabet; 2],
    content: Content,
    pen: Option<Pen>,
    ink: Option<Ink>,
}

impl<'a> Writer<'a> {
    pub(super) fn new(
        layers: &'a [(Layer, Ref)],
        sizes: &'a Sizes,
        alphabets: &'a mut [Alphabet; 2],
    ) -> Self {
        Self {
            layers,
            sizes,
            alphabets,
            content: Content::new(),
            pen: None,
            ink: None,
        }
    }

    pub(super) fn page(mut self, document: &Document, page: &Page) -> Vec<u8> {
        let scale = POINT as f32;
        self.content.transform([
            scale,
            0.0,
            0.0,
            -scale,
            0.0,
            number(page.size.height * POINT),
        ]);
        self.content.set_line_join(LineJoinStyle::RoundJoin);
        for view in &page.views {
            self.view(document, view);
        }
        self.content.finish().to_vec()
    }

    fn view(&mut self, document: &Document, view: &View) {
        let Some(drawing) = document.drawings.get(view.drawing) else {
            return;
        };
        self.content.save_state();
        self.content.transform([
            1.0,
            0.0,
            0.0,
            1.0,
            number(view.shift.x),
            number(view.shift.y),
        ]);
        let r = view.shown;
        self.content.rect(
            number(r.x0),
            number(r.y0),
            number(r.width()),
            number(r.height()),
        );
        self.content.clip_nonzero().end_path();
        for (layer, _) in self.layers {
            if !is_printed(*layer) {
                continue;
            }
            let mut items = drawing
                .layer(*layer)
                .filter(|item| reaches(item, r))
                .peekable();
            if items.peek().is_none() {
                continue;
            }
            self.begin(layer.id());
            let mut open = None;
            for item in items {
                let size = drawing.sizes.get(item.size.unwrap_or(usize::MAX));
                let size = size.and_then(|name| self.sizes.id(name));
                if size != open {
                    self.leave(&open);
                    if let Some(id) = &size {
                        self.begin(id);
                    }
                    open = size;
                }
                self.item(item);
            }
            self.leave(&open);
            self.content.end_marked_content();
        }
        self.content.restore_state();
        (self.pen, self.ink) = (None, None);
    }

    /// What follows shows where the layer of that id does. Inside another, both must (ISO 32000-1, 8.11.3.2).
    fn begin(&mut self, id: &str) {
        self.content
            .begin_marked_content_with_properties(Name(b"OC"))
            .properties_named(Name(id.as_bytes()));
    }

    fn leave(&mut self, open: &Option<String>) {
        if open.is_some() {
            self.content.end_marked_content();
        }
    }

    fn item(&mut self, item: &Item) {
        match &item.shape {
            Shape::Stroke(path, pen) => {
                self.take_pen(*pen);
                self.path(path);
                self.content.stroke();
            }
            Shape::Fill(path, fill) => {
                self.take_ink(fill.ink());
                self.path(path);
                self.content.fill_nonzero();
            }
            Shape::Text(text) => self.text(text),
        }
    }

    fn take_pen(&mut self, pen: Pen) {
        if self.pen == Some(pen) {
            return;
        }
        let look = pen.look();
        let Ink(r, g, b) = look.tone.ink();
        let share = |part: u8| number(f64::from(part) / 255.0);
        self.content.set_stroke_rgb(share(r), share(g), share(b));
        self.content.set_line_width(number(look.width));
        let dashes = look.dashes;
        self.content
            .set_dash_pattern(dashes.iter().map(|dash| number(*dash)), 0.0);
        let cap = if dashes.is_empty() {
            LineCapStyle::RoundCap
        } else {
            LineCapStyle::ButtCap
        };
        self.content.set_line_cap(cap);
        self.pen = Some(pen);
    }

    fn take_ink(&mut self, ink: Ink) {
        if self.ink == Some(ink) {
            return;
        }
        let Ink(r, g, b) = ink;
        let share = |part: u8| number(f64::from(part) / 255.0);
        self.content.set_fill_rgb(share(r), share(g), share(b));
        self.ink = Some(ink);
    }

    fn path(&mut self, path: &BezPath) {
        let mut at = Point::ZERO;
        for element in path.elements() {
            match *element {
                PathEl::MoveTo(p) => {
                    self.content.move_to(number(p.x), number(p.y));
                }
                PathEl::LineTo(p) => {
                    self.content.line_to(number(p.x), number(p.y));
                }
                PathEl::QuadTo(a, p) => {
                    let (one, two) = (at.lerp(a, 2.0 / 3.0), p.lerp(a, 2.0 / 3.0));
                    self.curve(one, two, p);
                }
                PathEl::CurveTo(a, b, p) => self.curve(a, b, p),
                PathEl::ClosePath => {
                    self.content.close_path();
                }
            }
            at = element.end_point().unwrap_or(at);
        }
    }

    fn curve(&mut self, a: Point, b: Point, p: Point) {
        self.content.cubic_to(
            number(a.x),
            number(a.y),
            number(b.x),
            number(b.y),
            number(p.x),
            number(p.y),
        );
    }

    /// A text: letters in the order they are read, each moved to where it stands.
    fn text(&mut self, text: &Text) {
        let (size, along) = (text.hand.size(), text.along);
        let weight = Weight::of(text.hand.bold());
        let line = letters::set(&text.letters, weight);
        let share = match text.anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => 0.5,
            Anchor::End => 1.0,
        };
        self.take_ink(text.hand.ink());
        let start = text.at - along * (line.width * size * share);
        let Some(alphabet) = self
            .alphabets
            .iter_mut()
            .find(|alphabet| alphabet.weight() == weight)
        else {
            return;
        };
        self.content.begin_text();
        self.content.set_font(Name(font_name(weight)), number(size));
        let matrix = [along.x, along.y, along.y, -along.x, start.x, start.y].map(number);
        self.content.set_text_matrix(matrix);
        let mut shown = self.content.show_positioned();
        let mut items = shown.items();
        let mut pen = 0.0;
        let mut run: Vec<u8> = Vec::new();
        for letter in &line.letters {
            if (letter.x - pen).abs() > 1e-6 {
                if !run.is_empty() {
                    items.show(Str(&run));
                    run.clear();
                }
                items.adjust(number((pen - letter.x) * 1000.0));
            }
            run.extend(alphabet.code(letter).to_be_bytes());
            pen = letter.x + letter.advance;
        }
        items.show(Str(&run));
        drop(items);
        drop(shown);
        self.content.end_text();
    }
}

/// Whether an item shows in a window.
fn reaches(item: &Item, window: Rect) -> bool {
    let bounds = match &item.shape {
        Shape::Stroke(path, pen) => path.bounding_box().inflate(pen.width(), pen.width()),
        Shape::Fill(path, _) => path.bounding_box(),
        Shape::Text(text) => text.frame().bounds(),
    };
    bounds.x0 < window.x1 && bounds.x1 > window.x0 && bounds.y0 < window.y1 && bounds.y1 > window.y0
}
