"""What stands below positions: the orders of a file that has them there, and the keys of several in one line."""

import re
from collections.abc import Sequence
from functools import lru_cache

import chess

from .document import Diagram, PuzzleText
from .elements import Element
from .statements import Claim
from .titles import MANY_ANSWERS, STIPULATION
from .traces import NUMBERED_MOVE, PRINTED_MOVE

_ASKS = r"(?<!\w)[a-z-]{0,5}#\s?\d|\bmates?\s+in\b|\bmatt\s+in\b"
_ORDER = re.compile(rf"\W*(?:(?:white|black)\s[^.!?\r\n]{{0,40}}?)?(?:{_ASKS})[^\r\n]{{0,40}}\s*$", re.I)
_KEYS_IN_LINE = re.compile(
    rf"\W*(?:{MANY_ANSWERS}|keys)\s*[:–—-]*\s*"
    rf"(?:\d{{1,4}}[ \t]*[.):]\s+(?:{PRINTED_MOVE.pattern})[+#!?]*[\s,;.]*){{2,}}",
    re.I,
)
_POST = re.compile(r"^[ \t]*#(\d{1,3})(?=[ \t]+\S)", re.M)
_NUMBER = re.compile(r"(\d{1,4})[ \t]*[.):](?=\s)")


def is_order(text: str) -> bool:
    """Tell whether words are an order and no more than that: "Mate in two", "White mates in two"."""
    return _ORDER.match(text) is not None


def asked_below(masked: str, elements: Sequence[Element]) -> bool:
    """Tell whether the first position has its stipulation below it and none above: so have the others then."""
    first = next((place for place, each in enumerate(elements) if each.diagram is not None), None)
    if first is None or first + 1 == len(elements) or elements[first + 1].diagram is not None:
        return False
    above = (each.span.of(masked) for each in elements[:first])
    return is_order(elements[first + 1].span.of(masked)) and not any(map(STIPULATION.search, above))


def keys_in_line(text: str) -> list[int]:
    """Return the numbers of the puzzles of which one line gives the keys: "Keys: 1. Qb1! 2. Sf4!"; none else."""
    return [int(number[1]) for number in _NUMBER.finditer(text)] if _KEYS_IN_LINE.fullmatch(text) else []


def men_of(diagram: Diagram) -> frozenset[tuple[chess.Square, chess.PieceType, chess.Color]]:
    """Return the men of a position with their squares."""
    return frozenset([(square, piece.piece_type, piece.color) for square, piece in diagram.pieces.items()])


def is_play(text: str, label: re.Match[str]) -> bool:
    """Whether the number of a label is a move number after all, as in "Solution 1.Sf4!"."""
    return NUMBERED_MOVE.match(text, label.start(1)) is not None


def may_number(masked: str, claim: Claim, puzzle: PuzzleText) -> bool:
    """Tell whether a sign above the position, alone on its line, may be the number of the puzzle: "#5"."""
    line = masked.rfind("\n", 0, claim.span.start) + 1
    end = masked.find("\n", claim.span.end)
    alone = masked[line : end if end >= 0 else None].strip() == claim.text
    shown = min((diagram.span.start for diagram in puzzle.diagrams), default=0)
    return alone and claim.text.startswith("#") and claim.span.end <= shown


def numbers_post(masked: str, claim: Claim) -> bool:
    """Tell whether a sign that begins its line is one of a row of them, from 1 on: "#1 anna ... #2 ben ... #3 anna"."""
    return claim.text.startswith("#") and claim.span.start in _posts(masked)


@lru_cache(maxsize=2)
def _posts(masked: str) -> frozenset[int]:
    """Return where the numbers of a row of posts stand, nothing where lines begin with other numbers or but one."""
    found = list(_POST.finditer(masked))
    row = [int(each[1]) for each in found] == list(range(1, len(found) + 1))
    return frozenset(each.start(1) - 1 for each in found) if row and len(found) > 1 else frozenset()
