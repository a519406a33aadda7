//! Ladders of notches: each notch of a seam through all sizes. Every size has as many, in the same order, and their
//! distances run evenly or bend smoothly; a notch that stays behind was left ungraded.

use super::Set;
use oaktag_language::voice;
use oaktag_language::voice::LengthUnit;

/// How far a notch may stand off the line between its neighbours' sizes, in millimetres (this project's own figure).
const OFF: f64 = 2.0;

/// One notch of a seam through the sizes.
#[derive(Clone, Debug, PartialEq)]
pub struct Ladder {
    /// As the draft names it.
    pub seam: String,
    /// Its number on the seam, from 1.
    pub number: usize,
    /// Its distance from the start of the first side, by size.
    pub distances: Vec<f64>,
}

/// What is wrong with the notches of a set.
#[derive(Clone, Debug, PartialEq)]
pub enum LadderFault {
    /// A seam has other notches in one size: the seam, that size, how many it has and how many the base has.
    Count(String, String, usize, usize),
    /// A seam that a size does not have.
    NoSeam(String, String),
    /// A rung that stands off the line between its neighbours: seam, number, size, by how much.
    Off(String, usize, String, f64),
}

impl LadderFault {
    /// A sentence for people, figures in their unit.
    pub fn words(&self, unit: LengthUnit) -> String {
        match self {
            Self::Count(seam, size, found, wanted) => format!(
                "Seam {}: notches, {found} in size {size}, and {wanted} in the base size.",
                voice::name(seam)
            ),
            Self::NoSeam(seam, size) => {
                format!("Seam {} is not there in size {size}.", voice::name(seam))
            }
            Self::Off(seam, number, size, by) => format!(
                "Seam {}: notch {number} of size {size} stands {} off the line of its neighbours.",
                voice::name(seam),
                unit.length(*by)
            ),
        }
    }

    /// Whether the set cannot be cut so; a bent ladder is only to be looked at.
    pub fn is_error(&self) -> bool {
        !matches!(self, Self::Off(..))
    }
}

/// The ladders of a set, and what is wrong with them.
pub fn ladders(set: &Set) -> (Vec<Ladder>, Vec<LadderFault>) {
    let (mut ladders, mut faults) = (Vec::new(), Vec::new());
    let Some(base) = set.base() else {
        return (ladders, faults);
    };
    for seam in &base.pattern.seams {
        let wanted = seam.notches.len();
        let mut whole = true;
        for size in &set.sizes {
            match size.pattern.seam(&seam.name) {
                None => {
                    faults.push(LadderFault::NoSeam(seam.name.clone(), size.name.clone()));
                    whole = false;
                }
                Some(there) if there.notches.len() != wanted => {
                    let found = there.notches.len();
                    faults.push(LadderFault::Count(
                        seam.name.clone(),
                        size.name.clone(),
                        found,
                        wanted,
                    ));
                    whole = false;
                }
                Some(_) => {}
            }
        }
        if !whole {
            continue;
        }
        for number in 0..wanted {
            let at = |size: &super::Size| {
                let seam = size.pattern.seam(&seam.name)?;
                seam.notches.get(number).map(|notch| notch.main.0)
            };
            let ladder = Ladder {
                seam: seam.name.clone(),
                number: number + 1,
                distances: set.sizes.iter().filter_map(at).collect(),
            };
            faults.extend(bent(&ladder, set));
            ladders.push(ladder);
        }
    }
    (ladders, faults)
}

/// The first rung that stands off the line of its neighbours.
fn bent(ladder: &Ladder, set: &Set) -> Option<LadderFault> {
    let rungs = ladder.distances.windows(3).enumerate();
    let mut off = rungs.filter_map(|(at, rung)| {
        let [before, here, after] = rung else {
            return None;
        };
        let by = here - (before + after) / 2.0;
        (by.abs() > OFF).then(|| {
            let size = set.sizes.get(at + 1).map_or("", |size| size.name.as_str());
            LadderFault::Off(
                ladder.seam.clone(),
                ladder.number,
                size.to_owned(),
                by.abs(),
            )
        })
    });
    off.next()
}

/// The ladders for people.
pub fn text(set: &Set, ladders: &[Ladder]) -> String {
    let unit = set.base().map(|size| size.pattern.unit).unwrap_or_default();
    if ladders.is_empty() {
        return String::new();
    }
    let wide = ladders
        .iter()
        .map(|l| voice::name(&l.seam).chars().count())
        .max()
        .unwrap_or(0);
    let mut text = format!(
        "\nNotches: how far along its seam each stands, by size, in {}\n",
        unit.words()
    );
    for ladder in ladders {
        let rungs: Vec<String> = ladder.distances.iter().map(|mm| unit.bare(*mm)).collect();
        text.push_str(&format!(
            "  {:wide$}  {}  {}\n",
            voice::name(&ladder.seam),
            ladder.number,
            rungs.join("  ")
        ));
    }
    text
}
