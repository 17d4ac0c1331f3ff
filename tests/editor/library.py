"""`catchwork editor` as a general client library has it: `python3 library.py PROGRAM FOLDER`.

The client is that of the package `pygls`, whose types of the protocol refuse whatever does not keep to it: each answer
below has been held against them. It ends with status 0 where all is as it must be.
"""

import asyncio
import pathlib
import sys

from lsprotocol import types
from pygls.lsp.client import LanguageClient

SHEET = """\
# Strip 🌿 ½

! Water only for this test.

strip length : 60 ft
spray width  : 28 in ± 1 in
strip area   = strip length * spray width [ft²]

? area : strip area at most 100 ft² else Lay out a shorter strip.
"""


def line_of(text, part):
    """The number of the line that holds a part, and the part's column in units of UTF-16."""
    for number, line in enumerate(text.splitlines()):
        if part in line:
            return number, len(line[: line.index(part)].encode("utf-16-le")) // 2
    raise AssertionError(part)


class Client(LanguageClient):
    """A client that keeps what it is told."""

    def __init__(self):
        super().__init__("catchwork-test", "1")
        self.troubles = {}
        self.told = asyncio.Event()
        self.broken = []

        @self.feature(types.TEXT_DOCUMENT_PUBLISH_DIAGNOSTICS)
        def publish(params: types.PublishDiagnosticsParams):
            self.troubles[params.uri] = params
            self.told.set()

        @self.feature(types.CLIENT_REGISTER_CAPABILITY)
        def register(params: types.RegistrationParams):
            self.registered = [registration.method for registration in params.registrations]

        @self.feature(types.WORKSPACE_INLAY_HINT_REFRESH)
        def refresh(params):
            pass

    def report_server_error(self, error, source):
        self.broken.append((error, source))

    async def troubles_of(self, uri, version):
        """The troubles of a version of a document."""
        while uri not in self.troubles or self.troubles[uri].version != version:
            self.told.clear()
            await asyncio.wait_for(self.told.wait(), 60)
        return self.troubles[uri].diagnostics


