//! What may be written in place of a guessed form: by the table of guesses, and where brackets or a sign were left out.

use super::{Frame, Letters};
use crate::check::checker::Checker;
use crate::syntax::guess::{Found, Guess, Placed, closed, found, has_holes, letters};
use crate::syntax::sentences;
use crate::syntax::starts;
use crate::syntax::tokens::Tok;
use crate::syntax::tree::Link;
use std::ops::Range;

/// Places of one sentence that are looked at.
const MOST_PLACES: usize = 60;
/// Brackets that are tried round words of one sentence.
const MOST_BRACKETS: usize = 24;

/// Letters that may stand in a place.
pub(super) struct Candidate {
    /// In bytes of the sentence.
    pub place: Range<usize>,
    pub answers: Vec<String>,
    /// What the form is that says it.
    pub note: &'static str,
    /// What was left out, where nothing is said in other words.
    pub why: Option<&'static str>,
}

impl<'a> Checker<'a> {
    /// Every candidate that the table and the signs give, the likeliest first.
    pub(super) fn guesses(&self, letters: &Letters<'_>) -> Vec<Candidate> {
        let mut all = Vec::new();
        let scan = Scan::of(letters);
        for row in sentences::ALL {
            for guess in row.guessed {
                scan.row(guess, row.doc, &mut all);
            }
        }
        for form in self.table.forms() {
            for guess in &form.guessed {
                scan.row(guess, &form.doc, &mut all);
            }
        }
        all.extend(scan.brackets_left_out());
        if letters.frame == Frame::Sheet {
            all.extend(scan.list_left_open());
            all.extend(scan.text_sum());
            all.extend(scan.sign_left_out());
        }
        all
    }
}

/// A sentence with the places where a value stands whole.
struct Scan<'l> {
    text: &'l str,
    tokens: &'l [Placed],
    /// From a token, to a token: the sentence, its value, what stands in each bracket.
    wholes: Vec<Range<usize>>,
}

impl<'l> Scan<'l> {
    fn of(letters: &'l Letters<'_>) -> Self {
        let tokens = letters.tokens.as_slice();
        let end = match letters.blocks.first() {
            Some(block) => tokens
                .iter()
                .position(|(_, place)| place.start >= block.start),
            None => None,
        };
        let end = end.unwrap_or(tokens.len());
        let mut wholes: Vec<Range<usize>> = std::iter::once(0..end).collect();
        let mut depth = 0_usize;
        for (at, (tok, place)) in tokens.iter().enumerate().take(end) {
            let word = letters.text.get(place.clone()).unwrap_or("");
            match tok {
                Tok::OpenRound => {
                    if let Some(close) = closed(tokens, at) {
                        wholes.push(at + 1..close - 1);
                    }
                    depth += 1;
                }
                Tok::CloseRound => depth = depth.saturating_sub(1),
                Tok::Equal if depth == 0 => wholes.push(at + 1..end),
                Tok::Link(Link::That | Link::Until | Link::And | Link::Or | Link::Not)
                    if depth == 0 =>
                {
                    wholes.push(at + 1..end);
                }
                Tok::If => wholes.push(at + 1..end),
                Tok::Name if at == 0 && word == "give" => wholes.push(1..end),
                _ => {}
            }
        }
        wholes.truncate(MOST_PLACES);
        Self {
            text: letters.text,
            tokens,
            wholes,
        }
    }

    /// Candidates by one row of the table.
    fn row(&self, guess: &'static Guess, note: &'static str, all: &mut Vec<Candidate>) {
        for said in guess.said {
            let candidate = self.whole(said, guess).or_else(|| self.part(said, guess));
            if let Some((place, answers)) = candidate {
                all.push(Candidate {
                    place,
                    answers,
                    note,
                    why: None,
                });
            }
        }
    }

    fn bytes(&self, tokens: &Range<usize>) -> Option<Range<usize>> {
        let first = self.tokens.get(tokens.start)?.1.start;
        let last = self.tokens.get(tokens.end.checked_sub(1)?)?.1.end;
        Some(first..last)
    }

