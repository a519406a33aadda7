//! The canonical layout as letters in place of others, so that an editor moves nothing but what changes.

use crate::session::places::{Place, Units};
use crate::session::view::Offer;
use oaktag_language::syntax::tidy;
use similar::{Algorithm, DiffOp, capture_diff_slices};
use std::ops::Range;

/// What changes where a text is laid out; `within` a place, the lines that it touches alone. Lines end as the text's first does.
pub fn tidied(text: &str, within: Option<Place>) -> Vec<Offer> {
    let laid_out = tidy(text).text;
    let (old, new) = (lines(text), lines(&laid_out));
    let ops = capture_diff_slices(Algorithm::Patience, &old, &new);
    let changes = ops.iter().filter(|op| !matches!(op, DiffOp::Equal { .. }));
    let changes: Vec<(Range<usize>, Range<usize>)> =
        changes.map(|op| (op.old_range(), op.new_range())).collect();
    let units = Units::of(text);
    let starts = starts(text);
    let byte = |line: usize| starts.get(line).copied().unwrap_or(text.len());
    let end = match text.contains("\r\n") {
        true => "\r\n",
        false => "\n",
    };
    let made = |kept: &[&(Range<usize>, Range<usize>)]| -> Vec<(Range<usize>, String)> {
        let one = |change: &&(Range<usize>, Range<usize>)| {
            let lines = new.get(change.1.clone()).unwrap_or_default();
            let text: String = lines.concat().replace('\n', end);
            (byte(change.0.start)..byte(change.0.end), text)
        };
        kept.iter().map(one).collect()
    };
    let mut kept: Vec<&(Range<usize>, Range<usize>)> = changes.iter().collect();
    if let Some(within) = within {
        let (from, to) = (units.byte(within.from), units.byte(within.to));
        let touches = |change: &&(Range<usize>, Range<usize>)| {
            let old = &change.0;
            byte(old.start) <= to && from <= byte(old.end.max(old.start + 1))
        };
        let some: Vec<_> = changes.iter().filter(touches).collect();
        // What moves from one line to another is moved whole, or not at all.
        let comes_to = tidy(&with(text, &made(&some))).text;
        match lines(&comes_to) == new {
            true => kept = some,
            false if some.is_empty() => kept.clear(),
            false => {}
        }
    }
    let offers = made(&kept).into_iter().map(|(bytes, text)| Offer {
        at: units.place(bytes),
        text,
    });
    offers.collect()
}

/// Lines with their ends, which are all alike.
fn lines(text: &str) -> Vec<String> {
    let lines = text.split_inclusive('\n');
    lines.map(|line| line.replace("\r\n", "\n")).collect()
}

/// The bytes at which lines begin.
fn starts(text: &str) -> Vec<usize> {
    let mut at = 0;
    let lines = text.split_inclusive('\n').map(|line| {
        let start = at;
        at += line.len();
        start
    });
    lines.collect()
}

fn with(text: &str, changes: &[(Range<usize>, String)]) -> String {
    let mut text = text.to_owned();
    for (bytes, letters) in changes.iter().rev() {
        text.replace_range(bytes.clone(), letters);
    }
    text
}