async def main(program, folder):
    client = Client()
    await client.start_io(program, "editor")
    begun = await client.initialize_async(
        types.InitializeParams(
            capabilities=types.ClientCapabilities(
                text_document=types.TextDocumentClientCapabilities(
                    hover=types.HoverClientCapabilities(content_format=[types.MarkupKind.Markdown]),
                    document_symbol=types.DocumentSymbolClientCapabilities(hierarchical_document_symbol_support=True),
                    code_action=types.CodeActionClientCapabilities(
                        code_action_literal_support=types.ClientCodeActionLiteralOptions(
                            code_action_kind=types.ClientCodeActionKindOptions(
                                value_set=[types.CodeActionKind.QuickFix]
                            )
                        )
                    ),
                ),
                workspace=types.WorkspaceClientCapabilities(
                    did_change_watched_files=types.DidChangeWatchedFilesClientCapabilities(dynamic_registration=True),
                    inlay_hint=types.InlayHintWorkspaceClientCapabilities(refresh_support=True),
                ),
            ),
            root_uri=folder.as_uri(),
        )
    )
    assert begun.server_info.name == "catchwork"
    assert begun.capabilities.position_encoding == types.PositionEncodingKind.Utf16
    client.initialized(types.InitializedParams())

    uri = (folder / "strip.worksheet").as_uri()
    document = types.TextDocumentIdentifier(uri)
    client.text_document_did_open(
        types.DidOpenTextDocumentParams(types.TextDocumentItem(uri, "catchwork", 1, SHEET))
    )
    assert not await client.troubles_of(uri, 1)

    # Results stand beside their lines.
    everything = types.Range(types.Position(0, 0), types.Position(100, 0))
    hints = await client.text_document_inlay_hint_async(types.InlayHintParams(document, everything))
    assert [hint.label for hint in hints] == ["= 140.0 ± 5.0 ft²", "no: 140.0 ± 5.0 ft² at most 100 ft²"], hints

    # Where a value comes from, cautions first.
    place = types.Position(*line_of(SHEET, "strip area   ="))
    hover = await client.text_document_hover_async(types.HoverParams(document, place))
    said = hover.contents.value
    caution, notice, doubt = (said.index(part) for part in ["Water only", "The product label", "spray width  ± 1 in"])
    assert caution < notice < doubt, said

    # A mistake is typed, shown, and taken back by its quick fix.
    line, _ = line_of(SHEET, "spray width  :")
    slip = types.Range(types.Position(line, 15), types.Position(line, 17))
    client.text_document_did_change(
        types.DidChangeTextDocumentParams(
            types.VersionedTextDocumentIdentifier(2, uri),
            [types.TextDocumentContentChangePartial(range=slip, text="9,5")],
        )
    )
    troubles = await client.troubles_of(uri, 2)
    assert len(troubles) == 1 and "instead" in troubles[0].message, troubles
    assert troubles[0].severity == types.DiagnosticSeverity.Error
    fixes = await client.text_document_code_action_async(
        types.CodeActionParams(document, troubles[0].range, types.CodeActionContext(troubles))
    )
    assert fixes and all(fix.kind == types.CodeActionKind.QuickFix for fix in fixes), fixes
    client.text_document_did_change(
        types.DidChangeTextDocumentParams(
            types.VersionedTextDocumentIdentifier(3, uri),
            [types.TextDocumentContentChangeWholeDocument(text=SHEET)],
        )
    )
    assert not await client.troubles_of(uri, 3)

    # Names: where they are given and used, and another one for them.
    used = types.Position(*line_of(SHEET, "strip length * spray"))
    given = await client.text_document_definition_async(types.DefinitionParams(document, used))
    assert [place.range.start.line for place in given] == [4], given
    found = await client.text_document_references_async(
        types.ReferenceParams(context=types.ReferenceContext(True), text_document=document, position=used)
    )
    assert [place.range.start.line for place in found] == [4, 6], found
    prepared = await client.text_document_prepare_rename_async(types.PrepareRenameParams(document, used))
    assert prepared.placeholder == "strip length", prepared
    renamed = await client.text_document_rename_async(
        types.RenameParams(new_name="length", text_document=document, position=used)
    )
    assert len(renamed.changes[uri]) == 2, renamed
    try:
        await client.text_document_rename_async(
            types.RenameParams(new_name="spray width", text_document=document, position=used)
        )
        raise AssertionError("a name that is taken is given twice")
    except Exception as refused:
        assert "spray width" in str(refused), refused

    # What may be written, the outline, folding, layout, colours.
    offers = await client.text_document_completion_async(types.CompletionParams(document, used))
    assert "spray width" in [offer.label for offer in offers], offers
    outline = await client.text_document_document_symbol_async(types.DocumentSymbolParams(document))
    assert [part.name for part in outline[0].children] == ["strip length", "spray width", "strip area", "area"], outline
    await client.text_document_folding_range_async(types.FoldingRangeParams(document))
    options = types.FormattingOptions(tab_size=4, insert_spaces=True)
    edits = await client.text_document_formatting_async(types.DocumentFormattingParams(document, options))
    assert edits, "the bracket stands two spaces behind its formula"
    tokens = await client.text_document_semantic_tokens_full_async(types.SemanticTokensParams(document))
    assert tokens.data and len(tokens.data) % 5 == 0
    legend = begun.capabilities.semantic_tokens_provider.legend
    assert all(kind < len(legend.token_types) for kind in tokens.data[3::5])

    await client.shutdown_async(None)
    client.exit(None)
    status = await asyncio.wait_for(client._server.wait(), 60)
    assert status == 0, status
    assert client.registered == ["workspace/didChangeWatchedFiles"]
    assert not client.broken, client.broken


asyncio.run(main(sys.argv[1], pathlib.Path(sys.argv[2])))
