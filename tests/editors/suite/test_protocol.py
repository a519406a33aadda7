"""The language server, asked by a client that is not ours: pytest-lsp, whose types (lsprotocol, made from the protocol's own
description) refuse an answer of another shape. Every example is opened, and all that the server says it can do is asked of it."""

import os
import pathlib

import pytest
import pytest_lsp
from lsprotocol import types
from pytest_lsp import ClientServerConfig, LanguageClient, client_capabilities

EXAMPLES = pathlib.Path(os.environ["OAKTAG_EXAMPLES"])
DRAFTS = sorted(path for path in EXAMPLES.rglob("*.draft"))


@pytest_lsp.fixture(
    config=ClientServerConfig(server_command=[os.environ["OAKTAG"], "language-server"])
)
async def client(lsp_client: LanguageClient):
    @lsp_client.feature(types.CLIENT_REGISTER_CAPABILITY)
    def registered(params):
        assert [one.method for one in params.registrations] == [
            types.WORKSPACE_DID_CHANGE_WATCHED_FILES
        ]

    capabilities = client_capabilities("visual-studio-code")
    await lsp_client.initialize_session(
        types.InitializeParams(
            capabilities=capabilities,
            root_uri=EXAMPLES.as_uri(),
            workspace_folders=[types.WorkspaceFolder(uri=EXAMPLES.as_uri(), name="examples")],
        )
    )
    yield
    await lsp_client.shutdown_session()


async def opened(client, path, text=None):
    uri = path.as_uri()
    client.text_document_did_open(
        types.DidOpenTextDocumentParams(
            text_document=types.TextDocumentItem(
                uri=uri, language_id="oaktag", version=1, text=text or path.read_text()
            )
        )
    )
    while uri not in client.diagnostics:
        await client.wait_for_notification(types.TEXT_DOCUMENT_PUBLISH_DIAGNOSTICS)
    return uri


def some(lines):
    """Places in words of some lines."""
    for number, line in enumerate(lines):
        words = line.strip()
        if words and number % 7 == 0:
            yield types.Position(number, line.index(words) + len(words) // 2)


@pytest.mark.asyncio
@pytest.mark.parametrize("path", DRAFTS, ids=lambda path: path.stem)
async def test_every_answer_has_the_shape_of_the_protocol(client, path):
    uri = await opened(client, path)
    here = types.TextDocumentIdentifier(uri=uri)
    text = path.read_text()
    lines = text.split("\n")
    whole = types.Range(types.Position(0, 0), types.Position(len(lines), 0))
    errors = [one for one in client.diagnostics[uri] if one.severity == 1]
    assert errors == []

    symbols = await client.text_document_document_symbol_async(
        types.DocumentSymbolParams(here)
    )
    assert symbols

    def held(outer, inner):
        key = lambda at: (at.line, at.character)
        assert key(outer.start) <= key(inner.start) and key(inner.end) <= key(outer.end)

    def walk(symbol):
        held(symbol.range, symbol.selection_range)
        for child in symbol.children or []:
            held(symbol.range, child.range)
            walk(child)

    for symbol in symbols:
        walk(symbol)
    for fold in await client.text_document_folding_range_async(types.FoldingRangeParams(here)):
        assert fold.start_line < fold.end_line < len(lines)
    tokens = await client.text_document_semantic_tokens_full_async(
        types.SemanticTokensParams(here)
    )
    line = start = 0
    for at in range(0, len(tokens.data), 5):
        down, right, length, kind, _ = tokens.data[at : at + 5]
        line, start = line + down, right if down else start + right
        assert length > 0 and start + length <= len(lines[line].encode("utf-16-le")) // 2
        if kind == 7:
            assert lines[line][start] in "#/"
    edits = await client.text_document_formatting_async(
        types.DocumentFormattingParams(here, types.FormattingOptions(2, True))
    )
    assert not edits  # Every example is tidy.
    await client.text_document_inlay_hint_async(types.InlayHintParams(here, whole))
    await client.text_document_code_lens_async(types.CodeLensParams(here))
    for link in await client.text_document_document_link_async(types.DocumentLinkParams(here)):
        assert link.target.startswith("file:///")
    context = types.CodeActionContext(client.diagnostics[uri])
    await client.text_document_code_action_async(types.CodeActionParams(here, whole, context))
    for position in some(lines):
        await client.text_document_hover_async(types.HoverParams(here, position))
        await client.text_document_completion_async(types.CompletionParams(here, position))
        await client.text_document_signature_help_async(types.SignatureHelpParams(here, position))
        await client.text_document_definition_async(types.DefinitionParams(here, position))
        await client.text_document_document_highlight_async(
            types.DocumentHighlightParams(here, position)
        )
        await client.text_document_references_async(
            types.ReferenceParams(types.ReferenceContext(True), here, position)
        )


@pytest.mark.asyncio
async def test_a_slip_is_told_and_mended(client):
    text = "unit cm\npoint top = origin\nline centre = from topp toward down for 20cm\n"
    path = EXAMPLES / "slip.draft"
    uri = await opened(client, path, text)
    told = [one for one in client.diagnostics[uri] if one.code == "unknown-name"]
    assert len(told) == 1
    assert told[0].range == types.Range(types.Position(2, 19), types.Position(2, 23))
    here = types.TextDocumentIdentifier(uri=uri)
    actions = await client.text_document_code_action_async(
        types.CodeActionParams(here, told[0].range, types.CodeActionContext(told))
    )
    edits = actions[0].edit.document_changes[0].edits
    assert [edit.new_text for edit in edits] == ["top"]


@pytest.mark.asyncio
async def test_names_of_every_draft_are_found(client):
    found = await client.workspace_symbol_async(types.WorkspaceSymbolParams(query="armhole"))
    assert len({symbol.location.uri for symbol in found}) > 2
