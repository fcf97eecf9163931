"""Which function decides which kind of reason."""

from collections.abc import Mapping

from keyproof.grammar.statements import ReasonKind

from .blocks import blocked
from .flights import flight_given, flight_taken, flights, immobile
from .guards import guarded
from .judging import Decider
from .lines import line_closed, line_opened
from .pins import pinned

DECIDERS: Mapping[ReasonKind, Decider] = {
    "pinned": pinned,
    "guarded": guarded,
    "immobile": immobile,
    "flights": flights,
    "flight_given": flight_given,
    "flight_taken": flight_taken,
    "blocked": blocked,
    "line_closed": line_closed,
    "line_opened": line_opened,
}
