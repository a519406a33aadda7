//! The key to the lines of a drawing of pieces: a row for each kind of line that is drawn on a layer that is shown, and for no other.
//! Where a layer is left out later, its rows go with it.

use super::labels::size_of;
use super::style::{Hand, Pen};
use super::tables::Look;
use super::{Anchor, Drawing, Layer, Shape, Text};
use kurbo::{Line, Point, Shape as _, Vec2};
use std::collections::BTreeSet;

/// What each line means, in the order of the key; some stand for two, of which the first is shown.
const ROWS: [(&[Pen], &str); 13] = [
    (&[Pen::Draft], "line as drawn"),
    (&[Pen::Cut], "cut"),
    (&[Pen::Sew], "sew"),
    (&[Pen::FoldEdge, Pen::Fold], "fold"),
    (&[Pen::Grain], "grain"),
    (&[Pen::Notch], "notch"),
    (&[Pen::Held], "held in"),
    (&[Pen::Open], "left open"),
    (&[Pen::Match], "to match"),
    (&[Pen::Drill], "hole to drill"),
    (&[Pen::Mark], "mark"),
    (&[Pen::Construction], "construction"),
    (&[Pen::Gone], "as it was"),
];
/// What construction is on a sheet without pieces.
const GUIDE: &str = "endless guide";

/// Length of a sample, and from its start to the words.
const SAMPLE: (f64, f64) = (32.0, 37.0);
/// What the items of a key are named, so that they can be taken off again.
const NAME: &str = "key";

/// The pens in use on the layers of pieces that are shown.
pub(super) fn pens(drawing: &Drawing, hidden: &[Layer]) -> BTreeSet<Pen> {
    let of_sheet = [Layer::Title, Layer::TestSquare, Layer::Joins];
    let layers = Layer::ALL.into_iter();
    let layers = layers.filter(|layer| !of_sheet.contains(layer) && !hidden.contains(layer));
    let items = layers.flat_map(|layer| drawing.layer(layer));
    let pens = items.filter_map(|item| match &item.shape {
        Shape::Stroke(_, pen) => Some(*pen),
        Shape::Fill(..) | Shape::Text(_) => None,
    });
    pens.collect()
}

fn rows(pens: &BTreeSet<Pen>) -> impl Iterator<Item = (Pen, &'static str)> {
    let bare = pens.contains(&Pen::Draft);
    ROWS.into_iter().filter_map(move |(all, words)| {
        let first = *all.first()?;
        let words = match first {
            Pen::Construction if bare => GUIDE,
            _ => words,
        };
        all.iter()
            .any(|pen| pens.contains(pen))
            .then_some((first, words))
    })
}

/// Width of any key: what stands beside it has its place before the lines are drawn.
pub(super) fn width() -> f64 {
    let all = ROWS.iter().map(|(_, words)| *words).chain([GUIDE]);
    let widest = all.map(|words| size_of(words, Hand::Sheet).0);
    SAMPLE.1 + widest.fold(0.0, f64::max)
}

/// Height of a key to these pens.
pub(super) fn height(pens: &BTreeSet<Pen>, look: Look) -> f64 {
    look.row * (rows(pens).count() as f64 + 1.6)
}

impl Drawing {
    /// Writes the key to these pens with its corner there, in place of the one that it had.
    pub(super) fn set_key(&mut self, (corner, look): (Point, Look), pens: &BTreeSet<Pen>) {
        self.items
            .retain(|(layer, item)| *layer != Layer::Title || item.name.as_deref() != Some(NAME));
        self.key = Some((corner, look));
        let heading = Text::new(
            "Lines",
            corner + Vec2::new(0.0, 3.4),
            Anchor::Start,
            Hand::Heading,
        );
        self.add(Layer::Title, None, Some(NAME), Shape::Text(heading));
        for (row, (pen, words)) in rows(pens).enumerate() {
            let first = (1.6 * look.row).max(3.4 + 1.25 * look.hand.size());
            let at = corner + Vec2::new(0.0, first + look.row * row as f64);
            self.written_row((pen, words), at, (SAMPLE.0, look.hand));
        }
    }

    /// A row of a key, on the line of its words: a sample of so many millimetres, and what it is.
    pub(crate) fn key_row(&mut self, row: (Pen, &str), at: Point, long: f64) {
        self.written_row(row, at, (long, Hand::Sheet));
    }

    fn written_row(&mut self, (pen, words): (Pen, &str), at: Point, (long, hand): (f64, Hand)) {
        let up = Vec2::new(0.0, -0.36 * hand.size());
        let (a, b) = (at + up, at + up + Vec2::new(long, 0.0));
        let middle = a.midpoint(b);
        let half = Vec2::new(0.0, 0.48 * hand.size());
        let sample = match pen {
            Pen::Notch => Line::new(middle - half, middle + half).to_path(0.1),
            Pen::Grain => super::piece_lines::arrow(a, b),
            Pen::Drill => super::piece_lines::spot(middle, true),
            _ => Line::new(a, b).to_path(0.1),
        };
        let sample = Shape::Stroke(sample, pen);
        self.add(Layer::Title, None, Some(NAME), sample);
        let at = at + Vec2::new(long + SAMPLE.1 - SAMPLE.0, 0.0);
        let text = Text::new(words, at, Anchor::Start, hand);
        self.add(Layer::Title, None, Some(NAME), Shape::Text(text));
    }
}
