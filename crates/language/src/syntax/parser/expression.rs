//! Expressions, by climbing: `HEAD of X`, `-`, `* /`, `+ -`, displacement, turn. Each level reads its operands from the
//! next tighter one and then looks at one token.

use super::context::KeepOf;
use super::context::{Context, DEEPEST_CHAIN};
use super::cursor::{
    astray, at_word, bump, dotted, expect, expect_word, next_letters, next_name, next_one,
    read_list, read_word, second,
};
use super::fault::{Fault, Want};
use super::model::Model;
use super::{In, Read, Rule, condition, message, phrase, rule, text};
use crate::report::{Code, Span};
use crate::syntax::figure;
use crate::syntax::tokens::Tok;
use crate::syntax::tree::{
    Block, Carried, DirectionWord, Displacement, Each, EachOver, Expr, ExprKind, Far, Link, Name,
    Operator, Word,
};
use chumsky::prelude::*;

/// The rules that expressions need from outside: the block of an `each`.
#[derive(Clone)]
pub(super) struct Rules<'s> {
    /// `{ … }`
    pub block: Rule<'s, Block>,
}

impl<'s> Rules<'s> {
    /// A sum, a displacement: what may stand as an argument or beside a comparison.
    pub(super) fn expression(&self) -> Rule<'s, Expr> {
        let rules = self.clone();
        rule(move |inp| expression(inp, &rules)).boxed()
    }

    /// A name, a literal, a bracket or `HEAD of X`.
    pub(super) fn operand(&self) -> Rule<'s, Expr> {
        let rules = self.clone();
        rule(move |inp| operand(inp, &rules)).boxed()
    }
}

/// What a value may begin with.
pub(super) const A_VALUE: Want = Want::a("a name, a figure or a bracket");

pub(super) fn made(kind: ExprKind, span: Span) -> Expr {
    Expr { kind, span }
}

/// Counts one more link in the chain of signs.
pub(super) fn spend(inp: &mut In, at: Span) -> Read<()> {
    let state = inp.state();
    if state.chain_left > 0 {
        state.chain_left -= 1;
        return Ok(());
    }
    let message = format!("This sentence chains more than {DEEPEST_CHAIN} signs.");
    state.tell(
        Context::error(Code::TooLarge, at, message)
            .help("Draw its parts first, each under its own name."),
    );
    Err(Fault::told(at))
}

/// Up to displacement, and a turn's sense after it.
pub(super) fn expression<'s>(inp: &mut In<'s, '_>, rules: &Rules<'s>) -> Read<Expr> {
    let start = sum(inp, rules)?;
    let mut moves = Vec::new();
    while let Some(Tok::Direction(direction)) = inp.peek() {
        if matches!(
            direction,
            DirectionWord::Clockwise | DirectionWord::Anticlockwise
        ) {
            break;
        }
        moves.push(displacement(inp, rules, direction)?);
    }
    let moved = match moves.last().map(far_end) {
        Some(end) => {
            let span = start.span.to(end);
            let from = Box::new(start);
            made(ExprKind::Displaced { from, moves }, span)
        }
        None => start,
    };
    Ok(turn(inp, moved))
}

fn far_end(last: &Displacement) -> Span {
    match &last.far {
        Far::By(expr) | Far::Until(expr) | Far::LevelOf(expr) => expr.span,
    }
}

fn displacement<'s>(
    inp: &mut In<'s, '_>,
    rules: &Rules<'s>,
    direction: DirectionWord,
) -> Read<Displacement> {
    let span = bump(inp);
    let far = if inp.peek() == Some(Tok::Link(Link::Until)) {
        inp.skip();
        Far::Until(operand(inp, rules)?)
    } else if inp.peek() == Some(Tok::Link(Link::LevelOf)) {
        inp.skip();
        Far::LevelOf(operand(inp, rules)?)
    } else {
        if inp.peek() == Some(Tok::Link(Link::By)) {
            inp.skip();
        }
        let starts = inp
            .peek()
            .is_some_and(|tok| tok.begins_operand() || tok == Tok::Minus);
        if !starts {
            return Err(astray(
                inp,
                Want::a("a length, `until` and the line it reaches, or `to level of` and a point,"),
            ));
        }
        Far::By(sum(inp, rules)?)
    };
    Ok(Displacement {
        direction,
        span,
        far,
    })
}

