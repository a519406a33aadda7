//! A drawing of a pattern on one sheet: lines and texts with their meaning, placed in millimetres, before any writer
//! turns them into a format. SVG reads it now; page formats and pictures can take the same.
//!
//! Sheet coordinates are millimetres from the top left corner, **y down**; the pattern's own are y up, and are turned over
//! once, by the layout.

pub mod compose;
pub(crate) mod cover;
pub mod frame;
pub mod labels;
pub mod manner;
pub mod preface;
mod raster;
pub(crate) mod region;
pub(crate) mod scale_marks;
pub mod style;
pub mod text;
pub(crate) mod tiles;
pub(crate) mod title;

pub mod canvas;
mod edge_words;
mod grain;
mod key;
mod label_room;
mod line_names;
mod panels;
pub mod piece_figure;
mod piece_label;
mod piece_lines;
mod piece_names;
mod point_names;
pub(super) mod tables;
mod unfinished;

pub use grain::{grain_line, stretches_inside};
pub use piece_lines::arrow;

use frame::TextFrame;
use kurbo::{Affine, BezPath, Point, Rect, Vec2};
use std::collections::{BTreeMap, BTreeSet};
use style::{Fill, Hand, Pen};

/// The layers of a drawing, bottom first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Layer {
    /// The sheet itself, which tints the screen and is not printed.
    Paper,
    /// The surface of each piece.
    Pieces,
    /// Construction lines and points.
    Construction,
    /// Sewing lines; of a draft without pieces, its lines.
    Sew,
    /// Cutting lines, and those of holes cut out.
    Cut,
    /// Fold lines, fold marks.
    Fold,
    /// Notches, and their ways from the sewing line to the cut edge.
    Notches,
    /// Marks to copy onto the cloth.
    Marks,
    /// Grain arrows; of a nest its zero point as well.
    Grain,
    /// Names of the points that the draft gives its corners: for lessons, not for the table.
    Names,
    /// Labels, lengths, and how each edge is sewn.
    Text,
    /// What must not be overlooked.
    Cautions,
    /// The title block, with measures, choices and the key to lines.
    Title,
    /// The squares and lines that prove the scale.
    TestSquare,
    /// Where the sheets of paper are joined; in documents of several pages alone.
    Joins,
}

impl Layer {
    /// Every layer of a drawing, bottom first.
    pub const ALL: [Layer; 14] = [
        Layer::Paper,
        Layer::Pieces,
        Layer::Construction,
        Layer::Sew,
        Layer::Cut,
        Layer::Fold,
        Layer::Notches,
        Layer::Marks,
        Layer::Grain,
        Layer::Names,
        Layer::Text,
        Layer::Cautions,
        Layer::Title,
        Layer::TestSquare,
    ];

    /// The layers of a document, bottom first.
    pub(crate) fn of_pages() -> impl Iterator<Item = Layer> {
        Self::ALL.into_iter().chain([Layer::Joins])
    }

    /// Its id in files.
    pub fn id(self) -> &'static str {
        match self {
            Layer::Paper => "paper",
            Layer::Pieces => "pieces",
            Layer::Construction => "construction",
            Layer::Sew => "sew",
            Layer::Cut => "cut",
            Layer::Fold => "fold",
            Layer::Notches => "notches",
            Layer::Marks => "marks",
            Layer::Grain => "grain",
            Layer::Names => "names",
            Layer::Text => "text",
            Layer::Cautions => "cautions",
            Layer::Title => "title",
            Layer::TestSquare => "test-square",
            Layer::Joins => "joins",
        }
    }
}

/// What waits on pages until it is switched on: who cuts needs neither.
pub(crate) const WAITING: [Layer; 2] = [Layer::Construction, Layer::Names];

/// Which point of a text stands at its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// Where its first letter begins.
    Start,
    /// Half way along its width.
    Middle,
    /// Where its last letter ends.
    End,
}

