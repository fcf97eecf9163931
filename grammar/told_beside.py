"""What the words beside a man or a square say of it, in a sentence that tells men."""

from collections.abc import Sequence

from .told_words import Said

_FAR = 6  # words between "not" and the man it denies


def denied(words: Sequence[Said], place: int) -> bool:
    """Tell whether a man is named that does not stand there: "no pawns", "not so much as a pawn"."""
    for word in reversed(words[max(0, place - _FAR) : place]):
        if word.does == "not":
            return True
        if word.does in ("man", "square") or word.text in (",", ";", ":"):
            return False
        if word.does == "no":
            return word is words[place - 1]
    return False


def of_man_behind(words: Sequence[Said], place: int) -> bool:
    """Tell whether a square is that of the man told behind it: "two pawns, g7 and h7, and on h8 the king"."""
    rest = iter(words[place + 1 :])
    after = next((word for word in rest if word.does not in ("join", "word", "own", "other")), None)
    if after is None or after.does != "man" or after.several:
        return False
    behind = next((word for word in rest if word.does not in ("word", "at", "unknown")), None)
    return behind is None or behind.does == "join"


def has_square(words: Sequence[Said], place: int) -> bool:
    """Tell whether a man is put on a square right behind its name: "boxed in by his pawns on g7 and h7"."""
    does = [word.does for word in words[place : place + 2]]
    return does[:1] == ["square"] or does == ["at", "square"]
