//! Nothing wrong is said in silence: what a failed sentence drew is withdrawn, and no figure contradicts its words.

use crate::drawing;
mod anew;
mod lines;
mod rings;
mod told;
mod trials;
mod withdrawn;
