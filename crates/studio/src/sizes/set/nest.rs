//! The nested drawing: every piece with all its sizes laid on each other, the base heavy, each other size in a line of its
//! own that is told apart by its dashes, so that a black-and-white print loses nothing. Notches and corners of the same name
//! are joined through the sizes, and where a piece grows most its sizes stand written.

use super::Set;
use super::inside;
use super::key;
use super::laid::{Stacked, stacked};
use super::stack::Stack;
use kurbo::{Affine, BezPath, Circle, Point, Rect, Shape as _, Vec2};
use oaktag_geometry::path::Path;
use oaktag_language::pattern::Piece;
use oaktag_output::drawing::labels::Labels;
use oaktag_output::drawing::style::{Fill, Hand, Pen};
use oaktag_output::drawing::{Anchor, Drawing, Layer, Shape, Text, arrow, grain_line};
use oaktag_output::layout;

/// Between the pieces, and round the sheet.
const GAP: f64 = 40.0;
pub(super) const MARGIN: f64 = 15.0;
/// How far a size's name stands off its corner, and where names are fanned out.
const OFF: f64 = 2.5;
const FANNED: f64 = 10.0;

/// One piece with its sizes, on a sheet of its own: y down, the zero point at the origin.
struct Nest<'a> {
    base: &'a Piece,
    on: String,
    sizes: Vec<Laid<'a>>,
    bounds: Rect,
}

struct Laid<'a> {
    piece: &'a Piece,
    /// Index of the size in the set.
    at: usize,
    place: Affine,
}

/// Draws a set. `pieces` names those to be drawn; none of them stands for all.
pub fn draw(set: &Set, stacks: &[Stack], pieces: &[String]) -> Drawing {
    drawn(set, stacks, pieces, false)
}

/// Draws a set whose sizes can be shown one by one: with the lines inside each, to be switched on with it.
pub fn draw_for_print(set: &Set, stacks: &[Stack], pieces: &[String]) -> Drawing {
    drawn(set, stacks, pieces, true)
}

/// Layers of a nest for print that wait to be switched on: of all sizes at once they could not be told apart.
pub const WAITING: [Layer; 3] = [Layer::Sew, Layer::Fold, Layer::Marks];

