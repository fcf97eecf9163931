"""What the surface of the prover promises, by both provers; and what only the kernel does."""

import threading
import time

import chess
import pytest
from keyproof.rules.board.playable import check_playable
from keyproof.rules.board.stipulation import Stipulation
from keyproof.rules.proof import native
from keyproof.rules.proof.limits import Cancel, Limits
from keyproof.rules.proof.proof import Proof
from keyproof.rules.proof.prover import backend, has_mate, mating_moves, prove, refutations, shortest_mate, tree

BACK_RANK = "6k1/5ppp/8/8/8/8/8/R3K3 w Q - 0 1"  # 1.Ra8 is mate (Laws 1.4.1)
STALEMATE = "7k/5K2/8/6Q1/8/8/8/8 w - - 0 1"
LOYD = "n1rb4/1p3p1p/1p6/1R5K/8/p3p1PN/1PP1R3/N6k w - - 0 1"  # London Era, 1861: a mate in five
LONG = chess.STARTING_FEN  # at #8 a search without end


@pytest.fixture(params=["native", "plain"], autouse=True)
def prover(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> str:
    if request.param == "native" and native.kernel is None:
        pytest.skip("the kernel was not built here")
    monkeypatch.setenv("KEYPROOF_PROVER", request.param)
    assert backend() == request.param
    return str(request.param)


def proof_of(fen: str, symbol: str, **limits: float) -> Proof:
    return prove(chess.Board(fen), Stipulation.parse(symbol), **limits)  # type: ignore[arg-type]


def sans(fen: str, moves: tuple[chess.Move, ...]) -> set[str]:
    board = chess.Board(fen)
    return {board.san(move) for move in moves}


def test_a_mate_in_one() -> None:
    proof = proof_of(BACK_RANK, "#1")
    assert proof.verdict == "sound"
    assert sans(BACK_RANK, proof.keys) == {"Ra8#"}
    assert proof.shortest == 1
    assert proof.play[0].defences == ()
    assert proof.play[0].threats == ()


def test_a_shorter_mate_makes_a_two_mover_unsound() -> None:
    proof = proof_of(BACK_RANK, "#2")
    assert proof.verdict == "unsound"
    assert proof.shortest == 1
    assert proof.keys[0] == chess.Move.from_uci("a1a8")


def test_a_first_move_that_stalemates_is_refuted_without_a_reply() -> None:
    proof = proof_of(STALEMATE, "#1")
    attempt = proof.attempt(chess.Move.from_uci("g5g6"))  # Laws 5.2.1
    assert attempt is not None
    assert attempt.no_reply
    assert attempt.refutations == ()
    assert not attempt.is_try


def test_stalemate_and_mate_are_told_apart_by_refutations() -> None:
    board = chess.Board(STALEMATE)
    board.push_uci("g5g6")
    assert (refutations(board, 1).stalemate, refutations(board, 1).mated) == (True, False)
    board.pop()
    board.push_uci("g5g7")
    assert (refutations(board, 1).stalemate, refutations(board, 1).mated) == (False, True)
    assert refutations(board, 1).moves == ()


def test_stalemate_is_the_aim_where_it_is_asked_for() -> None:
    proof = proof_of(STALEMATE, "=1")
    assert "Qg6" in sans(STALEMATE, proof.keys)
    assert not {"Qg7#", "Qh5#"} & sans(STALEMATE, proof.keys)


SELFMATE = "8/3Q4/1q6/8/KR6/2Rq4/k7/8 w - - 0 1"  # our own: 1.Ra3+ and each capture of the rook mates


def test_selfmate_counts_the_mating_reply_as_the_end() -> None:
    proof = proof_of(SELFMATE, "s#1")
    board = chess.Board(SELFMATE)
    assert sans(SELFMATE, proof.keys) == {"Ra3+"}
    assert proof.play[0].defences
    assert all(defence.ends and not defence.answers for defence in proof.play[0].defences)
    for move in board.legal_moves:
        board.push(move)
        replies = list(board.legal_moves)
        forced = bool(replies) and all(mates(board, reply) for reply in replies)
        assert forced == (move in proof.keys)
        board.pop()


def mates(board: chess.Board, move: chess.Move) -> bool:
    board.push(move)
    try:
        return board.is_checkmate()
    finally:
        board.pop()


def test_reflexmate_fails_where_white_must_mate() -> None:
    proof = proof_of(BACK_RANK, "r#1")  # Ra8 mates, so it must be played: WFCC Codex, Art. 5, by third parties
    assert proof.keys == ()
    assert [attempt.move.uci() for attempt in proof.attempts] == ["a1a8"]
    assert proof.attempts[0].no_reply


def test_help_play() -> None:
    fen = "7k/7p/6pK/8/8/8/8/R7 b - - 0 1"  # 1.g5 Ra8 mate and 1.g5 no other; found by hand
    proof = proof_of(fen, "h#1")
    assert proof.solutions == ((chess.Move.from_uci("g6g5"), chess.Move.from_uci("a1a8")),)
    assert proof.verdict == "sound"
    assert prove(chess.Board(fen), Stipulation("h#", 1), solutions=2).verdict == "unsound"
    assert proof.set_solutions == ((chess.Move.from_uci("a1a8"),),)
    assert proof.as_json()["solutions"] == [["g5", "Ra8#"]]


def test_help_play_of_half_a_move() -> None:
    proof = proof_of(BACK_RANK, "h#0.5")
    assert proof.solutions == ((chess.Move.from_uci("a1a8"),),)
    assert proof.set_solutions == ()


def test_the_side_to_move_attacks_whatever_its_colour() -> None:
    white = chess.Board(BACK_RANK)
    black = white.mirror()
    mirrored = {
        chess.Move(chess.square_mirror(move.from_square), chess.square_mirror(move.to_square)): length
        for move, length in mating_moves(white, 2).lengths.items()
    }
    assert mating_moves(black, 2).lengths == mirrored


def test_lengths_are_exact() -> None:
    board = chess.Board(STALEMATE)
    solved = mating_moves(board, 2)
    assert solved.complete
    assert {move for move, length in solved.lengths.items() if length == 1} == {
        move for move in board.legal_moves if mates(board, move)
    }
    assert set(solved.lengths.values()) == {1, 2}
    assert shortest_mate(board, 2).length == 1
    assert has_mate(chess.Board(), 1) is False


def test_which_reply_defends_against_which_threat() -> None:
    fen = "1q6/3P1Np1/6k1/3NP2R/r4QP1/bB6/7K/1b6 w - - 0 1"  # W. Meredith, Dubuque Chess Journal, November 1886
    (play,) = proof_of(fen, "#2").play
    board = chess.Board(fen)
    board.push(play.move)
    assert len(play.threats) == 2
    for threat in play.threats:
        defended = {defence.move for defence in play.defences_to(threat.move)}
        for reply in board.legal_moves:
            board.push(reply)
            assert (reply in defended) == (threat.move not in board.legal_moves or not mates(board, threat.move))
            board.pop()


def test_changed_play() -> None:
    fen = "8/B2K3Q/5p2/3k4/2p2P2/p6p/r7/b7 w - - 0 1"  # A. G. Corrias, Good Companion, 1917
    proof = proof_of(fen, "#2")
    board = chess.Board(fen)
    board.push(chess.Move.null())
    before = mates_by_reply(board)
    board.pop()
    board.push(proof.keys[0])
    after = mates_by_reply(board)
    changed = {reply for reply in after if before.get(reply) and not before[reply] & after[reply]}
    assert changed
    assert set(proof.changed_play(proof.keys[0])) == changed
    assert proof.changed_play(chess.Move.null()) == ()


def mates_by_reply(board: chess.Board) -> dict[chess.Move, set[chess.Move]]:
    found = {}
    for reply in list(board.legal_moves):
        board.push(reply)
        found[reply] = {move for move in board.legal_moves if mates(board, move)}
        board.pop()
    return found


def test_tree_groups_replies_by_their_answers() -> None:
    board = chess.Board("8/B2K3Q/5p2/3k4/2p2P2/p6p/r7/b7 w - - 0 1")  # A. G. Corrias, Good Companion, 1917
    board.push_san("Qb1")
    branches = list(tree(board, 1))
    assert sorted(move.uci() for branch in branches for move in branch.defences) == sorted(
        move.uci() for move in board.legal_moves
    )
    assert len({branch.answers for branch in branches}) == len(branches)
    assert all(branch.answers for branch in branches)
    branch = branches[0]
    assert list(branch.then(branch.defences[0], branch.answers[0].move)) == []
    with pytest.raises(ValueError, match="no line of this branch"):
        branch.then(chess.Move.null(), branch.answers[0].move)


@pytest.mark.parametrize(
    ("fen", "reason"),
    [
        ("8/8/8/8/8/8/8/4K3 w - - 0 1", "no black king"),
        ("4k3/8/8/8/8/8/8/8 w - - 0 1", "no white king"),
        ("4k3/8/8/8/8/8/8/3KK3 w - - 0 1", "more than one king"),
        ("4k3/8/8/8/8/8/8/P3K3 w - - 0 1", "first or eighth rank"),
        ("4k3/4R3/8/8/8/8/8/4K3 w - - 0 1", "not to move is in check"),
        ("4k3/8/8/8/8/8/8/4K3 w - e6 0 1", "en passant"),
    ],
)
def test_positions_that_cannot_be_played_are_refused(fen: str, reason: str) -> None:
    with pytest.raises(ValueError, match=reason):
        prove(chess.Board(fen), Stipulation("#", 1))
    with pytest.raises(ValueError, match=reason):
        mating_moves(chess.Board(fen), 1)


def test_castling_from_other_squares_is_refused() -> None:
    board = chess.Board("4k3/8/8/8/8/8/8/1R2K1R1 w GB - 0 1", chess960=True)
    with pytest.raises(ValueError, match="castle only from their squares"):
        prove(board, Stipulation("#", 1))


def test_positions_no_game_can_reach_are_proved() -> None:
    fen = "1QQQQQ2/8/8/8/8/8/5K1p/7k w - - 0 1"
    check_playable(chess.Board(fen))
    assert proof_of(fen, "#1").keys


@pytest.mark.parametrize("effort", [0, -1, float("nan"), float("inf")])
def test_effort_must_be_a_positive_number(effort: float) -> None:
    with pytest.raises(ValueError, match="effort"):
        proof_of(BACK_RANK, "#1", effort=effort)


def test_lengths_out_of_range_are_refused() -> None:
    with pytest.raises(ValueError, match="number of moves"):
        mating_moves(chess.Board(BACK_RANK), 0)
    with pytest.raises(ValueError, match="number of moves"):
        refutations(chess.Board(BACK_RANK), 51)


def test_a_spent_budget_says_unproved_and_how_far_it_got() -> None:
    proof = proof_of(LOYD, "#5", effort=0.0005)
    assert proof.verdict == "unproved"
    assert not proof.searched.complete
    assert "first moves decided" in proof.searched.reached
    assert proof.searched.positions <= 501
    assert not mating_moves(chess.Board(LOYD), 5, effort=0.0005).complete
    assert has_mate(chess.Board(LOYD), 5, effort=0.0005) is None


@pytest.mark.parametrize("effort", [0.0001, 0.0002, 0.0005])
def test_what_a_spent_budget_leaves_is_true(effort: float) -> None:
    """Each finding of a search cut short is one of the whole search."""
    fen = "8/B2K3Q/5p2/3k4/2p2P2/p6p/r7/b7 w - - 0 1"  # A. G. Corrias, Good Companion, 1917
    whole, part = proof_of(fen, "#2"), proof_of(fen, "#2", effort=effort)
    assert set(part.keys) <= set(whole.keys)
    for attempt in part.attempts:
        known = whole.attempt(attempt.move)
        assert known is not None
        assert set(attempt.refutations) <= set(known.refutations)


def test_a_spent_second_ends_the_search() -> None:
    proof = proof_of(LONG, "#8", effort=1e6, seconds=0.2)  # a million million positions would take days
    assert proof.verdict == "unproved"
    assert proof.searched.positions < 10**9


def test_a_cancelled_search_ends_within_a_thousand_positions() -> None:
    cancel = Cancel()
    cancel.cancel()
    proof = prove(chess.Board(LONG), Stipulation("#", 8), effort=1e6, cancel=cancel)
    assert proof.verdict == "unproved"
    assert proof.searched.positions <= 1000


def test_a_search_is_cancelled_while_it_runs() -> None:
    cancel = Cancel()
    found: list[Proof] = []

    def search() -> None:
        found.append(prove(chess.Board(LONG), Stipulation("#", 8), effort=1e6, cancel=cancel))

    worker = threading.Thread(target=search)
    worker.start()
    time.sleep(0.1)  # likely under way; if not, it is cancelled as it begins
    assert not found
    cancel.cancel()
    worker.join(60)
    assert found[0].verdict == "unproved"


def test_several_searches_at_once_do_not_disturb_each_other(prover: str) -> None:
    if prover == "plain":
        pytest.skip("the interpreter lock lets only one run at a time")
    boards = [chess.Board(BACK_RANK), chess.Board(LOYD), chess.Board(STALEMATE)]
    alone = [mating_moves(board, 3) for board in boards]
    together: list[object] = [None] * 9

    def search(at: int) -> None:
        together[at] = mating_moves(boards[at % 3], 3)

    workers = [threading.Thread(target=search, args=(at,)) for at in range(9)]
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join()
    assert together == alone * 3


def test_the_lock_is_released_while_the_kernel_searches(prover: str) -> None:
    if prover == "plain":
        pytest.skip("plain Python holds the lock")
    cancel = Cancel()
    began, ended = threading.Event(), threading.Event()

    def search() -> None:
        began.set()
        native.lengths(chess.Board(LONG), 8, Limits(10**9, None, cancel))  # minutes
        ended.set()

    worker = threading.Thread(target=search)
    worker.start()
    began.wait()
    for _ in range(1000):  # with the lock held all of this would come after the search
        time.sleep(0)
    assert not ended.is_set()
    cancel.cancel()
    worker.join()


def test_json_has_every_promised_field() -> None:
    data = proof_of("3k4/8/3K4/8/8/8/8/7R w - - 0 1", "#1").as_json()
    assert data["verdict"] == "sound"
    assert data["keys"] == ["Rh8#"]
    assert list(data) == [
        "keyproof", "fen", "stipulation", "verdict", "keys", "shortest", "tries", "threats", "zugzwang",
        "defences", "set_play", "solutions", "set_solutions", "searched",
    ]  # fmt: skip
    assert data["set_play"] == [{"move": "Kc8", "answers": []}, {"move": "Ke8", "answers": []}]


def test_a_side_without_a_move_has_nothing_to_prove() -> None:
    assert proof_of("7k/5KQ1/8/8/8/8/8/8 b - - 0 1", "#1").verdict == "impossible"
