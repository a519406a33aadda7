//! Characters that word processors put in place of the plain ones: each is named in a message, and then read as the
//! character that was meant, so that one slip gives one message.

use super::figure;
use super::messages::Messages;
use super::tokens::{Placed, Tok};
use crate::report::{Code, Diagnostic, Span};

/// A character, its name to people, what to write and how it is read.
struct Stray {
    character: &'static str,
    name: &'static str,
    write: &'static str,
    read: Option<Tok>,
}

macro_rules! strays {
    ($($character:literal $name:literal $write:literal $read:expr;)*) => {
        &[$(Stray { character: $character, name: $name, write: $write, read: $read },)*]
    };
}

const STRAYS: &[Stray] = strays! {
    "×" "a multiplication cross" "*" Some(Tok::Star);
    "·" "a raised dot" "*" Some(Tok::Star);
    "∗" "an asterisk from a formula" "*" Some(Tok::Star);
    "÷" "a division sign" "/" Some(Tok::Slash);
    "∕" "a slash from a formula" "/" Some(Tok::Slash);
    "⁄" "a fraction bar" "/" Some(Tok::Slash);
    "−" "a typeset minus" "-" Some(Tok::Minus);
    "–" "a dash" "-" Some(Tok::Minus);
    "—" "a long dash" "-" Some(Tok::Minus);
    "‐" "a typeset hyphen" "-" Some(Tok::Minus);
    "‑" "a hyphen that does not break" "-" Some(Tok::Minus);
    "≤" "a typeset sign" "<=" Some(Tok::AtMost);
    "≥" "a typeset sign" ">=" Some(Tok::AtLeast);
    "＝" "a wide equals sign" "=" Some(Tok::Equal);
    "，" "a wide comma" "," Some(Tok::Comma);
    "（" "a wide bracket" "(" Some(Tok::OpenRound);
    "）" "a wide bracket" ")" Some(Tok::CloseRound);
};

/// What to say of characters that other notations use.
const HINTS: &[(&str, &str)] = &[
    (
        ";",
        "A sentence ends where its line ends: leave the `;` out.",
    ),
    (
        ":",
        "No sentence uses `:`: a name is given with `=`, as in `point a = origin`.",
    ),
    (
        ".",
        "A dot joins two names and stands tight between them, as in `back.neck`.",
    ),
    ("!", "For \"not equal\" write `not a = b`."),
    ("'", "A text stands between double quotation marks: \"…\"."),
    ("‘", "A text stands between double quotation marks: \"…\"."),
    ("’", "A text stands between double quotation marks: \"…\"."),
    ("`", "A text stands between double quotation marks: \"…\"."),
    ("^", "For a square write the figure twice: `a * a`."),
    ("²", "For a square write the figure twice: `a * a`."),
    ("%", "A percent sign stands tight against its figure: `3%`."),
    ("°", "An angle is written `12deg`, without a space."),
    ("&", "Write `and`."),
    ("|", "Write `or`."),
    (
        "…",
        "Three dots stand for something left out; write what belongs here.",
    ),
    (
        "\u{301}",
        "This accent stands alone; write the letter with its accent.",
    ),
];

/// Letters that logos could not read: a message each, and the token that was meant where there is one.
pub(super) fn replace(text: &str, span: Span, messages: &mut Messages, tokens: &mut Vec<Placed>) {
    let letters = text.get(span.range()).unwrap_or("");
    let mut at = span.start as usize;
    for character in letters.chars() {
        let end = at + character.len_utf8();
        let place = Span::new(span.file, at, end);
        at = end;
        one(text, character, place, messages, tokens);
    }
}

fn one(
    text: &str,
    character: char,
    place: Span,
    messages: &mut Messages,
    tokens: &mut Vec<Placed>,
) {
    let letters = text.get(place.range()).unwrap_or("");
    if let Some(stray) = STRAYS.iter().find(|s| s.character == letters) {
        let message = format!("This is {}, `{letters}`.", stray.name);
        messages.push(
            Diagnostic::error(Code::LookAlikeCharacter, place, message)
                .at("pasted from a word processor?")
                .write(stray.write),
        );
        tokens.extend(stray.read.map(|tok| (tok, place)));
        return;
    }
    if follows_same(text, letters, place, messages) {
        return;
    }
    let shown = if character.is_control() {
        format!("a control character (U+{:04X})", u32::from(character))
    } else {
        format!("`{character}`")
    };
    let hint = HINTS
        .iter()
        .find(|(c, _)| *c == letters)
        .map(|(_, hint)| *hint);
    let leave_out =
        "Leave it out. A text may hold any character; a name holds letters, digits and `_`.";
    let message = format!("No sentence uses {shown}.");
    let told = Diagnostic::error(Code::StrayCharacter, place, message);
    let told = told.help(hint.unwrap_or(leave_out));
    let goes = hint.is_none() || letters == ";";
    messages.push(if goes { told.offer(place, "") } else { told });
}

