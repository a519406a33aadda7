//! What stands after `toward`, `leaving` and `arriving`: a direction word, `along L`, `square to L`, an angle below or
//! above a direction, a point or a name.

use super::cursor::{astray, bump, next_letters, second};
use super::expression::{Rules, expression, made, operand, spend};
use super::fault::Want;
use super::{In, Read};
use crate::syntax::tokens::Tok;
use crate::syntax::tree::{Bearing, DirectionWord, Expr, ExprKind, Link};

/// Reads a direction place.
pub(super) fn bearing<'s>(inp: &mut In<'s, '_>, rules: &Rules<'s>) -> Read<Expr> {
    match inp.peek() {
        Some(Tok::Link(Link::Along)) => {
            let start = bump(inp);
            let line = operand(inp, rules)?;
            let span = start.to(line.span);
            Ok(made(
                ExprKind::Bearing(Bearing::Along(Box::new(line))),
                span,
            ))
        }
        // A bare direction is whole: an `until` after it belongs to the phrase.
        Some(Tok::Direction(word)) => Ok(made(ExprKind::Direction(word), bump(inp))),
        Some(Tok::Name)
            if next_letters(inp) == "square" && second(inp) == Some(Tok::Link(Link::To)) =>
        {
            square_to(inp, rules)
        }
        _ => leaning(inp, rules),
    }
}

fn square_to<'s>(inp: &mut In<'s, '_>, rules: &Rules<'s>) -> Read<Expr> {
    let start = bump(inp);
    spend(inp, start)?;
    inp.skip();
    let line = operand(inp, rules)?;
    let mut span = start.to(line.span);
    let mut toward = None;
    if inp.peek() == Some(Tok::Link(Link::Toward)) {
        inp.skip();
        let direction = bearing(inp, rules)?;
        span = span.to(direction.span);
        toward = Some(Box::new(direction));
    }
    let square = Bearing::SquareTo(Box::new(line), toward);
    Ok(made(ExprKind::Bearing(square), span))
}

/// `ANGLE below right`, or a plain value.
fn leaning<'s>(inp: &mut In<'s, '_>, rules: &Rules<'s>) -> Read<Expr> {
    const LEVEL: Want = Want::word(
        "a direction, `up`, `down`, `left` or `right`,",
        &["up", "down", "left", "right"],
    );
    let angle = expression(inp, rules)?;
    let below = match inp.peek() {
        Some(Tok::Link(Link::Below)) => true,
        Some(Tok::Link(Link::Above)) => false,
        _ => return Ok(angle),
    };
    inp.skip();
    let Some(Tok::Direction(from)) = inp.peek() else {
        return Err(astray(inp, LEVEL));
    };
    if matches!(
        from,
        DirectionWord::Clockwise | DirectionWord::Anticlockwise
    ) {
        return Err(astray(inp, LEVEL));
    }
    let from_span = bump(inp);
    let span = angle.span.to(from_span);
    let angle = Box::new(angle);
    let leaning = Bearing::Leaning {
        angle,
        below,
        from,
        from_span,
    };
    Ok(made(ExprKind::Bearing(leaning), span))
}
