"""The settings of a run."""

from collections.abc import Mapping

from keyproof.rules.case.house import House
from keyproof.rules.finding import Level
from keyproof.rules.proof.prover import DEFAULT_EFFORT
from msgspec import Struct, field

from .kinds import Kind


class Options(Struct, frozen=True):
    """What a check may be told.

    `effort` limits each proof, in million positions searched; `fresh` proves anew what is kept
    from earlier runs. `reading_as` is the kind of every file, whatever its suffix; `name` is
    what standard input is called. `levels` holds the rules whose level is changed, None: off.
    `tables` is a folder of endgame tables. `positions` is the file with the positions of talks that
    show none; `show_reading` asks how each sentence was understood, `show_moves`
    for the positions that the moves of the text lead to.
    """

    effort: float = DEFAULT_EFFORT
    fresh: bool = False
    reading_as: Kind | None = None
    name: str | None = None
    house: House = field(default_factory=House)
    levels: Mapping[str, Level | None] = field(default_factory=dict)
    tables: str | None = None
    positions: str | None = None
    show_reading: bool = False
    show_moves: bool = False
