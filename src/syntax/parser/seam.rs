//! Seams: the two sides in sewing order, where the walk starts, and what the seam owns: ease, notches, allowances.

use super::cursor::{
    astray, brace_next, bump, first_word, from_next, link, listed, name, next_letters, optional,
    read_name, to_next,
};
use super::expression::Rules;
use super::fault::Want;
use super::model::Model;
use super::sentence::{braced, finish, leave_blindly};
use super::{In, Read, Rule, message, piece, rule};
use crate::syntax::starts::SEAM_SENTENCES;
use crate::syntax::tokens::Tok;
use crate::syntax::tree::{Link, Seam, SeamEdge, SeamSentence, SeamSentenceKind, SentenceKind};
use chumsky::prelude::*;

/// `seam NAME joins EDGES to EDGES [from P] [{ … }]`
pub fn seam<'s>(rules: &Rules<'s>) -> Rule<'s, SentenceKind> {
    let from = link(Link::From, Want::a("`from`")).ignore_then(rules.expression());
    let block = braced(seam_sentence(rules)).map(|(sentences, _)| sentences);
    first_word()
        .ignore_then(name(Want::a("the seam's name")))
        .then_ignore(link(
            Link::Joins,
            Want::word("`joins` and an edge", &["joins"]),
        ))
        .then(listed(edge()))
        .then_ignore(link(
            Link::To,
            Want::word("`,` and another edge, or `to` and the other side,", &["to"]),
        ))
        .then(listed(edge()))
        .then(optional(from_next, from.boxed()))
        .then(optional(brace_next, block.boxed()).map(Option::unwrap_or_default))
        .map(|((((name, first), second), from), sentences)| {
            SentenceKind::Seam(Seam {
                name,
                first,
                second,
                from,
                sentences,
            })
        })
        .labelled(Model::Seam)
        .as_context()
        .boxed()
}

/// `[mirrored] back.centre`
fn edge<'s>() -> Rule<'s, SeamEdge> {
    rule(|inp| {
        let twin = super::cursor::at_word(inp, "mirrored")
            && matches!(super::cursor::second(inp), Some(Tok::Name | Tok::Dotted));
        if twin {
            bump(inp);
        }
        let name = read_name(inp, Want::a("an edge, as in `back.side`,"))?;
        Ok(SeamEdge {
            mirrored: twin,
            name,
        })
    })
    .boxed()
}

/// The rules of a seam's sentences.
struct SeamRules<'s> {
    ease: Rule<'s, SeamSentenceKind>,
    notch: Rule<'s, SeamSentenceKind>,
    allow: Rule<'s, SeamSentenceKind>,
    sewn: Rule<'s, SeamSentenceKind>,
    tolerance: Rule<'s, SeamSentenceKind>,
}

impl<'s> SeamRules<'s> {
    fn read(&self, inp: &mut In<'s, '_>) -> Read<SeamSentenceKind> {
        let letters = if inp.peek() == Some(Tok::Name) {
            next_letters(inp)
        } else {
            ""
        };
        let rule = match letters {
            "ease" => &self.ease,
            "notch" => &self.notch,
            "allow" => &self.allow,
            "sewn" => &self.sewn,
            "tolerance" => &self.tolerance,
            _ => return Err(message::not_a_part(inp, "seam", SEAM_SENTENCES)),
        };
        inp.parse(rule)
    }
}

fn seam_sentence<'s>(rules: &Rules<'s>) -> Rule<'s, SeamSentence> {
    let parts = SeamRules {
        ease: ease(rules),
        notch: piece::notch(rules).map(SeamSentenceKind::Notch).boxed(),
        allow: piece::allow(rules)
            .map(|(width, edges)| SeamSentenceKind::Allow(width, edges))
            .boxed(),
        sewn: sewn(rules),
        tolerance: tolerance(rules),
    };
    rule(move |inp| {
        let before = inp.cursor();
        let kind = parts.read(inp).unwrap_or_else(|fault| {
            message::tell(inp, &fault);
            leave_blindly(inp);
            SeamSentenceKind::Broken
        });
        finish(inp, leave_blindly);
        let span = inp.span_since(&before);
        Ok(SeamSentence { kind, span })
    })
    .boxed()
}

/// `ease A [to B] on a, b`
fn ease<'s>(rules: &Rules<'s>) -> Rule<'s, SeamSentenceKind> {
    let most = link(Link::To, Want::a("`to`")).ignore_then(rules.expression());
    let on = piece::on_edges();
    let on = rule(move |inp| {
        if super::cursor::on_next(inp) {
            inp.parse(&on)
        } else {
            Err(astray(
                inp,
                Want::word("`on` and the edges that are longer", &["on", "to"]),
            ))
        }
    });
    first_word()
        .ignore_then(rules.expression())
        .then(optional(to_next, most.boxed()))
        .then(on)
        .map(|((low, high), on)| SeamSentenceKind::Ease { low, high, on })
        .labelled(Model::Ease)
        .as_context()
        .boxed()
}

/// `sewn HOW [W, W]`
fn sewn<'s>(rules: &Rules<'s>) -> Rule<'s, SeamSentenceKind> {
    let how = name(Want::word(
        "how it is sewn, such as `plain` or `felled`,",
        &["plain", "felled", "french", "bound", "faced"],
    ));
    first_word()
        .ignore_then(how)
        .then(optional(
            |inp| !super::sentence::ends_here(inp),
            listed(rules.expression()),
        ))
        .map(|(how, widths)| SeamSentenceKind::Sewn(how, widths.unwrap_or_default()))
        .labelled(Model::Sewn)
        .as_context()
        .boxed()
}

/// `order a, b, c`
pub fn order<'s>() -> Rule<'s, SentenceKind> {
    first_word()
        .ignore_then(listed(name(Want::a("the name of a seam"))))
        .map(SentenceKind::Order)
        .labelled(Model::Order)
        .as_context()
        .boxed()
}

/// `tolerance 1mm`
fn tolerance<'s>(rules: &Rules<'s>) -> Rule<'s, SeamSentenceKind> {
    first_word()
        .ignore_then(rules.expression())
        .map(SeamSentenceKind::Tolerance)
        .labelled(Model::Tolerance)
        .as_context()
        .boxed()
}
