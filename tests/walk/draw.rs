//! Plans made by chance, all true: what is said of a seam is what is there.

use crate::build::is_changed;
use crate::chance::Chance;
use crate::cloth::{Cloth, Span};
use crate::dress::dress;
use crate::plan::{Centre, Cut, From, Lay, Plan, Seam, Words};

const WORDS: [&str; 5] = [
    "turned twice",
    "bound",
    "faced",
    "overlocked",
    "hemmed by hand",
];

/// A garment, where chance gives one.
pub fn plan(chance: &mut Chance) -> Option<Plan> {
    let cut = match chance.below(10) {
        0..4 => Cut::Once,
        4 => Cut::Alike,
        _ => Cut::Pairs,
    };
    let halves = cut == Cut::Pairs && chance.once_in(2);
    let tube = !halves && chance.once_in(5);
    let mut cloth = if tube {
        Cloth::tube(chance)
    } else {
        Cloth::drawn(chance, halves)
    };
    let cuts = 1 + chance.below(4);
    for _ in 0..cuts {
        if !cloth.cut(chance) {
            break;
        }
    }
    if cloth.faces.len() < 2 {
        return None;
    }
    let turned_over = chance.once_in(2);
    let lays: Vec<Lay> = (0..cloth.faces.len())
        .map(|face| {
            let centre = cloth.faces[face].iter().any(|span| span.line == 0);
            Lay {
                on: face,
                turn: chance.within(0.0, std::f64::consts::TAU),
                at: (chance.within(-900.0, 900.0), chance.within(-900.0, 900.0)),
                mirrored: if cut == Cut::Pairs {
                    chance.once_in(2)
                } else {
                    turned_over
                },
                centre: match chance.below(5) {
                    _ if !centre || !halves => Centre::Finished,
                    0 | 1 => Centre::Fold,
                    2 | 3 => Centre::Twin,
                    _ => Centre::Finished,
                },
                pleat: chance.once_in(3).then(|| chance.within(15.0, 40.0)),
                begin: chance.below(7),
                backward: chance.once_in(2),
                drawn: chance.next(),
            }
        })
        .collect();
    let mut plan = Plan {
        words: vec![vec![Words::Bare; cloth.lines.len()]; cloth.faces.len()],
        cloth,
        cut,
        seams: Vec::new(),
        lays,
        scale: 1.0,
        change: None,
    };
    seams(&mut plan, chance);
    for seam in 0..plan.seams.len() {
        dress(&mut plan, seam, chance);
    }
    plan.words = words(&plan, chance);
    share(&mut plan, chance);
    Some(plan)
}

/// Draws some pieces where they lie, together on one panel.
fn share(plan: &mut Plan, chance: &mut Chance) {
    let owner = chance.below(plan.lays.len());
    if !chance.once_in(4) || is_changed(plan, owner) {
        return;
    }
    let own = plan.lays[owner].clone();
    for face in 0..plan.lays.len() {
        if chance.once_in(2) && !is_changed(plan, face) {
            let lay = &mut plan.lays[face];
            lay.on = owner;
            (lay.turn, lay.at, lay.mirrored) = (own.turn, own.at, own.mirrored);
        }
    }
}

fn plain_seam(legs: Vec<Span>, chance: &mut Chance) -> Seam {
    Seam {
        legs,
        other: None,
        twin: None,
        turned: chance.once_in(2),
        high: chance.once_in(2),
        from: From::Nothing,
        order: chance.next(),
        breaks: [Vec::new(), Vec::new()],
        items: Vec::new(),
    }
}

fn turned(span: Span) -> Span {
    Span {
        from: span.to,
        to: span.from,
        ..span
    }
}

