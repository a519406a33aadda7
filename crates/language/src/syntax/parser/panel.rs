//! Sentences that draw, and the blocks they stand in: panels, steps, `try`, `if`.

use super::cursor::{
    astray, bump, else_next, first_word, link, listed, name, next_letters, next_span, optional,
    path, read_list, read_name, read_word, second, token, traced_next, word,
};
use super::expression::{Rules, made};
use super::fault::{Fault, Want};
use super::file::EQUALS;
use super::model::Model;
use super::text::quoted;
use super::{In, Modelled, Read, Rule, condition, message, rule, values};
use crate::report::Span;
use crate::syntax::tokens::Tok;
use crate::syntax::tree::{
    Block, Carry, Draw, Expr, ExprKind, If, KindWord, Link, Name, Panel, Redraw, Sentence,
    SentenceKind, Slip, Step, Text, Try, Word,
};
use chumsky::prelude::*;

/// The kind of that word.
pub(super) fn kind_word(letters: &str) -> Option<KindWord> {
    Some(match letters {
        "point" => KindWord::Point,
        "line" => KindWord::Line,
        "curve" => KindWord::Curve,
        "length" => KindWord::Length,
        "angle" => KindWord::Angle,
        "area" => KindWord::Area,
        "number" => KindWord::Number,
        "direction" => KindWord::Direction,
        "text" => KindWord::Text,
        "list" => KindWord::List,
        "panel" => KindWord::Panel,
        "answer" => KindWord::Answer,
        _ => return None,
    })
}

/// `panel arm = …` rather than `panel arm { … }`.
pub(super) fn is_drawn(inp: &mut In) -> bool {
    let here = inp.save();
    inp.skip();
    let drawn =
        inp.peek() == Some(Tok::Name) && matches!(second(inp), Some(Tok::Equal | Tok::Comma));
    inp.rewind(here);
    drawn
}

/// `guide KIND a, b = VALUE`
pub(super) fn guide<'s>(rules: &Rules<'s>) -> Rule<'s, SentenceKind> {
    let kind = rule(|inp| {
        if kind_word(next_letters(inp)).is_some_and(|kind| kind != KindWord::Panel) {
            return Ok(bump(inp));
        }
        Err(astray(inp, Want::a("the kind of what is drawn")))
    });
    first_word()
        .ignore_then(drawn(kind, rules, true))
        .modelled(Model::Guide)
}

/// `KIND a, b = VALUE`
pub(super) fn draw<'s>(rules: &Rules<'s>) -> Rule<'s, SentenceKind> {
    drawn(first_word(), rules, false).modelled(Model::Draw)
}

fn drawn<'s>(kind: Rule<'s, Span>, rules: &Rules<'s>, is_guide: bool) -> Rule<'s, SentenceKind> {
    kind.then(names_on_a_panel())
        .then_ignore(token(Tok::Equal, EQUALS))
        .then(values::drawn_value(rules, Model::Draw))
        .map_with(move |((kind_span, (panel, names)), value), extra| {
            let kind = kind_word(extra.state().slice(kind_span)).unwrap_or(KindWord::Line);
            let drawn = SentenceKind::Draw(Draw {
                is_guide,
                kind,
                kind_span,
                names,
                value,
            });
            on_panel(panel, drawn, extra.span())
        })
        .boxed()
}

/// `a, b`, or `back.a, back.b`: names, and the panel on which they are drawn.
fn names_on_a_panel<'s>() -> Rule<'s, (Option<Name>, Vec<Word>)> {
    const SAME: Want = Want::a("a name on the same panel");
    rule(|inp| {
        if inp.peek() != Some(Tok::Dotted) {
            let names = read_list(inp, |inp| read_word(inp, Want::a("a name")))?;
            return Ok((None, names));
        }
        let mut panel: Option<Name> = None;
        let names = read_list(inp, |inp| {
            let span = next_span(inp);
            let mut on = read_name(inp, SAME)?;
            let name = on.words.pop().filter(|_| !on.words.is_empty());
            let first = panel.get_or_insert_with(|| on.clone());
            let is_same = first
                .words
                .iter()
                .map(|w| &w.text)
                .eq(on.words.iter().map(|w| &w.text));
            name.filter(|_| is_same)
                .ok_or_else(|| Fault::new(span, Some(Tok::Dotted), SAME))
        })?;
        Ok((panel, names))
    })
    .boxed()
}

/// A sentence that draws on a panel without opening it: the sheet with that one sentence.
fn on_panel(panel: Option<Name>, drawn: SentenceKind, span: Span) -> SentenceKind {
    let Some((on, name)) = panel.and_then(|on| on.words.last().cloned().map(|name| (on, name)))
    else {
        return drawn;
    };
    let sentence = Sentence { kind: drawn, span };
    SentenceKind::Panel(Panel {
        name,
        traced_from: Some(on),
        body: Block {
            sentences: vec![sentence],
            span,
        },
    })
}

