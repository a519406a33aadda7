//! What rule 3 of the walk makes of a plan's own lengths: by how much a seam lies outside what its sentences allow.

use crate::plan::{Act, Ease, Item, Said, Seam};

/// A sentence as bounds on how much longer one side is.
struct Bound {
    side: usize,
    least: f64,
    most: f64,
    exact: bool,
    /// The side of which it is said, and the part of that side, in its own lengths.
    on: usize,
    part: (f64, f64),
}

/// By how much the worst of its sections, sentences and its whole lies outside, in millimetres; nothing or less where all
/// fits. `crossed` is the other reading, `whole` looks at totals alone.
pub fn excess(seam: &Seam, crossed: bool, whole: bool) -> f64 {
    let long = [0, 1].map(|side| seam.position(side, seam.length() + 1.0) - 1.0);
    let mut pairs: Vec<[f64; 2]> = vec![[0.0, 0.0], long];
    for item in &seam.items {
        match *item {
            Item::Pair { at, .. } => {
                let other = seam.position(1, at[1]);
                let other = if crossed { long[1] - other } else { other };
                pairs.push([seam.position(0, at[0]), other]);
            }
            Item::Far { at, side, high, .. } => {
                let end = if high { long[side] } else { 0.0 };
                let far = (seam.position(side, at) - end).abs();
                pairs.push([0, 1].map(|k| if high { long[k] - far } else { far }));
            }
            _ => {}
        }
    }
    if whole {
        pairs.truncate(2);
    }
    pairs.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let tolerance = seam.tolerance();
    let bounds: Vec<Bound> = seam
        .items
        .iter()
        .filter_map(|item| match item {
            Item::Ease(ease) if !whole => Some(bound(seam, ease, &long, crossed)),
            _ => None,
        })
        .collect();
    let mut worst = f64::MIN;
    let mut totals = vec![(0.0, 0.0, true); bounds.len()];
    for two in pairs.windows(2) {
        let lengths = [0, 1].map(|side| two[1][side] - two[0][side]);
        if lengths[1] < 0.0 {
            // Two places have changed order: nothing can be sewn so.
            return f64::MAX;
        }
        let differs = lengths[0] - lengths[1];
        let (mut least, mut most) = (0.0, 0.0);
        let holds = |bound: &Bound| {
            let (low, high) = (two[0][bound.on], two[1][bound.on]);
            bound.part.0 < high - 1e-6 && bound.part.1 > low + 1e-6
        };
        let alone = bounds.iter().filter(|bound| holds(bound)).count() < 2;
        for (n, bound) in bounds.iter().enumerate() {
            if holds(bound) {
                totals[n].2 &= alone;
                let more = if bound.side == 0 { differs } else { -differs };
                totals[n].0 += more;
                totals[n].1 += tolerance;
                if bound.side == 0 {
                    most += bound.most;
                } else {
                    least -= bound.most;
                }
            }
        }
        worst = worst
            .max(differs - most - tolerance)
            .max(least - differs - tolerance);
    }
    // A sentence that has its sections to itself is kept in them.
    let alone = bounds.iter().zip(totals).filter(|(_, total)| total.2);
    for (bound, (total, room, _)) in alone {
        worst = worst
            .max(total - bound.most - room)
            .max(bound.least - total - room);
    }
    // A range is kept exactly, unless the seam says what may pass.
    let said = seam
        .items
        .iter()
        .any(|item| matches!(item, Item::Tolerance(_)));
    let exact = said || bounds.iter().all(|bound| bound.exact);
    let sum = |of: fn(&Bound) -> (f64, f64)| {
        bounds
            .iter()
            .map(|bound| {
                let (least, most) = of(bound);
                if bound.side == 0 {
                    (least, most)
                } else {
                    (-most, -least)
                }
            })
            .fold((0.0, 0.0), |sum, one| (sum.0 + one.0, sum.1 + one.1))
    };
    let (least, most) = sum(|bound| (bound.least, bound.most));
    let room = if exact { tolerance } else { 0.001 };
    let differs = long[0] - long[1];
    worst.max(differs - most - room).max(least - differs - room)
}

fn bound(seam: &Seam, ease: &Ease, long: &[f64; 2], crossed: bool) -> Bound {
    let ends = |side: usize| [ease.part.0, ease.part.1].map(|at| seam.position(side, at));
    let own = ends(ease.side);
    let partner = ends(1 - ease.side);
    let partner = partner[1] - partner[0];
    let (low, high) = match ease.said {
        Said::Length(a) => (a, a),
        Said::Lengths(a, b) => (a, b),
        Said::Share(a) => (a * partner, a * partner),
        Said::Shares(a, b) => (a * partner, b * partner),
        Said::Ratio(a) => ((a - 1.0) * partner, (a - 1.0) * partner),
        Said::Ratios(a, b) => ((a - 1.0) * partner, (b - 1.0) * partner),
    };
    let exact = matches!(ease.said, Said::Length(_) | Said::Share(_) | Said::Ratio(_));
    let side = if ease.act == Act::Stretch {
        1 - ease.side
    } else {
        ease.side
    };
    let part = if crossed && ease.side == 1 {
        (long[1] - own[1], long[1] - own[0])
    } else {
        (own[0], own[1])
    };
    Bound {
        side,
        least: low,
        most: high,
        exact,
        on: ease.side,
        part,
    }
}
