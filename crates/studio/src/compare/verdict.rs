//! What is to be done with the paper: the last line of every report. It never ends in what to keep where something could not
//! be drawn.

use super::{Comparison, Verdict, unmoved};
use oaktag_language::voice;

pub(super) fn verdict_words(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Keep => "keep",
        Verdict::Relabel => "keep, with other words on it",
        Verdict::Mark => "mark anew",
        Verdict::Notch => "notch anew",
        Verdict::NotchAndMark => "notch and mark anew",
        Verdict::Recut => "recut",
        Verdict::New => "new",
        Verdict::Gone => "no longer wanted",
        Verdict::NotDrawn => "not drawn",
    }
}

/// The last line: which paper to cut again and which to keep.
pub(super) fn verdict(comparison: &Comparison) -> String {
    let parts = [
        ("Recut", Verdict::Recut),
        ("Cut for the first time", Verdict::New),
        ("Notch and mark anew", Verdict::NotchAndMark),
        ("Notch anew", Verdict::Notch),
        ("Mark anew", Verdict::Mark),
        ("Write on anew", Verdict::Relabel),
        ("Throw away", Verdict::Gone),
        ("Keep", Verdict::Keep),
    ];
    let mut said: Vec<String> = Vec::new();
    if comparison.is_empty() {
        said.push("No difference.".to_owned());
    }
    said.extend(unmoved::said(comparison));
    let all = parts.into_iter().filter_map(|(word, verdict)| {
        let labels = comparison.labels(verdict);
        (!labels.is_empty()).then(|| format!("{word}: {}.", labels_of(&labels)))
    });
    said.extend(all);
    said.extend(not_drawn(comparison));
    if said.is_empty() {
        "No pieces on either side.".to_owned()
    } else {
        said.join(" ")
    }
}

/// What could not be drawn on the new side.
fn not_drawn(comparison: &Comparison) -> Option<String> {
    let mut labels = comparison.labels(Verdict::NotDrawn);
    for label in &comparison.not_drawn {
        if !labels.contains(&label.as_str()) {
            labels.push(label);
        }
    }
    if !labels.is_empty() {
        return Some(format!("Not drawn: {}.", labels_of(&labels)));
    }
    (!comparison.is_whole).then(|| format!("Not drawn whole: {}.", comparison.new))
}

/// Labels in a row; where one has a comma of its own, with semicolons between.
fn labels_of(labels: &[&str]) -> String {
    if labels.iter().any(|label| label.contains(',')) {
        labels.join("; ")
    } else {
        voice::list(labels)
    }
}
