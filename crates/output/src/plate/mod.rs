//! A plate: a small picture in a page, drawn in millimetres from its top left corner, y down, its names placed so that none
//! touches another. Pages style it by class; it holds no colours of its own.

pub mod paper;
pub mod svg;

use super::drawing::frame::TextFrame;
use super::drawing::ink::Hand;
use super::drawing::labels::{Keep, Labels};
use super::drawing::raster::Weight;
use super::drawing::{Anchor, Text, text};
use kurbo::{Affine, BezPath, PathEl, Point, Rect, Shape as _, Size};
use oaktag_geometry::path::Path;

/// Chords this near to a curve stand for it where names keep off it.
const CHORD: f64 = 0.1;

/// What is drawn.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// A line.
    Stroke(BezPath),
    /// A surface.
    Fill(BezPath),
    /// A text.
    Text(Text),
}

/// One thing drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// What kind of line or text it is: a fixed word of the page's own.
    pub class: &'static str,
    /// What is drawn.
    pub shape: Shape,
    /// The piece it belongs to.
    pub piece: Option<String>,
    /// The edge or point it shows.
    pub name: Option<String>,
}

/// A picture under way, and done.
#[derive(Default)]
pub struct Plate {
    /// Width in millimetres.
    pub width: f64,
    /// Height in millimetres.
    pub height: f64,
    /// What it shows, in a few words.
    pub title: String,
    /// What it shows, for those who cannot see it.
    pub words: String,
    /// From the bottom up.
    pub items: Vec<Item>,
    labels: Labels,
}

/// What an item belongs to.
#[derive(Clone, Copy, Debug, Default)]
pub struct Of<'a> {
    /// The piece.
    pub piece: Option<&'a str>,
    /// The edge or point.
    pub name: Option<&'a str>,
}

impl Plate {
    /// An empty plate.
    pub fn new(width: f64, height: f64, title: &str, words: &str) -> Self {
        Self {
            width,
            height,
            title: text::printable(title),
            words: text::printable(words),
            labels: Labels::on_figure(Size::new(width, height)),
            ..Self::default()
        }
    }

    /// Draws a line. Names keep off it as far as `weight` says: what a millimetre under a text costs, beside a millimetre
    /// of distance at 0.45.
    pub fn stroke(&mut self, class: &'static str, of: Of<'_>, path: BezPath, weight: f64) {
        if weight > 0.0 {
            let weight = match weight {
                w if w < 0.7 => Weight::Faint,
                w if w < 2.0 => Weight::Light,
                _ => Weight::Firm,
            };
            for row in chords(&path) {
                self.labels.avoid(&row, weight);
            }
        }
        self.push(class, of, Shape::Stroke(path));
    }

    /// Draws a surface, under everything that follows.
    pub fn fill(&mut self, class: &'static str, of: Of<'_>, path: BezPath) {
        self.push(class, of, Shape::Fill(path));
    }

    /// A ring round a point.
    pub fn ring(&mut self, class: &'static str, of: Of<'_>, at: Point, radius: f64) {
        let circle = kurbo::Circle::new(at, radius).to_path(0.01);
        self.labels.avoid_dot(at, radius);
        self.push(class, of, Shape::Stroke(circle));
    }

    /// A dot.
    pub fn dot(&mut self, class: &'static str, of: Of<'_>, at: Point, radius: f64) {
        let circle = kurbo::Circle::new(at, radius).to_path(0.01);
        self.labels.avoid_dot(at, radius);
        self.push(class, of, Shape::Fill(circle));
    }

    /// A text in a box that it fills; others keep off it.
    pub fn written(
        &mut self,
        class: &'static str,
        of: Of<'_>,
        letters: &str,
        frame: TextFrame,
        hand: Hand,
    ) {
        let text = Text::inside(letters, frame, Anchor::Middle, hand);
        self.labels.take(frame);
        self.push(class, of, Shape::Text(text));
    }

    /// A name beside a point, where there is room for it on the plate; whether there was.
    pub fn name(
        &mut self,
        class: &'static str,
        of: Of<'_>,
        letters: &str,
        at: Point,
        hand: Hand,
    ) -> bool {
        self.name_within(class, of, letters, at, hand, f64::INFINITY)
    }

    /// The same, no farther than so many millimetres from the point: a leader across the picture is taken for a line of it.
    pub fn name_within(
        &mut self,
        class: &'static str,
        of: Of<'_>,
        letters: &str,
        at: Point,
        hand: Hand,
        most: f64,
    ) -> bool {
        // Where every place on the plate is taken, a name is left out rather than written beside it.
        let keep = Keep {
            within: most,
            ..Keep::default()
        };
        let Some(placed) = self.labels.place_at_point(letters, hand, at, keep) else {
            return false;
        };
        if let Some((from, to)) = placed.leader {
            self.push(
                "leader",
                of,
                Shape::Stroke(kurbo::Line::new(from, to).to_path(CHORD)),
            );
        }
        self.push(class, of, Shape::Text(placed.text));
        true
    }

    /// Every text.
    pub fn texts(&self) -> impl Iterator<Item = &Text> {
        self.items.iter().filter_map(|item| match &item.shape {
            Shape::Text(text) => Some(text),
            Shape::Stroke(_) | Shape::Fill(_) => None,
        })
    }

    fn push(&mut self, class: &'static str, of: Of<'_>, shape: Shape) {
        self.items.push(Item {
            class,
            shape,
            piece: of.piece.map(text::printable),
            name: of.name.map(text::printable),
        });
    }
}

/// A path as rows of points, one for each of its parts.
fn chords(path: &BezPath) -> Vec<Vec<Point>> {
    let mut rows: Vec<Vec<Point>> = Vec::new();
    let mut start = Point::ZERO;
    kurbo::flatten(path, CHORD, |element| match element {
        PathEl::MoveTo(p) => {
            start = p;
            rows.push(vec![p]);
        }
        PathEl::LineTo(p) => rows.last_mut().into_iter().for_each(|row| row.push(p)),
        PathEl::ClosePath => rows.last_mut().into_iter().for_each(|row| row.push(start)),
        PathEl::QuadTo(..) | PathEl::CurveTo(..) => {}
    });
    rows
}

/// A drawn path placed on a plate, cut at the edges of `shown`; an endless line as far as the box shows it. None where
/// nothing of it lies there.
pub fn placed(path: &Path, place: Affine, shown: Rect) -> Option<BezPath> {
    super::drawing::placed_within(path, place, shown)
}
