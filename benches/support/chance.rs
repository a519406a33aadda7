//! Repeatable chance: the same seed gives the same choices on every machine (xorshift, Marsaglia 2003).

/// A stream of choices.
pub struct Chance(u64);

impl Chance {
    /// The stream of a seed.
    pub fn new(seed: u64) -> Self {
        Self(seed | 1)
    }

    /// The next number.
    pub fn next(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }

    /// From 0 up to 1.
    pub fn share(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// A figure between two others.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }

    /// A whole number below `end`.
    pub fn below(&mut self, end: usize) -> usize {
        (self.share() * end as f64) as usize
    }
}
