"""Mates that are said of a move only in a later sentence: "the rook checks on b5. He can't take. So it is mate"."""

from __future__ import annotations

from collections.abc import Sequence

from keyproof.grammar.cues import Stance
from keyproof.grammar.frames.values import Frame, Move, Said
from keyproof.grammar.moves import Effect
from keyproof.grammar.spans import Span

from .hypothesis import Link, Placement


def mates_later(links: Sequence[Link]) -> dict[Frame, tuple[Effect, Span]]:
    """Return what is said later of moves that mate, up to the next move or paragraph."""
    found: dict[Frame, tuple[Effect, Span]] = {}
    told: Placement | None = None
    for link in links:
        frame = link.frame
        if link.placement is not None:
            told = link.placement
        elif isinstance(frame, Said) and frame.kind == "effect":
            says = frame.effects[0][0] is Effect.mate and frame.stance is Stance.asserted
            if says and told is not None and all(end.mate for end in told.ends()):
                found.setdefault(told.frame, frame.effects[0])
        elif _breaks_off(frame):
            told = None
    return found


def _breaks_off(frame: Frame) -> bool:
    """Tell whether what is said behind some words may be said of another move than the one placed last."""
    return frame.kind == "paragraph" if isinstance(frame, Said) else not _is_denied(frame)


def _is_denied(frame: Move) -> bool:
    return frame.stance is Stance.denied
