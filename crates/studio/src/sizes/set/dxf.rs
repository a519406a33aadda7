//! A size set as DXF for cutting rooms: a block for each piece and size, the sizes of a piece on each other. Where the two of
//! a pair differ, each side's sizes lie by themselves.

use super::Set;
use super::key::left_out_words;
use super::laid::{Stacked, bounds, spread, stacked};
use super::stack::Stack;
use kurbo::{Affine, Rect};
use oaktag_language::pattern::{Piece, WearerSide};
use oaktag_output::dxf;
use std::borrow::Cow;

/// A piece of one size as it is cut: the size's index, and where it lies on its fellows.
struct Cut<'a> {
    size: usize,
    piece: Cow<'a, Piece>,
    place: Affine,
}

/// The nest as DXF of release 12.
pub fn write(set: &Set, stacks: &[Stack], pieces: &[String]) -> String {
    let rows: Vec<Vec<Cut<'_>>> = stacked(set, stacks, pieces)
        .into_iter()
        .flat_map(as_cut)
        .collect();
    let boxes: Vec<Rect> = rows
        .iter()
        .map(|row| bounds(row.iter().map(|cut| (cut.piece.as_ref(), cut.place))))
        .collect();
    let (places, extent) = spread(&boxes);
    let placed: Vec<dxf::Placed<'_>> = rows
        .iter()
        .zip(&places)
        .flat_map(|(row, at)| {
            row.iter().filter_map(|cut| {
                let size = set.sizes.get(cut.size)?;
                Some(dxf::Placed {
                    pattern: &size.pattern,
                    piece: &cut.piece,
                    size: &size.name,
                    place: Affine::translate(*at) * cut.place,
                })
            })
        })
        .collect();
    match set.base() {
        Some(base) => {
            let left_out = left_out_words(set);
            dxf::write_sizes(&placed, (&base.pattern, &base.name), left_out, extent)
        }
        None => String::new(),
    }
}

/// The sizes of a piece, and of either side of a pair by itself.
fn as_cut(stacked: Stacked<'_>) -> Vec<Vec<Cut<'_>>> {
    let mut rows: Vec<Vec<Cut<'_>>> = Vec::new();
    for (size, drawn, place) in stacked.sizes {
        for piece in drawn.as_cut() {
            let side = WearerSide::split(&piece.name).filter(|_| piece.name != drawn.name);
            let is_turned = side.is_some_and(|(_, side)| side != drawn.shown.half);
            let place = if is_turned {
                Affine::FLIP_X * place * Affine::FLIP_X
            } else {
                place
            };
            let name = piece.name.clone();
            let cut = Cut { size, piece, place };
            let row = rows
                .iter_mut()
                .find(|row| row.iter().any(|other| other.piece.name == name));
            match row {
                Some(row) => row.push(cut),
                None => rows.push(vec![cut]),
            }
        }
    }
    rows
}
