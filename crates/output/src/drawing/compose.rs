//! Composes the sheet: pieces laid out with their grain upright, lines first and then names, the title block above. A draft
//! that has no pieces yet is drawn panel by panel, so that its author sees something from the first line on.

use super::canvas::Canvas;
use super::labels::Labels;
use super::manner::{Head, Manner, Scale, Width};
use super::piece_label::Fit;
use super::region::Region;
use super::scale_marks;
use super::style::Fill;

use super::{Drawing, Layer, Shape, WAITING, key};
use super::{edge_words, line_names, panels, piece_label, piece_lines, piece_names};
use super::{point_names, title, unfinished};
use crate::hang;
use crate::layout;
use crate::path_data::bez;
use crate::sheet::OVERLAP;
use crate::tile_layout::{self, Laid};
use kurbo::{Affine, BezPath, PathEl, Point, Rect, Shape as _, Size, Vec2};
use oaktag_geometry::path::Path;
use oaktag_language::pattern::{Pattern, Piece};
use oaktag_language::voice::LengthUnit;
use std::cell::OnceCell;

/// Room between pieces: enough for the names that stand outside them.
const GAP: f64 = 45.0;
/// How far construction reaches beyond a piece.
pub(super) const BEYOND: f64 = 12.0;

/// Draws a pattern at true size on one sheet.
pub fn compose(pattern: &Pattern) -> Drawing {
    compose_as(pattern, Manner::default())
}

/// Draws a pattern in a manner of the caller's.
pub fn compose_as(pattern: &Pattern, manner: Manner) -> Drawing {
    composed(pattern, manner, None)
}

/// Draws a pattern at true size with each piece where it lies in another drawing, so that what does not change stays where it is:
/// one that grows may come to lie on its neighbour.
pub fn compose_where(pattern: &Pattern, before: &Drawing) -> Drawing {
    composed(pattern, Manner::default(), Some(before))
}

fn composed(pattern: &Pattern, manner: Manner, before: Option<&Drawing>) -> Drawing {
    let mut canvas = Canvas::new(&pattern.told_title(), manner);
    let in_part = pattern.unfinished.iter().flat_map(|lacks| &lacks.pieces);
    let drawn: Vec<Placed<'_>> = pattern
        .pieces
        .iter()
        .chain(in_part)
        .filter_map(|piece| Placed::of(piece, pattern, manner.scale.factor()))
        .collect();
    let content = if drawn.is_empty() {
        panels::draw(&mut canvas, pattern, before)
    } else {
        pieces(&mut canvas, pattern, drawn, before)
    };
    let sheet = match manner.head {
        Head::Block | Head::BlockWithInches => title::draw(&mut canvas, pattern, content),
        Head::CheckLines => scale_marks::check_lines(&mut canvas, content, pattern.unit),
        Head::Bare => content,
    };
    paper(&mut canvas, sheet);
    canvas.drawing
}

/// The block stands no nearer than this to the pieces beside it, and is no narrower.
const ASIDE: f64 = 12.0;
const NARROWEST: f64 = 340.0;

/// Draws a pattern on large sheets with its title block beside the pieces of the first, where they leave room for it.
pub(crate) fn with_block_aside(pattern: &Pattern, scale: Scale, tile: Size) -> Option<Drawing> {
    let manner = |width, head| Manner { scale, width, head };
    let mut drawing = compose_as(pattern, manner(Width::Tiles(tile), Head::Bare));
    let cell = Rect::from_origin_size(Point::ORIGIN, tile);
    let on_first = drawing
        .items()
        .filter(|item| !matches!(&item.shape, Shape::Fill(_, Fill::Sheet)))
        .map(|item| item.shape.bounds())
        .filter(|bounds| bounds.overlaps(cell));
    let right = on_first.map(|bounds| bounds.x1).fold(0.0, f64::max);
    let room = tile.width - right - ASIDE;
    if room < NARROWEST {
        return None;
    }
    let mut canvas = Canvas::new(
        &drawing.title,
        manner(Width::Within(room), Head::BlockWithInches),
    );
    let size = title::draw(&mut canvas, pattern, Size::ZERO);
    let mut block = canvas.finish();
    let wide = block.bounds()?.x1;
    if size.height > tile.height || wide > room {
        return None;
    }
    let pens = key::pens(&drawing, &WAITING);
    block.shift(Vec2::new(tile.width - room, 0.0));
    let place = block.key;
    drawing.append(block);
    if let Some(place) = place {
        drawing.set_key(place, &pens);
    }
    drawing.width = drawing.width.max(tile.width - room + wide).ceil();
    drawing.height = drawing.height.max(size.height).ceil();
    Some(drawing)
}

