//! The nested drawing: every piece with all its sizes laid on each other, the base heavy, each other size in a line of its
//! own that is told apart by its dashes, so that a black-and-white print loses nothing; the fold of the cloth is no cutting line in any of them.
//! Notches and corners of the same name are joined through the sizes, and where a piece grows most its sizes stand written.

use super::Set;
use super::inside;
use super::key;
use super::laid::{Stacked, stacked};
use super::stack::Stack;
use kurbo::{Affine, BezPath, Circle, PathEl, Point, Rect, Shape as _, Vec2};
use kurbo::{ParamCurve as _, ParamCurveArclen as _};
use oaktag_geometry::path::Path;
use oaktag_language::pattern::Piece;
use oaktag_output::corners::corner;
use oaktag_output::drawing::labels::Labels;
use oaktag_output::drawing::style::{Fill, Hand, Pen};
use oaktag_output::drawing::{Anchor, Drawing, Layer, Shape, Text, arrow, grain_line};
use oaktag_output::path_data::bez;
use oaktag_output::sheet::Sheet;
use oaktag_output::tile_layout::{Laid, lay_on_tiles};
use oaktag_output::{layout, pages};
use std::collections::BTreeSet;

/// Between the pieces, and round the sheet.
const GAP: f64 = 40.0;
const MARGIN: f64 = 15.0;
/// How far a size's name stands off its corner; where names are fanned out, the nearest distance that they are clear at.
const OFF: f64 = 2.5;
const FANNED: [f64; 4] = [10.0, 16.0, 23.0, 31.0];
/// Air round a size's name.
const AIR: f64 = 0.8;

/// One piece with its sizes, on a sheet of its own: y down, the zero point at the origin.
struct Nest<'a> {
    base: &'a Piece,
    on: String,
    sizes: Vec<OfSize<'a>>,
    bounds: Rect,
}

struct OfSize<'a> {
    piece: &'a Piece,
    /// Index of the size in the set.
    at: usize,
    place: Affine,
}

impl Nest<'_> {
    /// All its cutting lines, as they ask for paper.
    fn laid(&self) -> Laid {
        let mut all = BezPath::new();
        for one in &self.sizes {
            if let Some(outer) = one.piece.outer() {
                all.extend((one.place * bez(outer)).iter());
            }
        }
        Laid::outlined(&all, None)
    }
}

/// Tiles that a cutting line lies on: no word goes where it alone would ask for a sheet of paper.
struct Tiles(Option<kurbo::Size>, BTreeSet<(i64, i64)>);

impl Tiles {
    /// Cutting lines are looked at in steps of so many millimetres.
    const STEP: f64 = 2.0;

    fn under(nests: &[Nest<'_>], shifts: &[Vec2], tile: Option<kurbo::Size>) -> Self {
        let mut tiles = Self(tile, BTreeSet::new());
        let lines = nests.iter().zip(shifts).flat_map(|(nest, shift)| {
            let of_size = move |one: &OfSize<'_>| {
                Some(Affine::translate(*shift) * one.place * bez(one.piece.outer()?))
            };
            nest.sizes.iter().filter_map(of_size)
        });
        for seg in lines.flat_map(|line| line.segments().collect::<Vec<_>>()) {
            let steps = (seg.arclen(0.1) / Self::STEP).ceil().clamp(1.0, 1e4);
            let mut step = 0.0;
            while step <= steps {
                let at = tiles.of(seg.eval(step / steps));
                tiles.1.extend(at);
                step += 1.0;
            }
        }
        tiles
    }

    fn of(&self, p: Point) -> Option<(i64, i64)> {
        let tile = self.0?;
        Some((
            (p.x / tile.width).floor() as i64,
            (p.y / tile.height).floor() as i64,
        ))
    }

    /// Whether a part of a box lies on a tile that has no line.
    fn is_bare(&self, bounds: Rect) -> bool {
        let corners = [
            (bounds.x0, bounds.y0),
            (bounds.x1, bounds.y0),
            (bounds.x0, bounds.y1),
        ];
        let corners = corners.into_iter().chain([(bounds.x1, bounds.y1)]);
        let mut tiles = corners.filter_map(|corner| self.of(corner.into()));
        tiles.any(|tile| !self.1.contains(&tile))
    }
}

