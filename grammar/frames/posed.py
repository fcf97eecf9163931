"""Men named with a square on which they may stand, or to which they may go: "it is met by the queen on b4"."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise, zip_longest

from keyproof.grammar.cues import Stance
from keyproof.grammar.lexicon.lexemes import Lexeme
from msgspec.structs import replace

from .drafts import finished
from .values import Draft, Frame, Move, Said

_LEADS = frozenset({"if"})


def with_posed(given: Iterable[Frame], words: Sequence[Lexeme], text: str) -> list[Frame]:
    """Return frames; behind each man of whom nothing but his square is told, the move of his that may be meant."""
    behind_with = {after.span.start for before, after in pairwise(words) if "with" in before.categories}
    found: list[Frame] = []
    led = False  # "if" has led to such a man: "if it's the bishop on c5, queen d7 then"
    given = list(given)
    for frame, following in zip_longest(given, given[1:]):
        if led and isinstance(frame, Move) and "then" in frame.marks:
            found.append(replace(frame, marks=frame.marks - _LEADS))
            continue
        found.append(frame)
        if isinstance(frame, Said) and frame.kind == "topic" and (posed := _posed(frame, text)) is not None:
            leads = isinstance(following, Move) and (
                "then" in following.marks or frame.span.start in behind_with
            )  # "the bishop on c7 leaves only Qc8", "with the bishop on c7 the queen mates on c8"
            posed = replace(posed, marks=posed.marks | _LEADS) if leads else posed
            found.append(posed)
            led = "if" in posed.marks
    return found


def _posed(frame: Said, text: str) -> Move | None:
    who = frame.who
    if who is None or not who.kinds or who.square is None or who.fronted or who.plural:
        return None
    if frame.stance not in (Stance.asserted, Stance.asked, Stance.supposed):
        return None
    draft = Draft(
        who.span.start, who.span.end, who=who, stance=frame.stance, marks=set(frame.marks & _LEADS), lands=True
    )
    told = finished(draft, text, ())
    ways = tuple(way for way in told.ways if all(phrase.destination is not None for phrase in way.choices))
    return replace(told, ways=ways, posed=True) if ways else None
