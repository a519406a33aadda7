//! The four figures: what the program told of garments whose truth is known, each kind of seam apart.

use crate::change;
use crate::plan::{From, Item, Plan, Words};
use crate::run::{self, Garment, Told};
use crate::table::Decided;
use oaktag_language::voice::LengthUnit::Millimetre as MM;
use std::collections::BTreeMap;
use std::fmt::Write;

/// What is counted of one kind of seam.
#[derive(Clone, Copy, Debug, Default)]
pub struct Count {
    pub faults: usize,
    pub faults_fit: usize,
    pub truths: usize,
    pub truths_faulty: usize,
    /// True ones whose ends something decides, and how many of them were unsure.
    pub known: usize,
    pub known_unsure: usize,
    /// True ones whose ends nothing decides, and how many of them were unsure.
    pub open: usize,
    pub open_unsure: usize,
}

/// All figures of a run.
#[derive(Default)]
pub struct Figures {
    pub kinds: BTreeMap<&'static str, Count>,
    pub faults: BTreeMap<&'static str, (usize, usize)>,
    /// What was to decide, and what the program says did.
    pub decided: BTreeMap<(String, String), Vec<u64>>,
    /// Ends where an angle was compared.
    pub angles: usize,
    /// The seed at hand.
    pub seed: u64,
    pub without_from: usize,
    pub seams: usize,
    pub wrong: Vec<Wrong>,
}

/// Something told wrongly.
#[derive(Clone, Debug)]
pub struct Wrong {
    pub seed: u64,
    pub what: &'static str,
    pub seam: usize,
}

/// The garment of a seed: half of them with a fault, a quarter with a lawful change.
pub fn of_seed(seed: u64) -> Garment {
    let (garment, mut chance) = run::by_chance(seed);
    let lawful = match chance.below(4) {
        0 | 1 => false,
        2 => true,
        _ => return garment,
    };
    for _ in 0..16 {
        let planted = change::plant(&garment.plan, &garment.expected, lawful, &mut chance);
        // A change may bring words to bear that make ends meet which do not.
        let changed = planted.and_then(run::garment);
        if let Some(changed) = changed.filter(|changed| !run::is_misled(changed)) {
            return changed;
        }
    }
    garment
}

/// What is wrong with what was told, each with its seam; and what was counted.
pub fn held(garment: &Garment, told: &Told, figures: &mut Figures) -> Vec<(&'static str, usize)> {
    let mut wrong = Vec::new();
    let change = garment.plan.change.as_ref();
    let fault = change.filter(|change| !change.lawful);
    let turned = fault.is_some_and(|fault| fault.face.is_some());
    // What runs over a seam that cannot be walked is not judged beside it.
    let misread = garment.plan.seams.iter().any(|seam| {
        let broken =
            |item: &Item| matches!(item, Item::Over { said: false, .. } | Item::LeftOut { .. });
        seam.from == From::Wrong || seam.items.iter().any(broken)
    });
    let misread = misread || fault.is_some() && garment.expected.iter().any(|one| one.crossed);
    let wrong_side = told.codes.contains(&"wrong-side-up");
    for (seam, seen) in told.seams.iter().enumerate() {
        let known = &garment.expected[seam];
        let fits = seen.ok && seen.told.is_empty();
        let unsure = seen.decided == "unsure" || seen.told.contains(&"seam-unsure");
        let mut count = Count::default();
        figures.seams += 1;
        figures.without_from += usize::from(known.decided != Decided::From);
        if let Some(fault) = fault.filter(|fault| fault.seam == seam) {
            if !change::holds(&garment.plan, known) {
                continue;
            }
            let told = if turned { wrong_side } else { !fits };
            count.faults = 1;
            count.faults_fit = usize::from(!told);
            let by = figures.faults.entry(fault.what).or_default();
            by.0 += 1;
            by.1 += count.faults_fit;
            if !told {
                wrong.push(("a fault told fits", seam));
            }
        } else {
            // What hangs on a piece with a false dart, or on a seam read from wrong ends, is not judged beside it.
            let darts = seen.told.iter().any(|code| code.starts_with("dart"));
            if fault.is_some() && (darts || misread) {
                continue;
            }
            count.truths = 1;
            let key = (format!("{:?}", known.decided), seen.decided.clone());
            figures.decided.entry(key).or_default().push(figures.seed);
            let open = known.decided == Decided::Unsure || known.vague;
            if open {
                count.open = 1;
                count.open_unsure = usize::from(unsure);
            } else {
                count.known = 1;
                count.known_unsure = usize::from(unsure);
                if unsure {
                    wrong.push(("unsure where it is known", seam));
                }
            }
            if !unsure && !fits {
                count.truths_faulty = 1;
                wrong.push(("true, told faulty", seam));
            }
            if !unsure && fits && seen.crossed && seen.decided != "whole" {
                count.truths_faulty = 1;
                wrong.push(("read from the wrong ends", seam));
            }
        }
        if fault.is_none() && !unsure && told_angle(garment, told, seam, figures) {
            wrong.push(("a line's angle over a seam told wrongly", seam));
        }
        for kind in run::kinds(garment, seam) {
            let sum = figures.kinds.entry(kind).or_default();
            sum.faults += count.faults;
            sum.faults_fit += count.faults_fit;
            sum.truths += count.truths;
            sum.truths_faulty += count.truths_faulty;
            sum.known += count.known;
            sum.known_unsure += count.known_unsure;
            sum.open += count.open;
            sum.open_unsure += count.open_unsure;
        }
    }
    if wrong_side && !turned && !misread {
        wrong.push(("wrong side up, told of what is right", 0));
    }
    if !told.stray.is_empty() {
        wrong.push(("an error that belongs to no seam", 0));
    }
    wrong
}

