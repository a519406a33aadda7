//! Texts made to break the reader end with a few messages. What is bounded is counted, not timed: tokens kept, messages,
//! and how deep the tree is.

use crate::syntax::{read, shown};
use oaktag_language::report::{Code, FileId};
use oaktag_language::syntax::lexer::MOST_BYTES;
use oaktag_language::syntax::messages::{MOST_SHOWN, Messages};
use oaktag_language::syntax::prepare;

/// The codes of a text's messages, which are never more than are shown.
fn codes(text: &str) -> Vec<Code> {
    let messages = read(text).diagnostics;
    assert!(messages.len() <= MOST_SHOWN);
    messages.iter().map(|message| message.code).collect()
}

/// After the passes before the grammar no bracket is deeper than 64, and no sentence longer than 10 000 tokens.
fn bounded(text: &str) -> usize {
    let (tokens, _) = prepare(text, FileId::default(), &mut Messages::default());
    let (mut depth, mut deepest, mut length, mut longest) = (0_usize, 0, 0, 0);
    for (tok, _) in &tokens {
        use oaktag_language::syntax::tokens::Tok;
        match tok {
            Tok::OpenRound | Tok::OpenSquare | Tok::OpenBrace => depth += 1,
            Tok::CloseRound | Tok::CloseSquare | Tok::CloseBrace => depth -= 1,
            _ => {}
        }
        length = if *tok == Tok::End { 0 } else { length + 1 };
        deepest = deepest.max(depth);
        longest = longest.max(length);
    }
    assert!(deepest <= 64, "{deepest}");
    assert!(longest <= 10_000 + 64, "{longest}");
    tokens.len()
}

#[test]
fn many_open_brackets() {
    for bracket in [
        "(",
        "[",
        "{",
        "(\n",
        "{\n",
        "if a {\n",
        "x = (each n from 1 to 2 {\n",
    ] {
        for start in ["point a = ", ""] {
            let text = format!("{start}{}", bracket.repeat(100_000));
            let codes = codes(&text);
            assert!(codes.contains(&Code::TooLarge), "{bracket:?}");
            assert!(codes.contains(&Code::BracketUnmatched), "{bracket:?}");
            assert!(bounded(&text) < 3 * text.len());
        }
    }
}

#[test]
fn many_closed_brackets() {
    for (open, close) in [("(", ")"), ("[", "]"), ("{", "}")] {
        let text = format!(
            "point a = {}1{}",
            open.repeat(100_000),
            close.repeat(100_000)
        );
        assert!(codes(&text).contains(&Code::TooLarge));
        bounded(&text);
        bounded(&close.repeat(100_000));
        assert_eq!(codes(&close.repeat(100_000)).len(), MOST_SHOWN);
    }
}

#[test]
fn nested_blocks_without_their_braces() {
    let open = "if a < b {\n  step \"x\" {\n".repeat(200);
    assert!(codes(&open).contains(&Code::BracketUnmatched));
    bounded(&open);
    let closed = format!("{}{}", "if a < b {\n".repeat(200), "}\n".repeat(200));
    assert_eq!(codes(&closed), [Code::TooLarge]);
    let allowed = format!("{}{}", "if a < b {\n".repeat(60), "}\n".repeat(60));
    assert_eq!(codes(&allowed), []);
    let broken = format!("{}{}", "if a < {\n".repeat(60), "}\n".repeat(60));
    assert_eq!(codes(&broken).len(), MOST_SHOWN);
    let tries = format!(
        "{}{}",
        "try x between a and b {\n".repeat(60),
        "}\n".repeat(60)
    );
    assert_eq!(codes(&tries).len(), MOST_SHOWN);
}

#[test]
fn long_sentences() {
    let sum = format!("length a = 1{}", " + 1".repeat(1_000_000));
    assert_eq!(codes(&sum), [Code::TooLarge]);
    bounded(&sum);
    for chain in [" + 1", " * 1", " and b", " or b"] {
        let text = format!("answer a = b{}", chain.repeat(3000));
        assert_eq!(codes(&text), [Code::TooLarge], "{chain}");
    }
    for prefix in ["-", "not ", "end of ", "(-", "not (", "a of ("] {
        let text = format!("answer a = {}b", prefix.repeat(4000));
        assert!(codes(&text).contains(&Code::TooLarge), "{prefix}");
    }
    let square = format!("line a = b leaving {}c", "square to c toward ".repeat(3000));
    assert_eq!(codes(&square), [Code::TooLarge]);
    let list = format!("list a = [{}1]", "1, ".repeat(4000));
    assert_eq!(codes(&list), []);
    let names = format!("point {}a = b", "a, ".repeat(20_000));
    assert_eq!(codes(&names), [Code::TooLarge]);
}

/// Nested as deep as is allowed, in every way at once, on the small stack of a test's thread.
#[test]
fn as_deep_as_allowed() {
    let depth = 30;
    let open = "list a = each n from 0 to (each n in (1 + ".repeat(depth / 2);
    let text = format!("{open}1{}", ")".repeat(depth));
    read(&text);
    let nested = format!(
        "{}{}{}",
        "list a = (each n from 1 to 2 {\n".repeat(32),
        "give 1",
        "\n})".repeat(32)
    );
    assert_eq!(codes(&nested), []);
    let long = format!("answer a = {}b{}", "(1 + not ".repeat(64), ")".repeat(64));
    read(&long);
    let chained = format!(
        "answer a = {}b{}",
        "(".repeat(64),
        " + 1 + 1 + 1 + 1 + 1 + 1)".repeat(64)
    );
    assert_eq!(codes(&chained), []);
}

#[test]
fn one_long_line_or_word() {
    for text in [
        "a".repeat(50 << 20),
        "1+".repeat(25 << 20),
        "\"".repeat(50 << 20),
    ] {
        assert!(text.len() > MOST_BYTES);
        assert_eq!(codes(&text), [Code::TooLarge]);
        assert!(shown(&text).len() < 2000);
    }
    let word = format!("point {} = b c d", "a".repeat(8 << 20));
    assert!(
        shown(&word).len() < 2000,
        "a message never prints a line of megabytes"
    );
    let text = format!("note \"{}", "x".repeat(8 << 20));
    assert!(shown(&text).len() < 2000);
}

#[test]
fn many_messages_are_counted_and_not_all_shown() {
    let text = "pont a = b\n".repeat(5000);
    let messages = read(&text).diagnostics;
    assert_eq!(messages.len(), MOST_SHOWN);
    assert_eq!(
        messages[MOST_SHOWN - 1].notes,
        ["4950 more messages are not shown; mend these first.".into()]
    );
}

#[test]
fn control_characters_do_not_reach_the_screen() {
    let seen = shown("point a\u{1b}[31m = b\u{202e}c \u{7}\nnote \"\u{1b}]0;x\u{7}\" \u{9b}");
    assert!(
        !seen
            .chars()
            .any(|c| c.is_control() && c != '\n' || c == '\u{202e}'),
        "{seen:?}"
    );
}
