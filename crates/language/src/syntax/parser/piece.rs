//! Pieces and what they say: outline, cut, grain, allowances, corners, finishes, folds, notches, marks; and the cloths
//! they are cut from.

use super::cursor::{
    along_next, as_next, astray, at_word, bump, comma_next, expect, first_word, from_next, link,
    listed, name, next_letters, next_span, of_next, on_next, onto_next, optional, path, read_list,
    read_name, read_word, second, text_next, to_next, with_next, word,
};
use super::expression::{Rules, expression};
use super::fault::{Fault, Want};
use super::model::Model;
use super::sentence::{braced, finish, leave_blindly};
use super::text::quoted;
use super::{In, Modelled, Read, Rule, file, message, panel, rule, values};
use crate::report::{Code, Diagnostic};
use crate::sewing::{PieceSays, WearerSide};
use crate::syntax::starts::PIECE_SENTENCES;
use crate::syntax::tokens::Tok;
use crate::syntax::tree::{
    AsWritten, Cloth, DirectionWord, Expr, ExprKind, Link, Name, NotchPlace, OutlineEdge, Piece,
    PieceSentence, PieceSentenceKind, SentenceKind, Take, Taken, Unit, Word,
};
use chumsky::prelude::*;

const EDGE: Want = Want::a("the name of an edge");

/// `piece NAME ["LABEL"] [of PANEL] [traced from PIECE] { … }`
pub(super) fn piece<'s>(rules: &Rules<'s>) -> Rule<'s, SentenceKind> {
    let body = braced(
        recursive(|sentence| {
            piece_sentence(
                rules,
                braced(sentence.boxed())
                    .map(|(sentences, _)| sentences)
                    .boxed(),
            )
        })
        .boxed(),
    );
    let block = rule(move |inp| {
        if inp.peek() == Some(Tok::OpenBrace) {
            return inp.parse(&body);
        }
        let what = "`{`, a label in quotation marks, `of` and a panel, or `traced from`,";
        Err(astray(inp, Want::word(what, &["traced", "of"])))
    });
    first_word()
        .ignore_then(name(Want::a("the piece's name")))
        .then(optional(text_next, quoted(rules)))
        .then(optional(of_next, of_panel()))
        .then(panel::traced_from(Want::a("the piece it is traced from")))
        .then(block)
        .map(|((((name, label), of), traced_from), (sentences, body))| {
            SentenceKind::Piece(Piece {
                name,
                label,
                of,
                traced_from,
                sentences,
                body,
            })
        })
        .modelled(Model::Piece)
}

fn of_panel<'s>() -> Rule<'s, Name> {
    link(Link::Of, Want::a("`of`"))
        .ignore_then(path(Want::a("the name of a panel")))
        .boxed()
}

/// `pieces of house without band`, `seams of house`
pub(super) fn take<'s>(what: Taken) -> Rule<'s, SentenceKind> {
    let without = word("without", Want::a("`without`"))
        .ignore_then(listed(name(Want::a("the name of a piece or a seam"))))
        .boxed();
    first_word()
        .ignore_then(link(Link::Of, Want::word("`of` and a name", &["of"])))
        .ignore_then(path(Want::a("the name of an import or a panel")))
        .then(optional(|inp| at_word(inp, "without"), without))
        .map(move |(of, without)| {
            SentenceKind::Take(Take {
                what,
                of,
                without: without.unwrap_or_default(),
            })
        })
        .modelled(match what {
            Taken::Pieces => Model::TakePieces,
            Taken::Seams => Model::TakeSeams,
        })
}

