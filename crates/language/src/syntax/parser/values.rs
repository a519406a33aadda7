//! The small parts that several sentences share: ranges, options, and values that must not fail.

use super::context::KeepOf;
use super::cursor::{astray, between_next, expect, optional, read_word};
use super::expression::{Rules, expression, made};
use super::fault::Want;
use super::model::Model;
use super::{In, Read, Rule, message, phrase, rule, sentence};
use crate::syntax::tokens::Tok;
use crate::syntax::tree::{Expr, ExprKind, Link, Setting};
use chumsky::prelude::*;

/// `name value` or `name low to high`, after `with`.
pub(super) fn setting<'s>(inp: &mut In<'s, '_>, rules: &Rules<'s>) -> Read<Setting> {
    let name = read_word(
        inp,
        Want::a("an option and its value, as in `fullness 0.6`,"),
    )?;
    let value = expression(inp, rules)?;
    let mut to = None;
    if inp.peek() == Some(Tok::Link(Link::To)) {
        inp.skip();
        to = Some(expression(inp, rules)?);
    }
    Ok(Setting { name, value, to })
}

/// `between A and B`: its two ends.
pub(super) fn bounds<'s>(rules: &Rules<'s>) -> Rule<'s, (Expr, Expr)> {
    let rules = rules.clone();
    rule(move |inp| {
        expect(
            inp,
            Tok::Link(Link::Between),
            Want::word("`between` and the two ends of the range", &["between"]),
        )?;
        let low = expression(inp, &rules)?;
        expect(
            inp,
            Tok::Link(Link::And),
            Want::word("`and` and the upper end", &["and"]),
        )?;
        Ok((low, expression(inp, &rules)?))
    })
    .boxed()
}

/// `[between A and B]`
pub(super) fn range<'s>(rules: &Rules<'s>) -> Rule<'s, Option<(Expr, Expr)>> {
    optional(between_next, before_texts(bounds(rules)))
}

/// A part that may end before `of` and the texts that are chosen from.
pub(super) fn before_texts<'s, O: 's>(part: Rule<'s, O>) -> Rule<'s, O> {
    rule(move |inp| {
        let outer = std::mem::replace(&mut inp.state().keep_of, KeepOf::BeforeText);
        let read = inp.parse(&part);
        inp.state().keep_of = outer;
        read
    })
}

/// The value after a sentence's `=`: where it goes astray the sentence still draws its names, without a value.
pub(super) fn drawn_value<'s>(rules: &Rules<'s>, model: Model) -> Rule<'s, Expr> {
    last_part(rules, model, phrase::value)
}

/// The condition that ends a sentence.
pub(super) fn last_condition<'s>(rules: &Rules<'s>, model: Model) -> Rule<'s, Expr> {
    last_part(rules, model, super::condition::condition)
}

/// The last part of a sentence, reported and left behind where it goes astray.
fn last_part<'s>(
    rules: &Rules<'s>,
    model: Model,
    read: for<'p> fn(&mut In<'s, 'p>, &Rules<'s>) -> Read<Expr>,
) -> Rule<'s, Expr> {
    let rules = rules.clone();
    rule(move |inp| {
        let before = inp.cursor();
        let outcome = read(inp, &rules).and_then(|value| {
            if sentence::ends_here(inp) {
                Ok(value)
            } else {
                Err(astray(inp, Want::a("the end of the sentence")))
            }
        });
        Ok(outcome.unwrap_or_else(|fault| {
            message::tell(inp, &fault.or_in(model));
            sentence::leave(inp, &rules);
            made(ExprKind::Broken, inp.span_since(&before).to(fault.span))
        }))
    })
    .boxed()
}
