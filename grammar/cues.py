"""What the words of a sentence say about the author's own part in it: he denies, supposes, quotes, takes back.

Such cues are put together of a few kinds of words (lexicon: `report`, `reporter`, `truth`, `untruth`, `unsaid`,
`hedge`), as people put them together: "a reader thought that ...", "it is not the case that ...", "..., writes my
neighbour". Forms that are no such sum stand in the lexicon whole (`stance`, `governs`).
"""

from collections.abc import Iterator, Sequence
from enum import Enum

from .lexicon.lexemes import Lexeme

_NEAR = 3  # words between who says something and the verb
CHESS = frozenset(("square", "move", "number"))  # kinds of lexemes that tell of play by themselves
_ACTS = frozenset(("man", "pronoun", "side"))
_DEEDS = frozenset(("take", "go", "castle", "promote", "put"))
NONE = frozenset(("nobody", "nothing", "none", "no", "no one"))
_RULES = frozenset(("governs", "truth", "untruth", "report", "hedge"))
_BEGINS = frozenset(("word", "unknown", "dash", *CHESS))


class Stance(Enum):
    """What the author does with a clause."""

    asserted = "asserted"
    denied = "denied"
    asked = "asked"
    supposed = "supposed"
    wished = "wished"
    quoted = "quoted"
    withdrawn = "withdrawn"
    __hash__ = object.__hash__  # that of Enum takes two calls

    @property
    def claims(self) -> bool:
        """True where the clause can be false."""
        return self in (Stance.asserted, Stance.denied)


def own_stances(part: Sequence[Lexeme]) -> frozenset[Stance]:
    """Return the stances that the words of a part of a sentence give to that part."""
    found = {Stance[word.sense("stance") or ""] for word in part if "stance" in word.categories}
    if [place for place, word in enumerate(part) if "hedge" in word.categories and _supposes(part, place)]:
        found.add(Stance.supposed)
    if any_prevents(part) or _nobody_to(part):
        found.add(Stance.denied)
    return frozenset(found)


def any_prevents(words: Sequence[Lexeme]) -> bool:
    """Tell whether one of some words says that the move right behind it cannot be played."""
    return any(prevents(words, place) for place, word in enumerate(words) if "prevents" in word.categories)


def prevents(words: Sequence[Lexeme], place: int) -> bool:
    """Tell whether a word says that the move right behind it cannot be played: "stops 1...O-O", "prevents castling"."""
    if "prevents" not in words[place].categories:
        return False
    behind = [each for each in words[place + 1 : place + 6] if not each.categories & {"article", "side", "our"}]
    at_once = behind and (behind[0].kind in ("move", "number") or "castle" in behind[0].categories)
    return bool(at_once and words[place].sense("prevents") != "from") or _from_doing(behind)


def _from_doing(behind: Sequence[Lexeme]) -> bool:
    """Tell whether words name a man and what he would do: "(stops) him from going", "(prevents) the king reaching"."""
    if len(behind) < 3 or not behind[0].categories & {"man", "object"}:
        return False
    deed = behind[2] if "from" in behind[1].categories else behind[1]
    return bool(deed.categories & _DEEDS or "can" in deed.categories) and "ing" in deed.text.lower()


def _nobody_to(part: Sequence[Lexeme]) -> bool:
    """Tell whether nobody is there to do something: "there is nobody left at h1 to castle with"."""
    if "to" not in frozenset().union(*[word.categories for word in part]):
        return False
    texts = [word.text.lower() for word in part]
    there = next((at for at, text in enumerate(texts) if text in ("there", "there's", "there’s")), None)
    if there is None:
        return False
    nobody = next((at for at in range(there, len(part)) if texts[at] in NONE), len(part))
    return any(
        "to" in word.categories and after.categories & _DEEDS
        for word, after in zip(part[nobody:], part[nobody + 1 :], strict=False)
    )


