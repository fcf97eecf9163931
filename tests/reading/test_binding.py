"""Which text belongs to which diagram: the same puzzles, laid out in all the ways that columns have.

Positions: an invented column of the corpus. The layouts: common practice, no source.
"""

import pytest
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text
from keyproof.linter.results import FileResult

FENS = (
    "2b5/3p4/3NpK1k/1B6/2p4n/3Q4/8/6N1 w - - 0 1",
    "4Bk2/R5n1/2R5/3p4/4p3/4B3/8/3Q2K1 w - - 0 1",
    "3kN1R1/3b1P2/p6K/N7/6Q1/8/8/8 w - - 0 1",
)
SOLUTIONS = (
    "1.Qg3! (threat: 2.Qxh4)\n1...Kh7 2.Qg7\n1...Kh5 2.Qg5\n1...Sg6 2.Qxg6\n1...Sf5/Sf3/Sg2 2.Qg6",
    "1.Qd4! (zugzwang)\n1...Kg8 2.Qxg7\n1...Kxe8 2.Rc8\n1...S~ 2.Qh8",
    "1.Qf4! (zugzwang)\n1...Ke7 2.Qf6\n1...Kc8 2.Qc7\n1...Bxe8 2.fxe8=Q\n1...B~ 2.Qc7",
)
NUMBERS = ("11", "12", "13")
NAMES = ("Mill", "Tower", "Gate")
ALL = "Mates in two.\n\n"


def _split(solution: str) -> tuple[str, str]:
    first, second, rest = solution.split("\n", 2)
    return f"{first}\n{second}", rest


def layouts(solutions: tuple[str, ...] = SOLUTIONS) -> dict[str, str]:
    """Return a column in every layout; the name of one in Markdown begins with "md"."""
    pairs = list(zip(FENS, solutions, strict=True))
    every = list(zip(NUMBERS, NAMES, FENS, solutions, strict=True))
    numbered = "\n\n".join(f"No. {number}\n\n{text}" for number, _, _, text in every)
    return {
        "above": ALL + "\n\n".join(f"{fen}\n\n{text}" for fen, text in pairs),
        "below": ALL + "\n\n".join(f"{text}\n\n{fen}" for fen, text in pairs),
        "below, in one block": ALL + "\n\n".join(f"{text}\n{fen}" for fen, text in pairs),
        "below, without a blank line": "Mates in two.\n" + "\n".join(f"{text}\n{fen}" for fen, text in pairs),
        "below, each with its order": "\n\n".join(f"Mate in two.\n{text}\n\n{fen}" for fen, text in pairs),
        "in the middle": ALL + "\n\n".join(f"{_split(text)[0]}\n\n{fen}\n\n{_split(text)[1]}" for fen, text in pairs),
        "at the end": f"{ALL}{numbered}\n\n" + "\n".join(f"{number}: {fen}" for number, _, fen, _ in every),
        "at the end, in one line": f"{ALL}{numbered}\n\nPositions: "
        + " ".join(f"{number}: {fen};" for number, _, fen, _ in every),
        "at the end, in another order": ALL
        + "\n\n".join(solutions)
        + "\n\n"
        + "\n".join(f"{number}: {fen}" for number, _, fen, _ in reversed(every)),
        "at the top, numbered": ALL
        + "\n".join(f"{number}. {fen}" for number, _, fen, _ in every)
        + "\n\n"
        + "\n\n".join(f"{number}. {text}" for number, _, _, text in every),
        "at the top, without numbers": ALL + "\n".join(FENS) + "\n\n" + "\n\n".join(solutions),
        "md, in a table": "# Mates in two\n\n| No. | Position |\n|---|---|\n"
        + "\n".join(f"| {number} | {fen} |" for number, _, fen, _ in every)
        + "\n\n"
        + "\n\n".join(f"## No. {number}\n\n{text}" for number, _, _, text in every),
        "md, by name": "# Mates in two\n\n"
        + "\n".join(f"- The {name}: {fen}" for _, name, fen, _ in every)
        + "\n\n"
        + "\n\n".join(f"## The {name}\n\n{text}" for _, name, _, text in every),
        "on the screen": ALL
        + "\n\n".join(f"Look at this one [on screen: {fen}] and now the play: {text}" for fen, text in pairs),
        "in round brackets": ALL + "\n\n".join(f"Look at this one ({fen}) and now: {text}" for fen, text in pairs),
        "the placement alone": ALL + "\n\n".join(f"{fen.split()[0]}\n\n{text}" for fen, text in pairs),
        "old headings": ALL
        + "\n\n".join(f"{number}.--THE {name.upper()}.\n\n{fen}\n\n{text}" for number, name, fen, text in every),
        "of an earlier issue": ALL
        + "\n\n".join(f"No. {number}\n\n{fen}" for number, _, fen, _ in every)
        + "\n\nSolutions\n\n"
        + "\n\n".join(f"{number}. {text[2:]}" for number, _, _, text in every),
        "both numbers in one order": "Nos. 11 to 13: mate in two.\n\n"
        + "\n\n".join(f"No. {number}\n{fen}\n\n{text}" for number, _, fen, text in every),
        "in Dutch": "\n\n".join(f"{fen}\n\nWit geeft mat in twee zetten.\n\n{text}" for fen, text in pairs),
    }


