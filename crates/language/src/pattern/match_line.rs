//! Lines that must lie on their like on the next piece: the stripe or the check of the cloth, and the levels by which pieces
//! hang alike. A mark's words say which it is, as they say what is a button.

use super::spec::{MarkSpec, Value};

/// What is matched along a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MatchLine {
    /// The stripes of the cloth.
    Stripe,
    /// The bars that cross them in a plaid.
    Plaid,
    /// The level of a piece beside its neighbours.
    Balance,
}

impl MarkSpec {
    /// What is matched along the line that is marked; none for points, and for lines that are only copied.
    pub fn match_line(&self) -> Option<MatchLine> {
        if !matches!(self.shape, Value::Line(_) | Value::Curve(_)) {
            return None;
        }
        let text = self.text.to_lowercase();
        let mut words = text.split(|c: char| !c.is_alphanumeric());
        words.find_map(|word| match word {
            "stripe" | "stripes" => Some(MatchLine::Stripe),
            "plaid" => Some(MatchLine::Plaid),
            "balance" => Some(MatchLine::Balance),
            _ => None,
        })
    }
}
