//! Finding the value at which a quantity comes out as wanted, or saying honestly that none does.
//!
//! The range is looked through in equal parts from the first bound. A part in which the quantity may turn before it gets
//! to the next place, as its neighbours' slopes foretell, is halved until they no longer do; so is what lies between a
//! place that can be drawn and one that cannot. Each change of sign is then refined by **Brent's method** (R. P. Brent,
//! *Algorithms for Minimization without Derivatives*, 1973, chapter 4: inverse quadratic steps kept inside a bracket).
//! Before none is denied, each part is looked through in four.

mod brent;

use brent::End;

/// How many equal parts a range is looked through in.
pub const PARTS: usize = 24;
/// A miss no larger than this counts as none (millimetres, or degrees of an angle).
pub const MISS: f64 = 1e-9;
/// Most trials of one search, but for those that refine an answer.
pub const MOST_LOOKS: usize = 400;

/// A part is halved so often where the quantity may turn in it, or jumps.
const HALVED: i32 = 10;
/// Where it heads for what is wanted, down to this share of the range.
const FINEST: f64 = 1e-13;

/// One trial: the value and by how much the quantity missed there, signed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Trial {
    /// What was put in for the unknown, in its own unit.
    pub value: f64,
    /// By how much the quantity was too large there.
    pub miss: f64,
}

/// A value at which nothing could be worked out.
#[derive(Clone, Debug, PartialEq)]
pub struct Gap<E> {
    /// What was put in for the unknown, in its own unit.
    pub value: f64,
    /// What the work failed with there.
    pub fault: E,
}

/// What a search found.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome<E> {
    /// Answers, in the order of the look through: the first is from the first bound on.
    pub answers: Vec<Trial>,
    /// The first trial from the first bound that could be worked out, if any could.
    pub at_first: Option<Trial>,
    /// The last trial toward the second bound that could be worked out, if any could.
    pub at_last: Option<Trial>,
    /// The trial with the least miss.
    pub nearest: Option<Trial>,
    /// The first place where the quantity jumps past what is wanted: the trials on either side.
    pub jump: Option<(Trial, Trial)>,
    /// Stretches in which it changes too fast to be looked through.
    pub unsure: Vec<(f64, f64)>,
    /// The values at which nothing could be worked out.
    pub gaps: Vec<Gap<E>>,
}

/// Finds where `miss` is zero between two bounds. Where it only comes near, a miss of `holds` counts as none.
///
/// `miss` gives the signed miss at a value or why nothing can be worked out there. It is called [`PARTS`] and one times,
/// a few more for each answer, and more often only where it turns, jumps or fails, or before an answer is denied.
pub fn solve<E>(
    miss: impl FnMut(f64) -> Result<f64, E>,
    first: f64,
    last: f64,
    holds: f64,
) -> Outcome<E> {
    let mut search = Search {
        miss,
        places: Vec::new(),
        looks: 0,
        range: (last - first).abs(),
        gaps: Vec::new(),
    };
    search.look_through(first, last);
    let mut found = search.found(holds);
    if found.answers.is_empty() {
        search.look_closer();
        found = search.found(holds);
    }
    let drawn = || search.places.iter().filter_map(Place::trial);
    let (at_first, at_last) = (drawn().next(), drawn().next_back());
    let nearest = if found.answers.is_empty() {
        search.least_miss()
    } else {
        None
    };
    Outcome {
        answers: found.answers,
        at_first,
        at_last,
        nearest,
        jump: found.jump,
        unsure: found.unsure,
        gaps: search.gaps,
    }
}

/// A value looked at.
#[derive(Clone, Copy)]
struct Place {
    value: f64,
    /// None where it cannot be worked out.
    miss: Option<f64>,
}

impl Place {
    fn trial(&self) -> Option<Trial> {
        let value = self.value;
        self.miss.map(|miss| Trial { value, miss })
    }
}

#[derive(Default)]
struct Found {
    answers: Vec<Trial>,
    jump: Option<(Trial, Trial)>,
    unsure: Vec<(f64, f64)>,
}

struct Search<F, E> {
    miss: F,
    /// In the order of the look through.
    places: Vec<Place>,
    looks: usize,
    range: f64,
    gaps: Vec<Gap<E>>,
}

impl<E, F: FnMut(f64) -> Result<f64, E>> Search<F, E> {
    fn place(&mut self, value: f64) -> Place {
        self.looks += 1;
        let miss = match (self.miss)(value) {
            Ok(miss) => miss.is_finite().then_some(miss),
            Err(fault) => {
                self.gaps.push(Gap { value, fault });
                None
            }
        };
        Place { value, miss }
    }