/// `cloth NAME ["…"] [width 150cm, …]`
pub(super) fn cloth<'s>(rules: &Rules<'s>) -> Rule<'s, SentenceKind> {
    let settings = rules.clone();
    let settings = rule(move |inp| {
        if inp.peek() == Some(Tok::Name) {
            read_list(inp, |inp| values::setting(inp, &settings))
        } else {
            Ok(Vec::new())
        }
    });
    first_word()
        .ignore_then(name(Want::a("the cloth's name")))
        .then(optional(text_next, quoted(rules)))
        .then(settings)
        .map(|((name, label), settings)| {
            SentenceKind::Cloth(Cloth {
                name,
                label,
                settings,
            })
        })
        .modelled(Model::Cloth)
}

/// What a piece's sentence says, as it is written.
type Says = PieceSays<AsWritten>;

fn piece_sentence<'s>(
    rules: &Rules<'s>,
    block: Rule<'s, Vec<PieceSentence>>,
) -> Rule<'s, PieceSentence> {
    let by_word: [(&str, Rule<'s, Says>); PIECE_SENTENCES.len()] = [
        ("outline", outline()),
        ("cut", cut(rules)),
        ("grain", grain(rules)),
        (
            "allow",
            tapering(rules)
                .map(|((width, to), (on, from))| PieceSays::Allow {
                    width,
                    to,
                    on,
                    from,
                })
                .boxed(),
        ),
        ("corner", corner()),
        ("finish", finished(rules)),
        ("fold", fold()),
        ("interline", interline(rules)),
        (
            "notch",
            notch(rules)
                .map(|(form, at)| PieceSays::Notch { form, at })
                .boxed(),
        ),
        ("dart", dart(rules)),
        ("mark", mark(rules)),
    ];
    let branches = panel::branches(rules, block)
        .map(|(branches, otherwise)| PieceSentenceKind::If(branches, otherwise.unwrap_or_default()))
        .modelled(Model::If);
    let read = move |inp: &mut In<'s, '_>| match inp.peek() {
        Some(Tok::If) => inp.parse(&branches),
        Some(Tok::Name) => {
            let word = next_letters(inp);
            match by_word.iter().find(|row| row.0 == word) {
                Some((_, rule)) => inp.parse(rule).map(PieceSentenceKind::Says),
                None => Err(message::not_a_part(inp, "piece", PIECE_SENTENCES)),
            }
        }
        _ => Err(message::not_a_part(inp, "piece", PIECE_SENTENCES)),
    };
    rule(move |inp| {
        let before = inp.cursor();
        inp.state().told = false;
        let kind = read(inp).unwrap_or_else(|fault| {
            message::tell(inp, &fault);
            leave_blindly(inp);
            PieceSentenceKind::Broken
        });
        finish(inp, leave_blindly);
        let span = inp.span_since(&before);
        Ok(PieceSentence { kind, span })
    })
    .boxed()
}

/// `outline a, b as c, d`
fn outline<'s>() -> Rule<'s, Says> {
    let as_name =
        link(Link::As, Want::a("`as`")).ignore_then(name(Want::a("the edge's other name")));
    let edge = path(EDGE)
        .then(optional(as_next, as_name.boxed()))
        .map(|(name, as_name)| OutlineEdge { name, as_name });
    first_word()
        .ignore_then(listed(edge.boxed()))
        .map(|edges| PieceSays::Outline { edges })
        .modelled(Model::Outline)
}

/// `cut N [alike] [on fold at L | whole at L] [from CLOTH]`
fn cut<'s>(rules: &Rules<'s>) -> Rule<'s, Says> {
    let from =
        link(Link::From, Want::a("`from`")).ignore_then(name(Want::a("the name of a cloth")));
    first_word()
        .ignore_then(rules.expression())
        .then(optional(|inp| at_word(inp, "alike"), first_word()))
        .then(optional(
            |inp| on_next(inp) || at_word(inp, "whole"),
            on_fold(),
        ))
        .then(optional(from_next, from.boxed()))
        .map(|(((count, alike), fold), cloth)| {
            let (fold, whole) = fold.map_or((None, false), |(line, whole)| (Some(line), whole));
            PieceSays::Cut {
                count,
                alike: alike.is_some(),
                fold,
                whole,
                cloth,
            }
        })
        .modelled(Model::Cut)
}