def check(name: str, text: str) -> FileResult:
    """Proofread a layout."""
    return check_text("bulletin.md" if name.startswith("md") else "bulletin.txt", text, Options())


@pytest.mark.parametrize("name", layouts())
def test_the_layout_does_not_matter(name: str) -> None:
    result = check(name, layouts()[name])
    read = {str(puzzle.fen).split()[0]: (puzzle.verdict, puzzle.checked) for puzzle in result.puzzles}
    # The numbers of moves that the three solutions print.
    assert list(read.values()) in (
        [("sound", 12), ("sound", 7), ("sound", 9)],
        [("sound", 9), ("sound", 7), ("sound", 12)],
    )
    assert set(read) == {fen.split()[0] for fen in FENS}
    assert [placed.finding.message for placed in result.findings] == []
    assert result.unbound.of_puzzles == result.unbound.of_none == ()


@pytest.mark.parametrize("name", layouts())
def test_a_fault_is_found_in_every_layout(name: str) -> None:
    faulty = (SOLUTIONS[0], SOLUTIONS[1].replace("2.Rc8", "2.Rc5"), SOLUTIONS[2])
    result = check(name, layouts(faulty)[name])
    assert [placed.finding.rule for placed in result.findings] == ["answer-fails"]
    (placed,) = result.findings
    assert placed.puzzle is not None
    assert str(result.puzzles[placed.puzzle].fen).startswith("4Bk2")


def test_solutions_that_changed_places_are_not_put_right_in_silence() -> None:
    text = ALL + "\n\n".join(
        f"No. {number}\n{fen}\n\n{text}"
        for number, fen, text in zip(NUMBERS, FENS, (SOLUTIONS[1], SOLUTIONS[0], SOLUTIONS[2]), strict=True)
    )
    assert [placed.finding.rule for placed in check("", text).findings] == ["solution-of-another-puzzle"] * 2


def test_a_solution_that_fits_no_diagram_is_said_to_fit_none_once() -> None:
    lost = "1.Qa1! Kg5 2.Rh8#\n1...Kh3 2.Qf1#\n1...Ke1 2.Qa8#\n1...Kxd7 2.Ra7#"
    parts = ("No. 11", FENS[0], SOLUTIONS[0], "No. 12", lost, "No. 13", FENS[2], SOLUTIONS[2])
    text = ALL + "\n\n".join(parts)
    result = check("", text)
    assert [placed.finding.rule for placed in result.findings] == ["no-position"]
    assert [puzzle.fen is None for puzzle in result.puzzles] == [False, True, False]
    assert [span.of(text) for span in result.unbound.of_puzzles][-1] == lost


