//! Finding the value at which a quantity comes out as wanted, or saying honestly that none does.
//!
//! The range is scanned in equal parts from the first bound. Each change of sign is refined by **Brent's method**
//! (R. P. Brent, *Algorithms for Minimization without Derivatives*, 1973, chapter 4: inverse quadratic steps kept
//! inside a bracket). Where nothing changes sign, the least miss is narrowed by golden sections, so that a value at
//! which the quantity only just touches is found too. Trials that cannot be drawn are gaps.

/// How many equal parts a range is scanned in, where nothing else is said.
pub const PARTS: usize = 24;
/// A miss no larger than this counts as none, where nothing else is said (millimetres, or degrees of an angle).
pub const MISS: f64 = 1e-9;

/// One trial: the value and by how much the quantity missed there, signed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Trial {
    /// The value tried.
    pub value: f64,
    /// By how much the quantity was too large there.
    pub miss: f64,
}

/// A value at which nothing could be worked out.
#[derive(Clone, Debug, PartialEq)]
pub struct Gap<E> {
    /// The value tried.
    pub value: f64,
    /// Why.
    pub fault: E,
}

/// What a search found.
#[derive(Clone, Debug, PartialEq)]
pub enum Outcome<E> {
    /// An answer: the first from the first bound on.
    Found {
        /// The value.
        value: f64,
        /// What was still missed there.
        miss: f64,
        /// Further answers, in scan order.
        others: Vec<f64>,
        /// Trials that failed.
        gaps: Vec<Gap<E>>,
    },
    /// No answer in the range.
    None {
        /// The first trial from the first bound that could be worked out, if any could.
        at_first: Option<Trial>,
        /// The last.
        at_last: Option<Trial>,
        /// The trial with the least miss.
        nearest: Option<Trial>,
        /// Trials that failed.
        gaps: Vec<Gap<E>>,
    },
}

/// Finds where `miss` is zero between two bounds, scanning [`PARTS`] equal parts from the first, to within [`MISS`].
pub fn solve<E>(miss: impl FnMut(f64) -> Result<f64, E>, first: f64, last: f64) -> Outcome<E> {
    solve_in(miss, first, last, PARTS, MISS)
}

/// Finds where `miss` is zero, scanning a stated number of equal parts, to within `tolerance`.
///
/// `miss` gives the signed miss at a value or why nothing can be worked out there. It is called `parts + 1` times, and
/// a few more for each answer.
pub fn solve_in<E>(
    miss: impl FnMut(f64) -> Result<f64, E>,
    first: f64,
    last: f64,
    parts: usize,
    tolerance: f64,
) -> Outcome<E> {
    let mut search = Search {
        miss,
        tolerance,
        gaps: Vec::new(),
    };
    let parts = parts.max(1);
    let at = |n: usize| {
        if n == parts {
            last
        } else {
            first + (last - first) * n as f64 / parts as f64
        }
    };
    let scan: Vec<Option<Trial>> = (0..=parts).map(|n| search.trial(at(n))).collect();
    let mut answers = search.answers(&scan);
    let drawn: Vec<Trial> = scan.iter().flatten().copied().collect();
    if answers.is_empty()
        && let Some(touch) = search.least_miss(&scan)
    {
        if touch.miss.abs() <= tolerance {
            answers.push(touch);
        } else {
            let (at_first, at_last) = (drawn.first().copied(), drawn.last().copied());
            return Outcome::None {
                at_first,
                at_last,
                nearest: Some(touch),
                gaps: search.gaps,
            };
        }
    }
    match answers.split_first() {
        Some((answer, others)) => Outcome::Found {
            value: answer.value,
            miss: answer.miss,
            others: others.iter().map(|other| other.value).collect(),
            gaps: search.gaps,
        },
        None => Outcome::None {
            at_first: None,
            at_last: None,
            nearest: None,
            gaps: search.gaps,
        },
    }
}

struct Search<F, E> {
    miss: F,
    tolerance: f64,
    gaps: Vec<Gap<E>>,
}

impl<E, F: FnMut(f64) -> Result<f64, E>> Search<F, E> {
    fn trial(&mut self, value: f64) -> Option<Trial> {
        match (self.miss)(value) {
            Ok(miss) if miss.is_finite() => Some(Trial { value, miss }),
            Ok(_) => None,
            Err(fault) => {
                self.gaps.push(Gap { value, fault });
                None
            }
        }
    }