    fn trial(&mut self, value: f64) -> Option<Trial> {
        self.place(value).trial()
    }

    /// Looks at every part, closer where something may be hidden in it.
    fn look_through(&mut self, first: f64, last: f64) {
        for n in 0..=PARTS {
            let value = if n == PARTS {
                last
            } else {
                first + (last - first) * n as f64 / PARTS as f64
            };
            let place = self.place(value);
            self.places.push(place);
        }
        self.look_into_changes();
        self.halve();
    }

    /// Looks at each part in eight whose ends differ in sign: what is found in it might not be the first, nor the only one.
    fn look_into_changes(&mut self) {
        let part = self.range / PARTS as f64;
        let changes: Vec<(f64, f64)> = self
            .places
            .windows(2)
            .filter_map(|pair| match pair {
                [a, b] => Some((a.trial()?, b.trial()?)),
                _ => None,
            })
            .filter(|(a, b)| (a.miss < 0.0) != (b.miss < 0.0))
            .filter(|(a, b)| a.miss.abs() > MISS && b.miss.abs() > MISS)
            .map(|(a, b)| (a.value.min(b.value), a.value.max(b.value)))
            .collect();
        for _ in 0..3 {
            self.split(|search, at| {
                let Some(place) = search.places.get(at) else {
                    return false;
                };
                let next = search
                    .places
                    .get(at + 1)
                    .map_or(place.value, |next| next.value);
                let middle = 0.5 * (place.value + next);
                search.width(at) > 0.15 * part
                    && changes
                        .iter()
                        .any(|(low, high)| (*low..*high).contains(&middle))
            });
        }
    }

    /// Looks at each part in four, before it is said that there is no answer.
    fn look_closer(&mut self) {
        let part = self.range / PARTS as f64;
        for _ in 0..2 {
            self.split(|search, at| search.width(at) > 0.3 * part);
        }
        self.halve();
    }

    /// Halves parts until nothing can be hidden in them, or enough has been looked at.
    fn halve(&mut self) {
        while self.looks < MOST_LOOKS && self.split(Self::may_hide) {}
    }

    /// Halves the parts that are to be, if any.
    fn split(&mut self, wanted: impl Fn(&Self, usize) -> bool) -> bool {
        let parts = self.places.len().saturating_sub(1);
        let mut these: Vec<usize> = (0..parts).filter(|at| wanted(self, *at)).collect();
        these.truncate(MOST_LOOKS.saturating_sub(self.looks).max(4 * PARTS));
        // From the end, so that the numbers of those before stay.
        for at in these.iter().rev() {
            let (Some(a), Some(b)) = (self.places.get(*at), self.places.get(at + 1)) else {
                continue;
            };
            let middle = self.place(0.5 * (a.value + b.value));
            self.places.insert(at + 1, middle);
        }
        !these.is_empty()
    }

    fn at(&self, at: Option<usize>) -> Option<Trial> {
        self.places.get(at?)?.trial()
    }

    fn width(&self, part: usize) -> f64 {
        match (self.places.get(part), self.places.get(part + 1)) {
            (Some(a), Some(b)) => (b.value - a.value).abs(),
            _ => 0.0,
        }
    }

    /// Change of the miss along a part, for its width.
    fn slope(&self, part: Option<usize>) -> Option<f64> {
        let part = part?;
        let (a, b) = (self.at(Some(part))?, self.at(Some(part + 1))?);
        Some((b.miss - a.miss) / self.width(part))
    }

