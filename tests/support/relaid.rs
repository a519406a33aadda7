//! Other layouts of a text, by chance: lines broken wherever the reference's section 1 lets a sentence go on, spaces and blank
//! lines where they say nothing, and brackets round what needs none, or taken from round what can do without.

use super::chance::Chance;
use oaktag_language::report::FileId;
use oaktag_language::syntax::messages::Messages;
use oaktag_language::syntax::prepare;
use oaktag_language::syntax::starts::{KINDS, PIECE_SENTENCES, SEAM_SENTENCES, SENTENCES};
use oaktag_language::syntax::tokens::{Comment, Placed, Tok};
use oaktag_language::syntax::tree::Link;

fn placed(text: &str) -> (Vec<Placed>, Vec<Comment>) {
    let (tokens, trivia) = prepare(text, FileId(0), &mut Messages::default());
    (tokens, trivia.comments)
}

/// The comments of a text, in order, each with the tokens of the sentence that it stands in or above, brackets and `by` left
/// aside.
pub fn comments(text: &str) -> Vec<(String, String)> {
    let (tokens, comments) = placed(text);
    let beside = |comment: &Comment| {
        let at = tokens.partition_point(|(_, span)| span.end <= comment.span.start);
        // What stands behind a sentence is of that sentence, what stands alone of the next.
        let at = if comment.own_line {
            at
        } else {
            at.saturating_sub(1)
        };
        let begin = tokens[..at].iter().rposition(|(tok, _)| ends(*tok));
        let begin = begin.map_or(0, |end| end + 1);
        let words = tokens[begin..].iter().skip_while(|(tok, _)| ends(*tok));
        let words = words.take_while(|(tok, _)| !ends(*tok));
        let letters = words
            .filter(|(tok, _)| {
                !matches!(tok, Tok::OpenRound | Tok::CloseRound | Tok::Link(Link::By))
            })
            .map(|(_, span)| {
                text[span.range()]
                    .split_whitespace()
                    .collect::<Vec<_>>()
                    .join(" ")
            });
        letters.collect::<Vec<String>>().join(" ")
    };
    let found = comments.iter();
    found
        .map(|comment| (text[comment.span.range()].to_owned(), beside(comment)))
        .collect()
}

fn ends(tok: Tok) -> bool {
    matches!(tok, Tok::End | Tok::OpenBrace | Tok::CloseBrace)
}

fn is_sentence_word(word: &str) -> bool {
    let lists = [KINDS, SENTENCES, PIECE_SENTENCES, SEAM_SENTENCES];
    lists.iter().any(|words| words.contains(&word))
}

