"""A board copied without its past is the one that python-chess copies."""

from random import Random

import chess
import pytest
from keyproof.rules.board.copying import after, without_past

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


def state(board: chess.Board) -> dict[str, object]:
    """Return all that a board is, in a form that can be compared."""
    return vars(board) | {"_stack": [vars(each) for each in board._stack]}


STARTS = (*FENS, "k7/2P1p1P1/8/3P4/4p3/8/1p1P1p2/K7 w - - 12 30", "4k2r/6P1/8/8/8/8/1p6/R3K3 w Qk - 0 1")


@pytest.mark.parametrize("fen", STARTS)
def test_a_move_on_a_copy_is_the_one_that_python_chess_makes(fen: str) -> None:
    for seed in range(6):
        random, board = Random(seed), chess.Board(fen)
        for _ in range(40):
            moves = [*board.legal_moves]
            if not moves:
                break
            for move in (*moves, chess.Move.null()):
                theirs, before = board.copy(stack=False), state(board.copy(stack=False))
                theirs.push(move)
                assert state(after(board, move)) == state(theirs)
                assert state(board) == before
            board = after(board, random.choice(moves)).copy(stack=False)


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
