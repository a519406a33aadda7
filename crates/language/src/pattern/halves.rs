//! A piece for a body that is not the same left and right: turned over, for the other side of the wearer, or put together
//! of two halves that were drawn apart and meet on the fold.

use super::Piece;
use super::piece::Edge;
use super::spec::{MarkSpec, Value};
use super::unfold::{mirrored_notch, turned_mark, twin};
use kurbo::Affine;
use oaktag_geometry::moves::{lay_at, mirror};
use oaktag_geometry::path::Path;

/// The fold edges of two halves may differ by so much, in millimetres: a hundredth, as finely as anything is drawn.
const MEET: f64 = 0.01;

/// Why two halves are no whole.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Apart {
    /// The fold of this half and that of the other are so long, in millimetres.
    Lengths(f64, f64),
    /// The lines beside the fold do not meet, or there is no straight fold.
    Lines,
}

impl Piece {
    /// The piece turned over: mirrored left for right on the sheet, its edges running anticlockwise again.
    pub fn turned_over(&self) -> Piece {
        let over = Affine::FLIP_X;
        let last = self.edges.len().saturating_sub(1);
        let turned = |index: usize| last.saturating_sub(index);
        let over_path = |path: &Path| path.transformed(over).reversed();
        let mut twin_piece = self.clone();
        twin_piece.edges = self
            .edges
            .iter()
            .rev()
            .map(|edge| twin(edge, over))
            .collect();
        twin_piece.sewing = self.sewing.as_ref().map(over_path);
        twin_piece.cutting = self.cutting.as_ref().map(over_path);
        let parts = self.cut_edges.iter().rev();
        twin_piece.cut_edges = parts
            .map(|(index, path)| (turned(*index), over_path(path)))
            .collect();
        twin_piece.cut_holes = self.cut_holes.iter().map(over_path).collect();
        twin_piece.cut.fold_edge = self.cut.fold_edge.map(turned);
        // Lines that are no edges keep the way they were drawn.
        let laid = |path: &Path| path.transformed(over);
        let named = |(name, path): &(String, Path)| (name.clone(), laid(path));
        twin_piece.grain = self.grain.as_ref().map(laid);
        twin_piece.mirror_line = self.mirror_line.as_ref().map(named);
        twin_piece.fold_lines = self.fold_lines.iter().map(named).collect();
        let corners = self.corners.iter();
        twin_piece.corners = corners
            .map(|(a, b, treatment)| (turned(*a), turned(*b), *treatment))
            .collect();
        let notches = self.notches.iter().map(|notch| {
            let length = self.edges.get(notch.edge).map_or(0.0, |edge| edge.length);
            super::Notch {
                edge: turned(notch.edge),
                ..mirrored_notch(notch, length, over)
            }
        });
        twin_piece.notches = notches.collect();
        let marks = self.marks.iter();
        twin_piece.marks = marks.map(|mark| turned_mark(mark, over)).collect();
        twin_piece
    }

    /// The whole of a piece on the fold whose other half is another drawing. The edges of this half come first, and the line
    /// that was the fold is marked.
    ///
    /// # Errors
    /// Where the halves do not meet on the fold.
    pub fn with_other_half(&self, other: &Piece) -> Result<Piece, Apart> {
        let fold = |piece: &Piece| -> Option<Edge> {
            let edge = piece.edges.get(piece.cut.fold_edge?)?;
            edge.path.is_straight().then(|| edge.clone())
        };
        let (here, there) = fold(self).zip(fold(other)).ok_or(Apart::Lines)?;
        if (here.length - there.length).abs() > MEET {
            return Err(Apart::Lengths(here.length, there.length));
        }
        let laid = onto(&there.path, &here.path).ok_or(Apart::Lines)?;
        let over = mirror(&here.path).map_err(|_| Apart::Lines)? * laid;
        let mut whole = self.whole_with(other, over).ok_or(Apart::Lines)?;
        if whole.cutting.is_none() && self.cutting.is_some() {
            return Err(Apart::Lines);
        }
        whole.marks.push(MarkSpec {
            tag: here.tag,
            name: here.line,
            shape: Value::Line(here.path),
            text: crate::voice::letters(&here.name),
            of_list: false,
            side: None,
            button: None,
        });
        Ok(whole)
    }
}

/// The rigid move that lays a line on another, start on start.
pub fn onto(from: &Path, to: &Path) -> Option<Affine> {
    let (a, b) = (from.start().ok()?, from.end().ok()?);
    let (c, d) = (to.start().ok()?, to.end().ok()?);
    lay_at(a, b - a, c, d - c).ok()
}
