//! Where the words of a sentence itself, outside its expressions, let a line break: a seam before `to` and `from`, a check
//! before `that`, the head of an operation before `with`, `needs` and `gives`.

use super::notes::{Manner, Mark};
use crate::syntax::starts::{KINDS, NEEDS};
use crate::syntax::tokens::Tok;
use crate::syntax::tree::Link;

/// A token, and what is seen around it.
pub(super) struct Sight<'t> {
    /// The first word of its sentence.
    pub word: &'t str,
    pub tok: Tok,
    pub letters: &'t str,
    pub before: Tok,
    pub letters_before: &'t str,
    /// Round and square brackets that are open.
    pub depth: usize,
}

/// How readily a line breaks before it.
pub(super) fn mark(sight: &Sight<'_>) -> Option<Mark> {
    let head = sight.word == "operation";
    match sight.depth {
        0 if sight.before == Tok::Comma => Some(behind_comma(sight.word)),
        0 if head => in_head(sight),
        0 => before_word(sight),
        1 if head => in_parameter(sight),
        _ => None,
    }
}

const fn at(level: u16, rank: u8) -> Option<Mark> {
    Some(Mark {
        level,
        rank,
        manner: Manner::Clauses,
    })
}

const fn all(level: u16) -> Mark {
    Mark {
        level,
        rank: 0,
        manner: Manner::All,
    }
}

const fn list(level: u16) -> Mark {
    Mark {
        level,
        rank: 0,
        manner: Manner::List,
    }
}

fn behind_comma(word: &str) -> Mark {
    match word {
        "operation" | "import" => all(2),
        // Names before `=`: what stands behind it breaks first.
        "redraw" | "guide" => list(u16::MAX - 1),
        _ if KINDS.contains(&word) => list(u16::MAX - 1),
        _ => list(2),
    }
}

fn in_head(sight: &Sight<'_>) -> Option<Mark> {
    match sight.tok {
        Tok::Link(Link::With | Link::Gives) => Some(all(0)),
        Tok::Name if sight.letters == NEEDS && sight.letters_before != sight.word => Some(all(0)),
        Tok::Link(Link::Of) if sight.letters_before == "list" => None,
        Tok::Link(_) => at(1, 0),
        _ => None,
    }
}

/// Inside `(length wide = 6cm between 2cm and 10cm "what it is")`.
fn in_parameter(sight: &Sight<'_>) -> Option<Mark> {
    match sight.tok {
        _ if sight.before == Tok::Comma => Some(list(5)),
        tok if tok.begins_text()
            && !matches!(
                sight.before,
                Tok::Link(_) | Tok::Equal | Tok::OpenRound | Tok::Comma
            ) =>
        {
            at(3, 0)
        }
        Tok::Link(Link::Between) | Tok::If => at(3, 1),
        Tok::Link(Link::Of) if sight.letters_before != "list" => at(3, 1),
        _ => None,
    }
}

fn before_word(sight: &Sight<'_>) -> Option<Mark> {
    let Tok::Link(link) = sight.tok else {
        let otherwise = sight.word == "try" && sight.tok == Tok::Otherwise;
        return if otherwise { at(0, 0) } else { None };
    };
    match (sight.word, link) {
        ("seam", Link::To | Link::From | Link::Toward) => Some(all(0)),
        ("seam", Link::Joins) => at(1, 0),
        ("seam", Link::Until) => at(2, 1),
        ("check" | "require", Link::That)
        | ("slip", Link::Is)
        | ("body" | "choose" | "try", Link::Between)
        | ("choose", Link::Of)
        | ("import", Link::As | Link::With)
        | ("piece", Link::Of)
        | ("ease" | "gather" | "stretch", Link::Between)
        | ("cut", Link::On | Link::From)
        | ("interline", Link::From | Link::By)
        | ("allow", Link::On)
        | ("fold", Link::Onto)
        | ("notch" | "corner", Link::At)
        | ("mark", Link::With)
        | ("dart", Link::Along)
        | (_, Link::Meets) => at(0, 0),
        ("ease" | "gather" | "stretch" | "mark", Link::On)
        | ("notch", Link::From)
        | ("dart", Link::At) => at(0, 1),
        ("dart", Link::To) => at(0, 2),
        ("open" | "ease" | "gather" | "stretch", Link::And) => at(1, 0),
        _ => None,
    }
}