/// `on fold at L`, `whole at L`: the line of symmetry, and whether the piece is cut whole.
fn on_fold<'s>() -> Rule<'s, (Name, bool)> {
    rule(|inp| {
        let whole = at_word(inp, "whole");
        inp.skip();
        if whole {
            expect(
                inp,
                Tok::Link(Link::At),
                Want::word("`at` and the line down the middle", &["at"]),
            )?;
            return Ok((read_name(inp, Want::a("the line down the middle"))?, true));
        }
        super::cursor::expect_word(inp, "fold", Want::word("`fold at` and a line", &["fold"]))?;
        expect(
            inp,
            Tok::Link(Link::At),
            Want::word("`at` and the line of the fold", &["at"]),
        )?;
        Ok((read_name(inp, Want::a("the line of the fold"))?, false))
    })
    .boxed()
}

/// `grain along L`, `grain across L`
fn grain<'s>(rules: &Rules<'s>) -> Rule<'s, Says> {
    let across = rule(|inp| {
        if at_word(inp, "across") {
            inp.skip();
            return Ok(true);
        }
        let what = Want::word("`along` or `across` and a line", &["along", "across"]);
        expect(inp, Tok::Link(Link::Along), what)?;
        Ok(false)
    });
    first_word()
        .ignore_then(across)
        .then(rules.operand())
        .map(|(across, along)| PieceSays::Grain { along, across })
        .modelled(Model::Grain)
}

/// `allow W [on a, b]`, `allow nothing on a`
pub(super) fn allow<'s>(rules: &Rules<'s>) -> Rule<'s, (Expr, Vec<Name>)> {
    first_word()
        .ignore_then(width(rules))
        .then_ignore(rule(one_width))
        .then(optional(on_next, on_edges()).map(Option::unwrap_or_default))
        .modelled(Model::Allow)
}

/// Refuses `to` where a seam gives a width.
fn one_width(inp: &mut In<'_, '_>) -> Read<()> {
    if !to_next(inp) {
        return Ok(());
    }
    let span = next_span(inp);
    let told = Diagnostic::error(
        Code::SentenceOutOfPlace,
        span,
        "In a seam an allowance is one width.",
    )
    .help("A piece says how one tapers: `allow 25mm to 1cm on EDGE from POINT`");
    inp.state().tell(told);
    Err(Fault::told(span))
}

/// The width at both ends of an edge, the edge, and the end at which the first is.
type Tapering = ((Expr, Option<Expr>), (Vec<Name>, Option<Expr>));

/// `allow W [on a, b]`, `allow W to V on a, b from P`
fn tapering<'s>(rules: &Rules<'s>) -> Rule<'s, Tapering> {
    let last = link(Link::To, Want::a("`to`")).ignore_then(width(rules));
    let on = optional(on_next, on_edges()).map(Option::unwrap_or_default);
    let whole = on_edges()
        .then(
            link(
                Link::From,
                Want::word("`from` and the end at which the first width is", &["from"]),
            )
            .ignore_then(rules.expression())
            .map(Some),
        )
        .boxed();
    let on = on.map(|on| (on, None)).boxed();
    let rest = rule(move |inp| {
        let last = inp.parse(optional(to_next, last.clone().boxed()))?;
        let on = if last.is_some() { &whole } else { &on };
        Ok((last, inp.parse(on)?))
    });
    first_word()
        .ignore_then(width(rules))
        .then(rest)
        .map(|(first, (last, on))| ((first, last), on))
        .modelled(Model::Allow)
}

