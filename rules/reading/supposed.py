"""The key that a text does not tell in words that were understood.

Where no move of a text is called the key in so many words and the proof knows the only one, the text may still be
about it: "the winning move is too obvious to print". Then every later line hangs from a wrong first move. The text
is read once more as if the key stood before it, and that reading counts if it explains more of what is said.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import chess
from keyproof.grammar.moves import MovePhrase
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import Break, Marker, MoveNumber, Statement, Turn

from ..proof.proof import Proof
from .reading import Mention, Reading, Role, State


def with_supposed_key(
    first: Reading, given: Sequence[Statement], proof: Proof | None, read: Callable[[Sequence[Statement]], Reading]
) -> Reading:
    """Return `first`, or the reading that supposes the key of `proof` where that one explains more."""
    if proof is None or len(proof.keys) != 1 or not first.mentions or _tells_a_key(first, proof.keys[0]):
        return first
    start = Span(given[0].span.start, given[0].span.start)
    second = read([*_told(first.diagram.board, proof.keys[0], start), *given])
    supposed = next((m for m in second.mentions if m.phrase.span == start), None)
    if supposed is None or not supposed.after or _unexplained(second) >= _unexplained(first):
        return first
    second.leave_out(supposed)
    second.supposed = supposed.after[0]
    return second


def _tells_a_key(reading: Reading, key: chess.Move) -> bool:
    """Tell whether a first move is called the key, or is the key."""
    told = [m for m in reading.mentions if m.role is Role.key and m.at and m.at[0] is reading.diagram]
    return any(
        m.marked or not m.phrase.worded or "if" not in m.intro or any(node.move == key for node in m.after)
        for m in told
    )


def _told(board: chess.Board, key: chess.Move, place: Span) -> list[Statement]:
    """Return the statements that tell the key, of no extent, at the beginning of the text."""
    phrase = MovePhrase(
        place,
        "",
        piece=board.piece_type_at(key.from_square),
        origin_file=chess.square_file(key.from_square),
        origin_rank=chess.square_rank(key.from_square),
        destination=key.to_square,
        capture=board.is_capture(key),
        promotion=key.promotion,
        castling=_castling(board, key),
    )
    number = MoveNumber(place, 1, board.turn == chess.BLACK)
    return [Marker("key", place), Turn(place, number, (phrase,)), Break("stop", place)]


def _castling(board: chess.Board, key: chess.Move) -> str | None:
    if not board.is_castling(key):
        return None
    return "short" if board.is_kingside_castling(key) else "long"


def _unexplained(reading: Reading) -> int:
    """Return how much of what is said of play has no place in it, or is not true there."""
    return len(reading.not_understood) + sum(map(_amiss, reading.mentions))


def _amiss(mention: Mention) -> bool:
    return mention.state is not State.read or any(not nodes for _, nodes in mention.ways)
