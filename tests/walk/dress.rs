//! What seams made by chance say and hold: breaks, notches, ease, darts and the rest, each where nothing else stands.

use crate::build::slack;
use crate::chance::Chance;
use crate::plan::{Act, Ease, From, How, Item, Plan, Said, Seam};

const FORMS: [&str; 5] = ["single", "double", "tee", "vee", "slit"];
/// So far apart, at least, stand places that are chosen.
const APART: f64 = 9.0;

/// Places of a seam that are taken.
struct Free {
    long: f64,
    used: Vec<f64>,
    /// Stretches that hold one thing and no other.
    held: Vec<(f64, f64)>,
}

impl Free {
    fn ok(&self, at: f64) -> bool {
        at > APART
            && at < self.long - APART
            && self.used.iter().all(|one| (one - at).abs() > APART)
            && self.held.iter().all(|(a, b)| at < a - 2.0 || at > b + 2.0)
    }

    fn place(&mut self, low: f64, high: f64, chance: &mut Chance) -> Option<f64> {
        (0..12)
            .map(|_| chance.within(low, high))
            .find(|at| self.ok(*at))
            .inspect(|at| self.used.push(*at))
    }
}

fn within(stops: &[f64], long: f64) -> Vec<(f64, f64)> {
    let mut all = vec![0.0];
    all.extend(stops);
    all.push(long);
    all.windows(2).map(|two| (two[0], two[1])).collect()
}

/// Gives a seam its notches, its ease, its darts and the rest.
pub fn dress(plan: &mut Plan, index: usize, chance: &mut Chance) {
    let mut seam = plan.seams[index].clone();
    let long = seam.length();
    let twin = seam.twin.is_some();
    let mut free = Free {
        long,
        used: [plan.joints(&seam, 0), plan.joints(&seam, 1)].concat(),
        held: Vec::new(),
    };
    let corners = plan.corners(&seam);
    free.used.extend(corners.iter().map(|(at, _)| *at));
    if !twin {
        for (at, _) in &corners {
            for side in 0..2 {
                let already = plan
                    .joints(&seam, side)
                    .iter()
                    .any(|one| (one - at).abs() < 1e-6);
                if !already && chance.once_in(2) {
                    seam.breaks[side].push(*at);
                }
            }
        }
        for side in 0..2 {
            for _ in 0..2 {
                if chance.once_in(4)
                    && let Some(at) = free.place(0.0, long, chance)
                {
                    seam.breaks[side].push(at);
                }
            }
        }
    }
    if !twin {
        shapes(plan, &mut seam, &mut free, chance);
        eases(plan, &mut seam, &mut free, chance);
        if chance.once_in(7)
            && let Some(part) = stretch(plan, &seam, chance.below(2), &mut free, 35.0, chance)
        {
            seam.items.push(Item::Open {
                side: part.0,
                part: part.1,
            });
        }
    }
    // A corner between edges that touch needs its partner.
    for (at, turn) in &corners {
        let broken = (0..2).any(|side| {
            plan.stops(&seam, side)
                .iter()
                .any(|one| (one - at).abs() < 1e-6)
        });
        let there = seam
            .items
            .iter()
            .any(|item| matches!(item, Item::Pair { at: pair, .. } if (pair[0] - at).abs() < 1e-6));
        if broken && *turn > 25.0 && !there {
            seam.items.push(pair(*at, chance));
        }
    }
    notches(plan, &mut seam, &mut free, chance);
    let until = seam
        .items
        .iter()
        .any(|item| matches!(item, Item::Until { .. }));
    let inside = seam.items.iter().any(crate::table::is_inside);
    // A side that stops within its edge begins at the other end.
    for item in &seam.items {
        if let Item::Until { high, .. } = item {
            seam.high = !high;
        }
    }
    seam.from = match chance.below(20) {
        _ if until || twin && inside => From::Both,
        _ if twin => From::Nothing,
        // Where a ring of several pieces begins is said, and which way it runs.
        _ if is_ring(plan, &seam) => From::Both,
        0..5 => From::Both,
        5 | 6 => From::First,
        7 | 8 => From::Second,
        _ => From::Nothing,
    };
    if chance.once_in(9) {
        seam.items.push(Item::Tolerance(chance.within(0.8, 2.0)));
    }
    plan.seams[index] = seam;
}

/// Whether a seam runs round the tube over several pieces.
fn is_ring(plan: &Plan, seam: &Seam) -> bool {
    let round = |line: usize| plan.cloth.rings().iter().any(|(ring, _)| *ring == line);
    let several = (0..2).any(|side| !plan.joints(seam, side).is_empty());
    several && seam.legs.iter().any(|leg| round(leg.line))
}

fn pair(at: f64, chance: &mut Chance) -> Item {
    let how = if chance.once_in(2) {
        How::Meets
    } else {
        How::Notch(FORMS[chance.below(5)])
    };
    Item::Pair { at: [at; 2], how }
}

