"""Which moves a reason speaks of that names a move or a mate: "1.Qc8 is a quiet move", "a model mate".

Such words stand right beside the move, or point back to it ("That is a quiet move"); the key is known
by its name. Elsewhere they may speak of any move, even of one that is told later, and claim nothing.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from keyproof.grammar.spans import Span
from keyproof.grammar.statements import Aside, Break, Marker, Outcome, Reason, Statement, Turn

from ..play.node import Node
from .reading import Mention

_KINDS = ("quiet", "underpromotion", "mate_picture", "discovered_check", "double_check", "battery_fired")
_ALONE = ("mate_picture", "discovered_check", "double_check")  # "A model mate!" may be a sentence
_IS = re.compile(r"\b(?:is|was)\b|\b(?:that|this|it)['’]s\b")
_CLEFT = re.compile(r"\bit(?:['’]s|\s+is|\s+was)\b")  # "it was a quiet move that solved it"
_LINKS = re.compile(
    r"(?:\b(?:and|so|then|which|what|that|this|it|he|she|is|was|an?|very|really|quite|also|again|even|indeed|of|course"
    r"|by|with|pretty|lovely|nice|fine|beautiful|little|surprising)(?:['’]s)?\b|[\s:–—,(-])*"
)
_ADDS = re.compile(r"\b(?:and|so|then)\b")  # "1...Kc7 and a quiet move" is no name for 1...Kc7
_LEADS = re.compile(r"(?:\b(?:now|with|by|namely|first|comes|the|a|white|plays|of|is|move)\b|[\s:–—,(-])*")
_OTHERWISE = re.compile(
    r"\s*(?!(?:and|that|which|with|because|since|so|but|as|for|though|although|too|again|indeed)\b)\w"
)
# Words that go on after a name make a sentence of its own: "1...Kxd8! A quiet move is better"


def names_a_move(reason: Reason) -> bool:
    """Tell whether a reason is a name for a move or a mate."""
    return reason.kind in _KINDS or (reason.kind == "sacrifice" and reason.where != "")


def moves_meant(
    reason: Reason, sentence: Span, statements: Sequence[Statement], mentions: Sequence[Mention]
) -> list[Node]:
    """Return the positions after the moves that such a reason may speak of, none where that is not plain."""
    if reason.kind == "quiet" and _of_key(reason, statements):
        return _after([each for each in mentions if each.role.name == "key"])
    inside = [each for each in statements if sentence.start <= each.span.start < sentence.end]
    before, words = _beside([each for each in inside[::-1] if each.span.start < reason.span.start])
    after, leads = _beside([each for each in inside if each.span.start >= reason.span.end])
    found: list[Node] = []
    if _CLEFT.search(words) and leads.startswith("that"):
        before = None
    says_so = _IS.search(words) is not None
    if before is not None and _LINKS.fullmatch(words) and (says_so or not _goes_on(reason, words, leads)):
        found = _after(_of(mentions, before))
        if says_so:
            return found
    if after is not None and _LEADS.fullmatch(leads) and leads[:1] != "," and not (found and leads[:1] == "\n"):
        found += _after(_of(mentions, after))
    if found:
        return found
    here = [each for each in mentions if sentence.start <= each.phrase.span.start < sentence.end]
    if here:
        named = reason.text.lower().startswith(("the ", "this ", "that ", "any ", "every ", "each "))
        return _after(here) if reason.kind == "mate_picture" and not named else []
    if reason.kind in _ALONE:
        says_so = says_so or not leads.strip()
    if reason.kind == "battery_fired":
        pronoun = reason.other is not None and reason.other.pronoun
        says_so = says_so or pronoun or words.strip() == "this" or reason.text.lower().startswith("that ")
    points_back = says_so and _LINKS.fullmatch(words)
    earlier = [each for each in mentions if each.phrase.span.start < reason.span.start]
    return _after(earlier[-1:]) if points_back else []


def _of_key(reason: Reason, statements: Sequence[Statement]) -> bool:
    """Tell whether the next word is "key": "a quiet key"."""
    following = next((each for each in statements if each.span.start >= reason.span.end), None)
    if isinstance(following, Aside):
        return following.text.lower().startswith("key")
    return isinstance(following, Marker) and following.kind in ("key", "was_key")


def _goes_on(reason: Reason, words: str, leads: str) -> bool:
    """Tell whether a name that follows a move is the beginning of another thought."""
    if reason.kind in (*_ALONE, "battery_fired"):
        return _OTHERWISE.match(leads) is not None
    return _OTHERWISE.match(leads) is not None or _ADDS.search(words) is not None


def _beside(statements: Sequence[Statement]) -> tuple[Turn | None, str]:
    """Return the first move of a run of statements, and the words that stand before it, in either direction."""
    words: list[str] = []
    for statement in statements:
        if isinstance(statement, Turn):
            return statement, " ".join(words)
        if isinstance(statement, Aside):
            words.append(statement.text.lower())
        elif isinstance(statement, Break):
            words.append({"line": "\n", "comma": ","}.get(statement.kind, ""))
        elif not isinstance(statement, Outcome):
            words.append("?")  # another claim stands between
    return None, " ".join(words)


def _of(mentions: Sequence[Mention], turn: Turn) -> list[Mention]:
    return [each for each in mentions if turn.span.start <= each.phrase.span.start < turn.span.end]


def _after(mentions: Sequence[Mention]) -> list[Node]:
    return [node for mention in mentions for node in mention.after]