/// The same tokens and comments in another layout.
pub fn relaid(text: &str, chance: &mut Chance) -> String {
    let (tokens, comments) = placed(text);
    let mut comments = comments.iter().peekable();
    let mut out = String::new();
    let mut open: Vec<Tok> = Vec::new();
    let mut before: Option<Placed> = None;
    let mut ended = true;
    let mut at = 0;
    while let Some(&(tok, span)) = tokens.get(at) {
        if tok == Tok::End {
            ended = true;
            at += 1;
            continue;
        }
        let mut from = before.map_or(0, |(_, span)| span.end as usize);
        let mut commented = false;
        while let Some(comment) = comments.next_if(|c| c.span.start < span.start) {
            if comment.own_line {
                let blank = text[from..comment.span.start as usize]
                    .matches('\n')
                    .count()
                    > 1;
                new_lines(&mut out, chance, from > 0 && !commented, blank);
            }
            spaces(&mut out, chance, 1);
            out.push_str(&text[comment.span.range()]);
            out.push('\n');
            commented = true;
            from = comment.span.end as usize;
        }
        let gap = &text[from..span.start as usize];
        let boundary = ended
            || before.is_some_and(|(before, _)| before == Tok::OpenBrace)
            || tok == Tok::CloseBrace;
        let may = boundary || goes_on(text, &tokens, at, before, &open);
        let must = (ended && before.is_some() && tok != Tok::CloseBrace)
            || apart(text, &tokens, at, before);
        let inner =
            before.is_some_and(|(before, _)| before == Tok::OpenBrace) || tok == Tok::CloseBrace;
        if commented {
            let blank = boundary && gap.matches('\n').count() > 1;
            new_lines(&mut out, chance, false, blank);
            spaces(&mut out, chance, 0);
        } else if must || (may && chance.below(4) == 0) {
            let blank = !inner && ended && gap.matches('\n').count() > 1;
            new_lines(&mut out, chance, before.is_some(), blank);
            spaces(&mut out, chance, 0);
        } else if before.is_some() {
            let tight = before.is_some_and(|(before, _)| {
                matches!(before, Tok::OpenRound | Tok::OpenSquare | Tok::OpenBrace)
            }) || matches!(
                tok,
                Tok::CloseRound | Tok::CloseSquare | Tok::Comma | Tok::CloseBrace
            );
            spaces(&mut out, chance, usize::from(!tight));
        }
        match tok {
            Tok::OpenRound | Tok::OpenSquare | Tok::OpenBrace => open.push(tok),
            Tok::CloseRound | Tok::CloseSquare | Tok::CloseBrace => drop(open.pop()),
            _ => {}
        }
        let mut last = (tok, span);
        if tok == Tok::TextHead {
            while tokens[at].0 != Tok::TextTail {
                at += 1;
            }
            last = tokens[at];
        }
        let letters = &text[span.start as usize..last.1.end as usize];
        if matches!(tok, Tok::Link(_)) {
            for (n, word) in letters.split_whitespace().enumerate() {
                if n > 0 {
                    spaces(&mut out, chance, 1);
                }
                out.push_str(word);
            }
        } else {
            out.push_str(letters);
        }
        before = Some(last);
        ended = false;
        at += 1;
    }
    let mut from = before.map_or(0, |(_, span)| span.end as usize);
    let mut line = before.is_some();
    for comment in comments {
        if comment.own_line {
            let blank = text[from..comment.span.start as usize]
                .matches('\n')
                .count()
                > 1;
            new_lines(&mut out, chance, line, blank);
        } else {
            out.push(' ');
        }
        out.push_str(&text[comment.span.range()]);
        out.push('\n');
        (from, line) = (comment.span.end as usize, false);
    }
    out
}

/// A new line where one is wanted, and blank lines, one or several, where there was one.
fn new_lines(out: &mut String, chance: &mut Chance, line: bool, blank: bool) {
    if line {
        out.push('\n');
    }
    if blank {
        out.push_str(&"\n".repeat(1 + chance.below(3)));
    }
}

fn spaces(out: &mut String, chance: &mut Chance, least: usize) {
    let more = if chance.below(3) == 0 {
        chance.below(5)
    } else {
        0
    };
    out.push_str(&" ".repeat(least + more));
    if least > 0 && chance.below(20) == 0 {
        out.push('\t');
    }
}

/// Whether the sentence goes on over a new line before a token.
fn goes_on(text: &str, tokens: &[Placed], at: usize, before: Option<Placed>, open: &[Tok]) -> bool {
    let (tok, span) = tokens[at];
    let Some((before, _)) = before else {
        return false;
    };
    if tok.is_operator()
        || matches!(
            tok,
            Tok::Link(_) | Tok::Direction(_) | Tok::Otherwise | Tok::OpenBrace
        )
    {
        return true;
    }
    let begins = tok == Tok::If || (tok == Tok::Name && is_sentence_word(&text[span.range()]));
    let bracket = open.last().is_some_and(|open| *open != Tok::OpenBrace);
    let asks = before == Tok::Comma
        || before.is_operator()
        || matches!(before, Tok::Link(link) if link != Link::OfTheWay);
    (bracket || asks) && !begins
}