    fn written(&self, found: &Found, guess: &Guess) -> Vec<String> {
        let answers = guess.answers();
        answers
            .map(|answer| found.written(answer, self.text, self.tokens))
            .collect()
    }

    /// A pattern that is the whole of what stands in a place, linking words behind it aside.
    fn whole(&self, said: &'static str, guess: &Guess) -> Option<(Range<usize>, Vec<String>)> {
        for whole in &self.wholes {
            let Some(found) = found(said, self.text, self.tokens, whole.start) else {
                continue;
            };
            let next = self.tokens.get(found.tokens.end).map(|(tok, _)| *tok);
            let ends = found.tokens.end == whole.end
                || matches!(
                    next,
                    Some(
                        Tok::Link(_)
                            | Tok::Text
                            | Tok::TextHead
                            | Tok::Less
                            | Tok::AtMost
                            | Tok::Equal
                            | Tok::AtLeast
                            | Tok::More
                    )
                );
            if ends && found.tokens.end <= whole.end {
                return Some((self.bytes(&found.tokens)?, self.written(&found, guess)));
            }
        }
        None
    }

    /// A pattern that begins with a word, inside something else: in brackets, where it has holes.
    fn part(&self, said: &'static str, guess: &Guess) -> Option<(Range<usize>, Vec<String>)> {
        let first = said.split_whitespace().next()?;
        if has_holes(first) {
            return None;
        }
        for (at, (_, place)) in self.tokens.iter().enumerate() {
            if self.text.get(place.clone()) != Some(first) {
                continue;
            }
            let Some(found) = found(said, self.text, self.tokens, at) else {
                continue;
            };
            let mut written = self.written(&found, guess);
            if has_holes(said) {
                for answer in &mut written {
                    *answer = format!("({answer})");
                }
            }
            return Some((self.bytes(&found.tokens)?, written));
        }
        None
    }

    /// Phrases with commas between, where a list is wanted: `1/3 along l, 2/3 along l`.
    fn list_left_open(&self) -> Option<Candidate> {
        let whole = self.value()?;
        let inner = match (self.tok(whole.start), closed(self.tokens, whole.start)) {
            (Some(Tok::OpenSquare), Some(end)) if end == whole.end => {
                whole.start + 1..whole.end - 1
            }
            _ => whole.clone(),
        };
        let mut items = Vec::new();
        let (mut at, mut begun) = (inner.start, inner.start);
        while at < inner.end {
            match self.tok(at)? {
                Tok::OpenRound | Tok::OpenSquare => {
                    at = closed(self.tokens, at)?;
                    continue;
                }
                Tok::Comma => {
                    items.push(begun..at);
                    begun = at + 1;
                }
                _ => {}
            }
            at += 1;
        }
        items.push(begun..inner.end);
        if items.len() < 2 || items.iter().any(Range::is_empty) {
            return None;
        }
        let items: Vec<String> = items
            .iter()
            .map(|item| {
                let said = letters(self.text, self.tokens, item);
                let one = item.len() == 1 || closed(self.tokens, item.start) == Some(item.end);
                if one { said } else { format!("({said})") }
            })
            .collect();
        Some(Candidate {
            place: self.bytes(&whole)?,
            answers: vec![format!("[{}]", items.join(", "))],
            note: "",
            why: Some(
                "Several values stand between `[` and `]`, a phrase among them in brackets of its own.",
            ),
        })
    }

