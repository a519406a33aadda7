//! What a document consists of, what of it folds, and its one layout.

use super::{Hand, json_of};
use crate::cli::language_server::wire::Answer;
use lsp_types::{
    DocumentRangeFormattingParams, DocumentSymbol, FoldingRange, FoldingRangeKind, Range,
    SymbolInformation, SymbolKind, TextEdit,
};
use oaktag_studio::editor::{Part, tidied};
use oaktag_studio::session::places::Place;

pub(super) fn symbols(hand: &Hand<'_>) -> Answer {
    let parts = hand.editor.outline();
    if hand.common.client().nested_symbols {
        let all = parts.into_iter().map(|part| symbol(hand, part));
        return json_of(all.collect::<Vec<DocumentSymbol>>());
    }
    let mut flat = Vec::new();
    flatten(&parts, None, &mut |part, container| {
        flat.extend(super::uri(&hand.document.address).map(|uri| {
            let range = hand.text().range_of(part.whole);
            information(part, container, uri, range)
        }));
    });
    json_of(flat)
}

/// Each part with the name of the one that it stands in.
pub(in crate::cli::language_server) fn flatten<'p>(
    parts: &'p [Part],
    container: Option<&'p str>,
    take: &mut dyn FnMut(&'p Part, Option<&'p str>),
) {
    for part in parts {
        take(part, container);
        flatten(&part.inside, Some(&part.name), take);
    }
}

/// A part in a flat list.
#[allow(deprecated, reason = "the protocol's type has a field of old")]
pub(in crate::cli::language_server) fn information(
    part: &Part,
    container: Option<&str>,
    uri: lsp_types::Uri,
    range: Range,
) -> SymbolInformation {
    SymbolInformation {
        name: part.name.clone(),
        kind: kind(part.what),
        tags: None,
        deprecated: None,
        location: lsp_types::Location { uri, range },
        container_name: container.map(str::to_owned),
    }
}

#[allow(deprecated, reason = "the protocol's type has a field of old")]
fn symbol(hand: &Hand<'_>, part: Part) -> DocumentSymbol {
    let inside = part.inside.into_iter().map(|part| symbol(hand, part));
    let inside: Vec<DocumentSymbol> = inside.collect();
    DocumentSymbol {
        // A symbol without a name is refused by clients.
        name: if part.name.is_empty() {
            "…".to_owned()
        } else {
            part.name
        },
        detail: Some(part.what.to_owned()),
        kind: kind(part.what),
        tags: None,
        deprecated: None,
        range: hand.text().range_of(part.whole),
        selection_range: hand.text().range_of(part.word),
        children: (!inside.is_empty()).then_some(inside),
    }
}

fn kind(what: &str) -> SymbolKind {
    match what {
        "panel" => SymbolKind::CLASS,
        "step" => SymbolKind::NAMESPACE,
        "piece" | "pieces" => SymbolKind::STRUCT,
        "seam" | "seams" => SymbolKind::INTERFACE,
        "operation" => SymbolKind::FUNCTION,
        "import" | "use" => SymbolKind::MODULE,
        "body" | "choose" => SymbolKind::PROPERTY,
        "point" => SymbolKind::FIELD,
        "line" | "curve" | "redraw" => SymbolKind::VARIABLE,
        "length" | "angle" | "area" | "number" | "try" => SymbolKind::NUMBER,
        "text" => SymbolKind::STRING,
        "answer" => SymbolKind::BOOLEAN,
        "list" => SymbolKind::ARRAY,
        _ => SymbolKind::CONSTANT,
    }
}

pub(super) fn folds(hand: &Hand<'_>) -> Answer {
    let text = hand.text();
    let fold = |place: Place, kind: Option<FoldingRangeKind>| {
        let range = text.range_of(place);
        // The line with the closing brace stays to be seen.
        let end = match kind {
            None => range.end.line.saturating_sub(1),
            Some(_) => range.end.line,
        };
        (end > range.start.line).then_some(FoldingRange {
            start_line: range.start.line,
            end_line: end,
            kind,
            ..FoldingRange::default()
        })
    };
    let blocks = hand.editor.folds().into_iter();
    let mut all: Vec<FoldingRange> = blocks.filter_map(|place| fold(place, None)).collect();
    let remarks = hand.editor.remarks().into_iter();
    all.extend(remarks.filter_map(|place| fold(place, Some(FoldingRangeKind::Comment))));
    all.sort_by_key(|fold| (fold.start_line, fold.end_line));
    json_of(all)
}

pub(super) fn format(hand: &Hand<'_>, within: Option<Place>) -> Answer {
    hand.may_write()?;
    let text = hand.text();
    let offers = tidied(text.draft(), within).into_iter();
    let edits = offers.map(|offer| TextEdit::new(text.range_of(offer.at), offer.text));
    json_of(edits.collect::<Vec<TextEdit>>())
}

pub(super) fn format_range(hand: &Hand<'_>, params: &DocumentRangeFormattingParams) -> Answer {
    format(hand, Some(hand.text().place(params.range)))
}
