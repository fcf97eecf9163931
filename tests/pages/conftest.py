"""Positions for the tests of what is printed: the demo columns, invented, and the published problems."""

import json
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import chess
from keyproof.rules.board.stipulation import Stipulation
from keyproof.rules.proof.proof import Proof
from keyproof.rules.proof.prover import prove

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "corpus" / "demo" / "positions.jsonl"
PUBLISHED = ROOT / "tests" / "data" / "published.jsonl"


def problems(path: Path) -> list[dict[str, Any]]:
    return [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines() if line]


@cache
def proof_of(fen: str, stipulation: str) -> Proof:
    return prove(chess.Board(fen), Stipulation.parse(stipulation))


def mates(path: Path = DEMO) -> Iterator[chess.Board]:
    """Yield the mates that follow the keys of the mates in two."""
    for problem in problems(path):
        if problem["stipulation"] != "#2":
            continue
        proof = proof_of(problem["fen"], "#2")
        for play in proof.play:
            for defence in play.defences:
                for answer in defence.answers:
                    board = chess.Board(proof.fen)
                    for move in (play.move, defence.move, answer.move):
                        board.push(move)
                    yield board
