//! Blocks of a booklet set into parts that no page break divides: a line of words, a row of a table, a figure. Widths come
//! from the face itself, so that what is set here fits on paper.

use kurbo::{Affine, BezPath, Line, Point, Rect, Shape as _, Vec2};
use oaktag_output::drawing::Drawing;
use oaktag_output::drawing::style::{Hand, Pen};
use oaktag_output::drawing::{Anchor, Shape, Text, text};
use oaktag_output::letters::{self, Weight};

/// Between two lines, in em.
const LEADING: f64 = 1.36;
/// Between the columns of a table, and between two figures.
pub(super) const GUTTER: f64 = 4.0;
/// Inside a frame round words.
const PADDING: f64 = 2.5;

/// What stands in a booklet.
pub(super) enum Block<'a> {
    /// Words broken into lines.
    Words(Words),
    /// A table: its heading row and its rows, and the share of the width that each column takes.
    Table(Vec<Vec<String>>, Vec<f64>),
    /// A table without a heading row.
    List(Vec<Vec<String>>, Vec<f64>),
    /// The same as a table, its rows close to each other.
    Close(Vec<Vec<String>>, Vec<f64>),
    /// A few rows without a heading, close to each other and on one page, each with shares of its own.
    Kept(Vec<(Vec<String>, Vec<f64>)>),
    /// A drawing, as large as it was made.
    Figure(&'a Drawing),
    /// Drawings side by side, as large as they were made.
    Row(Vec<&'a Drawing>),
    /// A figure at the right side; what follows runs beside it.
    Beside(&'a Drawing),
    /// What follows stands below a figure at the right side.
    Below,
    /// Room left empty, in millimetres.
    Gap(f64),
}

/// Words to be broken into lines.
#[derive(Default)]
pub(super) struct Words {
    /// Before the first line, at the left: the number of an item.
    pub mark: String,
    /// The first words, bold.
    pub lead: String,
    /// What it says, without breaks.
    pub words: String,
    /// At the right end of the last line.
    pub tail: String,
    /// How it is written.
    pub hand: Option<Hand>,
    /// How far from the left its lines begin, in millimetres.
    pub indent: f64,
    /// How it stands out.
    pub frame: Frame,
    /// It is a heading: what follows stands on the same page.
    pub with_next: bool,
}

/// How a paragraph stands out.
#[derive(Clone, Copy, Default, PartialEq, Eq)]
pub(super) enum Frame {
    /// It stands without a frame.
    #[default]
    None,
    /// By a rule at its left.
    Rule,
    /// A frame stands all round it.
    Box,
}

/// Something that no page break divides.
pub(super) struct Part<'a> {
    /// From the top of what was set.
    pub top: f64,
    /// How much of the page it takes, in millimetres.
    pub height: f64,
    /// What is drawn, from its own top left corner.
    pub shapes: Vec<Shape>,
    /// Figures, and how far each stands from the left.
    pub plates: Vec<(f64, &'a Drawing)>,
    /// The next part stands on the same page.
    pub with_next: bool,
}

/// Sets blocks one below another.
pub(super) fn set<'a>(blocks: &[Block<'a>], width: f64) -> Vec<Part<'a>> {
    let mut setting = Setting {
        width,
        down: 0.0,
        beside: (0.0, 0.0),
        parts: Vec::new(),
    };
    for block in blocks {
        match block {
            Block::Words(words) => setting.words(words),
            Block::Table(rows, shares) => setting.table(rows, shares, Rows::of(1, false)),
            Block::List(rows, shares) => setting.table(rows, shares, Rows::of(0, false)),
            Block::Kept(rows) => {
                let whole = Rows {
                    whole: true,
                    ..Rows::of(0, true)
                };
                let rows = rows.iter().map(|(row, shares)| (row, shares.as_slice()));
                setting.rows(&rows.collect::<Vec<_>>(), whole);
            }
            Block::Close(rows, shares) => setting.table(rows, shares, Rows::of(1, true)),
            Block::Figure(plate) => setting.row(&[plate]),
            Block::Row(plates) => setting.row(plates),
            Block::Beside(plate) => setting.beside(plate),
            Block::Below => setting.clear(),
            Block::Gap(height) => setting.down += height,
        }
    }
    setting.clear();
    setting.parts
}

/// How high set parts are.
pub(super) fn height(parts: &[Part<'_>]) -> f64 {
    let bottoms = parts.iter().map(|part| part.top + part.height);
    bottoms.fold(0.0, f64::max)
}

struct Setting<'a> {
    width: f64,
    down: f64,
    /// Width of a figure at the right, and down to where it reaches.
    beside: (f64, f64),
    parts: Vec<Part<'a>>,
}

