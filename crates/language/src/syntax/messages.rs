//! Collects the messages of one file and keeps their number bounded, so that a damaged file cannot flood the screen or
//! the memory.

use crate::report::{Code, Diagnostic, Span};

/// So many messages of one file are shown.
pub const MOST_SHOWN: usize = 50;
/// So many are kept before they are sorted.
const MOST_KEPT: usize = 1000;

/// A message is cut after so many letters.
const LONGEST: usize = 400;

/// The messages of one file, in the order they arise.
#[derive(Debug, Default)]
pub struct Messages {
    kept: Vec<Diagnostic>,
    dropped: usize,
}

impl Messages {
    /// Keeps a message, up to the most that are kept.
    pub fn push(&mut self, mut message: Diagnostic) {
        // Messages quote the text, and a text may hold a word of megabytes.
        message.message.cut(LONGEST);
        if let Some(help) = &mut message.help {
            help.cut(LONGEST);
        }
        if self.kept.len() < MOST_KEPT {
            self.kept.push(message);
        } else {
            self.dropped += 1;
        }
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.kept.is_empty()
    }

    /// The last message given.
    pub fn last(&self) -> Option<&Diagnostic> {
        self.kept.last()
    }

    /// Where each message stands, in the order of the text; none where there are more than are kept, or where parts of the
    /// text were passed over.
    pub(super) fn places(&self) -> Option<Vec<Span>> {
        let passed_over = |told: &Diagnostic| matches!(told.code, Code::TooLarge | Code::NotMerged);
        if self.dropped > 0 || self.kept.iter().any(passed_over) {
            return None;
        }
        let mut places: Vec<Span> = self.kept.iter().map(|told| told.place).collect();
        places.sort_unstable_by_key(|place| place.start);
        Some(places)
    }

    /// In the order of the text; the last one says how many are left out.
    pub fn finish(mut self) -> Vec<Diagnostic> {
        self.kept.sort_by_key(|d| (d.place.start, d.place.end));
        let over = self.dropped + self.kept.len().saturating_sub(MOST_SHOWN);
        self.kept.truncate(MOST_SHOWN);
        if over > 0
            && let Some(last) = self.kept.pop()
        {
            self.kept.push(last.and_more(over));
        }
        self.kept
    }
}
