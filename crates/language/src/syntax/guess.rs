//! Forms that people guess, kept beside the row that says it: a pattern with holes, and what to write with what stood in
//! them. Patterns are held against the tokens of a sentence; whether what is written works is for the check to say.

use super::tokens::Tok;
use super::tree::{DirectionWord, Link};
use std::borrow::Cow;
use std::ops::Range;

/// Guessed forms with one answer.
///
/// Words in small letters and signs stand as they are; a word in capitals is a hole: `LENGTH`, `NUMBER`, `SHARE` and `ANGLE` take a
/// sum, `DIRECTION` a direction of the sheet, `SIDE` also `inside` and `outside`, `TEXT` a text, any other word a name, a bracket or `end of LINE`.
#[derive(Clone, Copy, Debug)]
pub struct Guess {
    /// What people say, each with the holes of `write`.
    pub said: &'static [&'static str],
    /// What to write. Several stand with ` | ` between: those that work where it stands are offered.
    pub write: &'static str,
}

/// A token and where it stands in the text at hand.
pub type Placed = (Tok, Range<usize>);

/// What stood in a hole: tokens from, to.
type Filled = (&'static str, Range<usize>);

/// A pattern found in tokens.
#[derive(Clone, Debug)]
pub struct Found {
    /// The tokens it takes.
    pub tokens: Range<usize>,
    filled: Vec<Filled>,
}

impl Guess {
    /// What to write, each of it.
    pub fn answers(&self) -> impl Iterator<Item = &'static str> {
        self.write.split(" | ")
    }
}

/// The tokens from `at` as the pattern says, to their last, or as far as the pattern goes.
pub fn found(pattern: &'static str, text: &str, tokens: &[Placed], at: usize) -> Option<Found> {
    let parts: Vec<&str> = pattern.split_whitespace().collect();
    let mut filled = Vec::new();
    let end = held(&parts, text, tokens, at, &mut filled)?;
    Some(Found {
        tokens: at..end,
        filled,
    })
}

/// Whether a pattern, or what is to be written, has holes.
pub fn has_holes(pattern: &str) -> bool {
    pattern.split_whitespace().any(is_hole)
}

fn is_hole(part: &str) -> bool {
    part.len() > 1 && part.bytes().all(|byte| byte.is_ascii_uppercase())
}