/// A width, or `nothing`.
fn width<'s>(rules: &Rules<'s>) -> Rule<'s, Expr> {
    let nothing = rule(|inp| {
        let span = bump(inp);
        let kind = ExprKind::Figure {
            value: 0.0,
            unit: Some(Unit::Millimetre),
        };
        Ok(super::expression::made(kind, span))
    });
    let width = rules.expression();
    rule(move |inp| {
        if at_word(inp, "nothing")
            && matches!(
                second(inp),
                None | Some(Tok::End | Tok::CloseBrace | Tok::Link(Link::On | Link::To))
            )
        {
            return inp.parse(&nothing);
        }
        inp.parse(&width)
    })
    .boxed()
}

/// `on a, b`
pub(super) fn on_edges<'s>() -> Rule<'s, Vec<Name>> {
    link(Link::On, Want::word("`on` and an edge", &["on"]))
        .ignore_then(listed(path(EDGE)))
        .boxed()
}

/// `corner a, b turned back`
fn corner<'s>() -> Rule<'s, Says> {
    let treatment = rule(|inp| -> Read<Vec<Word>> {
        const HOW: Want = Want::word(
            "how the corner is made, such as `turned back`,",
            &["turned", "back", "squared", "stepped", "mitred"],
        );
        let mut words = vec![read_word(inp, HOW)?];
        while inp.peek() == Some(Tok::Name) {
            words.push(read_word(inp, HOW)?);
        }
        Ok(words)
    });
    first_word()
        .ignore_then(listed(path(EDGE)))
        .then(treatment)
        .map(|(edges, treatment)| PieceSays::Corner { edges, treatment })
        .modelled(Model::Corner)
}

/// `finish a, b ["how"]`
fn finished<'s>(rules: &Rules<'s>) -> Rule<'s, Says> {
    first_word()
        .ignore_then(listed(path(EDGE)))
        .then(optional(text_next, quoted(rules)))
        .map(|(edges, words)| PieceSays::Finish { edges, words })
        .modelled(Model::Finish)
}

/// `fold a, b [onto c]`
fn fold<'s>() -> Rule<'s, Says> {
    const LINE: Want = Want::a("the name of a fold line");
    let onto = link(Link::Onto, Want::a("`onto`")).ignore_then(path(LINE));
    first_word()
        .ignore_then(listed(path(LINE)))
        .then(optional(onto_next, onto.boxed()))
        .map(|(lines, onto)| PieceSays::Fold { lines, onto })
        .modelled(Model::Fold)
}

/// `interline N [alike] [from CLOTH] by D`
fn interline<'s>(rules: &Rules<'s>) -> Rule<'s, Says> {
    let from =
        link(Link::From, Want::a("`from`")).ignore_then(name(Want::a("the name of a cloth")));
    let by = link(
        Link::By,
        Want::word("`by` and how far inside the sewing line", &["by"]),
    );
    first_word()
        .ignore_then(rules.expression())
        .then(optional(|inp| at_word(inp, "alike"), first_word()))
        .then(optional(from_next, from.boxed()))
        .then(by.ignore_then(rules.expression()))
        .map(|(((count, alike), cloth), inside)| PieceSays::Interline {
            count,
            alike: alike.is_some(),
            cloth,
            inside,
        })
        .modelled(Model::Interline)
}

