//! Seams: the two sides in sewing order, where the walk starts, and what the seam owns: ease, notches, allowances.

use super::cursor::{
    astray, between_next, brace_next, bump, first_word, from_next, link, listed, name,
    next_letters, optional, read_name, text_next, to_next, toward_next, until_next,
};
use super::expression::Rules;
use super::fault::Want;
use super::model::Model;
use super::sentence::{braced, finish, leave_blindly};
use super::text::quoted;
use super::{In, Modelled, Rule, message, piece, rule};
use crate::sewing::{EaseHow, Held, Place, SeamSays, SewnAs};
use crate::syntax::starts::SEAM_SENTENCES;
use crate::syntax::tokens::Tok;
use crate::syntax::tree::{
    AsWritten, Link, Seam, SeamEdge, SeamSentence, SeamSentenceKind, SeamSide, SentenceKind,
};
use chumsky::prelude::*;

/// `seam NAME joins SIDE to SIDE [from P [, Q]] [toward R, S] [{ … }]`
pub(super) fn seam<'s>(rules: &Rules<'s>) -> Rule<'s, SentenceKind> {
    let from = link(Link::From, Want::a("`from`")).ignore_then(listed(rules.expression()));
    let toward = link(Link::Toward, Want::a("`toward`")).ignore_then(listed(rules.expression()));
    let block = braced(seam_sentence(rules)).map(|(sentences, _)| sentences);
    first_word()
        .ignore_then(name(Want::a("the seam's name")))
        .then_ignore(link(
            Link::Joins,
            Want::word("`joins` and an edge", &["joins"]),
        ))
        .then(side(rules))
        .then_ignore(link(
            Link::To,
            Want::word("`,` and another edge, or `to` and the other side,", &["to"]),
        ))
        .then(side(rules))
        .then(optional(from_next, from.boxed()).map(Option::unwrap_or_default))
        .then(optional(toward_next, toward.boxed()).map(Option::unwrap_or_default))
        .then(optional(brace_next, block.boxed()).map(Option::unwrap_or_default))
        .map(|(((((name, first), second), from), toward), sentences)| {
            SentenceKind::Seam(Seam {
                name,
                first,
                second,
                from,
                toward,
                sentences,
            })
        })
        .modelled(Model::Seam)
}

/// `a, mirrored b, over c until P`
fn side<'s>(rules: &Rules<'s>) -> Rule<'s, SeamSide> {
    let until = link(Link::Until, Want::a("`until`")).ignore_then(rules.expression());
    listed(edge())
        .then(optional(until_next, until.boxed()))
        .map(|(edges, until)| SeamSide { edges, until })
        .boxed()
}

/// `[mirrored] [over] [each] back.centre`
fn edge<'s>() -> Rule<'s, SeamEdge> {
    rule(|inp| {
        let mut edge = (false, false, false);
        loop {
            if inp.peek() == Some(Tok::Link(Link::Over)) {
                edge.1 = true;
            } else if inp.peek() == Some(Tok::Each) {
                edge.2 = true;
            } else if super::cursor::at_word(inp, "mirrored")
                && matches!(
                    super::cursor::second(inp),
                    Some(Tok::Name | Tok::Dotted | Tok::Each | Tok::Link(Link::Over))
                )
            {
                edge.0 = true;
            } else {
                break;
            }
            bump(inp);
        }
        let name = read_name(inp, Want::a("an edge, as in `back.side`,"))?;
        Ok(SeamEdge {
            mirrored: edge.0,
            over: edge.1,
            each: edge.2,
            name,
        })
    })
    .boxed()
}

/// What a seam's sentence says, as it is written.
type Says = SeamSays<AsWritten>;

fn seam_sentence<'s>(rules: &Rules<'s>) -> Rule<'s, SeamSentence> {
    let by_word: [(&str, Rule<'s, Says>); SEAM_SENTENCES.len()] = [
        ("ease", ease(rules, EaseHow::Ease, Model::Ease)),
        ("gather", ease(rules, EaseHow::Gather, Model::Gather)),
        ("stretch", ease(rules, EaseHow::Stretch, Model::Stretch)),
        (
            "notch",
            piece::notch(rules)
                .map(|(form, at)| SeamSays::Notch { form, at })
                .boxed(),
        ),
        ("open", open(rules)),
        ("corner", corner(rules)),
        (
            "allow",
            piece::allow(rules)
                .map(|(width, on)| SeamSays::Allow { width, on })
                .boxed(),
        ),
        ("sewn", sewn(rules)),
        ("tolerance", tolerance(rules)),
    ];
    let meets = meets(rules);
    let read = move |inp: &mut In<'s, '_>| {
        let then = super::cursor::second(inp);
        let letters = match inp.peek() {
            Some(Tok::Dotted | Tok::OpenRound) => return inp.parse(&meets),
            Some(Tok::Name) if then == Some(Tok::Link(Link::Meets)) => return inp.parse(&meets),
            Some(Tok::Name) if super::cursor::next_one(inp) => return inp.parse(&meets),
            Some(Tok::Name) => next_letters(inp),
            _ => "",
        };
        match by_word.iter().find(|row| row.0 == letters) {
            Some((_, rule)) => inp.parse(rule),
            None if matches!(letters, "start" | "end") && then == Some(Tok::Link(Link::Of)) => {
                inp.parse(&meets)
            }
            None => Err(message::not_a_part(inp, "seam", SEAM_SENTENCES)),
        }
    };
    rule(move |inp| {
        let before = inp.cursor();
        inp.state().told = false;
        let kind = match read(inp) {
            Ok(says) => SeamSentenceKind::Says(says),
            Err(fault) => {
                message::tell(inp, &fault);
                leave_blindly(inp);
                SeamSentenceKind::Broken
            }
        };
        finish(inp, leave_blindly);
        let span = inp.span_since(&before);
        Ok(SeamSentence { kind, span })
    })
    .boxed()
}