@pytest.mark.parametrize(
    "words",
    [
        "Game of the month: 1.e4 e5 2.Nf3 Nc6 3.Bb5 a6 4.Ba4 Nf6 5.O-O Be7 1-0",
        "1. e4 e5\n2. Nf3 Nc6\n3. Bb5 a6\n4. Ba4 Nf6\n5. O-O Be7",
    ],
)
def test_the_score_of_a_game_belongs_to_no_diagram(words: str) -> None:
    text = f"{FENS[1]}\n\nMate in two.\n\n{SOLUTIONS[1]}\n\n{words}"
    result = check("", text)
    assert [puzzle.checked for puzzle in result.puzzles] == [7]
    assert result.findings == ()
    assert [span.of(text) for span in result.unbound.of_none] == [words]


@pytest.mark.parametrize("figure", ["In the cards Y = 2 counts.", "There were 18,816 of them.", "a = 2 and b = 3"])
def test_a_figure_is_no_stipulation(figure: str) -> None:
    result = check("", f"{FENS[1]}\n\n{figure}\n\nMate in two.\n\n{SOLUTIONS[1]}")
    assert [(puzzle.stipulation, puzzle.verdict) for puzzle in result.puzzles] == [("#2", "sound")]


def test_the_numbers_of_posts_are_no_stipulations() -> None:
    told = "#1 wanderer\nfound this in an old notebook, mate in two\n\n"
    posts = f"{told}{FENS[1]}\n\n#2 marmalade\n{SOLUTIONS[1]}\n#3 old goat\nwell done"
    assert [(puzzle.stipulation, puzzle.verdict) for puzzle in check("", posts).puzzles] == [("#2", "sound")]


def test_a_stalemate_in_two_is_still_asked_for() -> None:
    assert [puzzle.stipulation for puzzle in check("", f"{FENS[1]}\n\n= 2").puzzles] == ["=2"]


@pytest.mark.parametrize(
    "told",
    [
        "My king sits on f2, my rook on e5 and my knight one up, e6. He has his king on g4 and a pawn on h5.",
        "ANNA: My king is on f2, my rook on e five.\nANNA: Oh, a knight on e6.\n"
        "BEN: And my king is on g4, my pawn on h5.",
        "The white king stands on f2, the white rook on e5, the white knight on e6.\n"
        "The black king is on g4 and a black pawn on h5.",
    ],
)
def test_men_told_in_words(told: str) -> None:
    result = check("", f"{told}\nMate in two.\n\n1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#")
    assert [(str(p.fen).split()[0], p.verdict) for p in result.puzzles] == [("8/8/4N3/4R2p/6k1/8/5K2/8", "sound")]
    assert result.findings == ()


@pytest.mark.parametrize(
    "told",
    ["My king took a walk to f2. His king on g4 is lonely.", "My king goes to f2, my rook to e5, his king to g4."],
)
def test_men_that_are_no_position(told: str) -> None:
    assert [puzzle.fen for puzzle in check("", f"{told}\nMate in two.").puzzles] == []


def test_a_figure_of_dashes_parts_no_solution() -> None:
    text = f"No. 11\n{FENS[1]}\nMate in two.\n\n1.Qd4! (zugzwang)\n-----\n1...Kg8 2.Qxg7\n1...Kxe8 2.Rc8\n1...S~ 2.Qh8"
    result = check("", text)
    assert [(puzzle.checked, puzzle.verdict) for puzzle in result.puzzles] == [(7, "sound")]
    assert result.findings == ()


def test_notes_stand_under_the_names_that_positions_have_in_a_table() -> None:
    rows = zip(("mill-1", "tower-2"), FENS[:2], ("Qg3", "Qd4"), strict=True)
    table = "\n".join(f"| {name} | `{fen}` | `{key}` |" for name, fen, key in rows)
    notes = "### Remarks on mill-1\n\n- Kh7: Qg7#\n- Kh5: Qg5#\n\n### Notes, tower-2\n\n- Kg8: Qxg7#\n- Kxe8: Rc8#\n"
    result = check("md", f"# Mates in two\n\n| id | position | key |\n|---|---|---|\n{table}\n\n{notes}")
    assert [(puzzle.keys, puzzle.checked) for puzzle in result.puzzles] == [(("Qg3",), 5), (("Qd4",), 5)]
