"""Which text belongs to which diagram where little but the play tells it: talks without stops, rows, labels, chapters.

Positions: an invented column of the corpus, as in `test_binding`. The layouts: common practice, no source.
"""

import pytest
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text
from keyproof.linter.results import FileResult
from test_binding import FENS, SOLUTIONS

FIRST = (
    "um so this one is a mate in two white to move",
    "the key is queen to g three",
    "and that threatens queen takes h four mate",
    "if the king goes to h seven queen to g seven mate",
    "if the king goes to h five queen to g five mate",
    "and if the knight comes to g six queen takes g six mate",
)
SECOND = (
    "okay the second one white to move mate in two again",
    "the key is queen to d four",
    "no threat just zugzwang",
    "if the king goes to g eight queen takes g seven mate",
    "if the king takes e eight rook to c eight mate",
    "and whatever the knight does queen to h eight mate",
)


def read(text: str, name: str = "a.txt") -> FileResult:
    return check_text(name, text, Options(fresh=True))


def checked(result: FileResult) -> dict[str, int]:
    """Return how many moves were placed on each position."""
    return {str(puzzle.fen).split()[0][:4]: puzzle.checked for puzzle in result.puzzles if puzzle.fen}


def errors(result: FileResult) -> list[str]:
    return [each.finding.rule for each in result.findings if each.finding.level.value == "error"]


def test_lines_without_stops_are_dealt_out_one_by_one() -> None:
    text = f"slide 1  {FENS[0]}\nslide 2  {FENS[1]}\n\n" + "\n".join((*FIRST, *SECOND)) + "\n"
    result = read(text)
    assert errors(result) == []
    assert min(checked(result).values()) >= 7, checked(result)


@pytest.mark.parametrize("label", ["SOLUTION OF No. 12", "Answer to No. 12.", "Problem 12:"])
def test_a_label_that_is_no_heading_names_its_puzzle(label: str) -> None:
    text = (
        f"PROBLEM No. 11.\n{FENS[0]}\nMate in two.\n\nPROBLEM No. 12.\nFor want of a diagram: {FENS[1]}\n"
        f"White mates in two.\n\nSOLUTION OF No. 11.\n{SOLUTIONS[0]}\n\n{label}\n{SOLUTIONS[1]}\n"
    )
    result = read(text)
    assert errors(result) == []
    assert checked(result) == {"2b5/": 12, "4Bk2"[:4]: 7}


def test_the_title_of_a_chapter_names_none_of_its_positions() -> None:
    first, second = (text.replace("\n", ", ") + "." for text in SOLUTIONS[:2])
    text = f"# On waiting\n\nFirst A. {first}\n\nNow B. {second}\n\nA: `{FENS[0]}` #2\nB: `{FENS[1]}` #2\n"
    assert checked(read(text, "a.md")) == {"2b5/": 12, "4Bk2"[:4]: 7}


def test_what_stands_under_a_heading_of_its_own_may_speak_of_the_only_position() -> None:
    first, rest = SOLUTIONS[1].split("\n", 1)
    text = f"## The position\n\n`{FENS[1]}`\n\nMate in two.\n\n## The answer\n\n{first}\n\n## The lines\n\n{rest}\n"
    result = read(text, "a.md")
    assert checked(result) == {"4Bk2"[:4]: 7}
    assert result.unbound.of_none == ()


def test_an_order_of_its_own_speaks_of_another_position() -> None:
    text = f"No. 1\n{FENS[1]}\nMate in two.\n{SOLUTIONS[1]}\n\nNo. 2\nMate in two.\n1.Qd4! Kg8 2.Qxg7#\n"
    result = read(text)
    assert [each.finding.rule for each in result.findings] == ["no-position"]


@pytest.mark.parametrize(
    ("heading", "lines"),
    [
        ("Solution du problème 83\n(mat en deux coups)", "Clef : 1.d8=D! (blocus)\n1...Ra7 2.Da5 mat.\n"),
        ("SOLUCIONES DEL MES\nProblema 83 (con blancas)", "Clave: 1.d8=D!\n  a) 1...Ra7  2.Da5 mate\n"),
        ("Lösung zu Nr. 83", "Verführung: 1.d8T? Ka7!\nLösung: 1.d8D!\n1. ... Ka7 2.Da5#.\n"),
        ("SOLUTION OF PROBLEM No. 83.", "The move is 1.d8Q.\nIf 1...Ka7, then 2.Qa5 mate.\n"),
    ],
)
def test_the_only_solution_is_that_of_the_only_position_whatever_its_number(heading: str, lines: str) -> None:
    result = read(f"8/3PK3/k7/8/8/8/8/1R6 w - - 0 1\n\n{heading}\n{lines}")
    assert checked(result) == {"8/3P": 5 if "1.d8T" in lines else 3}
    assert errors(result) == []


def test_a_solution_that_cannot_be_played_keeps_its_number() -> None:
    text = "8/3PK3/k7/8/8/8/8/1R6 w - - 0 1\nMate in two.\n\nSolution to No. 82\n1.Nf6! Kd4 2.Qe3#. 1...Kf4 2.Qg3#.\n"
    assert checked(read(text)).get("8/3P", 0) == 0
