"""Men who are called otherwise: by names a text gives them, and by pronouns.

"The kings are harbourmasters, the rooks lighthouses; ... harbourmaster on e1", "White's king and queen are neighbours,
he on h3, she on g3". Who introduces a name tells it of a man in one clause with him; where it stands before a square
later, it is that man.
"""

from collections.abc import Mapping, Sequence
from itertools import zip_longest

import chess
from msgspec.structs import replace

from .bead import Bead
from .kings import KING_STANDS, WHOSE_KING

_IS = frozenset(
    ("is", "are", "=", "called", "means", "sind", "ist", "heißen", "heißt", "est", "sont", "es", "son", "è")
)
_ARTICLES = frozenset(
    (
        "a",
        "an",
        "the",
        "my",
        "our",
        "all",
        "ein",
        "eine",
        "der",
        "die",
        "das",
        "un",
        "une",
        "le",
        "la",
        "les",
        "el",
        "los",
        "il",
    )
)
_ENDS = frozenset((",", ".", ";", "and", "und", "et", "y", "e", "\n", ")", ":"))
_INTRODUCES = 5  # words behind a man in which he is given a name
_SHORTEST = 3  # letters of a name
_PRONOUNS = {
    "he": chess.KING, "she": chess.QUEEN, "er": chess.KING, "sie": chess.QUEEN, "lui": chess.KING, "elle": chess.QUEEN,
    "él": chess.KING, "ella": chess.QUEEN,
}  # fmt: skip
_AT = frozenset(("on", "at", "auf", "en", "in", "op"))
_NEAR = 12  # beads before a pronoun in which both whom it may mean are named


def named_otherwise(found: Sequence[Bead]) -> list[Bead]:
    """Return what stands in a stretch with the men for the names and pronouns that stand for them."""
    names = _introduced(found)
    named = [replace(bead, does="man", values=(kind,)) if (kind := _kind(bead, names)) else bead for bead in found]
    return _by_owners(_by_pronouns(named))


def _kind(bead: Bead, names: Mapping[str, int]) -> int:
    return names.get(_bare(bead.text), 0) if names and bead.does in ("word", "file") and bead.text else 0


def _bare(word: str) -> str:
    word = word.removesuffix("'s")
    return word[:-1] if word.endswith("s") and len(word) > _SHORTEST else word


def _introduced(found: Sequence[Bead]) -> dict[str, int]:
    """Return the names that a text gives to men: of each the last word, where it stands again before a square."""
    given: dict[str, tuple[int, int]] = {}
    led = False  # "the kings are harbourmasters, the queens mermaids": one verb for all
    for place, bead in enumerate(found):
        if bead.does == "end":
            led = False
        if bead.does != "man" or bead.tight:
            continue
        words = found[place + 1 : place + 1 + _INTRODUCES]
        is_first = bool(words) and words[0].does == "word" and words[0].text in _IS
        led = led or is_first
        name = _name(words[1:] if is_first else words) if led else None
        if name is not None:
            given.setdefault(_bare(name), (bead.values[0], place))
    used = [(_bare(one.text), place) for place, one in enumerate(found) if _has_square(found, place)]
    return {
        name: kind
        for name, (kind, at) in given.items()
        if any(one == name and not at < place <= at + _INTRODUCES for one, place in used)
    }


def _name(words: Sequence[Bead]) -> str | None:
    """Return the name that stands at the beginning of some words: one or two, an article before them."""
    rest = list(words)
    while rest and rest[0].does in ("word", "file", "number") and rest[0].text in _ARTICLES:
        rest = rest[1:]
    name = None
    for bead in rest[:3]:
        if bead.does == "end" or bead.text in _ENDS:
            return name
        if bead.does != "word" or len(bead.text) < _SHORTEST or not bead.text.isalpha():
            return None
        name = bead.text
    return None


def _has_square(found: Sequence[Bead], place: int) -> bool:
    """Tell whether a word stands right before a square: "harbourmaster on e1", "pepper pot, on g6"."""
    if found[place].does != "word" or len(found[place].text) < _SHORTEST:
        return False
    near = found[place + 1 : place + 4]
    before = [each for each in near if each.does == "square"]
    return bool(before) and all(each.does in ("word", "square") for each in near[: near.index(before[0])])


def _by_pronouns(found: list[Bead]) -> list[Bead]:
    """Take "he on h3, she on g3" for the king and the queen who were named together before."""
    for place, bead in enumerate(found):
        kind = _PRONOUNS.get(bead.text)
        if kind is None or not place or found[place - 1].text not in _ENDS:
            continue  # "la dame tout contre lui en d7"
        if not _right_before_square(found[place + 1 : place + 3]):
            continue
        whom = next((at for at in range(place - 1, max(-1, place - _NEAR), -1) if _is(found[at], kind)), None)
        if whom is not None and not any(found[at].does == "end" for at in range(whom, place)):
            found[whom] = replace(found[whom], does="word")
            found[place] = replace(bead, does="man", values=(kind,))
    return found


def _by_owners(found: list[Bead]) -> list[Bead]:
    """Take "our king's on d4, and his is on a4" for the other king: whose man it is stands for him."""
    told: list[Bead] = []
    king = False
    for bead, behind in zip_longest(found, found[1:]):
        told.append(bead)
        if bead.does == "end" and bead.text != "?":
            king = False
        elif bead.does == "man":
            king = chess.KING in bead.values
        elif king and bead.text in WHOSE_KING and behind is not None and behind.text in KING_STANDS:
            told.append(Bead("man", bead.span, (chess.KING,), text=bead.text))
    return told


def _right_before_square(behind: Sequence[Bead]) -> bool:
    return len(behind) > 1 and behind[0].text in _AT and behind[1].does == "square"


def _is(bead: Bead, kind: int) -> bool:
    return bead.does == "man" and kind in bead.values and bead.text not in _PRONOUNS