/// Whether the same stray character stands just before, and so has its message already.
fn follows_same(text: &str, letters: &str, place: Span, messages: &Messages) -> bool {
    let before = text.get(..place.start as usize).unwrap_or("");
    before.ends_with(letters)
        && messages
            .last()
            .is_some_and(|d| d.code == Code::StrayCharacter && d.place.end <= place.start)
}

/// A space that is not a plain one; one message a line.
pub(super) fn hard_space(text: &str, span: Span, messages: &mut Messages) {
    let seen = messages.last().is_some_and(|d| {
        let between = d.place.end as usize..span.start as usize;
        d.message.mentions("This space") && text.get(between).is_some_and(|t| !t.contains('\n'))
    });
    if !seen {
        let message =
            "This space is not a plain one: it may be a hard space from a word processor.";
        messages.push(
            Diagnostic::error(Code::LookAlikeCharacter, span, message)
                .help("Put a plain space in its place."),
        );
    }
}

/// The span of a text whose quotation marks may be curly or missing, with a message where they are.
pub(super) fn text_marks(text: &str, tok: Tok, span: Span, messages: &mut Messages) -> Span {
    let letters = text.get(span.range()).unwrap_or("");
    match tok {
        Tok::CurlyText => {
            curly(letters, span, messages);
            span
        }
        Tok::OpenText | Tok::OpenCurlyText => {
            if let Some(at) = letters.char_indices().skip(1).find(|(_, c)| is_curly(*c)) {
                let whole = Span::new(
                    span.file,
                    span.start as usize,
                    span.start as usize + at.0 + at.1.len_utf8(),
                );
                curly(text.get(whole.range()).unwrap_or(""), whole, messages);
                return whole;
            }
            not_closed(letters, span, messages)
        }
        _ => span,
    }
}

/// Whether it is a curly or angled quotation mark.
pub(super) fn is_curly(c: char) -> bool {
    matches!(c, '“' | '”' | '„' | '‟' | '«' | '»')
}

/// Whether it is a fraction in one character.
pub(super) fn is_fraction(c: char) -> bool {
    figure::FRACTIONS.iter().any(|(sign, ..)| *sign == c)
}

/// Whether it is a space that does not look like what it is.
pub(super) fn is_hard_space(c: char) -> bool {
    matches!(
        c,
        '\u{a0}' | '\u{2000}'
            ..='\u{200d}'
                | '\u{2028}'
                | '\u{2029}'
                | '\u{202f}'
                | '\u{205f}'
                | '\u{3000}'
                | '\u{feff}'
    )
}

/// Whether a text may begin or end with it, rightly or not.
fn is_mark(c: char) -> bool {
    is_curly(c) || matches!(c, '"' | '\'' | '‘' | '’' | '‚')
}

fn curly(letters: &str, span: Span, messages: &mut Messages) {
    let inside = inside_marks(letters);
    let single = letters.starts_with(['\'', '‘', '’', '‚']);
    let kind = if single { "single" } else { "curly" };
    let message = format!("This text stands in {kind} quotation marks.");
    let report = Diagnostic::error(Code::LookAlikeCharacter, span, message);
    let report = if letters.starts_with('\'') {
        report
    } else {
        report.at("pasted from a word processor?")
    };
    messages.push(report.help(format!(
        "Write \"{inside}\" with the plain double mark on both sides."
    )));
}

/// A text without its closing mark ends with its line, or before the brace that ends the line.
fn not_closed(letters: &str, span: Span, messages: &mut Messages) -> Span {
    let trimmed = letters.trim_end();
    let kept = trimmed.strip_suffix('{').map_or(trimmed, str::trim_end);
    let kept = if kept.len() < 2 { trimmed } else { kept };
    let whole = Span::new(
        span.file,
        span.start as usize,
        span.start as usize + kept.len(),
    );
    messages.push(
        Diagnostic::error(
            Code::TextNotClosed,
            whole,
            "This text is not closed before its line ends.",
        )
        .at("opened here")
        .help(format!(
            "Write {kept}\" with its closing mark; a text stays on one line."
        )),
    );
    whole
}

/// The letters inside a text's quotation marks, as a part of the text's token.
pub(super) fn inside_marks(letters: &str) -> &str {
    let letters = letters.strip_prefix(is_mark).unwrap_or(letters);
    letters.strip_suffix(is_mark).unwrap_or(letters)
}
