//! Times of best of many runs, and how a time grows with a size.

use std::hint::black_box;
use std::time::Instant;

/// Seconds of one piece of work.
#[derive(Clone, Copy, Debug, Default)]
pub struct Time {
    /// The best run: what the work takes where nobody else is at the machine.
    pub best: f64,
    /// Half of the runs took no longer.
    pub median: f64,
}

impl Time {
    /// Best and median of some runs.
    pub fn of(mut runs: Vec<f64>) -> Self {
        runs.sort_by(f64::total_cmp);
        Self {
            best: runs.first().copied().unwrap_or_default(),
            median: runs.get(runs.len() / 2).copied().unwrap_or_default(),
        }
    }
}

/// The shortest stretch that is timed at once, in seconds: far longer than the clock takes to be read.
const SHORTEST: f64 = 100e-6;

/// Most and fewest stretches timed.
const MOST: usize = 2_000;
const FEWEST: usize = 7;

/// Times a piece of work for about so many seconds. What a run makes is dropped off the clock, except where runs are so
/// short that several are timed together.
pub fn time<T>(patience: f64, mut work: impl FnMut() -> T) -> Time {
    let (first, made) = once(&mut work);
    drop(made);
    if first >= SHORTEST {
        return timed(patience, || {
            let (seconds, made) = once(&mut work);
            drop(made);
            seconds
        });
    }
    let together = (SHORTEST / first.max(1e-9)).ceil().min(1e5) as usize;
    timed(patience, || {
        let began = Instant::now();
        for _ in 0..together {
            drop(black_box(work()));
        }
        began.elapsed().as_secs_f64() / together as f64
    })
}

fn once<T>(work: &mut impl FnMut() -> T) -> (f64, T) {
    let began = Instant::now();
    let made = black_box(work());
    (began.elapsed().as_secs_f64(), made)
}

/// Best and median of what a run says it took, over runs of about so many seconds together.
pub fn timed(patience: f64, mut run: impl FnMut() -> f64) -> Time {
    let began = Instant::now();
    let mut runs = Vec::new();
    while runs.len() < MOST && (runs.len() < FEWEST || began.elapsed().as_secs_f64() < patience) {
        runs.push(run());
        // Of what takes seconds, two runs are enough.
        if runs.len() >= 2 && began.elapsed().as_secs_f64() > 10.0 * patience.max(0.2) {
            break;
        }
    }
    Time::of(runs)
}

/// The exponent with which a time grows with a size: the slope of the straight line through the logarithms of both
/// (least squares). 1 is linear.
pub fn exponent(pairs: &[(f64, f64)]) -> f64 {
    let logs: Vec<(f64, f64)> = pairs.iter().map(|(x, y)| (x.ln(), y.ln())).collect();
    let count = logs.len() as f64;
    let (x, y) = logs.iter().fold((0.0, 0.0), |(x, y), p| (x + p.0, y + p.1));
    let (x, y) = (x / count, y / count);
    let along: f64 = logs.iter().map(|p| (p.0 - x) * (p.1 - y)).sum();
    let square: f64 = logs.iter().map(|p| (p.0 - x) * (p.0 - x)).sum();
    along / square
}

/// The exponent as it is printed; a dash where there is nothing to tell it from.
pub fn slope(pairs: &[(f64, f64)]) -> String {
    let exponent = exponent(pairs);
    if exponent.is_finite() {
        format!("{exponent:.2}")
    } else {
        "-".to_owned()
    }
}