/// Where the last token ends that these parts take.
fn held(
    parts: &[&'static str],
    text: &str,
    tokens: &[Placed],
    at: usize,
    filled: &mut Vec<Filled>,
) -> Option<usize> {
    let Some((part, rest)) = parts.split_first() else {
        return Some(at);
    };
    if !is_hole(part) {
        let (_, place) = tokens.get(at)?;
        let stands = text.get(place.clone()) == Some(part);
        return if stands {
            held(rest, text, tokens, at + 1, filled)
        } else {
            None
        };
    }
    for end in ends(part, tokens, at) {
        let here = letters(text, tokens, &(at..end));
        let before = filled.iter().find(|(name, _)| name == part);
        if before.is_some_and(|(_, range)| letters(text, tokens, range) != here) {
            continue;
        }
        let count = filled.len();
        filled.push((part, at..end));
        if let Some(end) = held(rest, text, tokens, end, filled) {
            return Some(end);
        }
        filled.truncate(count);
    }
    None
}

/// Where what a hole takes may end, the longest first.
fn ends(hole: &str, tokens: &[Placed], at: usize) -> Vec<usize> {
    let first = tokens.get(at).map(|(tok, _)| *tok);
    match hole {
        "DIRECTION" => match first {
            Some(Tok::Direction(
                DirectionWord::Up
                | DirectionWord::Down
                | DirectionWord::Left
                | DirectionWord::Right,
            )) => vec![at + 1],
            _ => Vec::new(),
        },
        "SIDE" => match first {
            Some(Tok::Direction(DirectionWord::Clockwise | DirectionWord::Anticlockwise)) => {
                Vec::new()
            }
            Some(Tok::Direction(_)) => vec![at + 1],
            _ => Vec::new(),
        },
        "TEXT" => match first {
            Some(Tok::Text) => vec![at + 1],
            _ => Vec::new(),
        },
        "LENGTH" | "LENGTHB" | "NUMBER" | "SHARE" | "ANGLE" => sums(tokens, at),
        _ => operands(tokens, at),
    }
}

/// A name, a full name, `origin`, a bracket, `end of LINE`.
fn operands(tokens: &[Placed], at: usize) -> Vec<usize> {
    let tok = |at: usize| tokens.get(at).map(|(tok, _)| *tok);
    match tok(at) {
        Some(Tok::Name) if tok(at + 1) == Some(Tok::Link(Link::Of)) => {
            let mut ends = operands(tokens, at + 2);
            ends.push(at + 1);
            ends
        }
        Some(Tok::Name | Tok::Dotted | Tok::Origin) => vec![at + 1],
        Some(Tok::OpenRound | Tok::OpenSquare) => closed(tokens, at).into_iter().collect(),
        _ => Vec::new(),
    }
}

/// Figures and operands with signs between.
fn sums(tokens: &[Placed], at: usize) -> Vec<usize> {
    let tok = |at: usize| tokens.get(at).map(|(tok, _)| *tok);
    let from = at + usize::from(tok(at) == Some(Tok::Minus));
    let mut all = Vec::new();
    let mut here = vec![from];
    while let Some(at) = here.pop() {
        let ends = match tok(at) {
            Some(Tok::Figure | Tok::OddFigure) => vec![at + 1],
            _ => operands(tokens, at),
        };
        for end in ends {
            all.push(end);
            if matches!(
                tok(end),
                Some(Tok::Plus | Tok::Minus | Tok::Star | Tok::Slash)
            ) {
                here.push(end + 1);
            }
        }
    }
    all.sort_by_key(|end| std::cmp::Reverse(*end));
    all.dedup();
    all
}

/// Past the bracket that closes the one at `at`.
pub fn closed(tokens: &[Placed], at: usize) -> Option<usize> {
    let mut depth = 0_usize;
    for (n, (tok, _)) in tokens.iter().enumerate().skip(at) {
        match tok {
            Tok::OpenRound | Tok::OpenSquare | Tok::OpenBrace | Tok::TextHead => depth += 1,
            Tok::CloseRound | Tok::CloseSquare | Tok::CloseBrace | Tok::TextTail => {
                depth = depth.checked_sub(1)?;
                if depth == 0 {
                    return Some(n + 1);
                }
            }
            _ => {}
        }
    }
    None
}

/// The letters of some tokens, on one line.
pub fn letters(text: &str, tokens: &[Placed], range: &Range<usize>) -> String {
    let (Some((_, first)), Some((_, last))) = (
        tokens.get(range.start),
        range.end.checked_sub(1).and_then(|at| tokens.get(at)),
    ) else {
        return String::new();
    };
    let letters = text.get(first.start..last.end).unwrap_or("");
    letters.split_whitespace().collect::<Vec<_>>().join(" ")
}

impl Found {
    /// An answer with what stood in the holes.
    pub fn written(&self, answer: &str, text: &str, tokens: &[Placed]) -> String {
        let mut out = String::with_capacity(answer.len() + 32);
        let mut rest = answer;
        while let Some(at) = rest.find(|c: char| c.is_ascii_uppercase()) {
            let (before, tail) = rest.split_at_checked(at).unwrap_or((rest, ""));
            out.push_str(before);
            let end = tail
                .find(|c: char| !c.is_ascii_uppercase())
                .unwrap_or(tail.len());
            let (name, after) = tail.split_at_checked(end).unwrap_or((tail, ""));
            let hole = self.filled.iter().find(|(hole, _)| *hole == name);
            match hole {
                Some((_, range)) => {
                    let letters = letters(text, tokens, range);
                    let multiplied = after.trim_start().starts_with(['*', '/'])
                        || out.trim_end().ends_with(['*', '/']);
                    let filled = if multiplied {
                        whole(&letters)
                    } else {
                        letters.into()
                    };
                    // One word needs no brackets behind `of`.
                    if let (true, Some(kept), Some(left)) = (
                        !filled.contains(' '),
                        out.strip_suffix("of (").map(str::len),
                        after.strip_prefix(')'),
                    ) {
                        out.truncate(kept + "of ".len());
                        out.push_str(&filled);
                        rest = left;
                        continue;
                    }
                    out.push_str(&filled);
                }
                None => out.push_str(name),
            }
            rest = after;
        }
        out.push_str(rest);
        out
    }
}

/// In brackets, where it is a sum.
fn whole(letters: &str) -> Cow<'_, str> {
    if letters.contains([' ', '+', '-']) && !(letters.starts_with('(') && letters.ends_with(')')) {
        format!("({letters})").into()
    } else {
        letters.into()
    }
}
