"""How well texts are read that were not written for the tests of any rule: no set may be read worse than before.

The usual run takes a sample; `pytest --whole-trial` takes every text, as .ci/run does.
"""

from dataclasses import dataclass

import chess
import pytest

from .score import Score, score, together
from .truth import SETS, Claim, paths, text


@dataclass(frozen=True)
class Bounds:
    """What a set was read like when its row was last changed. A row changes for the better only.

    `placed` is a share of the true claims that tell of moves, `alarms` a number, `found` a number of planted errors,
    of which those reported beside their line count half. `rightly` is a share of the claims of lines that are
    called placed.
    """

    placed: float
    alarms: int
    found: float
    rightly: float


WHOLE = {
    "scripts": Bounds(placed=0.98, alarms=2, found=102.5, rightly=0.98),
    "first": Bounds(placed=0.87, alarms=0, found=23, rightly=0.92),
    "second": Bounds(placed=0.90, alarms=1, found=15, rightly=0.91),
    "third": Bounds(placed=0.91, alarms=1, found=20, rightly=0.94),
    "fourth": Bounds(placed=0.85, alarms=1, found=16, rightly=0.90),
    "fifth": Bounds(placed=0.90, alarms=1, found=15, rightly=0.92),
    "sixth": Bounds(placed=0.87, alarms=3, found=19, rightly=0.92),
    "seventh": Bounds(placed=0.88, alarms=1, found=20, rightly=0.92),
    "eighth": Bounds(placed=0.87, alarms=2, found=15, rightly=0.93),
    "ninth": Bounds(placed=0.88, alarms=1, found=15.5, rightly=0.95),
    "tenth": Bounds(placed=0.93, alarms=0, found=14.5, rightly=0.97),
    "eleventh": Bounds(placed=0.78, alarms=1, found=14, rightly=0.92),
    "thirteenth": Bounds(placed=0.86, alarms=3, found=18, rightly=0.93),
    "fourteenth": Bounds(placed=0.84, alarms=1, found=22, rightly=0.89),
    "fifteenth": Bounds(placed=0.87, alarms=3, found=18, rightly=0.91),
    "sixteenth": Bounds(placed=0.87, alarms=0, found=22, rightly=0.95),
    "seventeenth": Bounds(placed=0.85, alarms=3, found=23, rightly=0.94),
    "eighteenth": Bounds(placed=0.85, alarms=1, found=26.5, rightly=0.89),
    "nineteenth": Bounds(placed=0.84, alarms=1, found=19, rightly=0.93),
    "twentieth": Bounds(placed=0.68, alarms=4, found=10, rightly=0.81),
    "twenty_first": Bounds(placed=0.87, alarms=6, found=16.5, rightly=0.93),
    "short": Bounds(placed=0.86, alarms=0, found=19.5, rightly=0.94),
    "short_unseen": Bounds(placed=0.86, alarms=1, found=18.5, rightly=0.93),
    "planted": Bounds(placed=0.89, alarms=3, found=32, rightly=0.93),
    "planted_unseen": Bounds(placed=0.81, alarms=4, found=23, rightly=0.88),
}
SAMPLE = {
    "scripts": Bounds(placed=0.98, alarms=0, found=30.5, rightly=0.98),
    "first": Bounds(placed=0.80, alarms=0, found=0, rightly=0.88),
    "second": Bounds(placed=0.95, alarms=1, found=5, rightly=1.00),
    "third": Bounds(placed=0.93, alarms=0, found=6, rightly=0.97),
    "fourth": Bounds(placed=0.92, alarms=0, found=3, rightly=0.95),
    "fifth": Bounds(placed=0.94, alarms=1, found=7, rightly=0.96),
    "sixth": Bounds(placed=0.83, alarms=0, found=3, rightly=0.89),
    "seventh": Bounds(placed=0.91, alarms=1, found=5, rightly=0.98),
    "eighth": Bounds(placed=0.87, alarms=2, found=3, rightly=0.90),
    "ninth": Bounds(placed=0.90, alarms=1, found=2, rightly=0.94),
    "tenth": Bounds(placed=0.90, alarms=0, found=6, rightly=0.98),
    "eleventh": Bounds(placed=0.86, alarms=0, found=5, rightly=1.00),
    "thirteenth": Bounds(placed=0.87, alarms=2, found=10, rightly=0.91),
    "fourteenth": Bounds(placed=0.92, alarms=1, found=7, rightly=0.92),
    "fifteenth": Bounds(placed=0.93, alarms=1, found=4, rightly=0.95),
    "sixteenth": Bounds(placed=0.84, alarms=0, found=8, rightly=0.90),
    "seventeenth": Bounds(placed=0.93, alarms=0, found=5, rightly=0.96),
    "eighteenth": Bounds(placed=0.89, alarms=0, found=11.5, rightly=0.92),
    "nineteenth": Bounds(placed=0.83, alarms=0, found=7, rightly=0.94),
    "twentieth": Bounds(placed=0.68, alarms=1, found=1, rightly=0.92),
    "twenty_first": Bounds(placed=0.88, alarms=2, found=3, rightly=0.89),
    "short": Bounds(placed=0.87, alarms=0, found=5, rightly=0.93),
    "short_unseen": Bounds(placed=0.86, alarms=0, found=5.5, rightly=0.94),
    "planted": Bounds(placed=0.93, alarms=0, found=9, rightly=0.94),
    "planted_unseen": Bounds(placed=0.79, alarms=1, found=9, rightly=0.90),
}
MARGIN_OF_WHOLE, MARGIN_OF_SAMPLE = 0.08, 0.10
"""By how much the share of clauses called placed may exceed that of claims placed rightly."""

