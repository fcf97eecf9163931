"""What the page shows, as JSON values: findings in the margin, the position at the cursor, lines that can be played.

Offsets are in UTF-16 code units of the text in the page. Words come from where the reports have theirs.
"""

from collections.abc import Sequence
from functools import lru_cache
from typing import Any

import chess
from keyproof.grammar.spans import Span, lines_of
from keyproof.rules.case.choosing import Way
from keyproof.rules.case.sic import sic_marks
from keyproof.rules.checks.register import load_rules
from keyproof.rules.finding import Edit, Evidence, Finding
from keyproof.rules.play.node import PASS, numbered
from keyproof.rules.reading.account import Standing

from ..diagrams.svg import described
from ..listen.desk import Checked, Entry
from ..listen.places import Place
from ..listen.wording import Letters, rows
from ..listen.words import word
from ..pages import page
from ..reports import text as words_of
from ..reports.play import evidence_ply
from ..reports.position import count
from ..reports.proof import asked
from ..results import PuzzleResult
from ..sources import Unreadable, kind_of
from ..understood import Sentence
from .units import Spots, Units

Value = dict[str, Any]


def unread(fault: Unreadable, text: str, units: Units) -> Value:
    """Return what is shown of a text that cannot be read at all."""
    lines = lines_of(text)
    at = min(lines.line_span(min(fault.line, len(lines.starts))).start + fault.column - 1, len(text))
    return {"error": fault.message, "at": units.to_page(at)}


def checked_text(checked: Checked) -> Value:
    """Return all that the margin shows of a text."""
    spots = Spots(checked.filed)
    places = {id(entry): place for place, entry in enumerate(checked.entries)}
    return {
        "settled": checked.settled,
        "findings": [
            _finding(finding, entry, checked, spots) | {"puzzle": places[id(entry)]}
            for finding, entry in checked.findings()
        ],
        "doubts": [doubt for entry in checked.entries for doubt in _doubts(entry, spots)],
        "remarks": [spots.span(each.span) | {"message": each.message} for each in checked.remarks],
        "puzzles": [_puzzle(entry, spots) for entry in checked.entries],
        "counts": _counts(checked),
    }


def _finding(finding: Finding, entry: Entry, checked: Checked, spots: Spots) -> Value:
    text = checked.document.text
    edits = [spots.written(edit.span) | {"text": edit.text} for edit in checked.filed.edits(finding.repair)]
    mended = words_of.repair(text, finding.repair, finding.span, checked.filed.where) if edits else ""
    repair = {"words": mended, "edits": edits} if edits else None
    letters = tuple(sorted(entry.kept.case.piece_letters.items()))
    ply = evidence_ply(finding.evidence, entry.kept.result) if finding.evidence is not None else 0
    return spots.span(finding.span) | {
        "rule": finding.rule,
        "about": page(load_rules()[finding.rule]).summary,
        "level": finding.level.name,
        "message": finding.message,
        "repair": repair,
        "accept": _accepting(finding, checked, spots),
        "evidence": evidence(finding.evidence, ply, letters) if finding.evidence is not None else None,
    }


def _accepting(finding: Finding, checked: Checked, spots: Spots) -> Value | None:
    """Return the edit that lets a finding stand, None where the kind of file has no room for it.

    A line has one mark: where it lets something else stand already, it is made to let `all` stand.
    """
    text, kind = checked.document.text, kind_of(checked.document.path)
    if kind == "epd":  # which has no comments
        return None
    lines = lines_of(text)
    line = lines.line_span(lines.place(finding.span.start)[0])
    end = line.start + len(line.of(text).rstrip(" \t"))
    marks = sic_marks(text, [line])
    if marks:
        wanted = Edit(Span(marks[0].span.start, end), "[sic]")
    else:
        lead = " ; " if kind == "pgn" else " "  # PGN standard 5: a comment to the end of the line
        wanted = Edit(Span(end, end), f"{lead}[sic: {finding.rule}]")
    edits = checked.filed.edits((wanted,))
    return next((spots.written(edit.span) | {"text": edit.text, "all": bool(marks)} for edit in edits), None)


@lru_cache(maxsize=4096)
def evidence(of: Evidence, ply: int, letters: tuple[tuple[str, str], ...] = ()) -> Value:
    """Return a line to be played through, or the moves concerned as arrows in one position.

    `letters` are the author's for the English ones.
    """
    board = chess.Board(of.fen)
    printed = str.maketrans(dict(letters))
    if of.kind == "line":
        return {"kind": "line", "steps": steps(board, of.moves, ply, printed)}
    moves = [board.parse_san(san) for san in of.moves]
    arrows = [[chess.square_name(move.from_square), chess.square_name(move.to_square)] for move in moves[:12] if move]
    said = ", ".join(numbered([san.translate(printed).replace("--", PASS)], ply) for san in of.moves)
    return {"kind": "moves", "steps": [_step(said, board, None) | {"arrows": arrows}]}


