"""Squares told in an alphabet of the speaker's own: "apple five, bobby five, harry seven".

Files are spelt by many words, and no list holds them all. Where several squares are spelt by words that are known, a
word that nobody knows is one more, by its first letter, right before the number of a rank.
"""

from collections.abc import Sequence
from itertools import zip_longest

import chess
from msgspec.structs import replace

from ..lexicon.table import Table
from .bead import Bead

_ENOUGH = 3  # squares that are spelt by words which are known
_SHORTEST = 3  # letters of a word that spells one


def spelt_alike(found: Sequence[Bead], table: Table) -> list[Bead]:
    """Return what stands in a stretch with the squares whose files are spelt by words that are not known."""
    if sum(_is_spelt(bead) for bead in found) < _ENOUGH:
        return list(found)
    told: list[Bead] = []
    spelt = False
    for bead, behind in zip_longest(found, found[1:]):
        if spelt:
            spelt = False
        elif behind is not None and _may_spell(bead, behind, table):
            square = chess.square(chess.FILE_NAMES.index(bead.text[0]), behind.values[0] - 1)
            told.append(replace(bead, does="square", span=bead.span.to(behind.span), values=(square,)))
            spelt = True
        else:
            told.append(bead)
    return told


def _is_spelt(bead: Bead) -> bool:
    return bead.does == "square" and not bead.old and bead.text.replace(" ", "").isalpha()


def _may_spell(word: Bead, number: Bead, table: Table) -> bool:
    """Tell whether a word and a number behind it may name a square."""
    named = word.does == "word" and word.text.isalpha() and len(word.text) >= _SHORTEST and word.text[0] in "abcdefgh"
    return named and number.does == "number" and 1 <= number.values[0] <= 8 and (word.text,) not in table.forms
