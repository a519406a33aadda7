//! Faults that are planted, and lawful changes. A fault breaks a rule by 0.6 mm or more beyond what the sentences allow.

use crate::chance::Chance;
use crate::judge;
use crate::plan::{Change, Cut, Ease, From, Item, Plan, Said, Seam};
use crate::table::{Decided, Expected};

const NO_PARTNER: &str = "a corner without a partner";
const TURNED: &str = "wrong side up";

/// So far beyond what is allowed, at least, lies a fault.
pub const ASTRAY: f64 = 0.6;

/// Plants one fault, or one lawful change, in a seam; nothing where the seam has no place for what chance chose.
pub fn plant(
    plan: &Plan,
    expected: &[Expected],
    lawful: bool,
    chance: &mut Chance,
) -> Option<Plan> {
    let seam = chance.below(plan.seams.len());
    let known = &expected[seam];
    if known.decided == Decided::Unsure || known.crossed {
        return None;
    }
    let whole = known.decided == Decided::Whole;
    let mut changed = plan.clone();
    let mut face = None;
    let (what, measured) = if lawful {
        (mild(&mut changed, seam, chance)?, true)
    } else {
        match chance.below(12) {
            0 => structural(&mut changed, seam, chance)?,
            1 if known.decided != Decided::Whole => {
                face = Some(wrong_side(&mut changed, seam, chance)?);
                (TURNED, false)
            }
            2 if !whole => (no_partner(&mut changed, seam)?, false),
            3 | 4 => structural(&mut changed, seam, chance)?,
            5 if chance.once_in(2) => (left_out(&mut changed, seam, chance)?, false),
            _ => (measure(&mut changed, seam, chance)?, true),
        }
    };
    changed.change = Some(Change {
        what,
        lawful,
        measured,
        seam,
        face,
    });
    holds(&changed, known).then_some(changed)
}

/// Whether a change is what it is called, by the plan's own figures.
pub fn holds(plan: &Plan, known: &Expected) -> bool {
    let Some(change) = &plan.change else {
        return false;
    };
    let seam = &plan.seams[change.seam];
    let whole = known.decided == Decided::Whole;
    let worst = judge::excess(seam, seam.from == From::Wrong, whole);
    let there = |item: &Item| match *item {
        Item::Dart { off, .. } => off != 0.0,
        Item::Over { said, .. } => !said,
        Item::LeftOut { .. } => true,
        _ => false,
    };
    match (change.lawful, change.measured) {
        (true, _) => worst < -0.02,
        (false, true) => worst > ASTRAY,
        // A corner without a partner, and a piece turned over, are no items.
        (false, false) => {
            if change.what == TURNED && matches!(known.decided, Decided::Whole | Decided::Unsure) {
                return false;
            }
            let item = !matches!(change.what, NO_PARTNER | TURNED);
            !item || seam.items.iter().any(there)
        }
    }
}

fn spot(plan: &Plan, seam: &Seam, side: usize, chance: &mut Chance) -> Option<f64> {
    let long = seam.length();
    let mut used = [plan.stops(seam, 0), plan.stops(seam, 1), vec![0.0, long]].concat();
    for item in &seam.items {
        match item {
            Item::Pair { at, .. } => used.extend(at),
            Item::Far { at, .. } | Item::One { at, .. } => used.push(*at),
            Item::Ease(ease) => used.extend([ease.part.0, ease.part.1]),
            Item::Open { part, .. } => used.extend([part.0, part.1]),
            _ => {}
        }
    }
    used.extend(plan.corners(seam).iter().map(|(at, _)| *at));
    used.extend(
        [0, 1]
            .iter()
            .flat_map(|side| seam.added(*side))
            .map(|(at, _)| at),
    );
    (0..20)
        .map(|_| chance.within(0.0, long))
        .find(|at| used.iter().all(|one| (one - at).abs() > 4.0) && takes_up(plan, seam, side, *at))
}

