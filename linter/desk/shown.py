"""What the page shows, as JSON values: findings in the margin, the position at the cursor, lines that can be played.

Offsets are in UTF-16 code units of the text in the page. Words come from where the reports have theirs.
"""

from collections.abc import Sequence
from functools import lru_cache
from typing import Any

import chess
from keyproof.grammar.spans import Span, lines_of
from keyproof.rules.case.case import Way
from keyproof.rules.finding import Evidence, Finding
from keyproof.rules.play.node import numbered
from keyproof.rules.reading.account import Standing

from ..diagrams.svg import described
from ..listen.desk import Checked, Entry
from ..listen.places import Place
from ..listen.wording import rows
from ..reports import text as words_of
from ..reports.play import evidence_ply
from ..reports.position import count
from ..reports.proof import asked
from ..results import PuzzleResult
from ..sources import Unreadable
from ..understood import Sentence
from .units import Units

_SIC = "[sic"
_VERDICTS = {
    "sound": "proved sound",
    "unsound": "proved unsound",
    "unproved": "not proved within the effort",
    "no-claim": "nothing to prove",
}

Value = dict[str, Any]


def unread(fault: Unreadable, text: str, units: Units) -> Value:
    """Return what is shown of a text that cannot be read at all."""
    lines = lines_of(text)
    at = min(lines.line_span(min(fault.line, len(lines.starts))).start + fault.column - 1, len(text))
    return {"error": fault.message, "at": units.to_page(at)}


def checked_text(checked: Checked, units: Units) -> Value:
    """Return all that the margin shows of a text."""
    return {
        "settled": checked.settled,
        "findings": [_finding(finding, puzzle, checked, units) for finding, puzzle in checked.findings()],
        "doubts": [doubt for entry in checked.entries for doubt in _doubts(entry, units)],
        "remarks": [_place(each.span, units) | {"message": each.message} for each in checked.remarks],
        "puzzles": [_puzzle(entry, units) for entry in checked.entries],
        "counts": _counts(checked),
    }


def _place(span: Span, units: Units) -> Value:
    return {"from": units.to_page(span.start), "to": units.to_page(span.end)}


def _finding(finding: Finding, puzzle: PuzzleResult | None, checked: Checked, units: Units) -> Value:
    text = checked.document.text
    edits = [_place(edit.span, units) | {"text": edit.text} for edit in finding.repair]
    repair = {"words": words_of.repair(text, finding.repair, finding.span), "edits": edits} if edits else None
    ply = evidence_ply(finding.evidence, puzzle) if finding.evidence is not None else 0
    return _place(finding.span, units) | {
        "rule": finding.rule,
        "level": finding.level.name,
        "message": finding.message,
        "line": lines_of(text).place(finding.span.start)[0],
        "repair": repair,
        "accept": _accepting(finding, text, units),
        "evidence": evidence(finding.evidence, ply) if finding.evidence is not None else None,
    }


def _accepting(finding: Finding, text: str, units: Units) -> Value | None:
    """Return the edit that lets a finding stand; None where its line ends in such a mark already."""
    lines = lines_of(text)
    line = lines.line_span(lines.place(finding.span.start)[0])
    end = line.start + len(line.of(text).rstrip(" \t"))
    if _SIC in line.of(text):
        return None
    return _place(Span(end, end), units) | {"text": f" [sic: {finding.rule}]"}


@lru_cache(maxsize=4096)
def evidence(of: Evidence, ply: int) -> Value:
    """Return a line to be played through, or the moves concerned as arrows in one position."""
    board = chess.Board(of.fen)
    if of.kind == "line":
        return {"kind": "line", "steps": steps(board, of.moves, ply)}
    moves = [board.parse_san(san) for san in of.moves]
    arrows = [[chess.square_name(move.from_square), chess.square_name(move.to_square)] for move in moves[:12] if move]
    said = ", ".join(numbered([san], ply) for san in of.moves)
    return {"kind": "moves", "steps": [_step(said, board, None) | {"arrows": arrows}]}


