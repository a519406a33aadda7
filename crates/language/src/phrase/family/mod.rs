//! The rows of the table, one file a family.

mod arcs;
mod curves;
mod fault;
mod figures;
mod lines;
mod lists;
mod measures;
mod moves;
mod parallels;
mod points;

pub(crate) use lines::{Reach, first_meeting};

use super::form::Form;

/// Every built-in row, in the order of the reference.
pub(super) fn all() -> Vec<Form> {
    [
        points::rows(),
        lines::rows(),
        parallels::rows(),
        curves::rows(),
        arcs::rows(),
        moves::rows(),
        measures::rows(),
        figures::rows(),
        lists::rows(),
    ]
    .concat()
}
