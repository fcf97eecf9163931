"""What a text asks of its position: where the stipulation stands."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import lru_cache
from itertools import chain

from keyproof.grammar.orders import foreign_orders, told_orders
from keyproof.grammar.scan import statements as scan
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import Claim
from keyproof.grammar.traces import NUMBERED_MOVE
from keyproof.grammar.words import NUMBERS

from ..board.stipulation import Stipulation

OTHER_GENRES = re.compile(
    r"\b(?:series|ser)[\s-]*(?:direct|self|help|reflex|stale|help-?stale)?-?(?:mate|mover)s?(?:\s+in\s+\w+(?:\.5|½)?)?"
    r"|\bp?ser-\w*[#=]\s?\d+"
    r"|\b(?:semi[\s-]?reflex|help[\s-]?self|self[\s-]?help|reci-?help)-?mates?(?:\s+in\s+\w+(?:\.5|½)?)?"
    r"|\b(?:hs|sh|hr|semi-?r)[#=]\s?\d+(?:\.5|½)?"
    r"|\bproof\s+game(?:\s+in\s+\w+(?:\.5|½)?)?",
    re.I,
)
"""Kinds of problem that are not known here."""

RESULT = re.compile(
    r"\b(?P<first>white|black)\s+(?:to\s+(?:move|play)[,;]?\s+(?:and\s+)?(?:(?P<side>white|black)\s+)?"
    r"(?:to\s+)?|to\s+)?(?P<result>wins?|draws?)\b(?!\s+(?:the|a|an|his|her|its|attention|on|from|up|with)\b)",
    re.I,
)
"""The win or draw of a study."""

_OPENED = re.compile(r"(?<![\w*])\*(?=[^\W\d]|#)[^*]*$")  # an asterisk that begins a run of words
_GENRES = {"self": "s#", "help": "h#", "reflex": "r#", "stale": "=", "helpstale": "h="}


def read_stipulation(words: str) -> Stipulation | None:
    """Read "#2", "mate in two", "White to play and mate in 3 moves", "helpmate in 2½"; None if it is none of these."""
    text = words.lower().replace("½", ".5").replace(" and a half", ".5")
    symbol = re.search(r"([a-z-]*[#=])\s?(\d+(?:\.5)?)", text)
    turned = re.fullmatch(r"(\d+)#", text.strip())
    if turned is not None:
        genre, moves = "#", turned[1]
    elif symbol is not None:
        genre, moves = symbol[1], symbol[2]
    else:
        spoken = re.search(r"(self|helpstale|help|reflex|stale)?-?mates?\s+in\s+(\d+(?:\.5)?|\w+)(\.5)?", text)
        if spoken is None:
            return None
        genre = _GENRES.get(spoken[1] or "", "#")
        moves = str(NUMBERS.get(spoken[2], spoken[2])) + (spoken[3] or "")
    try:
        return Stipulation.parse(genre + moves)
    except ValueError:
        return None


def first_stipulation(claims: Iterable[Claim]) -> Claim | None:
    """Return the first claim that is a stipulation one can read."""
    return next((claim for claim in claims if read_stipulation(claim.text) is not None), None)


def is_starred(claim: Claim, text: str, masked: str) -> bool:
    """Tell whether an asterisk stands behind the symbol of a stipulation: "h#2*".

    One that is markup, or closes what another one opened ("*Mate in two*"), says nothing.
    """
    star = claim.span.end + (text[claim.span.end : claim.span.end + 1] == "\\")
    line = masked[masked.rfind("\n", 0, claim.span.start) + 1 : claim.span.end]
    return masked[star : star + 1] == "*" and _OPENED.search(line) is None


@lru_cache(maxsize=64)
def shared_stipulation(masked: str, loose: tuple[Span, ...]) -> Claim | None:
    """Return the stipulation in the words before all puzzles of a file; kept, since each puzzle asks."""
    claims = (s for s in scan(masked, loose)[0] if isinstance(s, Claim) and s.kind == "stipulation")
    return first_stipulation(claims) or in_other_words(masked, loose)


def in_other_words(masked: str, spans: Iterable[Span]) -> Claim | None:
    """Return the stipulation that another language than English, or a speaker, gives before the first move."""
    for span in spans:
        move = NUMBERED_MOVE.search(masked, *span)
        before = Span(span.start, move.start() if move else span.end)
        if order := next(chain(foreign_orders(masked, before), told_orders(masked, before)), None):
            return Claim("stipulation", order.span, order.english)
        if move:
            break
    return None
