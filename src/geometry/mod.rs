//! Plane geometry of patterns: paths, meetings, parallels, moves, seams and solving, in millimetres on kurbo types.
//!
//! This layer knows nothing of the language, of source text or of pieces. It returns results with figures in them; the
//! layers above add where in the draft they belong.
//!
//! **Conventions, stated once.** Lengths are millimetres. **x points right and y points up.** An [`Angle`](angle::Angle)
//! is positive **clockwise as seen on the paper**, so a clockwise quarter turn takes *up* to *right*.
