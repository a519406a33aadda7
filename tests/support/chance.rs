//! Repeatable chance: the same seed gives the same choices on every machine (splitmix64, Steele, Lea and Flood 2014), and
//! so do the same bytes, whose end is a stream of noughts.

/// A stream of choices.
pub enum Chance {
    /// Out of a seed, without an end.
    Seed(u64),
    /// Out of bytes, as a fuzzer makes them.
    Bytes(std::vec::IntoIter<u8>),
}

impl Chance {
    /// The stream of a seed.
    pub fn new(seed: u64) -> Self {
        Self::Seed(seed)
    }

    /// The stream of some bytes: a byte a choice, so that a byte changed is a choice changed.
    pub fn of_bytes(bytes: Vec<u8>) -> Self {
        Self::Bytes(bytes.into_iter())
    }

    /// The next number.
    pub fn next(&mut self) -> u64 {
        let state = match self {
            Self::Bytes(bytes) => return bytes.next().unwrap_or(0).into(),
            Self::Seed(state) => state,
        };
        *state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = *state;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A number below `end`.
    pub fn below(&mut self, end: usize) -> usize {
        usize::try_from(self.next() % end.max(1) as u64).unwrap()
    }

    /// A figure between two.
    pub fn within(&mut self, low: f64, high: f64) -> f64 {
        #[allow(clippy::cast_precision_loss, reason = "53 bits are a figure's own")]
        let share = (self.next() >> 11) as f64 / (1u64 << 53) as f64;
        low + (high - low) * share
    }

    /// Once in so many times.
    pub fn once_in(&mut self, times: usize) -> bool {
        self.below(times) == 0
    }

    /// One of some things.
    pub fn one_of<'a, T>(&mut self, things: &'a [T]) -> &'a T {
        &things[self.below(things.len())]
    }
}
