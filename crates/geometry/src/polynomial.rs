//! Real roots of low-degree polynomials between 0 and 1, every one of them, in order.
//!
//! The roots of the derivative cut the range into pieces on which the polynomial runs one way, so each piece holds at
//! most one root and bracketing finds it. Slower than closed forms and never wrong near multiple roots.

/// The highest degree that is solved here.
const MOST: usize = 8;

/// Roots in ascending order.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Roots {
    found: [f64; MOST + 1],
    count: usize,
}

impl Roots {
    fn push(&mut self, root: f64) {
        if let Some(slot) = self.found.get_mut(self.count) {
            (*slot, self.count) = (root, self.count + 1);
        }
    }

    /// The roots as a slice.
    pub(crate) fn as_slice(&self) -> &[f64] {
        self.found.get(..self.count).unwrap_or_default()
    }
}

/// The roots in 0..=1 of `coefficients[0] + coefficients[1] t + ...`, of degree 8 at most, ascending. A polynomial that
/// is zero throughout has none.
pub(crate) fn roots_in_unit(coefficients: &[f64]) -> Roots {
    let mut roots = Roots::default();
    let scale = coefficients
        .iter()
        .fold(0.0_f64, |most, c| most.max(c.abs()));
    let degree = match coefficients.iter().rposition(|c| c.abs() > scale * 1e-14) {
        Some(degree) if degree > 0 && degree <= MOST => degree,
        _ => return roots,
    };
    let used = coefficients.get(..=degree).unwrap_or_default();
    let mut derivative = [0.0; MOST];
    for ((n, c), slot) in used.iter().enumerate().skip(1).zip(&mut derivative) {
        *slot = c * n as f64;
    }
    let stops = roots_in_unit(derivative.get(..degree).unwrap_or_default());
    let (mut low, mut at_low) = (0.0, value(used, 0.0));
    if at_low == 0.0 {
        roots.push(0.0);
    }
    for high in stops.as_slice().iter().copied().chain(std::iter::once(1.0)) {
        let at_high = value(used, high);
        if at_high == 0.0 {
            if roots.as_slice().last() != Some(&high) {
                roots.push(high);
            }
        } else if at_low * at_high < 0.0 {
            roots.push(root_between((low, high), at_low, |t| {
                let off = value(used, t);
                (off, off / slope(used, t))
            }));
        }
        (low, at_low) = (high, at_high);
    }
    roots
}

fn value(coefficients: &[f64], t: f64) -> f64 {
    coefficients.iter().rev().fold(0.0, |sum, c| sum * t + c)
}

fn slope(coefficients: &[f64], t: f64) -> f64 {
    let powers = coefficients.iter().enumerate().skip(1).rev();
    powers.fold(0.0, |sum, (n, c)| sum * t + c * n as f64)
}

/// The one place in a range where what runs one way there comes to nothing: Newton's steps, halving the bracket whenever one
/// would leave it. `f` gives the value at a place, and how far Newton's step would go back from there.
pub(crate) fn root_between(
    (mut low, mut high): (f64, f64),
    at_low: f64,
    f: impl Fn(f64) -> (f64, f64),
) -> f64 {
    let mut t = 0.5 * (low + high);
    for _ in 0..80 {
        let (value, step) = f(t);
        if value == 0.0 {
            return t;
        }
        if (value < 0.0) == (at_low < 0.0) {
            low = t;
        } else {
            high = t;
        }
        let newton = t - step;
        let next = if newton > low && newton < high {
            newton
        } else {
            0.5 * (low + high)
        };
        if (next - t).abs() <= 1e-15 {
            return next;
        }
        t = next;
    }
    t
}
