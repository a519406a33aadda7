//! What is answered about one document: each request by its method.

pub(super) mod contents;
mod cures;
mod lenses;
mod names;
mod places;
pub(super) mod tokens;
mod words;

use super::common::Common;
use super::lane::{Document, Version};
use super::positions::{Encoding, Text};
use super::wire::{Answer, Wrong};
use crate::cli::disk::Folder;
use lsp_types::{Location, Range, Uri};
use oaktag_language::report::{FileId, Span};
use oaktag_studio::editor::Editor;
use oaktag_studio::session::Session;
use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::Value;
use std::path::PathBuf;
use std::str::FromStr;
use std::sync::Arc;

/// A document with its draft at hand.
pub(super) struct Hand<'h> {
    pub common: &'h Arc<Common>,
    pub document: &'h Document,
    pub version: &'h Version,
    pub session: &'h Session,
    pub editor: Editor<'h>,
}

/// Answers a request.
pub(super) fn answer(hand: &Hand<'_>, method: &str, params: Value) -> Answer {
    match method {
        "textDocument/hover" => words::hover(hand, &read(params)?),
        "textDocument/completion" => words::completion(hand, &read(params)?),
        "textDocument/signatureHelp" => words::signature(hand, &read(params)?),
        "textDocument/definition" => places::definition(hand, &read(params)?),
        "textDocument/references" => names::references(hand, &read(params)?),
        "textDocument/documentHighlight" => places::highlights(hand, &read(params)?),
        "textDocument/prepareRename" => names::prepare(hand, &read(params)?),
        "textDocument/rename" => names::rename(hand, &read(params)?),
        "textDocument/documentSymbol" => contents::symbols(hand),
        "textDocument/foldingRange" => contents::folds(hand),
        "textDocument/documentLink" => places::links(hand),
        "textDocument/formatting" => contents::format(hand, None),
        "textDocument/rangeFormatting" => contents::format_range(hand, &read(params)?),
        "textDocument/semanticTokens/full" => tokens::tokens(hand, None),
        "textDocument/semanticTokens/range" => tokens::of_range(hand, &read(params)?),
        "textDocument/inlayHint" => words::figures(hand, &read(params)?),
        "textDocument/codeLens" => lenses::lenses(hand),
        "textDocument/codeAction" => cures::cures(hand, &read(params)?),
        "oaktag/picture" => lenses::picture(hand, &read(params)?),
        "workspace/executeCommand" => lenses::command(hand, &read(params)?),
        _ => Err(Wrong::new(
            Wrong::METHOD,
            format!("there is no request `{method}`"),
        )),
    }
}

/// Whether a request of that name is answered with a document at hand.
pub(super) fn is_of_document(method: &str) -> bool {
    method == "oaktag/picture" || method.starts_with("textDocument/")
}

/// What a request says.
pub(super) fn read<T: DeserializeOwned>(params: Value) -> Result<T, Wrong> {
    serde_json::from_value(params).map_err(|why| Wrong::new(Wrong::PARAMS, why.to_string()))
}

pub(super) fn json_of(value: impl Serialize) -> Answer {
    serde_json::to_value(value).map_err(|why| Wrong::new(Wrong::INTERNAL, why.to_string()))
}

/// An address as the protocol's types have it.
pub(super) fn uri(address: &str) -> Option<Uri> {
    Uri::from_str(address).ok()
}

impl Hand<'_> {
    fn encoding(&self) -> Encoding {
        self.common.client().encoding
    }

    /// The document's text.
    pub(super) fn text(&self) -> &Text {
        &self.version.text
    }

    /// Where a span of the document itself stands.
    pub(super) fn own(&self, span: Span) -> Option<Range> {
        let own = self.session.own_file()?;
        (span.file == own).then(|| self.text().range(self.session.sources().bytes(span)))
    }

    /// Where a span of any file stands.
    pub(super) fn location(&self, span: Span) -> Option<Location> {
        if let Some(range) = self.own(span) {
            let uri = uri(&self.document.address)?;
            return Some(Location { uri, range });
        }
        let sources = self.session.sources();
        let text = Text::new(sources.text(span.file).into(), self.encoding());
        Some(Location {
            uri: uri(&self.address(span.file)?)?,
            range: text.range(sources.bytes(span)),
        })
    }

    /// The address of a file that the draft brings in.
    fn address(&self, file: FileId) -> Option<String> {
        let sources = self.session.sources();
        let name = sources.name(file);
        if sources.is_library(file) {
            let module = name.rsplit('/').next()?.strip_suffix(".draft")?;
            let by_address = self.common.client().library;
            return self.common.library.address(module, by_address);
        }
        Some(self.common.address_of(&self.path_below(name)?))
    }

    /// The folders of the draft.
    fn folder(&self) -> Option<Folder> {
        Folder::of(self.document.path.as_ref()?, None).ok()
    }

    /// The path of a file that is named from the root of the draft's imports.
    fn path_below(&self, name: &str) -> Option<PathBuf> {
        Some(super::common::real(&self.folder()?.file(name)))
    }

    /// Nobody writes the library.
    fn may_write(&self) -> Result<(), Wrong> {
        match self.document.is_library {
            true => Err(Wrong::failed("The library is read, and not written.")),
            false => Ok(()),
        }
    }
}