impl<'a> Setting<'a> {
    /// Figures side by side, in the middle of the page; their caption stands on the same.
    fn row(&mut self, plates: &[&'a Drawing]) {
        self.clear();
        let wide: f64 = plates.iter().map(|plate| plate.width + GUTTER).sum();
        let mut left = ((self.width - (wide - GUTTER)) / 2.0).max(0.0);
        let mut placed = Vec::new();
        for plate in plates {
            placed.push((left, *plate));
            left += plate.width + GUTTER;
        }
        let height = plates.iter().map(|plate| plate.height).fold(0.0, f64::max);
        self.part(height, Vec::new(), placed);
        if let Some(last) = self.parts.last_mut() {
            last.with_next = true;
        }
    }

    fn part(&mut self, height: f64, shapes: Vec<Shape>, plates: Vec<(f64, &'a Drawing)>) {
        self.parts.push(Part {
            top: self.down,
            height,
            shapes,
            plates,
            with_next: false,
        });
        self.down += height;
    }

    /// Goes below a figure at the side.
    fn clear(&mut self) {
        self.down = self.down.max(self.beside.1);
        self.beside = (0.0, 0.0);
    }

    fn beside(&mut self, plate: &'a Drawing) {
        self.clear();
        self.parts.push(Part {
            top: self.down,
            height: plate.height,
            shapes: Vec::new(),
            plates: vec![(self.width - plate.width, plate)],
            with_next: true,
        });
        self.beside = (plate.width + GUTTER, self.down + plate.height + 2.0);
    }

    fn room(&self) -> f64 {
        if self.down < self.beside.1 {
            self.width - self.beside.0
        } else {
            self.width
        }
    }

    fn words(&mut self, words: &Words) {
        let hand = words.hand.unwrap_or(Hand::Reading);
        let pad = match words.frame {
            Frame::None => 0.0,
            Frame::Rule | Frame::Box => PADDING,
        };
        let left = words.indent + pad;
        let room = self.room() - left - pad;
        let lead = if words.lead.is_empty() {
            0.0
        } else {
            wide(&words.lead, Hand::ReadingBold) + wide(" ", hand)
        };
        let tail = if words.tail.is_empty() {
            0.0
        } else {
            wide(&words.tail, hand) + GUTTER
        };
        let lines = broken(&words.words, hand, (room - tail, lead));
        let step = hand.size() * LEADING;
        let mut shapes = Vec::new();
        let count = lines.len();
        for (at, line) in lines.into_iter().enumerate() {
            let base = pad / 2.0 + step * at as f64 + hand.size();
            if at == 0 {
                if !words.mark.is_empty() {
                    let mark = wide(&words.mark, hand);
                    let from = Point::new((left - mark - 1.6).max(0.0), base);
                    shapes.push((at, written(&words.mark, from, hand)));
                }
                if !words.lead.is_empty() {
                    let from = Point::new(left, base);
                    shapes.push((at, written(&words.lead, from, Hand::ReadingBold)));
                }
            }
            let shift = if at == 0 { lead } else { 0.0 };
            shapes.push((at, written(&line, Point::new(left + shift, base), hand)));
            if at + 1 == count && !words.tail.is_empty() {
                let from = Point::new(self.room() - wide(&words.tail, hand), base);
                shapes.push((at, written(&words.tail, from, hand)));
            }
        }
        if words.frame == Frame::None {
            self.line_by_line(shapes, count, step);
            if words.with_next {
                // All its lines stay with what follows.
                let from = self.parts.len().saturating_sub(count);
                self.parts
                    .iter_mut()
                    .skip(from)
                    .for_each(|part| part.with_next = true);
            }
            return;
        }
        let height = step * count as f64 + pad;
        let mut shapes: Vec<Shape> = shapes.into_iter().map(|(_, shape)| shape).collect();
        shapes.push(framed(words.frame, words.indent, self.room(), height));
        self.part(height, shapes, Vec::new());
        self.down += 1.6;
    }

    /// A part for each line, so that a long paragraph may go on overleaf.
    fn line_by_line(&mut self, shapes: Vec<(usize, Shape)>, count: usize, step: f64) {
        let mut lines: Vec<Vec<Shape>> = (0..count).map(|_| Vec::new()).collect();
        for (at, shape) in shapes {
            if let Some(line) = lines.get_mut(at) {
                line.push(moved(shape, Vec2::new(0.0, -step * at as f64)));
            }
        }
        for line in lines {
            self.part(step, line, Vec::new());
        }
        self.down += 1.2;
    }

    /// A table; how close its rows stand follows from what it is.
    fn table(&mut self, rows: &[Vec<String>], shares: &[f64], of: Rows) {
        let rows = rows.iter().map(|row| (row, shares));
        self.rows(&rows.collect::<Vec<_>>(), of);
    }

    /// Rows of a table, each with the shares of its cells.
    fn rows(&mut self, rows: &[(&Vec<String>, &[f64])], of: Rows) {
        self.clear();
        let (gutter, air) = if of.close {
            (GUTTER / 2.0, 0.2)
        } else {
            (GUTTER, 1.4)
        };
        for (at, (row, shares)) in rows.iter().enumerate() {
            let hand = if at < of.heads {
                Hand::ReadingBold
            } else {
                Hand::Reading
            };
            let step = hand.size() * LEADING;
            let (mut shapes, mut most, mut left) = (Vec::new(), 1, 0.0);
            for (cell, share) in row.iter().zip(*shares) {
                let room = self.width * share - gutter;
                let lines = broken(cell, hand, (room, 0.0));
                most = most.max(lines.len());
                for (down, line) in lines.into_iter().enumerate() {
                    let from = Point::new(left, step * down as f64 + hand.size() + 0.4);
                    shapes.push(written(&line, from, hand));
                }
                left += self.width * share;
            }
            let last = at + 1 == rows.len();
            let ruled = !of.close || at < of.heads || last;
            let height = step * most as f64 + if ruled { f64::max(air, 1.2) } else { air };
            if ruled {
                let rule = Line::new((0.0, height - 0.3), (self.width, height - 0.3));
                shapes.push(Shape::Stroke(rule.to_path(0.1), Pen::Frame));
            }
            self.part(height, shapes, Vec::new());
            if let Some(part) = self.parts.last_mut() {
                part.with_next = !last && (of.whole || at < of.heads);
            }
        }
        self.down += if of.close { 1.2 } else { 2.0 };
    }
}

impl Rows {
    fn of(heads: usize, close: bool) -> Self {
        Self {
            heads,
            close,
            whole: false,
        }
    }
}

/// How the rows of a table stand.
#[derive(Clone, Copy)]
struct Rows {
    /// So many of the first are a heading, and stand with the row below.
    heads: usize,
    /// Close to each other, ruled off at the end alone.
    close: bool,
    /// On one page.
    whole: bool,
}

fn framed(frame: Frame, left: f64, right: f64, height: f64) -> Shape {
    let (path, pen): (BezPath, Pen) = match frame {
        Frame::Box => (
            Rect::new(left, 0.0, right, height).to_path(0.1),
            Pen::Caution,
        ),
        Frame::Rule | Frame::None => (
            Line::new((left, 0.5), (left, height - 0.5)).to_path(0.1),
            Pen::Square,
        ),
    };
    Shape::Stroke(path, pen)
}

fn written(letters: &str, at: Point, hand: Hand) -> Shape {
    Shape::Text(Text::new(letters, at, Anchor::Start, hand))
}

/// The same shape, so far to the right and down.
pub(super) fn moved(shape: Shape, by: Vec2) -> Shape {
    match shape {
        Shape::Stroke(path, pen) => Shape::Stroke(Affine::translate(by) * path, pen),
        Shape::Fill(path, ink) => Shape::Fill(Affine::translate(by) * path, ink),
        Shape::Text(text) => Shape::Text(Text {
            at: text.at + by,
            ..text
        }),
    }
}

/// Width on paper in millimetres.
pub(super) fn wide(letters: &str, hand: Hand) -> f64 {
    letters::set(&text::printable(letters), Weight::of(hand.bold())).width * hand.size()
}

/// Words in lines as wide as the room, the first shorter; a word that is wider than a line is broken where it must.
fn broken(words: &str, hand: Hand, (room, first): (f64, f64)) -> Vec<String> {
    let space = wide(" ", hand);
    let room = room.max(hand.size() * 2.0);
    let mut lines = vec![String::new()];
    let mut used = first;
    for word in words.split_whitespace() {
        for part in cut(word, hand, room) {
            let width = wide(&part, hand);
            let fresh = lines.last().is_none_or(String::is_empty);
            if used + if fresh { 0.0 } else { space } + width > room && (!fresh || used > 0.0) {
                lines.push(String::new());
                used = 0.0;
            }
            if let Some(line) = lines.last_mut() {
                if !line.is_empty() {
                    line.push(' ');
                    used += space;
                }
                line.push_str(&part);
                used += width;
            }
        }
    }
    lines
}

/// A word in parts no wider than a line.
fn cut(word: &str, hand: Hand, room: f64) -> Vec<String> {
    if wide(word, hand) <= room {
        return vec![word.to_owned()];
    }
    let mut parts = vec![String::new()];
    for letter in word.chars() {
        let wider = parts
            .last()
            .is_some_and(|part| wide(&format!("{part}{letter}"), hand) > room);
        if wider {
            parts.push(String::new());
        }
        if let Some(part) = parts.last_mut() {
            part.push(letter);
        }
    }
    parts
}
