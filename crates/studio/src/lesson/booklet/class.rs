//! On paper: the formula sheet, and the answers on sheets of their own.

use super::super::Lesson;
use super::super::class::{ANSWERS, ANSWERS_SAID, Class, FORMULAS, FORMULAS_SAID, YOURS, blank};
use super::set::Block;
use super::{heading, plain};

const COLUMNS: &[f64] = &[0.13, 0.2, 0.32, 0.21, 0.14];
const ANSWERED: &[f64] = &[0.12, 0.36, 0.52];

/// Shares of a table's columns, with one more for the student's own figures where there is a class.
pub(super) fn columns(shares: &[f64], class: Class) -> Vec<f64> {
    /// What the new column takes.
    const OWN: f64 = 0.16;
    if !class.is_one() {
        return shares.to_vec();
    }
    let left = shares.iter().map(|share| share * (1.0 - OWN));
    left.chain([OWN]).collect()
}

/// A row with a cell for the student's own figure, where there is a class.
pub(super) fn with_own(mut row: Vec<String>, is_head: bool, class: Class) -> Vec<String> {
    if class.is_one() {
        row.push(if is_head {
            YOURS.to_owned()
        } else {
            String::new()
        });
    }
    row
}

/// Every figure as a formula; none where there is no class.
pub(super) fn formulas(lesson: &Lesson) -> Option<Vec<Block<'_>>> {
    if lesson.formulas.is_empty() {
        return None;
    }
    let head = ["Step", "Figure", "Formula", "This body", YOURS].map(str::to_owned);
    let rows = lesson.formulas.iter().map(|one| {
        let formula = match &one.from_measures {
            Some(deep) => format!("{} = {deep}", one.formula),
            None => one.formula.clone(),
        };
        let worked = one.question.map_or_else(|| one.worked.clone(), blank);
        vec![
            one.place.clone(),
            one.of.clone(),
            formula,
            worked,
            String::new(),
        ]
    });
    let rows = std::iter::once(head.to_vec()).chain(rows).collect();
    Some(vec![
        heading(FORMULAS),
        plain(FORMULAS_SAID),
        Block::Table(rows, COLUMNS.to_vec()),
    ])
}

/// The answers; none where nothing is asked.
pub(super) fn answers(lesson: &Lesson) -> Option<Vec<Block<'_>>> {
    if lesson.answers.is_empty() {
        return None;
    }
    let head = ["Question", "Figure", "Answer"].map(str::to_owned);
    let rows = lesson.answers.iter().map(|one| {
        let number = format!("[{}]", one.question);
        vec![number, one.of.clone(), one.worked.clone()]
    });
    let rows = std::iter::once(head.to_vec()).chain(rows).collect();
    Some(vec![
        heading(ANSWERS),
        plain(ANSWERS_SAID),
        Block::Table(rows, ANSWERED.to_vec()),
    ])
}
