//! What is laid on a cloth: each piece as often as it is put down, on one open layer or on cloth folded along its length, with
//! the grain along the cloth.

use super::Way;
use super::field::{self, CELL, Cells, Every};
use super::stripes::{self, Line};
use crate::drawing::compose::upright;
use crate::path_data::bez;
use kurbo::{Affine, BezPath, Shape as _, Size, Vec2};
use oaktag_language::pattern::cut_list::Laid;
use oaktag_language::pattern::spec::ClothSpec;
use oaktag_language::pattern::{Piece, WearerSide};

/// A piece to be put down once, in the ways in which it may lie.
#[derive(Clone, Debug)]
pub(super) struct Item<'a> {
    pub(super) piece: &'a Piece,
    /// Which of its kind, from 1.
    pub(super) copy: u32,
    /// How many layers are cut at once.
    pub(super) layers: u32,
    /// Of a pair, the sides of the wearer that are cut here.
    pub(super) sides: Vec<WearerSide>,
    /// Its edge lies on the fold, at the left of the cloth.
    pub(super) on_fold: bool,
    /// The ways it may lie: as drawn, and turned end for end where the cloth has no nap.
    pub(super) turns: Vec<Turned>,
}

/// A piece in one of its ways.
#[derive(Clone, Debug)]
pub(super) struct Turned {
    /// Its outline, the box's corner at the origin or, where its lines want it, a part of a cell right of and below it.
    pub(super) outline: BezPath,
    /// Its lines that are to lie on the cloth's pattern.
    pub(super) lines: Vec<Line>,
    /// The outline as cells.
    pub(super) cells: Cells,
    /// Of the box that they are in.
    pub(super) size: Size,
}

/// The cells of a cloth: how many lie across it, how large they are, and how far two pieces lie apart at the least.
#[derive(Clone, Copy, Debug)]
pub(super) struct Grid {
    pub(super) columns: usize,
    pub(super) step: Size,
    pub(super) gap: f64,
}

impl Grid {
    /// The cells of a cloth of a width, whole numbers of them to a repeat of the lines that are to lie on it.
    fn of(width: f64, gap: f64, shapes: &[Shapes<'_>]) -> Self {
        let lines = || {
            shapes
                .iter()
                .flat_map(|shapes| &shapes.ways)
                .flat_map(|way| &way.1)
        };
        let step = |repeat: Option<f64>| repeat.map_or(CELL, |r| r / (r / CELL).ceil());
        let across = lines().find(|line| line.across().is_some());
        let along = lines().find(|line| line.along().is_some());
        let step = Size::new(
            step(across.map(|line| line.repeat)),
            step(along.map(|line| line.repeat)),
        );
        Self {
            columns: field::columns(width, step.width),
            step,
            gap,
        }
    }
}

/// Where something may lie so that a place of it, so far from its start, comes to lie on a stripe: moved by a part of a cell,
/// and at which cells.
fn on_stripe(at: f64, repeat: f64, step: f64) -> (f64, Every) {
    let count = (repeat / step).round().max(1.0);
    let off = (-at).rem_euclid(step);
    let cells = ((off + at) / step).round();
    let every = Every {
        first: (-cells).rem_euclid(count) as usize,
        step: count as usize,
    };
    (off, every)
}

impl Turned {
    fn of((outline, lines): &(BezPath, Vec<Line>), grid: Grid, on_fold: bool) -> Self {
        let bounds = outline.bounding_box();
        let to_corner = Affine::translate(-bounds.origin().to_vec2());
        let lines: Vec<Line> = lines.iter().map(|line| line.moved(to_corner)).collect();
        let first = |place: fn(&Line) -> Option<f64>| {
            lines
                .iter()
                .find_map(|line| Some((place(line)?, line.repeat)))
        };
        let (mut off, mut every) = (Vec2::ZERO, (Every::ALL, Every::ALL));
        if let Some((at, repeat)) = first(Line::along) {
            (off.y, every.1) = on_stripe(at, repeat, grid.step.height);
        }
        let fits = |off: f64, every: Every| {
            let wide = (bounds.width() + off) / grid.step.width;
            every.first + wide.ceil() as usize <= grid.columns
        };
        // What lies on the fold lies there; what is as wide as the cloth cannot be moved.
        if let Some((at, repeat)) = first(Line::across).filter(|_| !on_fold) {
            let (x, across) = on_stripe(at, repeat, grid.step.width);
            if fits(x, across) {
                (off.x, every.0) = (x, across);
            }
        }
        let place = Affine::translate(off);
        let outline = place * to_corner * outline.clone();
        let size = Size::new(bounds.width() + off.x, bounds.height() + off.y);
        let mut cells = Cells::of(&outline, size, grid.step, grid.gap);
        cells.every = every;
        Self {
            lines: lines.iter().map(|line| line.moved(place)).collect(),
            outline,
            cells,
            size,
        }
    }
}

/// A fold that leaves the grain by more than this, in radians, is none of the cloth's.
const ON_GRAIN: f64 = 1e-3;

/// A piece as often as it is put down, in the ways in which it may lie, each with its lines.
struct Shapes<'a> {
    piece: &'a Piece,
    copy: u32,
    layers: u32,
    sides: Vec<WearerSide>,
    on_fold: bool,
    ways: Vec<(BezPath, Vec<Line>)>,
}

