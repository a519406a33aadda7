//! The pages of a booklet under way. What belongs together goes on one page where a page can hold it; each page carries its
//! number and a bar to lay a ruler on.

use super::set::{Part, height, moved, wide};
use kurbo::{Point, Rect, Size, Vec2};
use oaktag_output::drawing::style::{Hand, Pen};
use oaktag_output::drawing::{Anchor, Drawing, Layer, Shape, Text, text};
use oaktag_output::pages::{self, BAR, Document, Page, View};
use oaktag_output::pdf::Bookmark;

/// White round the words.
const MARGIN: f64 = 15.0;
/// Room for the foot.
const FOOT: f64 = 9.0;

/// What of a page is free for words and figures.
pub(super) fn free(page: Size) -> Size {
    Size::new(page.width - 2.0 * MARGIN, page.height - 2.0 * MARGIN - FOOT)
}

/// How far down each part reaches with those that it stands on one page with.
fn together(parts: &[Part<'_>]) -> Vec<f64> {
    let mut bottoms = Vec::new();
    let mut next: Option<f64> = None;
    for part in parts.iter().rev() {
        let own = part.top + part.height;
        let bottom = next
            .filter(|_| part.with_next)
            .map_or(own, |next| own.max(next));
        bottoms.push(bottom);
        next = Some(bottom);
    }
    bottoms.reverse();
    bottoms
}

/// The pages of a booklet while they are filled.
pub(super) struct Sheets {
    title: String,
    size: Size,
    /// How far the last page is filled.
    down: f64,
    /// The drawings of each page, in reading order, and where the corner of each lies.
    pages: Vec<Vec<(Drawing, Vec2)>>,
    /// Headings with the places they stand at, for the outline of the PDF.
    pub bookmarks: Vec<Bookmark>,
}

impl Sheets {
    pub(super) fn new(title: &str, size: Size) -> Self {
        Self {
            title: title.to_owned(),
            size,
            down: 0.0,
            pages: vec![Vec::new()],
            bookmarks: Vec::new(),
        }
    }

    /// How high a page is inside its margins.
    pub(super) fn room(&self) -> f64 {
        free(self.size).height
    }

    /// How much of the page under way is free.
    pub(super) fn left(&self) -> f64 {
        self.room() - self.down
    }

    /// Which page is under way, from 1.
    pub(super) fn number(&self) -> usize {
        self.pages.len()
    }

    /// Goes on overleaf, unless the page is empty.
    pub(super) fn overleaf(&mut self) {
        if self.down > 0.0 {
            self.pages.push(Vec::new());
            self.down = 0.0;
        }
    }

    /// Lays what belongs together: on this page where it fits, else on the next; from page to page where none would hold
    /// it. Returns the number of the page on which it begins.
    pub(super) fn lay(&mut self, parts: Vec<Part<'_>>, heading: Option<&str>) -> usize {
        if height(&parts) > self.left() {
            self.overleaf();
        }
        self.flow(parts, heading)
    }

    /// What takes no more than a third of a page is laid on one; what takes more begins where the page is filled.
    pub(super) fn keep(&mut self, parts: Vec<Part<'_>>, heading: Option<&str>) -> usize {
        if height(&parts) * 3.0 <= self.room() {
            self.lay(parts, heading)
        } else {
            self.flow(parts, heading)
        }
    }

    /// Lays it from where the page is filled on, wherever that leaves it.
    pub(super) fn flow(&mut self, parts: Vec<Part<'_>>, heading: Option<&str>) -> usize {
        let free = free(self.size).height;
        let begins = self.number();
        if let Some(heading) = heading {
            self.bookmarks.push(Bookmark {
                title: text::printable(heading),
                page: begins - 1,
                down: MARGIN + self.down,
            });
        }
        // No page begins with the room that was left before what stands on it.
        let above = parts.first().filter(|_| self.down <= 0.0);
        let (mut from, mut origin) = (above.map_or(0.0, |part| part.top), self.down);
        let together = together(&parts);
        for (part, bottom) in parts.into_iter().zip(together) {
            let mut down = origin + part.top - from;
            // A heading stays with what follows it, where a page can hold both.
            let with_next = bottom - part.top;
            let wanted = if with_next > free {
                part.height
            } else {
                with_next
            };
            if down + wanted > free + 0.01 && down > 0.0 {
                self.pages.push(Vec::new());
                (from, origin, down, self.down) = (part.top, 0.0, 0.0, 0.0);
            }
            self.down = self.down.max(down + part.height);
            self.draw(part, down);
        }
        begins
    }

    /// Room between what was laid and what follows.
    pub(super) fn gap(&mut self, height: f64) {
        if self.down > 0.0 {
            self.down += height;
        }
    }

    fn draw(&mut self, part: Part<'_>, down: f64) {
        let corner = Vec2::new(MARGIN, MARGIN + down);
        for (left, plate) in &part.plates {
            self.add((*plate).clone(), corner + Vec2::new(*left, 0.0));
        }
        if !part.plates.is_empty() {
            // Words that follow are a drawing of their own, so that they are read after the figure.
            self.add(self.fresh(), Vec2::ZERO);
        }
        if part.shapes.is_empty() {
            return;
        }
        if self.pages.last().is_none_or(Vec::is_empty) {
            self.add(self.fresh(), Vec2::ZERO);
        }
        let words = self.pages.last_mut().and_then(|page| page.last_mut());
        if let Some((words, _)) = words {
            for shape in part.shapes {
                words.add(Layer::Text, None, None, moved(shape, corner));
            }
        }
    }

    fn fresh(&self) -> Drawing {
        let mut drawing = Drawing::new(&self.title);
        (drawing.width, drawing.height) = (self.size.width, self.size.height);
        drawing
    }

    fn add(&mut self, drawing: Drawing, corner: Vec2) {
        if let Some(page) = self.pages.last_mut() {
            page.push((drawing, corner));
        }
    }

    /// The document, a head and a foot on each page.
    pub(super) fn finish(mut self, scale: &str, head: &str) -> (Document, Vec<Bookmark>) {
        let count = self.pages.len();
        let mut document = Document {
            title: self.title.clone(),
            drawings: Vec::new(),
            pages: Vec::new(),
        };
        for (at, mut drawings) in std::mem::take(&mut self.pages).into_iter().enumerate() {
            if !head.is_empty() {
                drawings.insert(0, (self.head(head), Vec2::ZERO));
            }
            drawings.push((self.foot(at + 1, count, scale), Vec2::ZERO));
            let mut views = Vec::new();
            for (drawing, shift) in drawings {
                let size = Size::new(drawing.width, drawing.height);
                views.push(View {
                    drawing: document.drawings.len(),
                    shift,
                    shown: Rect::from_origin_size(Point::ORIGIN, size),
                });
                document.drawings.push(drawing);
            }
            document.pages.push(Page {
                name: (at + 1).to_string(),
                size: self.size,
                views,
            });
        }
        (document, self.bookmarks)
    }

    fn head(&self, words: &str) -> Drawing {
        let (mut head, hand) = (self.fresh(), Hand::Foot);
        let room = self.size.width - 2.0 * MARGIN;
        let words = text::fitted(&text::printable(words), hand.size(), false, room);
        let base = Point::new(MARGIN, MARGIN - 4.0);
        let words = Text::new(&words, base, Anchor::Start, hand);
        head.add(Layer::Title, None, None, Shape::Text(words));
        head
    }

    fn foot(&self, number: usize, count: usize, scale: &str) -> Drawing {
        let mut foot = self.fresh();
        let base = self.size.height - MARGIN;
        let bar = Point::new(self.size.width - MARGIN - BAR, base - 1.0);
        let path = pages::ruler(bar);
        let hand = Hand::Foot;
        let end = Point::new(bar.x - 2.0, base - 0.6);
        let said = Text::new("50 mm", end, Anchor::End, hand);
        let words = format!("page {number} of {count}{scale}");
        let room = bar.x - MARGIN - wide("50 mm", hand) - 6.0 - wide(&format!(" · {words}"), hand);
        let title = text::fitted(&text::printable(&self.title), hand.size(), false, room);
        let words = format!("{title} · {words}");
        let words = Text::new(&words, Point::new(MARGIN, base - 0.6), Anchor::Start, hand);
        for shape in [
            Shape::Text(words),
            Shape::Text(said),
            Shape::Stroke(path, Pen::Frame),
        ] {
            foot.add(Layer::Title, None, None, shape);
        }
        foot
    }
}
