"""Where a printed move is wrong, the right ones are named, and the only one is offered in its place."""

import pytest
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text
from keyproof.linter.repair import applied

FEN = "FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1\nMate in two.\n"
TRY = "FEN: k7/8/2K2N2/8/p7/7R/8/8 w - - 0 1\nMate in two.\nTry: 1.Kc7? a3!\nKey: 1.Kb6! a3 2.Rh8#\n"


@pytest.mark.parametrize(
    ("text", "named", "mended"),
    [
        (FEN + "1.Kg2! Kh4 2.Re4#, 1...h4 2.Re4#", "; 2.Rg5# mates", "1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#"),
        (FEN + "1.Kg2! Kh4 2.Re1#, 1...h4 2.Rg5#", "; 2.Re4# mates", "1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#"),
        (FEN + "1.Kg2! Kh4 2.Re4 mate, 1...h4 2.Re4 mate", "; 2.Rg5# mates", "1...h4 2.Rg5 mate"),
        (FEN + "1.Kg2! Kh4 2.Te4#, 1...h4 2.Te4#", "; 2.Tg5# mates", "1...h4 2.Tg5#"),  # in the text's own letters
        (FEN + "1.Kg2! Kh4 2.Re1, 1...h4 2.Rg5", "; 2.Re4# mates", "1.Kg2! Kh4 2.Re4, 1...h4"),  # without signs
        (TRY, "; 1...Ka7 refutes", "1.Kc7? Ka7!"),
    ],
)
def test_the_only_right_move_is_offered(text: str, named: str, mended: str) -> None:
    found = [
        each.finding for each in check_text("a.txt", text, Options()).findings if each.finding.level.name == "error"
    ]
    (finding,) = found
    assert finding.message.endswith(named)
    after = applied(text, finding.repair)
    assert mended in after
    assert all(each.finding.level.name != "error" for each in check_text("a.txt", after, Options()).findings)


@pytest.mark.parametrize(
    "line",
    [
        "1.Kg2! Kh4 2.Re4#, 1...h4 and the rook mates on e4",  # told in words
        "1.Kg2! Kh4/h4 2.Re4#",  # for several defences
        "1.Kg2! h4 2.♖e4#",  # in figures
    ],
)
def test_what_is_not_sure_is_named_and_not_offered(line: str) -> None:
    found = [each.finding for each in check_text("a.txt", FEN + line, Options()).findings]
    (finding,) = (each for each in found if each.rule == "check-not-mate")
    assert finding.message.endswith("mates")
    assert finding.repair == ()
