"""Words for key, try and the like that call no move so: what the key does, and how many points it is worth."""

from __future__ import annotations

from collections.abc import Sequence

from keyproof.grammar.lexicon.lexemes import Lexeme

_DOES = frozenset({"guard", "pin", "open", "frees", "block", "prevents", "gone"})


def key_does(given: Sequence[Lexeme], index: int) -> bool:
    """Tell whether the key, known by now, does something to squares and lines: "the key unpins the knight"."""
    before, following = given[index - 1 : index], given[index + 1 : index + 2]
    the = given[index].text.lower().startswith("the ") or any(each.sense("article") == "the" for each in before)
    return the and any(each.categories & _DOES for each in following)


def is_worth(given: Sequence[Lexeme], index: int) -> bool:
    """Tell whether a number of points is what follows, no number of a move: "key 2 points", "each try 1."."""
    following, after = given[index + 1 : index + 2], given[index + 2 : index + 3]
    if not following or any(told.kind in ("move", "square") or "man" in told.categories for told in after):
        return False
    each = any(before.sense("mark") == "any" for before in given[index - 1 : index])
    return following[0].text.isdecimal() or (each and following[0].text.rstrip(".").isdecimal())
