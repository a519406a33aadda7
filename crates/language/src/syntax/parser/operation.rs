//! Operations: a head that reads like the call, with a bracketed parameter in each place; and what they give.

use super::cursor::{
    astray, bump, expect, first_word, name, next_letters, optional, read_list, read_word,
    round_next, text_next,
};
use super::expression::Rules;
use super::fault::Want;
use super::file;
use super::model::Model;
use super::panel::{block, kind_word};
use super::text::quoted;
use super::{In, Modelled, Read, Rule, phrase, rule, values};
use crate::report::Span;
use crate::syntax::tokens::Tok;
use crate::syntax::tree::{Expr, KindPhrase, Link, Operation, Parameter, SentenceKind};
use chumsky::prelude::*;

const A_KIND: Want = Want::word(
    "a kind, such as `point`, `curve` or `length`,",
    crate::syntax::starts::KINDS,
);

/// `operation HEAD (DIRECT) from (…) with (…), (…) gives KIND "…" { … }`
pub(super) fn operation<'s>(rules: &Rules<'s>) -> Rule<'s, SentenceKind> {
    first_word()
        .ignore_then(name(Want::a("the word that begins the phrase")))
        .then(signature(rules))
        .then(gives())
        .then(optional(text_next, quoted(rules)))
        .then(block(rules, "`{`, or a text on what it does,"))
        .map(|((((head, signature), gives), doc), body)| {
            SentenceKind::Operation(Operation {
                head,
                direct: signature.direct,
                places: signature.places,
                options: signature.options,
                gives,
                doc,
                body,
            })
        })
        .modelled(Model::Operation)
}

/// What stands between the head and `gives`.
#[derive(Default)]
struct Signature {
    direct: Option<Parameter>,
    places: Vec<(Link, Span, Parameter)>,
    options: Vec<Parameter>,
}

fn signature<'s>(rules: &Rules<'s>) -> Rule<'s, Signature> {
    let parameter = parameter(rules);
    rule(move |inp| {
        let mut signature = Signature::default();
        if round_next(inp) {
            signature.direct = Some(inp.parse(&parameter)?);
        }
        while let Some(Tok::Link(link)) = inp.peek() {
            if link == Link::With {
                inp.skip();
                signature.options = read_list(inp, |inp| inp.parse(&parameter))?;
                break;
            }
            if !phrase::is_clause(link) && !matches!(link, Link::And | Link::Of) {
                break;
            }
            let span = bump(inp);
            signature.places.push((link, span, inp.parse(&parameter)?));
        }
        Ok(signature)
    })
    .boxed()
}

/// `(KIND NAME = DEFAULT between A and B "what it is")`, `(text NAME = "a" of "a", "b" "what it is")`
fn parameter<'s>(rules: &Rules<'s>) -> Rule<'s, Parameter> {
    let kind = rule(|inp| {
        expect(
            inp,
            Tok::OpenRound,
            Want::a("a parameter in brackets, as in `(point a)`,"),
        )?;
        kind_phrase(inp)
    });
    kind.then(rule(|inp| read_word(inp, Want::a("the parameter's name"))))
        .then(file::default(rules))
        .then(values::range(rules))
        .then(file::choices(rules))
        .then(optional(text_next, quoted(rules)))
        .then(rule(|inp| {
            expect(inp, Tok::CloseRound, Want::a("`)`, or `=` and a default,"))
        }))
        .map(
            |((((((kind, name), default), range), choices), doc), _)| Parameter {
                kind,
                name,
                default,
                range,
                choices,
                doc,
            },
        )
        .boxed()
}

/// `gives KIND`
fn gives<'s>() -> Rule<'s, KindPhrase> {
    rule(|inp| {
        expect(
            inp,
            Tok::Link(Link::Gives),
            Want::word("`gives` and a kind", &["gives"]),
        )?;
        kind_phrase(inp)
    })
    .boxed()
}

/// `curve`, `list of point`
fn kind_phrase(inp: &mut In) -> Read<KindPhrase> {
    let (kind, span) = kind(inp)?;
    if kind != crate::syntax::tree::KindWord::List || inp.peek() != Some(Tok::Link(Link::Of)) {
        return Ok(KindPhrase {
            kind,
            is_list: false,
            span,
        });
    }
    inp.skip();
    let (item, item_span) = self::kind(inp)?;
    Ok(KindPhrase {
        kind: item,
        is_list: true,
        span: span.to(item_span),
    })
}

fn kind(inp: &mut In) -> Read<(crate::syntax::tree::KindWord, Span)> {
    if inp.peek() == Some(Tok::Name)
        && let Some(kind) = kind_word(next_letters(inp))
    {
        return Ok((kind, bump(inp)));
    }
    Err(astray(inp, A_KIND))
}

/// `give a, b`
pub(super) fn give<'s>(rules: &Rules<'s>) -> Rule<'s, SentenceKind> {
    let rules = rules.clone();
    let values =
        rule(move |inp| -> Read<Vec<Expr>> { read_list(inp, |inp| phrase::value(inp, &rules)) });
    first_word()
        .ignore_then(values)
        .map(SentenceKind::Give)
        .modelled(Model::Give)
}
