//! Where a name is drawn, where the document reads it, and where the names of files lead.

use super::{Hand, json_of, uri};
use crate::cli::language_server::wire::Answer;
use lsp_types::{
    DocumentHighlight, DocumentHighlightKind, DocumentHighlightParams, DocumentLink,
    GotoDefinitionParams, Location, Range,
};
use oaktag_studio::editor::Leads;

pub(super) fn definition(hand: &Hand<'_>, params: &GotoDefinitionParams) -> Answer {
    let at = hand
        .text()
        .unit(params.text_document_position_params.position);
    let mut links = hand.editor.leads().into_iter();
    let link = links.find(|(place, _)| place.from <= at && at <= place.to);
    let Some(address) = link.and_then(|(_, leads)| address(hand, &leads)) else {
        let drawn = hand.editor.defined(at);
        return json_of(drawn.and_then(|span| hand.location(span)));
    };
    json_of(uri(&address).map(|uri| Location {
        uri,
        range: Range::default(),
    }))
}

pub(super) fn highlights(hand: &Hand<'_>, params: &DocumentHighlightParams) -> Answer {
    let text = hand.text();
    let at = text.unit(params.text_document_position_params.position);
    let places = hand.editor.mentions(at).into_iter();
    let drawn = hand.editor.defined(at).and_then(|span| hand.own(span));
    let shown = places.map(|place| {
        let range = text.range_of(place);
        let kind = match Some(range) == drawn {
            true => DocumentHighlightKind::WRITE,
            false => DocumentHighlightKind::READ,
        };
        DocumentHighlight {
            range,
            kind: Some(kind),
        }
    });
    json_of(shown.collect::<Vec<DocumentHighlight>>())
}

pub(super) fn links(hand: &Hand<'_>) -> Answer {
    let links = hand.editor.leads().into_iter();
    let links = links.filter_map(|(place, leads)| {
        let target = uri(&address(hand, &leads)?)?;
        Some(DocumentLink {
            range: hand.text().range_of(place),
            target: Some(target),
            tooltip: None,
            data: None,
        })
    });
    json_of(links.collect::<Vec<DocumentLink>>())
}

fn address(hand: &Hand<'_>, leads: &Leads) -> Option<String> {
    match leads {
        Leads::Draft(name) => Some(hand.common.address_of(&hand.path_below(name)?)),
        Leads::Module(name) => {
            let by_address = hand.common.client().library;
            hand.common.library.address(name, by_address)
        }
    }
}
