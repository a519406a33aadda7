//! Operations: a head that reads like the call, with a bracketed parameter in each place; and what they give.

use super::condition::DRAWN;
use super::cursor::{
    astray, at_word, bump, expect, expect_word, first_word, name, next_letters, optional,
    read_list, read_name, read_word, round_next, text_next,
};
use super::expression::Rules;
use super::fault::Want;
use super::file;
use super::model::Model;
use super::panel::{block, kind_word};
use super::text::quoted;
use super::{In, Modelled, Read, Rule, phrase, rule, values};
use crate::report::Span;
use crate::syntax::starts::NEEDS;
use crate::syntax::tokens::Tok;
use crate::syntax::tree::{Expr, KindPhrase, Link, Need, Operation, Parameter, SentenceKind};
use chumsky::prelude::*;

const A_KIND: Want = Want::word(
    "a kind, such as `point`, `curve` or `length`,",
    crate::syntax::starts::KINDS,
);

/// `operation HEAD (DIRECT) from (…) with (…), (…) needs (…), (…) gives KIND "…" { … }`
pub(super) fn operation<'s>(rules: &Rules<'s>) -> Rule<'s, SentenceKind> {
    first_word()
        .ignore_then(name(Want::a("the word that begins the phrase")))
        .then(signature(rules))
        .then(optional(needs_next, needs(rules)))
        .then(gives())
        .then(optional(text_next, quoted(rules)))
        .then(block(rules, "`{`, or a text on what it does,"))
        .map(|(((((head, signature), needs), gives), doc), body)| {
            SentenceKind::Operation(Operation {
                head,
                direct: signature.direct,
                places: signature.places,
                options: signature.options,
                needs,
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

fn needs_next(inp: &mut In) -> bool {
    at_word(inp, NEEDS)
}

/// `needs (KIND PANEL.NAME, NAME if drawn "what it is"), (…)`
fn needs<'s>(rules: &Rules<'s>) -> Rule<'s, Vec<Need>> {
    let words = quoted(rules);
    rule(move |inp| {
        inp.skip();
        read_list(inp, |inp| {
            let opened = expect(
                inp,
                Tok::OpenRound,
                Want::a("what is needed, in brackets, as in `(curve body.front.hem)`,"),
            )?;
            let kind = kind_phrase(inp)?;
            let first = read_name(inp, Want::a("the name that is needed, after its panel's,"))?;
            let mut more = Vec::new();
            while inp.peek() == Some(Tok::Comma) {
                inp.skip();
                more.push(read_word(inp, Want::a("another name on the same panel"))?);
            }
            let if_drawn = inp.peek() == Some(Tok::If);
            if if_drawn {
                inp.skip();
                expect_word(
                    inp,
                    DRAWN,
                    Want::word("`drawn`, as in `if drawn`,", &[DRAWN]),
                )?;
            }
            let doc = if text_next(inp) {
                Some(inp.parse(&words)?)
            } else {
                None
            };
            let closed = expect(
                inp,
                Tok::CloseRound,
                Want::a("`)`, `,` and another name, `if drawn`, or a text on what it is,"),
            )?;
            Ok(Need {
                kind,
                first,
                more,
                if_drawn,
                doc,
                span: opened.to(closed),
            })
        })
    })
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
