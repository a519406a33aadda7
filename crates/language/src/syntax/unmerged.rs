//! The marks that a version control leaves where two versions of some lines were not merged: told once, and then the first
//! version is read, so that nothing is told of lines that stand there twice.

use super::messages::Messages;
use crate::report::{Code, Diagnostic, FileId, Span};
use std::ops::Range;

/// So many letters of one kind begin such a line.
const LONG: usize = 7;

/// The text with the marks, and every version but the first, blanked out; none where it has no marks.
pub(super) fn first_version(text: &str, file: FileId, messages: &mut Messages) -> Option<String> {
    if !["<<<<<<<", ">>>>>>>", "======="]
        .iter()
        .any(|mark| text.contains(mark))
    {
        return None;
    }
    let marks = marks(text);
    let (first, begun) = marks.first()?;
    let mut out = text.as_bytes().to_vec();
    let mut other = None;
    for (mark, line) in &marks {
        blank(&mut out, line);
        match mark {
            '<' => other = None,
            '|' | '=' => other = other.or(Some(line.end)),
            _ => {
                if let Some(from) = other.take() {
                    blank(&mut out, &(from..line.start));
                }
            }
        }
    }
    let span = |line: &Range<usize>| Span::new(file, line.start, line.end);
    let mut told = Diagnostic::error(
        Code::NotMerged,
        span(begun),
        "Two versions of these lines stand here, and have not been merged.",
    )
    .at(what(*first))
    .help("Keep one of them, or write what both want, and take the lines of marks out.");
    for (mark, line) in marks.iter().skip(1).take(2) {
        told = told.see(span(line), what(*mark));
    }
    let hunks = marks.iter().filter(|(mark, _)| *mark == '<').count();
    if hunks > 1 {
        told = told.note(format!("There are {hunks} such places."));
    }
    messages.push(told);
    String::from_utf8(out).ok()
}

fn what(mark: char) -> &'static str {
    match mark {
        '<' => "one version from here",
        '>' => "to here",
        '|' => "what both came from, from here",
        _ => "the other from here",
    }
}

/// Every line of marks, with its letter and place.
fn marks(text: &str) -> Vec<(char, Range<usize>)> {
    let mut found = Vec::new();
    let mut at = 0;
    for line in text.split_inclusive('\n') {
        let whole = line.trim_end();
        let letter = whole.chars().next().filter(|c| "<=>|".contains(*c));
        if let Some(letter) = letter {
            let rest = whole.trim_start_matches(letter);
            let is_mark =
                whole.len() - rest.len() == LONG && (rest.is_empty() || rest.starts_with(' '));
            if is_mark {
                found.push((letter, at..at + whole.len()));
            }
        }
        at += line.len();
    }
    found
}

/// Puts spaces in place of all but line ends.
fn blank(out: &mut [u8], range: &Range<usize>) {
    for byte in out.get_mut(range.clone()).unwrap_or_default() {
        if *byte != b'\n' {
            *byte = b' ';
        }
    }
}
