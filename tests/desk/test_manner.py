"""A position that is put into a text stands there as its others do."""

import pytest
from keyproof.linter.desk import asking
from keyproof.linter.desk.manner import manner_at
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text

from .conftest import COLUMN, FEN
from .test_asking import read

LIST = "No. 1. White: Kg7, Qf8, Rd1. Black: Kh5, pawns d5, f2. Mate in two.\n"


@pytest.mark.parametrize(
    ("text", "printed"),
    [
        ("", f"{FEN}\n\nWhite to play, mate in two (#2) (3+2)\n"),
        (COLUMN, f"# No. 8\n\n{FEN}\n\nWhite to play, mate in two (#2)\n"),
        (LIST, "No. 2. White: Kf2, Re5, Ne6. Black: Kg4, h5.\n\nWhite to play, mate in two (#2)\n"),
        (LIST + "\nNo. 2.", "White: Kf2, Re5, Ne6. Black: Kg4, h5.\n\nWhite to play, mate in two (#2)\n"),
        (
            "## Nr. 3\n\nWeiß: Kg7, Df8, Td1, Bb2\nSchwarz: Kh5, Bd5, Bf2\n\nMatt in zwei Zügen. (4+3)\n",
            "## Nr. 4\n\nWeiß: Kf2, Te5, Se6\nSchwarz: Kg4, Bh5\n\nWhite to play, mate in two (#2) (3+2)\n",
        ),
        ("Black: Kh5 d5 f2. White: Kg7 Qf8 Rd1. Mate in two.\n", "Black: Kg4 h5. White: Kf2 Re5 Ne6."),
    ],
)
def test_it_is_printed_as_the_position_above(text: str, printed: str) -> None:
    found = asking.printed(FEN, "#2", manner_at(read(text), len(text)))
    assert found.startswith(printed)
    *_, puzzle = check_text("column.md", f"{text}\n\n{found}", Options()).puzzles
    assert (puzzle.fen, puzzle.stipulation) == (FEN, "#2")


def test_what_a_list_cannot_say_is_printed_as_a_fen() -> None:
    manner = manner_at(read(LIST), len(LIST))
    for fen, asked in (
        ("4k3/8/8/8/8/8/8/R3K3 w - - 0 1", "#2"),  # king and rook at home, and no right to castle
        ("8/8/8/8/8/k1K5/8/8 b - - 0 1", ""),  # Black to play, and nothing asked says so
    ):
        assert asking.printed(fen, asked, manner).startswith(f"No. 2. {fen}\n")