/// `X clockwise`
fn turn(inp: &mut In, angle: Expr) -> Expr {
    let clockwise = match inp.peek() {
        Some(Tok::Direction(DirectionWord::Clockwise)) => true,
        Some(Tok::Direction(DirectionWord::Anticlockwise)) => false,
        _ => return angle,
    };
    let sense = bump(inp);
    let span = angle.span.to(sense);
    let angle = Box::new(angle);
    made(
        ExprKind::Turn {
            angle,
            clockwise,
            sense,
        },
        span,
    )
}

fn sum<'s>(inp: &mut In<'s, '_>, rules: &Rules<'s>) -> Read<Expr> {
    let mut left = product(inp, rules)?;
    loop {
        let operator = match inp.peek() {
            Some(Tok::Plus) => Operator::Add,
            Some(Tok::Minus) => Operator::Subtract,
            _ => return Ok(left),
        };
        left = joined(inp, rules, operator, left, product)?;
    }
}

fn product<'s>(inp: &mut In<'s, '_>, rules: &Rules<'s>) -> Read<Expr> {
    let mut left = negative(inp, rules)?;
    loop {
        let operator = match inp.peek() {
            Some(Tok::Star) => Operator::Multiply,
            Some(Tok::Slash) => Operator::Divide,
            _ => return Ok(left),
        };
        left = joined(inp, rules, operator, left, negative)?;
    }
}

fn joined<'s, 'p>(
    inp: &mut In<'s, 'p>,
    rules: &Rules<'s>,
    operator: Operator,
    left: Expr,
    tighter: fn(&mut In<'s, 'p>, &Rules<'s>) -> Read<Expr>,
) -> Read<Expr> {
    let sign = bump(inp);
    spend(inp, sign)?;
    let right = tighter(inp, rules)?;
    let span = left.span.to(right.span);
    let (left, right) = (Box::new(left), Box::new(right));
    Ok(made(
        ExprKind::Sum {
            operator,
            sign,
            left,
            right,
        },
        span,
    ))
}

fn negative<'s>(inp: &mut In<'s, '_>, rules: &Rules<'s>) -> Read<Expr> {
    if inp.peek() != Some(Tok::Minus) {
        return operand(inp, rules);
    }
    let sign = bump(inp);
    spend(inp, sign)?;
    let inner = negative(inp, rules)?;
    let span = sign.to(inner.span);
    Ok(made(ExprKind::Negative(Box::new(inner)), span))
}

/// A name, a literal, a bracket or `HEAD of X`.
pub(super) fn operand<'s>(inp: &mut In<'s, '_>, rules: &Rules<'s>) -> Read<Expr> {
    match inp.peek() {
        Some(Tok::Name) if next_one(inp) => {
            let name = next_name(inp);
            let span = name.span;
            Ok(made(ExprKind::Name(name), span))
        }
        Some(Tok::Name) => named(inp, rules),
        Some(Tok::Dotted) => {
            let span = bump(inp);
            let name = dotted(inp, span);
            Ok(made(ExprKind::Name(name), span))
        }
        Some(Tok::Figure | Tok::OddFigure) => Ok(read_figure(inp)),
        Some(Tok::OpenRound) => bracketed(inp, rules),
        Some(Tok::OpenSquare) => list(inp, rules),
        Some(Tok::Text | Tok::TextHead) => {
            let text = text::text(inp, rules)?;
            let span = text.span;
            Ok(made(ExprKind::Text(text), span))
        }
        Some(Tok::Yes | Tok::No) => {
            let yes = inp.peek() == Some(Tok::Yes);
            Ok(made(ExprKind::Answer(yes), bump(inp)))
        }
        Some(Tok::Origin) => Ok(made(ExprKind::Origin, bump(inp))),
        Some(Tok::Direction(word)) => Ok(made(ExprKind::Direction(word), bump(inp))),
        Some(Tok::Each) => {
            let (each, span) = each(inp, rules)?;
            Ok(made(ExprKind::Each(Box::new(each)), span))
        }
        _ => Err(astray(inp, A_VALUE)),
    }
}

