//! Phrases: a head or a value, then linking words with their arguments, then options. Which words are heads is not known
//! here: a word followed by an operand is one, and a word followed by a linking word is left for the check of kinds.

use super::bearing::bearing;
use super::cursor::{astray, bump, next_one, next_span, read_list, second};
use super::expression::{Rules, expression, made, operand};
use super::fault::{Fault, Want};
use super::{In, Read, condition, message, values};
use crate::report::Span;
use crate::syntax::tokens::Tok;
use crate::syntax::tree::{Clause, Expr, ExprKind, Lead, Link, Phrase, Word};
use crate::voice::Words;

/// Heads that take one complete operand, so that a comma after it never continues them.
const TIGHT: &[&str] = &["length", "start", "end", "area", "count"];

/// Whether a linking word may bring an argument of a phrase.
pub(super) fn is_clause(link: Link) -> bool {
    !matches!(
        link,
        Link::Of
            | Link::And
            | Link::Or
            | Link::Not
            | Link::That
            | Link::Is
            | Link::Within
            | Link::Than
            | Link::Above
            | Link::Below
            | Link::Joins
            | Link::As
            | Link::Gives
            | Link::OfTheWay
    )
}

/// A phrase or a condition: what may stand after `=` and `give`, and inside brackets and the holes of a text.
pub(super) fn value<'s>(inp: &mut In<'s, '_>, rules: &Rules<'s>) -> Read<Expr> {
    match inp.peek() {
        Some(Tok::Link(link)) if is_clause(link) => {
            let start = next_span(inp);
            let phrase = clauses(inp, rules, Lead::Nothing, start)?;
            not_compared(inp, rules, phrase)
        }
        Some(Tok::Link(Link::Not)) => condition::condition(inp, rules),
        Some(Tok::Name) if second(inp).is_some_and(Tok::begins_operand) && !next_one(inp) => {
            let span = bump(inp);
            let word = inp.state().word(span);
            let phrase = headed(inp, rules, word)?;
            not_compared(inp, rules, phrase)
        }
        _ => led_by_value(inp, rules),
    }
}

/// `pivot a, b about c …`: the head has been read.
fn headed<'s>(inp: &mut In<'s, '_>, rules: &Rules<'s>, word: Word) -> Read<Expr> {
    next_sentence(inp)?;
    misspelt_link(inp)?;
    let start = word.span;
    let direct = read_list(inp, |inp| expression(inp, rules))?;
    clauses(inp, rules, Lead::Head { word, direct }, start)
}

/// A condition, a plain expression, or a phrase that begins with one.
fn led_by_value<'s>(inp: &mut In<'s, '_>, rules: &Rules<'s>) -> Read<Expr> {
    let lead = expression(inp, rules)?;
    let start = lead.span;
    match inp.peek() {
        Some(Tok::Link(link)) if is_clause(link) => {
            let phrase = clauses(inp, rules, Lead::Value(lead), start)?;
            not_compared(inp, rules, phrase)
        }
        Some(Tok::Comma) => match lead.kind {
            ExprKind::Of { head, operand } if !TIGHT.contains(&&*head.text) => {
                of_list(inp, rules, head, *operand)
            }
            kind => Ok(made(kind, start)),
        },
        _ => condition::either(inp, rules, Some(lead)),
    }
}

/// `smallest of a, b`: the head and its first operand have been read.
fn of_list<'s>(inp: &mut In<'s, '_>, rules: &Rules<'s>, word: Word, first: Expr) -> Read<Expr> {
    let (start, link_span) = (word.span, word.span.after());
    let mut arguments = vec![first];
    while inp.peek() == Some(Tok::Comma) {
        inp.skip();
        arguments.push(expression(inp, rules)?);
    }
    let of = Clause {
        link: Link::Of,
        link_span,
        arguments,
    };
    let lead = Lead::Head {
        word,
        direct: Vec::new(),
    };
    clauses_after(inp, rules, lead, vec![of], start)
}

fn clauses<'s>(inp: &mut In<'s, '_>, rules: &Rules<'s>, lead: Lead, start: Span) -> Read<Expr> {
    clauses_after(inp, rules, lead, Vec::new(), start)
}

/// The linking words with their arguments, and the options that close the phrase.
fn clauses_after<'s>(
    inp: &mut In<'s, '_>,
    rules: &Rules<'s>,
    lead: Lead,
    mut clauses: Vec<Clause>,
    start: Span,
) -> Read<Expr> {
    let mut end = lead_end(&lead, start);
    let mut options = Vec::new();
    let mut pair_open = false;
    while let Some(Tok::Link(link)) = inp.peek() {
        if link == Link::With {
            inp.skip();
            options = read_list(inp, |inp| values::setting(inp, rules))?;
            break;
        }
        let second_of_pair = pair_open && link == Link::And;
        // `within` begins no clause of its own, or `a is within 1mm of b` could not be read; it may follow others.
        let how_far = link == Link::Within && !clauses.is_empty();
        if !(is_clause(link) || second_of_pair || how_far) {
            break;
        }
        pair_open = link == Link::Between || (pair_open && link != Link::And);
        clauses.push(clause(inp, rules, link)?);
        if inp.peek() == Some(Tok::Link(Link::For))
            && let Some(kept) = kept(inp, rules, link)?
        {
            clauses.push(kept);
        }
    }
    if let Some(last) = clauses.last().and_then(|clause| clause.arguments.last()) {
        end = end.to(last.span);
    }
    if let Some(last) = options.last() {
        end = end.to(last.to.as_ref().unwrap_or(&last.value).span);
    }
    let phrase = Phrase {
        lead,
        clauses,
        options,
    };
    Ok(made(ExprKind::Phrase(Box::new(phrase)), start.to(end)))
}

