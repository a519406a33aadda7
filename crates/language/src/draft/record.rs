//! The record: what each sentence did, in order, with what it read and what it stood in place of. Lessons, comparisons
//! and the editor read it.

use crate::check::program::{SayingKind, SiteId};
use crate::kind::Kind;
use crate::phrase::Value;
use crate::phrase::aid::Aid;
use crate::report::Span;
use crate::voice;

/// The number of an [`Entry`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct EntryId(pub u32);

/// One of the values of an [`Entry`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ValueId {
    /// The entry of the sentence that drew it.
    pub entry: EntryId,
    /// Which of that entry's values it is, from 0.
    pub at: u32,
}

impl ValueId {
    /// Of an entry that has one value.
    pub(super) fn only(entry: EntryId) -> Self {
        Self { entry, at: 0 }
    }
}

/// What a sentence did one time that it was carried out.
#[derive(Clone, Debug)]
pub struct Entry {
    /// The sentence: its place, names, step and form.
    pub site: SiteId,
    /// Its values, one for each name.
    pub values: Vec<Value>,
    /// The sentence that called the operation it stands in.
    pub call: Option<EntryId>,
    /// In `each`: which time, from 0, outermost first.
    pub times: Vec<u32>,
    /// The values that it read.
    pub read: Vec<ValueId>,
    /// Of a `redraw`, what each of its values stands in place of.
    pub replaced: Vec<ValueId>,
    /// What was left on the paper beside the result.
    pub aids: Vec<Aid>,
    /// How a value was found by `try`.
    pub trial: Option<TrialSummary>,
    /// Figures of the arguments in it, by where they stand, in the order worked out.
    pub worked: Vec<Worked>,
}

/// A figure that stands inside a sentence.
#[derive(Clone, Debug, PartialEq)]
pub struct Worked {
    /// Where in the text.
    pub span: Span,
    /// Millimetres, degrees (clockwise positive), square millimetres or a number.
    pub figure: f64,
    /// What sort of sentence it was, with what belongs to that sort.
    pub kind: Kind,
}

/// How `try` found its value.
#[derive(Clone, Debug, PartialEq)]
pub struct TrialSummary {
    /// The value that makes both sides equal: millimetres, degrees or a number.
    pub found: f64,
    /// What was wanted on the right side there.
    pub wanted: f64,
    /// What came out on the left side.
    pub came_out: f64,
    /// How many times it was drawn.
    pub drawn: u32,
    /// Another value that would do.
    pub others: Vec<f64>,
}

/// Words of a step, figures filled in.
#[derive(Clone, Debug, PartialEq)]
pub struct Said {
    /// The sentence that says them.
    pub site: SiteId,
    /// Note, why, slip or terms.
    pub kind: SayingKind,
    /// With the figures that stand in them.
    pub text: String,
    /// What a slip is made in, and the figure it gives, for people.
    pub slip: Option<(String, String)>,
    /// The sentence that called the operation it stands in.
    pub call: Option<EntryId>,
}

/// Everything that was done.
#[derive(Clone, Debug, Default)]
pub struct Record {
    /// What each sentence did, in the order in which they were carried out.
    pub entries: Vec<Entry>,
    /// Notes, reasons, cautions, slips and terms, in order.
    pub said: Vec<Said>,
    /// How far each check is from failing, in millimetres, degrees or its own measure.
    pub margins: Vec<(SiteId, f64)>,
    /// Sentences carried out, trials included.
    pub sentences: u64,
    /// How often the block of a `try` was drawn, those inside others counted too.
    pub trials: u64,
    /// Sentences left out because what they need was not drawn, without checks and seams.
    pub left_out: u32,
    /// Checks and seams that could not be judged, in order.
    pub not_judged: Vec<NotJudged>,
}

/// A check or a seam that could not be judged, because what it needs was not drawn.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NotJudged {
    /// A seam; otherwise a check.
    pub is_seam: bool,
    /// The seam's name, or the check's words.
    pub name: String,
    /// What is missing, in words.
    pub why: String,
}

impl NotJudged {
    /// A check, by its words.
    pub fn check(name: String, why: &str) -> Self {
        Self {
            is_seam: false,
            name,
            why: why.to_owned(),
        }
    }

    /// A seam, by its name.
    pub fn seam(name: String, why: &str) -> Self {
        Self {
            is_seam: true,
            name,
            why: why.to_owned(),
        }
    }

    /// How many of them, in words: "1 check and 2 seams"; empty where there is none.
    pub fn count(all: &[NotJudged]) -> String {
        let seams = all.iter().filter(|one| one.is_seam).count();
        let checks = all.len() - seams;
        let said = |count: usize, one: &str| (count > 0).then(|| voice::count(count, one));
        let said: Vec<String> = [said(checks, "check"), said(seams, "seam")]
            .into_iter()
            .flatten()
            .collect();
        voice::list(&said)
    }
}

impl Record {
    /// The entry of that number.
    pub fn get(&self, id: EntryId) -> Option<&Entry> {
        self.entries.get(id.0 as usize)
    }
}
