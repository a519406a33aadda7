//! Conditions: `or`, then `and`, then `not`, then one comparison. Each side of a comparison is an expression; a phrase
//! beside one stands in brackets.

use super::context::KeepOf;
use super::cursor::{astray, at_word, bump, expect, next_letters, read_word, second};
use super::expression::{Rules, expression, made, relation_next, spend};
use super::fault::Want;
use super::model::Model;
use super::{In, Read, phrase};
use crate::syntax::tokens::Tok;
use crate::syntax::tree::{Comparison, DirectionWord, Expr, ExprKind, Lies, Link, Relation};

/// The words before `than`.
pub(super) const RELATIONS: &[&str] = &["longer", "shorter", "more", "less"];

/// The word that asks whether a name is there.
pub(super) const DRAWN: &str = "drawn";

/// A condition from its first token.
pub(super) fn condition<'s>(inp: &mut In<'s, '_>, rules: &Rules<'s>) -> Read<Expr> {
    either(inp, rules, None)
}

/// A condition whose first side has been read, if one has.
pub(super) fn either<'s>(
    inp: &mut In<'s, '_>,
    rules: &Rules<'s>,
    first: Option<Expr>,
) -> Read<Expr> {
    let mut left = both(inp, rules, first)?;
    while inp.peek() == Some(Tok::Link(Link::Or)) {
        let sign = bump(inp);
        spend(inp, sign)?;
        let right = both(inp, rules, None)?;
        let span = left.span.to(right.span);
        left = made(ExprKind::Either(Box::new(left), Box::new(right)), span);
    }
    Ok(left)
}

fn both<'s>(inp: &mut In<'s, '_>, rules: &Rules<'s>, first: Option<Expr>) -> Read<Expr> {
    let mut left = not(inp, rules, first)?;
    while inp.peek() == Some(Tok::Link(Link::And)) {
        let sign = bump(inp);
        spend(inp, sign)?;
        let right = not(inp, rules, None)?;
        let span = left.span.to(right.span);
        left = made(ExprKind::Both(Box::new(left), Box::new(right)), span);
    }
    Ok(left)
}

fn not<'s>(inp: &mut In<'s, '_>, rules: &Rules<'s>, first: Option<Expr>) -> Read<Expr> {
    if first.is_some() || inp.peek() != Some(Tok::Link(Link::Not)) {
        return comparison(inp, rules, first);
    }
    let sign = bump(inp);
    spend(inp, sign)?;
    let inner = not(inp, rules, None)?;
    let span = sign.to(inner.span);
    Ok(made(ExprKind::Not(Box::new(inner)), span))
}

fn comparison<'s>(inp: &mut In<'s, '_>, rules: &Rules<'s>, first: Option<Expr>) -> Read<Expr> {
    let left = match first {
        Some(first) => first,
        None => side(inp, rules)?,
    };
    let Some(comparison) = sign_next(inp) else {
        if inp.peek() == Some(Tok::Link(Link::Is)) {
            return is(inp, rules, left);
        }
        return Ok(left);
    };
    inp.skip();
    let right = side(inp, rules)?;
    if sign_next(inp).is_some() {
        return Err(astray(inp, Want::a("`and` with the second comparison")).or_in(Model::Chain));
    }
    let span = left.span.to(right.span);
    let (left, right) = (Box::new(left), Box::new(right));
    let compare = ExprKind::Compare {
        comparison,
        left,
        right,
    };
    Ok(made(compare, span))
}

fn sign_next(inp: &mut In) -> Option<Comparison> {
    match inp.peek()? {
        Tok::Less => Some(Comparison::Less),
        Tok::AtMost => Some(Comparison::AtMost),
        Tok::Equal => Some(Comparison::Equal),
        Tok::AtLeast => Some(Comparison::AtLeast),
        Tok::More => Some(Comparison::More),
        _ => None,
    }
}

/// One side: an expression, not followed by a linking word of a phrase.
fn side<'s>(inp: &mut In<'s, '_>, rules: &Rules<'s>) -> Read<Expr> {
    let side = expression(inp, rules)?;
    match inp.peek() {
        Some(Tok::Link(link)) if link != Link::And && phrase::is_clause(link) => {
            phrase::bare_phrase(inp, rules, side)
        }
        _ => Ok(side),
    }
}

