"""The server: what an editor tells and asks, and what it is answered (Language Server Protocol 3.17).

Documents come whole with each change, so that lines are counted by `grammar.spans` alone,
and a place is converted to UTF-16 code units in one function there.
"""

import asyncio
from dataclasses import dataclass
from functools import partial
from importlib.metadata import version
from pathlib import Path
from typing import Any

from keyproof.grammar.spans import Lines, Span
from keyproof.rules.finding import Edit, Finding, Level
from keyproof.rules.proof.limits import Cancel
from keyproof.rules.reading.account import Standing
from lsprotocol import types
from pygls.lsp.server import LanguageServer
from pygls.uris import to_fs_path

from .. import cache
from ..jobs import own_fault
from ..options import Options
from ..reports import text
from ..reports.play import shown
from ..results import PuzzleResult
from ..sources import MANUSCRIPTS, Kind, Unreadable, document_from_text, kind_of
from ..style import BadSettings, settings_for
from . import answers
from .background import Background
from .desk import Cancelled, Checked, Desk

_SEVERITY = {
    Level.error: types.DiagnosticSeverity.Error,
    Level.warning: types.DiagnosticSeverity.Warning,
    Level.note: types.DiagnosticSeverity.Information,
}
_LANGUAGES: dict[str, Kind] = {"markdown": "markdown", "plaintext": "text", "pgn": "pgn"}


@dataclass(frozen=True)
class _Text:
    """One version of an open document."""

    uri: str
    version: int | None
    kind: Kind
    text: str


