//! The drawing under way: what is drawn goes on the sheet and, at once, in the way of the names still to be placed.

use super::frame::TextFrame;
use super::labels::{Keep, Labels, Placed};
use super::manner::Manner;
use super::style::{Fill, Hand, Pen};
use super::{Anchor, Drawing, Layer, Shape, Text, text};
use kurbo::{Affine, BezPath, PathEl, Point, Rect, Shape as _, Size};

/// Chords this near to a curve stand for it when names keep off it.
const CHORD: f64 = 0.1;

/// A sheet or a figure being drawn.
pub struct Canvas {
    pub(super) drawing: Drawing,
    pub(super) labels: Labels,
    pub(super) manner: Manner,
}

impl Canvas {
    /// A sheet of a pattern; its size is found when the pieces are laid out.
    pub(super) fn new(title: &str, manner: Manner) -> Self {
        Self {
            drawing: Drawing::new(title),
            labels: Labels::default(),
            manner,
        }
    }

    /// A small picture in a page or on paper: what it shows in a few words, and in more for those who cannot see it. No name
    /// leaves it.
    pub fn figure(size: Size, title: &str, words: &str) -> Self {
        let mut canvas = Self::new(title, Manner::default());
        canvas.drawing.words = text::printable(words);
        (canvas.drawing.width, canvas.drawing.height) = (size.width, size.height);
        canvas.labels = Labels::on(size);
        let area = Rect::from_origin_size(Point::ORIGIN, size);
        canvas.labels.keep_within(area);
        canvas
    }

    /// Keeps names out of the uppermost part of the sheet.
    pub fn keep_below(&mut self, height: f64) {
        let size = self.size();
        let area = Rect::new(0.0, height, size.width, size.height);
        self.labels.keep_within(area);
    }

    /// Its width and height in millimetres.
    pub fn size(&self) -> Size {
        Size::new(self.drawing.width, self.drawing.height)
    }

    /// Hands the drawing on; what its names kept off is forgotten.
    pub fn finish(self) -> Drawing {
        self.drawing
    }

    /// Draws a line that names keep off.
    pub fn stroke(&mut self, layer: Layer, of: Of<'_>, path: BezPath, pen: Pen) {
        for row in chords(&path) {
            self.labels.avoid(&row, pen.look().weight);
        }
        self.drawing
            .add(layer, of.piece, of.name, Shape::Stroke(path, pen));
    }

    /// Draws a surface, under everything that follows on its layer; names may stand on it.
    pub fn fill(&mut self, layer: Layer, of: Of<'_>, path: BezPath, fill: Fill) {
        self.drawing
            .add(layer, of.piece, of.name, Shape::Fill(path, fill));
    }

    /// Draws a dot that names keep off.
    pub fn dot(&mut self, layer: Layer, of: Of<'_>, at: Point, radius: f64, fill: Fill) {
        self.labels.avoid_dot(at, radius);
        let circle = kurbo::Circle::new(at, radius).to_path(0.01);
        self.fill(layer, of, circle, fill);
    }

    /// Draws a ring round a point, inside of which no name stands.
    pub fn ring(&mut self, layer: Layer, of: Of<'_>, at: Point, radius: f64, pen: Pen) {
        self.labels.avoid_dot(at, radius);
        let circle = kurbo::Circle::new(at, radius).to_path(0.01);
        self.stroke(layer, of, circle, pen);
    }

    /// Puts a shape where it is, whatever stands there.
    pub fn put(&mut self, layer: Layer, of: Of<'_>, shape: Shape) {
        self.drawing.add(layer, of.piece, of.name, shape);
    }

    /// Keeps names out of a box of the sheet.
    pub fn keep_off(&mut self, area: Rect) {
        self.labels.take(TextFrame::upright(area));
    }

    /// Writes a text in the middle of a box, which it fills; others keep off it.
    pub fn written(
        &mut self,
        layer: Layer,
        of: Of<'_>,
        letters: &str,
        frame: TextFrame,
        hand: Hand,
    ) {
        let text = Text::inside(letters, frame, Anchor::Middle, hand);
        self.labels.take(frame);
        self.drawing
            .add(layer, of.piece, of.name, Shape::Text(text));
    }

    /// Writes a name beside a point, no farther than so many millimetres from it, where there is room; whether there was. A
    /// name without room is left out: a leader across the picture is taken for a line of it.
    pub fn name(
        &mut self,
        layer: Layer,
        of: Of<'_>,
        letters: &str,
        at: Point,
        hand: Hand,
        within: f64,
    ) -> bool {
        let keep = Keep {
            within,
            ..Keep::default()
        };
        let found = self.labels.place_at_point(letters, hand, at, keep);
        let done = found.is_some();
        if let Some(found) = found {
            self.placed(layer, of, found);
        }
        done
    }

