"""A literal reading that leaves tries or defences waiting, or answers that fail, does not stand unasked."""

import io

import pytest
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text
from keyproof.linter.reports import reading
from keyproof.linter.reports.terminal import Writer

ARRIVES = "FEN: k7/3P4/2N5/8/3p2R1/8/1K6/8 w - - 0 1\nMate in two.\n\n1.d8=N! d3 2.Ra4#\n"  # queen, rook fail to Kb7
WAITS = "FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1\nMate in two.\n\n"  # 1.Kg2: Kh4 2.Re4, h4 2.Rg5


def refuted(solution: str) -> str:
    """Return what is shown of the king's move to b7."""
    result = check_text("a.txt", f"{ARRIVES}{solution}\n", Options(show_reading=True))
    out = io.StringIO()
    Writer(out, terminal=False).write(reading.report(result))
    return "; ".join(line.strip() for line in out.getvalue().splitlines() if "refutation" in line)


@pytest.mark.parametrize(
    "solution",
    ["Tries: 1.d8=Q+? 1.d8=R+? Kb7!", "Tries: 1.d8=Q+? or 1.d8=R+? Kb7!"],
)
def test_tries_printed_one_behind_the_other_share_their_refutation(solution: str) -> None:
    assert refuted(solution) == "after 1.{d8=Q+, d8=R+}: refutation 1...Kb7"


@pytest.mark.parametrize("lead", ["After", "If"])
def test_an_answer_that_fails_is_no_try_told_behind_a_defence(lead: str) -> None:
    said = f"The key is king to g2. {lead} king to h4, rook to e3. After pawn to h4, rook to g5."
    found = check_text("a.txt", f"{WAITS}{said}\n", Options()).findings
    assert [each.finding.rule for each in found] == ["answer-fails"]