/// A piece and where it lies on the sheet.
pub(super) struct Placed<'a> {
    pub(super) piece: &'a Piece,
    pub(super) pattern: &'a Pattern,
    /// From the pattern's coordinates to the sheet's.
    pub(super) place: Affine,
    /// The outermost line on the sheet.
    pub(super) outer: BezPath,
    /// The sewing line on the sheet, where the outline closes.
    pub(super) sewing: Option<BezPath>,
    /// The box of the outermost line.
    pub(super) bounds: Rect,
    /// How it holds its label.
    pub(super) fit: Fit,
    /// Where its own words may stand, and no other piece lies.
    pub(super) own: Rect,
    /// What the outermost line and the sewing line go round, when first asked for.
    inside: (OnceCell<Region>, OnceCell<Region>),
    construction: OnceCell<Vec<(&'a str, &'a Path)>>,
}

impl<'a> Placed<'a> {
    /// The piece at the sheet's corner, its grain upright. None where it has no line at all.
    pub(super) fn of(piece: &'a Piece, pattern: &'a Pattern, scale: f64) -> Option<Self> {
        let upright = Affine::scale(scale)
            * Affine::FLIP_Y
            * piece.grain.as_ref().map_or(Affine::IDENTITY, upright);
        let mut placed = Self {
            piece,
            pattern,
            place: upright,
            outer: BezPath::new(),
            sewing: None,
            bounds: Rect::ZERO,
            fit: Fit::Tight,
            own: Rect::ZERO,
            inside: Default::default(),
            construction: OnceCell::new(),
        };
        placed.read();
        placed.fit = piece_label::fit(&placed);
        (!placed.outer.elements().is_empty()).then_some(placed)
    }

    pub(super) fn move_to(&mut self, corner: Point) {
        self.place = Affine::translate(corner - self.bounds.origin()) * self.place;
        self.read();
    }

    fn read(&mut self) {
        let piece = self.piece;
        let on_sheet = |path: &Path| self.place * bez(path);
        self.sewing = piece.sewing.as_ref().map(on_sheet);
        self.outer = match piece.outer() {
            Some(path) => on_sheet(path),
            None => {
                let mut open = BezPath::new();
                for edge in &piece.edges {
                    open.extend(on_sheet(&edge.path).iter());
                }
                open
            }
        };
        self.bounds = self.outer.bounding_box();
        self.inside = Default::default();
    }

    /// Lines that its own do not show already, with their names.
    pub(super) fn construction(&self) -> impl Iterator<Item = (&'a str, &'a Path)> {
        let lines = &self.construction;
        let lines = lines.get_or_init(|| piece_lines::construction_lines(self));
        lines.iter().copied()
    }

    /// Lines of its panel as they were before they were redrawn.
    pub(super) fn redrawn(&self) -> impl Iterator<Item = (String, &'a Path)> {
        piece_lines::redrawn_on(self.pattern, &self.piece.panel)
    }

    /// What lies inside the outermost line.
    pub(super) fn cut(&self) -> &Region {
        self.inside.0.get_or_init(|| match self.piece.outer() {
            Some(_) => Region::of(&self.outer),
            None => Region::of(&joined(&self.outer)),
        })
    }

    /// What lies inside the sewing line; where there is none, inside the outermost.
    pub(super) fn sewn(&self) -> &Region {
        match &self.sewing {
            Some(sewing) => self.inside.1.get_or_init(|| Region::of(sewing)),
            None => self.cut(),
        }
    }

    /// Millimetres of paper for one of the garment.
    pub(super) fn scale(&self) -> f64 {
        self.place.determinant().abs().sqrt()
    }

    /// The unit for people.
    pub(super) fn unit(&self) -> LengthUnit {
        self.pattern.unit
    }

    /// The room that is kept for its label, where it has none inside.
    pub(super) fn label_room(&self) -> Option<Rect> {
        match self.fit {
            Fit::Beside(label) => Some(piece_label::kept_room(self.bounds, label)),
            Fit::Roomy | Fit::Tight => None,
        }
    }

    /// The box that it is laid out by: its own, with the room kept for its label.
    fn laid(&self) -> Rect {
        self.label_room()
            .map_or(self.bounds, |room| self.bounds.union(room))
    }

    /// The box in which construction is shown.
    pub(super) fn shown(&self) -> Rect {
        self.bounds.inflate(BEYOND, BEYOND)
    }
}

