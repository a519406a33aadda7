//! What the client can do, as it says when it begins, and what it is told that the server can do.

use super::address;
use super::answers::tokens;
use super::positions::Encoding;
use lsp_types::{
    ClientCapabilities, CodeActionKind, CodeActionOptions, CodeActionProviderCapability,
    CodeLensOptions, CompletionOptions, DocumentLinkOptions, ExecuteCommandOptions,
    FoldingRangeProviderCapability, HoverProviderCapability, InitializeParams, MarkupKind, OneOf,
    RenameOptions, SemanticTokensFullOptions, SemanticTokensOptions, ServerCapabilities,
    SignatureHelpOptions, TextDocumentSyncCapability, TextDocumentSyncKind,
    TextDocumentSyncOptions, WorkspaceFoldersServerCapabilities, WorkspaceServerCapabilities,
};
use serde_json::{Value, json};

/// Commands that the server carries out.
pub(super) const WALK: &str = "oaktag.walk";
pub(super) const SHOW: &str = "oaktag.show";
pub(super) const DESK: &str = "oaktag.desk";

/// What the client can do.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Client {
    pub encoding: Encoding,
    /// Completions with places to be filled in.
    pub snippets: bool,
    pub markdown: bool,
    /// Pictures in what hovers.
    pub pictures: bool,
    /// Edits that say of which version they are.
    pub versioned_edits: bool,
    /// Tables of contents within each other.
    pub nested_symbols: bool,
    /// Messages that name other places, versions, and what is faded.
    pub related: bool,
    pub versions: bool,
    pub unused: bool,
    /// Opens what it is asked to.
    pub shows: bool,
    /// Tells of files that change on the disk, where it is asked to.
    pub watches: bool,
    /// Asks for texts of the library by their address.
    pub library: bool,
}

impl Client {
    /// As it says itself.
    pub(super) fn of(params: &InitializeParams, raw: &Value) -> Self {
        let can: &ClientCapabilities = &params.capabilities;
        let options = params.initialization_options.as_ref();
        let wants = |name: &str| {
            options
                .and_then(|all| all.get(name))
                .and_then(Value::as_bool)
        };
        let general = can.general.as_ref();
        let text = can.text_document.as_ref();
        let workspace = can.workspace.as_ref();
        let window = can.window.as_ref();
        let hover = text.and_then(|text| text.hover.as_ref());
        let formats = hover.and_then(|hover| hover.content_format.as_ref());
        let tags = general.and_then(|all| all.markdown.as_ref()?.allowed_tags.as_ref());
        let images = tags.is_some_and(|tags| tags.iter().any(|tag| tag == "img"));
        let item = text.and_then(|text| text.completion.as_ref()?.completion_item.as_ref());
        let told = text.and_then(|text| text.publish_diagnostics.as_ref());
        // Newer than the types.
        let content = raw.pointer("/capabilities/workspace/textDocumentContent");
        let yes = |said: Option<bool>| said.unwrap_or(false);
        Self {
            encoding: Encoding::of(general.and_then(|all| all.position_encodings.as_deref())),
            snippets: yes(item.and_then(|item| item.snippet_support)),
            markdown: formats.is_some_and(|kinds| kinds.contains(&MarkupKind::Markdown)),
            pictures: wants("hoverPictures").unwrap_or(images),
            versioned_edits: yes(
                workspace.and_then(|all| all.workspace_edit.as_ref()?.document_changes)
            ),
            nested_symbols: yes(text.and_then(|text| {
                let symbols = text.document_symbol.as_ref()?;
                symbols.hierarchical_document_symbol_support
            })),
            related: yes(told.and_then(|told| told.related_information)),
            versions: yes(told.and_then(|told| told.version_support)),
            unused: told.is_some_and(|told| told.tag_support.is_some()),
            shows: window
                .and_then(|all| all.show_document.as_ref())
                .is_some_and(|one| one.support),
            watches: yes(workspace
                .and_then(|all| all.did_change_watched_files.as_ref()?.dynamic_registration)),
            library: wants("libraryAddresses").unwrap_or(content.is_some_and(|one| !one.is_null())),
        }
    }

    /// What the server can do for it, as `initialize` is answered.
    pub(super) fn told(self) -> Value {
        let can = ServerCapabilities {
            position_encoding: Some(self.encoding.name()),
            text_document_sync: Some(TextDocumentSyncCapability::Options(
                TextDocumentSyncOptions {
                    open_close: Some(true),
                    change: Some(TextDocumentSyncKind::INCREMENTAL),
                    ..Default::default()
                },
            )),
            hover_provider: Some(HoverProviderCapability::Simple(true)),
            completion_provider: Some(CompletionOptions {
                trigger_characters: Some(vec![".".to_owned()]),
                ..Default::default()
            }),
            signature_help_provider: Some(SignatureHelpOptions {
                trigger_characters: Some(vec![" ".to_owned()]),
                ..Default::default()
            }),
            definition_provider: Some(OneOf::Left(true)),
            references_provider: Some(OneOf::Left(true)),
            document_highlight_provider: Some(OneOf::Left(true)),
            document_symbol_provider: Some(OneOf::Left(true)),
            workspace_symbol_provider: Some(OneOf::Left(true)),
            code_action_provider: Some(CodeActionProviderCapability::Options(CodeActionOptions {
                code_action_kinds: Some(vec![CodeActionKind::QUICKFIX]),
                ..Default::default()
            })),
            code_lens_provider: Some(CodeLensOptions {
                resolve_provider: None,
            }),
            document_formatting_provider: Some(OneOf::Left(true)),
            document_range_formatting_provider: Some(OneOf::Left(true)),
            rename_provider: Some(OneOf::Right(RenameOptions {
                prepare_provider: Some(true),
                work_done_progress_options: Default::default(),
            })),
            document_link_provider: Some(DocumentLinkOptions {
                resolve_provider: None,
                work_done_progress_options: Default::default(),
            }),
            folding_range_provider: Some(FoldingRangeProviderCapability::Simple(true)),
            execute_command_provider: Some(ExecuteCommandOptions {
                commands: [WALK, SHOW, DESK].map(str::to_owned).to_vec(),
                ..Default::default()
            }),
            semantic_tokens_provider: Some(
                SemanticTokensOptions {
                    legend: tokens::legend(),
                    range: Some(true),
                    full: Some(SemanticTokensFullOptions::Bool(true)),
                    ..Default::default()
                }
                .into(),
            ),
            inlay_hint_provider: Some(OneOf::Left(true)),
            workspace: Some(WorkspaceServerCapabilities {
                workspace_folders: Some(WorkspaceFoldersServerCapabilities {
                    supported: Some(true),
                    change_notifications: Some(OneOf::Left(true)),
                }),
                ..Default::default()
            }),
            ..Default::default()
        };
        let mut can = serde_json::to_value(can).unwrap_or_default();
        // Newer than the types.
        if let Some(workspace) = can.get_mut("workspace").and_then(Value::as_object_mut) {
            let schemes = json!({"schemes": [address::LIBRARY]});
            workspace.insert("textDocumentContent".to_owned(), schemes);
        }
        json!({
            "capabilities": can,
            "serverInfo": {"name": "oaktag", "version": env!("CARGO_PKG_VERSION")},
        })
    }
}
