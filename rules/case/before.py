"""What diagram and text tell of the moves before it: castling that is lost, a capture en passant that is open."""

from collections.abc import Iterable

import chess
from keyproof.grammar.document import Diagram
from keyproof.grammar.last_moves import tells_double_step
from keyproof.grammar.spans import Span

from ..retro import rights


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
    for square in rights.en_passant_squares(board):
        judged = rights.en_passant(board, square)
        told = tells_double_step(masked, text, not board.turn, chess.square_file(square))
        if judged.proved or (told and not judged.impossible):
            board.ep_square = square
