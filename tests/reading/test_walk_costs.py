"""What each cost of the walk is for: a text that is read otherwise if it costs nothing.

The positions are those of the other tests of the walk, sound mates in two of our own. Costs that have no such text yet
are listed; those that are nothing as they stand cannot be taken away.
"""

import pytest
from keyproof.rules.reading.walk import costs
from msgspec import Struct
from test_walk_likely import ARRIVES, LEAVES
from test_walk_of_talk import ANSWERED, PROMOTES
from test_walk_print import BISHOPS, ROOK, placed

CASTLES = "8/8/8/7B/8/4p1k1/3N2N1/4K2R w K - 0 1"  # 1.O-O
WAITS = "8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1"  # 1.Kg2; Kh4 2.Re4, h4 2.Rg5


class Example(Struct):
    """A text, a line that is read of it, and one that would be if the cost were nothing; "" where there is none."""

    fen: str
    text: str
    read: str = ""
    instead: str = ""


EXAMPLES = {
    "AS_PLAIN": Example(
        ROOK,
        "Tries. Queen g four is check, and the king goes to h six. Rook b five is check, and the king goes to g six.",
        "Rb5",
    ),
    "DISJOINED": Example(ROOK, "Rook to g4. If h6 queen to g6 mates, or queen to g7.", "Rg4 h6 Qg7", "Qg7"),
    "FALSE": Example(LEAVES, "2.c6 mates if he takes on d2", "Qf3 cxd2 c6", "-- cxd2"),
    "FIRST_MOVE": Example(LEAVES, "Queen f3. Pawn c6.", "Qf3 -- c6", "c6"),
    "ILLEGAL": Example(LEAVES, "The pawn mates on c6 if the pawn takes on d2", "Qf3 cxd2 c6", "-- cxd2"),
    "KEY_SUPPOSED": Example(ANSWERED, "Bishop to d6? Either.", "-- Bd6", "Qb7 Bd6"),
    "LEAVES_KEY": Example(
        ROOK,
        "Rook to b seven fails to knight g five. The key is rook to g four. The king goes to h six, and the rook mates "
        "on h four. The pawn goes to h six, and the rook mates on b five.",
        "Rg4 h6",
        "-- h6",
    ),
    "LEAVES_KEY_IF": Example(
        WAITS,
        "Rook to g five is check, and the king goes to h four. The key is king to g two. If the king goes to h four, "
        "the rook mates on e four. If the king goes to h three, the rook mates on h five.",
        instead="-- Kh3",
    ),
    "THREAT_LATE": Example(
        LEAVES,
        "Queen f3. If d6 check, pawn takes d6 is mate. And then pawn c6, mate.",
        instead="Qf3 -- c6",
    ),
    "NEW_MAN": Example(
        PROMOTES,
        "Knight to d3. If he queens, the rook takes it on g1. A bishop, well, take it with the rook.",
        "Nd3 g1=B Rxg1",
    ),
    "NEW_PARAGRAPH": Example(ROOK, "1.Rg4! Kh6\n\nRh4 is a try.", "Rh4", "Rg4 Kh6 Rh4"),
    "NOT_THE_KEY": Example(CASTLES, "So you castle, rook to f1. Rook f3 is mate if he takes on d2.", instead="Rf1"),
    "OLDER": Example(ROOK, "1.Rg4! h6 2.Qg6#. 1.Rb7? Ng5. The knight goes to f2.", "Rg4 Nf2", "Rb7 Nf2"),
    "OUT_OF_LIST": Example(WAITS, "1.Kg2! 1...Kh4, 1...h4 2.Rg5#.", instead="Kg2 h4 Rg5"),
    "PROSE_AT_ONCE": Example(WAITS, "1.Kg2! 1...Kh4 2.Kh2 would be a slip.", "Kg2 Kh4 Kh2"),
    "PROSE_BARE": Example(ROOK, "Rook to g4. The king has h6. And g5.", "Rg4 Kh6"),
    "PROSE_FULL": Example(
        ARRIVES, "If you choose a queen, he plays Kb7. With a rook on d8 nothing changes.", "d8=R Kb7"
    ),
    "PROSE_POSED": Example(BISHOPS, "Queen on b4. Queen c7.", "Qb4"),
    "PROSE_PRINTED": Example(LEAVES, "2.c6 mates if he takes on d2", "Qf3 cxd2 c6", "-- cxd2"),
    "PROSE_SOLID": Example(LEAVES, "The pawn mates on c6 if the pawn takes on d2", "Qf3 cxd2 c6"),
    "PROSE_TOLD": Example(
        PROMOTES,
        "Knight d3. He can make a queen on g1, or a rook, a bishop, a knight, and the rook takes every time.",
        "Nd3 g1=B Rxg1",
    ),
    "PROSE_VAGUE": Example(ROOK, "1.Rg4! 1...Ng5 2.Qxg5# 1...Knight elsewhere 2.Qg5#", "Rg4 Nf4 Qg5"),
    "REFUTES": Example(
        ARRIVES,
        "A queen on d8 gives check. A rook on d8 gives check. The king steps to b7 after each.",
        "d8=Q Kb7",
    ),
    "SET_PLAY": Example(
        ROOK,
        "| Defence | Mate |\n|---|---|\n| h6 | Qg6# |\n| Nf2 | Qg6# |\n| Kh6 | Rh4# |",
        "Rg4 Kh6 Rh4",
        "-- Kh6 Rh4",
    ),
    "SET_PLAY_LATE": Example(WAITS, "1.Kg2! 1...Kh4 2.Re4 is not mate.", instead="-- Kh4 Re4"),
    "TRY_LEFT": Example(BISHOPS, "1.Qc7. Not 1.Qe5+, 1.Qb4 or 1.e8=N, all of which fail to 1...Kc6.", "Qe5 Kc6"),
    "UNREFUTED": Example(LEAVES, "1.Qg3+ fails to Kxf1. Another try is c6, Kxf1.", instead="c6"),
    "UNREFUTED_TOLD": Example(
        BISHOPS,
        "Queen to e five is check, and the king goes to c six. Queen to b four, and the king goes to d four.",
        instead="Qc7 Kd4",
    ),
    "WRONG_ANSWER": Example(ROOK, "Rook to g4. The pawn moves. The queen to g6 or g7.", "Qg7", "Rg4 h6 Qg7"),
    "WRONG_PROPOSAL": Example(ROOK, "Rook g4, pawn h6. Queen g7?", "Qg7", "Rg4 h6 Qg7"),
}


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_text_is_read_as_it_is_for_this_cost(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    example = EXAMPLES[name]
    lines = placed(example.fen, example.text)
    assert not example.read or example.read in lines
    assert example.instead not in lines
    monkeypatch.setattr(costs, name, 0)
    lines = placed(example.fen, example.text)
    assert example.read not in lines
    assert not example.instead or example.instead in lines


NO_EXAMPLE = frozenset(
    [
        "BESIDE",
        "MISSING",
        "MATES_FIRST",
        "FORCED",
        "AFTER_KEY",
        "TOGETHER",
        "THREAT",
        "MARK_MISFITS",
        "LINK_MISFITS",
        "SIDE_MISFITS",
        "SPEAKER",
        "NOT_LAST_NAMED",
        "OTHER_SQUARE",
        "SEVERAL",
        "LOOSE",
        "TRY",
        "REFUTED",
        "NO_REFUTATION",
        "UNANSWERED",
        "UNANSWERED_IF",
        "UNANSWERED_BARE",
        "AGREES",
        "AFTER_REFUTATION",
        "BEYOND",
        "BEYOND_REPLY",
        "DENIED_TRUE",
        "DENIED_WRONG",
        "SUPPOSED_VAGUE",
        "WITHDRAWN",
        "KEY_UNTOLD",
        "FLIGHT",
        "HEARD",
        "NUMBER",
        "DESCRIPTION",
        "ASIDE",
        "FUTILE_MISFITS",
        "ONLY_NAMED",
        "AGAIN_PROSE",
        "EFFECT_LOST",
    ]
)
"""Costs for which no such text has been found yet. Who finds one moves the name above; none is added."""
BOUNDS = frozenset(("MARGIN", "MARGIN_REFUTES", "REACH", "BEAM", "PUZZLES", "PARTS"))
"""No costs: how far walks are gone on with, and when a claim is held to be false."""


def test_every_cost_has_an_example_or_is_known_to_have_none() -> None:
    named = {name for name in dir(costs) if name.isupper() and getattr(costs, name)}
    assert named - BOUNDS == EXAMPLES.keys() | NO_EXAMPLE
