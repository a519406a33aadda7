//! Tokens, comments and spaces cover every byte of a text.

use crate::syntax::support::generate::Generator;
use crate::syntax::support::{all_drafts, grammar};
use oaktag_language::report::FileId;
use oaktag_language::syntax::lexer::lex;
use oaktag_language::syntax::messages::Messages;
use oaktag_language::syntax::tokens::Tok;
use oaktag_language::syntax::{prepare, reserved};

/// Walks over the tokens and comments in order; what lies between is white space.
fn covered(text: &str) {
    let lexed = lex(text, FileId::default(), &mut Messages::default());
    let mut places: Vec<_> = lexed.tokens.iter().map(|(_, span)| *span).collect();
    places.extend(lexed.trivia.comments.iter().map(|comment| comment.span));
    places.sort();
    let mut at = 0;
    for place in places {
        let gap = &text[at..place.start as usize];
        assert!(
            gap.trim().is_empty(),
            "{gap:?} belongs to nothing in:\n{text}"
        );
        at = place.end as usize;
    }
    assert!(text[at..].trim().is_empty());
}

#[test]
fn every_byte_is_a_token_a_comment_or_a_space() {
    let grammar = grammar();
    let generator = Generator::new(&grammar);
    for (_, text) in all_drafts() {
        covered(&text);
    }
    for seed in 0..300 {
        covered(&generator.wild(seed, 8));
    }
}

#[test]
fn every_bracket_has_its_partner_after_the_bracket_pass() {
    for text in [
        "((",
        "))",
        "{ ( }",
        "( ] [ )",
        "\"{a ( b}\" )",
        "step \"x\" {\n} }",
        "[{(",
        ")}]",
    ] {
        let (tokens, _) = prepare(text, FileId::default(), &mut Messages::default());
        let mut open = Vec::new();
        for (tok, _) in tokens {
            match tok {
                Tok::OpenRound => open.push(Tok::CloseRound),
                Tok::OpenSquare => open.push(Tok::CloseSquare),
                Tok::OpenBrace => open.push(Tok::CloseBrace),
                Tok::TextHead => open.push(Tok::TextTail),
                Tok::CloseRound | Tok::CloseSquare | Tok::CloseBrace | Tok::TextTail => {
                    assert_eq!(open.pop(), Some(tok), "{text}");
                }
                _ => {}
            }
        }
        assert_eq!(open, [], "{text}");
    }
}

/// The words of `reserved` are the ones that the token rules reserve.
#[test]
fn the_list_of_reserved_words_is_that_of_the_tokens() {
    let kind = |word: &str| lex(word, FileId::default(), &mut Messages::default()).tokens[0].0;
    for word in reserved::LINKS {
        assert!(matches!(kind(word), Tok::Link(_)), "{word}");
    }
    for word in reserved::DIRECTIONS {
        assert!(matches!(kind(word), Tok::Direction(_)), "{word}");
    }
    for word in reserved::OTHERS {
        assert!(
            !matches!(kind(word), Tok::Name | Tok::Link(_) | Tok::Direction(_)),
            "{word}"
        );
    }
    for word in [
        "back", "front", "side", "centre", "in", "step", "point", "longer", "square",
    ] {
        assert_eq!(kind(word), Tok::Name, "{word}");
    }
}

/// Letters beyond ASCII make names as the others do, in one token with the ASCII letters around them.
#[test]
fn names_hold_letters_of_any_script() {
    let kinds = |text: &str| {
        let lexed = lex(text, FileId::default(), &mut Messages::default());
        lexed
            .tokens
            .iter()
            .map(|(tok, span)| (*tok, text[span.range()].to_string()))
            .collect::<Vec<_>>()
    };
    for name in [
        "é",
        "größe",
        "schräge_1",
        "ärmel",
        "袖",
        "ₐ",
        "fromé",
        "né_à_l_est",
        "cafe\u{301}",
        "x٣",
    ] {
        assert_eq!(kinds(name), [(Tok::Name, name.to_string())]);
    }
    for name in ["back.é", "é.back.ñ", "a.b.ö.c"] {
        assert_eq!(kinds(name), [(Tok::Dotted, name.to_string())]);
    }
    for figure in ["15½in", "½", "15 ½cm", "15-½in", "12°", "5″", "3½″", "5”"] {
        assert_eq!(kinds(figure), [(Tok::OddFigure, figure.to_string())]);
    }
    assert_eq!(kinds("3größe"), [(Tok::Figure, "3größe".to_string())]);
    assert_eq!(kinds("a²")[0], (Tok::Name, "a".to_string()));
}
