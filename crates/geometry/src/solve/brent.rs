//! Brent's method between two trials of opposite sign.

use super::{MISS, Place, Search, Trial};

/// Where a change of sign leads.
pub(super) enum End {
    Answer(Trial),
    /// To a jump past it, between these.
    Jump(Trial, Trial),
    /// To a place that cannot be worked out.
    Hole(Place),
}

impl<E, F: FnMut(f64) -> Result<f64, E>> Search<F, E> {
    /// Narrows the bracket until the miss is none, or no value lies between its ends.
    pub(super) fn refine(&mut self, low: Trial, high: Trial) -> End {
        let (mut a, mut b) = (low, high);
        let mut c = a;
        let (mut step, mut step_before) = (b.value - a.value, b.value - a.value);
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
            if b.miss.abs() <= MISS || half.abs() <= finest {
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
            let next = self.place(b.value + by);
            let Some(trial) = next.trial() else {
                return End::Hole(next);
            };
            b = trial;
        }
        // Where the figures themselves are no finer, a crossing is as good as they are.
        let reach = low.miss.abs().max(high.miss.abs());
        let crossed = (b.miss - c.miss).abs() <= 1e-9 * reach;
        if b.miss.abs() <= MISS || crossed {
            End::Answer(b)
        } else {
            End::Jump(b, c)
        }
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
