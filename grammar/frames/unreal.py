"""Refutations told by what they are not: "1.Qh1 would be splendid if the rook did not take it"."""

from __future__ import annotations

from collections.abc import Sequence

from keyproof.grammar.cues import Stance
from keyproof.grammar.lexicon.lexemes import Lexeme
from msgspec.structs import replace

from .values import Frame, Move

_LEADS = frozenset({"if", "then"})


def with_unreal(found: Sequence[Frame], given: Sequence[Lexeme]) -> list[Frame]:
    """Return frames in which a move is said to refute if only without it all would be well."""
    told = list(found)
    wish = next((each.span.end for each in given if "unreal" in each.categories), None)
    for place, frame in enumerate(told):
        if isinstance(frame, Move) and _is_saved_by(frame, given):
            told[place] = replace(frame, marks=frame.marks - _LEADS | {"refute"}, stance=Stance.asserted)
        if wish is None or not isinstance(frame, Move) or frame.stance is not Stance.denied:
            continue
        led = "if" in frame.marks and wish <= frame.span.start
        if led and not _is_past(frame, given):
            marks = frame.marks - _LEADS | {"refute"}
            left = tuple(each for each in frame.uncovered if each.start >= frame.span.start)
            told[place] = replace(frame, marks=marks, stance=Stance.asserted, able=False, apart=False, uncovered=left)
    return told


def _is_saved_by(frame: Move, given: Sequence[Lexeme]) -> bool:
    """Tell whether words such as "were it not for" stand right before a move, but for its number."""
    before = [each for each in given if each.span.end <= frame.span.start and each.kind != "number"]
    return bool(before) and before[-1].sense("unreal") == "but"


def _is_past(frame: Move, given: Sequence[Lexeme]) -> bool:
    """Tell whether the move is one that was played: "if the pawn had not gone to c5", but not "hadn't e5"."""
    words = [each for each in given if frame.span.start <= each.span.start < frame.span.end]
    return frame.verb not in ("", "have") and any({"have", "suppose"} <= each.categories for each in words)
