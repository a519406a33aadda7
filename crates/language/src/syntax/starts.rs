//! The words that begin a sentence, and whether a line begins as one. Those words are not reserved, so a second token
//! decides: `length hem = …` begins a sentence and `length of hem` does not.

use super::tokens::{Placed, Tok};
use super::tree::Link;

/// The word in an operation's head before what it needs of its panels; a line that begins with it and a bracket goes on.
pub const NEEDS: &str = "needs";

/// The words of kinds.
pub const KINDS: &[&str] = &[
    "point",
    "line",
    "curve",
    "length",
    "angle",
    "area",
    "number",
    "direction",
    "text",
    "list",
    "panel",
    "answer",
];

/// Words that begin a sentence of a file or a block, kinds aside.
pub const SENTENCES: &[&str] = &[
    "edition",
    "draft",
    "unit",
    "import",
    "use",
    "body",
    "choose",
    "require",
    "check",
    "redraw",
    "guide",
    "panel",
    "cloth",
    "step",
    "note",
    "why",
    "caution",
    "slip",
    "terms",
    "try",
    "carry",
    "operation",
    "give",
    "piece",
    "pieces",
    "seam",
    "seams",
    "order",
];

/// Words that begin a sentence of a piece.
pub const PIECE_SENTENCES: &[&str] = &[
    "outline",
    "cut",
    "grain",
    "allow",
    "corner",
    "finish",
    "fold",
    "interline",
    "notch",
    "dart",
    "mark",
];

/// Words that begin a sentence of a seam.
pub const SEAM_SENTENCES: &[&str] = &[
    "ease",
    "gather",
    "stretch",
    "notch",
    "open",
    "corner",
    "allow",
    "sewn",
    "tolerance",
];

/// Whether the tokens from `at` begin as a sentence.
pub(crate) fn begins_sentence(text: &str, tokens: &[Placed], at: usize) -> bool {
    let Some(&(first, span)) = tokens.get(at) else {
        return false;
    };
    if first == Tok::If {
        return true;
    }
    if first != Tok::Name {
        return false;
    }
    let kind = |n: usize| tokens.get(at + n).map(|(tok, _)| *tok);
    let next = kind(1);
    let then_named = matches!(next, Some(Tok::Name | Tok::Dotted))
        && matches!(kind(2), Some(Tok::Equal | Tok::Comma));
    match text.get(span.range()).unwrap_or("") {
        "point" | "line" | "curve" | "length" | "angle" | "area" | "number" | "direction"
        | "text" | "list" | "answer" | "redraw" | "carry" | "body" | "choose" => then_named,
        "panel" => next == Some(Tok::Name),
        "guide" => next == Some(Tok::Name) && kind(2) == Some(Tok::Name),
        "draft" | "import" | "require" | "check" | "step" | "note" | "why" | "caution" => {
            next.is_some_and(Tok::begins_text)
        }
        "edition" => matches!(next, Some(Tok::Figure)),
        "unit" | "use" => next == Some(Tok::Name) && matches!(kind(2), None | Some(Tok::Newline)),
        "try" => next == Some(Tok::Name) && kind(2) == Some(Tok::Link(Link::Between)),
        "piece" | "seam" | "operation" => next == Some(Tok::Name),
        "cloth" => matches!(next, Some(Tok::Name | Tok::Link(Link::At))),
        "order" => {
            next == Some(Tok::Name) && matches!(kind(2), None | Some(Tok::Newline | Tok::Comma))
        }
        "sewn" => next == Some(Tok::Name),
        "pieces" | "seams" => next == Some(Tok::Link(Link::Of)),
        "slip" | "give" | "terms" => next.is_some_and(Tok::begins_operand),
        "outline" => matches!(next, Some(Tok::Name | Tok::Dotted)),
        "grain" => next == Some(Tok::Link(Link::Along)),
        "cut" | "interline" | "allow" | "ease" | "gather" | "stretch" | "tolerance" => {
            next == Some(Tok::Figure)
        }
        "open" => next == Some(Tok::Link(Link::Between)),
        "dart" => next.is_some_and(Tok::begins_operand) && kind(2) == Some(Tok::Link(Link::To)),
        "notch" => next == Some(Tok::Link(Link::At)) || kind(2) == Some(Tok::Link(Link::At)),
        _ => false,
    }
}

/// Whether the tokens from `at` begin as a sentence even after a line that asks for more: then that line was cut short.
/// After a comma or `with` an option may look like a sentence (`ease 4mm`), so fewer shapes will do.
pub(crate) fn begins_surely(
    text: &str,
    tokens: &[Placed],
    at: usize,
    options_possible: bool,
) -> bool {
    let kind = |n: usize| tokens.get(at + n).map(|(tok, _)| *tok);
    let drawn = matches!(kind(1), Some(Tok::Name | Tok::Dotted))
        && matches!(kind(2), Some(Tok::Equal | Tok::Comma));
    let sought = kind(2) == Some(Tok::Link(Link::Between));
    let said = kind(1).is_some_and(Tok::begins_text);
    let seamed = matches!(kind(2), Some(Tok::Link(Link::Joins) | Tok::OpenBrace));
    let shaped = match kind(0) {
        Some(Tok::If) => true,
        Some(Tok::Name) => {
            (drawn && kind(2) == Some(Tok::Equal))
                || (!options_possible && (drawn || sought || said || seamed))
        }
        _ => false,
    };
    shaped && begins_sentence(text, tokens, at)
}

/// Whether the sentence that begins at `at` cannot do without a block.
pub(crate) fn takes_block(text: &str, tokens: &[Placed], at: usize) -> bool {
    let Some(&(first, span)) = tokens.get(at) else {
        return false;
    };
    let equals = tokens
        .get(at..)
        .unwrap_or(&[])
        .iter()
        .take_while(|(tok, _)| *tok != Tok::Newline)
        .any(|(tok, _)| *tok == Tok::Equal);
    match first {
        Tok::If | Tok::Otherwise | Tok::Each => true,
        Tok::Name => {
            let word = text.get(span.range()).unwrap_or("");
            matches!(word, "step" | "try" | "operation" | "piece")
                || (word == "panel" && !equals)
                || word == "seam"
        }
        _ => false,
    }
}
