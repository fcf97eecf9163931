"""Tables as editors print them, and answers told before what they meet. The forms: common practice, no source.

The positions are of our own making; what is true in them is what the prover says.
"""

import pytest
from keyproof.grammar.orders import asks_many
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text
from keyproof.linter.results import FileResult
from keyproof.rules.finding import Level
from test_walk_print import placed

ROOK = "6Q1/7p/5P2/7k/1R6/7n/3K4/8 w - - 0 1"  # 1.Rg4; h6 2.Qg6, Nf2 2.Qg5, Kh6 2.Rh4
BISHOPS = "8/3pPP2/1P6/3k1K2/5Q2/8/4B3/8 w - - 0 1"  # 1.Qc7; 1.Qe5+, 1.Qb4 and 1.e8=N fail to Kc6 alone


def read(text: str, name: str) -> FileResult:
    return check_text(name, text, Options(fresh=True))


def accused(result: FileResult) -> list[str]:
    """Return what a text is accused of, but for what it leaves out."""
    found = (each.finding for each in result.findings if each.finding.level >= Level.warning)
    return [each.rule for each in found if each.rule != "defence-left-out"]


@pytest.mark.parametrize(
    "table",
    [
        "| Black | h6 | Nf2 | Kh6 |\n|---|---|---|---|\n| White | Qg6# | Qg5# | Rh4# |",
        "| 1...h6 | 1...Nf2 | 1...Kh6 |\n|---|---|---|\n| 2.Qg6# | 2.Qg5# | 2.Rh4# |",
        "| Defence | Mate |\n|---|---|\n| h6 | Qg6# |\n| Nf2 | Qg5# |\n| Kh6 | Rh4# |",
        "| Mate | against |\n|---|---|\n| 2.Qg6# | 1...h6 |\n| 2.Qg5# | 1...Nf2 |\n| 2.Rh4# | 1...Kh6 |",
    ],
)
def test_answers_of_a_table_stand_behind_their_defences(table: str) -> None:
    result = read(f"`{ROOK}`\n\nMate in two. Key 1.Rg4.\n\n{table}\n", "a.md")
    assert accused(result) == []
    assert result.puzzles[0].checked == 7


def test_a_wrong_answer_in_a_table_is_found() -> None:
    table = "| Defence | Mate |\n|---|---|\n| h6 | Qg6# |\n| Nf2 | Qg6# |\n| Kh6 | Rh4# |"
    assert accused(read(f"`{ROOK}`\n\nMate in two. Key 1.Rg4.\n\n{table}\n", "a.md"))


def test_a_table_of_what_solvers_handed_in_has_replies_behind_first_moves() -> None:
    table = """
| no. | first move | h6 | Nf2 | Kh6 | points | remarks |
|---|---|---|---|---|---|---|
| 1 | Rg4 | Qg6 | Qg5 | Rh4 | 5 | a clean sheet |
| 2 | Rg4 | Qg6 | - | Rh4 | 4 | forgot the knight |
| 3 | Qg5+ | - | - | - | 0 | Nxg5 |
"""
    lines = placed(ROOK, f"Marks, for a mate in two.\n{table}")
    assert lines >= {"Rg4 h6 Qg6", "Rg4 Nf2 Qg5", "Rg4 Kh6 Rh4", "Qg5 Nxg5"}


def test_a_table_may_have_a_column_for_each_position() -> None:
    table = "| | A | B |\n|---|---|---|\n| key | Rg4 | Qc7 |\n| mate | h6 Qg6# | |\n| try | | Qb4? Kc6! |"
    result = read(f"Mate in two in each.\n\n{table}\n\nA: `{ROOK}`\n\nB: `{BISHOPS}`\n", "a.md")
    assert accused(result) == []
    assert [puzzle.checked for puzzle in result.puzzles] == [3, 3]


@pytest.mark.parametrize(
    "line",
    [
        "2.Qg6# follows 1...h6, 2.Rh4# follows 1...Kh6.",
        "2.Qg6# (1...h6), 2.Rh4# (1...Kh6).",
        "1...h6 2.Qg6# / Kh6 Rh4#",
    ],
)
def test_numbers_tell_which_move_answers_which(line: str) -> None:
    result = read(f"{ROOK}\nMate in two.\n\n1.Rg4!\n{line}\n", "a.txt")
    assert accused(result) == []
    assert result.puzzles[0].checked == 5