/// Whether an end where lines run on is told with another angle than the two pieces' corners come to.
fn told_angle(garment: &Garment, told: &Told, seam: usize, figures: &mut Figures) -> bool {
    let found = &told.json["seams"][seam]["ends"];
    let names = &garment.draft.names;
    found.as_array().into_iter().flatten().any(|end| {
        let is = |n: usize, (face, edge): (usize, usize)| {
            end["pieces"][n] == crate::text::piece_name(face).as_str()
                && end["edges"][n] == names[face][edge].as_str()
        };
        let ours = garment.expected[seam].runs_on.iter().find(|one| {
            let [a, b] = one.edges;
            is(0, a) && is(1, b) || is(0, b) && is(1, a)
        });
        let Some(ours) = ours else {
            return false;
        };
        figures.angles += 1;
        let step = end["step_mm"].as_f64().unwrap_or(f64::NAN);
        let angle = end["angle_deg"].as_f64().unwrap_or(f64::NAN);
        let off = (ours.angle - 180.0).abs();
        let as_told = (angle - ours.angle).abs() < 0.05
            || (angle - off).abs() < 0.05
            || (angle - (180.0 - off)).abs() < 0.05;
        !as_told || (end["ok"] == true) != (off <= 3.0 && step <= 1.0)
    })
}

/// Runs some seeds, in two threads.
pub fn run(seeds: std::ops::Range<u64>) -> Figures {
    let half = |odd: u64| {
        let mut figures = Figures::default();
        for seed in seeds.clone().filter(|seed| seed % 2 == odd) {
            let garment = of_seed(seed);
            figures.seed = seed;
            let told = run::told(&garment);
            for (what, seam) in held(&garment, &told, &mut figures) {
                figures.wrong.push(Wrong { seed, what, seam });
            }
        }
        figures
    };
    std::thread::scope(|scope| {
        let other = scope.spawn(|| half(1));
        let mut figures = half(0);
        figures.add(other.join().expect("no draft may panic"));
        figures
    })
}

impl Figures {
    fn add(&mut self, other: Self) {
        for (kind, count) in other.kinds {
            let sum = self.kinds.entry(kind).or_default();
            sum.faults += count.faults;
            sum.faults_fit += count.faults_fit;
            sum.truths += count.truths;
            sum.truths_faulty += count.truths_faulty;
            sum.known += count.known;
            sum.known_unsure += count.known_unsure;
            sum.open += count.open;
            sum.open_unsure += count.open_unsure;
        }
        for (what, (all, fit)) in other.faults {
            let sum = self.faults.entry(what).or_default();
            sum.0 += all;
            sum.1 += fit;
        }
        for (key, count) in other.decided {
            self.decided.entry(key).or_default().extend(count);
        }
        self.without_from += other.without_from;
        self.seams += other.seams;
        self.angles += other.angles;
        self.wrong.extend(other.wrong);
        self.wrong.sort_by_key(|wrong| wrong.seed);
    }

    /// The figures as a table.
    pub fn summary(&self) -> String {
        let mut text = format!(
            "{} seams, {} of them without a deciding from; {} angles compared\n",
            self.seams, self.without_from, self.angles
        );
        let _ = writeln!(
            text,
            "{:<20}{:>8}{:>10}{:>8}{:>12}{:>8}{:>8}{:>8}{:>8}",
            "kind of seam",
            "faults",
            "told fits",
            "true",
            "told faulty",
            "known",
            "unsure",
            "open",
            "unsure"
        );
        for (kind, one) in &self.kinds {
            let _ = writeln!(
                text,
                "{kind:<20}{:>8}{:>10}{:>8}{:>12}{:>8}{:>8}{:>8}{:>8}",
                one.faults,
                one.faults_fit,
                one.truths,
                one.truths_faulty,
                one.known,
                one.known_unsure,
                one.open,
                one.open_unsure
            );
        }
        for (what, (all, fit)) in &self.faults {
            let _ = writeln!(text, "fault: {what:<40}{all:>6}, told fits {fit}");
        }
        for ((wanted, found), seeds) in &self.decided {
            let few = if seeds.len() < 40 {
                &seeds[..seeds.len().min(8)]
            } else {
                &[]
            };
            let _ = writeln!(
                text,
                "to be decided by {wanted:<8} said {found:<10}{:>6} {few:?}",
                seeds.len()
            );
        }
        let mut by: BTreeMap<&str, Vec<u64>> = BTreeMap::new();
        for wrong in &self.wrong {
            by.entry(wrong.what).or_default().push(wrong.seed);
        }
        for (what, seeds) in by {
            let first: Vec<u64> = seeds.iter().copied().take(12).collect();
            let _ = writeln!(text, "{what}: {}, seeds {first:?}", seeds.len());
        }
        text
    }
}