fn takes_up(plan: &Plan, seam: &Seam, side: usize, at: f64) -> bool {
    let (leg, (_, s)) = seam.place(side, at, false);
    let found = plan.face_at(&seam.legs_of(side)[leg], side, s);
    found.is_some_and(|(face, span)| {
        crate::build::slack(plan, face).is_some_and(|other| other != span)
    })
}

/// A difference within what is allowed.
fn mild(plan: &mut Plan, seam: usize, chance: &mut Chance) -> Option<&'static str> {
    let room = plan.seams[seam].tolerance();
    let by = room * chance.within(0.3, 0.9);
    if plan.seams[seam].twin.is_some() {
        return None;
    }
    if chance.once_in(2) {
        let side = chance.below(2);
        let at = spot(plan, &plan.seams[seam], side, chance)?;
        plan.seams[seam].items.push(Item::Longer { side, at, by });
        return Some("longer within the tolerance");
    }
    let pairs = pairs(plan, &plan.seams[seam]);
    if pairs.is_empty() {
        return None;
    }
    let one = *chance.one_of(&pairs);
    let side = chance.below(2);
    let by = if chance.once_in(2) { by } else { -by };
    if let Item::Pair { at, .. } = &mut plan.seams[seam].items[one] {
        at[side] += by;
    }
    Some("a notch within the tolerance")
}

/// Pairs that stand at no joint.
fn pairs(plan: &Plan, seam: &Seam) -> Vec<usize> {
    let parts: Vec<f64> = seam
        .items
        .iter()
        .filter_map(|item| match item {
            Item::Ease(ease) => Some([ease.part.0, ease.part.1]),
            _ => None,
        })
        .flatten()
        .collect();
    let corners = plan.corners(seam).iter().map(|(at, _)| *at).collect();
    let stops = [plan.stops(seam, 0), plan.stops(seam, 1), corners, parts].concat();
    let is_free = |item: &Item| matches!(item, Item::Pair { at, .. } if stops.iter().all(|stop| (stop - at[0]).abs() > 1e-6));
    (0..seam.items.len())
        .filter(|n| is_free(&seam.items[*n]))
        .collect()
}

/// Faults of length, which the plan's own figures show.
fn measure(plan: &mut Plan, index: usize, chance: &mut Chance) -> Option<&'static str> {
    let seam = plan.seams[index].clone();
    let long = seam.length();
    let room = seam.tolerance();
    let twin = seam.twin.is_some();
    let eases: Vec<usize> = (0..seam.items.len())
        .filter(|n| matches!(seam.items[*n], Item::Ease(_)))
        .collect();
    let by = room + ASTRAY + chance.within(0.05, 5.0);
    match chance.below(10) {
        0 | 1 if !twin => {
            let side = chance.below(2);
            let at = spot(plan, &seam, side, chance)?;
            plan.seams[index].items.push(Item::Longer { side, at, by });
            Some("a section longer")
        }
        2 | 3 => {
            let pairs = pairs(plan, &seam);
            if pairs.is_empty() {
                return None;
            }
            let one = *chance.one_of(&pairs);
            let Item::Pair { at, .. } = &mut plan.seams[index].items[one] else {
                return None;
            };
            let side = chance.below(2);
            let to = if chance.once_in(3) {
                chance.within(12.0, long - 12.0)
            } else {
                at[side] + if chance.once_in(2) { by } else { -by }
            };
            let stops = [seam.breaks[0].clone(), seam.breaks[1].clone()].concat();
            let added = [0, 1]
                .iter()
                .flat_map(|side| seam.added(*side))
                .map(|(at, _)| at);
            if to < 4.0
                || to > long - 4.0
                || stops
                    .iter()
                    .copied()
                    .chain(added)
                    .any(|one| (one - to).abs() < 2.0)
            {
                return None;
            }
            at[side] = to;
            Some("a notch astray")
        }
        4 if eases.len() == 1 && chance.once_in(2) => {
            let side = chance.below(2);
            let at = spot(plan, &seam, side, chance)?;
            let high = chance.once_in(2);
            let form = "single";
            let far = Item::Far {
                at,
                side,
                high,
                form,
            };
            plan.seams[index].items.push(far);
            (at > 12.0 && at < long - 12.0).then_some("a notch measured over ease")
        }
        4..9 if !eases.is_empty() => {
            let one = *chance.one_of(&eases);
            let Item::Ease(mut ease) = seam.items[one].clone() else {
                return None;
            };
            let what = ease_fault(plan, &seam, &mut ease, by, chance)?;
            plan.seams[index].items[one] = Item::Ease(ease);
            Some(what)
        }
        _ if seam.from == From::Both && !twin => {
            plan.seams[index].from = From::Wrong;
            Some("from at wrong ends")
        }
        _ => {
            let pairs = pairs(plan, &seam);
            if pairs.len() < 2 {
                return None;
            }
            let (one, other) = (pairs[0], pairs[1]);
            let at = |n: usize| match seam.items[n] {
                Item::Pair { at, .. } => at,
                _ => [0.0; 2],
            };
            let (a, b) = (at(one), at(other));
            if let Item::Pair { at, .. } = &mut plan.seams[index].items[one] {
                *at = [a[0], b[1]];
            }
            if let Item::Pair { at, .. } = &mut plan.seams[index].items[other] {
                *at = [b[0], a[1]];
            }
            (seam.from == From::Both).then_some("partners exchanged")
        }
    }
}

