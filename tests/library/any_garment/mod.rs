//! The acts of `use any_garment` and `use dart` laid on a skirt, on a bodice without a shirt's names, and on trousers: each works,
//! its outlines closed and its seams true as another crate and another reader find them, or one sentence says what the garment
//! lacks. What comes of it in figures is known by construction: a slash adds what it opens, a vent parts its edge, a dart that is
//! moved takes its angle and its points with it.

mod cases;
mod known;
mod refused;