/// Draws a set. `pieces` names those to be drawn; none of them stands for all.
pub fn draw(set: &Set, stacks: &[Stack], pieces: &[String]) -> Drawing {
    drawn(set, stacks, pieces, None)
}

/// Draws a set, for a sheet, whose sizes can be shown one by one: with the lines inside each, to be switched on with it.
pub fn draw_for_print(set: &Set, stacks: &[Stack], pieces: &[String], sheet: Sheet) -> Drawing {
    drawn(set, stacks, pieces, Some(sheet))
}

/// Layers of a nest for print that wait to be switched on: of all sizes at once they could not be told apart.
pub const WAITING: [Layer; 2] = [Layer::Sew, Layer::Marks];

fn drawn(set: &Set, stacks: &[Stack], pieces: &[String], print: Option<Sheet>) -> Drawing {
    let Some(base) = set.base() else {
        return Drawing::new("");
    };
    let stacked = stacked(set, stacks, pieces);
    let nests: Vec<Nest<'_>> = stacked.into_iter().filter_map(nest).collect();
    let title = &base.pattern.title;
    let preface = key::preface(set, base, print.is_some());
    let (mut drawing, head, corner, places) = match print.and_then(pages::tile) {
        Some(tile) => {
            let mut drawing = Drawing::new(title);
            drawing.preface = Some(preface);
            let corner = Vec2::new(GAP / 2.0, GAP / 2.0);
            let shapes: Vec<Laid> = nests.iter().map(Nest::laid).collect();
            let laid = lay_on_tiles(&shapes, GAP, (corner, false), tile);
            (drawing, kurbo::Size::ZERO, corner, laid.places)
        }
        None => {
            let (drawing, head) = preface.head(title, MARGIN);
            let corner = Vec2::new(MARGIN + GAP / 2.0, head.height + GAP);
            let boxes: Vec<kurbo::Size> = nests.iter().map(|nest| nest.bounds.size()).collect();
            (drawing, head, corner, layout::lay(&boxes, GAP).places)
        }
    };
    drawing.sizes = set.names().iter().map(ToString::to_string).collect();
    let shifts = nests.iter().zip(&places);
    let shifts = shifts.map(|(nest, at)| *at + corner - nest.bounds.origin());
    let shifts: Vec<Vec2> = shifts.collect();
    let tiles = Tiles::under(&nests, &shifts, print.and_then(pages::tile));
    for (nest, shift) in nests.iter().zip(shifts) {
        one(&mut drawing, (set, &tiles), nest, shift);
        if print.is_some() {
            for laid in &nest.sizes {
                let place = Affine::translate(shift) * laid.place;
                inside::draw(&mut drawing, laid.piece, laid.at, place);
            }
        }
    }
    let used = drawing.bounds().unwrap_or(Rect::ZERO);
    drawing.width = (used.x1 + MARGIN).max(head.width).ceil();
    drawing.height = (used.y1 + MARGIN).ceil();
    let sheet = Rect::new(0.0, 0.0, drawing.width, drawing.height).to_path(0.1);
    drawing.add(Layer::Paper, None, None, Shape::Fill(sheet, Fill::Sheet));
    drawing
}

/// The pen of a size: heavy for the base, dashes for the others in their order.
pub(super) fn pen(set: &Set, at: usize) -> Pen {
    if at == set.base {
        return Pen::Cut;
    }
    let number = if at > set.base { at - 1 } else { at };
    let styles = usize::from(Pen::NESTED_STYLES);
    Pen::Nested(u8::try_from(number % styles).unwrap_or_default())
}