    /// Draws a text that has its place, and keeps others off it.
    pub(super) fn text(&mut self, layer: Layer, of: Of<'_>, text: Text) {
        self.labels.take(text.frame());
        self.drawing
            .add(layer, of.piece, of.name, Shape::Text(text));
    }

    /// Draws a text whose place was found among the names.
    pub(super) fn placed(&mut self, layer: Layer, of: Of<'_>, placed: Placed) {
        if let Some((from, to)) = placed.leader {
            let path = kurbo::Line::new(from, to).to_path(CHORD);
            self.drawing
                .add(layer, of.piece, of.name, Shape::Stroke(path, Pen::Leader));
        }
        self.drawing
            .add(layer, of.piece, of.name, Shape::Text(placed.text));
    }

    /// Lines of text one below another, filling a box from its top.
    pub(super) fn block(
        &mut self,
        layer: Layer,
        of: Of<'_>,
        frame: TextFrame,
        lines: &[(String, Hand)],
        anchor: Anchor,
    ) {
        let mut down = -frame.half_height;
        for (letters, hand) in lines {
            let height = hand.size() * super::text::LEADING;
            let line = TextFrame {
                centre: frame.centre + frame.across() * (down + height / 2.0),
                half_height: (super::text::ASCENT + super::text::DESCENT) * hand.size() / 2.0,
                ..frame
            };
            let text = Text::inside(letters, line, anchor, *hand);
            self.drawing
                .add(layer, of.piece, of.name, Shape::Text(text));
            down += height;
        }
        self.labels.take(frame);
    }
}

/// Width and height of lines of text one below another.
pub(super) fn block_size(lines: &[(String, Hand)]) -> (f64, f64) {
    let width = lines
        .iter()
        .map(|(letters, hand)| super::labels::size_of(letters, *hand).0)
        .fold(0.0, f64::max);
    let height = lines
        .iter()
        .map(|(_, hand)| hand.size() * super::text::LEADING)
        .sum();
    (width, height)
}

/// What a shape belongs to.
#[derive(Clone, Copy, Debug, Default)]
pub struct Of<'a> {
    /// The piece or panel.
    pub piece: Option<&'a str>,
    /// The edge, point or line.
    pub name: Option<&'a str>,
}

impl<'a> Of<'a> {
    /// Of a piece or panel as a whole.
    pub fn piece(piece: &'a str) -> Self {
        Self {
            piece: Some(piece),
            name: None,
        }
    }

    /// Of something named in it.
    pub fn named(self, name: &'a str) -> Self {
        Self {
            name: Some(name),
            ..self
        }
    }
}

/// A path as rows of points, one for each of its parts.
pub(super) fn chords(path: &BezPath) -> Vec<Vec<Point>> {
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

/// The parts of a path inside a box: the path itself where all of it lies there, else its chords cut at the box.
pub(super) fn clipped(path: &BezPath, to: Rect) -> Option<BezPath> {
    let bounds = path.bounding_box();
    if to.contains(bounds.origin()) && to.contains(Point::new(bounds.x1, bounds.y1)) {
        return Some(path.clone());
    }
    let mut kept = BezPath::new();
    for row in chords(path) {
        let mut pen_at: Option<Point> = None;
        for (a, b) in row.iter().zip(row.iter().skip(1)) {
            let Some((from, until)) = cut(*a, *b, to) else {
                pen_at = None;
                continue;
            };
            if pen_at != Some(from) {
                kept.move_to(from);
            }
            kept.line_to(until);
            pen_at = Some(until);
        }
    }
    (!kept.elements().is_empty()).then_some(kept)
}

/// The part of a straight line inside a box.
pub(super) fn cut(a: Point, b: Point, to: Rect) -> Option<(Point, Point)> {
    let (mut from, mut until) = (0.0f64, 1.0f64);
    let way = b - a;
    for (start, step, low, high) in [(a.x, way.x, to.x0, to.x1), (a.y, way.y, to.y0, to.y1)] {
        if step.abs() < 1e-12 {
            if start < low || start > high {
                return None;
            }
            continue;
        }
        let (t0, t1) = ((low - start) / step, (high - start) / step);
        from = from.max(t0.min(t1));
        until = until.min(t0.max(t1));
    }
    (from < until).then(|| {
        let at = |t: f64| {
            if t <= 0.0 {
                a
            } else if t >= 1.0 {
                b
            } else {
                a + way * t
            }
        };
        (at(from), at(until))
    })
}

/// A pattern path moved onto the sheet; an endless one as far as a box of the sheet shows it. None where nothing of it lies
/// there.
pub fn on_sheet(path: &oaktag_geometry::path::Path, place: Affine, shown: Rect) -> Option<BezPath> {
    if let Some((through, direction)) = path.endless_line() {
        let reach = shown.width() + shown.height() + (shown.center() - place * through).hypot();
        let line = kurbo::Line::new(through - direction * reach, through + direction * reach);
        return clipped(&(place * line.to_path(CHORD)), shown);
    }
    clipped(&(place * crate::path_data::bez(path)), shown)
}
