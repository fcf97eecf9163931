"""What is false in notation without numbers, and what a sentence on a try says without a word for it.

The position is of our own making: in it 1.Kb7 threatens 2.Qc4, and Kd5 is answered by 2.Rb5, d5 by 2.Qxb4. The other
moves of the king fail: to Ka7 or Kb8 there is Kd5, but not d5 (2.Qxb4#).
"""

import pytest
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text

HEAD = "FEN: K5n1/8/1R1p4/2k5/1p4Q1/1P3p2/8/6n1 w - - 0 1\nMate in two.\n\n"
SPANISH = "FEN: K5n1/8/1R1p4/2k5/1p4Q1/1P3p2/8/6n1 w - - 0 1\nMate en dos.\n\nClave: 1.Rb7! amenaza 2.Dc4 mate.\n"


def errors(text: str) -> list[tuple[int, str]]:
    """Return the line and the rule of each error."""
    found = check_text("solution.txt", text, Options())
    assert found.text is not None
    return [
        (found.text.count("\n", 0, each.finding.span.start) + 1, each.finding.rule)
        for each in found.findings
        if each.finding.level.name == "error"
    ]


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("Key 1.Kb7, then:\n- Kd5 – Rb5#\n- d5 – {}\n- else Qc4#\n", 6),
        ("Key: Kb7, threat Qc4#. One point each for\nKd5 Rb5#\nd5 {}\n", 6),
        ("Key 1.Kb7, threat Qc4#. Marks: Kd5 – Rb5# (1)\nd5 - {} (1)\n", 5),
    ],
)
def test_an_answer_printed_beside_a_pawn_move(text: str, line: int) -> None:
    """It answers that move and is no threat told once more."""
    assert errors(HEAD + text.format("Qc4#")) == [(line, "check-not-mate")]
    assert errors(HEAD + text.format("Qxb4#")) == []


@pytest.mark.parametrize(
    "text",
    ["Key 1.Kb7 Kd5 2.Rb5#. Wrong key 1.Ka7: refuted by {}\n", "Key 1.Kb7 Kd5 2.Rb5#. False key Ka7: fails to {}\n"],
)
def test_a_pawn_move_that_refutes(text: str) -> None:
    """In notation a square by itself is a pawn's move, also behind words for a refutation."""
    assert errors(HEAD + text.format("d5")) == [(4, "refutation-fails")]
    assert errors(HEAD + text.format("Kd5")) == []


def test_the_reply_that_ends_a_sentence_on_a_try() -> None:
    """Whoever prints a try and one reply, and nothing more, means that it refutes."""
    assert errors(SPANISH + "Contra 1.Ra7? se juega 1...d5.\n") == [(5, "refutation-fails")]


@pytest.mark.parametrize(
    "text",
    [
        "Contra 1.Ra7? se juega 1...Rd5.\n",
        "Contra 1.Ra7? se juega 1...d5, y sigue 2.Dxb4 mate.\n",
        "Tras 1.Rb7! viene 1...d5.\n",
        "¿Y 1.Ra7? Si 1...d5 2.Dxb4 mate, pero 1...Rd5.\n",
    ],
)
def test_a_reply_that_claims_nothing(text: str) -> None:
    """It refutes, or an answer follows, or it is one to the key."""
    assert errors(SPANISH + text) == []