def steps(start: chess.Board, sans: Sequence[str], first: int, printed: dict[int, str]) -> list[Value]:
    """Return the positions of a line, the diagram first, each under the move that leads to it."""
    board = start.copy(stack=False)
    found = [_step("", board, None)]
    for ply, san in enumerate(sans, start=first):
        move = chess.Move.null() if san == "--" else board.parse_san(san)
        board.push(move)
        shown = san.translate(printed) if move else PASS
        label = numbered([shown], ply) if ply == first or ply % 2 == 0 else shown
        found.append(_step(label, board, move.to_square if move else None))
    return found


def _step(label: str, board: chess.Board, to: chess.Square | None) -> Value:
    square = chess.square_name(to) if to is not None else None
    return {"label": label, "men": board.board_fen(), "to": square, "words": described(board), "arrows": []}


def _doubts(entry: Entry, spots: Spots) -> list[Value]:
    if entry.kept.result is None:
        return []
    found: list[Value] = []
    unplaced = [each for each in entry.kept.result.account.entries if each.standing is not Standing.placed]
    if unplaced and entry.kept.case.reading is None:  # none of them can be understood without a board
        place = spots.span(entry.here(unplaced[0].span))
        return [place | {"standing": "waiting", "number": len(unplaced), "because": [], "words": []}]
    for each in unplaced:
        text = entry.kept.case.text
        because = [" ".join(word.of(text).split()) for word in each.words]
        place = spots.span(entry.here(each.span))
        words = [spots.span(entry.here(word)) for word in each.words]
        found.append(place | {"standing": each.standing.value, "because": because, "words": words})
    return found


def _puzzle(entry: Entry, spots: Spots) -> Value:
    return {"at": spots.start(entry.pieces[0])} | _caption(entry)


def _caption(entry: Entry) -> Value:
    """Return what stands under a board of a puzzle: its name, what is asked, its men, what was proved."""
    case = entry.kept.case
    board = case.reading.diagram.board if case.reading is not None else case.board
    return {
        "title": " ".join(f"{entry.puzzle.title} {entry.puzzle.label}".split()),
        "asked": asked(case.stipulation, board.turn) if case.stipulation is not None and board is not None else None,
        "count": count(board) if board is not None else "",
        "verdict": _verdict(entry.kept.result),
    }


def _counts(checked: Checked) -> Value:
    known = [(each.kept.case, each.kept.result) for each in checked.entries if each.kept.result is not None]
    results = [result for _, result in known]
    accounts = [result.account for case, result in known if case.reading is not None]
    waiting = [result.account for case, result in known if case.reading is None]
    return {
        "puzzles": len(checked.entries),
        "moves": sum(result.move_mentions for result in results),
        "checked": sum(result.checked for result in results),
        "clauses": sum(account.total for account in accounts),
        "placed": sum(account.placed for account in accounts),
        "doubtful": sum(account.doubtful for account in accounts),
        "unread": sum(account.not_understood for account in accounts),
        "waiting": sum(account.total - account.placed for account in waiting),
    }


def place(found: Place, spots: Spots) -> Value:
    """Return the position at the cursor, the line to it, and what its sentence was taken for."""
    case = found.entry.kept.case
    stipulation, board = case.stipulation, found.board
    diagram = case.reading.diagram.board if case.reading is not None else board
    return _caption(found.entry) | {
        "fen": board.fen(),
        "men": board.board_fen(),
        "to": chess.square_name(found.to) if found.to is not None else None,
        "words": described(board),
        "line": found.line,
        "state": _state(board),
        "move": spots.span(found.move) if found.move is not None else None,
        "taken": _taken(found.sentence, found.by, case.letters, spots) if found.sentence is not None else None,
        "stipulation": stipulation.symbol if stipulation is not None else "",
        "diagram": diagram.fen(),
    }


def _verdict(result: PuzzleResult | None) -> str:
    return word(f"verdict_{result.verdict}".replace("-", "_")) if result is not None else ""


def _state(board: chess.Board) -> str:
    ended = "state_mate" if board.is_checkmate() else "state_stalemate" if board.is_stalemate() else None
    return word(ended) if ended is not None else ""


def _taken(sentence: Sentence, by: int, letters: Letters, spots: Spots) -> Value:
    unread_words = [each.text for each in sentence.not_understood]
    return spots.span(sentence.words.span.further_on(by)) | {
        "words": sentence.words.text,
        "rows": rows(sentence, letters),
        "not_understood": unread_words,
        "passed_over": [each.text for each in sentence.passed_over],
        "doubts": [
            {"words": doubt.words.text, "standing": doubt.standing.value, "because": [w.text for w in doubt.because]}
            for doubt in sentence.doubts
        ],
    }


def ways(found: Sequence[tuple[Way, Sequence[Sentence]]], chosen: Way | None, letters: Letters) -> Value:
    """Return the two ways in which a sentence can be read, the present one first, and which of them was chosen."""
    shown = [{"way": way, "rows": [row for each in read for row in rows(each, letters)]} for way, read in found]
    return {"ways": shown, "chosen": chosen}