fn nest(stacked: Stacked<'_>) -> Option<Nest<'_>> {
    let grain = stacked.base.grain.as_ref();
    let upright = Affine::FLIP_Y * grain.map_or(Affine::IDENTITY, turn_upright);
    let laid = stacked.sizes.into_iter().map(|(at, piece, place)| OfSize {
        piece,
        at,
        place: upright * place,
    });
    let sizes: Vec<OfSize<'_>> = laid.collect();
    let boxes = sizes.iter().filter_map(|laid| {
        let outer = laid.piece.outer()?;
        Some((laid.place * bez(outer)).bounding_box())
    });
    let bounds = boxes.reduce(|a, b| a.union(b))?;
    Some(Nest {
        base: stacked.base,
        on: stacked.on,
        sizes,
        bounds,
    })
}

/// The smallest turn that sets a grain line upright.
fn turn_upright(grain: &Path) -> Affine {
    let along = match (grain.direction_of_straight(), grain.start(), grain.end()) {
        (Some(way), ..) => way,
        (None, Ok(start), Ok(end)) => end - start,
        _ => return Affine::IDENTITY,
    };
    let along = if along.y < 0.0 { -along } else { along };
    Affine::rotate(std::f64::consts::FRAC_PI_2 - along.atan2())
}

/// Draws one piece's nest.
fn one(drawing: &mut Drawing, (set, tiles): (&Set, &Tiles), nest: &Nest<'_>, shift: Vec2) {
    let name = Some(nest.base.name.as_str());
    let shift = Affine::translate(shift);
    // The base last, so that it lies on the others.
    let mut order: Vec<&OfSize<'_>> = nest.sizes.iter().collect();
    order.sort_by_key(|laid| laid.at == set.base);
    for laid in order {
        let place = shift * laid.place;
        let (cut, fold) = outline(laid.piece, laid.place);
        let stroke = Shape::Stroke(place * cut, pen(set, laid.at));
        drawing.add_of_size(Layer::Cut, name, laid.at, stroke);
        if let Some(fold) = fold {
            let pen = if laid.at == set.base {
                Pen::FoldEdge
            } else {
                Pen::Fold
            };
            drawing.add_of_size(Layer::Fold, name, laid.at, Shape::Stroke(place * fold, pen));
        }
        for notch in &laid.piece.notches {
            for mark in &notch.marks {
                let (from, inward) = (
                    place * mark.cut,
                    mark.cut - mark.outward * mark.depth.max(2.0),
                );
                let tick = line(from, place * inward);
                let tick = Shape::Stroke(tick, Pen::Frame);
                drawing.add_of_size(Layer::Notches, name, laid.at, tick);
            }
        }
        if laid.at != set.base {
            continue;
        }
        // Beside a fold, where the grain itself would be that line.
        if let Some((from, to)) = grain_line(laid.piece) {
            let arrow = Shape::Stroke(arrow(place * from, place * to), Pen::Grain);
            drawing.add(Layer::Grain, name, None, arrow);
        }
        if let Some(bracket) = fold_bracket(laid.piece) {
            let bracket = Shape::Stroke(place * bracket, Pen::Grain);
            drawing.add(Layer::Fold, name, Some("fold"), bracket);
            fold_words(drawing, laid.piece, place);
        }
    }
    let rungs = ladders(nest, shift);
    for rung in &rungs {
        let mut path = BezPath::new();
        for (at, point) in rung.iter().enumerate() {
            if at == 0 {
                path.move_to(*point)
            } else {
                path.line_to(*point)
            }
        }
        drawing.add(
            Layer::Construction,
            name,
            None,
            Shape::Stroke(path, Pen::Construction),
        );
    }
    zero(drawing, nest, shift);
    words(drawing, (set, tiles), nest, shift);
    names(drawing, (set, tiles), nest, shift);
}

/// The words of the bracket, beside it, where it is long enough.
fn fold_words(drawing: &mut Drawing, piece: &Piece, place: Affine) {
    const LEAST: f64 = 60.0;
    let edge = piece.cut.fold_edge.and_then(|at| piece.edges.get(at));
    let Some(edge) = edge.filter(|edge| edge.length > LEAST) else {
        return;
    };
    if let Ok(at) = edge.path.location_at(edge.length / 2.0) {
        let (tip, inward) = (edge.path.point(at), edge.path.normal_at(at));
        let foot = place * tip;
        let (near, far) = (place * (tip + inward * 10.5), place * (tip + inward * 14.0));
        // Read from below or from the right, off the bracket.
        let away = (near - foot).normalize();
        let along = Vec2::new(-away.y, away.x);
        let reads = along.x > 1e-9 || (along.x.abs() <= 1e-9 && along.y < 0.0);
        let (at, along) = if reads { (near, along) } else { (far, -along) };
        let text = Text::new("on fold", at, Anchor::Middle, Hand::EdgeName).along(along);
        drawing.add(
            Layer::Fold,
            Some(piece.name.as_str()),
            Some("fold"),
            Shape::Text(text),
        );
    }
}

/// Where a piece is cut, and where it lies on the fold of the cloth instead.
fn outline(piece: &Piece, place: Affine) -> (BezPath, Option<BezPath>) {
    let edges = piece.edges.iter().enumerate();
    let lines: Vec<(usize, &Path)> = if piece.cut_edges.is_empty() {
        edges.map(|(at, edge)| (at, &edge.path)).collect()
    } else {
        piece
            .cut_edges
            .iter()
            .map(|(at, path)| (*at, path))
            .collect()
    };
    let (mut cut, mut last) = (BezPath::new(), None);
    let mut fold: Option<(Point, Point)> = None;
    for (at, path) in lines {
        let (Ok(start), Ok(end)) = (path.start(), path.end()) else {
            continue;
        };
        if piece.cut.fold_edge == Some(at) {
            fold = Some((fold.map_or(start, |(from, _)| from), end));
            continue;
        }
        let runs_on = last.is_some_and(|last: Point| (last - start).hypot() < 1e-6);
        let elements = bez(path);
        cut.extend(elements.iter().skip(usize::from(runs_on)));
        last = Some(end);
    }
    (cut, fold.map(|(from, to)| in_phase(from, to, place)))
}

/// A fold as two lines away from a place that the folds of all sizes have in common, so that their dashes lie on each other.
fn in_phase(from: Point, to: Point, place: Affine) -> BezPath {
    let long = (to - from).hypot();
    let along = (to - from) / long.max(1e-9);
    let zero = (place.inverse() * Point::ORIGIN - from).dot(along);
    let period: f64 = Pen::FoldEdge.dashes().iter().sum();
    let below = (-zero / period).ceil().max(0.0);
    let beyond = ((zero - long) / period).ceil().max(0.0);
    let middle = from + along * (zero + (below - beyond) * period).clamp(0.0, long);
    let mut fold = line(middle, to);
    fold.extend(line(middle, from).iter());
    fold
}

/// The bracket that says that a piece lies on the fold, along the middle half of that edge.
fn fold_bracket(piece: &Piece) -> Option<BezPath> {
    const INSIDE: f64 = 9.0;
    const HEAD: f64 = 3.0;
    let edge = piece.edges.get(piece.cut.fold_edge?)?;
    let at = |share: f64| edge.path.location_at(edge.length * share).ok();
    let mut bracket = BezPath::new();
    for share in [0.25, 0.75] {
        let at = at(share)?;
        let (tip, inward) = (edge.path.point(at), edge.path.normal_at(at));
        let corner = tip + inward * INSIDE;
        if share < 0.5 {
            bracket.move_to(tip);
            bracket.line_to(corner);
        } else {
            bracket.line_to(corner);
            bracket.line_to(tip);
        }
    }
    for share in [0.25, 0.75] {
        let at = at(share)?;
        let (tip, inward) = (edge.path.point(at), edge.path.normal_at(at));
        let across = Vec2::new(-inward.y, inward.x) * (0.4 * HEAD);
        bracket.move_to(tip + inward * HEAD + across);
        bracket.line_to(tip);
        bracket.line_to(tip + inward * HEAD - across);
    }
    Some(bracket)
}

pub(super) fn line(a: Point, b: Point) -> BezPath {
    kurbo::Line::new(a, b).to_path(0.1)
}

/// Corners and notches of the same name through the sizes.
fn ladders(nest: &Nest<'_>, shift: Affine) -> Vec<Vec<Point>> {
    let mut ladders: Vec<Vec<Point>> = Vec::new();
    let through = |find: &dyn Fn(&Piece) -> Option<Point>| -> Option<Vec<Point>> {
        let points = nest
            .sizes
            .iter()
            .map(|laid| Some(shift * laid.place * find(laid.piece)?));
        let points: Vec<Point> = points.collect::<Option<_>>()?;
        let moves = points
            .windows(2)
            .any(|pair| matches!(pair, [a, b] if (*b - *a).hypot() > 0.5));
        (points.len() > 1 && moves).then_some(points)
    };
    for (at, notch) in nest.base.notches.iter().enumerate() {
        let find = |piece: &Piece| {
            let there = piece.notches.get(at)?;
            (there.seam == notch.seam && there.number == notch.number)
                .then(|| there.marks.first().map(|mark| mark.cut))
                .flatten()
        };
        ladders.extend(through(&find));
    }
    for edge in &nest.base.edges {
        ladders.extend(through(&|piece| corner(piece, &edge.name)));
    }
    ladders
}

/// The zero point: a small cross in a circle.
fn zero(drawing: &mut Drawing, nest: &Nest<'_>, shift: Affine) {
    let name = Some(nest.base.name.as_str());
    let at = shift * Point::ORIGIN;
    let ring = Circle::new(at, 2.5).to_path(0.05);
    drawing.add(
        Layer::Grain,
        name,
        Some("zero"),
        Shape::Stroke(ring, Pen::Mark),
    );
    for way in [Vec2::new(4.0, 0.0), Vec2::new(0.0, 4.0)] {
        let cross = line(at - way, at + way);
        drawing.add(
            Layer::Grain,
            name,
            Some("zero"),
            Shape::Stroke(cross, Pen::Mark),
        );
    }
}

/// The piece's name, and on what it is stacked, in the middle of it.
fn words(drawing: &mut Drawing, (set, tiles): (&Set, &Tiles), nest: &Nest<'_>, shift: Affine) {
    let name = Some(nest.base.name.as_str());
    let Some(outer) = nest
        .sizes
        .iter()
        .find(|laid| laid.at == set.base)
        .and_then(|laid| {
            let outer = laid.piece.outer()?;
            Some(shift * laid.place * bez(outer))
        })
    else {
        return;
    };
    let bounds = outer.bounding_box();
    let inside = |point: &Point| outer.winding(*point) != 0;
    let shares = [0.5, 0.4, 0.6, 0.3, 0.7];
    let place = |across: f64, down: f64| {
        bounds.origin() + Vec2::new(bounds.width() * across, bounds.height() * down)
    };
    let places = shares
        .iter()
        .flat_map(|across| shares.iter().map(move |down| place(*across, *down)));
    let lines = [
        (nest.base.label.clone(), Hand::PieceText, 0.0),
        (nest.base.cut_words(), Hand::EdgeName, 6.0),
        (format!("stacked on {}", nest.on), Hand::EdgeName, 11.5),
        (alike(nest), Hand::EdgeName, 17.0),
    ];
    let labels = Labels::over(drawing);
    let fits = |middle: &Point| {
        lines.iter().all(|(letters, hand, down)| {
            let at = *middle + Vec2::new(0.0, *down);
            let frame = Text::new(letters, at, Anchor::Middle, *hand)
                .frame()
                .grown(1.0);
            frame.corners().iter().all(inside)
                && labels.is_free(&frame)
                && labels.line_cost(&frame) < 1.0
        })
    };
    // Small pieces have their words below them.
    let all = nest_bounds(nest, shift);
    let below = Point::new(all.x0, all.y1 + 9.0);
    // Below it where that is on no sheet of paper of its own, else above it.
    let below = match tiles.is_bare(Rect::new(all.x0, all.y1, all.x0 + 40.0, all.y1 + 27.0)) {
        true => Point::new(all.x0, all.y0 - 22.0),
        false => below,
    };
    let (start, anchor) = match places.into_iter().find(fits) {
        Some(middle) => (middle, Anchor::Middle),
        None => (below, Anchor::Start),
    };
    for (letters, hand, down) in lines {
        if !letters.is_empty() {
            let text = Text::new(&letters, start + Vec2::new(0.0, down), anchor, hand);
            drawing.add(Layer::Text, name, None, Shape::Text(text));
        }
    }
}

/// What is said of a piece that does not grow.
fn alike(nest: &Nest<'_>) -> String {
    let line = |laid: &OfSize<'_>| Some(laid.place * bez(laid.piece.outer()?));
    let lines: Option<Vec<BezPath>> = nest.sizes.iter().map(line).collect();
    let lines = lines.unwrap_or_default();
    let place = |element: &PathEl| element.end_point().unwrap_or_default();
    let same = |a: &BezPath, b: &BezPath| {
        let pairs = a.elements().iter().zip(b.elements());
        let near = |(a, b): (&PathEl, &PathEl)| (place(a) - place(b)).hypot() < 0.05;
        a.elements().len() == b.elements().len() && pairs.into_iter().all(near)
    };
    let is_alike = lines
        .first()
        .is_some_and(|one| lines.iter().all(|other| same(one, other)));
    match is_alike && lines.len() > 1 {
        true => "the same in every size".to_owned(),
        false => String::new(),
    }
}

fn nest_bounds(nest: &Nest<'_>, shift: Affine) -> Rect {
    let corner = shift * nest.bounds.origin();
    Rect::from_origin_size(corner, nest.bounds.size())
}

/// Each size's name at a corner where the sizes stand far apart, square to the way they grow, clear of all lines.
fn names(drawing: &mut Drawing, (set, tiles): (&Set, &Tiles), nest: &Nest<'_>, shift: Affine) {
    let name = Some(nest.base.name.as_str());
    let middle = nest_bounds(nest, shift).center();
    let labels = Labels::over(drawing);
    let mut best: Option<(f64, Fan)> = None;
    for edge in &nest.base.edges {
        let points = nest.sizes.iter();
        let points = points.map(|laid| Some(shift * laid.place * corner(laid.piece, &edge.name)?));
        let Some(points) = points.collect::<Option<Vec<Point>>>() else {
            continue;
        };
        let (Some(first), Some(last)) = (points.first(), points.last()) else {
            continue;
        };
        let way = *last - *first;
        if way.hypot() < 1.0 {
            continue;
        }
        let way = way.normalize();
        let pairs = points.iter().zip(points.iter().skip(1));
        let nearest = pairs
            .map(|(a, b)| (*b - *a).hypot())
            .fold(f64::INFINITY, f64::min);
        let across = Vec2::new(-way.y, way.x);
        for across in [across, -across] {
            // Outside the piece, where the sizes are far apart, and near to their corners.
            let inside = if across.dot(*last - middle) < 0.0 {
                4.0
            } else {
                0.0
            };
            for off in FANNED {
                let row = Row {
                    points: &points,
                    way,
                    across,
                    nearest,
                    off,
                };
                let written = row.written(set, nest);
                let lines: f64 = written
                    .iter()
                    .map(|(text, _)| text.frame().grown(AIR))
                    .map(|frame| {
                        let taken = if labels.is_free(&frame) { 0.0 } else { 60.0 };
                        let bare = tiles.is_bare(frame.bounds());
                        labels.line_cost(&frame) + taken + if bare { 200.0 } else { 0.0 }
                    })
                    .sum();
                let cost = 10.0 * lines + inside + 0.2 * off + 40.0 / (1.0 + nearest);
                if best.as_ref().is_none_or(|(least, _)| cost < *least) {
                    best = Some((cost, written));
                }
            }
        }
    }
    let Some((_, written)) = best else { return };
    for (laid, (text, leader)) in nest.sizes.iter().zip(written) {
        if let Some(leader) = leader {
            let leader = Shape::Stroke(leader, Pen::Leader);
            drawing.add_of_size(Layer::Text, name, laid.at, leader);
        }
        drawing.add_of_size(Layer::Text, name, laid.at, Shape::Text(text));
    }
}

/// Names, each with the line to its corner where it has one.
type Fan = Vec<(Text, Option<BezPath>)>;

/// The names of the sizes beside a ladder.
struct Row<'a> {
    points: &'a [Point],
    way: Vec2,
    /// Which way the names go.
    across: Vec2,
    /// How near the nearest two sizes are.
    nearest: f64,
    /// How far off they are where they are fanned out.
    off: f64,
}

