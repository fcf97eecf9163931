"""Whose position a solution is: one that mostly plays where it stands is not said to belong to another."""

from collections.abc import Iterator

import chess
import pytest
from keyproof.linter.options import Options
from keyproof.linter.pipeline import cases_of, sections_of
from keyproof.linter.sources import document_from_text
from keyproof.rules.case.setting import Solution, fitting

HEAD = "FEN: K5n1/8/1R1p4/2k5/1p4Q1/1P3p2/8/6n1 w - - 0 1\nMate in two.\n\n"


class Anywhere(Solution, frozen=True):
    """A solution that plays from every board."""

    def plays(self, board: chess.Board) -> bool:
        return True


@pytest.mark.parametrize(
    ("text", "is_another_s"),
    [
        ("1.Kb7! (threat 2.Qc4#) Kd5 2.Rb5#, 1...d5 2.Qxb4#, 1...Nf6 2.Qc4#, 1...Ne2 2.Qc4#, 1...Nh3 2.Nc4#", False),
        ("1.Bb7! (threat 2.Bc4#) Rd4 2.Bb6#, 1...c5 2.Bxb4#", True),
    ],
)
def test_it_belongs_where_most_of_it_plays(text: str, *, is_another_s: bool) -> None:
    document = document_from_text("a.txt", HEAD + text + "\n", "text")
    (case,) = cases_of(document, sections_of(document, Options(fresh=True))[0], Options(fresh=True))
    assert case.reading is not None
    assert case.board is not None
    neighbours: Iterator[tuple[int, chess.Board]] = iter(())
    anywhere = Anywhere(lambda board: case.reading, case.stipulation, 1.0)  # type: ignore[arg-type, return-value]
    assert (fitting(case.board, case.reading, anywhere, neighbours) is not None) is is_another_s