/// A line of text.
#[derive(Clone, Debug, PartialEq)]
pub struct Text {
    /// The letters, fit to be printed.
    pub letters: String,
    /// Where on the baseline it is anchored.
    pub at: Point,
    /// Which part of it stands there.
    pub anchor: Anchor,
    /// Unit direction of writing.
    pub along: Vec2,
    /// What it is for.
    pub hand: Hand,
}

impl Text {
    /// Text on a level baseline, without letters that cannot be printed.
    pub fn new(letters: &str, at: Point, anchor: Anchor, hand: Hand) -> Self {
        Self {
            letters: text::printable(letters),
            at,
            anchor,
            along: Vec2::new(1.0, 0.0),
            hand,
        }
    }

    /// The same text written in a direction.
    pub fn along(self, along: Vec2) -> Self {
        Self { along, ..self }
    }

    /// Text that fills a box: its baseline and anchor chosen so that it keeps to it whatever the reader's font.
    pub fn inside(letters: &str, frame: TextFrame, anchor: Anchor, hand: Hand) -> Self {
        let shift = match anchor {
            Anchor::Start => -frame.half_width,
            Anchor::Middle => 0.0,
            Anchor::End => frame.half_width,
        };
        let baseline = frame.half_height - text::DESCENT * hand.size();
        let at = frame.centre + frame.along * shift + frame.across() * baseline;
        Self::new(letters, at, anchor, hand).along(frame.along)
    }

    /// The box it keeps to.
    pub fn frame(&self) -> TextFrame {
        let size = self.hand.size();
        let half_width = text::width(&self.letters, size, self.hand.bold()) / 2.0;
        let half_height = (text::ASCENT + text::DESCENT) * size / 2.0;
        let shift = match self.anchor {
            Anchor::Start => half_width,
            Anchor::Middle => 0.0,
            Anchor::End => -half_width,
        };
        let across = Vec2::new(-self.along.y, self.along.x);
        let centre = self.at + self.along * shift + across * (text::DESCENT * size - half_height);
        TextFrame {
            centre,
            along: self.along,
            half_width,
            half_height,
        }
    }
}

/// A line, a surface or a text, in the style that its pen, fill or hand stands for.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// A line along a path, y down the sheet, drawn with a pen.
    Stroke(BezPath, Pen),
    /// A surface, y down the sheet.
    Fill(BezPath, Fill),
    /// Letters in one line.
    Text(Text),
}

impl Shape {
    /// The box around it.
    fn bounds(&self) -> Rect {
        match self {
            Self::Stroke(path, _) | Self::Fill(path, _) => kurbo::Shape::bounding_box(path),
            Self::Text(text) => text.frame().bounds(),
        }
    }

    /// The id of its style: its class in a page and in an SVG.
    pub fn style(&self) -> &'static str {
        match self {
            Self::Stroke(_, pen) => pen.name(),
            Self::Fill(_, fill) => fill.name(),
            Self::Text(text) => text.hand.name(),
        }
    }
}

/// One thing drawn, and what it belongs to.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// The piece or panel.
    pub piece: Option<String>,
    /// The edge, point or line.
    pub name: Option<String>,
    /// The size it belongs to, by its place in [`Drawing::sizes`]; none where it belongs to all.
    pub size: Option<usize>,
    /// The line, surface or text itself.
    pub shape: Shape,
}

/// A drawing on one sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawing {
    /// The draft's title, or what it shows in a few words.
    pub title: String,
    /// What it shows, for those who cannot see it.
    pub words: String,
    /// Width and height in millimetres.
    pub width: f64,
    /// Height of the sheet in millimetres.
    pub height: f64,
    /// Names of the sizes that lie on each other, where it is a nest.
    pub sizes: Vec<String>,
    /// What is read before it, where that stands on a page of its own in front of the tiles it is cut into.
    pub preface: Option<preface::Preface>,
    /// Where the key to its lines has its corner, and how it is written.
    key: Option<(Point, tables::Look)>,
    /// Where each piece lies, or panel of a draft without pieces: from its own coordinates to the sheet's.
    places: BTreeMap<String, Affine>,
    items: Vec<(Layer, Item)>,
}

