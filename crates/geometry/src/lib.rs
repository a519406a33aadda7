//! Plane geometry of patterns: paths, meetings, parallels, moves, seams and solving, in millimetres on kurbo types.
//!
//! This layer knows nothing of the language, of source text or of pieces. It returns results with figures in them; the
//! layers above add where in the draft they belong.
//!
//! **Conventions, stated once.** Lengths are millimetres. **x points right and y points up.** An [`Angle`](angle::Angle)
//! is positive **clockwise as seen on the paper**, so a clockwise quarter turn takes *up* to *right*. **Left and right of
//! a path** are those of somebody walking along it. A closed outline runs **anticlockwise**, with the cloth on its left.

pub mod allowance;
pub mod angle;
pub mod arc;
pub mod curves;
pub mod edit;
pub mod fair;
pub mod fold;
pub mod inset;
pub mod measure;
pub mod meet;
pub mod moves;
pub mod outline;
pub mod parallel;
pub mod path;
pub mod reach;
pub mod seam;
pub mod self_meet;
pub mod slash;
pub mod solve;
pub mod swing;
pub mod taper;
pub mod turning;

mod apart;
mod corner;
mod meet_cubics;
mod meet_segments;
mod polynomial;
mod positive;
mod segment;

/// Two places closer than this many millimetres are one place: a meeting this near an end counts as the end.
pub const MEETING: f64 = 0.001;

/// Arc lengths are worked out to this many millimetres, far inside what is printed.
pub(crate) const LENGTH_ACCURACY: f64 = 1e-9;

/// How far, in millimetres, a fitted curve (a parallel, a flattened outline) may lie from the true one.
pub(crate) const FITTING: f64 = 0.001;

/// The largest coordinate that a path may have, in millimetres (ten kilometres); beyond it figures lose their meaning.
pub const LARGEST: f64 = 1e7;
