//! What is read before a drawing that is no pattern's own sheet, a nest or an overlay: its title, what it shows, which line is
//! what, and a square that proves the scale. On one page it stands above the drawing, before tiles on a page of its own.

use super::canvas::{Canvas, Of};
use super::labels::size_of;
use super::manner::Manner;
use super::scale_marks::{SQUARE, square};
use super::style::{Hand, Pen};
use super::title::TITLES;
use super::{Anchor, Drawing, Layer, Text, text};
use kurbo::{Point, Rect, Size, Vec2};

/// The words and the key that go before a drawing; its title and the square are there anyway.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Preface {
    /// Sentences in their order, each in its hand.
    pub lines: Vec<(String, Hand)>,
    /// What each line of the drawing is.
    pub key: Vec<(Pen, String)>,
}

/// Between the square and the words.
const GUTTER: f64 = 20.0;
/// Words are broken, and titles written smaller, at this width.
const WIDEST: f64 = 480.0;
/// Length of a line in the key, height of its rows, and how many stand in a column.
const SAMPLE: f64 = 60.0;
const ROW: f64 = 8.0;
const ROWS: usize = 8;

impl Preface {
    /// A drawing of this title with the preface at its top, and the room that takes from the sheet's corner, a margin of so many
    /// millimetres round it.
    pub fn head(&self, title: &str, margin: f64) -> (Drawing, Size) {
        let mut canvas = Canvas::new(title, Manner::default());
        square(&mut canvas, Point::new(margin, margin));
        let left = margin + SQUARE + GUTTER;
        let heading = text::printable(text::heading(title));
        let (heading, hand) = text::shrunk(&heading, &TITLES, WIDEST);
        let mut y = margin + 11.0;
        let mut write = |layer: Layer, letters: &str, y: f64, hand: Hand| {
            let text = Text::new(letters, Point::new(left, y), Anchor::Start, hand);
            canvas.text(layer, Of::default(), text);
        };
        write(Layer::Title, &heading, y, hand);
        y += 3.0;
        for (words, hand) in &self.lines {
            let layer = match hand {
                Hand::Caution => Layer::Cautions,
                _ => Layer::Title,
            };
            for line in text::wrapped(&text::printable(words), hand.size(), hand.bold(), WIDEST) {
                y += hand.size() * text::LEADING;
                write(layer, &line, y, *hand);
            }
        }
        let widest = self
            .key
            .iter()
            .map(|(_, words)| size_of(words, Hand::Sheet).0);
        let column = SAMPLE + 12.0 + widest.fold(0.0, f64::max);
        for (row, (pen, words)) in self.key.iter().enumerate() {
            let (across, down) = ((row / ROWS) as f64, (row % ROWS) as f64);
            let at = Point::new(left + across * column, y + ROW * (down + 1.2));
            canvas.drawing.key_row((*pen, words), at, SAMPLE);
        }
        let used = canvas.drawing.bounds().unwrap_or(Rect::ZERO);
        let size = used.size().to_vec2() + used.origin().to_vec2() + Vec2::new(margin, 0.0);
        (canvas.drawing, Size::new(size.x, size.y))
    }
}