impl Drawing {
    /// A sheet with nothing on it, of no size yet.
    pub fn new(title: &str) -> Self {
        Self {
            title: text::printable(title),
            words: String::new(),
            width: 0.0,
            height: 0.0,
            sizes: Vec::new(),
            preface: None,
            key: None,
            places: BTreeMap::new(),
            items: Vec::new(),
        }
    }

    /// From a piece's own coordinates, millimetres with y up, to the sheet's; of a draft without pieces, from a panel's. None
    /// where it does not lie on the sheet.
    pub fn place_of(&self, piece: &str) -> Option<Affine> {
        self.places.get(piece).copied()
    }

    /// Adds a shape of a piece, under a name.
    pub fn add(&mut self, layer: Layer, piece: Option<&str>, name: Option<&str>, shape: Shape) {
        let item = Item {
            piece: piece.map(text::printable),
            name: name.map(text::printable),
            size: None,
            shape,
        };
        self.items.push((layer, item));
    }

    /// Adds a shape of one size of a piece, under that size's name.
    pub fn add_of_size(&mut self, layer: Layer, piece: Option<&str>, size: usize, shape: Shape) {
        let name = self.sizes.get(size).cloned();
        self.add(layer, piece, name.as_deref(), shape);
        if let Some((_, item)) = self.items.last_mut() {
            item.size = Some(size);
        }
    }

    /// Adds all that another drawing has, where it stands there.
    pub fn append(&mut self, other: Self) {
        self.items.extend(other.items);
    }

    /// Moves all that it has.
    pub(crate) fn shift(&mut self, by: Vec2) {
        let place = Affine::translate(by);
        for lies in self.places.values_mut() {
            *lies = place * *lies;
        }
        for (_, item) in &mut self.items {
            match &mut item.shape {
                Shape::Stroke(path, _) | Shape::Fill(path, _) => path.apply_affine(place),
                Shape::Text(text) => text.at += by,
            }
        }
        if let Some((corner, _)) = &mut self.key {
            *corner += by;
        }
    }

    /// Leaves out every layer but these, and what the key says of their lines.
    pub fn keep(&mut self, layers: &[Layer]) {
        Self::keep_all([self], layers);
    }

    /// The same of drawings that one key speaks of.
    pub(crate) fn keep_all<'a>(drawings: impl IntoIterator<Item = &'a mut Self>, layers: &[Layer]) {
        let mut drawings: Vec<&mut Self> = drawings.into_iter().collect();
        for drawing in &mut drawings {
            drawing.items.retain(|(layer, _)| layers.contains(layer));
        }
        let pens = drawings.iter().flat_map(|drawing| key::pens(drawing, &[]));
        let pens: BTreeSet<Pen> = pens.collect();
        for drawing in drawings {
            if let Some(place) = drawing.key {
                drawing.set_key(place, &pens);
            }
        }
    }

    /// The items of a layer in drawing order.
    pub fn layer(&self, layer: Layer) -> impl Iterator<Item = &Item> {
        self.items
            .iter()
            .filter(move |(of, _)| *of == layer)
            .map(|(_, item)| item)
    }

    /// Everything drawn, in the order in which it was.
    pub fn items(&self) -> impl Iterator<Item = &Item> + Clone {
        self.items.iter().map(|(_, item)| item)
    }

    /// The shapes of everything drawn.
    pub fn shapes(&self) -> impl Iterator<Item = &Shape> {
        self.items().map(|item| &item.shape)
    }

    /// Every text of the drawing.
    pub fn texts(&self) -> impl Iterator<Item = &Text> {
        self.shapes().filter_map(|shape| match shape {
            Shape::Text(text) => Some(text),
            Shape::Stroke(..) | Shape::Fill(..) => None,
        })
    }

    /// The box around everything drawn.
    pub fn bounds(&self) -> Option<Rect> {
        let boxes = self.shapes().map(Shape::bounds);
        boxes.reduce(|a, b| a.union(b))
    }
}
