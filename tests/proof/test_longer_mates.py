"""Longer mates follow from shorter ones: what one search says of #4 is what searches of each #3 in it say.

The plain prover takes minutes for one #4. So it judges the shorter ones (test_agreement.py), which keep nothing in
memory and hardly choose between replies, and these judge the longer.
"""

import chess
import pytest
from hypothesis import given, settings
from keyproof.rules.proof import native
from keyproof.rules.proof.limits import Limits
from proof_boards import crowded, drawn, lonely_king, lost_king, sparse

pytest.importorskip("keyproof.rules.proof.kernel._search", reason="the kernel was not built here")

NO_LIMIT = Limits(10**15)


def least(board: chess.Board, n: int) -> int | None:
    """Return the length of the shortest mate up to n moves, found anew for this position alone."""
    return native.shortest(board, n, NO_LIMIT)[0]


def holding(board: chess.Board, n: int) -> tuple[tuple[chess.Move, ...], int]:
    """Return the replies after which there is no mate within n moves, and else the length of the longest defence."""
    replies, longest = [], 0
    for reply in sorted(board.legal_moves, key=chess.Move.uci):
        board.push(reply)
        length = least(board, n)
        board.pop()
        if length is None:
            replies.append(reply)
        else:
            longest = max(longest, length)
    return tuple(replies), longest


def assert_follows(board: chess.Board, n: int) -> None:
    """Compare all that is said of first moves with what is said of each position two plies on, one move shorter."""
    said, found = native.prove(board, "#", n, NO_LIMIT)
    assert not found.ended
    lengths = {key.move: key.length for key in said.keys}
    refuting = {attempt.move: attempt for attempt in said.attempts}
    assert len(lengths) + len(refuting) == board.legal_moves.count()
    for move in list(board.legal_moves):
        board.push(move)
        replies, longest = holding(board, n - 1)
        if not any(board.legal_moves):
            assert (move in lengths) == board.is_check()
        elif replies:
            assert refuting[move].refutations == replies
        else:
            assert lengths[move] == longest + 1
        board.pop()


@given(drawn(lonely_king, lost_king, sparse, crowded))
def test_mates_in_four(board: chess.Board) -> None:
    assert_follows(board, 4)


@pytest.mark.slow
@settings(max_examples=settings.default.max_examples // 2)
@given(drawn(lonely_king, sparse))
def test_mates_in_five(board: chess.Board) -> None:
    assert_follows(board, 5)
