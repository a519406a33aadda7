//! The order of making up, for print: each seam by its number, how it is sewn, and the allowance of either side.

use super::{Pattern, Seam, SideEdge};
use crate::voice;
use std::collections::BTreeSet;

/// One seam of the order.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// Its place, from 1.
    pub number: usize,
    /// The seam, as one says it.
    pub seam: String,
    /// `felled`, `front 0.6 cm`, `back 1.6 cm`; only the widths where the draft does not say how it is sewn.
    pub how: Vec<String>,
}

impl Step {
    /// How it is sewn, in one row.
    pub fn how(&self) -> String {
        self.how.join(", ")
    }
}

impl Pattern {
    /// The making-up order; empty where the draft states none.
    pub fn making_up(&self) -> Vec<Step> {
        let named = self.order.iter().filter_map(|name| self.seam(name));
        named
            .enumerate()
            .map(|(index, seam)| Step {
                number: index + 1,
                seam: voice::letters(&seam.name),
                how: self.how(seam),
            })
            .collect()
    }

    /// How a seam is sewn, where the draft says so, and the allowance of either side.
    pub fn how(&self, seam: &Seam) -> Vec<String> {
        let kind = seam.sewn.map(|sewn| sewn.kind.said().to_owned());
        kind.into_iter().chain(self.widths(seam)).collect()
    }

    /// `1 cm` where every edge of both sides has that, else each width with what has it: `front 1 cm`, `back 2.5 cm`.
    fn widths(&self, seam: &Seam) -> Vec<String> {
        let sides = [&seam.first, &seam.second];
        let edges = sides.into_iter().flat_map(|side| &side.edges);
        let found: Vec<(&SideEdge, String)> = edges
            .filter_map(|edge| Some((edge, self.width(edge)?)))
            .collect();
        let pieces: BTreeSet<&str> = found.iter().map(|(edge, _)| edge.piece.as_str()).collect();
        let lines: BTreeSet<_> = found
            .iter()
            .map(|(edge, _)| (&edge.piece, &edge.edge))
            .collect();
        let mut widths: Vec<(&str, Vec<String>)> = Vec::new();
        for (edge, width) in &found {
            let name = if pieces.len() == lines.len() {
                voice::letters(&edge.piece)
            } else {
                edge.spoken()
            };
            match widths.iter_mut().find(|(known, _)| known == width) {
                Some((_, names)) if names.contains(&name) => {}
                Some((_, names)) => names.push(name),
                None => widths.push((width, vec![name])),
            }
        }
        if let [(width, _)] = widths.as_slice() {
            return vec![(*width).to_owned()];
        }
        let said = widths.iter();
        said.map(|(width, names)| format!("{} {width}", voice::list(names)))
            .collect()
    }

    fn width(&self, edge: &SideEdge) -> Option<String> {
        let mut edges = self.piece(&edge.piece)?.edges.iter();
        let of_piece = edges.find(|one| one.line == edge.line && one.name == edge.edge)?;
        let allowance = super::seam_kind::width_of(of_piece, edge)?;
        Some(allowance.words(self.unit))
    }
}