# Each text is read once: the tests of a set run in one process.
of_each_set = pytest.mark.parametrize(
    "name", [pytest.param(name, marks=pytest.mark.xdist_group(f"trial of {name}")) for name in SETS]
)


@pytest.fixture
def whole(request: pytest.FixtureRequest) -> bool:
    return bool(request.config.getoption("--whole-trial"))


@pytest.fixture
def bounds(name: str, whole: bool) -> Bounds:
    return (WHOLE if whole else SAMPLE)[name]


@pytest.fixture
def read(name: str, whole: bool) -> Score:
    return together(score(path) for path in paths(name, whole))


@of_each_set
def test_true_claims_are_placed(read: Score, bounds: Bounds) -> None:
    assert read.placed / read.told >= bounds.placed, read


@of_each_set
def test_true_lines_draw_no_finding(name: str, whole: bool, read: Score, bounds: Bounds) -> None:
    assert read.alarms <= bounds.alarms, [path.name for path in paths(name, whole) if score(path).alarms]


@of_each_set
def test_planted_errors_are_found(read: Score, bounds: Bounds) -> None:
    assert read.found + read.beside / 2 >= bounds.found, read


@of_each_set
def test_what_is_called_placed_is_placed_rightly(read: Score, bounds: Bounds) -> None:
    assert read.rightly / read.sure >= bounds.rightly, read


@of_each_set
def test_no_more_is_called_placed_than_is(read: Score, whole: bool) -> None:
    margin = MARGIN_OF_WHOLE if whole else MARGIN_OF_SAMPLE
    assert read.trusted / read.clauses <= read.placed / read.told + margin, read


@of_each_set
def test_the_moves_of_true_claims_can_be_played(name: str) -> None:
    for path in paths(name, whole=True):
        for claim in text(path).claims:
            if claim.true:
                _play(claim)


def _play(claim: Claim) -> None:
    """Play the moves of a claim with python-chess alone; those of a mate must end in one."""
    board = chess.Board(claim.fen)
    for before, move in claim.places:
        board = chess.Board(claim.fen)
        for san in (*before, move):
            board.push_san(san)
    assert board.is_checkmate() or claim.says[0] != "mates" or not claim.places, claim
