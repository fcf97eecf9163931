"""What the walk asks of the proof."""

import chess
from keyproof.rules.board.stipulation import Stipulation
from keyproof.rules.proof.prover import prove
from keyproof.rules.reading.walk.oracle import Oracle
from keyproof.rules.reading.work import Work

MANY_KEYS = chess.Board("7k/5K2/8/8/8/8/8/1RRRRR2 w - - 0 1")


def test_keys_keep_the_order_of_the_proof() -> None:
    """Of two ways to read a text that cost the same the first counts: a set has another order in each process."""
    proof = prove(MANY_KEYS, Stipulation.parse("#2"))
    keys = Oracle(proof, 3, Work(1)).keys
    assert len(keys) > 4
    assert keys == proof.keys