def steps(start: chess.Board, sans: Sequence[str], first: int) -> list[Value]:
    """Return the positions of a line, the diagram first, each under the move that leads to it."""
    board = start.copy(stack=False)
    found = [_step("", board, None)]
    for ply, san in enumerate(sans, start=first):
        move = chess.Move.null() if san == "--" else board.parse_san(san)
        board.push(move)
        shown = san if move else "pass"
        label = numbered([shown], ply) if ply == first or ply % 2 == 0 else shown
        found.append(_step(label, board, move.to_square if move else None))
    return found


def _step(label: str, board: chess.Board, to: chess.Square | None) -> Value:
    square = chess.square_name(to) if to is not None else None
    return {"label": label, "men": board.board_fen(), "to": square, "words": described(board), "arrows": []}


def _doubts(entry: Entry, units: Units) -> list[Value]:
    if entry.kept.result is None:
        return []
    found = []
    for each in entry.kept.result.account.entries:
        if each.standing is not Standing.placed:
            text = entry.kept.case.text
            because = [" ".join(word.of(text).split()) for word in each.words]
            place = _place(entry.here(each.span), units)
            words = [_place(entry.here(word), units) for word in each.words]
            found.append(place | {"standing": each.standing.value, "because": because, "words": words})
    return found


def _puzzle(entry: Entry, units: Units) -> Value:
    result = entry.kept.result
    return {
        "at": units.to_page(entry.pieces[0].start),
        "title": " ".join(f"{entry.puzzle.title} {entry.puzzle.label}".split()),
        "verdict": _VERDICTS[result.verdict] if result is not None else "",
    }


def _counts(checked: Checked) -> Value:
    results = [entry.kept.result for entry in checked.entries if entry.kept.result is not None]
    return {
        "puzzles": len(checked.entries),
        "moves": sum(result.move_mentions for result in results),
        "checked": sum(result.checked for result in results),
        "clauses": sum(result.account.total for result in results),
        "placed": sum(result.account.placed for result in results),
        "doubtful": sum(result.account.doubtful for result in results),
        "unread": sum(result.account.not_understood for result in results),
    }


def place(found: Place, units: Units) -> Value:
    """Return the position at the cursor, the line to it, and what its sentence was taken for."""
    case = found.entry.kept.case
    result = found.entry.kept.result
    stipulation, board = case.stipulation, found.board
    diagram = case.reading.diagram.board if case.reading is not None else board
    title = " ".join(f"{found.entry.puzzle.title} {found.entry.puzzle.label}".split())
    return {
        "title": title,
        "asked": asked(stipulation, diagram.turn) if stipulation is not None else None,
        "count": count(diagram),
        "verdict": _VERDICTS[result.verdict] if result is not None else "",
        "fen": board.fen(),
        "men": board.board_fen(),
        "to": chess.square_name(found.to) if found.to is not None else None,
        "words": described(board),
        "line": found.line,
        "state": "mate" if board.is_checkmate() else "stalemate" if board.is_stalemate() else "",
        "move": _place(found.move, units) if found.move is not None else None,
        "taken": _taken(found.sentence, found.by, units) if found.sentence is not None else None,
        "stipulation": stipulation.symbol if stipulation is not None else "",
        "diagram": diagram.fen(),
    }


def _taken(sentence: Sentence, by: int, units: Units) -> Value:
    unread_words = [each.text for each in sentence.not_understood]
    return _place(sentence.words.span.further_on(by), units) | {
        "words": sentence.words.text,
        "rows": rows(sentence),
        "not_understood": unread_words,
        "passed_over": [each.text for each in sentence.passed_over],
        "doubts": [
            {"words": doubt.words.text, "standing": doubt.standing.value, "because": [w.text for w in doubt.because]}
            for doubt in sentence.doubts
        ],
    }


def ways(found: Sequence[tuple[Way, Sequence[Sentence]]], chosen: Way | None) -> Value:
    """Return the two ways in which a sentence can be read, the present one first, and which of them was chosen."""
    shown = [{"way": way, "rows": [row for each in read for row in rows(each)]} for way, read in found]
    return {"ways": shown, "chosen": chosen}
