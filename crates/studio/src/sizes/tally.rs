//! A batch summed up: how many bodies are well, and the others by what stopped them, the most frequent first.

use super::answer::{Answer, Reason, Verdict};
use oaktag_language::voice;
use std::collections::BTreeMap;
use std::fmt::Write;

/// Counts of a batch. Grows with the number of reasons, not of bodies.
#[derive(Clone, Debug, Default)]
pub struct Tally {
    counts: BTreeMap<Verdict, usize>,
    reasons: BTreeMap<Reason, Group>,
}

#[derive(Clone, Debug)]
struct Group {
    count: usize,
    /// The first of them, with what was said of it.
    first: (String, String),
    verdict: Verdict,
}

impl Tally {
    /// Counts the verdict on a body, and its reason.
    pub fn add(&mut self, answer: &Answer) {
        *self.counts.entry(answer.verdict).or_default() += 1;
        let Some(reason) = &answer.reason else { return };
        let group = self.reasons.entry(reason.clone()).or_insert_with(|| Group {
            count: 0,
            first: (answer.name.clone(), answer.said.clone()),
            verdict: answer.verdict,
        });
        group.count += 1;
    }

    /// How many fared so.
    pub fn count(&self, verdict: Verdict) -> usize {
        self.counts.get(&verdict).copied().unwrap_or_default()
    }

    /// How many there were.
    pub fn all(&self) -> usize {
        self.counts.values().sum()
    }

    /// The last line of a batch, and above it the reasons where several bodies share one.
    pub fn summary(&self) -> String {
        let mut text = String::new();
        let mut groups: Vec<(&Reason, &Group)> = self.reasons.iter().collect();
        groups.sort_by(|a, b| b.1.count.cmp(&a.1.count).then(a.0.cmp(b.0)));
        if groups.iter().any(|(_, group)| group.count > 1) {
            let _ = writeln!(text, "\nWhat stopped them");
            for (reason, group) in groups {
                let word = match group.verdict {
                    Verdict::Refused => "refused",
                    Verdict::NotRead => "not read",
                    Verdict::Well | Verdict::Fails => "fail",
                };
                let place = if reason.place.is_empty() {
                    String::new()
                } else {
                    format!(", {}", reason.place)
                };
                let (name, said) = &group.first;
                let _ = writeln!(
                    text,
                    "  {} {word}: {}{place}\n    first {name}: {}",
                    group.count,
                    reason.code,
                    beginning(said)
                );
            }
            text.push('\n');
        }
        let not_read = match self.count(Verdict::NotRead) {
            0 => String::new(),
            rows => format!(", {} not read", voice::count(rows, "row")),
        };
        let _ = writeln!(
            text,
            "{} in all: {} well, {} refused, {} failed{not_read}.",
            self.all(),
            self.count(Verdict::Well),
            self.count(Verdict::Refused),
            self.count(Verdict::Fails),
        );
        text
    }
}

/// The first words of a message: the rest stands at its body.
fn beginning(said: &str) -> String {
    const MOST: usize = 160;
    let line = said.lines().next().unwrap_or_default();
    match line.char_indices().nth(MOST) {
        Some((at, _)) => {
            let cut = line.get(..at).unwrap_or(line);
            format!("{} …", cut.rsplit_once(' ').map_or(cut, |(words, _)| words))
        }
        None => line.to_owned(),
    }
}
