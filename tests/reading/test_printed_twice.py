"""A position printed twice of which one is wrong: which is meant.

The positions are those of the demonstration columns.
"""

from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text

RIGHT = "8/8/4N3/4R2p/6k1/8/5K2/8"
FEN = f"{RIGHT} w - - 0 1"
PLAY = "White mates in two.\n1.Kg2! Kh4 2.Re4 mate, 1...h4 2.Rg5 mate.\n"


def shown(text: str) -> tuple[list[str], list[str]]:
    found = check_text("a.txt", text, Options(fresh=True))
    boards = [each.fen.split()[0] for each in found.puzzles if each.fen]
    return boards, [each.finding.message for each in found.findings if each.finding.rule == "diagrams-differ"]


def test_the_one_that_is_sound_is_meant() -> None:
    boards, faults = shown(f"White: king f2, rook e5, knight d6. Black: king g4, pawn h5.\n{FEN}\n{PLAY}")
    assert boards == [RIGHT]
    assert faults == ["this does not agree with the FEN below: here d6 holds a white knight and e6 is empty"]


def test_the_first_one_stays_where_it_is_sound_and_the_other_is_not() -> None:
    boards, faults = shown(
        f"White: king f2, rook e5, knight e6. Black: king g4, pawn h5.\n{FEN.replace('4N3', '3N4')}\n{PLAY}"
    )
    assert boards == [RIGHT]
    assert faults == ["this does not agree with the list of men above: here d6 holds a white knight and e6 is empty"]