fn lead_end(lead: &Lead, start: Span) -> Span {
    match lead {
        Lead::Nothing => start,
        Lead::Head { word, direct } => direct.last().map_or(word.span, |last| last.span),
        Lead::Value(value) => value.span,
    }
}

fn clause<'s>(inp: &mut In<'s, '_>, rules: &Rules<'s>, link: Link) -> Read<Clause> {
    let link_span = bump(inp);
    let arguments = match link {
        Link::Toward | Link::Leaving | Link::Arriving => vec![bearing(inp, rules)?],
        Link::Until | Link::LevelOf => vec![operand(inp, rules)?],
        _ => read_list(inp, |inp| expression(inp, rules))?,
    };
    Ok(Clause {
        link,
        link_span,
        arguments,
    })
}

/// `for 13cm`, `for 1/3 of the way`, right behind the way that a curve leaves or arrives; none behind another word.
fn kept<'s>(inp: &mut In<'s, '_>, rules: &Rules<'s>, link: Link) -> Read<Option<Clause>> {
    let (length, share) = match link {
        Link::Leaving => (Link::LeavingFor, Link::LeavingShare),
        Link::Arriving => (Link::ArrivingFor, Link::ArrivingShare),
        _ => return Ok(None),
    };
    let mut link_span = bump(inp);
    let far = expression(inp, rules)?;
    let link = if inp.peek() == Some(Tok::Link(Link::OfTheWay)) {
        link_span = link_span.to(bump(inp));
        share
    } else {
        length
    };
    Ok(Some(Clause {
        link,
        link_span,
        arguments: vec![far],
    }))
}

/// A phrase beside a comparison sign needs brackets; so does one joined by `and`.
fn not_compared<'s>(inp: &mut In<'s, '_>, rules: &Rules<'s>, phrase: Expr) -> Read<Expr> {
    let compared = matches!(
        inp.peek(),
        Some(
            Tok::Link(Link::Is | Link::And | Link::Or)
                | Tok::Less
                | Tok::AtMost
                | Tok::Equal
                | Tok::AtLeast
                | Tok::More
        )
    );
    if !compared {
        return Ok(phrase);
    }
    tell_brackets(
        inp,
        phrase.span,
        "A phrase beside a comparison stands in brackets.",
    );
    let broken = made(ExprKind::Broken, phrase.span);
    condition::either(inp, rules, Some(broken))
}

/// A value with linking words where only an expression may stand.
pub(super) fn bare_phrase<'s>(inp: &mut In<'s, '_>, rules: &Rules<'s>, lead: Expr) -> Read<Expr> {
    let start = lead.span;
    let phrase = clauses(inp, rules, Lead::Value(lead), start)?;
    tell_brackets(
        inp,
        phrase.span,
        "A phrase beside a comparison stands in brackets.",
    );
    Ok(made(ExprKind::Broken, phrase.span))
}

/// A head with its direct argument where only an expression may stand: read on to the end of its first clause, so that
/// the message can place the brackets.
pub(super) fn bare_head<'s>(inp: &mut In<'s, '_>, rules: &Rules<'s>, word: Word) -> Read<Expr> {
    misspelt(inp, &word)?;
    next_sentence(inp)?;
    misspelt_link(inp)?;
    let direct = operand(inp, rules)?;
    let mut end = direct.span;
    if let Some(Tok::Link(link)) = inp.peek()
        && is_clause(link)
        && link != Link::With
    {
        let clause = clause(inp, rules, link)?;
        end = clause
            .arguments
            .last()
            .map_or(clause.link_span, |last| last.span);
    }
    let span = word.span.to(end);
    let message = format!(
        "`{} …` is a phrase of its own, and inside another one it stands in brackets.",
        word.text
    );
    tell_brackets(inp, span, message);
    Ok(made(ExprKind::Broken, span))
}

fn tell_brackets(inp: &mut In, span: Span, what: impl Into<Words>) {
    if std::mem::replace(&mut inp.state().told, true) {
        return;
    }
    let letters = inp.state().slice(span);
    let message = message::needs_brackets(letters, span, what);
    inp.state().tell(message);
}

/// A word that is nearly a linking word or a direction, before an operand: that is what was meant.
fn misspelt(inp: &mut In, word: &Word) -> Read<()> {
    let Some(message) = message::misspelt_link(word) else {
        return Ok(());
    };
    if !std::mem::replace(&mut inp.state().told, true) {
        inp.state().tell(message);
    }
    Err(Fault::told(word.span))
}

/// A sentence word with a name after it: the sentence before was complete.
fn next_sentence(inp: &mut In) -> Read<()> {
    if message::begins_another(inp) {
        return Err(astray(inp, Want::a("the end of the sentence")));
    }
    Ok(())
}

/// The same for the next token, where it is a word before an operand.
fn misspelt_link(inp: &mut In) -> Read<()> {
    if inp.peek() != Some(Tok::Name) || !second(inp).is_some_and(Tok::begins_operand) {
        return Ok(());
    }
    let span = next_span(inp);
    let word = inp.state().word(span);
    misspelt(inp, &word)
}