/// How each cut is sewn: whole, in two, in part, or round a corner with a part of another.
fn seams(plan: &mut Plan, chance: &mut Chance) {
    let mut open: Vec<usize> = (plan.cloth.edges..plan.cloth.lines.len()).collect();
    while let Some(line) = open.pop() {
        let long = plan.cloth.lines[line].length();
        let whole = Span {
            line,
            from: 0.0,
            to: long,
        };
        let room = 4usize.saturating_sub(plan.seams.len() + open.len() + 1);
        let way = chance.below(10);
        // Round a corner: along this cut to where it meets another, and on along that.
        if way >= 8 {
            let (a, b) = plan.cloth.stops[line - plan.cloth.edges];
            let at_end = chance.once_in(2);
            let (other, s) = if at_end { b } else { a };
            if let Some(at) = open.iter().position(|one| *one == other) {
                let run = if at_end { whole } else { turned(whole) };
                let far = plan.cloth.lines[other].length();
                let crossing = crossing(plan, line, other, s);
                if let Some((next, run_on)) = crossing {
                    // Two cuts that meet one another across a third are one seam.
                    if let Some(at) = open.iter().position(|one| *one == next) {
                        let turn = turn(plan, &run, &run_on);
                        if !(18.0..42.0).contains(&turn) {
                            open.remove(at);
                            plan.seams.push(plain_seam(vec![run, run_on], chance));
                            continue;
                        }
                    }
                } else if room > 0 && s > 60.0 && far - s > 60.0 {
                    open.remove(at);
                    let up = chance.once_in(2);
                    let (on, rest) = (
                        Span {
                            line: other,
                            from: s,
                            to: if up { far } else { 0.0 },
                        },
                        Span {
                            line: other,
                            from: s,
                            to: if up { 0.0 } else { far },
                        },
                    );
                    plan.seams.push(plain_seam(vec![run, on], chance));
                    plan.seams.push(plain_seam(vec![rest], chance));
                    continue;
                }
            }
        }
        let middle = free_middle(plan, &whole, chance);
        match (way, middle) {
            (5, Some(middle)) if room > 0 => {
                for (from, to) in [(0.0, middle), (middle, long)] {
                    plan.seams
                        .push(plain_seam(vec![Span { line, from, to }], chance));
                }
            }
            (6, Some(middle)) => {
                // What stays open ends at the cloth's edge: elsewhere it would part a side that runs over it.
                let (a, b) = plan.cloth.stops[line - plan.cloth.edges];
                let (from, to) = match (plan.cloth.is_cut(a.0), plan.cloth.is_cut(b.0)) {
                    (true, true) => (0.0, long),
                    (true, false) => (0.0, middle),
                    _ => (middle, long),
                };
                let leg = Span { line, from, to };
                plan.seams.push(plain_seam(vec![leg], chance));
            }
            _ => plan.seams.push(plain_seam(vec![whole], chance)),
        }
    }
    if let Some(glued) = plan.cloth.glued {
        tube(plan, glued, chance);
    }
    for face in 0..plan.lays.len() {
        if plan.lays[face].centre != Centre::Twin {
            continue;
        }
        let span = plan.cloth.faces[face].iter().find(|span| span.line == 0);
        if let (Some(span), true) = (span.copied(), plan.seams.len() < 5) {
            let mut seam = plain_seam(vec![span], chance);
            seam.twin = Some(face);
            seam.turned = false;
            plan.seams.push(seam);
        } else {
            plan.lays[face].centre = Centre::Finished;
        }
    }
}

/// Sews the edges of a tube together: in one, or between the rings cut round it, each part for itself.
fn tube(plan: &mut Plan, (one, other): (usize, usize), chance: &mut Chance) {
    let long = plan.cloth.lines[one].length();
    let mut ends = vec![0.0, long];
    if chance.once_in(2) {
        ends.extend(plan.cloth.rings().into_iter().map(|(_, s)| s));
        ends.sort_by(f64::total_cmp);
        ends.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
    }
    for two in ends.windows(2) {
        let leg = |line, from, to| Span { line, from, to };
        let mut seam = plain_seam(vec![leg(one, two[0], two[1])], chance);
        seam.other = Some(vec![leg(other, long - two[0], long - two[1])]);
        plan.seams.push(seam);
    }
}

/// The cut that goes on from where another ends, on the far side of a third; running away from there.
fn crossing(plan: &Plan, line: usize, over: usize, s: f64) -> Option<(usize, Span)> {
    plan.cloth.stops.iter().enumerate().find_map(|(n, (a, b))| {
        let next = n + plan.cloth.edges;
        let long = plan.cloth.lines[next].length();
        let meets = |stop: &(usize, f64)| stop.0 == over && (stop.1 - s).abs() < 1e-6;
        if next == line {
            None
        } else if meets(a) {
            Some((
                next,
                Span {
                    line: next,
                    from: 0.0,
                    to: long,
                },
            ))
        } else if meets(b) {
            Some((
                next,
                Span {
                    line: next,
                    from: long,
                    to: 0.0,
                },
            ))
        } else {
            None
        }
    })
}

fn turn(plan: &Plan, before: &Span, after: &Span) -> f64 {
    let way =
        |span: &Span, s: f64| plan.cloth.lines[span.line].way(s) * (span.to - span.from).signum();
    crate::line::angle(way(before, before.to), way(after, after.from))
}

/// A place in the middle of a cut, away from where others meet it and from its corners.
fn free_middle(plan: &Plan, whole: &Span, chance: &mut Chance) -> Option<f64> {
    let s = whole.to * chance.within(0.35, 0.65);
    let met = plan.cloth.stops.iter().flat_map(|(a, b)| [*a, *b]);
    let near = met.filter(|(line, _)| *line == whole.line).map(|(_, t)| t);
    let corners = plan.cloth.lines[whole.line].corners();
    let mut all = near.chain(corners.iter().map(|(t, _)| *t));
    (whole.to > 120.0 && all.all(|t| (t - s).abs() > 25.0)).then_some(s)
}

/// Finishes by face and line: each line its own, shared ones, none, or all alike; and some that mislead.
pub fn words(plan: &Plan, chance: &mut Chance) -> Vec<Vec<Words>> {
    let lines = plan.cloth.lines.len();
    let mode = chance.below(20);
    let own: Vec<Words> = (0..lines)
        .map(|line| match mode {
            0..9 => Words::Said(WORDS[line % 5]),
            9..11 => Words::Said(WORDS[0]),
            11 => Words::Missing,
            _ => Words::Said(WORDS[chance.below(3)]),
        })
        .collect();
    let stray = |chance: &mut Chance| match chance.below(4) {
        0 => Words::Bare,
        1 => Words::Missing,
        _ => Words::Said(WORDS[chance.below(4)]),
    };
    (0..plan.cloth.faces.len())
        .map(|_| {
            own.iter()
                .map(|words| {
                    let strays = if mode >= 15 { 2 } else { 8 };
                    if chance.once_in(strays) {
                        stray(chance)
                    } else {
                        *words
                    }
                })
                .collect()
        })
        .collect()
}
