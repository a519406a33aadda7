//! What each code means, with an example that gives it and its cure.

use super::Code;

/// What there is to say of a code.
#[derive(Clone, Copy, Debug)]
pub struct Explanation {
    /// What it means.
    pub meaning: &'static str,
    /// A draft that gives it.
    pub example: &'static str,
    /// How to mend it.
    pub cure: &'static str,
}

/// The explanation of a code.
pub fn explanation(_code: Code) -> Explanation {
    Explanation {
        meaning: "",
        example: "",
        cure: "",
    }
}
