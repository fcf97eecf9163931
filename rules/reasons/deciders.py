"""Which function decides which kind of reason."""

from collections.abc import Mapping

from keyproof.grammar.statements import ReasonKind

from .batteries import battery, battery_fired
from .blocks import blocked
from .called import other_promotion, quiet, sacrificed, underpromoted
from .discovered import discovered_check, double_check
from .duties import drawn_away, overloaded
from .flights import flight_given, flight_taken, flights, immobile
from .guards import guarded
from .judging import Decider
from .lines import line_closed, line_opened
from .pictures import mate_picture
from .pins import pinned
from .replies import replies

DECIDERS: Mapping[ReasonKind, Decider] = {
    "pinned": pinned,
    "guarded": guarded,
    "immobile": immobile,
    "replies": replies,
    "flights": flights,
    "flight_given": flight_given,
    "flight_taken": flight_taken,
    "blocked": blocked,
    "line_closed": line_closed,
    "line_opened": line_opened,
    "sacrifice": sacrificed,
    "quiet": quiet,
    "underpromotion": underpromoted,
    "other_promotion": other_promotion,
    "mate_picture": mate_picture,
    "discovered_check": discovered_check,
    "double_check": double_check,
    "battery": battery,
    "battery_fired": battery_fired,
    "drawn_away": drawn_away,
    "overloaded": overloaded,
}
