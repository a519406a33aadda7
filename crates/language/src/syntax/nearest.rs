//! The word that was probably meant: nearest by letters changed, added, dropped or swapped; ties go to the one listed
//! first, so that the same slip always gets the same suggestion.

/// Words that mean the same to a reader.
const SAME: &[(&str, &str)] = &[
    ("towards", "toward"),
    ("onwards", "onto"),
    ("center", "centre"),
    ("counterclockwise", "anticlockwise"),
    ("upwards", "up"),
    ("downwards", "down"),
    ("parallell", "parallel"),
    ("till", "until"),
    ("via", "through"),
    ("upto", "to"),
];

/// The nearest of some words, where one is near.
pub(super) fn nearest<'a>(word: &str, among: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let lower = word.to_lowercase();
    let meant = SAME
        .iter()
        .find(|(other, _)| *other == lower)
        .map(|(_, own)| *own);
    let mut best: Option<(usize, &str)> = None;
    for candidate in among {
        if meant == Some(candidate) || (candidate == lower && candidate != word) {
            return Some(candidate);
        }
        let longest = word.len().max(candidate.len());
        let allowed = match longest {
            0..=2 => 0,
            3..=5 => 1,
            6..=8 => 2,
            _ => 3,
        };
        if word.len().abs_diff(candidate.len()) > allowed || candidate == word {
            continue;
        }
        let distance = strsim::damerau_levenshtein(&lower, candidate);
        if distance <= allowed && best.is_none_or(|(least, _)| distance < least) {
            best = Some((distance, candidate));
        }
    }
    best.map(|(_, candidate)| candidate)
}
