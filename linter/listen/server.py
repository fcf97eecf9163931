"""The server: what an editor tells and asks, and what it is answered (Language Server Protocol 3.17).

Documents come whole with each change, so that lines are counted by `grammar.spans` alone,
and a place is converted to UTF-16 code units in one function there.
"""

import asyncio
from functools import partial
from importlib.metadata import version
from pathlib import Path
from typing import Any

from keyproof.grammar.spans import Lines, Span
from keyproof.rules.finding import Edit, Finding, Level
from keyproof.rules.reading.account import Standing
from lsprotocol import types
from pygls.lsp.server import LanguageServer
from pygls.uris import to_fs_path

from ..kinds import MANUSCRIPTS, SOURCES, Kind
from ..reports import text
from ..reports.play import shown
from ..results import Remark
from ..sources import Unreadable, kind_of
from . import answers
from .desk import Checked, Entry
from .filed import Filed
from .session import Outcome, Session, Text

_SEVERITY = {
    Level.error: types.DiagnosticSeverity.Error,
    Level.warning: types.DiagnosticSeverity.Warning,
    Level.note: types.DiagnosticSeverity.Information,
}
_LANGUAGES: dict[str, Kind] = {
    "markdown": "markdown",
    "plaintext": "text",
    "pgn": "pgn",
    "html": "html",
    "latex": "latex",
}


class Server(LanguageServer):
    """Checks open documents as they are written."""

    def __init__(self) -> None:
        super().__init__("keyproof", version("keyproof"), types.TextDocumentSyncKind.Full)
        self._loop: asyncio.AbstractEventLoop | None = None
        self._session = Session(self._told, self._say)
        for method, handler, options in (
            (types.TEXT_DOCUMENT_DID_OPEN, self.opened, None),
            (types.TEXT_DOCUMENT_DID_CHANGE, self.changed, None),
            (types.TEXT_DOCUMENT_DID_CLOSE, self.closed, None),
            (types.TEXT_DOCUMENT_HOVER, self.hover, None),
            (
                types.TEXT_DOCUMENT_CODE_ACTION,
                self.code_actions,
                types.CodeActionOptions(code_action_kinds=[types.CodeActionKind.QuickFix]),
            ),
            (
                types.TEXT_DOCUMENT_COMPLETION,
                self.completions,
                types.CompletionOptions(trigger_characters=["."]),
            ),
            (types.SHUTDOWN, self.stopped, None),
        ):
            self.feature(method, options)(partial(handler))  # it marks what it is given, and a method takes no marks

    # -- what the editor tells

    def opened(self, params: types.DidOpenTextDocumentParams) -> None:
        """Check a document that was opened."""
        self._hand_in(params.text_document.uri)

    def changed(self, params: types.DidChangeTextDocumentParams) -> None:
        """Check a document that was changed."""
        self._hand_in(params.text_document.uri)

    def closed(self, params: types.DidCloseTextDocumentParams) -> None:
        """Forget a document and what was said of it."""
        uri = params.text_document.uri
        self._session.forget(uri)
        self.text_document_publish_diagnostics(types.PublishDiagnosticsParams(uri, []))

    def stopped(self, _: None) -> None:
        """End the checks under way."""
        self._session.close()

    def _hand_in(self, uri: str) -> None:
        self._loop = asyncio.get_running_loop()
        document = self.workspace.get_text_document(uri)
        kind = kind_for_editor(Path(document.path)) or _LANGUAGES.get(document.language_id or "")
        if kind is not None:
            text = Text(uri, to_fs_path(uri), document.version, kind, document.source)
            self._session.hand_in(text)

    # -- what the checks tell, from a thread of their own

    def _told(self, what: Text, outcome: Outcome) -> None:
        if isinstance(outcome, Unreadable):
            place = types.Position(outcome.line - 1, max(0, outcome.column - 1))
            whole = types.Range(place, place)
            severity = types.DiagnosticSeverity.Error
            self._publish(what, [types.Diagnostic(whole, outcome.message, severity=severity, source="keyproof")])
        else:
            self._publish(what, _diagnostics(outcome))

    def _publish(self, what: Text, diagnostics: list[types.Diagnostic]) -> None:
        params = types.PublishDiagnosticsParams(what.name, diagnostics, what.version)
        if self._loop is not None and not self._loop.is_closed():
            self._loop.call_soon_threadsafe(self.text_document_publish_diagnostics, params)

    def _say(self, message: str) -> None:
        """Say something in the editor's log."""
        if self._loop is not None and not self._loop.is_closed():
            params = types.LogMessageParams(types.MessageType.Warning, message)
            self._loop.call_soon_threadsafe(self.window_log_message, params)

    # -- what the editor asks

    def _known(self, uri: str) -> tuple[Checked, bool] | None:
        """Return what is known of a document, and whether that is its present text."""
        known = self._session.known(uri)
        if known is None:
            return None
        return known[1], known[0].version == self.workspace.get_text_document(uri).version

    def hover(self, params: types.HoverParams) -> types.Hover | None:
        """Show the position at a place, and the proof so far."""
        known = self._known(params.text_document.uri)
        if known is None or not known[1]:
            return None
        checked = known[0]
        found = answers.position_at(checked, _offset(checked.filed, params.position))
        if found is None:
            return None
        board, span = found
        value = types.MarkupContent(types.MarkupKind.Markdown, f"```text\n{board}\n```")
        return types.Hover(value, None if span is None else _range(checked.filed, span))

    def code_actions(self, params: types.CodeActionParams) -> list[types.CodeAction]:
        """Offer the repairs of the findings in a stretch."""
        known = self._known(params.text_document.uri)
        if known is None or not known[1]:
            return []
        checked = known[0]
        stretch = Span(_offset(checked.filed, params.range.start), _offset(checked.filed, params.range.end))
        found = checked.findings()
        actions = []
        for place, edits in answers.repairs(checked, stretch):
            words = text.repair(checked.document.text, edits)
            written = checked.filed.edits(edits)
            if not written:
                continue  # what it replaces has tags or commands in it
            actions.append(
                types.CodeAction(
                    words[:1].upper() + words[1:],
                    kind=types.CodeActionKind.QuickFix,
                    diagnostics=[_diagnostic(*found[place], checked.filed)],
                    edit=types.WorkspaceEdit({params.text_document.uri: _edits(written, checked.filed.lines)}),
                )
            )
        return actions

    def completions(self, params: types.CompletionParams) -> list[types.CompletionItem]:
        """Offer the defences that are not answered yet."""
        known = self._known(params.text_document.uri)
        if known is None:
            return []
        checked, _ = known
        now = Lines(self.workspace.get_text_document(params.text_document.uri).source)
        offset = now.from_utf16(params.position.line, params.position.character)
        begun = _range_of(now, answers.begun_before(now, offset))
        return [
            types.CompletionItem(
                each.text,
                kind=types.CompletionItemKind.Text,
                detail=each.answers,
                sort_text=f"{place:03}",
                text_edit=types.TextEdit(begun, each.text),
            )
            for place, each in enumerate(answers.continuations(checked, checked.filed.offset(offset)))
        ]