class Server(LanguageServer):
    """Checks open documents as they are written."""

    def __init__(self) -> None:
        super().__init__("keyproof", version("keyproof"), types.TextDocumentSyncKind.Full)
        self._desks: dict[str, Desk] = {}
        self._checked: dict[str, tuple[int | None, Checked]] = {}
        self._loop: asyncio.AbstractEventLoop | None = None
        self._background: Background[_Text] = Background(self._check)
        self._warned: set[str] = set()
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
        self._background.drop(uri)
        self._desks.pop(uri, None)
        self._checked.pop(uri, None)
        self.text_document_publish_diagnostics(types.PublishDiagnosticsParams(uri, []))

    def stopped(self, _: None) -> None:
        """End the checks under way."""
        self._background.close()

    def _hand_in(self, uri: str) -> None:
        self._loop = asyncio.get_running_loop()
        document = self.workspace.get_text_document(uri)
        kind = kind_for_editor(Path(document.path)) or _LANGUAGES.get(document.language_id or "")
        if kind is not None:
            self._background.hand_in(uri, _Text(uri, document.version, kind, document.source))

    # -- the checks, in a thread of their own

    def _check(self, what: _Text, cancel: Cancel) -> None:
        for warning in cache.begin():
            self._say(warning)
        try:
            document = document_from_text(what.uri, what.text, what.kind)
            desk = self._desks.get(what.uri)
            if desk is None:
                desk = self._desks[what.uri] = Desk(self._options(what.uri))
            for checked in desk.check(document, cancel):
                if cancel.cancelled:
                    raise Cancelled
                self._checked[what.uri] = (what.version, checked)
                self._publish(what, _diagnostics(checked))
        except Unreadable as fault:
            place = types.Position(fault.line - 1, max(0, fault.column - 1))
            self._publish(
                what,
                [
                    types.Diagnostic(
                        types.Range(place, place),
                        fault.message,
                        severity=types.DiagnosticSeverity.Error,
                        source="keyproof",
                    )
                ],
            )
        except Cancelled:
            raise
        except Exception as fault:
            self._say(f"keyproof itself failed, please report: {own_fault(fault)}")

    def _options(self, uri: str) -> Options:
        path = to_fs_path(uri)
        try:
            settings = settings_for([path]) if path else settings_for([])
        except BadSettings as fault:
            self._say(str(fault))
            return Options()
        return Options(house=settings.house, levels=settings.levels)

    def _publish(self, what: _Text, diagnostics: list[types.Diagnostic]) -> None:
        params = types.PublishDiagnosticsParams(what.uri, diagnostics, what.version)
        if self._loop is not None and not self._loop.is_closed():
            self._loop.call_soon_threadsafe(self.text_document_publish_diagnostics, params)

    def _say(self, message: str) -> None:
        """Say something once in the editor's log."""
        if message not in self._warned and self._loop is not None and not self._loop.is_closed():
            self._warned.add(message)
            params = types.LogMessageParams(types.MessageType.Warning, message)
            self._loop.call_soon_threadsafe(self.window_log_message, params)

    # -- what the editor asks

    def _known(self, uri: str) -> tuple[Checked, bool] | None:
        """Return what is known of a document, and whether that is its present text."""
        known = self._checked.get(uri)
        if known is None:
            return None
        return known[1], known[0] == self.workspace.get_text_document(uri).version

    def hover(self, params: types.HoverParams) -> types.Hover | None:
        """Show the position at a place, and the proof so far."""
        known = self._known(params.text_document.uri)
        if known is None or not known[1]:
            return None
        checked = known[0]
        found = answers.position_at(checked, _offset(checked.lines, params.position))
        if found is None:
            return None
        board, span = found
        value = types.MarkupContent(types.MarkupKind.Markdown, f"```text\n{board}\n```")
        return types.Hover(value, None if span is None else _range(checked.lines, span))

    def code_actions(self, params: types.CodeActionParams) -> list[types.CodeAction]:
        """Offer the repairs of the findings in a stretch."""
        known = self._known(params.text_document.uri)
        if known is None or not known[1]:
            return []
        checked = known[0]
        stretch = Span(_offset(checked.lines, params.range.start), _offset(checked.lines, params.range.end))
        found = checked.findings()
        actions = []
        for place, edits in answers.repairs(checked, stretch):
            words = text.repair(checked.document.text, edits)
            actions.append(
                types.CodeAction(
                    words[:1].upper() + words[1:],
                    kind=types.CodeActionKind.QuickFix,
                    diagnostics=[_diagnostic(*found[place], checked.lines)],
                    edit=types.WorkspaceEdit({params.text_document.uri: _edits(edits, checked.lines)}),
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
        offset = _offset(now, params.position)
        begun = _range(now, answers.begun_before(now, offset))
        return [
            types.CompletionItem(
                each.text,
                kind=types.CompletionItemKind.Text,
                detail=each.answers,
                sort_text=f"{place:03}",
                text_edit=types.TextEdit(begun, each.text),
            )
            for place, each in enumerate(answers.continuations(checked, offset))
        ]


def kind_for_editor(path: Path) -> Kind | None:
    """Return the kind of a file that an editor holds as the text it is, None for others and for manuscripts."""
    kind = kind_of(path)
    return None if kind in MANUSCRIPTS else kind


def _diagnostics(checked: Checked) -> list[types.Diagnostic]:
    found = [_diagnostic(finding, puzzle, checked.lines) for finding, puzzle in checked.findings()]
    return found + [_hint(span, standing, checked.lines) for span, standing in checked.unplaced()]


def _hint(span: Span, standing: Standing, lines: Lines) -> types.Diagnostic:
    """Return what an editor shows faintly: a clause that holds chess and was not placed."""
    return types.Diagnostic(
        range=_range(lines, span),
        message=f"{standing.value}, so not proofread",
        severity=types.DiagnosticSeverity.Hint,
        source="keyproof",
    )


def _diagnostic(finding: Finding, puzzle: PuzzleResult | None, lines: Lines) -> types.Diagnostic:
    message = finding.message
    if finding.evidence is not None:
        message += f"\n{shown(finding.evidence, puzzle)}"
    return types.Diagnostic(
        _range(lines, finding.span),
        message,
        severity=_SEVERITY[finding.level],
        code=finding.rule,
        source="keyproof",
    )


def _edits(edits: tuple[Edit, ...], lines: Lines) -> list[Any]:
    return [types.TextEdit(_range(lines, edit.span), edit.text) for edit in edits]


def _range(lines: Lines, span: Span) -> types.Range:
    return types.Range(types.Position(*lines.utf16(span.start)), types.Position(*lines.utf16(span.end)))


def _offset(lines: Lines, position: types.Position) -> int:
    return lines.from_utf16(position.line, position.character)


def run() -> None:
    """Serve one editor over standard input and output until it ends."""
    Server().start_io()
