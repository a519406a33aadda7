//! What may be longer: the sentences of ease, gathers and stretches as lengths along a side, and how a place is carried from
//! one side to the other: one to one outside such a part, in proportion within it.

use super::super::spec::{Amount, EaseHow, EaseSpec};
use super::side::{Ground, Meant, meant};
use super::{EQUAL, Ease, SAME_PLACE, Side};

/// The part of a side that some edges of it take up; none where they are not of this side.
pub(super) fn extent(ground: &Ground<'_>, spec: &EaseSpec, side: &Side) -> Option<Vec<(f64, f64)>> {
    let mut found = Vec::new();
    for name in &spec.on {
        let Meant::One(piece, edge) = meant(name, ground.pieces) else {
            return None;
        };
        let before = found.len();
        let of_edge = side.edges.iter().filter(|one| one.at == (piece, edge));
        found.extend(of_edge.map(|one| (one.from, one.from + one.length)));
        if found.len() == before {
            return None;
        }
    }
    Some(merged(found))
}

fn merged(mut spans: Vec<(f64, f64)>) -> Vec<(f64, f64)> {
    spans.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut whole: Vec<(f64, f64)> = Vec::new();
    for span in spans {
        match whole.last_mut() {
            Some(last) if span.0 <= last.1 + SAME_PLACE => last.1 = last.1.max(span.1),
            _ => whole.push(span),
        }
    }
    whole
}

/// What an amount comes to over so much of the edge, in millimetres.
pub(super) fn amount(how: EaseHow, amount: Amount, length: f64) -> f64 {
    match (amount, how) {
        (Amount::Length(mm), _) => mm,
        // The edge is its partner and so much of it.
        (Amount::Share(share), EaseHow::Stretch) => length * share / (1.0 - share),
        (Amount::Share(share), _) => length * share / (1.0 + share),
        (Amount::Ratio(ratio), _) => length * (1.0 - 1.0 / ratio),
    }
}

impl Ease {
    /// Whether any of it lies between two lengths along its side.
    pub(super) fn touches(&self, from: f64, to: f64) -> bool {
        let lies = |(a, b): &(f64, f64)| b.min(to) - a.max(from) > SAME_PLACE;
        self.spans.iter().any(lies)
    }

    /// How much longer it makes the first side, at the least and at the most.
    pub(super) fn signed(&self) -> (f64, f64) {
        if self.lengthens_first() {
            (self.least, self.most)
        } else {
            (-self.most, -self.least)
        }
    }

    /// Whether it makes the first side the longer one.
    pub(super) fn lengthens_first(&self) -> bool {
        (self.how == EaseHow::Stretch) != self.on_first
    }

    /// Exactly so much, as against a range.
    pub(super) fn is_exact(&self) -> bool {
        self.most - self.least <= EQUAL
    }
}

/// A part of a seam between two places, and the spans in which its sides are not as long.
pub(super) struct Carry<'a> {
    pub(super) anchors: &'a [(f64, f64)],
    pub(super) eases: &'a [Ease],
}

impl Carry<'_> {
    /// The place of the other side for a place of the first (or of the second) side.
    pub(super) fn over(&self, at: f64, from_second: bool) -> f64 {
        let read = |(first, second): (f64, f64)| {
            if from_second {
                (second, first)
            } else {
                (first, second)
            }
        };
        let pairs = || self.anchors.iter().map(|a| read(*a));
        let below = pairs()
            .filter(|a| a.0 <= at + SAME_PLACE)
            .max_by(|a, b| a.0.total_cmp(&b.0));
        let above = pairs()
            .filter(|a| a.0 >= at - SAME_PLACE)
            .min_by(|a, b| a.0.total_cmp(&b.0));
        match (below, above) {
            (Some(low), Some(high)) if high.0 - low.0 > SAME_PLACE => {
                self.within(low, high, at, from_second)
            }
            (Some(low), _) => low.1,
            (None, Some(high)) => high.1,
            (None, None) => at,
        }
    }

    fn within(&self, low: (f64, f64), high: (f64, f64), at: f64, from_second: bool) -> f64 {
        let (long, other) = (high.0 - low.0, high.1 - low.1);
        let spans = |of_first: bool, from: f64, to: f64| {
            let these = self
                .eases
                .iter()
                .filter(move |ease| ease.on_first == of_first);
            let inside: Vec<(f64, f64)> = these
                .flat_map(|ease| ease.spans.iter())
                .map(|(a, b)| (a.max(from), b.min(to)))
                .filter(|(a, b)| b - a > SAME_PLACE)
                .collect();
            merged(inside)
        };
        let own = spans(!from_second, low.0, high.0);
        let away = spans(from_second, low.1, high.1);
        let total = |spans: &[(f64, f64)]| spans.iter().map(|(a, b)| b - a).sum::<f64>();
        let plain = || low.1 + (at - low.0) / long * other;
        match (own.is_empty(), away.is_empty()) {
            (false, true) => {
                let rate = 1.0 - (long - other) / total(&own);
                if rate < 0.0 {
                    return plain();
                }
                let inside: f64 = own.iter().map(|(a, b)| (b.min(at) - a).max(0.0)).sum();
                low.1 + (at - low.0 - inside) + inside * rate
            }
            (true, false) => {
                let rate = 1.0 - (other - long) / total(&away);
                if rate <= 0.0 {
                    return plain();
                }
                // Walk the other side until as much of this one is used up.
                let mut left = at - low.0;
                let mut here = low.1;
                for (a, b) in &away {
                    let before = (a - here).max(0.0);
                    if left <= before {
                        return here + left;
                    }
                    left -= before;
                    here = *a;
                    let inside = (b - a) * rate;
                    if left <= inside {
                        return here + left / rate;
                    }
                    left -= inside;
                    here = *b;
                }
                here + left
            }
            _ => plain(),
        }
    }
}
