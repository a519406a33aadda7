//! Letters beyond ASCII: names with accents, and the characters of word processors inside figures and texts. logos finds
//! the ASCII part of a token and this file goes on from there, since a table of all letters in its automaton would cost
//! minutes of building for the same words.

use super::look_alike::{is_curly, is_fraction, is_hard_space};
use super::tokens::Tok;
use unicode_normalization::char::is_combining_mark;

/// Whether a token may go on beyond its ASCII part, by the two bytes after it. Most never do.
#[inline]
pub(super) fn may_go_on(tok: Tok, after: &[u8]) -> bool {
    let beyond = |at: usize| after.get(at).is_some_and(|byte| *byte >= 0x80);
    match tok {
        Tok::Figure | Tok::OddFigure => {
            beyond(0) || (matches!(after.first(), Some(b' ' | b'-')) && beyond(1))
        }
        Tok::Name | Tok::Dotted => beyond(0) || (after.first() == Some(&b'.') && beyond(1)),
        Tok::If
        | Tok::Otherwise
        | Tok::Each
        | Tok::Yes
        | Tok::No
        | Tok::Origin
        | Tok::Link(_)
        | Tok::Direction(_) => beyond(0),
        _ => false,
    }
}

/// The token that begins at the start of `rest`, whose ASCII part logos took for `tok`; and its length.
pub(super) fn go_on(tok: Tok, length: usize, rest: &str) -> (Tok, usize) {
    match tok {
        Tok::Figure | Tok::OddFigure => figure(tok, length, rest),
        _ => named(rest),
    }
}

/// The token that a character beyond ASCII begins, and its length; none for one that begins nothing.
pub(super) fn begin(rest: &str) -> Option<(Tok, usize)> {
    let first = rest.chars().next()?;
    if begins_name(first) {
        return Some(named(rest));
    }
    if is_hard_space(first) {
        let length = rest.find(|c| !is_hard_space(c)).unwrap_or(rest.len());
        return Some((Tok::HardSpace, length));
    }
    if is_fraction(first) {
        return Some((Tok::OddFigure, unit_after(first.len_utf8(), rest)));
    }
    (is_curly(first) || matches!(first, '‘' | '‚')).then(|| curly_text(first, rest))
}

/// Whether a name may begin with it.
fn begins_name(c: char) -> bool {
    c.is_alphabetic() || c == '_'
}

/// Whether a name may go on with it: letters, marks and digits, but no raised, lowered, ringed or broken figures.
fn continues_name(c: char) -> bool {
    let number_form = matches!(c, '\u{b2}' | '\u{b3}' | '\u{b9}' | '\u{bc}'..='\u{be}' | '\u{2070}' | '\u{2074}'..='\u{2079}' | '\u{2080}'..='\u{2089}' | '\u{2150}'..='\u{218f}' | '\u{2460}'..='\u{24ff}');
    c == '_' || (c.is_alphanumeric() && !number_form) || is_combining_mark(c)
}

/// A name, dotted or not.
fn named(rest: &str) -> (Tok, usize) {
    let word = |from: usize| {
        let tail = rest.get(from..).unwrap_or("");
        from + tail.find(|c| !continues_name(c)).unwrap_or(tail.len())
    };
    let (mut end, mut tok) = (word(0), Tok::Name);
    while let Some(after) = rest.get(end..).and_then(|tail| tail.strip_prefix('.'))
        && after.starts_with(begins_name)
    {
        tok = Tok::Dotted;
        end = word(end + 1);
    }
    (tok, end)
}

/// `15½in`, `12°`, `5″`, `3größe`
fn figure(tok: Tok, length: usize, rest: &str) -> (Tok, usize) {
    let tail = rest.get(length..).unwrap_or("");
    let unitless = rest
        .get(..length)
        .is_some_and(|figure| figure.ends_with(|c: char| c.is_ascii_digit()));
    let Some(first) = tail.chars().next() else {
        return (tok, length);
    };
    let spaced = tail
        .strip_prefix([' ', '-'])
        .filter(|tail| tail.starts_with(is_fraction));
    match (first, spaced) {
        (_, Some(fraction)) if unitless => {
            let sign = fraction.chars().next().map_or(0, char::len_utf8);
            (Tok::OddFigure, unit_after(length + 1 + sign, rest))
        }
        ('°' | '”' | '″', _) if unitless => (Tok::OddFigure, length + first.len_utf8()),
        _ if unitless && is_fraction(first) => {
            (Tok::OddFigure, unit_after(length + first.len_utf8(), rest))
        }
        _ if first.is_alphabetic() => (tok, unit_letters(length, rest)),
        _ => (tok, length),
    }
}

/// After a fraction: an inch mark or the letters of a unit.
fn unit_after(from: usize, rest: &str) -> usize {
    match rest.get(from..).and_then(|tail| tail.chars().next()) {
        Some(mark @ ('"' | '”' | '″')) => from + mark.len_utf8(),
        Some('%') => from + 1,
        Some(letter) if letter.is_alphabetic() => unit_letters(from, rest),
        _ => from,
    }
}

fn unit_letters(from: usize, rest: &str) -> usize {
    let tail = rest.get(from..).unwrap_or("");
    from + tail.find(|c| !continues_name(c)).unwrap_or(tail.len())
}

/// A text in curly, angled or single quotation marks, to its closing mark or the end of its line.
fn curly_text(first: char, rest: &str) -> (Tok, usize) {
    let single = !is_curly(first);
    let closes = |c: char| {
        if single {
            matches!(c, '’' | '‘' | '\'')
        } else {
            is_curly(c) || c == '"'
        }
    };
    let from = first.len_utf8();
    let tail = rest.get(from..).unwrap_or("");
    match tail
        .find(|c| closes(c) || c == '\n')
        .map(|at| (from + at, tail.get(at..).unwrap_or("")))
    {
        Some((end, mark)) if !mark.starts_with('\n') => {
            let length = mark.chars().next().map_or(0, char::len_utf8);
            (Tok::CurlyText, end + length)
        }
        Some((end, _)) => (Tok::OpenCurlyText, end),
        None => (Tok::OpenCurlyText, rest.len()),
    }
}
