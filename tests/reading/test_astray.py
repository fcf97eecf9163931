"""A threat is not told of one first move right behind another."""

import chess
from keyproof.rules.play.node import Node
from keyproof.rules.reading.walk.hypothesis import Hypothesis
from keyproof.rules.reading.walk.late import is_astray


def test_a_threat_behind_another_first_move() -> None:
    diagram = Node(chess.Board("8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1"))
    key, other = (diagram.play(chess.Move.from_uci(move)) for move in ("f2g2", "e5e4"))
    assert is_astray(key, Hypothesis((other,)))
    assert not is_astray(key, Hypothesis((key,)))
    assert not is_astray(key, Hypothesis((other,), fresh=True))
    assert not is_astray(key, Hypothesis((diagram,)))
