"""Threats told once replies have been told, for which words must speak of what would come next."""

from __future__ import annotations

from keyproof.grammar.frames.values import Move, Said

from ...play.node import Node
from .hypothesis import Hypothesis

_THREATS = frozenset({"threat", "was threat", "ready"})
_REPLY = 2  # half-moves up to a reply to a first move
_SENTENCES = 2  # that may end between the word "threats" and the moves


def is_late(frame: Move, at: Hypothesis) -> bool:
    """Tell whether replies are being told where the text stands, and nothing leads from there back to a threat."""
    if "wish" in frame.marks or ("at key" in frame.marks and not at.waiting):  # not "Bxa5. Now queen f6, mate"
        return False
    reply: Node | None = at.frontier[0]
    while reply is not None and reply.ply > _REPLY:
        reply = reply.parent
    if reply is None or reply.ply < _REPLY or not reply.move:
        return False
    return not _speaks_of_threats(at)


def is_astray(first: Node, at: Hypothesis) -> bool:
    """Tell whether the same sentence has just told another first move than the one that threatens."""
    here = at.frontier[0]
    told = here.ply == 1 and bool(here.move) and here is not first and not (at.fresh or at.sentence_over)
    return told and not _speaks_of_threats(at)


def _speaks_of_threats(at: Hypothesis) -> bool:
    """Tell whether threats are named right before, whichever they are: "Two threats. Queen d8 is the dull one."."""
    link, ends = at.link, 0
    while link is not None and ends <= _SENTENCES and link.placement is None:
        if _THREATS & link.frame.marks:
            return True
        ends += isinstance(link.frame, Said) and link.frame.kind == "end"
        link = link.before
    return False
