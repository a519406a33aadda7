//! A lesson as pictures for a film: one an act, each as wide as any other, with its sentence beside the drawing as it is by then.

use super::super::{Lesson, Plate, Step};
use super::set::{self, Block, Part, moved};
use super::{heading, item, plain};
use kurbo::{Size, Vec2};
use oaktag_output::drawing::{Drawing, Item, Layer};

/// A picture in millimetres; at [`RESOLUTION`] it has 1280 by 720 dots.
const SHEET: Size = Size::new(240.0, 135.0);
/// Dots per inch; a part of a dot counts as a whole one.
pub const RESOLUTION: f64 = 1279.99 * 25.4 / 240.0;
/// White round everything.
const MARGIN: f64 = 8.0;
/// What the words take at the left.
const WORDS: f64 = 118.0;
/// Between the words and the drawing.
const GUTTER: f64 = 8.0;

/// The pictures in order: what the lesson is, and for each step what lies there before it, then every act.
pub fn frames(lesson: &Lesson) -> Vec<Drawing> {
    let mut film = Film {
        lesson,
        frames: Vec::new(),
    };
    let mut words = vec![heading(&lesson.title)];
    words.push(plain(&super::preface::subtitle(lesson)));
    words.extend((!lesson.head.is_empty()).then(|| plain(&lesson.head)));
    words.push(plain(super::preface::NOT_SEWN));
    film.add(&words, None, &|_| true);
    for step in &lesson.steps {
        film.step(step);
    }
    film.frames
}

struct Film<'a> {
    lesson: &'a Lesson,
    frames: Vec<Drawing>,
}

impl<'a> Film<'a> {
    fn step(&mut self, step: &'a Step) {
        let head = || {
            let panel =
                (!step.panel.is_empty()).then(|| plain(&format!("On the sheet: {}", step.panel)));
            let head = heading(&format!("{}. {}", step.number, step.title));
            std::iter::once(head).chain(panel).chain([Block::Gap(3.0)])
        };
        let by = |item: &Item| {
            let name = item.name.as_deref()?;
            let mut drawn = step.draws.iter().rev();
            drawn.find(|(known, _)| known == name).map(|(_, act)| *act)
        };
        let notes = step.notes.iter().chain(&step.cautions);
        let words: Vec<Block<'_>> = head().chain(notes.map(|note| plain(note))).collect();
        self.add(&words, step.plates.first(), &|item| by(item).is_none());
        let count = step.does.len();
        for (at, said) in step.does.iter().enumerate() {
            let act = at + 1;
            let mut words: Vec<Block<'_>> = head().collect();
            words.push(item(&format!("{act}."), said.clone()));
            words.push(plain(&format!("Act {act} of {count}")));
            let shown = |item: &Item| by(item).is_none_or(|by| by <= act);
            self.add(&words, of_act(step, act), &shown);
        }
        for inside in &step.inside {
            self.step(inside);
        }
    }

    /// A picture, or as many as the words want.
    fn add(&mut self, words: &[Block<'_>], plate: Option<&Plate>, shown: &dyn Fn(&Item) -> bool) {
        let room = SHEET.height - 2.0 * MARGIN;
        let mut sheets: Vec<(f64, Vec<Part<'_>>)> = Vec::new();
        for part in set::set(words, WORDS) {
            let fits = |(top, _): &&mut (f64, Vec<Part<'_>>)| part.top + part.height - *top <= room;
            match sheets.last_mut().filter(fits) {
                Some((_, parts)) => parts.push(part),
                None => sheets.push((part.top, vec![part])),
            }
        }
        for (top, parts) in sheets {
            let mut frame = Drawing::new(&self.lesson.title);
            (frame.width, frame.height) = (SHEET.width, SHEET.height);
            if let Some(plate) = plate {
                copy(&plate.drawing, &mut frame, shown);
            }
            for part in parts {
                let corner = Vec2::new(MARGIN, MARGIN + part.top - top);
                for shape in part.shapes {
                    frame.add(Layer::Text, None, None, moved(shape, corner));
                }
            }
            if let Some(said) = &self.lesson.unfinished {
                for part in set::set(&[plain(said)], SHEET.width - 2.0 * MARGIN) {
                    let corner = Vec2::new(MARGIN, SHEET.height - MARGIN + part.top);
                    for shape in part.shapes {
                        frame.add(Layer::Text, None, None, moved(shape, corner));
                    }
                }
            }
            self.frames.push(frame);
        }
    }
}

/// The picture that shows an act: its own, else the last before it.
fn of_act(step: &Step, act: usize) -> Option<&Plate> {
    let has = |plate: &&Plate| plate.acts.is_none_or(|(first, _)| first <= act);
    let earlier = step.plates.iter().rev().find(has);
    earlier.or_else(|| step.plates.first())
}

/// Lays a drawing into the middle of the room beside the words; one that is larger hangs from its upper left corner.
fn copy(drawing: &Drawing, frame: &mut Drawing, shown: &dyn Fn(&Item) -> bool) {
    let left = MARGIN + WORDS + GUTTER;
    let free = Size::new(SHEET.width - MARGIN - left, SHEET.height - 2.0 * MARGIN);
    let across = ((free.width - drawing.width) / 2.0).max(0.0);
    let down = ((free.height - drawing.height) / 2.0).max(0.0);
    let corner = Vec2::new(left + across, MARGIN + down);
    for layer in Layer::ALL {
        for item in drawing.layer(layer).filter(|item| shown(item)) {
            let shape = moved(item.shape.clone(), corner);
            frame.add(layer, item.piece.as_deref(), item.name.as_deref(), shape);
        }
    }
}