/// Whether every face along a stretch of a side can take up a difference, somewhere else than there.
fn takes_up(plan: &Plan, seam: &Seam, side: usize, at: f64) -> bool {
    let (leg, (_, s)) = seam.place(side, at, false);
    let found = plan.face_at(&seam.legs_of(side)[leg], side, s);
    found.is_some_and(|(face, span)| slack(plan, face).is_some_and(|other| other != span))
}

/// Darts, pleats, edges passed by, and an end within an edge.
fn shapes(plan: &Plan, seam: &mut Seam, free: &mut Free, chance: &mut Chance) {
    let long = seam.length();
    for _ in 0..2 {
        if !chance.once_in(4) {
            continue;
        }
        let Some(at) = free.place(20.0, long - 20.0, chance) else {
            continue;
        };
        let side = chance.below(2);
        if !takes_up(plan, seam, side, at) {
            continue;
        }
        free.held.push((at - 12.0, at + 12.0));
        let width = chance.within(8.0, 24.0);
        seam.items.push(match chance.below(4) {
            0 | 1 => Item::Dart {
                side,
                at,
                width,
                depth: width * chance.within(3.0, 4.5),
                off: 0.0,
            },
            2 => Item::Pleat {
                side,
                at,
                width: width + 8.0,
                inside: chance.once_in(2),
                off: 0.0,
            },
            _ => Item::Over {
                side,
                at,
                width: width + 10.0,
                said: true,
            },
        });
    }
    if chance.once_in(9) {
        let (side, high) = (chance.below(2), chance.once_in(2));
        let at = if high { long - 1e-3 } else { 1e-3 };
        let (leg, (_, s)) = seam.place(side, at, false);
        let Some((face, span)) = plan.face_at(&seam.legs_of(side)[leg], side, s) else {
            return;
        };
        let count = plan.cloth.faces[face].len();
        let next = if (side == 0) == high {
            span + 1
        } else {
            span + count - 1
        } % count;
        let end = if high {
            seam.legs_of(side)[seam.legs.len() - 1].to
        } else {
            seam.legs_of(side)[0].from
        };
        let own = plan.cloth.faces[face][span];
        let at_end = [own.from, own.to]
            .iter()
            .any(|one| (one - end).abs() < 1e-6);
        if at_end && slack(plan, face) == Some(next) {
            free.held
                .push(if high { (long - 8.0, long) } else { (0.0, 8.0) });
            seam.items.push(Item::Until {
                side,
                high,
                extra: chance.within(12.0, 35.0),
                off: 0.0,
            });
        }
    }
}

type Part = (usize, (f64, f64));

/// A stretch of one edge of a side, free of all else.
fn stretch(
    plan: &Plan,
    seam: &Seam,
    side: usize,
    free: &mut Free,
    least: f64,
    chance: &mut Chance,
) -> Option<Part> {
    let runs = within(&plan.stops(seam, side), seam.length());
    let run = *chance.one_of(&runs);
    if run.1 - run.0 < least + 4.0 {
        return None;
    }
    for _ in 0..12 {
        let mut low = chance.within(run.0, run.1);
        let mut high = chance.within(run.0, run.1);
        if low > high {
            (low, high) = (high, low);
        }
        // Often a stretch begins or ends with its edge.
        if low - run.0 < 15.0 {
            low = run.0;
        }
        if run.1 - high < 15.0 {
            high = run.1;
        }
        let ends_ok = (low == run.0 || free.ok(low)) && (high == run.1 || free.ok(high));
        let clear = free
            .held
            .iter()
            .all(|(a, b)| *b < low - 2.0 || *a > high + 2.0);
        if high - low >= least && ends_ok && clear {
            free.used.extend([low, high]);
            return Some((side, (low, high)));
        }
    }
    None
}

/// Spots inside a stretch where the other side may be made longer, away from its stops.
fn spots(
    plan: &Plan,
    seam: &Seam,
    side: usize,
    part: (f64, f64),
    free: &Free,
    chance: &mut Chance,
) -> Vec<f64> {
    let stops = [plan.stops(seam, side), free.used.clone()].concat();
    (0..6)
        .map(|_| chance.within(part.0, part.1))
        .filter(|at| at - part.0 > 4.0 && part.1 - at > 4.0)
        .filter(|at| stops.iter().all(|stop| (stop - at).abs() > 4.0))
        .filter(|at| takes_up(plan, seam, side, *at))
        .collect()
}

fn eases(plan: &Plan, seam: &mut Seam, free: &mut Free, chance: &mut Chance) {
    let wanted = match chance.below(10) {
        0..5 => 0,
        5..9 => 1,
        _ => 2,
    };
    for _ in 0..wanted {
        ease(plan, seam, free, wanted > 1, chance);
    }
}