/// `ease A [to B] on a, b [between P and Q]`
fn ease<'s>(rules: &Rules<'s>, how: EaseHow, model: Model) -> Rule<'s, Says> {
    let most = link(Link::To, Want::a("`to`")).ignore_then(rules.expression());
    let on = piece::on_edges();
    let which = match how {
        EaseHow::Ease => "`on` and the edges that are longer",
        EaseHow::Gather => "`on` and the edges that are gathered",
        EaseHow::Stretch => "`on` and the edges that are pulled",
    };
    let on = rule(move |inp| {
        if super::cursor::on_next(inp) {
            inp.parse(&on)
        } else {
            Err(astray(inp, Want::word(which, &["on", "to"])))
        }
    });
    first_word()
        .ignore_then(rules.expression())
        .then(optional(to_next, most.boxed()))
        .then(on)
        .then(optional(between_next, between(rules)))
        .map(move |(((low, high), on), between)| SeamSays::Ease {
            held: Held { how, low, high },
            on,
            between,
        })
        .modelled(model)
}

/// `between P and Q`
fn between<'s>(rules: &Rules<'s>) -> Rule<'s, (Place<AsWritten>, Place<AsWritten>)> {
    link(Link::Between, Want::a("`between`"))
        .ignore_then(place(rules))
        .then_ignore(link(
            Link::And,
            Want::word("`and` and the other place", &["and"]),
        ))
        .then(place(rules))
        .boxed()
}

/// `P` or `85mm from P`
fn place<'s>(rules: &Rules<'s>) -> Rule<'s, Place<AsWritten>> {
    let from = link(Link::From, Want::a("`from`")).ignore_then(rules.expression());
    rules
        .expression()
        .then(optional(from_next, from.boxed()))
        .map(|(first, from)| match from {
            Some(from) => Place::Measured { far: first, from },
            None => Place::At(first),
        })
        .boxed()
}

/// `P meets Q`
fn meets<'s>(rules: &Rules<'s>) -> Rule<'s, Says> {
    rules
        .expression()
        .then_ignore(link(
            Link::Meets,
            Want::word("`meets` and the point of the other side", &["meets"]),
        ))
        .then(rules.expression())
        .map(|(one, other)| SeamSays::Meets { one, other })
        .modelled(Model::Meets)
}

/// `open between P and Q ["words"]`
fn open<'s>(rules: &Rules<'s>) -> Rule<'s, Says> {
    first_word()
        .ignore_then(between(rules))
        .then(optional(text_next, quoted(rules)))
        .map(|(between, words)| SeamSays::Open { between, words })
        .modelled(Model::Open)
}

/// `corner at P ["words"]`
fn corner<'s>(rules: &Rules<'s>) -> Rule<'s, Says> {
    first_word()
        .ignore_then(link(
            Link::At,
            Want::word("`at` and the point where the seam ends", &["at"]),
        ))
        .ignore_then(rules.expression())
        .then(optional(text_next, quoted(rules)))
        .map(|(at, words)| SeamSays::Corner { at, words })
        .modelled(Model::SeamCorner)
}

/// `sewn HOW [W, W]`
fn sewn<'s>(rules: &Rules<'s>) -> Rule<'s, Says> {
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
        .map(|(how, widths)| {
            let widths = widths.unwrap_or_default();
            SeamSays::Sewn {
                sewn: SewnAs { how, widths },
            }
        })
        .modelled(Model::Sewn)
}

/// `order a, b, c`
pub(super) fn order<'s>() -> Rule<'s, SentenceKind> {
    first_word()
        .ignore_then(listed(name(Want::a("the name of a seam"))))
        .map(SentenceKind::Order)
        .modelled(Model::Order)
}

/// `tolerance 1mm`
fn tolerance<'s>(rules: &Rules<'s>) -> Rule<'s, Says> {
    first_word()
        .ignore_then(rules.expression())
        .map(|width| SeamSays::Tolerance { width })
        .modelled(Model::Tolerance)
}
