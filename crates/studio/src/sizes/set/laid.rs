//! Where the sizes of each piece lie on each other, on the pieces' own sheets: millimetres, y up, the zero point of a piece at
//! the origin and its grain as drawn. Writers of machines' files take it from here; the nested drawing sets the grain upright.

use super::stack::{self, Lie, Stack};
use super::{Set, Size};
use kurbo::{Affine, Rect, Shape as _, Vec2};
use oaktag_language::pattern::Piece;
use oaktag_output::layout;
use oaktag_output::path_data::bez;

/// Room between two pieces, in millimetres.
const GAP: f64 = 40.0;

/// One piece with its sizes.
#[derive(Clone, Debug)]
pub(crate) struct Stacked<'a> {
    /// The piece as the base size has it.
    pub base: &'a Piece,
    /// On what the sizes lie, in words.
    pub on: String,
    /// Each size that has the piece: its index in the set, its piece, and the move that lays it on the others.
    pub sizes: Vec<(usize, &'a Piece, Affine)>,
}

/// Every piece of the base size with what other sizes have of it; a size that is not well lies nowhere. `pieces` names those wanted; none of them stands for all.
pub(super) fn stacked<'a>(set: &'a Set, stacks: &[Stack], pieces: &[String]) -> Vec<Stacked<'a>> {
    let Some(base) = set.base() else {
        return Vec::new();
    };
    let wanted = |piece: &&Piece| pieces.is_empty() || pieces.contains(&piece.name);
    let all = base.pattern.pieces.iter().filter(wanted);
    all.filter_map(|piece| one(set, base, piece, stacks))
        .collect()
}

fn one<'a>(
    set: &'a Set,
    base: &'a Size,
    piece: &'a Piece,
    stacks: &[Stack],
) -> Option<Stacked<'a>> {
    let (base_lie, on) = stack::lie(stacks, &base.pattern, piece)?;
    let well = set.sizes.iter().enumerate();
    let well = well.filter(|(_, size)| size.is_well());
    let sizes = well.filter_map(|(at, size)| {
        let there = size.pattern.piece(&piece.name)?;
        let lie: Lie = stack::lie(stacks, &size.pattern, there)?.0;
        there.outer()?;
        Some((at, there, lie.onto(&base_lie)))
    });
    let sizes: Vec<_> = sizes.collect();
    (!sizes.is_empty()).then_some(Stacked {
        base: piece,
        on,
        sizes,
    })
}

/// The box round pieces that lie on each other.
pub(super) fn bounds<'a>(pieces: impl Iterator<Item = (&'a Piece, Affine)>) -> Rect {
    let boxes =
        pieces.filter_map(|(piece, place)| Some((place * bez(piece.outer()?)).bounding_box()));
    boxes.reduce(|a, b| a.union(b)).unwrap_or(Rect::ZERO)
}

/// Where the zero point of what is in each box stands on one sheet, y up below the origin, and the room that all take.
pub(super) fn spread(bounds: &[Rect]) -> (Vec<Vec2>, kurbo::Size) {
    let sizes: Vec<kurbo::Size> = bounds.iter().map(Rect::size).collect();
    let layout = layout::lay(&sizes, GAP);
    let places = layout.places.iter().zip(bounds);
    // The layout's y runs down from the top left corner.
    let places = places.map(|(at, bounds)| Vec2::new(at.x - bounds.x0, -at.y - bounds.y1));
    (places.collect(), layout.size)
}