/// Ease elsewhere than it is said to be, or of another figure.
fn ease_fault(
    plan: &Plan,
    seam: &Seam,
    ease: &mut Ease,
    by: f64,
    chance: &mut Chance,
) -> Option<&'static str> {
    let cloth = |item: &Item| {
        matches!(
            item,
            Item::Dart { .. } | Item::Over { .. } | Item::Pleat { .. }
        )
    };
    match chance.below(5) {
        0 => {
            let at = spot(plan, seam, ease.longer, chance)?;
            let whole = ease.spots.iter().map(|(_, by)| by).sum();
            ease.spots = vec![(at, whole)];
            Some("ease outside its place")
        }
        1 => {
            let stops = plan.stops(seam, 1 - ease.side);
            let inner = |at: &f64| *at > ease.part.0 + 1e-6 && *at < ease.part.1 - 1e-6;
            if ease.by_length
                || seam.items.iter().any(cloth)
                || ease.between && stops.iter().any(inner)
            {
                return None;
            }
            ease.side = 1 - ease.side;
            Some("ease of the other side")
        }
        2 => {
            let mut all = vec![0.0];
            all.extend(plan.stops(seam, ease.side));
            all.push(seam.length());
            let n = chance.below(all.len() - 1);
            ease.part = (all[n], all[n + 1]);
            ease.between = false;
            ease.by_length = false;
            Some("ease of another edge")
        }
        _ => {
            let partner = ease.part.1 - ease.part.0;
            let ranged = matches!(
                ease.said,
                Said::Lengths(..) | Said::Shares(..) | Said::Ratios(..)
            );
            let by = by + if ranged { 0.05 * partner + 1.8 } else { 0.0 };
            let by = if chance.once_in(2) { by } else { -by };
            let share = by / partner;
            let (said, least) = match ease.said {
                Said::Length(a) => (Said::Length(a + by), a + by),
                Said::Lengths(a, b) => (Said::Lengths(a + by, b + by), a + by),
                Said::Share(a) => (Said::Share(a + share), a + share),
                Said::Shares(a, b) => (Said::Shares(a + share, b + share), a + share),
                Said::Ratio(a) => (Said::Ratio(a + share), a + share - 1.0),
                Said::Ratios(a, b) => (Said::Ratios(a + share, b + share), a + share - 1.0),
            };
            ease.said = said;
            (least > 0.0).then_some("another figure than there is")
        }
    }
}

