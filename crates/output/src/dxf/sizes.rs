//! Several sizes in one file: a block for each piece *and* size, each put in where it lies, so that a cutting room reads a
//! nest. The lines of each size are its own drawing's; nothing is worked out by rules.

use super::groups::Groups;
use super::{OfSize, block, names, whole};
use kurbo::{Affine, Size};
use oaktag_language::pattern::{Pattern, Piece};

/// A piece of one size, and where it lies.
#[derive(Clone, Copy, Debug)]
pub struct Placed<'a> {
    /// What was drawn for the measures of that size.
    pub pattern: &'a Pattern,
    /// One of its pieces.
    pub piece: &'a Piece,
    /// What the size is called.
    pub size: &'a str,
    /// The rigid move from the piece's sheet to the file, millimetres, y up.
    pub place: Affine,
}

/// Writes sizes that have been laid; `sample` is the one that they are held against, with its name, `left_out` says which
/// are not there, and `extent` is the room they take below the origin.
pub fn write_sizes(
    placed: &[Placed<'_>],
    (pattern, sample): (&Pattern, &str),
    left_out: Option<String>,
    extent: Size,
) -> String {
    let closed: Vec<_> = placed
        .iter()
        .filter_map(|one| Some((one, one.piece.outer()?)))
        .collect();
    let names = names(
        closed
            .iter()
            .map(|(one, _)| (one.piece.name.as_str(), one.size)),
    );
    let (mut blocks, mut inserts) = (Groups::default(), Groups::default());
    for ((one, outer), name) in closed.iter().zip(&names) {
        let size = OfSize {
            name: one.size,
            graded: &graded(placed, &one.piece.name),
        };
        block(&mut blocks, (one.pattern, one.piece, outer), name, &size);
        inserts.entity("INSERT", 1);
        inserts.put(2, name);
        inserts.point(10, one.place.translation().to_point());
        let [cos, sin, ..] = one.place.as_coeffs();
        let turn = sin.atan2(cos).to_degrees();
        if turn.abs() > 1e-9 {
            inserts.figure(50, turn.rem_euclid(360.0));
        }
    }
    whole((pattern, left_out), sample, extent, &blocks, &inserts)
}

/// The corners of a piece that every size of it has, by the edge that begins there, numbered from 1.
fn graded(placed: &[Placed<'_>], piece: &str) -> Vec<(String, usize)> {
    let sizes = || placed.iter().filter(|one| one.piece.name == piece);
    let edges = sizes().next().into_iter().flat_map(|one| &one.piece.edges);
    let in_all = |name: &str| sizes().all(|one| one.piece.edge(name).is_some());
    let names = edges
        .map(|edge| edge.name.clone())
        .filter(|name| in_all(name));
    names.zip(1..).collect()
}
