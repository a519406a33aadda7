//! A size set as DXF for cutting rooms: a block for each piece and size, the sizes of a piece on each other.

use super::Set;
use super::laid::{spread, stacked};
use super::stack::Stack;
use crate::output::dxf;
use kurbo::Affine;

/// The nest as DXF of release 12.
pub fn write(set: &Set, stacks: &[Stack], pieces: &[String]) -> String {
    let stacked = stacked(set, stacks, pieces);
    let (places, extent) = spread(&stacked);
    let placed: Vec<dxf::Placed<'_>> = stacked
        .iter()
        .zip(&places)
        .flat_map(|(one, at)| {
            one.sizes.iter().filter_map(|(number, piece, place)| {
                let size = set.sizes.get(*number)?;
                Some(dxf::Placed {
                    pattern: &size.pattern,
                    piece,
                    size: &size.name,
                    place: Affine::translate(*at) * *place,
                })
            })
        })
        .collect();
    match set.base() {
        Some(base) => dxf::write_sizes(&placed, &base.pattern, &base.name, extent),
        None => String::new(),
    }
}