/// Faults of darts, pleats, ends and what is passed by.
fn structural(plan: &mut Plan, index: usize, chance: &mut Chance) -> Option<(&'static str, bool)> {
    let round = plan.cloth.glued.is_some();
    let seam = &mut plan.seams[index];
    let room = seam.tolerance();
    let by = room + ASTRAY + chance.within(0.1, 5.0);
    let able: Vec<usize> = (0..seam.items.len())
        .filter(|n| {
            matches!(
                seam.items[*n],
                Item::Dart { .. } | Item::Pleat { .. } | Item::Over { .. } | Item::Until { .. }
            )
        })
        .collect();
    if able.is_empty() {
        return None;
    }
    match &mut seam.items[*chance.one_of(&able)] {
        Item::Dart { off, .. } => {
            *off = by;
            Some(("legs of a dart", false))
        }
        Item::Pleat { off, .. } => {
            *off = by;
            Some(("what a pleat takes up", true))
        }
        // Of a ring it may be where it begins.
        Item::Over { .. } if round => None,
        Item::Over { said, .. } => {
            *said = false;
            Some(("an edge passed by in silence", false))
        }
        Item::Until { off, .. } => {
            *off = by;
            Some(("an end astray", true))
        }
        _ => None,
    }
}

/// Leaves one of several edges of a side unsaid.
fn left_out(plan: &mut Plan, index: usize, chance: &mut Chance) -> Option<&'static str> {
    let side = chance.below(2);
    let seam = &plan.seams[index];
    let over = |item: &Item| matches!(item, Item::Over { side: on, .. } if *on == side);
    let mut ends = vec![0.0];
    ends.extend(plan.stops(seam, side));
    ends.push(seam.length());
    let edge = chance.below(ends.len() - 1);
    if ends.len() < 3 || seam.items.iter().any(over) || ends[edge + 1] - ends[edge] < 30.0 {
        return None;
    }
    plan.seams[index].items.push(Item::LeftOut { side, edge });
    Some("an edge left out")
}

/// Leaves a corner between edges without its partner.
fn no_partner(plan: &mut Plan, index: usize) -> Option<&'static str> {
    let seam = &plan.seams[index];
    let corners = plan.corners(seam);
    let at = |item: &Item| match item {
        Item::Pair { at, .. } => corners
            .iter()
            .any(|(corner, turn)| *turn > 38.0 && (corner - at[0]).abs() < 1e-6),
        _ => false,
    };
    let one = seam.items.iter().position(at)?;
    let seam = &mut plan.seams[index];
    seam.items.remove(one);
    seam.items.retain(|item| !matches!(item, Item::Joints));
    let inside = seam.items.iter().any(crate::table::is_inside);
    (seam.from == From::Both || inside).then_some(NO_PARTNER)
}

/// Turns one piece over; the face.
fn wrong_side(plan: &mut Plan, index: usize, chance: &mut Chance) -> Option<usize> {
    if plan.cut == Cut::Pairs {
        return None;
    }
    let seam = &plan.seams[index];
    let side = chance.below(2);
    let (leg, (_, s)) = seam.place(side, seam.length() / 2.0 + 0.37, false);
    let (face, _) = plan.face_at(&seam.legs_of(side)[leg], side, s)?;
    let (leg, (_, s)) = seam.place(1 - side, seam.length() / 2.0 + 0.37, false);
    let (other, _) = plan.face_at(&seam.legs_of(1 - side)[leg], 1 - side, s)?;
    // A piece that is sewn to itself may lie either way.
    if other == face {
        return None;
    }
    let owns = |(n, lay): (usize, &crate::plan::Lay)| n != face && lay.on == face;
    if plan.lays.iter().enumerate().any(owns) {
        return None;
    }
    plan.lays[face].on = face;
    plan.lays[face].mirrored = !plan.lays[face].mirrored;
    Some(face)
}
