"""What diagram and text tell of the moves before it: castling that is lost, a capture en passant that is open."""

from collections.abc import Iterable

import chess
from keyproof.grammar.document import Diagram
from keyproof.grammar.last_moves import speaks_of_passing, tells_double_step
from keyproof.grammar.spans import Span

from ..board.stipulation import Stipulation
from ..proof import prover
from ..retro import rights

_TWO_MOVES = Stipulation("#", 2)
_EFFORT = 2


def with_the_past(board: chess.Board, diagram: Diagram, as_stated: bool, masked: str, text: Iterable[Span]) -> None:
    """Take from a board the castling that is proved lost, and open the capture en passant of a double step.

    A double step is one that is proved (WFCC Codex 16(2)) or that the puzzle's `text` tells. `as_stated`: the fields
    of a FEN count whatever the diagram proves.
    """
    if diagram.castling is None or not as_stated:
        for right in rights.judge(board).lost:
            board.castling_rights &= ~chess.BB_SQUARES[right.rook]
    if board.ep_square is not None or (diagram.has_en_passant_field and as_stated):
        return
    text = tuple(text)
    possible = []
    for square in rights.en_passant_squares(board):
        judged = rights.en_passant(board, square)
        told = tells_double_step(masked, text, not board.turn, chess.square_file(square))
        if judged.proved or (told and not judged.impossible):
            board.ep_square = square
        elif not judged.impossible:
            possible.append(square)
    if board.ep_square is None and possible and speaks_of_passing(masked, text):
        board.ep_square = _needed(board, possible)


def _needed(board: chess.Board, squares: Iterable[chess.Square]) -> chess.Square | None:
    """Return the square on which a capture en passant must be open for the position to have its one key.

    Hardly ever by chance has a position no key without the capture and exactly one with it: then a text that speaks of
    such a capture, in whatever words, says that it is open.
    """
    if not board.is_valid() or _keys(board):
        return None
    found = []
    for square in squares:
        opened = board.copy(stack=False)
        opened.ep_square = square
        if _keys(opened) == 1:
            found.append(square)
    return found[0] if len(found) == 1 else None


def _keys(board: chess.Board) -> int:
    """Return how many first moves mate in two."""
    return len(prover.prove(board, _TWO_MOVES, effort=_EFFORT).keys)
