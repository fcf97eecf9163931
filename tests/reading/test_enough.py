"""The walk is taken where the literal reading leaves something to be found, and only there."""

import pytest
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text
from keyproof.rules.case import choosing

PUZZLE = "FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1\nMate in two.\n"


def walks(monkeypatch: pytest.MonkeyPatch, solution: str) -> bool:
    """Tell whether a solution is walked through."""
    taken: list[str] = []

    def noted(*given: object, **more: object) -> object:
        taken.append("walk")
        return real(*given, **more)  # type: ignore[arg-type]

    real = choosing.read_walk
    monkeypatch.setattr(choosing, "read_walk", noted)
    check_text("column.txt", PUZZLE + solution + "\n", Options())
    return bool(taken)


@pytest.mark.parametrize(
    "solution",
    [
        "1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#",
        "1.Kg2! Kh4 2.Re4#, 1...any other 2.Rg5#",
        "The key is king to g2. If the king goes to h4, rook to e4 is mate.",  # told in words, and every clause taken
        "1.Kg2! Kh4 2.Re4#, and the king cannot go to g3. 1...h4 2.Rg5#",  # what is not played waits for no answer
        "Checks fail, for instance 1.Re4+? Kf5!\n1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#",  # examples that are printed
    ],
)
def test_a_text_that_was_taken_whole_needs_no_walk(monkeypatch: pytest.MonkeyPatch, solution: str) -> None:
    assert not walks(monkeypatch, solution)


@pytest.mark.parametrize(
    "solution",
    [
        "1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#\nSet play: 1...Kh4 2.Re4#",  # true behind the key
        "The key is king to g2. If the king goes to h4, rook to e4 is mate. The pawn is met by the other mate.",
        "1.Kg2! Kh4 2.Re4 is mate on the spot, 1...h4 2.Rg5#",  # words beside a move call it mate
        "1.Kg2! Kh4 2.Re3#, 1...h4 2.Rg5#",  # not without fault
        "The monarch steps aside.",
    ],
)
def test_a_text_of_which_something_is_left_is_walked_through(monkeypatch: pytest.MonkeyPatch, solution: str) -> None:
    assert walks(monkeypatch, solution)


@pytest.mark.parametrize(
    ("solution", "found"),
    [
        ("1.Kg2! Kh4 2.Re4 ends in mate on the spot, 1...h4 2.Rg5#", ["unmarked-mate"]),
        ("A rook check is tempting. 1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#", []),
    ],
)
def test_where_words_tell_no_move_more_the_walk_finds_what_the_literal_reading_does(
    monkeypatch: pytest.MonkeyPatch, solution: str, found: list[str]
) -> None:
    assert walks(monkeypatch, solution)
    result = check_text("column.txt", PUZZLE + solution + "\n", Options())
    assert [each.finding.rule for each in result.findings] == found
    assert [(each.checked, each.move_mentions) for each in result.puzzles] == [(5, 5)]