    /// Whether a part may hold an answer that its ends do not show, and is worth halving.
    fn may_hide(&self, part: usize) -> bool {
        let width = self.width(part);
        let whole = self.range / PARTS as f64;
        if width <= self.range * FINEST || !width.is_finite() {
            return false;
        }
        // Beside what cannot be drawn nothing foretells a turn.
        let is_wide = width > 0.15 * whole;
        let (a, b) = (self.at(Some(part)), self.at(Some(part + 1)));
        let (Some(a), Some(b)) = (a, b) else {
            return match (a, b) {
                // Once: what can be drawn may be no wider than a part.
                (None, None) => width > 0.7 * whole,
                (Some(_), _) => is_wide || self.heads_for_nothing(part, part.checked_sub(1), width),
                (_, Some(_)) => is_wide || self.heads_for_nothing(part + 1, Some(part + 2), width),
            };
        };
        if a.miss.abs() <= MISS || b.miss.abs() <= MISS {
            return false;
        }
        let here = (b.miss - a.miss) / width;
        let (before, after) = (self.slope(part.checked_sub(1)), self.slope(Some(part + 1)));
        let bend = |slope: Option<f64>| slope.map_or(0.0, |slope| (slope - here).abs() * width);
        // How far it comes out from what both sides foretell; a jump in a neighbour leaves one that tells.
        let from_before = self.foretold(a, part.checked_sub(1), part.checked_sub(2), width);
        let from_after = self.foretold(b, Some(part + 1), Some(part + 2), width);
        let surprise = match (from_before, from_after) {
            (Some(at_b), Some(at_a)) => (at_b - b.miss).abs().min((at_a - a.miss).abs()),
            _ => 0.0,
        };
        let bends = bend(before).max(bend(after)).max(surprise);
        let is_coarse = width > whole * 0.5f64.powi(HALVED) * 1.5;
        let crosses = |miss: f64| (miss < 0.0) != (a.miss < 0.0);
        if crosses(b.miss) {
            // More than one change of sign, where it bends or jumps so much.
            return is_coarse && (b.miss - a.miss).abs() < 4.0 * bends;
        }
        let is_near = a.miss.abs().min(b.miss.abs()) < 2.0 * bends;
        let foretold = || from_before.is_some_and(crosses) || from_after.is_some_and(crosses);
        if is_coarse && (is_near || foretold()) {
            return true;
        }
        // A neighbour's way runs on to nothing, and it does not go on as that did.
        let breaks = |slope: Option<f64>| {
            slope.is_some_and(|slope| (slope - here).abs() > 0.5 * slope.abs())
        };
        (breaks(before) && self.heads_for_nothing(part, part.checked_sub(1), width))
            || (breaks(after) && self.heads_for_nothing(part + 1, Some(part + 2), width))
    }

    /// What the two parts on one side foretell for the other end, taken for a parabola.
    fn foretold(
        &self,
        near: Trial,
        next: Option<usize>,
        beyond: Option<usize>,
        width: f64,
    ) -> Option<f64> {
        let (next, beyond) = (next?, beyond?);
        let (steep, before) = (self.slope(Some(next))?, self.slope(Some(beyond))?);
        let (wide, wider) = (self.width(next), self.width(beyond));
        let here = steep + (steep - before) * (wide + width) / (wide + wider);
        // What comes after the part is walked back.
        let sign = if next > beyond { 1.0 } else { -1.0 };
        Some(near.miss + sign * here * width)
    }

    /// Whether the miss gets smaller toward the far side of a part, so fast that it may get to nothing in it; `back` is
    /// the place before.
    fn heads_for_nothing(&self, near: usize, back: Option<usize>, width: f64) -> bool {
        let Some(near) = self.at(Some(near)) else {
            return false;
        };
        if near.miss.abs() <= MISS {
            return false;
        }
        let whole = self.range / PARTS as f64;
        let Some(back) = self.at(back) else {
            return width > whole * 0.5f64.powi(HALVED) * 1.5;
        };
        // What is still to come of a root's curve is 2.4 times its last change over as long a way, of a sixth root's 8.2.
        let change = (back.miss - near.miss).abs();
        near.miss.abs() < back.miss.abs() && near.miss.abs() <= 9.0 * change
    }

    /// Answers among the places looked at.
    fn found(&mut self, holds: f64) -> Found {
        loop {
            match self.answers(holds) {
                Ok(found) => return found,
                // What lies beside it is looked at too.
                Err(hole) => {
                    let forward = self.is_forward();
                    let before = |place: &Place| (place.value < hole.value) == forward;
                    let at = self.places.partition_point(before);
                    self.places.insert(at, hole);
                    self.halve();
                }
            }
        }
    }

    fn is_forward(&self) -> bool {
        match (self.places.first(), self.places.last()) {
            (Some(first), Some(last)) => first.value <= last.value,
            _ => true,
        }
    }

