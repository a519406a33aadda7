//! Sentences at the head of a file: edition, draft, unit, imports, measures, choices, and the two that claim something.

use super::cursor::{
    astray, equal_next, first_word, link, listed, name, of_next, optional, read_list, text_next,
    token, with_next,
};
use super::expression::{Rules, expression};
use super::fault::Want;
use super::model::Model;
use super::text::quoted;
use super::{Modelled, Rule, message, rule, values};
use crate::syntax::tokens::Tok;
use crate::syntax::tree::{Claim, Import, Link, Measure, MeasureOf, SentenceKind, Text};
use chumsky::prelude::*;

/// `=`
pub(super) const EQUALS: Want = Want::a("`=`");

/// `edition 1`, on the first line only.
pub(super) fn edition<'s>(rules: &Rules<'s>) -> Rule<'s, SentenceKind> {
    let rules = rules.clone();
    rule(move |inp| {
        let at_top = inp.state().at_top;
        let word = super::cursor::bump(inp);
        if !at_top {
            inp.state().tell(message::edition_below(word));
        }
        if !matches!(inp.peek(), Some(Tok::Figure)) {
            return Err(astray(inp, Want::a("the number of the edition")));
        }
        Ok(SentenceKind::Edition(expression(inp, &rules)?))
    })
    .modelled(Model::Edition)
}

/// `draft "Ferry shirt"`
pub(super) fn draft<'s>(rules: &Rules<'s>) -> Rule<'s, SentenceKind> {
    first_word()
        .ignore_then(quoted(rules))
        .map(SentenceKind::Draft)
        .modelled(Model::Draft)
}

/// `unit cm`
pub(super) fn unit<'s>() -> Rule<'s, SentenceKind> {
    first_word()
        .ignore_then(name(Want::word("`mm`, `cm` or `in`", &["mm", "cm", "in"])))
        .map(SentenceKind::Unit)
        .modelled(Model::Unit)
}

/// `import "block.draft" as block with bust_ease 10cm`
pub(super) fn import<'s>(rules: &Rules<'s>) -> Rule<'s, SentenceKind> {
    first_word()
        .ignore_then(quoted(rules))
        .then_ignore(link(
            Link::As,
            Want::word("`as` and a name for it", &["as"]),
        ))
        .then(name(Want::a("a name for the imported draft")))
        .then(optional(with_next, with_settings(rules)).map(Option::unwrap_or_default))
        .map(|((path, name), with)| SentenceKind::Import(Import { path, name, with }))
        .modelled(Model::Import)
}

/// `with NAME VALUE, …`
pub(super) fn with_settings<'s>(rules: &Rules<'s>) -> Rule<'s, Vec<crate::syntax::tree::Setting>> {
    let rules = rules.clone();
    rule(move |inp| {
        inp.skip();
        read_list(inp, |inp| values::setting(inp, &rules))
    })
    .boxed()
}

/// `use shirt`
pub(super) fn library<'s>() -> Rule<'s, SentenceKind> {
    first_word()
        .ignore_then(name(Want::a("the name of a library module")))
        .map(SentenceKind::Use)
        .modelled(Model::Use)
}

/// `body NAME = DEFAULT between A and B "how to take it"`
pub(super) fn body<'s>(rules: &Rules<'s>) -> Rule<'s, SentenceKind> {
    measure(rules, MeasureOf::Body).modelled(Model::Body)
}

/// `choose NAME = DEFAULT between A and B "what it does"`, `choose NAME = "left" of "left", "right" "what it does"`
pub(super) fn choose<'s>(rules: &Rules<'s>) -> Rule<'s, SentenceKind> {
    measure(rules, MeasureOf::Choice).modelled(Model::Choose)
}

fn measure<'s>(rules: &Rules<'s>, of: MeasureOf) -> Rule<'s, SentenceKind> {
    first_word()
        .ignore_then(name(Want::a("its name")))
        .then_ignore(token(Tok::Equal, EQUALS))
        .then(rules.expression())
        .then(values::range(rules))
        .then(choices(rules))
        .then(optional(text_next, quoted(rules)))
        .map(move |((((name, default), range), choices), text)| {
            SentenceKind::Measure(Measure {
                of,
                name,
                default,
                range,
                choices,
                text,
            })
        })
        .boxed()
}

/// `[of "left", "right"]`
pub(super) fn choices<'s>(rules: &Rules<'s>) -> Rule<'s, Vec<Text>> {
    let listed = link(Link::Of, Want::a("`of`"))
        .ignore_then(listed(quoted(rules)))
        .boxed();
    optional(of_next, listed)
        .map(Option::unwrap_or_default)
        .boxed()
}

/// `require "text" that CONDITION`
pub(super) fn require<'s>(rules: &Rules<'s>) -> Rule<'s, SentenceKind> {
    claim(rules, Model::Require)
        .map(SentenceKind::Require)
        .modelled(Model::Require)
}

/// `check "text" that CONDITION`
pub(super) fn check<'s>(rules: &Rules<'s>) -> Rule<'s, SentenceKind> {
    claim(rules, Model::Check)
        .map(SentenceKind::Check)
        .modelled(Model::Check)
}

fn claim<'s>(rules: &Rules<'s>, model: Model) -> Rule<'s, Claim> {
    first_word()
        .ignore_then(quoted(rules))
        .then_ignore(link(
            Link::That,
            Want::word("`that` and the condition", &["that"]),
        ))
        .then(values::last_condition(rules, model))
        .map(|(text, condition)| Claim { text, condition })
        .boxed()
}

/// A default after `=`, where one is given.
pub(super) fn default<'s>(rules: &Rules<'s>) -> Rule<'s, Option<crate::syntax::tree::Expr>> {
    optional(
        equal_next,
        values::before_texts(
            token(Tok::Equal, EQUALS)
                .ignore_then(rules.expression())
                .boxed(),
        ),
    )
}