/// Edges that leave gaps, joined straight over them: about where the piece lies.
fn joined(edges: &BezPath) -> BezPath {
    let mut all = BezPath::new();
    for element in edges {
        all.push(match element {
            PathEl::MoveTo(p) if !all.elements().is_empty() => PathEl::LineTo(p),
            other => other,
        });
    }
    if !all.elements().is_empty() {
        all.close_path();
    }
    all
}

/// The smallest turn that sets a grain line upright.
pub(crate) fn upright(grain: &Path) -> Affine {
    let along = match grain.direction_of_straight() {
        Some(direction) => direction,
        None => grain
            .start()
            .ok()
            .zip(grain.end().ok())
            .map_or(Vec2::new(0.0, 1.0), |(a, b)| b - a),
    };
    let along = if along.y < 0.0 { -along } else { along };
    let turn = std::f64::consts::FRAC_PI_2 - along.atan2();
    if turn.abs() < 1e-4 {
        Affine::IDENTITY
    } else {
        Affine::rotate(turn)
    }
}

/// The places of pieces as they lie in another drawing, where each of them lies there.
pub(super) fn as_before<'n>(
    before: Option<&Drawing>,
    names: impl IntoIterator<Item = &'n str>,
) -> Option<Vec<Affine>> {
    let mut names = names.into_iter();
    before.and_then(|before| {
        names.try_fold(Vec::new(), |mut places, name| {
            places.push(before.place_of(name)?);
            Some(places)
        })
    })
}

fn pieces(
    canvas: &mut Canvas,
    pattern: &Pattern,
    mut placed: Vec<Placed<'_>>,
    before: Option<&Drawing>,
) -> Size {
    // On one sheet neighbours hang level; on tiles and rolls paper is saved instead.
    let pads = match canvas.manner.width {
        Width::Free => {
            let hung = placed.iter().map(|one| (one.piece, one.place, one.laid()));
            let lay = |boxes: &[Size]| layout::lay(boxes, GAP);
            hang::laid(pattern, &hung.collect::<Vec<_>>(), lay).1
        }
        Width::Within(_) | Width::Tiles(_) => vec![0.0; placed.len()],
    };
    let boxes = placed.iter().zip(&pads);
    let sizes = boxes.map(|(piece, pad)| piece.laid().size() + Size::new(0.0, *pad));
    let sizes: Vec<Size> = sizes.collect();
    let shapes = || {
        let outlines = placed
            .iter()
            .map(|piece| (&piece.outer, piece.label_room()));
        outlines
            .map(|(outer, label)| Laid::outlined(outer, label))
            .collect()
    };
    let (corner, layout) = laid(canvas, pattern, (&sizes, shapes), GAP);
    for ((piece, at), pad) in placed.iter_mut().zip(&layout.places).zip(&pads) {
        piece.move_to(*at + corner + Vec2::new(0.0, *pad));
    }
    let mut size = layout.size;
    let names = placed.iter().map(|one| one.piece.name.as_str());
    if let Some(places) = as_before(before, names) {
        for (piece, place) in placed.iter_mut().zip(places) {
            piece.place = place;
            piece.read();
            size = reaching(size, corner, piece.laid());
        }
        labels_on(canvas, extent(canvas, corner, size));
    }
    for piece in &mut placed {
        piece.own = piece.laid().inflate(layout.gap - 1.0, layout.gap - 1.0);
        let name = piece.piece.name.clone();
        canvas.drawing.places.insert(name, piece.place);
    }
    let sheet = extent(canvas, corner, size);
    tiles(canvas, sheet, &placed);
    for piece in &placed {
        piece_lines::draw(canvas, piece);
    }
    // A small piece has room for its label or for other words.
    let (roomy, small): (Vec<_>, Vec<_>) = placed.iter().partition(|p| p.fit == Fit::Roomy);
    for piece in small {
        piece_label::draw(canvas, piece);
    }
    for piece in &placed {
        piece_lines::fold_words(canvas, piece);
    }
    for piece in roomy {
        piece_label::draw(canvas, piece);
    }
    for piece in &placed {
        piece_label::cautions(canvas, piece);
    }
    for piece in &placed {
        unfinished::foot(canvas, piece);
    }
    for piece in &placed {
        edge_words::draw(canvas, piece);
    }
    for piece in &placed {
        piece_names::edges(canvas, piece);
        line_names::folds_and_marks(canvas, piece);
    }
    for piece in &placed {
        point_names::outline(canvas, piece);
    }
    for piece in &placed {
        point_names::construction(canvas, piece);
    }
    sheet
}

