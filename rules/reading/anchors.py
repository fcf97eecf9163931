"""The one position that the words around a reason name: "after the key", "in the diagram", "after 1.Kb6"."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise

from keyproof.grammar.spans import Span
from keyproof.grammar.statements import Aside, Break, Marker, Reason, Statement, Topic, Turn

from ..play.node import Node
from .reading import Mention, Reading, State

_KEY_PLAYED = re.compile(r"the\s+key(?:\s+(?:has\s+been|is|was))?\s+(?:played|made|on\s+the\s+board)", re.I)
_BEFORE_KEY = re.compile(r"before\s+(?:the\s+key|white\s+(?:has\s+)?(?:moves?|moved|begins?))\b", re.I)
_COUNTED = ("flights", "replies")  # of each position the words say another number, so that they name theirs


def after_key(sentence: Span, statements: Sequence[Statement], reading: Reading) -> Node | None:
    """Return the position that "after the key" or "once the key is played" speaks of; None where nothing says so."""
    here = [each for each in statements if _inside(each.span, sentence) and not isinstance(each, Break)]
    if any(isinstance(each, Turn) for each in here):
        return None
    said = any(isinstance(each, Marker) and each.kind == "variations" for each in here)
    said = said or any(
        isinstance(one, Marker) and one.kind == "if" and isinstance(other, Aside) and _KEY_PLAYED.match(other.text)
        for one, other in pairwise(here)
    )
    keys = [m for m in reading.mentions if m.role.name == "key" and m.after and m.at[0] is reading.diagram]
    told = list(dict.fromkeys(node for mention in keys for node in mention.after))
    return told[0] if said and len(told) == 1 else None


def named_position(
    reason: Reason, statements: Sequence[Statement], told: Sequence[Mention], diagram: Node
) -> Node | None:
    """Return the position that words right beside a number of flights or replies name; None where none do.

    `statements` are those of its sentence, `told` the moves of it.
    """
    if reason.kind not in _COUNTED:
        return None
    before = [each for each in statements if each.span.end <= reason.span.start]
    behind = [each for each in statements if each.span.start >= reason.span.end]
    while before and (isinstance(before[-1], Topic) or _is_comma(before[-1])):
        before.pop()
    if _of_diagram(before[-1:]) or _of_diagram(behind[:1]):
        return diagram
    for beside in (before[-2:], behind[:2]):
        if len(beside) == 2 and _leads_after(beside[0]) and isinstance(beside[1], Turn):
            return _after(beside[1], told)
    return None


def _is_comma(statement: Statement) -> bool:
    return isinstance(statement, Break) and statement.kind == "comma"


def _of_diagram(statements: Sequence[Statement]) -> bool:
    """Tell whether the diagram is named: "in the diagram", "before the key"."""
    return any(
        (isinstance(each, Marker) and each.kind == "in_diagram")
        or (isinstance(each, Aside) and _BEFORE_KEY.fullmatch(each.text) is not None)
        for each in statements
    )


def _leads_after(statement: Statement) -> bool:
    return isinstance(statement, Marker) and statement.kind == "if"


def _after(turn: Turn, told: Sequence[Mention]) -> Node | None:
    mentions = [each for each in told if turn.span.start <= each.phrase.span.start < turn.span.end]
    if len(mentions) != 1 or mentions[0].state is not State.read or mentions[0].asked:
        return None
    return mentions[0].after[0] if len(mentions[0].after) == 1 else None


def _inside(inner: Span, outer: Span) -> bool:
    return outer.start <= inner.start < outer.end
