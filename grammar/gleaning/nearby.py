"""Men who are named since another stands by them: they are no men of the telling there, as a preposition shows."""

from collections.abc import Sequence

from msgspec.structs import replace

from .bead import Bead

_JOINS = frozenset(("and", "und", "et", "y", "e", "en"))
_PARTS = frozenset((",", ";", ":", "(", "\n", "-", "–", "—"))
_WORDS_BEFORE_MAN = 5  # "in front of the poor black king"


def near_others(found: list[Bead], words: Sequence[str]) -> list[Bead]:
    """Mark the men by whom another stands, and whose they are: "under the rook", "past a black pawn, on e2".

    Not those who have a square of their own right behind them.
    """
    known = frozenset(words)
    for place, bead in enumerate(found):
        if bead.does == "word" and not known.isdisjoint(bead.text.split()):
            marked = _men_named(found, place + 1) or _square_named(found, place + 1)
            while marked and found[marked[-1] + 1 : marked[-1] + 2] and found[marked[-1] + 1].text in _JOINS:
                more = _men_named(found, marked[-1] + 2)
                if not more:
                    break
                marked += more
            for each in marked:
                found[each] = replace(found[each], near=True)
    return found


def _men_named(found: Sequence[Bead], place: int) -> list[int]:
    """Return the places of a man that is named from a place on, and of whose he is; none where he has a square."""
    whose: list[int] = []
    for at in range(place, min(place + _WORDS_BEFORE_MAN, len(found))):
        bead = found[at]
        if bead.does in ("side", "own", "hearer", "other"):
            whose.append(at)
        elif bead.does == "man" and not bead.tight:
            behind = found[at + 1 : at + 3]
            led = behind[:1] and behind[0].does == "word" and behind[0].text not in _PARTS
            placed = any(each.does == "square" for each in behind[: 2 if led else 1])
            if behind[:1] and behind[0].does == "side" and not whose:  # "sotto il re nero"
                return [at, at + 1]
            return [] if placed else [*whose, at]
        elif bead.does not in ("word", "number") or bead.text in _PARTS:
            break
    return []


def _square_named(found: Sequence[Bead], place: int) -> list[int]:
    """Return the place of a square that tells by whom a man stands: "next to the one on e7"."""
    for at in range(place, min(place + _WORDS_BEFORE_MAN, len(found))):
        if found[at].does == "square":
            return [at]
        if found[at].does != "word" or found[at].text in _PARTS:
            break
    return []