/// Where boxes lie on the sheet: the corner they start from, and the layout below it. Names have a sheet of that size. What
/// is in the boxes is asked for where it matters on which tiles that lies.
pub(super) fn laid(
    canvas: &mut Canvas,
    pattern: &Pattern,
    (sizes, shapes): (&[Size], impl FnOnce() -> Vec<Laid>),
    gap: f64,
) -> (Vec2, layout::Layout) {
    let manner = canvas.manner;
    let side = manner.margin() + BEYOND;
    let corner = match manner.head {
        Head::Block | Head::BlockWithInches => Vec2::new(
            side,
            manner.margin() + title::height(pattern, &manner) + gap,
        ),
        Head::CheckLines => Vec2::new(side, side + scale_marks::STRIP),
        Head::Bare => Vec2::new(side, side),
    };
    let layout = match manner.width {
        Width::Free => layout::lay(sizes, gap),
        Width::Within(width) => layout::lay_within(sizes, gap, width - 2.0 * side),
        Width::Tiles(tile) => {
            let headed = matches!(manner.head, Head::Block | Head::BlockWithInches);
            tile_layout::lay_on_tiles(&shapes(), gap, (corner, headed), tile)
        }
    };
    labels_on(canvas, extent(canvas, corner, layout.size));
    (corner, layout)
}

/// Names have a sheet of that size.
pub(super) fn labels_on(canvas: &mut Canvas, sheet: Size) {
    canvas.labels = Labels::on(sheet);
    let free = scale_marks::free_area(&canvas.manner);
    canvas.labels.keep_within(free);
}

/// A size that reaches from the corner as far as a box does.
pub(super) fn reaching(size: Size, corner: Vec2, to: Rect) -> Size {
    Size::new(
        size.width.max(to.x1 - corner.x),
        size.height.max(to.y1 - corner.y),
    )
}

/// The drawing is cut into tiles: no name goes where it alone would ask for one, on a tile that no piece lies on.
fn tiles(canvas: &mut Canvas, sheet: Size, placed: &[Placed<'_>]) {
    let Width::Tiles(tile) = canvas.manner.width else {
        return;
    };
    let count = |length: f64, step: f64| (length / step).ceil().clamp(1.0, 500.0) as u32 + 1;
    let (columns, rows) = (
        count(sheet.width, tile.width),
        count(sheet.height, tile.height),
    );
    let mut bare = Vec::new();
    for row in 0..rows {
        for column in 0..columns {
            let corner = Point::new(f64::from(column) * tile.width, f64::from(row) * tile.height);
            // A neighbour shows what lies in the strip that both share.
            let cell = Rect::from_origin_size(corner, tile).inset(-OVERLAP / 2.0);
            let has_piece = |piece: &Placed<'_>| {
                let near = !piece.bounds.intersect(cell).is_zero_area();
                near && touches(&piece.outer, cell)
            };
            bare.push(!placed.iter().any(has_piece));
        }
    }
    canvas.labels.keep_on_tiles(tile, columns, bare);
}

/// Whether an outline passes through a cell, or encloses it.
fn touches(outline: &BezPath, cell: Rect) -> bool {
    outline.contains(cell.center())
        || super::canvas::chords(outline).iter().any(|row| {
            let pairs = row.iter().zip(row.iter().skip(1));
            pairs
                .into_iter()
                .any(|(a, b)| super::canvas::cut(*a, *b, cell).is_some())
        })
}

/// The size of a sheet with its margins.
pub(super) fn extent(canvas: &Canvas, corner: Vec2, content: Size) -> Size {
    content + Size::new(2.0 * corner.x, corner.y + canvas.manner.margin())
}

/// The sheet itself, under everything and wide enough for what was drawn.
fn paper(canvas: &mut Canvas, wanted: Size) {
    let drawn = canvas.drawing.bounds().unwrap_or(Rect::ZERO);
    let margin = canvas.manner.margin();
    canvas.drawing.width = wanted.width.max(drawn.x1 + margin / 2.0).ceil();
    canvas.drawing.height = wanted.height.max(drawn.y1 + margin).ceil();
    let sheet = Rect::new(0.0, 0.0, canvas.drawing.width, canvas.drawing.height).to_path(0.1);
    canvas
        .drawing
        .add(Layer::Paper, None, None, Shape::Fill(sheet, Fill::Sheet));
}
