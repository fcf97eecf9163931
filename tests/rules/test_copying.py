"""A board copied without its past is the one that python-chess copies."""

import chess
import pytest
from keyproof.rules.board.copying import without_past

FENS = (
    chess.STARTING_FEN,
    "r3k2r/pppp1ppp/8/4p3/3PP3/8/PPP2PPP/R3K2R b KQkq d3 3 7",
    "8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1",
)


@pytest.mark.parametrize("fen", FENS)
def test_a_copy_is_the_same_board_without_the_moves_before(fen: str) -> None:
    board = chess.Board(fen)
    board.push(next(iter(board.legal_moves)))
    copied, theirs = without_past(board), board.copy(stack=False)
    assert (copied, copied.move_stack, copied._stack) == (theirs, [], [])
    assert (copied.halfmove_clock, copied.fullmove_number) == (theirs.halfmove_clock, theirs.fullmove_number)


@pytest.mark.parametrize("fen", FENS)
def test_what_is_played_on_a_copy_leaves_the_board_alone(fen: str) -> None:
    board = chess.Board(fen)
    copied = without_past(board)
    for move in board.legal_moves:
        copied.push(move)
        assert board.fen() == chess.Board(fen).fen()
        assert not board.move_stack
        copied.pop()
    assert copied == board