def kind_for_editor(path: Path) -> Kind | None:
    """Return the kind of a file that an editor holds as the text it is, None for others and for other manuscripts."""
    kind = kind_of(path)
    return None if kind in MANUSCRIPTS and kind not in SOURCES else kind


def _diagnostics(checked: Checked) -> list[types.Diagnostic]:
    found = [_diagnostic(finding, entry, checked.filed) for finding, entry in checked.findings()]
    found += [_remark(remark, checked.filed) for remark in checked.remarks]
    return found + [_hint(span, standing, checked.filed) for span, standing in checked.unplaced()]


def _remark(remark: Remark, filed: Filed) -> types.Diagnostic:
    """Return what kept a part of the text from being checked."""
    severity = types.DiagnosticSeverity.Information
    return types.Diagnostic(_range(filed, remark.span), remark.message, severity=severity, source="keyproof")


def _hint(span: Span, standing: Standing, filed: Filed) -> types.Diagnostic:
    """Return what an editor shows faintly: a clause that holds chess and was not placed."""
    return types.Diagnostic(
        range=_range(filed, span),
        message=f"{standing.value}, so not proofread",
        severity=types.DiagnosticSeverity.Hint,
        source="keyproof",
    )


def _diagnostic(finding: Finding, entry: Entry, filed: Filed) -> types.Diagnostic:
    message = finding.message
    if finding.evidence is not None:
        message += f"\n{shown(finding.evidence, entry.kept.result, entry.kept.case.letters)}"
    return types.Diagnostic(
        _range(filed, finding.span),
        message,
        severity=_SEVERITY[finding.level],
        code=finding.rule,
        source="keyproof",
    )


def _edits(edits: tuple[Edit, ...], lines: Lines) -> list[Any]:
    return [types.TextEdit(_range_of(lines, edit.span), edit.text) for edit in edits]


def _range(filed: Filed, span: Span) -> types.Range:
    return _range_of(filed.lines, filed.span(span))


def _range_of(lines: Lines, span: Span) -> types.Range:
    return types.Range(types.Position(*lines.utf16(span.start)), types.Position(*lines.utf16(span.end)))


def _offset(filed: Filed, position: types.Position) -> int:
    return filed.offset(filed.lines.from_utf16(position.line, position.character))


def run() -> None:
    """Serve one editor over standard input and output until it ends."""
    Server().start_io()
