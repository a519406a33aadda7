//! A cloth as a draft declares it: what it is, how wide and thick, how it shrinks, and which way its surface runs.

/// A cloth as declared.
#[derive(Clone, Debug, PartialEq)]
pub struct ClothSpec {
    /// Its name in the draft, as it is written there.
    pub name: String,
    /// What the draft says that it is: "poplin".
    pub label: String,
    /// Usable width in millimetres.
    pub width: Option<f64>,
    /// How thick one layer of it is, in millimetres.
    pub thickness: Option<f64>,
    /// Shrinkage of warp and of weft, as shares.
    pub shrinkage: (f64, f64),
    /// Has a nap: all pieces lie the same way.
    pub nap: bool,
    /// Stripe repeat in millimetres.
    pub stripe: Option<f64>,
    /// From one bar of a plaid to the next like it, in millimetres.
    pub plaid: Option<f64>,
    /// Its print, stripes or plaid have a direction: all pieces lie the same way.
    pub one_way: bool,
}

impl ClothSpec {
    /// Whether all its pieces lie the same way.
    pub fn is_one_way(&self) -> bool {
        self.nap || self.one_way
    }
}