/// The same failure in a smaller garment: items, breaks and words are left out while it stays.
pub fn shrunk(seed: u64, what: &str) -> Garment {
    let mut best = of_seed(seed);
    let fails = |plan: &Plan| {
        let garment = run::garment(plan.clone())?;
        if run::is_misled(&garment) {
            return None;
        }
        let told = run::told(&garment);
        let wrong = held(&garment, &told, &mut Figures::default());
        wrong.iter().any(|(one, _)| *one == what).then_some(garment)
    };
    loop {
        let mut smaller = Vec::new();
        let plan = &best.plan;
        for seam in 0..plan.seams.len() {
            let ours = plan
                .change
                .as_ref()
                .is_some_and(|change| change.seam == seam);
            if plan.seams.len() > 1 && !ours {
                let mut less = plan.clone();
                less.seams.remove(seam);
                if let Some(change) = &mut less.change
                    && change.seam > seam
                {
                    change.seam -= 1;
                }
                smaller.push(less);
            }
            for item in 0..plan.seams[seam].items.len() {
                // A corner's partner is no ornament, nor what an ease is held between.
                let mut corners = plan.corners(&plan.seams[seam]);
                for item in &plan.seams[seam].items {
                    if let Item::Ease(ease) = item {
                        corners.extend([(ease.part.0, 0.0), (ease.part.1, 0.0)]);
                    }
                }
                if let Item::Pair { at, .. } = plan.seams[seam].items[item]
                    && corners
                        .iter()
                        .any(|(corner, _)| (corner - at[0]).abs() < 1e-6)
                {
                    continue;
                }
                let mut less = plan.clone();
                less.seams[seam].items.remove(item);
                smaller.push(less);
            }
            for side in 0..2 {
                for one in 0..plan.seams[seam].breaks[side].len() {
                    let mut less = plan.clone();
                    less.seams[seam].breaks[side].remove(one);
                    smaller.push(less);
                }
            }
        }
        for face in 0..plan.words.len() {
            if plan.words[face].iter().any(|words| *words != Words::Bare) {
                let mut less = plan.clone();
                less.words[face] = vec![Words::Bare; plan.words[face].len()];
                smaller.push(less);
            }
        }
        match smaller.iter().find_map(fails) {
            Some(found) => best = found,
            None => return best,
        }
    }
}

/// A failing garment in full, for whoever has to find out why.
pub fn printed(wrong: &Wrong) -> String {
    let garment = shrunk(wrong.seed, wrong.what);
    format!(
        "seed {}: {} (s{} before it was made smaller)\n{}",
        wrong.seed,
        wrong.what,
        wrong.seam + 1,
        told_of(&garment)
    )
}

/// A garment in full, with what is wanted of each seam and what is told.
pub fn told_of(garment: &Garment) -> String {
    let told = run::told(garment);
    let mut text = String::new();
    let _ = writeln!(text, "planted: {:?}", garment.plan.change);
    for (seam, seen) in told.seams.iter().enumerate() {
        let plan = &garment.plan.seams[seam];
        let _ = writeln!(
            text,
            "s{}: wanted {:?}, said {seen:?}\n    items {:?}",
            seam + 1,
            garment.expected[seam],
            plan.items
        );
    }
    for message in &told.outcome.diagnostics {
        if message.code.name() != "name-unused" {
            let _ = writeln!(
                text,
                "{}: {} {:?}",
                message.code.name(),
                message.message.in_unit(MM),
                message.notes
            );
        }
    }
    text + &garment.draft.text
}

/// The same garment in ten sizes; where its readings or verdicts differ, which seam.
pub fn in_ten_sizes(seed: u64) -> Option<usize> {
    let (garment, _) = run::by_chance(seed);
    let mut first: Option<Vec<(String, bool, bool)>> = None;
    for size in 0..10u32 {
        let mut plan = garment.plan.clone();
        plan.scale = 0.8 + 0.09 * f64::from(size);
        let scaled = run::garment(plan).expect("drawn at one size, drawn at all");
        let told = run::told(&scaled);
        let found: Vec<_> = told
            .seams
            .iter()
            .map(|seen| {
                (
                    seen.decided.clone(),
                    seen.crossed,
                    seen.ok && seen.told.is_empty(),
                )
            })
            .collect();
        let wanted = first.get_or_insert_with(|| found.clone());
        if let Some(seam) = (0..found.len()).find(|n| found[*n] != wanted[*n]) {
            return Some(seam);
        }
    }
    None
}
