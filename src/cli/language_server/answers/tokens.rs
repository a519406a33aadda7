//! What the parts of the text are, for clients that colour by it.

use super::{Hand, json_of};
use crate::cli::language_server::wire::Answer;
use lsp_types::{
    SemanticToken, SemanticTokenModifier, SemanticTokenType, SemanticTokens, SemanticTokensLegend,
    SemanticTokensRangeParams,
};
use oaktag_studio::editor::{Colour, Tint};
use oaktag_studio::session::places::Place;

const KEYWORD: u32 = 0;
const FUNCTION: u32 = 1;
const VARIABLE: u32 = 2;
const PARAMETER: u32 = 3;
const CLASS: u32 = 4;
const NUMBER: u32 = 5;
const STRING: u32 = 6;
const COMMENT: u32 = 7;

const DECLARATION: u32 = 1 << 0;
const READONLY: u32 = 1 << 1;
const POINT: u32 = 1 << 2;
const LINE: u32 = 1 << 3;
const CURVE: u32 = 1 << 4;
const FIGURE: u32 = 1 << 5;

/// The names of those numbers, in order.
pub(in crate::cli::language_server) fn legend() -> SemanticTokensLegend {
    SemanticTokensLegend {
        token_types: vec![
            SemanticTokenType::KEYWORD,
            SemanticTokenType::FUNCTION,
            SemanticTokenType::VARIABLE,
            SemanticTokenType::PARAMETER,
            SemanticTokenType::CLASS,
            SemanticTokenType::NUMBER,
            SemanticTokenType::STRING,
            SemanticTokenType::COMMENT,
        ],
        token_modifiers: vec![
            SemanticTokenModifier::DECLARATION,
            SemanticTokenModifier::READONLY,
            SemanticTokenModifier::new("point"),
            SemanticTokenModifier::new("line"),
            SemanticTokenModifier::new("curve"),
            SemanticTokenModifier::new("figure"),
        ],
    }
}

/// Type and modifiers of a part.
fn sort(tint: &Tint) -> (u32, u32) {
    let of_name = |what: Option<&str>| match what {
        Some("point") => (VARIABLE, POINT),
        Some("line") => (VARIABLE, LINE),
        Some("curve") => (VARIABLE, CURVE),
        Some("length" | "angle" | "area" | "number" | "try") => (VARIABLE, FIGURE),
        Some("body" | "choose") => (PARAMETER, READONLY),
        Some("panel" | "piece" | "seam" | "pieces" | "seams" | "import" | "cloth") => (CLASS, 0),
        Some("operation") => (FUNCTION, 0),
        _ => (VARIABLE, 0),
    };
    let (kind, modifiers) = match tint.colour {
        Colour::Word => (KEYWORD, 0),
        Colour::Act => (FUNCTION, 0),
        Colour::Name => of_name(tint.what),
        Colour::Figure => (NUMBER, 0),
        Colour::Text => (STRING, 0),
        Colour::Comment => (COMMENT, 0),
    };
    (
        kind,
        modifiers | if tint.is_first { DECLARATION } else { 0 },
    )
}

pub(super) fn of_range(hand: &Hand<'_>, params: &SemanticTokensRangeParams) -> Answer {
    tokens(hand, Some(hand.text().place(params.range)))
}

pub(super) fn tokens(hand: &Hand<'_>, within: Option<Place>) -> Answer {
    let text = hand.text();
    let encoding = hand.common.client().encoding;
    let mut data = Vec::new();
    let (mut line, mut start) = (0, 0);
    for tint in hand.editor.tints() {
        if within.is_some_and(|within| tint.at.to < within.from || within.to < tint.at.from) {
            continue;
        }
        // No token of the language goes over lines.
        let at = text.range_of(tint.at).start;
        let length = encoding.count(text.letters(tint.at));
        let (token_type, token_modifiers_bitset) = sort(&tint);
        if length == 0 || (at.line, at.character) < (line, start) {
            continue;
        }
        data.push(SemanticToken {
            delta_line: at.line - line,
            delta_start: if at.line == line {
                at.character - start
            } else {
                at.character
            },
            length,
            token_type,
            token_modifiers_bitset,
        });
        (line, start) = (at.line, at.character);
    }
    json_of(SemanticTokens {
        result_id: None,
        data,
    })
}
