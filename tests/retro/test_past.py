"""Positions that no game reaches, and, far more, positions that some game does."""

import json
from pathlib import Path

import chess
import pytest
from hypothesis import given
from keyproof.rules.retro.men import Men
from keyproof.rules.retro.origins import origins
from keyproof.rules.retro.past import contradiction
from keyproof.rules.retro.pawns import least_captures
from strategies import game, positions

PUBLISHED = [
    json.loads(line)
    for line in (Path(__file__).parents[1] / "data" / "published.jsonl").read_text("utf-8").splitlines()
]


@given(positions(sources=(game,)))
def test_a_position_of_a_game_is_never_called_impossible(board: chess.Board) -> None:
    assert contradiction(board) is None


@given(positions(sources=(game,)))
def test_a_man_that_was_not_promoted_is_never_called_so(board: chess.Board) -> None:
    promoted = {chess.WHITE: 0, chess.BLACK: 0}
    for ply, move in enumerate(board.move_stack):
        promoted[ply % 2 == 0] += move.promotion is not None
    for colour in chess.COLORS:
        assert origins(Men(board), colour).count <= promoted[colour]


@pytest.mark.parametrize("row", PUBLISHED, ids=lambda row: f"{row['composer']}, {row['year']}")
def test_published_positions(row: dict[str, str]) -> None:
    """One of the published problems is known, and said by its source, not to be reachable."""
    unreachable = "not reachable" in row["source"]
    assert (contradiction(chess.Board(row["fen"])) is not None) == unreachable


IMPOSSIBLE = [
    # FIDE Laws 3.7.3: a pawn leaves its file only by capturing.
    ("rnbqkbnr/pppppppp/8/8/8/P7/P1PPPPPP/RNBQKBNR w - - 0 1", "need at least 1 capture"),
    # 3.7.1 and 3.7.3: two pawns of one file do not pass each other unless somebody captures.
    ("rnbqkbnr/1ppppppp/8/P7/p7/8/1PPPPPPP/RNBQKBNR w - - 0 1", "passed one another"),
    # The same in promoting: all men are there but for one pawn that became a queen.
    ("rnbqkbnr/1ppppppp/p7/8/8/4Q3/1PPPPPPP/RNBQKBNR w - - 0 1", "passed one another"),
    # 3.7.3: from the second rank to the third a pawn changes its file once at most.
    ("4k3/8/8/8/8/PP6/PP6/4K3 w - - 0 1", "cannot all come from the second rank"),
    # 3.7.3.3: a ninth piece beside eight pawns.
    ("4k3/8/8/8/8/4B3/PPPPPPPP/4K3 w - - 0 1", "the white bishop on e3 is promoted (the original never left c1)"),
    ("4k3/8/8/8/8/8/PPPPPPPP/RNBQKB1Q w - - 0 1", "the white queen on h1"),
    # 3.3 and 3.4: the pawns on b7, d7, e7 and g7 have let neither bishop nor rook out, and none in.
    ("kb6/p1p5/8/8/8/8/8/7K w - - 0 1", "the black bishop on b8 can neither be an original one nor a promoted one"),
    # 3.9.2: a king never steps beside an unmoved pawn where it is attacked.
    ("8/8/8/8/8/3k4/4P3/4K3 b - - 0 1", "the black king cannot have come to d3"),
    # 3.9.1 and 1.1: one move gives one check, or two by uncovering a line.
    ("4k3/8/8/8/8/8/8/r3K2r w - - 0 1", "no move by Black can have given the check to the king on e1"),
    ("4k3/8/8/8/8/3n1n2/8/4K3 w - - 0 1", "from the knight on d3 and the knight on f3"),
    ("3RkR2/8/8/8/8/8/8/4K3 b - - 0 1", "no move by White can have given the check"),
    # 3.7.1: all black men are pawns on their first squares, and the king's way back is closed.
    ("5brk/4p1pp/8/8/8/8/8/7K w - - 0 1", "no black man can have moved last"),
]
POSSIBLE = [
    ("rnbqkbnr/1ppppppp/8/8/8/P7/P1PPPPPP/RNBQKBNR w - - 0 1", "one black man is missing: bxa3"),
    ("rnbqkbnr/1ppppppp/8/8/8/4Q3/1PPPPPPP/RNBQKBNR w - - 0 1", "the a-pawn is gone, so White's was promoted"),
    ("4k3/8/8/8/8/2n5/8/R3K3 w - - 0 1", "nothing but Nb1-c3 and its like"),
    ("4k3/8/4r3/8/8/5n2/8/4K3 w - - 0 1", "the knight left the rook's file: two checks by one move"),
    ("4k3/8/8/8/8/4B3/PPP1PPPP/4K3 w - - 0 1", "the d-pawn is gone, so the bishop came out"),
    ("8/8/8/8/8/8/8/K1k5 w - - 0 1", "two kings"),
    ("rnbqkbnr/pppppppp/8/8/8/8/PPPPPPPP/RNBQKBNR w KQkq - 0 1", "the initial array has no last move and needs none"),
    ("rnbqkbnr/pppppppp/8/8/8/8/PPPPPPPP/RNBQKBNR b KQkq - 0 1", "a rook lost a move behind a knight"),
    ("4k3/8/8/8/8/8/3p4/4K3 w - - 0 1", "a pawn's check from c3 or e3"),
    ("1Q2k3/8/8/8/8/8/8/4K3 b - - 0 1", "a pawn was promoted with check"),
]


@pytest.mark.parametrize(("fen", "reason"), IMPOSSIBLE)
def test_impossible(fen: str, reason: str) -> None:
    found = contradiction(chess.Board(fen))
    assert found is not None
    assert reason in found.reason


@pytest.mark.parametrize(("fen", "reason"), IMPOSSIBLE)
def test_the_mirror_of_an_impossible_position_is_impossible(fen: str, reason: str) -> None:
    """FIDE Laws 2 and 3: but for the colours both sides play by the same rules."""
    assert contradiction(chess.Board(fen).mirror()) is not None


@pytest.mark.parametrize(("fen", "reason"), POSSIBLE)
def test_possible(fen: str, reason: str) -> None:
    assert contradiction(chess.Board(fen)) is None, reason


@given(positions())
def test_colours_make_no_difference(board: chess.Board) -> None:
    """A board and its mirror get one verdict, but for the initial array: there White begins."""
    if board.board_fen() != chess.STARTING_BOARD_FEN:
        assert (contradiction(board) is None) == (contradiction(board.mirror()) is None)


@pytest.mark.parametrize(
    ("pawns", "captures"),
    # Laws 3.7.3: one file for each capture. a2, a3, a4 come from a, b and c: 0 + 1 + 2.
    [("a2 b2", 0), ("a2 a3 a4", 3), ("d4 e5", 0), ("h7 h6", 1), ("d3 d4 d5", 2)],
)
def test_least_captures(pawns: str, captures: int) -> None:
    mask = sum(chess.BB_SQUARES[chess.parse_square(square)] for square in pawns.split())
    assert least_captures(mask, chess.WHITE) == captures
