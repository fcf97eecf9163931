"""Words that tell of a move that would be made, and not of one that is: "the queen would be taken", "he'd slip out"."""

from __future__ import annotations

from collections.abc import Iterable

from keyproof.grammar.lexicon.lexemes import Lexeme

_SHORT = ("'d", "\u2019d")


def supposes(clause: Iterable[Lexeme]) -> bool:
    """Tell whether one of the words of a clause says so."""
    return any(
        bool(each.categories & {"suppose", "modal", "unreal"})
        or (each.sense("pronoun") is not None and each.text.lower().endswith(_SHORT))
        for each in clause
        if each.kind == "word"
    )
