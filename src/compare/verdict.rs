//! What is to be done with the paper: the last line of every report.

use super::words::list;
use super::{Comparison, Verdict};

pub(super) fn verdict_words(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Keep => "keep",
        Verdict::Relabel => "keep, with other words on it",
        Verdict::Recut => "recut",
        Verdict::New => "new",
        Verdict::Gone => "no longer wanted",
    }
}

/// The last line: which paper to cut again and which to keep.
pub(super) fn verdict(comparison: &Comparison) -> String {
    if comparison.is_empty() {
        return format!("No difference.{}", keep_all(comparison));
    }
    let parts = [
        ("Recut", Verdict::Recut),
        ("Cut for the first time", Verdict::New),
        ("Write on anew", Verdict::Relabel),
        ("Throw away", Verdict::Gone),
        ("Keep", Verdict::Keep),
    ];
    let said: Vec<String> = parts
        .into_iter()
        .filter_map(|(word, verdict)| {
            let labels = comparison.labels(verdict);
            (!labels.is_empty()).then(|| format!("{word}: {}.", labels_of(&labels)))
        })
        .collect();
    if said.is_empty() {
        "No pieces on either side.".to_owned()
    } else {
        said.join(" ")
    }
}

fn keep_all(comparison: &Comparison) -> String {
    let labels = comparison.labels(Verdict::Keep);
    if labels.is_empty() {
        String::new()
    } else {
        format!(" Keep: {}.", labels_of(&labels))
    }
}

/// Labels in a row; where one has a comma of its own, with semicolons between.
fn labels_of(labels: &[&str]) -> String {
    if labels.iter().any(|label| label.contains(',')) {
        labels.join("; ")
    } else {
        list(labels)
    }
}
