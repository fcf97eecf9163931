"""The kernel and the plain prover say the same of random positions, in everything they say."""

import chess
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from keyproof.rules import native
from keyproof.rules.limits import Limits, Meter
from keyproof.rules.plain import Attack, Help
from keyproof.rules.stipulation import Genre
from proof_boards import crowded, drawn, game, lonely_king, lost_king, sparse

pytest.importorskip("keyproof.rules.kernel._search", reason="the kernel was not built here")

NO_LIMIT = Limits(10**15)
fewer = settings(max_examples=40)


def assert_same(board: chess.Board, genre: Genre, n: int) -> None:
    slow = Attack(board.copy(), genre, Meter(NO_LIMIT)).prove(n)
    fast, found = native.prove(board, genre, n, NO_LIMIT)
    assert fast == slow
    assert not found.ended


@given(drawn(game, crowded, sparse, lost_king))
def test_mates_in_one(board: chess.Board) -> None:
    assert_same(board, "#", 1)


@given(drawn(sparse, lost_king))
def test_mates_in_two(board: chess.Board) -> None:
    assert_same(board, "#", 2)


@fewer
@given(drawn(game, crowded))
def test_mates_in_two_among_many_men(board: chess.Board) -> None:
    assert_same(board, "#", 2)


@pytest.mark.slow
@fewer
@given(drawn(lonely_king))
def test_mates_in_three(board: chess.Board) -> None:
    assert_same(board, "#", 3)


@given(drawn(game, crowded, lost_king), st.sampled_from(["s#", "r#", "="]))
def test_other_attacks_in_one(board: chess.Board, genre: Genre) -> None:
    assert_same(board, genre, 1)


@fewer
@given(drawn(lonely_king), st.sampled_from(["s#", "r#", "="]))
def test_other_attacks_in_two(board: chess.Board, genre: Genre) -> None:
    assert_same(board, genre, 2)


def assert_same_lines(board: chess.Board, genre: Genre, plies: int) -> None:
    slow = tuple(Help(board.copy(), genre, Meter(NO_LIMIT)).lines(plies))
    fast, _ = native.help_lines(board, genre, plies, NO_LIMIT, most=10**6)
    assert fast == slow


@given(drawn(sparse, lost_king), st.sampled_from(["h#", "h="]), st.integers(1, 2))
def test_help_play(board: chess.Board, genre: Genre, plies: int) -> None:
    assert_same_lines(board, genre, plies)


@pytest.mark.slow
@settings(max_examples=20)
@given(drawn(lonely_king), st.sampled_from(["h#", "h="]), st.integers(3, 4))
def test_longer_help_play(board: chess.Board, genre: Genre, plies: int) -> None:
    assert_same_lines(board, genre, plies)


@given(drawn(lonely_king), st.integers(1, 2))
def test_lengths_of_all_mating_moves(board: chess.Board, n: int) -> None:
    fast, _ = native.lengths(board, n, NO_LIMIT)
    assert fast == {answer.move: answer.length for answer in Attack(board, "#", Meter(NO_LIMIT)).answers(n)}


@given(drawn(lonely_king, lost_king))
def test_replies_that_hold(board: chess.Board) -> None:
    for move in list(board.legal_moves)[:3]:
        board.push(move)
        fast, _ = native.replies(board, 1, NO_LIMIT)
        assert fast == Attack(board, "#", Meter(NO_LIMIT)).refutations(1)[0]
        board.pop()