/// Every piece as often as it is put down; one whose outline does not close, or that is not said to be cut, is left out.
pub(super) fn items<'a>(
    pieces: &[&'a Piece],
    way: Way,
    cloth: &ClothSpec,
    (width, gap): (f64, f64),
) -> (Vec<Item<'a>>, Grid) {
    let shapes: Vec<Shapes<'a>> = pieces
        .iter()
        .flat_map(|piece| shapes(piece, way, cloth))
        .collect();
    let grid = Grid::of(width, gap, &shapes);
    let items = shapes.into_iter().map(|one| Item {
        piece: one.piece,
        copy: one.copy,
        layers: one.layers,
        sides: one.sides,
        on_fold: one.on_fold,
        turns: one
            .ways
            .iter()
            .map(|way| Turned::of(way, grid, one.on_fold))
            .collect(),
    });
    (items.collect(), grid)
}

fn shapes<'a>(piece: &'a Piece, way: Way, cloth: &ClothSpec) -> Vec<Shapes<'a>> {
    let Some(outline) = piece.outer().filter(|_| piece.sewing.is_some()) else {
        return Vec::new();
    };
    let upright = Affine::FLIP_Y * piece.grain.as_ref().map_or(Affine::IDENTITY, upright);
    let drawn = (upright * bez(outline), upright_lines(piece, cloth, upright));
    let moved = |(outline, lines): &(BezPath, Vec<Line>), by: Affine| {
        let lines = lines.iter().map(|line| line.moved(by)).collect();
        (by * outline.clone(), lines)
    };
    // The same turned end for end, where the cloth has no way of its own.
    let ways = |one: (BezPath, Vec<Line>), turn: Affine| {
        let turned = (!cloth.is_one_way()).then(|| moved(&one, turn));
        std::iter::once(one).chain(turned).collect::<Vec<_>>()
    };
    let count = piece.cut.count;
    let folded = (way == Way::Folded)
        .then(|| on_fold(piece, upright, &drawn.0))
        .flatten();
    if let Some(to_left) = folded {
        let half = moved(&drawn, to_left);
        let of_copy = |copy| Shapes {
            piece,
            copy,
            layers: 2,
            sides: Vec::new(),
            on_fold: true,
            ways: ways(half.clone(), Affine::FLIP_Y),
        };
        return (1..=count).map(of_copy).collect();
    }
    let whole = match piece.on_fold() {
        false => drawn,
        true => {
            let unfolded = piece.unfolded();
            let Some(outer) = unfolded.as_ref().and_then(Piece::outer) else {
                return Vec::new();
            };
            let lines = unfolded.iter();
            let lines = lines.flat_map(|piece| upright_lines(piece, cloth, upright));
            (upright * bez(outer), lines.collect())
        }
    };
    let paired = piece.laid() == Laid::Paired;
    let layers = if way == Way::Folded && paired { 2 } else { 1 };
    let of_copy = |copy: u32| {
        // On an open layer every second one of a pair is turned over.
        let over = way == Way::Open && paired && copy.is_multiple_of(2);
        let one = match over {
            true => moved(&whole, Affine::FLIP_X),
            false => whole.clone(),
        };
        let cut = layers.min(count - (copy - 1) * layers);
        Shapes {
            piece,
            copy,
            layers: cut,
            sides: sides(piece, over, cut),
            on_fold: false,
            ways: ways(one, Affine::FLIP_X * Affine::FLIP_Y),
        }
    };
    (1..=count.div_ceil(layers)).map(of_copy).collect()
}

fn upright_lines(piece: &Piece, cloth: &ClothSpec, upright: Affine) -> Vec<Line> {
    let lines = stripes::lines(piece, cloth);
    lines.iter().map(|line| line.moved(upright)).collect()
}

/// The sides of a pair that are cut at once, the one that is drawn or its twin first.
fn sides(piece: &Piece, over: bool, layers: u32) -> Vec<WearerSide> {
    if piece.left_and_right().is_none() {
        return Vec::new();
    }
    let drawn = piece.shown.half;
    match (layers, over) {
        (2.., _) => WearerSide::BOTH.to_vec(),
        (_, true) => vec![drawn.other()],
        (_, false) => vec![drawn],
    }
}

/// What lays the half of a piece with its fold at the left, where the fold runs along the grain.
fn on_fold(piece: &Piece, place: Affine, drawn: &BezPath) -> Option<Affine> {
    let fold = piece.edges.get(piece.cut.fold_edge?)?;
    let along = fold.path.direction_of_straight()?;
    let along = place * (kurbo::Point::ORIGIN + along) - place * kurbo::Point::ORIGIN;
    if along.x.abs() > ON_GRAIN * along.hypot() {
        return None;
    }
    let at = (place * fold.path.start().ok()?).x;
    let bounds = drawn.bounding_box();
    if (bounds.x0 - at).abs() < 0.01 {
        Some(Affine::IDENTITY)
    } else if (bounds.x1 - at).abs() < 0.01 {
        Some(Affine::FLIP_X)
    } else {
        None
    }
}
