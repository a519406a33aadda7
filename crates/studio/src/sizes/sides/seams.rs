//! Seams of two drawings: one where they are walked alike, one for each side where not, and across the middle, where a piece
//! is sewn to its twin, the left walked along the right.

use super::agree;
use oaktag_language::pattern::shown::{self, Shown};
use oaktag_language::pattern::{Pattern, Piece, Seam, Side, WearerSide};

/// The seams of both drawings, and the names under which each is known.
#[derive(Debug, Default)]
pub(super) struct Joined {
    /// In the order declared.
    pub seams: Vec<Seam>,
    /// Names of the seams that there is one of for each side.
    pub parted: Vec<String>,
    /// Seams across the middle that do not fit: name, left and right length.
    pub across: Vec<(String, f64, f64)>,
}

impl Joined {
    /// The name of a seam on a side.
    pub(super) fn name(&self, seam: &str, side: WearerSide) -> String {
        if self.is_parted(seam) {
            side.of(seam)
        } else {
            seam.to_owned()
        }
    }

    /// Whether there is one for each side.
    pub(crate) fn is_parted(&self, seam: &str) -> bool {
        self.parted.iter().any(|name| name == seam)
    }
}

/// Puts the seams together; `pieces` are the joined ones, whose lines have the names they will keep.
pub(super) fn join(left: &Pattern, right: &Pattern, shown: &[Shown], pieces: &[Piece]) -> Joined {
    let mut joined = Joined::default();
    for (ours, theirs) in right.seams.iter().zip(&left.seams) {
        if agree::seams(ours, theirs) {
            joined.seams.push(of_side(ours, WearerSide::Right, pieces));
        } else if shown::crosses(right, shown, ours) {
            let seam = across(ours, theirs, pieces);
            if !seam.ok {
                joined
                    .across
                    .push((seam.name.clone(), seam.second.length, seam.first.length));
            }
            joined.seams.push(seam);
        } else {
            joined.parted.push(ours.name.clone());
            for (side, seam) in [(WearerSide::Left, theirs), (WearerSide::Right, ours)] {
                let mut seam = of_side(seam, side, pieces);
                seam.name = side.of(&seam.name);
                joined.seams.push(seam);
            }
        }
    }
    joined
}

fn of_side(seam: &Seam, side: WearerSide, pieces: &[Piece]) -> Seam {
    let mut seam = seam.clone();
    name_lines(&mut seam.first, side, pieces);
    name_lines(&mut seam.second, side, pieces);
    seam
}

/// Lines by the names under which the joined pieces have them.
fn name_lines(of: &mut Side, side: WearerSide, pieces: &[Piece]) {
    let has = |line: &str| {
        let mut edges = pieces.iter().flat_map(|piece| &piece.edges);
        edges.any(|edge| edge.line == line)
    };
    for edge in &mut of.edges {
        if !has(&edge.line) {
            edge.line = side.of(&edge.line);
        }
        if pieces.iter().all(|piece| piece.name != edge.piece) {
            edge.piece = side.of(&edge.piece);
        }
        let piece = pieces.iter().find(|piece| piece.name == edge.piece);
        if piece.is_some_and(|piece| piece.edge(&edge.edge).is_none()) {
            edge.edge = side.of(&edge.edge);
        }
    }
}

/// The right half's first side along the left half's second.
fn across(right: &Seam, left: &Seam, pieces: &[Piece]) -> Seam {
    let mut seam = of_side(right, WearerSide::Right, pieces).with_second_of(left);
    name_lines(&mut seam.second, WearerSide::Left, pieces);
    seam
}
