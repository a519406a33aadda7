//! What is wrong, as a client shows it at its place.

use super::answers::Hand;
use lsp_types::{
    Diagnostic, DiagnosticRelatedInformation, DiagnosticSeverity, DiagnosticTag, NumberOrString,
    Range,
};
use oaktag_language::report::{self, Code, Severity, Span};
use oaktag_language::syntax::project::LARGEST_TEXT;
use oaktag_language::voice::Words;
use serde_json::json;

/// Tells all that is wrong in a document.
pub(super) fn tell(hand: &Hand<'_>) {
    let told: Vec<Diagnostic> = if hand.document.is_library {
        // What the library says of itself is not the writer's.
        Vec::new()
    } else if hand.version.is_too_long() {
        vec![Diagnostic {
            severity: Some(DiagnosticSeverity::ERROR),
            code: Some(NumberOrString::String(Code::TooLarge.name().to_owned())),
            source: Some("oaktag".to_owned()),
            message: format!("This is longer than a draft may be ({LARGEST_TEXT} bytes)."),
            ..Diagnostic::default()
        }]
    } else {
        let told = &hand.session.outcome().diagnostics;
        told.iter().map(|told| message(hand, told)).collect()
    };
    let mut params = json!({"uri": hand.document.address, "diagnostics": told});
    if let (true, Some(params)) = (hand.common.client().versions, params.as_object_mut()) {
        params.insert("version".to_owned(), json!(hand.version.number));
    }
    let voice = &hand.common.voice;
    voice.tell_unless(
        &hand.version.old,
        "textDocument/publishDiagnostics",
        &params,
    );
}

/// Where a message stands in the document: what is wrong in another file, where that is brought in.
pub(super) fn place(hand: &Hand<'_>, told: &report::Diagnostic) -> Range {
    if let Some(range) = hand.own(told.place) {
        return range;
    }
    let named = hand.editor.brings_in(told.place.file);
    named
        .map(|place| hand.text().range_of(place))
        .unwrap_or_default()
}

/// A message.
pub(super) fn message(hand: &Hand<'_>, told: &report::Diagnostic) -> Diagnostic {
    let client = hand.common.client();
    let said = |words: &Words| words.in_unit(hand.session.unit()).into_owned();
    let own = hand.own(told.place).is_some();
    let sources = hand.session.sources();
    let elsewhere = |at: Span| format!("{}, line {}", sources.name(at.file), sources.line(at));
    let mut lines = vec![said(&told.message)];
    lines.extend(Some(said(&told.label)).filter(|label| !label.is_empty()));
    lines.extend(told.notes.iter().map(said));
    lines.extend(told.help.as_ref().map(said));
    let mut see: Vec<_> = told
        .see
        .iter()
        .map(|(at, words)| (*at, said(words)))
        .collect();
    if !own {
        see.insert(0, (told.place, "it is here".to_owned()));
    }
    let mut related = Vec::new();
    for (at, words) in see {
        match hand.location(at).filter(|_| client.related) {
            Some(location) => related.push(DiagnosticRelatedInformation {
                location,
                message: words,
            }),
            None => lines.push(format!("{}: {words}", elsewhere(at))),
        }
    }
    let is_unused = matches!(told.code, Code::NameUnused | Code::MeasureUnused);
    let faded = client.unused && is_unused;
    Diagnostic {
        range: place(hand, told),
        severity: Some(match told.severity {
            Severity::Error => DiagnosticSeverity::ERROR,
            Severity::Warning => DiagnosticSeverity::WARNING,
        }),
        code: Some(NumberOrString::String(told.code.name().to_owned())),
        source: Some("oaktag".to_owned()),
        message: lines.join("\n"),
        related_information: (!related.is_empty()).then_some(related),
        tags: faded.then(|| vec![DiagnosticTag::UNNECESSARY]),
        ..Diagnostic::default()
    }
}