/// `redraw a, b = VALUE`
pub(super) fn redraw<'s>(rules: &Rules<'s>) -> Rule<'s, SentenceKind> {
    first_word()
        .ignore_then(names_on_a_panel())
        .then_ignore(token(Tok::Equal, EQUALS))
        .then(values::drawn_value(rules, Model::Redraw))
        .map_with(|((panel, names), value), extra| {
            on_panel(
                panel,
                SentenceKind::Redraw(Redraw { names, value }),
                extra.span(),
            )
        })
        .modelled(Model::Redraw)
}

/// `traced from back`
pub(super) fn traced_from<'s>(want: Want) -> Rule<'s, Option<Name>> {
    optional(
        traced_next,
        word("traced", Want::a("`traced from`"))
            .ignore_then(link(
                Link::From,
                Want::word("`from` after `traced`", &["from"]),
            ))
            .ignore_then(path(want))
            .boxed(),
    )
}

/// `panel back traced from house.back { … }`
pub(super) fn panel<'s>(rules: &Rules<'s>) -> Rule<'s, SentenceKind> {
    first_word()
        .ignore_then(name(Want::a("the panel's name")))
        .then(traced_from(Want::a("the panel it is traced from")))
        .then(block(rules, "`{`, or `traced from` and another panel,"))
        .map(|((name, traced_from), body)| {
            SentenceKind::Panel(Panel {
                name,
                traced_from,
                body,
            })
        })
        .modelled(Model::Panel)
}

/// A block, with the words for what else could stand in its place.
pub(super) fn block<'s>(
    rules: &Rules<'s>,
    what: &'static str,
) -> Rule<'s, crate::syntax::tree::Block> {
    let block = rules.block.clone();
    rule(move |inp| {
        if inp.peek() == Some(Tok::OpenBrace) {
            inp.parse(&block)
        } else {
            Err(astray(
                inp,
                Want::word(what, &["traced", "of", "from", "gives", "with"]),
            ))
        }
    })
    .boxed()
}

/// `cloth at blade_point`
pub(super) fn cloth_at<'s>(rules: &Rules<'s>) -> Rule<'s, SentenceKind> {
    first_word()
        .ignore_then(link(Link::At, Want::a("`at`")))
        .ignore_then(rules.expression())
        .map(SentenceKind::ClothAt)
        .modelled(Model::ClothAt)
}

/// `step "Frame" { … }`
pub(super) fn step<'s>(rules: &Rules<'s>) -> Rule<'s, SentenceKind> {
    first_word()
        .ignore_then(quoted(rules))
        .then(block(rules, "`{`"))
        .map(|(name, body)| SentenceKind::Step(Step { name, body }))
        .modelled(Model::Step)
}

/// `note "…"`, `why "…"`, `caution "…"`
pub(super) fn saying<'s>(
    rules: &Rules<'s>,
    kind: fn(Text) -> SentenceKind,
    model: Model,
) -> Rule<'s, SentenceKind> {
    first_word()
        .ignore_then(quoted(rules))
        .map(kind)
        .modelled(model)
}

/// `slip MEASURED is FIGURE "…"`
pub(super) fn slip<'s>(rules: &Rules<'s>) -> Rule<'s, SentenceKind> {
    first_word()
        .ignore_then(rules.expression())
        .then_ignore(link(
            Link::Is,
            Want::word("`is` and the figure that the slip gives", &["is"]),
        ))
        .then(rules.expression())
        .then(quoted(rules))
        .map(|((of, figure), text)| SentenceKind::Slip(Slip { of, figure, text }))
        .modelled(Model::Slip)
}

/// `terms back_width, scye`
pub(super) fn terms<'s>() -> Rule<'s, SentenceKind> {
    first_word()
        .ignore_then(listed(path(Want::a("a name"))))
        .map(SentenceKind::Terms)
        .modelled(Model::Terms)
}

/// `try NAME between A and B { … } until CONDITION else "…"`
pub(super) fn try_until<'s>(rules: &Rules<'s>) -> Rule<'s, SentenceKind> {
    first_word()
        .ignore_then(name(Want::a("the name of what is looked for")))
        .then(values::bounds(rules))
        .then(block(rules, "`{`"))
        .then(until(rules))
        .map(|(((name, (low, high)), body), (until, otherwise))| {
            SentenceKind::Try(Try {
                name,
                low,
                high,
                body,
                until,
                otherwise,
            })
        })
        .modelled(Model::Try)
}

