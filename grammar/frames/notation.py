"""Pawn moves in a text that prints its moves in notation, where a square by itself is one: "c5 – Qb8#"."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import takewhile

import chess
from keyproof.grammar.lexicon.lexemes import Lexeme
from keyproof.grammar.moves import MovePhrase, read_move
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import MoveNumber
from msgspec.structs import replace

_MOVES = ("move", "square")
_FEW = 3  # moves with the letter of a man, from which on a text is taken to print its moves
_BEGINS = ("line", "stop", "semicolon", "comma", "cell", "dash", "colon")
_ARROW = ("dash", "quote")
_LEADS = ((), ("dash",), ("colon",), _ARROW)  # the signs before an answer: "c5 - Qb8#", "c5: Qb8#", "c5 -> Qb8#"
MOST_SIGNS = 12  # between a move and the one it answers
_SIGNS = frozenset((*_BEGINS, "open", "close", "slash", "quote"))


def signs_before(before: Sequence[Lexeme]) -> tuple[str, ...] | None:
    """Return the kinds of the signs between a move and the one printed before it, None where something else is.

    `before` is what stands before the move, whose own number is no sign.
    """
    end = len(before) - 1 if before and before[-1].kind == "number" else len(before)
    begin = end
    while begin > 0 and before[begin - 1].kind in _SIGNS:
        begin -= 1
    told = begin > 0 and before[begin - 1].kind in ("move", "square")
    return tuple(each.kind for each in before[begin:end]) if told else None


def pawn_move(lexeme: Lexeme) -> MovePhrase | None:
    """Return the pawn move that a square stands for in notation."""
    plain = lexeme.kind == "square" and lexeme.text[0].islower() and len(lexeme.text) == 2
    return read_move(lexeme.text, offset=lexeme.span.start) if plain else None


def with_pawn_moves(given: Sequence[Lexeme]) -> list[Lexeme]:
    """Return the lexemes of a text with those squares as moves that can be nothing else where moves are printed."""
    given = _with_signs(given)
    found = [
        _as_pawn_move(each) if _in_line(given, index) or _is_answered(given, index, [_ARROW]) else each
        for index, each in enumerate(given)
    ]
    if sum(each.phrase is not None and each.phrase.piece not in (None, chess.PAWN) for each in given) < _FEW:
        return found
    for index, lexeme in enumerate(given):
        if lexeme.kind == "square" and (_is_answered(given, index) or _refutes(given, index)):
            found[index] = _as_pawn_move(lexeme)
    return found


def _as_pawn_move(lexeme: Lexeme) -> Lexeme:
    phrase = pawn_move(lexeme)
    return lexeme if phrase is None else replace(lexeme, kind="move", square=None, phrase=phrase)


def _in_line(given: Sequence[Lexeme], index: int) -> bool:
    """Tell whether a square stands between a numbered move and the number of the next: "1.e3 h5 2.e4"."""
    around = [each.kind for each in given[max(0, index - 2) : index + 2]]
    return given[index].kind == "square" and around in (
        ["number", "move", "square", "number"],
        ["number", "square", "square", "number"],
    )


def _with_signs(given: Sequence[Lexeme]) -> list[Lexeme]:
    """Return the lexemes with a square right behind a numbered move, and its sign, as one move: "1.Kc7? a3!"."""
    found: list[Lexeme] = []
    for lexeme in given:
        if lexeme.text == "!" and [each.kind for each in found[-3:]] == ["number", "move", "square"]:
            square, phrase = found[-1], pawn_move(found[-1])
            if phrase is not None and square.span.end == lexeme.span.start:
                text, span = square.text + "!", square.span.to(lexeme.span)
                phrase = read_move(text, offset=span.start)
                found[-1] = Lexeme("move", span, text, phrase=phrase)
                continue
        found.append(lexeme)
    return found


def _is_answered(given: Sequence[Lexeme], index: int, leads: Sequence[tuple[str, ...]] = _LEADS) -> bool:
    """Tell whether a square begins a line or a list and its answer stands behind it and one of some signs."""
    if index and given[index - 1].kind not in _BEGINS:
        return False
    behind = [each.kind for each in given[index + 1 : index + 4]]
    return any(behind[: len(signs) + 1] == [*signs, "move"] for signs in leads)


def _refutes(given: Sequence[Lexeme], index: int) -> bool:
    """Tell whether a square stands right behind words that announce a refutation: "fails to d5"."""
    return index > 0 and given[index - 1].sense("mark") == "refute"


def reply_behind(given: Sequence[Lexeme]) -> MoveNumber | None:
    """Return what number the reply behind a slash would have, where its answer follows: "h6 Qg6 / Kh6 Rh4".

    It is surely a reply where the answer has a number, "Kg5 2.Qf6 / Kh3, g5 2.Qg2". None where none stands there.
    """
    listed = list(takewhile(lambda each: each.kind in (*_MOVES, "comma"), given))
    if not listed or listed[0].kind not in _MOVES:
        return None
    answer = given[len(listed)].number if len(listed) < len(given) else None
    sure = answer is not None and answer.value is not None and not answer.second
    if not sure and [each.kind in _MOVES for each in given[:2]] != [True, True]:
        return None
    return MoveNumber(Span(given[0].span.start, given[0].span.start), None, sure)
