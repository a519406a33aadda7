//! The wearer's left and right. What is said of one side of a body has that side behind its name, `shoulder_slope.left`:
//! the two words are directions of the language, so that no draft can draw such a name itself.

use serde::{Deserialize, Serialize};
use std::fmt;

/// The text by which a panel says which half of the wearer its sheet shows, right side of the cloth up: `left` or `right`.
pub const SHOWN_HALF: &str = "shown_half";

/// A side of the wearer, never of the sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum WearerSide {
    /// The half of the garment over the wearer's left.
    Left,
    /// The half of the garment over the wearer's right.
    Right,
}

impl WearerSide {
    /// Both of them, in the order in which they are told.
    pub const BOTH: [WearerSide; 2] = [WearerSide::Left, WearerSide::Right];

    /// As it stands behind a name.
    pub fn word(self) -> &'static str {
        match self {
            WearerSide::Left => "left",
            WearerSide::Right => "right",
        }
    }

    /// The side of that word.
    pub fn named(word: &str) -> Option<Self> {
        Self::BOTH.into_iter().find(|side| side.word() == word)
    }

    /// The side across from it.
    pub fn other(self) -> Self {
        match self {
            WearerSide::Left => WearerSide::Right,
            WearerSide::Right => WearerSide::Left,
        }
    }

    /// What the name is called on this side: `front.left`.
    pub fn of(self, name: &str) -> String {
        format!("{name}.{}", self.word())
    }

    /// A name without its side, and the side: `shoulder_slope.left`.
    pub fn split(name: &str) -> Option<(&str, Self)> {
        let (stem, word) = name.rsplit_once('.')?;
        let side = Self::named(word)?;
        (!stem.is_empty()).then_some((stem, side))
    }
}

impl fmt::Display for WearerSide {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_side_stands_behind_a_name() {
        let left = Some(("house.slope", WearerSide::Left));
        assert_eq!(WearerSide::split("house.slope.left"), left);
        assert_eq!(WearerSide::split("left"), None);
        assert_eq!(WearerSide::split(".left"), None);
        assert_eq!(WearerSide::split("back.up"), None);
        assert_eq!(WearerSide::Right.of("front"), "front.right");
    }
}
