//! Part of a pattern, for a drawing of some pieces alone, and a pattern without its allowances, for those who add their own
//! or trace the sewing line. Both leave the pattern they are asked of as it is.

use super::{Edge, Pattern, Piece};

impl Pattern {
    /// The pattern with the pieces of those names alone, in the order declared.
    ///
    /// # Errors
    /// The first name that no piece has.
    pub fn only<'a>(&self, names: &'a [String]) -> Result<Pattern, &'a str> {
        let in_part = || self.unfinished.iter().flat_map(|lacks| &lacks.pieces);
        let is_there = |name: &String| {
            self.piece(name).is_some() || in_part().any(|piece| piece.name == *name)
        };
        if let Some(unknown) = names.iter().find(|name| !is_there(name)) {
            return Err(unknown);
        }
        let mut part = self.clone();
        part.pieces.retain(|piece| names.contains(&piece.name));
        if let Some(lacks) = &mut part.unfinished {
            lacks.pieces.retain(|piece| names.contains(&piece.name));
        }
        part.unwalked.retain(|(piece, _)| names.contains(piece));
        Ok(part)
    }

    /// The pattern without allowances: every piece is cut on its sewing line, and notches have nothing to be cut into.
    pub fn net(&self) -> Pattern {
        let mut net = self.clone();
        net.pieces.iter_mut().for_each(without_allowances);
        net
    }
}

fn without_allowances(piece: &mut Piece) {
    if piece.unfinished {
        // It has no line to cut along, whatever stands beyond it.
        return;
    }
    piece.cutting.clone_from(&piece.sewing);
    let edges = piece.edges.iter().map(|edge| edge.path.clone());
    piece.cut_edges = match piece.sewing {
        Some(_) => edges.enumerate().collect(),
        None => Vec::new(),
    };
    piece.cut_holes.clear();
    piece.cut_area = piece.drawn_area;
    piece.net = piece.edges.iter().any(Edge::has_cloth);
    for edge in &mut piece.edges {
        edge.allowance = Some(0.0.into());
    }
    for mark in piece.notches.iter_mut().flat_map(|notch| &mut notch.marks) {
        mark.cut = mark.sewing;
        mark.depth = 0.0;
    }
}