/// Whether the `of` that comes next belongs to the sentence.
fn keeps_of(inp: &mut In<'_, '_>) -> bool {
    match inp.state().keep_of {
        KeepOf::None => false,
        KeepOf::Any => true,
        KeepOf::BeforeText => second(inp).is_some_and(Tok::begins_text) && texts_follow(inp),
    }
}

/// Whether behind `of` and a text another text stands, or the end of a parameter: then these are texts to choose from, and no
/// operand of a head.
fn texts_follow(inp: &mut In<'_, '_>) -> bool {
    let here = inp.save();
    inp.skip();
    let mut depth = 0;
    loop {
        match inp.peek() {
            Some(Tok::TextHead) => depth += 1,
            Some(Tok::TextTail) => depth -= 1,
            None => break,
            Some(_) => {}
        }
        inp.skip();
        if depth == 0 {
            break;
        }
    }
    let next = inp.peek();
    inp.rewind(here);
    matches!(next, Some(Tok::Comma | Tok::CloseRound)) || next.is_some_and(Tok::begins_text)
}

/// A name; `HEAD of X`; or a head that stands bare where it needs brackets.
fn named<'s>(inp: &mut In<'s, '_>, rules: &Rules<'s>) -> Read<Expr> {
    let span = bump(inp);
    let word = inp.state().word(span);
    match inp.peek() {
        Some(Tok::Link(Link::Of)) if !keeps_of(inp) => {
            let sign = bump(inp);
            spend(inp, sign)?;
            let inner = operand(inp, rules)?;
            let whole = span.to(inner.span);
            let operand = Box::new(inner);
            Ok(made(
                ExprKind::Of {
                    head: word,
                    operand,
                },
                whole,
            ))
        }
        Some(tok) if tok.begins_operand() && !tok.begins_text() => {
            if relation_next(inp) || place_word_next(inp) {
                return Ok(plain(word));
            }
            phrase::bare_head(inp, rules, word)
        }
        _ => Ok(plain(word)),
    }
}

/// A single word as a name.
pub(super) fn plain(word: Word) -> Expr {
    let span = word.span;
    made(
        ExprKind::Name(Name {
            words: vec![word],
            span,
        }),
        span,
    )
}

/// Whether a word comes next that ends an expression by its place: `alike` in a piece, `pressed` in a dart, `carrying` in an
/// `each`.
fn place_word_next(inp: &mut In) -> bool {
    inp.peek() == Some(Tok::Name)
        && match next_letters(inp) {
            "alike" => true,
            "whole" => second(inp) == Some(Tok::Link(Link::At)),
            "pressed" => second(inp) == Some(Tok::Link(Link::Toward)),
            "all" => second_is(inp, "round"),
            "carrying" => second(inp) == Some(Tok::Name),
            "drill" | "sewn" => {
                second(inp).is_some_and(|tok| tok.begins_operand() && !tok.begins_text())
            }
            _ => false,
        }
}

/// Whether the token after the next is that word.
fn second_is(inp: &mut In, word: &str) -> bool {
    let here = inp.save();
    inp.skip();
    let is_it = at_word(inp, word);
    inp.rewind(here);
    is_it
}

/// Whether `longer`, `shorter`, `more` or `less` comes next, before `than`.
pub(super) fn relation_next(inp: &mut In) -> bool {
    inp.peek() == Some(Tok::Name)
        && condition::RELATIONS.contains(&next_letters(inp))
        && second(inp) == Some(Tok::Link(Link::Than))
}

/// A figure, and a unit that stands apart from it.
fn read_figure(inp: &mut In) -> Expr {
    let odd = inp.peek() == Some(Tok::OddFigure);
    let mut span = bump(inp);
    let letters = inp.state().slice(span);
    let mut reading = if odd {
        figure::read_odd(letters, span)
    } else {
        figure::read(letters, span)
    };
    if reading.unit.is_none() && inp.peek() == Some(Tok::Name) {
        let word = next_letters(inp);
        if let Some(writing) = figure::unit_writing(word) {
            reading.unit = figure::unit(writing);
            span = span.to(bump(inp));
            reading.message = Some(Box::new(message::unit_apart(letters, word, writing, span)));
        }
    }
    if let Some(message) = reading.message {
        inp.state().tell(*message);
    }
    let (value, unit) = (reading.value, reading.unit);
    made(ExprKind::Figure { value, unit }, span)
}