fn ease(plan: &Plan, seam: &mut Seam, free: &mut Free, pinned: bool, chance: &mut Chance) {
    let long = seam.length();
    let act = match chance.below(10) {
        0..6 => Act::Ease,
        6 | 7 => Act::Gather,
        _ => Act::Stretch,
    };
    let side = chance.below(2);
    let whole = !pinned && chance.once_in(4);
    let part = if whole && free.held.is_empty() {
        (0.0, long)
    } else if let Some((_, part)) = stretch(plan, seam, side, free, 45.0, chance) {
        part
    } else {
        return;
    };
    let pinned = pinned || act == Act::Gather || chance.once_in(2);
    let longer = if act == Act::Stretch { 1 - side } else { side };
    let mut at = spots(plan, seam, longer, part, free, chance);
    at.sort_by(f64::total_cmp);
    at.dedup_by(|a, b| (*a - *b).abs() < 4.0);
    at.truncate(1 + chance.below(3));
    if at.is_empty() {
        return;
    }
    let partner = part.1 - part.0;
    let rounded = |value: f64, step: f64| (value / step).round() * step;
    let (said, amount) = match act {
        Act::Gather if !chance.once_in(3) => {
            let ratio = rounded(chance.within(1.15, 1.6), 0.01);
            let amount = (ratio - 1.0) * partner;
            if chance.once_in(2) {
                (Said::Ratio(ratio), amount)
            } else {
                (Said::Ratios(ratio - 0.05, ratio + 0.05), amount)
            }
        }
        _ => {
            let most = if act == Act::Gather { 45.0 } else { 12.0 };
            let amount = rounded(chance.within(most / 4.0, most), 0.1);
            let whole_part = whole || pinned;
            let said = match chance.below(4) {
                0 if act == Act::Ease => Said::Lengths(amount - 1.8, amount + 1.8),
                1 if act == Act::Ease && whole_part => Said::Share(amount / partner),
                2 if act == Act::Ease && whole_part => {
                    Said::Shares((amount - 1.8) / partner, (amount + 1.8) / partner)
                }
                _ => Said::Length(amount),
            };
            (said, amount)
        }
    };
    #[allow(clippy::cast_precision_loss, reason = "small counts")]
    let each = amount / at.len() as f64;
    let edges = within(&plan.stops(seam, side), long);
    let is_edge = edges
        .iter()
        .any(|one| (one.0 - part.0).abs() < 1e-6 && (one.1 - part.1).abs() < 1e-6);
    let between = !(whole && free.held.is_empty() || is_edge && chance.once_in(2));
    if pinned && !whole {
        for at in [part.0, part.1] {
            let end = at < 1e-6 || at > long - 1e-6;
            let there = seam.items.iter().any(
                |item| matches!(item, Item::Pair { at: pair, .. } if (pair[0] - at).abs() < 1e-6),
            );
            if !end && !there {
                seam.items.push(pair(at, chance));
            }
        }
    }
    let inside_pleat = seam
        .items
        .iter()
        .any(|item| matches!(item, Item::Pleat { inside: true, side: on, .. } if *on == side));
    free.held.push(part);
    seam.items.push(Item::Ease(Ease {
        act,
        side,
        part,
        said,
        between,
        by_length: between && !inside_pleat && chance.once_in(3),
        longer,
        spots: at.into_iter().map(|at| (at, each)).collect(),
    }));
}

fn notches(plan: &Plan, seam: &mut Seam, free: &mut Free, chance: &mut Chance) {
    let long = seam.length();
    let eased = seam.items.iter().any(|item| matches!(item, Item::Ease(_)));
    let twin = seam.twin.is_some();
    let count = match chance.below(6) {
        0 | 1 => 0,
        2 | 3 => 1,
        4 => 2,
        _ => 3,
    };
    for _ in 0..count {
        let Some(at) = free.place(0.0, long, chance) else {
            continue;
        };
        // A double's second mark stands 10 mm farther on.
        let near = at < 20.0 || at > long - 20.0;
        let form = FORMS[chance.below(5)];
        let form = if near { "single" } else { form };
        match chance.below(6) {
            3 => {
                let high = chance.once_in(2);
                let none = |side: usize| {
                    seam.added(side)
                        .iter()
                        .all(|(spot, _)| (*spot < at) == high)
                };
                if none(0) && none(1) {
                    let side = chance.below(2);
                    seam.items.push(Item::Far {
                        at,
                        side,
                        high,
                        form,
                    });
                }
            }
            4 if !eased && !twin => {
                seam.items.push(Item::One {
                    at,
                    side: chance.below(2),
                    form,
                });
            }
            5 if !eased && !twin => {
                let jointed = [0, 1]
                    .iter()
                    .any(|side| !plan.stops(seam, *side).is_empty());
                let there = seam.items.iter().any(|item| matches!(item, Item::Joints));
                if jointed && !there {
                    seam.items.push(Item::Joints);
                }
            }
            _ => seam.items.push(pair(at, chance)),
        }
    }
}
