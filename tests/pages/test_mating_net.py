"""Why it is mate. Positions are invented; what must come out follows from the FIDE Laws articles named."""

import chess
import pytest
from keyproof.rules.play.mating_net import mating_net, sentences

from .conftest import mates


def said_of(fen: str) -> list[str]:
    board = chess.Board(fen)
    return sentences(board, mating_net(board))


def test_a_line_does_not_end_at_the_king() -> None:
    # Laws 3.3 and 3.9.2: h8 lies behind the king on the rook's rank.
    assert said_of("4R1k1/5ppp/8/8/8/8/8/6K1 b - - 0 1") == [
        "The rook on e8 gives check, guards f8 and guards h8 through the king's own square.",
        "Black's own pawns block f7, g7 and h7.",
    ]


def test_a_pinned_man_guards() -> None:
    # Laws 3.1.3: the knight is pinned by the rook on f8 and protects the queen all the same.
    assert said_of("5rk1/6Q1/8/5N2/8/8/8/5K2 b - - 0 1") == [
        "The queen on g7 gives check and guards f7, h7 and h8.",
        "The knight on f5 protects the queen on g7.",
        "Black's own rook blocks f8.",
    ]


def test_double_check() -> None:
    # Laws 3.9.2: one move of another man cannot meet two checks; the pinned or unpinned do not matter.
    assert said_of("3qkb2/3p1p2/5N2/8/8/8/8/K3R3 b - - 0 1") == [
        "The rook on e1 and the knight on f6 give check together, so only the king could move.",
        "The rook on e1 guards e7.",
        "Black's own pawns block d7 and f7.",
        "Black's own queen blocks d8.",
        "Black's own bishop blocks f8.",
    ]


@pytest.mark.parametrize(
    ("fen", "said"),
    [
        # corpus/demo column 01, no. 3: "2.Qxb6#, because the pawn on c7 is pinned by the rook".
        (
            "2R2n2/1pp5/1Q6/p1kN4/8/1P3B1p/8/3K4 b - - 0 1",
            "The pawn on c7 cannot capture on b6, because it is pinned by the rook on c8.",
        ),
        # corpus/demo column 01, no. 5: "2.Rd8#, and the pinned bishop cannot come to d4".
        (
            "3R4/8/5N2/8/2p2p2/3kbQ2/1K4p1/6N1 b - - 0 1",
            "The bishop on e3 cannot step between on d4, because it is pinned by the queen on f3.",
        ),
        # Laws 3.7.3.1 and 3.9.2: the pawn on e4 may not leave the file of the rook in passing.
        (
            "3Q4/8/8/4k3/3Pp3/7B/8/K3RR2 b - d3 0 1",
            "The pawn on e4 cannot capture en passant on d3, because it is pinned by the rook on e1.",
        ),
    ],
)
def test_a_pinned_man_cannot_help(fen: str, said: str) -> None:
    assert said in said_of(fen)


def test_no_mate_no_net() -> None:
    with pytest.raises(ValueError, match="not mated"):
        mating_net(chess.Board())


def test_every_square_of_the_field_has_its_reason() -> None:
    """On each square of the field the king would stand on its own man, or in check from the men said to guard it."""
    seen = 0
    for board in mates():
        net = mating_net(board)
        assert {each.square for each in net.field} == set(chess.SquareSet(chess.BB_KING_ATTACKS[net.king]))
        for each in net.field:
            moved = board.copy(stack=False)
            moved.remove_piece_at(net.king)
            own = moved.piece_at(each.square)
            assert (each.block is not None) == (own is not None and own.color == board.turn)
            if each.block is not None:
                continue
            moved.set_piece_at(each.square, chess.Piece(chess.KING, board.turn))
            assert moved.checkers() == chess.SquareSet(each.guards)
            assert each.guards
            for guard in each.through_king:
                assert net.king in chess.SquareSet.between(guard, each.square)
            seen += 1
    assert seen > 500
