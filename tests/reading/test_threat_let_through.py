"""What answers all other replies is their answer, though it is called the threat, which was told before."""

import io

import pytest
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text
from keyproof.linter.reports import reading
from keyproof.linter.reports.terminal import Writer

HEAD = "FEN: 6n1/3p4/p1Q5/n5Np/8/k1K2p2/8/8 w - - 0 1\nMate in two.\n\n1.Qb6! threatens 2.Qxa5#.\n"
LINES = "1...Ka4 2.Qb4#\n1...Ka2 2.Qb2#\n1...Nb3 2.Qxb3#\n1...Nb7, 1...Nc6 or 1...Nc4 2.Qb3#"


@pytest.mark.parametrize("words", ["Anything else allows the threat: {}", "Other moves let the threat {} through."])
@pytest.mark.parametrize("move", ["2.Qxa5#", "2.Qxa5 mate"])
def test_the_threat_that_all_other_moves_let_through(words: str, move: str) -> None:
    result = check_text("a.txt", f"{HEAD}{LINES}\n{words.format(move)}\n", Options(show_reading=True))
    out = io.StringIO()
    Writer(out, terminal=False).write(reading.report(result))
    assert sum(", answer 2.Qxa5#" in line for line in out.getvalue().splitlines()) == 1