    /// `half way along edge right 2cm`: brackets round some of the words, the fewest first.
    fn brackets_left_out(&self) -> Vec<Candidate> {
        let opens = |at: usize| {
            let before = at.checked_sub(1).and_then(|before| self.tok(before));
            let here = self.tok(at);
            let begins = matches!(here, Some(Tok::Name | Tok::Dotted | Tok::Figure));
            let behind = matches!(
                before,
                Some(
                    Tok::Link(_)
                        | Tok::Equal
                        | Tok::Comma
                        | Tok::OpenRound
                        | Tok::OpenSquare
                        | Tok::Name
                )
            );
            begins && behind
        };
        let closes = |at: usize| {
            let is_and = || letters(self.text, self.tokens, &(at..at + 1)) == "and";
            match self.tok(at) {
                Some(Tok::Name) => is_and(),
                None
                | Some(
                    Tok::Link(_)
                    | Tok::Direction(_)
                    | Tok::Comma
                    | Tok::Text
                    | Tok::CloseRound
                    | Tok::CloseSquare
                    | Tok::OpenBrace,
                ) => true,
                _ => false,
            }
        };
        let count = self.wholes.first().map_or(0, |whole| whole.end);
        let mut found: Vec<Range<usize>> = Vec::new();
        for from in (1..count).filter(|at| opens(*at)) {
            let mut depth = 0_usize;
            for at in from..count {
                match self.tok(at) {
                    Some(Tok::OpenRound | Tok::OpenSquare) => depth += 1,
                    Some(Tok::CloseRound | Tok::CloseSquare) if depth == 0 => break,
                    Some(Tok::CloseRound | Tok::CloseSquare) => depth -= 1,
                    _ => {}
                }
                if depth == 0 && at > from && closes(at + 1) {
                    found.push(from..at + 1);
                }
            }
        }
        found.sort_by_key(Range::len);
        let candidates = found.into_iter().take(MOST_BRACKETS).filter_map(|inner| {
            Some(Candidate {
                place: self.bytes(&inner)?,
                answers: vec![format!("({})", letters(self.text, self.tokens, &inner))],
                note: "",
                why: Some("A phrase inside a sentence or another phrase stands in brackets."),
            })
        });
        candidates.collect()
    }

    /// `"a" + b`
    fn text_sum(&self) -> Option<Candidate> {
        let whole = self.value()?;
        let mut out = String::new();
        let mut has_text = false;
        let mut at = whole.start;
        while at < whole.end {
            let said = letters(self.text, self.tokens, &(at..at + 1));
            match self.tok(at)? {
                Tok::Text => {
                    has_text = true;
                    out.push_str(said.trim_matches('"'));
                }
                Tok::Name | Tok::Dotted => out.push_str(&format!("{{{said}}}")),
                _ => return None,
            }
            at += 1;
            if at < whole.end && self.tok(at)? != Tok::Plus {
                return None;
            }
            at += 1;
        }
        (has_text && whole.len() > 1).then(|| Candidate {
            place: self.bytes(&whole).unwrap_or_default(),
            answers: vec![format!("\"{out}\"")],
            note: "",
            why: Some("Texts are not added: what is filled in stands in the text, between braces."),
        })
    }

    /// `line l from a to b`: the name, and no `=` after it.
    fn sign_left_out(&self) -> Option<Candidate> {
        let first = letters(self.text, self.tokens, &(0..1));
        let draws = starts::KINDS.contains(&first.as_str()) || first == "redraw";
        let after = self.tokens.get(2).map(|(tok, _)| *tok);
        if !draws
            || self.tok(1) != Some(Tok::Name)
            || matches!(after, None | Some(Tok::Equal | Tok::Comma))
        {
            return None;
        }
        let (_, name) = self.tokens.get(1)?;
        Some(Candidate {
            place: name.clone(),
            answers: vec![format!("{} =", self.text.get(name.clone())?)],
            note: "",
            why: Some("Write `=` between a name and what is drawn under it."),
        })
    }

    /// What stands after `=`.
    fn value(&self) -> Option<Range<usize>> {
        let equal = self.tokens.iter().position(|(tok, _)| *tok == Tok::Equal)?;
        let whole = self.wholes.iter().find(|whole| whole.start == equal + 1)?;
        (!whole.is_empty()).then(|| whole.clone())
    }

    fn tok(&self, at: usize) -> Option<Tok> {
        self.tokens.get(at).map(|(tok, _)| *tok)
    }
}
