//! What is laid on a cloth: each piece as often as it is put down, on one open layer or on cloth folded along its length, with
//! the grain along the cloth.

use super::Way;
use super::field::Cells;
use crate::drawing::compose::upright;
use crate::path_data::bez;
use kurbo::{Affine, BezPath, Shape as _, Size};
use oaktag_language::pattern::cut_list::Laid;
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
    /// Its outline, the box's corner at the origin.
    pub(super) outline: BezPath,
    /// The same as cells.
    pub(super) cells: Cells,
}

impl Turned {
    fn of(outline: BezPath) -> Self {
        let bounds = outline.bounding_box();
        let outline = Affine::translate(-bounds.origin().to_vec2()) * outline;
        let size = Size::new(bounds.width(), bounds.height());
        let cells = Cells::of(&outline, size);
        Self { outline, cells }
    }
}

/// A fold that leaves the grain by more than this, in radians, is none of the cloth's.
const ON_GRAIN: f64 = 1e-3;

/// Every piece as often as it is put down; one whose outline does not close, or that is not said to be cut, is left out.
pub(super) fn items<'a>(pieces: &[&'a Piece], way: Way, nap: bool) -> Vec<Item<'a>> {
    let mut items = Vec::new();
    for piece in pieces {
        let Some(outline) = piece.outer().filter(|_| piece.sewing.is_some()) else {
            continue;
        };
        let place = Affine::FLIP_Y * piece.grain.as_ref().map_or(Affine::IDENTITY, upright);
        let drawn = place * bez(outline);
        let folded = (way == Way::Folded)
            .then(|| on_fold(piece, place, &drawn))
            .flatten();
        let (whole, half) = match (folded, piece.on_fold()) {
            (Some(half), _) => (None, Some(half)),
            (None, true) => match piece.unfolded() {
                Some(whole) => (whole.outer().map(|path| place * bez(path)), None),
                None => (None, None),
            },
            (None, false) => (Some(drawn), None),
        };
        let count = piece.cut.count;
        if let Some(half) = half {
            for copy in 1..=count {
                let turned = Affine::FLIP_Y * half.clone();
                items.push(item(piece, copy, 2, true, vec![half.clone(), turned], nap));
            }
        } else if let Some(whole) = whole {
            let half_turn = Affine::FLIP_X * Affine::FLIP_Y;
            let paired = piece.laid() == Laid::Paired;
            let layers = if way == Way::Folded && paired { 2 } else { 1 };
            for copy in 1..=count.div_ceil(layers) {
                // On an open layer every second one of a pair is turned over.
                let over = way == Way::Open && paired && copy % 2 == 0;
                let one = if over {
                    Affine::FLIP_X * whole.clone()
                } else {
                    whole.clone()
                };
                let cut = layers.min(count - (copy - 1) * layers);
                let turned = half_turn * one.clone();
                let mut item = item(piece, copy, cut, false, vec![one, turned], nap);
                item.sides = sides(piece, over, cut);
                items.push(item);
            }
        }
    }
    items
}

fn item(
    piece: &Piece,
    copy: u32,
    layers: u32,
    on_fold: bool,
    ways: Vec<BezPath>,
    nap: bool,
) -> Item<'_> {
    let kept = if nap { 1 } else { ways.len() };
    Item {
        piece,
        copy,
        layers,
        sides: Vec::new(),
        on_fold,
        turns: ways.into_iter().take(kept).map(Turned::of).collect(),
    }
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

/// The half of a piece with its fold at the left, where the fold runs along the grain.
fn on_fold(piece: &Piece, place: Affine, drawn: &BezPath) -> Option<BezPath> {
    let fold = piece.edges.get(piece.cut.fold_edge?)?;
    let along = fold.path.direction_of_straight()?;
    let along = place * (kurbo::Point::ORIGIN + along) - place * kurbo::Point::ORIGIN;
    if along.x.abs() > ON_GRAIN * along.hypot() {
        return None;
    }
    let at = (place * fold.path.start().ok()?).x;
    let bounds = drawn.bounding_box();
    if (bounds.x0 - at).abs() < 0.01 {
        Some(drawn.clone())
    } else if (bounds.x1 - at).abs() < 0.01 {
        Some(Affine::FLIP_X * drawn.clone())
    } else {
        None
    }
}