def test_a_refutation_may_stand_before_its_tries() -> None:
    result = read(f"{BISHOPS}\nMate in two.\n\n1.Qc7!\n1...Kc6! refutes 1.Qe5+ and 1.Qb4.\n", "a.txt")
    assert accused(result) == []


def test_an_answer_that_is_denied_is_no_claim() -> None:
    text = f"{ROOK}\nMate in two.\n\n1.Rg4!\nAfter 1...h6 the mate is 2.Qg6#, not 2.Qg5 as printed.\n"
    assert accused(read(text, "a.txt")) == []


def test_points_for_a_key_or_a_try_announce_neither() -> None:
    text = f"{ROOK}\nMate in two.\n\nMarking: key 2 points, each variation 1, each try 1.\n- Rg4 (2)\n- h6 – Qg6# (1)\n"
    assert accused(read(text, "a.md")) == []


def test_old_columns_have_blanks_in_their_moves() -> None:
    play = "1. Tb4 – g4!\n1. ... h7 – h6 2. Dg8 – g6 matt\n1. ... Kh5 – h6 2. Tg4 – h4 matt\n"
    text = f"{ROOK}\nMatt in zwei Zügen\n\n{play}"
    result = read(text, "a.txt")
    assert accused(result) == []
    assert result.puzzles[0].checked == 5


def test_a_reply_and_its_answer_may_be_parted_by_a_semicolon() -> None:
    text = f"{ROOK}\nMate in two.\n\nKey, 1. R to Kt 4.\nP to R 3; Q to Kt 6, mate.\nK to R 3; R to R 4, mate.\n"
    result = read(text, "a.txt")
    assert accused(result) == []
    assert result.puzzles[0].checked == 5


def test_remarks_set_off_by_signs_are_no_headings() -> None:
    text = f"{ROOK} bm Rg4; dm 2;\n#   h6 Qg6#; Kh6 Rh4#\n#   Nf2 Qg5#\n"
    result = read(text, "a.txt")
    assert accused(result) == []
    assert result.puzzles[0].checked == 7


@pytest.mark.parametrize(
    ("words", "many"),
    [
        ("In tutti gli esercizi il Bianco muove e dà matto in due", True),
        ("Dans les trois exercices les Blancs font mat en deux coups", True),
        ("En los tres ejercicios juegan las blancas y dan mate en dos", True),
        ("if the knight comes to g six queen takes g six mate", False),
        ("Las blancas dan mate en dos", False),
    ],
)
def test_orders_for_all_positions_in_other_tongues(words: str, many: bool) -> None:
    assert asks_many(words) is many


@pytest.mark.parametrize(
    "rows",
    [
        "Bc5 . . . d7\nNc5 . . . f8\nKc8 . . . e8, f8, g8 (three!)",
        "Bc5 ........ Qd7\nNc5 ........ Qf8\nKc8 ........ Qe8, Qf8, Qg8",
        "bishop c5 ... queen d7\nknight c5 ... queen f8\nking c8 ... queen e8, queen f8 or queen g8",
    ],
)
def test_dots_lead_from_a_reply_to_its_answer(rows: str) -> None:
    found = placed("3k4/8/2K2pQp/4p3/n7/1p2b1pp/2P5/5B2 w - - 0 1", "Queen to f7.\n" + rows)
    assert found >= {"Qf7 Bc5 Qd7", "Qf7 Nc5 Qf8", "Qf7 Kc8 Qe8", "Qf7 Kc8 Qg8"}


def test_a_full_stop_leads_nowhere() -> None:
    text = "The move is queen f7. The knight goes to\nc5. Then queen f8. And the bishop goes to\nc5. Then queen d7."
    found = placed("3k4/8/2K2pQp/4p3/n7/1p2b1pp/2P5/5B2 w - - 0 1", text)
    assert found >= {"Qf7 Nc5 Qf8", "Qf7 Bc5 Qd7"}
