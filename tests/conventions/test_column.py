"""The puzzles of a file taken together, and solutions that belong to another position."""

import chess
import pytest
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text
from keyproof.rules.case.setting import CHANGES, Change
from keyproof.rules.finding import Finding

# A sound mate in two of our own with its solution; no two of its images look alike.
FEN = "8/8/4N3/4R2p/6k1/8/5K2/8"
SOLUTION = "1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#"


def findings(text: str) -> list[Finding]:
    return [placed.finding for placed in check_text("t.txt", text, Options(effort=1)).findings]


def undone(change: Change) -> str:
    """Return the diagram that `change` makes right; each change undoes itself."""
    men = change.apply(chess.BaseBoard(FEN).piece_map())
    assert change.apply(men) == chess.BaseBoard(FEN).piece_map()
    board = chess.BaseBoard(None)
    board.set_piece_map(men)
    return board.board_fen()


@pytest.mark.parametrize("change", CHANGES, ids=lambda change: change.words)
def test_a_diagram_set_wrongly_is_one_fault_and_its_repair_removes_it(change: Change) -> None:
    wrong = undone(change)
    text = f"FEN: {wrong} w - - 0 1\nMate in two.\n{SOLUTION}\n"
    found = findings(text)
    assert [finding.rule for finding in found] == ["turned-diagram"]
    assert change.words in found[0].message
    (edit,) = found[0].repair
    repaired = text[: edit.span.start] + edit.text + text[edit.span.end :]
    assert findings(repaired) == []


@pytest.mark.parametrize("change", CHANGES, ids=lambda change: change.words)
def test_one_misprint_is_no_reason_to_turn_the_diagram(change: Change) -> None:
    text = f"FEN: {FEN} w - - 0 1\nMate in two.\n{SOLUTION.replace('Re4', 'Be4')}\n"
    assert [finding.rule for finding in findings(text)] == ["illegal-move"]


def test_a_text_that_plays_nowhere_keeps_its_findings() -> None:
    text = f"FEN: 8/2K5/8/1k6/p2R4/3N4/8/8 w - - 0 1\nMate in two.\n{SOLUTION.replace('Re4', 'Be4')}\n"
    assert "turned-diagram" not in [finding.rule for finding in findings(text)]
    assert findings(text)


SWAPPED = """Problem 1
FEN: k7/8/2K2N2/8/p7/7R/8/8 w - - 0 1
Mate in two.
1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#

Problem 2
FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
Mate in two.
1.Kb6! Kb8 2.Rh8#, 1...a3 2.Rh8#
"""


def test_two_solutions_that_changed_places() -> None:
    found = findings(SWAPPED)
    assert [finding.rule for finding in found] == ["solution-of-another-puzzle"] * 2
    assert "'Problem 2' (line 6)" in found[0].message
    assert "'Problem 1' (line 1)" in found[1].message


def test_a_solution_that_fits_two_positions_is_read_on_its_own() -> None:
    """The first move alone would be legal elsewhere: its own diagram comes first."""
    text = SWAPPED.replace("1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#", "1.Kb6!").replace(
        "1.Kb6! Kb8 2.Rh8#, 1...a3 2.Rh8#", SOLUTION
    )
    assert findings(text) == []


@pytest.mark.parametrize("change", CHANGES, ids=lambda change: change.words)
def test_an_image_of_an_earlier_position_is_a_note(change: Change) -> None:
    image = undone(change)
    text = f"Problem 1\nFEN: {FEN} w - - 0 1\n\nProblem 2\nFEN: {image} w - - 0 1\n"
    found = [finding for finding in findings(text) if finding.rule == "repeated-position"]
    assert [finding.level.name for finding in found] == ["note"]


def test_positions_given_once_more_in_figures_at_the_foot_are_no_repeats() -> None:
    text = (
        "Both are mates in two.\n\nFirst\nWhite: Kf2, Ne6, Re5. Black: Kg4, h5.\n"
        f"{SOLUTION}\n\nFor those who set it up:\nFirst: {FEN} w - - 0 1\n"
    )
    assert [finding.rule for finding in findings(text)] == []