    /// An answer for every place that hits, for every change of sign between neighbours, and for every place that comes
    /// near enough with neither beside it.
    ///
    /// # Errors
    /// With a place that cannot be worked out, found inside a change of sign.
    fn answers(&mut self, holds: f64) -> Result<Found, Place> {
        let mut found = Found::default();
        let places = self.places.clone();
        // The last of a run of places that hit; the nearest of a run that only comes near.
        let (mut hits, mut near): (Option<Trial>, Option<Trial>) = (None, None);
        // Whether the run that comes near has an answer in it.
        let mut is_settled = false;
        let mut before: Option<Trial> = None;
        for (at, place) in places.iter().enumerate() {
            let now = place.trial();
            let hit = now.filter(|now| now.miss.abs() <= MISS);
            if let (Some(low), Some(high), None, None) = (before, now, hits, hit)
                && (low.miss < 0.0) != (high.miss < 0.0)
            {
                match self.refine(low, high) {
                    End::Answer(answer) => {
                        (near, is_settled) = (None, true);
                        found.answers.extend(self.sooner(low, answer));
                        found.answers.push(answer);
                    }
                    End::Jump(a, b) => {
                        found.jump = found.jump.or(Some((a, b)));
                        if !is_settled {
                            near = nearer(nearer(near, a, holds), b, holds);
                        }
                    }
                    End::Hole(hole) if self.looks < MOST_LOOKS => return Err(hole),
                    End::Hole(_) => push_stretch(&mut found.unsure, (low.value, high.value)),
                }
            }
            match (hit, hits) {
                (Some(now), None) => {
                    (near, is_settled) = (None, true);
                    found.answers.push(now);
                }
                (None, Some(last)) => end_run(&mut found.answers, last),
                _ => {}
            }
            match now.filter(|now| now.miss.abs() <= holds) {
                Some(now) if !is_settled => near = nearer(near, now, holds),
                Some(_) => {}
                None => {
                    found.answers.extend(near.take());
                    is_settled = false;
                }
            }
            if self.looks >= MOST_LOOKS && self.may_hide(at) {
                let to = places.get(at + 1).map_or(place.value, |next| next.value);
                push_stretch(&mut found.unsure, (place.value, to));
            }
            (before, hits) = (now, hit);
        }
        if let Some(last) = hits {
            end_run(&mut found.answers, last);
        }
        found.answers.extend(near);
        Ok(found)
    }

    /// An answer that a later one of the same change of sign would pass over: close before that the sign has changed already.
    fn sooner(&mut self, low: Trial, answer: Trial) -> Option<Trial> {
        let before = self.trial(answer.value + 1e-3 * (low.value - answer.value))?;
        if before.miss.abs() <= MISS || (before.miss < 0.0) == (low.miss < 0.0) {
            return None;
        }
        match self.refine(low, before) {
            End::Answer(sooner) => Some(sooner),
            End::Jump(..) | End::Hole(_) => None,
        }
    }

    /// The least miss, for a message: the nearest place, narrowed by golden sections between its neighbours.
    fn least_miss(&mut self) -> Option<Trial> {
        const GOLDEN: f64 = 0.381_966_011_250_105_1;
        let drawn = self.places.iter().enumerate();
        let drawn = drawn.filter_map(|(n, place)| place.trial().map(|trial| (n, trial)));
        let (n, mut best) = drawn.min_by(|x, y| x.1.miss.abs().total_cmp(&y.1.miss.abs()))?;
        let (Some(left), Some(right)) = (self.at(n.checked_sub(1)), self.at(Some(n + 1))) else {
            return Some(best);
        };
        let (mut low, mut high) = (left.value, right.value);
        for _ in 0..48 {
            let into_high = (high - best.value).abs() > (best.value - low).abs();
            let far = if into_high { high } else { low };
            let value = best.value + GOLDEN * (far - best.value);
            if (far - best.value).abs() <= self.range * FINEST {
                break;
            }
            let Some(next) = self.trial(value) else { break };
            if next.miss.abs() < best.miss.abs() {
                if into_high {
                    low = best.value
                } else {
                    high = best.value
                }
                best = next;
            } else if into_high {
                high = value;
            } else {
                low = value;
            }
        }
        Some(best)
    }
}

/// The nearer of two, if it is near enough.
fn nearer(near: Option<Trial>, now: Trial, holds: f64) -> Option<Trial> {
    let is_nearer = near.is_none_or(|near| now.miss.abs() < near.miss.abs());
    if is_nearer && now.miss.abs() <= holds {
        Some(now)
    } else {
        near
    }
}

/// Where a whole stretch hits, its last place is an answer as its first is.
fn end_run(answers: &mut Vec<Trial>, last: Trial) {
    if answers
        .last()
        .is_some_and(|first| first.value != last.value)
    {
        answers.push(last);
    }
}

/// Stretches that follow each other are one.
fn push_stretch(all: &mut Vec<(f64, f64)>, (from, to): (f64, f64)) {
    match all.last_mut() {
        Some(last) if last.1 == from => last.1 = to,
        _ => all.push((from, to)),
    }
}
