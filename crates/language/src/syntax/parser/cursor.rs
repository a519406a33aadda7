//! The smallest rules: one token, one word, one name, and lists of things with commas between.

use super::fault::{Fault, Want};
use super::{In, Read, Rule, rule};
use crate::report::{Code, Span};
use crate::syntax::reserved;
use crate::syntax::tokens::Tok;
use crate::syntax::tree::{Link, NEXT, Name, Word};
use chumsky::prelude::*;

/// Takes the next token and says where it stands.
#[inline]
pub(super) fn bump(inp: &mut In) -> Span {
    let before = inp.cursor();
    inp.skip();
    inp.span_since(&before)
}

/// Where the next token stands.
pub(super) fn next_span(inp: &mut In) -> Span {
    let here = inp.save();
    let span = bump(inp);
    inp.rewind(here);
    span
}

/// The token after the next.
#[inline]
pub(super) fn second<'s>(inp: &mut In<'s, '_>) -> Option<Tok> {
    let here = inp.save();
    inp.skip();
    let tok = inp.peek();
    inp.rewind(here);
    tok
}

/// The letters of the next token.
#[inline]
pub(super) fn next_letters<'s>(inp: &mut In<'s, '_>) -> &'s str {
    let span = next_span(inp);
    inp.state().slice(span)
}

/// A fault at the next token.
pub(super) fn astray(inp: &mut In, want: Want) -> Fault {
    let span = next_span(inp);
    Fault::new(span, inp.peek(), want)
}

/// Takes the next token where it is the one wanted.
#[inline]
pub(super) fn expect(inp: &mut In, tok: Tok, want: Want) -> Read<Span> {
    if inp.peek() == Some(tok) {
        Ok(bump(inp))
    } else {
        Err(astray(inp, want))
    }
}

/// Whether the next token is that word, reserved or not.
pub(super) fn at_word(inp: &mut In, word: &str) -> bool {
    inp.peek() == Some(Tok::Name) && next_letters(inp) == word
}

/// Takes the next token where it is that word.
pub(super) fn expect_word(inp: &mut In, word: &str, want: Want) -> Read<Span> {
    if at_word(inp, word) {
        Ok(bump(inp))
    } else {
        Err(astray(inp, want))
    }
}

/// A fresh name or any other single word.
pub(super) fn read_word(inp: &mut In, want: Want) -> Read<Word> {
    if inp.peek() == Some(Tok::Name) {
        let span = bump(inp);
        Ok(inp.state().word(span))
    } else {
        Err(astray(inp, want))
    }
}

/// A name, dotted or not.
pub(super) fn read_name(inp: &mut In, want: Want) -> Read<Name> {
    match inp.peek() {
        Some(Tok::Name) if next_one(inp) => Ok(next_name(inp)),
        Some(Tok::Name) => {
            let span = bump(inp);
            let words = vec![inp.state().word(span)];
            Ok(Name { words, span })
        }
        Some(Tok::Dotted) => {
            let span = bump(inp);
            Ok(dotted(inp, span))
        }
        _ => Err(astray(inp, want)),
    }
}

/// Whether `next` and a name come next: what that name is the next time.
pub(super) fn next_one(inp: &mut In) -> bool {
    at_word(inp, NEXT) && matches!(second(inp), Some(Tok::Name | Tok::Dotted))
}

/// `next gore.left`: the first word is `next gore`, by which the next copy's name is found.
pub(super) fn next_name(inp: &mut In) -> Name {
    let begun = bump(inp);
    let place = bump(inp);
    let mut name = dotted(inp, place);
    name.span = begun.to(place);
    if let Some(first) = name.words.first_mut() {
        first.text = format!("{NEXT} {}", first.text).into();
        first.span = begun.to(first.span);
    }
    name
}