fn drawn(set: &Set, stacks: &[Stack], pieces: &[String], for_print: bool) -> Drawing {
    let Some(base) = set.base() else {
        return Drawing::new("");
    };
    let stacked = stacked(set, stacks, pieces);
    let nests: Vec<Nest<'_>> = stacked.into_iter().filter_map(nest).collect();
    let mut drawing = Drawing::new(&base.pattern.title);
    drawing.sizes = set.names().iter().map(ToString::to_string).collect();
    let head = key::draw(&mut drawing, set, base, for_print);
    let boxes: Vec<kurbo::Size> = nests.iter().map(|nest| nest.bounds.size()).collect();
    let laid = layout::lay(&boxes, GAP);
    let corner = Vec2::new(MARGIN + GAP / 2.0, head.height + GAP);
    for (nest, at) in nests.iter().zip(&laid.places) {
        let shift = *at + corner - nest.bounds.origin();
        one(&mut drawing, set, nest, shift);
        if for_print {
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
    let laid = stacked.sizes.into_iter().map(|(at, piece, place)| Laid {
        piece,
        at,
        place: upright * place,
    });
    let sizes: Vec<Laid<'_>> = laid.collect();
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

fn bez(path: &Path) -> BezPath {
    BezPath::from_path_segments(path.segs().iter().copied())
}

/// Draws one piece's nest.
fn one(drawing: &mut Drawing, set: &Set, nest: &Nest<'_>, shift: Vec2) {
    let name = Some(nest.base.name.as_str());
    let shift = Affine::translate(shift);
    // The base last, so that it lies on the others.
    let mut order: Vec<&Laid<'_>> = nest.sizes.iter().collect();
    order.sort_by_key(|laid| laid.at == set.base);
    for laid in order {
        let place = shift * laid.place;
        if let Some(outer) = laid.piece.outer() {
            let stroke = Shape::Stroke(place * bez(outer), pen(set, laid.at));
            drawing.add_of_size(Layer::Cut, name, laid.at, stroke);
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
            drawing.add(Layer::Grain, name, Some("fold"), bracket);
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
    words(drawing, set, nest, shift);
    names(drawing, set, nest, shift);
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

/// A corner on the cutting line: where the outer edges before and after it meet, or the sewing line's own.
fn corner(piece: &Piece, edge: &str) -> Option<Point> {
    let index = piece.edges.iter().position(|other| other.name == edge)?;
    let cut = piece.cut_edges.iter().find(|(of, _)| *of == index);
    match cut {
        Some((_, path)) => path.start().ok(),
        None => piece.edges.get(index)?.path.start().ok(),
    }
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
fn words(drawing: &mut Drawing, set: &Set, nest: &Nest<'_>, shift: Affine) {
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
    ];
    let labels = Labels::over(drawing);
    let fits = |middle: &Point| {
        lines.iter().all(|(letters, hand, down)| {
            let at = *middle + Vec2::new(0.0, *down);
            let frame = Text::new(letters, at, Anchor::Middle, *hand)
                .frame()
                .grown(1.0);
            frame.corners().iter().all(inside) && labels.line_cost(&frame) < 1.0
        })
    };
    // Small pieces have their words below them.
    let all = nest_bounds(nest, shift);
    let below = Point::new(all.x0, all.y1 + 9.0);
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

fn nest_bounds(nest: &Nest<'_>, shift: Affine) -> Rect {
    let corner = shift * nest.bounds.origin();
    Rect::from_origin_size(corner, nest.bounds.size())
}

/// Each size's name at the corner where the sizes stand furthest apart, square to the way they grow.
fn names(drawing: &mut Drawing, set: &Set, nest: &Nest<'_>, shift: Affine) {
    let name = Some(nest.base.name.as_str());
    let middle = nest_bounds(nest, shift).center();
    let corners = nest.base.edges.iter().filter_map(|edge| {
        let points: Option<Vec<Point>> = nest
            .sizes
            .iter()
            .map(|laid| Some(shift * laid.place * corner(laid.piece, &edge.name)?))
            .collect();
        let points = points?;
        let nearest = points
            .windows(2)
            .filter_map(|pair| match pair {
                [a, b] => Some((*b - *a).hypot()),
                _ => None,
            })
            .fold(f64::INFINITY, f64::min);
        nearest.is_finite().then_some((nearest, points))
    });
    let Some((nearest, points)) = corners.max_by(|a, b| a.0.total_cmp(&b.0)) else {
        return;
    };
    let (Some(first), Some(last)) = (points.first(), points.last()) else {
        return;
    };
    let way = *last - *first;
    if way.hypot() < 1.0 {
        return;
    }
    let way = way.normalize();
    let across = Vec2::new(-way.y, way.x);
    let outward = if across.dot(*last - middle) < 0.0 {
        -across
    } else {
        across
    };
    let labels = Labels::over(drawing);
    let written = [outward, -outward].map(|across| {
        let row = Row {
            points: &points,
            way,
            across,
            nearest,
        };
        row.written(set, nest)
    });
    // Outside the piece, unless lines stand in the way there and not inside.
    let cost = |row: &[(Text, Option<BezPath>)]| -> f64 {
        row.iter()
            .map(|(text, _)| labels.line_cost(&text.frame()))
            .sum()
    };
    let [outside, inside] = written;
    let chosen = if cost(&inside) + 4.0 < cost(&outside) {
        inside
    } else {
        outside
    };
    for (laid, (text, leader)) in nest.sizes.iter().zip(chosen) {
        if let Some(leader) = leader {
            let leader = Shape::Stroke(leader, Pen::Leader);
            drawing.add_of_size(Layer::Text, name, laid.at, leader);
        }
        drawing.add_of_size(Layer::Text, name, laid.at, Shape::Text(text));
    }
}

/// The names of the sizes beside a ladder.
struct Row<'a> {
    points: &'a [Point],
    way: Vec2,
    /// Which way the names go.
    across: Vec2,
    /// How near the nearest two sizes are.
    nearest: f64,
}

impl Row<'_> {
    /// Each name, and the line to its corner where names are wider apart than the sizes.
    fn written(&self, set: &Set, nest: &Nest<'_>) -> Vec<(Text, Option<BezPath>)> {
        let height = Hand::PointName.size();
        let step = self.nearest.max(height * 1.15);
        let fan = step > self.nearest + 1e-9;
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
                centre + self.way * from_middle + across * FANNED
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
