"""An editor for the tests: pygls's own client, talking to `keyproof listen` in a process of its own."""

import asyncio
import os
import sys
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from functools import partial
from pathlib import Path

from keyproof.grammar.spans import Lines
from lsprotocol import types
from pygls.lsp.client import LanguageClient

PATIENCE = 60  # seconds; a machine may be busy


class Editor:
    """One open document. Versions count from 1."""

    def __init__(self, client: LanguageClient, uri: str) -> None:
        self.client = client
        self.uri = uri
        self.version = 0
        self.text = ""
        self.published: list[types.PublishDiagnosticsParams] = []
        self.logged: list[str] = []
        self._arrived = asyncio.Condition()
        client.feature(types.TEXT_DOCUMENT_PUBLISH_DIAGNOSTICS)(partial(self._publish))
        client.feature(types.WINDOW_LOG_MESSAGE)(partial(self._log))

    async def _publish(self, params: types.PublishDiagnosticsParams) -> None:
        async with self._arrived:
            self.published.append(params)
            self._arrived.notify_all()

    async def _log(self, params: types.LogMessageParams) -> None:
        self.logged.append(params.message)

    def open(self, text: str, language: str = "markdown") -> None:
        self.version, self.text = 1, text
        item = types.TextDocumentItem(self.uri, language, 1, text)
        self.client.text_document_did_open(types.DidOpenTextDocumentParams(item))

    def write(self, text: str) -> None:
        """Change the whole text, as if something had been typed."""
        self.version, self.text = self.version + 1, text
        which = types.VersionedTextDocumentIdentifier(self.version, self.uri)
        change = types.TextDocumentContentChangeWholeDocument(text)
        self.client.text_document_did_change(types.DidChangeTextDocumentParams(which, [change]))

    async def diagnostics(self) -> list[types.Diagnostic]:
        """Wait for what is said of the present text."""

        def present() -> bool:
            return any(each.version == self.version for each in self.published)

        async with self._arrived:
            await asyncio.wait_for(self._arrived.wait_for(present), PATIENCE)
        return list([each for each in self.published if each.version == self.version][-1].diagnostics)

    def place(self, words: str, after: bool = False) -> types.Position:
        """Return where some words of the text begin, or end."""
        start = self.text.index(words)
        return types.Position(*Lines(self.text).utf16(start + len(words) * after))

    def of(self, there: types.Range) -> str:
        """Return the text of a range."""
        lines = Lines(self.text)
        start, end = (lines.from_utf16(place.line, place.character) for place in (there.start, there.end))
        return self.text[start:end]

    async def hover(self, place: types.Position) -> str | None:
        found = await self.client.text_document_hover_async(
            types.HoverParams(types.TextDocumentIdentifier(self.uri), place)
        )
        if found is None:
            return None
        assert isinstance(found.contents, types.MarkupContent)
        return found.contents.value

    async def completions(self, place: types.Position) -> list[types.CompletionItem]:
        found = await self.client.text_document_completion_async(
            types.CompletionParams(types.TextDocumentIdentifier(self.uri), place)
        )
        assert isinstance(found, list) or found is None
        return list(found or [])

    async def actions(self, there: types.Range) -> list[types.CodeAction]:
        found = await self.client.text_document_code_action_async(
            types.CodeActionParams(types.TextDocumentIdentifier(self.uri), there, types.CodeActionContext([]))
        )
        return [each for each in found or [] if isinstance(each, types.CodeAction)]

    def applied(self, action: types.CodeAction) -> str:
        """Return the text after an action, last edits first so that places stay right."""
        assert action.edit is not None
        assert action.edit.changes is not None
        lines, text = Lines(self.text), self.text
        spans = [
            (
                lines.from_utf16(e.range.start.line, e.range.start.character),
                lines.from_utf16(e.range.end.line, e.range.end.character),
                e.new_text,
            )
            for e in action.edit.changes[self.uri]
        ]
        for start, end, new in sorted(spans, reverse=True):
            text = text[:start] + new + text[end:]
        return text


@asynccontextmanager
async def editor(folder: Path, name: str = "column.md", **environment: str) -> AsyncIterator[Editor]:
    """Start a server and open an editor on a file of `folder`."""
    client = LanguageClient("tests", "1")
    here = Editor(client, (folder / name).as_uri())
    await client.start_io(sys.executable, "-m", "keyproof.linter", "listen", env=os.environ | environment)
    try:
        params = types.InitializeParams(types.ClientCapabilities(), root_uri=folder.as_uri())
        await asyncio.wait_for(client.initialize_async(params), PATIENCE)
        client.initialized(types.InitializedParams())
        yield here
        await asyncio.wait_for(client.shutdown_async(None), PATIENCE)
    finally:
        client.exit(None)
        await client.stop()
