"""The kernel and the plain prover say the same of random positions, in everything they say."""

from collections.abc import Iterable

import chess
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from keyproof.rules.board.stipulation import Genre
from keyproof.rules.proof import native
from keyproof.rules.proof.limits import Limits, Meter
from keyproof.rules.proof.plain import Attack, Help
from keyproof.rules.proof.proof import Answer
from oracle import assert_agrees, kept
from proof_boards import crowded, drawn, game, lonely_king, lost_king, sparse

pytest.importorskip("keyproof.rules.proof.kernel._search", reason="the kernel was not built here")

NO_LIMIT = Limits(10**15)
few = settings(max_examples=settings.default.max_examples // 2)
"""For what takes the plain prover longest."""


def assert_same(board: chess.Board, genre: Genre, n: int) -> None:
    fast, found = native.prove(board, genre, n, NO_LIMIT)
    assert not found.ended
    assert_agrees(fast, f"{genre}{n}", board, lambda: Attack(board.copy(), genre, Meter(NO_LIMIT)).prove(n))


@given(drawn(game, crowded, sparse, lost_king))
def test_mates_in_one(board: chess.Board) -> None:
    assert_same(board, "#", 1)


@given(drawn(sparse, lost_king))
def test_mates_in_two(board: chess.Board) -> None:
    assert_same(board, "#", 2)


@few
@given(drawn(game, crowded))
def test_mates_in_two_among_many_men(board: chess.Board) -> None:
    assert_same(board, "#", 2)


@pytest.mark.slow
@few
@given(drawn(lonely_king))
def test_mates_in_three(board: chess.Board) -> None:
    assert_same(board, "#", 3)


@given(drawn(game, crowded, lost_king), st.sampled_from(["s#", "r#", "="]))
def test_other_attacks_in_one(board: chess.Board, genre: Genre) -> None:
    assert_same(board, genre, 1)


@few
@given(drawn(lonely_king), st.sampled_from(["s#", "r#", "="]))
def test_other_attacks_in_two(board: chess.Board, genre: Genre) -> None:
    assert_same(board, genre, 2)


def assert_same_lines(board: chess.Board, genre: Genre, plies: int) -> None:
    fast, _ = native.help_lines(board, genre, plies, NO_LIMIT, most=10**6)
    lines = Help(board.copy(), genre, Meter(NO_LIMIT)).lines
    assert_agrees(fast, f"{genre} in {plies} plies", board, lambda: tuple(lines(plies)))


@given(drawn(sparse, lost_king), st.sampled_from(["h#", "h="]), st.integers(1, 2))
def test_help_play(board: chess.Board, genre: Genre, plies: int) -> None:
    assert_same_lines(board, genre, plies)


@pytest.mark.slow
@few
@given(drawn(lonely_king), st.sampled_from(["h#", "h="]), st.integers(3, 4))
def test_longer_help_play(board: chess.Board, genre: Genre, plies: int) -> None:
    assert_same_lines(board, genre, plies)


@pytest.mark.parametrize(
    "fen",
    [  # found by random trials, with the plain prover to judge: few lines, and rare ways to mate
        "8/8/7K/8/R2PpN1k/8/6P1/8 b - d3 0 1",  # en passant takes two pawns from a line at once
        "2N3N1/3p4/2k1P3/2P5/1K2B3/8/8/8 b - - 0 1",  # White captures en passant
        "8/8/1p3Q2/8/k7/2K5/8/8 b - - 0 1",  # Black stops a flight of his king
        "8/8/3Q4/8/3K4/8/1p6/k7 b - - 0 1",  # ... by a promotion
        "3k4/8/1K6/8/6R1/1n5B/8/8 b - - 0 1",  # double check
        "8/8/8/4Q3/2k5/8/B7/R3K3 b Q - 0 1",  # castling
        "8/8/2B5/8/8/5K2/1P5p/4B1k1 b - - 0 1",  # the king opens a line
        "8/1P1R4/P2k4/8/KP1B4/8/8/8 b - - 0 1",  # promotion to a knight
        "3k4/P7/3K4/8/8/8/8/8 b - - 0 1",  # promotion to a queen or rook
        "2N5/k7/2P5/1P6/4B3/6K1/6P1/8 b - - 0 1",  # a pawn opens a line
        "1B6/8/8/8/8/6K1/2Qk4/8 b - - 0 1",  # a bishop, while the queen guards
    ],
)
def test_rare_ways_to_help(fen: str) -> None:
    board = chess.Board(fen)
    assert native.help_lines(board, "h#", 2, NO_LIMIT, most=10)[0]
    assert_same_lines(board, "h#", 2)


@given(drawn(lonely_king), st.integers(1, 2))
def test_lengths_of_all_mating_moves(board: chess.Board, n: int) -> None:
    fast, _ = native.lengths(board, n, NO_LIMIT)
    answers = Attack(board, "#", Meter(NO_LIMIT)).answers
    assert_agrees(sorted(fast.items(), key=str), f"lengths up to {n}", board, lambda: listed(answers(n)))


def listed(answers: Iterable[Answer]) -> list[tuple[chess.Move, int]]:
    return sorted(((answer.move, answer.length) for answer in answers), key=str)


@given(drawn(lonely_king, lost_king))
def test_replies_that_hold(board: chess.Board) -> None:
    for move in list(board.legal_moves)[:3]:
        board.push(move)
        fast, _ = native.replies(board, 1, NO_LIMIT)
        assert_agrees(fast, "refutations of 1", board, lambda: Attack(board, "#", Meter(NO_LIMIT)).refutations(1)[0])
        board.pop()


def test_the_answers_kept_are_those_of_this_plain_prover() -> None:
    assert kept(), "another plain prover: renew them (see tests/proof/oracle.py)"
