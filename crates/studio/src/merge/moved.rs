//! Which sentences of a row stand elsewhere among those that stayed: those out of place in some shortest account of it. Of
//! two neighbours that changed places nobody can say which of them moved, and both did.

use super::nodes::Id;
use std::collections::{BTreeMap, BTreeSet};

/// A longer row is not looked into: all that is out of its place moved.
const LONGEST: usize = 2000;

/// The sentences that a side moved.
pub(super) fn moved(base: &[Id], side: &[Id]) -> BTreeSet<Id> {
    let place: BTreeMap<Id, usize> = base.iter().copied().zip(0..).collect();
    let row: Vec<(usize, Id)> = side
        .iter()
        .filter_map(|id| Some((*place.get(id)?, *id)))
        .collect();
    if row.is_sorted() {
        return BTreeSet::new();
    }
    if row.len() > LONGEST {
        let mut sorted = row.clone();
        sorted.sort_unstable();
        let pairs = row.iter().zip(&sorted);
        return pairs
            .filter(|(a, b)| a != b)
            .map(|((_, id), _)| *id)
            .collect();
    }
    // The longest rising row that ends with each, and that begins with it.
    let longest = |row: &[usize], rises: fn(usize, usize) -> bool| -> Vec<usize> {
        let mut lengths: Vec<usize> = Vec::new();
        for own in row {
            let before = row.iter().zip(&lengths);
            let before = before.filter(|(other, _)| rises(**other, *own));
            lengths.push(1 + before.map(|(_, length)| *length).max().unwrap_or(0));
        }
        lengths
    };
    let places: Vec<usize> = row.iter().map(|(place, _)| *place).collect();
    let backward: Vec<usize> = places.iter().rev().copied().collect();
    let ends = longest(&places, |a, b| a < b);
    let mut begins = longest(&backward, |a, b| a > b);
    begins.reverse();
    let most = ends.iter().copied().max().unwrap_or(0);
    let on_one = |at: usize| {
        let (end, begin) = (ends.get(at)?, begins.get(at)?);
        (end + begin == most + 1).then_some(*end)
    };
    let mut by_length: BTreeMap<usize, usize> = BTreeMap::new();
    for length in (0..row.len()).filter_map(on_one) {
        *by_length.entry(length).or_default() += 1;
    }
    // What stands in every longest rising row stayed.
    let stayed = |at: usize| on_one(at).is_some_and(|length| by_length.get(&length) == Some(&1));
    let all = row.iter().enumerate();
    all.filter(|(at, _)| !stayed(*at))
        .map(|(_, (_, id))| *id)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn of_two_that_changed_places_both_moved() {
        let swapped = moved(&[1, 2, 3, 4], &[1, 3, 2, 4]);
        assert_eq!(swapped, BTreeSet::from([2, 3]));
        assert_eq!(moved(&[1, 2, 3, 4], &[2, 3, 4, 1]), BTreeSet::from([1]));
        assert!(moved(&[1, 2, 3], &[9, 1, 3, 8]).is_empty());
    }
}
