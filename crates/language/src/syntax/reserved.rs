//! The reserved words, for messages and suggestions. The token rules hold the same words; a test compares the two.

use super::tokens::Tok;
use logos::Logos;

/// Words that link the parts of a phrase, and name nothing.
pub const LINKS: &[&str] = &[
    "from", "to", "through", "around", "toward", "at", "on", "onto", "by", "for", "about", "over",
    "along", "until", "near", "with", "leaving", "arriving", "hollow", "into", "meets", "of",
    "between", "and", "or", "not", "that", "is", "within", "than", "above", "below", "joins", "as",
    "gives",
];

/// Words for a direction, which name nothing.
pub const DIRECTIONS: &[&str] = &[
    "up",
    "down",
    "left",
    "right",
    "inside",
    "outside",
    "clockwise",
    "anticlockwise",
];

/// The other reserved words.
pub const OTHERS: &[&str] = &["if", "otherwise", "each", "yes", "no", "origin"];

/// What a reserved word is; none for other words.
pub(crate) fn what_it_is(word: &str) -> Option<&'static str> {
    // The longest is `anticlockwise`; most names need no look-up.
    if word.len() > 13 || !word.is_ascii() {
        return None;
    }
    match Tok::lexer(word).next()? {
        Ok(Tok::Link(_)) => Some("a linking word"),
        Ok(Tok::Direction(_)) => Some("a direction"),
        Ok(Tok::If | Tok::Otherwise | Tok::Each) => Some("the first word of a block"),
        Ok(Tok::Yes | Tok::No) => Some("an answer"),
        Ok(Tok::Origin) => Some("the corner of the sheet"),
        _ => None,
    }
}
