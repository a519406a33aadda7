//! Letters that mend what is wrong, as actions.

use super::{Hand, json_of, uri};
use crate::cli::language_server::messages;
use crate::cli::language_server::wire::Answer;
use lsp_types::{
    CodeAction, CodeActionKind, CodeActionParams, DocumentChanges, OneOf,
    OptionalVersionedTextDocumentIdentifier, TextDocumentEdit, TextEdit, Uri, WorkspaceEdit,
};

/// So many letters of a cure are shown in its title.
const MOST_SHOWN: usize = 60;

pub(super) fn cures(hand: &Hand<'_>, params: &CodeActionParams) -> Answer {
    let wanted = params.context.only.as_ref();
    let wants =
        |kind: &CodeActionKind| *kind == CodeActionKind::EMPTY || *kind == CodeActionKind::QUICKFIX;
    if hand.document.is_library || wanted.is_some_and(|kinds| !kinds.iter().any(wants)) {
        return json_of(Vec::<CodeAction>::new());
    }
    let sources = hand.session.sources();
    let mut actions = Vec::new();
    for told in &hand.session.outcome().diagnostics {
        let at = messages::place(hand, told);
        let touches = at.start <= params.range.end && params.range.start <= at.end;
        for (number, offer) in told.offers.iter().enumerate() {
            let Some(range) = hand.own(offer.place).filter(|_| touches) else {
                continue;
            };
            actions.push(CodeAction {
                title: title(sources.slice(offer.place), &offer.text),
                kind: Some(CodeActionKind::QUICKFIX),
                diagnostics: Some(vec![messages::message(hand, told)]),
                edit: uri(&hand.document.address).map(|uri| {
                    let edit = TextEdit::new(range, offer.text.clone());
                    edited(hand, vec![(uri, vec![edit])])
                }),
                is_preferred: Some(number == 0),
                ..CodeAction::default()
            });
        }
    }
    json_of(actions)
}

/// What is done, in a few words.
fn title(old: &str, new: &str) -> String {
    let short = |text: &str| {
        let text = text.split_whitespace().collect::<Vec<&str>>().join(" ");
        match text.char_indices().nth(MOST_SHOWN) {
            Some((end, _)) => format!("{}…", text.get(..end).unwrap_or_default()),
            None => text,
        }
    };
    let (old, new) = (short(old), short(new));
    match (old.as_str(), new.as_str()) {
        ("", new) => format!("Put in `{new}`"),
        (old, "") => format!("Take out `{old}`"),
        (old, new) => format!("Write `{new}` in place of `{old}`"),
    }
}

/// Edits of files, as the client takes them: of the document itself for the version that was looked at.
pub(super) fn edited(hand: &Hand<'_>, files: Vec<(Uri, Vec<TextEdit>)>) -> WorkspaceEdit {
    if !hand.common.client().versioned_edits {
        return WorkspaceEdit {
            changes: Some(files.into_iter().collect()),
            ..WorkspaceEdit::default()
        };
    }
    let edits = files.into_iter().map(|(uri, edits)| {
        let own = uri.as_str() == hand.document.address;
        TextDocumentEdit {
            text_document: OptionalVersionedTextDocumentIdentifier {
                version: own.then_some(hand.version.number),
                uri,
            },
            edits: edits.into_iter().map(OneOf::Left).collect(),
        }
    });
    WorkspaceEdit {
        document_changes: Some(DocumentChanges::Edits(edits.collect())),
        ..WorkspaceEdit::default()
    }
}