fn bracketed<'s>(inp: &mut In<'s, '_>, rules: &Rules<'s>) -> Read<Expr> {
    let open = bump(inp);
    let kept = std::mem::replace(&mut inp.state().keep_of, KeepOf::None);
    let inner = phrase::value(inp, rules);
    inp.state().keep_of = kept;
    let inner = inner?;
    if inp.peek() == Some(Tok::Comma) {
        return Err(astray(inp, Want::a("`)`, and a list between `[` and `]`")).or_in(Model::List));
    }
    let close = expect(inp, Tok::CloseRound, Want::a("`)` or a linking word"))?;
    Ok(made(ExprKind::Bracketed(Box::new(inner)), open.to(close)))
}

fn list<'s>(inp: &mut In<'s, '_>, rules: &Rules<'s>) -> Read<Expr> {
    let open = bump(inp);
    let kept = std::mem::replace(&mut inp.state().keep_of, KeepOf::None);
    let items = if inp.peek() == Some(Tok::CloseSquare) {
        Ok(Vec::new())
    } else {
        read_list(inp, |inp| expression(inp, rules))
    };
    inp.state().keep_of = kept;
    let items = items?;
    let close = expect(inp, Tok::CloseSquare, Want::a("`,` or `]`"))?;
    Ok(made(ExprKind::List(items), open.to(close)))
}

/// `each n from 0 to 6 { … }`, `each p in spots { … }`, and the whole of it.
pub(super) fn each<'s>(inp: &mut In<'s, '_>, rules: &Rules<'s>) -> Read<(Each, Span)> {
    const OVER: Want = Want::word("`from` and `to`, or `in` and a list,", &["from", "in"]);
    let start = bump(inp);
    let name = read_word(
        inp,
        Want::a("the name that runs, as in `each n from 1 to 5`,"),
    )?;
    let over = if inp.peek() == Some(Tok::Link(Link::From)) {
        inp.skip();
        let from = expression(inp, rules)?;
        expect(
            inp,
            Tok::Link(Link::To),
            Want::word("`to` and the last number", &["to"]),
        )?;
        let to = expression(inp, rules)?;
        EachOver::Count { from, to }
    } else if inp.peek() == Some(Tok::Name) && next_letters(inp) == "in" {
        inp.skip();
        EachOver::Items(expression(inp, rules)?)
    } else {
        return Err(astray(inp, OVER));
    };
    let mut all_round = None;
    if at_word(inp, "all") {
        let all = bump(inp);
        let round = Want::word("`round` after `all`", &["round"]);
        all_round = Some(all.to(expect_word(inp, "round", round)?));
    }
    let mut carried = Vec::new();
    if at_word(inp, "carrying") {
        inp.skip();
        carried = read_list(inp, |inp| carried_on(inp, rules))?;
    }
    if inp.peek() != Some(Tok::OpenBrace) {
        let words = &["all", "carrying"];
        return Err(astray(
            inp,
            Want::word("a block, which begins with `{`,", words),
        ));
    }
    let body = inp.parse(&rules.block)?;
    let span = start.to(body.span);
    let each = Each {
        name,
        over,
        all_round,
        carried,
        body,
    };
    Ok((each, span))
}

/// `reached from 2cm`
fn carried_on<'s>(inp: &mut In<'s, '_>, rules: &Rules<'s>) -> Read<Carried> {
    let name = read_word(
        inp,
        Want::a("the name of what is carried on, as in `carrying reached from 2cm`,"),
    )?;
    expect(
        inp,
        Tok::Link(Link::From),
        Want::word("`from` and what it begins with", &["from"]),
    )?;
    let from = expression(inp, rules)?;
    let span = name.span.to(from.span);
    Ok(Carried { name, from, span })
}