/// `until CONDITION`, and `else "…"`, after a block: told and left out where it is missing, since the block has been
/// read.
fn until<'s>(rules: &Rules<'s>) -> Rule<'s, (Expr, Option<Text>)> {
    let alone = values::last_condition(rules, Model::Try);
    let rules = rules.clone();
    rule(move |inp| {
        if inp.peek() == Some(Tok::Link(Link::Until)) {
            inp.skip();
            let before = inp.save();
            if let Ok(condition) = super::condition::condition(inp, &rules)
                && inp.peek() == Some(Tok::Otherwise)
            {
                inp.skip();
                let words = super::text::text(inp, &rules)?;
                return Ok((condition, Some(words)));
            }
            inp.rewind(before);
            return Ok((inp.parse(&alone)?, None));
        }
        let mut fault = astray(
            inp,
            Want::word("`until` and what must come out", &["until"]),
        );
        fault.model = Some(Model::Try);
        message::tell(inp, &fault);
        super::sentence::leave(inp, &rules);
        Ok((made(ExprKind::Broken, fault.span), None))
    })
    .boxed()
}

/// `each n from 1 to 6 all round carrying reached from 2cm { … }`
pub(super) fn each<'s>(rules: &Rules<'s>) -> Rule<'s, SentenceKind> {
    let rules = rules.clone();
    rule(move |inp| Ok(SentenceKind::Each(super::expression::each(inp, &rules)?.0)))
        .labelled(Model::Each)
        .as_context()
        .boxed()
}

/// `carry reached = VALUE`
pub(super) fn carry<'s>(rules: &Rules<'s>) -> Rule<'s, SentenceKind> {
    first_word()
        .ignore_then(name(Want::a("the name of what is carried on")))
        .then_ignore(token(Tok::Equal, EQUALS))
        .then(values::drawn_value(rules, Model::Carry))
        .map(|(name, value)| SentenceKind::Carry(Carry { name, value }))
        .labelled(Model::Carry)
        .as_context()
        .boxed()
}

/// `if CONDITION { … } else if … { … } else { … }`
pub(super) fn if_else<'s>(rules: &Rules<'s>) -> Rule<'s, SentenceKind> {
    branches(rules, rules.block.clone())
        .map(|(branches, otherwise)| {
            SentenceKind::If(If {
                branches,
                otherwise,
            })
        })
        .modelled(Model::If)
}

/// Each condition with its block, and the block after the last `else`.
pub(super) type Branches<B> = (Vec<(Expr, B)>, Option<B>);

/// The branches of an `if`, whatever their blocks hold.
pub(super) fn branches<'s, B: 's>(rules: &Rules<'s>, block: Rule<'s, B>) -> Rule<'s, Branches<B>> {
    let rules = rules.clone();
    rule(move |inp| {
        let mut branches = Vec::new();
        loop {
            inp.skip();
            let branch = condition_of_block(inp, &rules)
                .and_then(|condition| Ok((condition, inp.parse(&block)?)));
            match (branch, branches.is_empty()) {
                (Ok(branch), _) => branches.push(branch),
                (Err(fault), true) => return Err(fault),
                (Err(fault), false) => {
                    // Blocks have been read: never back to the beginning.
                    message::tell(inp, &fault);
                    return Ok((branches, None));
                }
            }
            if !else_next(inp) {
                return Ok((branches, None));
            }
            inp.skip();
            if inp.peek() == Some(Tok::If) {
                continue;
            }
            return match inp.parse(&block) {
                Ok(otherwise) => Ok((branches, Some(otherwise))),
                Err(fault) => {
                    message::tell(inp, &fault);
                    Ok((branches, None))
                }
            };
        }
    })
    .boxed()
}

/// The condition before a block; where it goes astray its block is read all the same.
fn condition_of_block<'s>(inp: &mut In<'s, '_>, rules: &Rules<'s>) -> Read<Expr> {
    let before = super::cursor::next_span(inp);
    let read: Read<Expr> = condition::condition(inp, rules);
    let fault: Fault = match read {
        Ok(condition) if inp.peek() == Some(Tok::OpenBrace) => return Ok(condition),
        Ok(_) => astray(
            inp,
            Want::a("`{`, or a sign such as `<` and another figure,"),
        ),
        Err(fault) => fault,
    };
    message::tell(inp, &fault.or_in(Model::If));
    while !super::sentence::ends_here(inp) && inp.peek() != Some(Tok::OpenBrace) {
        bump(inp);
    }
    if inp.peek() != Some(Tok::OpenBrace) {
        // The block is missing too, and one message is enough.
        return Err(Fault::told(fault.span));
    }
    Ok(made(ExprKind::Broken, before.to(fault.span)))
}