    /// An answer for every scanned trial that hits, and for every change of sign between neighbours.
    fn answers(&mut self, scan: &[Option<Trial>]) -> Vec<Trial> {
        let mut answers: Vec<Trial> = Vec::new();
        let mut before: Option<Trial> = None;
        for trial in scan {
            let Some(now) = *trial else {
                before = None;
                continue;
            };
            let hits = now.miss.abs() <= self.tolerance;
            let hit_before = before.is_some_and(|b| b.miss.abs() <= self.tolerance);
            if hits {
                if !hit_before {
                    answers.push(now);
                }
            } else if let Some(low) = before
                && !hit_before
                && (low.miss < 0.0) != (now.miss < 0.0)
            {
                answers.extend(self.refine(low, now));
            }
            before = Some(now);
        }
        answers
    }

    /// Brent's method between two trials of opposite sign. None where the quantity jumps past zero or a trial fails.
    fn refine(&mut self, low: Trial, high: Trial) -> Option<Trial> {
        let (mut a, mut b) = (low, high);
        let mut c = a;
        let (mut step, mut step_before) = (b.value - a.value, b.value - a.value);
        let reach = low.miss.abs().max(high.miss.abs());
        for _ in 0..100 {
            if (b.miss < 0.0) == (c.miss < 0.0) {
                c = a;
                step = b.value - a.value;
                step_before = step;
            }
            if c.miss.abs() < b.miss.abs() {
                (a, b, c) = (b, c, b);
            }
            let finest = 2.0 * f64::EPSILON * b.value.abs() + 1e-15;
            let half = 0.5 * (c.value - b.value);
            if b.miss.abs() <= self.tolerance || half.abs() <= finest {
                break;
            }
            let wanted = interpolated(a, b, c);
            let usable = step_before.abs() >= finest && a.miss.abs() > b.miss.abs();
            match wanted {
                Some(move_by) if usable && within(move_by, half, finest, step_before) => {
                    (step_before, step) = (step, move_by);
                }
                _ => (step, step_before) = (half, half),
            }
            a = b;
            let by = if step.abs() > finest {
                step
            } else {
                finest.copysign(half)
            };
            b = self.trial(b.value + by)?;
        }
        let jump = b.miss.abs() > self.tolerance && b.miss.abs() > 1e-6 * reach;
        (!jump).then_some(b)
    }

    /// The least miss: the best scanned trial, narrowed by golden sections between its neighbours.
    fn least_miss(&mut self, scan: &[Option<Trial>]) -> Option<Trial> {
        const GOLDEN: f64 = 0.381_966_011_250_105_1;
        let drawn = scan
            .iter()
            .enumerate()
            .filter_map(|(n, trial)| trial.map(|t| (n, t)));
        let (n, mut best) = drawn.min_by(|x, y| x.1.miss.abs().total_cmp(&y.1.miss.abs()))?;
        let neighbour = |at: Option<usize>| at.and_then(|at| scan.get(at)).copied().flatten();
        let (Some(left), Some(right)) = (neighbour(n.checked_sub(1)), neighbour(Some(n + 1)))
        else {
            return Some(best);
        };
        let (mut low, mut high) = (left.value, right.value);
        for _ in 0..48 {
            if best.miss.abs() <= self.tolerance {
                break;
            }
            let into_high = (high - best.value).abs() > (best.value - low).abs();
            let value = best.value
                + GOLDEN
                    * if into_high {
                        high - best.value
                    } else {
                        low - best.value
                    };
            let Some(next) = self.trial(value) else { break };
            if (next.miss < 0.0) != (best.miss < 0.0) {
                return self.refine(best, next).or(Some(best));
            }
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

/// The step that inverse quadratic interpolation (or the secant, with only two trials) proposes from the best trial.
fn interpolated(a: Trial, b: Trial, c: Trial) -> Option<f64> {
    let s = b.miss / a.miss;
    let half = 0.5 * (c.value - b.value);
    let (p, q) = if a.value == c.value {
        (2.0 * half * s, 1.0 - s)
    } else {
        let (q, r) = (a.miss / c.miss, b.miss / c.miss);
        let p = s * (2.0 * half * q * (q - r) - (b.value - a.value) * (r - 1.0));
        (p, (q - 1.0) * (r - 1.0) * (s - 1.0))
    };
    let step = -p / q;
    step.is_finite().then_some(step)
}

/// Whether a proposed step stays well inside the bracket and shrinks fast enough.
fn within(step: f64, half: f64, finest: f64, step_before: f64) -> bool {
    step * half > 0.0
        && step.abs() < 1.5 * half.abs() - 0.5 * finest
        && step.abs() < 0.5 * step_before.abs()
}
