//! The order of making up, for print: each seam by its number, how it is sewn, and the allowance of either side.

use super::{Pattern, Seam, Side, figure};

/// One seam of the order.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// Its place, from 1.
    pub number: usize,
    /// The seam, as one says it.
    pub seam: String,
    /// `felled, 0.6 cm and 1.6 cm`; only the widths where the draft does not say how it is sewn.
    pub how: String,
}

impl Pattern {
    /// The making-up order; empty where the draft states none.
    pub fn making_up(&self) -> Vec<Step> {
        let named = self.order.iter().filter_map(|name| self.seam(name));
        named
            .enumerate()
            .map(|(index, seam)| Step {
                number: index + 1,
                seam: figure::name(&seam.name),
                how: self.how(seam),
            })
            .collect()
    }

    fn how(&self, seam: &Seam) -> String {
        let width = |side: &Side| {
            let line = side.edges.first().map(|edge| edge.line.as_str())?;
            let edges = self.pieces.iter().flat_map(|piece| &piece.edges);
            edges
                .filter(|edge| edge.line == line && !edge.on_fold)
                .find_map(|edge| edge.allowance)
        };
        let widths: Vec<String> = match (width(&seam.first), width(&seam.second)) {
            (Some(a), Some(b)) if (a - b).abs() < 0.01 => vec![figure::spoken(a, self.unit)],
            (a, b) => [a, b]
                .into_iter()
                .flatten()
                .map(|width| figure::spoken(width, self.unit))
                .collect(),
        };
        let kind = seam.sewn.map(|sewn| sewn.kind.said().to_owned());
        let widths = (!widths.is_empty()).then(|| widths.join(" and "));
        kind.into_iter()
            .chain(widths)
            .collect::<Vec<_>>()
            .join(", ")
    }
}
