//! Texts and their holes.

use super::context::KeepOf;
use super::cursor::{astray, bump};
use super::expression::{Rules, made};
use super::fault::Want;
use super::{In, Read, Rule, message, phrase, rule};
use crate::report::Span;
use crate::syntax::look_alike::inside_marks;
use crate::syntax::tokens::Tok;
use crate::syntax::tree::{ExprKind, Text, TextPart};
use chumsky::prelude::*;

/// A text, as a rule.
pub(super) fn quoted<'s>(rules: &Rules<'s>) -> Rule<'s, Text> {
    let rules = rules.clone();
    rule(move |inp| text(inp, &rules)).boxed()
}

/// A text in quotation marks.
pub(super) fn text<'s>(inp: &mut In<'s, '_>, rules: &Rules<'s>) -> Read<Text> {
    match inp.peek() {
        Some(Tok::Text) => {
            let span = bump(inp);
            let letters = inside_marks(inp.state().slice(span));
            let mut parts = Vec::new();
            push_letters(&mut parts, letters);
            Ok(Text { parts, span })
        }
        Some(Tok::TextHead) => with_holes(inp, rules),
        _ => Err(astray(
            inp,
            Want::a("a text between quotation marks, \"…\","),
        )),
    }
}

fn with_holes<'s>(inp: &mut In<'s, '_>, rules: &Rules<'s>) -> Read<Text> {
    let start = bump(inp);
    let head = inp.state().slice(start);
    let mut parts = Vec::new();
    let head = head.strip_suffix('{').unwrap_or(head);
    push_letters(&mut parts, head.get(mark_length(head)..).unwrap_or(""));
    loop {
        parts.push(hole(inp, rules));
        let last = inp.peek() != Some(Tok::TextMiddle);
        let span = bump(inp);
        let letters = inp.state().slice(span);
        let letters = letters.strip_prefix('}').unwrap_or(letters);
        if last {
            let end = letters.chars().next_back().map_or(0, char::len_utf8);
            push_letters(&mut parts, letters.get(..letters.len() - end).unwrap_or(""));
            return Ok(Text {
                parts,
                span: start.to(span),
            });
        }
        push_letters(&mut parts, letters.strip_suffix('{').unwrap_or(letters));
    }
}

fn mark_length(letters: &str) -> usize {
    letters.chars().next().map_or(0, char::len_utf8)
}

/// One hole, up to the brace that closes it, whatever it holds.
fn hole<'s>(inp: &mut In<'s, '_>, rules: &Rules<'s>) -> TextPart {
    let outer = std::mem::replace(&mut inp.state().keep_of, KeepOf::None);
    let value = phrase::value(inp, rules);
    inp.state().keep_of = outer;
    let fault = match value {
        Ok(value) if hole_ends(inp) => return TextPart::Hole(value),
        Ok(_) => astray(inp, Want::a("the `}` that closes this part of the text")),
        Err(fault) => fault,
    };
    let mut span: Span = fault.span;
    if let Some(message) = message::hole(inp, &fault) {
        inp.state().tell(message);
    }
    while !hole_ends(inp) {
        span = span.to(bump(inp));
    }
    TextPart::Hole(made(ExprKind::Broken, span))
}

fn hole_ends(inp: &mut In) -> bool {
    matches!(inp.peek(), None | Some(Tok::TextMiddle | Tok::TextTail))
}

fn push_letters(parts: &mut Vec<TextPart>, letters: &str) {
    if letters.is_empty() {
        return;
    }
    let letters = if letters.contains("{{") {
        letters.replace("{{", "{").into()
    } else {
        letters.into()
    };
    parts.push(TextPart::Letters(letters));
}