/// `dart A to B at T [, U] [along L, M] [pressed toward P] [drill D] [sewn D]`
fn dart<'s>(rules: &Rules<'s>) -> Rule<'s, Says> {
    const LEG: Want = Want::a("the name of a leg");
    let legs = link(Link::Along, Want::a("`along`"))
        .ignore_then(path(LEG))
        .then_ignore(expect_comma("`,` and the other leg"))
        .then(path(LEG));
    let other = rule(|inp| Ok(bump(inp))).ignore_then(rules.expression());
    let pressed = first_word()
        .ignore_then(link(
            Link::Toward,
            Want::word("`toward` and a point", &["toward"]),
        ))
        .ignore_then(rules.expression());
    let far = |rules: &Rules<'s>| first_word().ignore_then(rules.expression()).boxed();
    first_word()
        .ignore_then(rules.expression())
        .then_ignore(link(
            Link::To,
            Want::word("`to` and the other end of the mouth", &["to"]),
        ))
        .then(rules.expression())
        .then_ignore(link(
            Link::At,
            Want::word("`at` and the point of the dart", &["at"]),
        ))
        .then(rules.expression())
        .then(optional(comma_next, other.boxed()))
        .then(optional(along_next, legs.boxed()))
        .then(optional(|inp| at_word(inp, "pressed"), pressed.boxed()))
        .then(optional(|inp| at_word(inp, "drill"), far(rules)))
        .then(optional(|inp| at_word(inp, "sewn"), far(rules)))
        .map(
            |(((((((a, b), apex), other_apex), legs), pressed), drill), sewn)| PieceSays::Dart {
                mouth: (a, b),
                apex,
                other_apex,
                legs,
                pressed,
                drill,
                sewn,
            },
        )
        .modelled(Model::Dart)
}

fn expect_comma<'s>(what: &'static str) -> Rule<'s, crate::report::Span> {
    super::cursor::token(Tok::Comma, Want::a(what))
}

/// `mark P, L ["text" [on left]] [with diameter D, thickness T]`
fn mark<'s>(rules: &Rules<'s>) -> Rule<'s, Says> {
    let settings = file::with_settings(rules);
    first_word()
        .ignore_then(listed(rules.expression()))
        .then(optional(
            text_next,
            quoted(rules).then(optional(on_next, side())).boxed(),
        ))
        .then(optional(with_next, settings).map(Option::unwrap_or_default))
        .map(|((what, said), button)| {
            let (words, side) = said.map_or((None, None), |(words, side)| (Some(words), side));
            PieceSays::Mark {
                what,
                words,
                side,
                button,
            }
        })
        .modelled(Model::Mark)
}

/// `on left`, `on right`: the wearer's.
fn side<'s>() -> Rule<'s, WearerSide> {
    rule(|inp| {
        inp.skip();
        let side = match inp.peek() {
            Some(Tok::Direction(DirectionWord::Left)) => WearerSide::Left,
            Some(Tok::Direction(DirectionWord::Right)) => WearerSide::Right,
            _ => {
                let what = "the wearer's side, `left` or `right`,";
                return Err(astray(inp, Want::word(what, &["left", "right"])));
            }
        };
        inp.skip();
        Ok(side)
    })
    .boxed()
}

/// `notch [FORM] at D from P`, `notch [FORM] at P, Q`, `notch [FORM] at joints`
pub(super) fn notch<'s>(rules: &Rules<'s>) -> Rule<'s, (Option<Word>, NotchPlace)> {
    let rules = rules.clone();
    let place = rule(move |inp| notch_place(inp, &rules));
    first_word()
        .ignore_then(optional(
            |inp| inp.peek() == Some(Tok::Name),
            name(Want::a("its form")),
        ))
        .then_ignore(link(
            Link::At,
            Want::word("`at` and a place", &["at", "single", "double"]),
        ))
        .then(place)
        .modelled(Model::Notch)
}

fn notch_place<'s>(inp: &mut In<'s, '_>, rules: &Rules<'s>) -> Read<NotchPlace> {
    if at_word(inp, "joints") && matches!(second(inp), None | Some(Tok::End | Tok::CloseBrace)) {
        bump(inp);
        return Ok(NotchPlace::Joints);
    }
    let first = expression(inp, rules)?;
    if inp.peek() == Some(Tok::Link(Link::From)) {
        inp.skip();
        let from = expression(inp, rules)?;
        return Ok(NotchPlace::Measured {
            distance: first,
            from,
        });
    }
    let mut points = vec![first];
    if inp.peek() == Some(Tok::Comma) {
        inp.skip();
        points.extend(read_list(inp, |inp| expression(inp, rules))?);
    }
    Ok(NotchPlace::Points(points))
}