impl Row<'_> {
    /// Each name, and the line to its corner where names are wider apart than the sizes.
    fn written(&self, set: &Set, nest: &Nest<'_>) -> Fan {
        let height = Hand::PointName.size();
        let step = self.nearest.max(height * 1.15);
        let [nearest, ..] = FANNED;
        let fan = step > self.nearest + 1e-9 || self.off > nearest;
        let (across, count) = (self.across, self.points.len() as f64);
        let centre = match (self.points.first(), self.points.last()) {
            (Some(first), Some(last)) => first.midpoint(*last),
            _ => Point::ORIGIN,
        };
        let (along, anchor) = if across.x < -1e-9 {
            (-across, Anchor::End)
        } else {
            (across, Anchor::Start)
        };
        let down = Vec2::new(-along.y, along.x) * (height * 0.36);
        let laid = nest.sizes.iter().zip(self.points).enumerate();
        laid.map(|(number, (laid, point))| {
            let from_middle = (number as f64 - (count - 1.0) / 2.0) * step;
            let at = if fan {
                centre + self.way * from_middle + across * self.off
            } else {
                *point + across * OFF
            };
            let letters = set.sizes.get(laid.at).map_or("", |size| size.name.as_str());
            let text = Text::new(letters, at + down, anchor, Hand::PointName).along(along);
            (text, fan.then(|| line(*point, at - across * 0.8)))
        })
        .collect()
    }
}