/// Cuts `back.neck` into its words.
pub(super) fn dotted(inp: &mut In, span: Span) -> Name {
    let letters = inp.state().slice(span);
    let mut words = Vec::with_capacity(2);
    let mut start = span.start as usize;
    for part in letters.split('.') {
        let place = Span::new(span.file, start, start + part.len());
        start += part.len() + 1;
        if let Some(what) = reserved::what_it_is(part) {
            let message = format!("`{part}` is {what} and cannot be a name.");
            let report = crate::report::Diagnostic::error(Code::NameIsReserved, place, message);
            inp.state()
                .tell(report.help(format!("Add a word to it, as in `{part}_edge`.")));
        }
        words.push(inp.state().word(place));
    }
    Name { words, span }
}

/// Things with commas between.
pub(super) fn read_list<'s, O>(
    inp: &mut In<'s, '_>,
    mut one: impl FnMut(&mut In<'s, '_>) -> Read<O>,
) -> Read<Vec<O>> {
    let mut items = vec![one(inp)?];
    while inp.peek() == Some(Tok::Comma) {
        inp.skip();
        items.push(one(inp)?);
    }
    Ok(items)
}

/// The first word of a sentence: the choice of the rule has looked at it.
pub(super) fn first_word<'s>() -> Rule<'s, Span> {
    rule(|inp| Ok(bump(inp))).boxed()
}

pub(super) fn token<'s>(tok: Tok, want: Want) -> Rule<'s, Span> {
    rule(move |inp| expect(inp, tok, want)).boxed()
}

pub(super) fn link<'s>(link: Link, want: Want) -> Rule<'s, Span> {
    token(Tok::Link(link), want)
}

/// A word that is known by its place.
pub(super) fn word<'s>(letters: &'static str, want: Want) -> Rule<'s, Span> {
    rule(move |inp| expect_word(inp, letters, want)).boxed()
}

/// A single word as a name.
pub(super) fn name<'s>(want: Want) -> Rule<'s, Word> {
    rule(move |inp| read_word(inp, want)).boxed()
}

/// A name, dotted or not.
pub(super) fn path<'s>(want: Want) -> Rule<'s, Name> {
    rule(move |inp| read_name(inp, want)).boxed()
}

/// Items with commas between.
pub(super) fn listed<'s, O: 's>(one: Rule<'s, O>) -> Rule<'s, Vec<O>> {
    rule(move |inp| read_list(inp, |inp| inp.parse(&one))).boxed()
}

/// A part that is there where `begins` says so.
pub(super) fn optional<'s, O: 's>(
    begins: fn(&mut In<'s, '_>) -> bool,
    part: Rule<'s, O>,
) -> Rule<'s, Option<O>> {
    rule(move |inp| {
        if begins(inp) {
            inp.parse(&part).map(Some)
        } else {
            Ok(None)
        }
    })
    .boxed()
}

/// Whether a text comes next.
pub(super) fn text_next(inp: &mut In) -> bool {
    inp.peek().is_some_and(Tok::begins_text)
}

/// Whether that linking word comes next.
macro_rules! next_is {
    ($($name:ident $tok:pat,)*) => {
        $(
            #[doc = "Whether that token comes next."]
            pub(super) fn $name(inp: &mut In) -> bool {
                matches!(inp.peek(), Some($tok))
            }
        )*
    };
}

next_is! {
    between_next Tok::Link(Link::Between),
    of_next Tok::Link(Link::Of),
    on_next Tok::Link(Link::On),
    onto_next Tok::Link(Link::Onto),
    to_next Tok::Link(Link::To),
    from_next Tok::Link(Link::From),
    with_next Tok::Link(Link::With),
    as_next Tok::Link(Link::As),
    equal_next Tok::Equal,
    round_next Tok::OpenRound,
    brace_next Tok::OpenBrace,
    else_next Tok::Otherwise,
    until_next Tok::Link(Link::Until),
    toward_next Tok::Link(Link::Toward),
    along_next Tok::Link(Link::Along),
    comma_next Tok::Comma,
}

/// Whether `traced` comes next.
pub(super) fn traced_next(inp: &mut In) -> bool {
    at_word(inp, "traced")
}