/// `is within T of B`, `is between A and B [longer than C]`, `is [A] longer than B`, `is drawn`
fn is<'s>(inp: &mut In<'s, '_>, rules: &Rules<'s>, subject: Expr) -> Read<Expr> {
    inp.skip();
    let (relation, end) = match inp.peek() {
        Some(Tok::Link(Link::Within)) => within(inp, rules)?,
        Some(Tok::Link(Link::Between)) => between(inp, rules)?,
        Some(Tok::Link(Link::On)) => lies(inp, rules, Lies::On)?,
        Some(Tok::Link(Link::Above)) => lies(inp, rules, Lies::Above)?,
        Some(Tok::Link(Link::Below)) => lies(inp, rules, Lies::Below)?,
        Some(Tok::Direction(DirectionWord::Left)) if of_second(inp) => {
            inp.skip();
            lies(inp, rules, Lies::LeftOf)?
        }
        Some(Tok::Direction(DirectionWord::Right)) if of_second(inp) => {
            inp.skip();
            lies(inp, rules, Lies::RightOf)?
        }
        _ if drawn_next(inp) => (Relation::Drawn, bump(inp)),
        _ => than(inp, rules)?,
    };
    let span = subject.span.to(end);
    let (subject, relation) = (Box::new(subject), Box::new(relation));
    Ok(made(ExprKind::Is { subject, relation }, span))
}

/// Whether `drawn` stands here as the word that asks, and not as a name that begins a figure.
fn drawn_next(inp: &mut In) -> bool {
    if !at_word(inp, DRAWN) {
        return false;
    }
    let here = inp.save();
    inp.skip();
    let goes_on = relation_next(inp)
        || matches!(inp.peek(), Some(Tok::Direction(_) | Tok::Link(Link::Of)))
        || inp.peek().is_some_and(Tok::is_operator);
    inp.rewind(here);
    !goes_on
}

type Told = (Relation, crate::report::Span);

fn of_second(inp: &mut In) -> bool {
    second(inp) == Some(Tok::Link(Link::Of))
}

/// `on L`, `above P`, `left of P`
fn lies<'s>(inp: &mut In<'s, '_>, rules: &Rules<'s>, how: Lies) -> Read<Told> {
    inp.skip();
    let than = side(inp, rules)?;
    let span = than.span;
    Ok((Relation::Lies { how, than }, span))
}

fn within<'s>(inp: &mut In<'s, '_>, rules: &Rules<'s>) -> Read<Told> {
    inp.skip();
    inp.state().keep_of = KeepOf::Any;
    let tolerance = expression(inp, rules);
    inp.state().keep_of = KeepOf::None;
    let tolerance = tolerance?;
    expect(
        inp,
        Tok::Link(Link::Of),
        Want::word("`of` and the figure wanted", &["of"]),
    )?;
    let of = side(inp, rules)?;
    let span = of.span;
    Ok((Relation::Within { tolerance, of }, span))
}

fn between<'s>(inp: &mut In<'s, '_>, rules: &Rules<'s>) -> Read<Told> {
    inp.skip();
    let low = expression(inp, rules)?;
    expect(
        inp,
        Tok::Link(Link::And),
        Want::word("`and` and the upper figure", &["and"]),
    )?;
    let high = side(inp, rules)?;
    if !relation_next(inp) {
        let span = high.span;
        return Ok((Relation::Between { low, high }, span));
    }
    longer_than(inp, rules, Some(low), Some(high))
}

fn than<'s>(inp: &mut In<'s, '_>, rules: &Rules<'s>) -> Read<Told> {
    let by = if relation_next(inp) {
        None
    } else {
        Some(expression(inp, rules)?)
    };
    longer_than(inp, rules, by, None)
}

fn longer_than<'s>(
    inp: &mut In<'s, '_>,
    rules: &Rules<'s>,
    by: Option<Expr>,
    up_to: Option<Expr>,
) -> Read<Told> {
    const WORD: Want = Want::word(
        "`longer than`, `shorter than`, `more than` or `less than`",
        RELATIONS,
    );
    if !RELATIONS.contains(&next_letters(inp)) {
        return Err(astray(inp, WORD).or_in(Model::Comparison));
    }
    let word = read_word(inp, WORD)?;
    expect(inp, Tok::Link(Link::Than), Want::word("`than`", &["than"]))?;
    let than = side(inp, rules)?;
    let span = than.span;
    let more = matches!(&*word.text, "longer" | "more");
    let relation = Relation::Than {
        by,
        up_to,
        more,
        word,
        than,
    };
    Ok((relation, span))
}
