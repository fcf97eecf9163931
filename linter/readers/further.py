"""Remarks in PGN that name more moves of the kind just shown: "2. Qc1# { likewise Rf8 and Re8 }"."""

from collections.abc import Iterable, Iterator

import chess
from keyproof.grammar.lexicon.lexemes import lexemes
from keyproof.grammar.moves import MovePhrase
from keyproof.grammar.scan import read_span
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import Aside, Break, Statement, Turn
from msgspec import Struct
from msgspec.structs import replace

_MORE = ("also", "and also", "or")
_JOINS = ("and", "or", ",")


class Further(Struct, frozen=True):
    """The moves that a remark adds to one already shown, and the statements of the remark, should there be none.

    `last`: they are added to the last half-move of the line, whatever man makes them.
    """

    moves: tuple[MovePhrase, ...]
    remark: tuple[Statement, ...]
    last: bool = False


def further(text: str, span: Span, language: str) -> tuple[MovePhrase, ...]:
    """Return the moves of a remark that says "likewise" and names moves, and nothing else; none for any other."""
    words = [lexeme for lexeme in lexemes(text, span) if lexeme.kind != "line"]
    if not words or not (words[0].sense("mark") == "again" or words[0].text.lower() in _MORE):
        return ()
    after = Span(words[0].span.end, span.end)
    moves: list[MovePhrase] = []
    for statement in read_span(text, after, language):
        if isinstance(statement, Turn) and statement.number is None and not statement.effects:
            moves += statement.choices
        elif not isinstance(statement, Break | Aside) or not _joins(statement, text):
            return ()
    return tuple(moves) if not any(move.worded for move in moves) else ()


def joins(text: str, span: Span) -> bool:
    """Tell whether a remark only joins the half-move behind it to the one before, as its alternative: "{ or }"."""
    words = [lexeme for lexeme in lexemes(text, span) if lexeme.kind != "line"]
    return len(words) == 1 and words[0].text.lower() in (*_JOINS, *_MORE)


def _joins(statement: Break | Aside, text: str) -> bool:
    return isinstance(statement, Break) or statement.span.of(text).strip(" .\r\n").lower() in ("", *_JOINS)


def spread(walked: Iterable[tuple[Statement | Further, bool]]) -> Iterator[tuple[Statement, bool]]:
    """Give the moves of each remark to the half-move of its line that they are like, which then has alternatives."""
    out: list[tuple[Statement, bool]] = []
    lines: list[list[int]] = [[]]  # where the half-moves of each open line stand in `out`
    for item, in_main_line in walked:
        if isinstance(item, Further):
            place = _like(item, [out[each][0] for each in lines[-1]], lines[-1])
            if place is None:
                out += [(statement, False) for statement in item.remark]
            else:
                turn = out[place][0]
                assert isinstance(turn, Turn)
                out[place] = replace(turn, choices=turn.choices + item.moves), out[place][1]
            continue
        if isinstance(item, Break) and item.kind == "open":
            lines.append([])
        elif isinstance(item, Break) and item.kind == "close" and len(lines) > 1:
            lines.pop()
        elif isinstance(item, Turn):
            lines[-1].append(len(out))
        out.append((item, in_main_line))
    yield from out


def _like(item: Further, line: list[Statement], places: list[int]) -> int | None:
    """Return where the half-move stands that the moves are like: the last one, or the defence that it answers."""
    turns = [turn for turn in line if isinstance(turn, Turn)]
    if not turns:
        return None
    last = turns[-1]
    if not item.last and len(turns) > 1 and last.number is not None and not last.number.second:
        before, after = _men(turns[-2]), _men(last)
        own = {move.piece for move in item.moves}
        if before == after or own != after:
            return places[-2]
    return places[-1]


def _men(turn: Turn) -> set[chess.PieceType | None]:
    return {choice.piece for choice in turn.choices}