/// `to`, `level of`, on two lines, are words apart.
fn apart(text: &str, tokens: &[Placed], at: usize, before: Option<Placed>) -> bool {
    let word = |n: usize| tokens.get(at + n).map(|(_, span)| &text[span.range()]);
    match before.map(|(tok, _)| tok) {
        Some(Tok::Link(Link::To)) => word(0) == Some("level") && word(1) == Some("of"),
        Some(Tok::Link(Link::Of)) => word(0) == Some("the") && word(1) == Some("way"),
        _ => false,
    }
}

/// The same with other brackets that say nothing, in sentences that draw.
pub fn rebracketed(text: &str, chance: &mut Chance) -> String {
    let (tokens, comments) = placed(text);
    let mut put: Vec<(usize, usize, &str)> = Vec::new();
    let mut first = "";
    for (at, (tok, span)) in tokens.iter().enumerate() {
        let near = |n: isize| {
            at.checked_add_signed(n)
                .and_then(|at| tokens.get(at))
                .map(|(tok, _)| *tok)
        };
        if near(-1).is_none_or(ends) {
            first = &text[span.range()];
        }
        let is_drawn = KINDS.contains(&first) && first != "panel" || first == "redraw";
        if !is_drawn || chance.below(3) > 0 {
            continue;
        }
        let behind_link = matches!(
            near(-1),
            Some(Tok::Link(
                Link::From | Link::To | Link::Through | Link::About | Link::At | Link::Around
            ))
        );
        let operand = behind_link
            || matches!(
                near(-1),
                Some(Tok::Link(
                    Link::By | Link::Along | Link::Until | Link::Near | Link::Over | Link::For
                ))
            );
        let ended = |tok: Option<Tok>| match tok {
            None | Some(Tok::End | Tok::Comma | Tok::CloseRound) => true,
            Some(Tok::Link(link)) => {
                !matches!(link, Link::Of | Link::By | Link::Until | Link::LevelOf)
            }
            _ => false,
        };
        match tok {
            Tok::Name | Tok::Dotted | Tok::Figure
                if operand && ended(near(1)) && near(1) != Some(Tok::OpenBrace) =>
            {
                put.push((span.start as usize, span.start as usize, "("));
                put.push((span.end as usize, span.end as usize, ")"));
            }
            Tok::OpenRound => {
                let within = tokens[at + 1..].iter().map(|(tok, _)| *tok).take(4);
                let inner: Vec<Tok> = within.collect();
                let close = closing(&tokens, at);
                let (begin, end) = (span.start as usize, tokens[close].1.end as usize);
                let commented = comments
                    .iter()
                    .any(|c| (begin..end).contains(&(c.span.start as usize)));
                let next = tokens.get(close + 1).map(|(tok, _)| *tok);
                let displaced = matches!(
                    inner.as_slice(),
                    [
                        Tok::Name | Tok::Dotted,
                        Tok::Direction(_),
                        Tok::Figure,
                        Tok::CloseRound
                    ]
                );
                if commented {
                } else if displaced && behind_link && ended(next) && next != Some(Tok::Comma) {
                    put.push((begin, begin + 1, ""));
                    put.push((end - 1, end, ""));
                } else {
                    put.push((begin, begin, "("));
                    put.push((end, end, ")"));
                }
            }
            _ => {}
        }
    }
    put.sort_by_key(|(from, to, _)| (*from, *to));
    let mut out = String::new();
    let mut done = 0;
    for (from, to, letters) in put {
        out.push_str(&text[done..from]);
        out.push_str(letters);
        done = to;
    }
    out.push_str(&text[done..]);
    out
}

fn closing(tokens: &[Placed], open: usize) -> usize {
    let mut depth = 0;
    for (at, (tok, _)) in tokens.iter().enumerate().skip(open) {
        match tok {
            Tok::OpenRound => depth += 1,
            Tok::CloseRound => depth -= 1,
            _ => {}
        }
        if depth == 0 {
            return at;
        }
    }
    open
}
