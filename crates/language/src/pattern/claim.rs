//! What seams claim of the pieces' edges: an edge, or the part of it that the seam takes, for one of its sides.

use super::piece::Piece;
use super::seam::{Meant, SAME_PLACE, Seam, meant};
use super::spec::{Drawn, SeamSpec, SideSpec};

/// A seam's claim on an edge.
pub(crate) struct Claim {
    pub(crate) piece: usize,
    pub(crate) edge: usize,
    /// The seam, by its place among the draft's.
    pub(crate) seam: usize,
    pub(crate) of_first: bool,
    /// The part of the edge, as lengths along it; none where the seam takes it whole.
    pub(crate) part: Option<(f64, f64)>,
    /// What the opening is for in which it lies: walked, and not sewn.
    pub(crate) open: Option<String>,
}

/// All claims, and widths that seams give to single edges.
pub(crate) struct Claims<'a> {
    claims: Vec<Claim>,
    /// Edges that it names: the piece's index, the edge's, and the width in millimetres.
    named: Vec<(usize, usize, f64)>,
    /// Edges that a seam may mean which is told of them: piece, edge, seam.
    meant: Vec<(usize, usize, usize)>,
    seams: Vec<&'a SeamSpec>,
}

impl<'a> Claims<'a> {
    pub(crate) fn of(drawn: &'a Drawn, walked: &[Seam], pieces: &[Piece]) -> Self {
        let mut claims = Vec::new();
        let mut named = Vec::new();
        let mut several = Vec::new();
        let lost = drawn.lost.seams.iter().map(|seam| &seam.spec);
        let seams: Vec<&SeamSpec> = drawn.seams.iter().chain(lost).collect();
        for (index, spec) in seams.iter().enumerate() {
            let seam = walked.iter().find(|seam| seam.name == spec.name);
            for of_first in [true, false] {
                let side = if of_first { &spec.first } else { &spec.second };
                claims.extend(of_side(side, seam, index, of_first, pieces));
                for edge in &side.edges {
                    if let Meant::Several(all) = meant(&edge.name, pieces) {
                        several.extend(all.iter().map(|(piece, edge)| (*piece, *edge, index)));
                    }
                }
            }
            named.extend(spec.allowance_on.iter().filter_map(|(name, width)| {
                match meant(name, pieces) {
                    Meant::One(piece, edge) => Some((piece, edge, *width)),
                    _ => None,
                }
            }));
        }
        Self {
            claims,
            named,
            meant: several,
            seams,
        }
    }

    /// Tells the edges which seams take them.
    pub(crate) fn take(&self, pieces: &mut [Piece]) {
        for claim in &self.claims {
            if let Some(seam) = self.seams.get(claim.seam) {
                claim.take(pieces, &seam.name);
            }
        }
        for (piece, edge, seam) in &self.meant {
            let of_piece = pieces.get_mut(*piece);
            let edge = of_piece.and_then(|piece| piece.edges.get_mut(*edge));
            if let (Some(edge), Some(seam)) = (edge, self.seams.get(*seam)) {
                edge.seams.push(seam.name.clone());
            }
        }
    }

    /// The width that the seams give an edge, and for which part of it: one for the edge itself before one for the whole
    /// seam, the first declared first.
    pub(crate) fn widths(&self, piece: usize, edge: usize) -> Vec<(Option<(f64, f64)>, f64)> {
        let named = self
            .named
            .iter()
            .find(|one| (one.0, one.1) == (piece, edge));
        let claims = self.claims.iter();
        let claims = claims
            .filter(|claim| (claim.piece, claim.edge) == (piece, edge) && claim.open.is_none());
        claims
            .filter_map(|claim| {
                let seam = self.seams.get(claim.seam)?;
                let of_kind = || {
                    let (first, second) = seam.sewn?.widths;
                    Some(if claim.of_first { first } else { second })
                };
                let own = named.map(|one| one.2);
                let width = own.or(seam.allowance).or_else(of_kind)?;
                Some((claim.part, width))
            })
            .collect()
    }
}

fn of_side(
    side: &SideSpec,
    walked: Option<&Seam>,
    index: usize,
    of_first: bool,
    pieces: &[Piece],
) -> Vec<Claim> {
    let mut claims = Vec::new();
    for edge in side.edges.iter().filter(|edge| !edge.over) {
        let Meant::One(piece, at) = meant(&edge.name, pieces) else {
            continue;
        };
        let Some(whole) = pieces.get(piece).and_then(|piece| piece.edges.get(at)) else {
            continue;
        };
        let mut claim = Claim {
            piece,
            edge: at,
            seam: index,
            of_first,
            part: None,
            open: None,
        };
        if let Some(seam) = walked {
            let walked = if of_first { &seam.first } else { &seam.second };
            let parts = walked.edges.iter().filter(|one| one.at == (piece, at));
            let parts: Vec<_> = parts.collect();
            claim.open = seam.openings.iter().find_map(|opening| {
                let mut parts = parts.iter();
                let whole = parts.len() > 0 && parts.all(|part| opening.holds_edge(part, of_first));
                whole.then(|| opening.words.clone())
            });
            // Only where a side stops within the edge is a part of it left to others: a pleat takes its own.
            if side.until.is_some() {
                let ends = parts.iter().map(|part| part.along);
                let ends = ends.map(|(a, b)| (a.min(b), a.max(b)));
                let reach = ends.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)));
                claim.part = reach
                    .filter(|(from, to)| *from > SAME_PLACE || *to < whole.length - SAME_PLACE);
                if parts.is_empty() {
                    continue;
                }
            }
        }
        claims.push(claim);
    }
    claims
}

impl Claim {
    /// Tells the edge which seam takes it.
    fn take(&self, pieces: &mut [Piece], seam: &str) {
        let of_piece = pieces.get_mut(self.piece);
        let Some(edge) = of_piece.and_then(|piece| piece.edges.get_mut(self.edge)) else {
            return;
        };
        if !edge.seams.iter().any(|name| name == seam) {
            edge.seams.push(seam.to_owned());
        }
        match self.part {
            Some(part) => edge.taken.push(part),
            None => edge.taken.push((0.0, edge.length)),
        }
        if let Some(words) = &self.open
            && edge.finish.is_none()
        {
            edge.finish = Some(words.clone());
        }
    }
}
