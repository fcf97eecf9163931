"""Promotions of which a text never says what the pawn becomes, though the play shows what was meant."""

from __future__ import annotations

from collections.abc import Iterator

import chess
from keyproof.grammar.lexicon.lexemes import lexemes

from ..case.case import Case
from ..play.node import Node
from ..reading.reading import Mention
from .roots import once, sound_mentions


def untold(case: Case) -> Iterator[tuple[Mention, Node, list[chess.Move]]]:
    """Yield moves told in words that promote, with all that the pawn might become, where no word anywhere says it."""
    for mention in sound_mentions(case):
        phrase = mention.phrase
        if not (phrase.worded and phrase.exact) or phrase.promotion is not None:
            continue
        for node, after in mention.ways:
            moves = [move for move in node.meant(phrase) if move.promotion]
            one = len({(move.from_square, move.to_square) for move in moves}) == 1
            if one and len(after) == 1 and after[0].move in moves:
                if not once(case, "says what becomes", None, lambda: _says_what_becomes(case)):
                    yield mention, node, moves
                break


def _says_what_becomes(case: Case) -> bool:
    """Tell whether any word of the text speaks of what a pawn becomes, or of a man that is new."""
    if case.reading is None or any(mention.phrase.promotion is not None for mention in case.reading.mentions):
        return True
    words = (word for span in case.puzzle.prose for word in lexemes(case.masked, span))
    return any({"promote", "promoting"} & word.categories or word.text.lower() == "new" for word in words)