def ruling_stance(words: Sequence[Lexeme], first: int, end: int) -> Stance | None:
    """Return the stance that the words from `first` to `end` of a sentence give to all that follows in it."""
    found = None
    for place in range(first, end):
        stance = _rules(words, place) if words[place].categories & _RULES else None
        if stance is not None and any(each.kind in _BEGINS for each in words[place + 1 :]):
            found = stance  # not in "1.O-O is what the author gave"
    return found


def backward_stance(words: Sequence[Lexeme]) -> Stance | None:
    """Return the stance that a sentence, or its end, gives to the chess before it: "that was wrong", "says a reader".

    None where it has chess of its own.
    """
    if not CHESS.isdisjoint([each.kind for each in words]):
        return None
    for place, word in enumerate(words):
        if "report" in word.categories and (who := _who_says(words, place)) is not None and who != "we":
            return Stance.quoted
        if {"truth", "untruth"} & word.categories and _points_back(words[:place]) and not _is_that(words, place + 1):
            return Stance.withdrawn if ("truth" in word.categories) is _denied(words[:place]) else None
    return Stance.withdrawn if any("unsaid" in word.categories for word in words) else None


def _rules(words: Sequence[Lexeme], place: int) -> Stance | None:
    word = words[place]
    if (sense := word.sense("governs")) is not None:
        return Stance[sense]
    if {"truth", "untruth"} & word.categories and _is_that(words, place + 1):
        untrue = "untruth" in word.categories
        return Stance.denied if untrue is not _denied(words[max(0, place - _NEAR) : place]) else None
    if "report" in word.categories:
        who = _who_says(words, place)
        if who == "we" and word.sense("report") == "printed":
            return Stance.quoted  # "we wrote 2.Qe7": an erratum
        if who == "nobody" or (who == "we" and _denied(words[max(0, place - _NEAR) : place])):
            return Stance.denied
        return Stance.quoted if who not in (None, "we") else None
    hedged = "hedge" in word.categories and place + 1 < len(words) and "opens" in words[place + 1].categories
    return Stance.supposed if hedged else None  # "perhaps after 1...Kd5 the queen mates"


def _who_says(words: Sequence[Lexeme], place: int) -> str | None:
    """Return who is the subject of a verb of saying: "we", "nobody" or "other"; None if there is none beside it."""
    if _is_counted(words, place):
        return None  # "he has one reply", where nobody replies
    before = _subject(reversed(words[max(0, place - _NEAR) : place]))
    return before or _subject(iter(words[place + 1 : place + 1 + _NEAR]))


def _is_counted(words: Sequence[Lexeme], place: int) -> bool:
    """Tell whether a word for a reply is a noun here, as the article or the number before it shows."""
    sense = words[place].sense("answering")
    before = next((each for each in reversed(words[:place]) if not each.categories & {"fitting", "filler"}), None)
    if sense is None or before is None:
        return False
    one = before.sense("count") == "1" or "article" in before.categories
    return one if sense == "one" else "count" in before.categories and before.sense("count") != "1"


def _subject(words: Iterator[Lexeme]) -> str | None:
    for word in words:
        if word.kind not in ("word", "unknown"):
            return None
        if (sense := word.sense("reporter")) is not None:
            return sense or "other"
        if "we" in word.categories:
            return "we"
    return None


def _supposes(part: Sequence[Lexeme], place: int) -> bool:
    """Tell whether play follows a word of doubt, "perhaps 1...Kd5", and not praise, "perhaps the best"."""
    following = [word for word in part[place + 1 : place + 3] if "article" not in word.categories]
    return any(word.kind in CHESS or _ACTS & word.categories for word in following[:1])


def _points_back(words: Sequence[Lexeme]) -> bool:
    return any("pointing" in word.categories for word in words)


def _is_that(words: Sequence[Lexeme], place: int) -> bool:
    """Tell whether "that" stands at a place, behind a comma where the language sets one: ", dass ..."."""
    if place + 1 < len(words) and words[place].kind == "comma":
        place += 1
    return place < len(words) and "that" in words[place].categories


def _denied(words: Sequence[Lexeme]) -> bool:
    return any("deny" in word.categories or word.sense("stance") == "denied" for word in words)
