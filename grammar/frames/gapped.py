"""Verbs that a sentence tells once for several moves: "1.Qd5 fails to Kb6, 1.Qe5 to Kb7, and 1.Qf5 to Kb8"."""

from __future__ import annotations

from collections.abc import Sequence

from keyproof.grammar.lexicon.lexemes import Lexeme
from msgspec.structs import replace

from .values import Frame, Move

_LEADS = frozenset({"refute", "fail", "then"})
_SMALL = frozenset({"by", "to"})
_SOFT = ("comma", "line")


def gapped(found: Sequence[Frame], given: Sequence[Lexeme]) -> list[Frame]:
    """Return frames with what leads from one move to the next said of later pairs too that only "to" joins."""
    told = list(found)
    leads: frozenset[str] = frozenset()
    for place in range(1, len(told)):
        before, frame = told[place - 1], told[place]
        if not (isinstance(before, Move) and isinstance(frame, Move)):
            continue
        if "refute" in frame.marks and frame.printed and before.number is not None and before.number.second:
            frame = told[place] = replace(frame, marks=frame.marks - {"refute"} | {"then"})  # "1...Kd5 runs into Qe4"
        if said := frame.marks & _LEADS:
            leads = said
        elif leads and frame.printed and before.printed and not frame.marks and _joined(before, frame, given):
            told[place] = replace(frame, marks=leads, listed=False)
    return told


def _joined(before: Move, frame: Move, given: Sequence[Lexeme]) -> bool:
    """Tell whether nothing but one small word, and maybe a number, stands between two moves."""
    between = [each for each in given if before.span.end <= each.span.start and each.span.end <= frame.span.start]
    words = [each for each in between if each.kind not in (*_SOFT, "number")]
    return len(words) == 1 and bool(words[0].categories & _SMALL)
