"""Published problems have exactly the key that was printed; printed errors are found.

Sources stand in tests/data beside each row.
"""

import json
from pathlib import Path
from typing import Any

import chess
import pytest
from keyproof.rules.board.stipulation import Stipulation
from keyproof.rules.proof.prover import backend, prove, refutations

DATA = Path(__file__).parent.parent / "data"


def rows(name: str) -> list[dict[str, Any]]:
    return [json.loads(line) for line in (DATA / name).read_text().splitlines()]


def label(row: dict[str, Any]) -> str:
    return f"{row.get('key_san') or row['printed_key']} {row['source'][:40]}"


@pytest.mark.parametrize("row", rows("published.jsonl"), ids=label)
def test_printed_key_is_the_only_one(row: dict[str, Any]) -> None:
    board, stipulation = chess.Board(row["fen"]), Stipulation.parse(row["stipulation"])
    if backend() == "plain" and stipulation.moves > 2:
        pytest.skip("takes the plain prover minutes")
    proof = prove(board, stipulation)
    assert proof.verdict == "sound"
    assert [board.san(key) for key in proof.keys] == [row["key_san"]]
    assert proof.shortest == stipulation.moves
    assert proof.searched.complete
    assert len(proof.attempts) == board.legal_moves.count() - 1
    for attempt in proof.attempts:
        assert attempt.refutations or attempt.no_reply


@pytest.mark.parametrize("row", rows("misprints.jsonl"), ids=label)
def test_printed_errors_are_found(row: dict[str, Any]) -> None:
    board, stipulation = chess.Board(row["fen"]), Stipulation.parse(row["stipulation"])
    if backend() == "plain" and stipulation.moves > 2:
        pytest.skip("takes the plain prover minutes")
    proof = prove(board, stipulation)
    assert [board.san(key) for key in proof.keys] == row["true_keys"]
    if row["printed_key_legal"]:
        move = board.parse_san(row["printed_key"])
        attempt = proof.attempt(move)
        assert attempt is not None
        board.push(move)
        assert {board.san(reply) for reply in attempt.refutations} == set(row["refutations_of_printed_key"])
        assert refutations(board, stipulation.moves - 1).moves == attempt.refutations
    else:
        with pytest.raises(chess.IllegalMoveError):
            board.parse_san(row["printed_key"])


def test_every_answer_can_be_replayed() -> None:
    """Each length of a two-mover is confirmed move by move with the library alone."""
    for row in rows("published.jsonl"):
        if row["stipulation"] != "#2":
            continue
        board = chess.Board(row["fen"])
        (play,) = prove(board, Stipulation("#", 2)).play
        board.push(play.move)
        assert {defence.move for defence in play.defences} == set(board.legal_moves)
        for defence in play.defences:
            board.push(defence.move)
            assert {answer.move for answer in defence.answers} == set(mates_in_one(board))
            board.pop()
        if not board.is_check():
            board.push(chess.Move.null())
            assert {threat.move for threat in play.threats} == set(mates_in_one(board))
            assert play.zugzwang == (not play.threats)
        else:
            assert not play.threats
            assert not play.zugzwang


def mates_in_one(board: chess.Board) -> list[chess.Move]:
    mates = []
    for move in board.legal_moves:
        board.push(move)
        if board.is_checkmate():
            mates.append(move)
        board.pop()
    return mates
