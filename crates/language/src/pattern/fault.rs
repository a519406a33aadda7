//! What is found wrong while a pattern is put together: told at the sentences it concerns as [`Tag`]s, which evaluation
//! knows the places of.

use super::spec::Tag;
use crate::report::Trouble;

/// One thing that is wrong, or worth a look, with a pattern.
pub type Fault = Trouble<Tag>;
