"""How many replies a text says refute a first move, or that the one it gives is the only one."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence
from itertools import takewhile
from operator import attrgetter

from keyproof.grammar.lexicon.lexemes import Lexeme
from keyproof.grammar.statements import Claim

from .reading import Mention, PlacedClaim, Reading, State

_ENDS = frozenset(("stop", "comma", "semicolon", "colon", "close", "dash", "cell", "question"))
_OPENS = frozenset(("comma", "dash", "colon", "open", "number"))
_PALE = frozenset(("filler", "harmless", "fitting"))  # what may stand between a number and what it counts
_JOINS = frozenset(("filler", "harmless", "be", "article", "pronoun", "own", "number"))  # up to the reply itself
_BACK = _JOINS | {"this", "pointing", "link"}  # from the reply to words that say it is the only one
_NOT_NEW = frozenset(("of", "other", "deny", "stance", "suppose", "within"))
_CALLS = frozenset(("count", "deny", "mark", "refutation", "one"))
_NUMBERS = frozenset(("refutation", "mark", "one", "count"))
_MOST = 4  # words between a number and what it counts
_REACH = 8  # words between what is counted and the reply


def refutations_counted(text: str, sentences: Iterable[Sequence[Lexeme]], reading: Reading) -> Iterator[PlacedClaim]:
    """Yield what a text that was read says of how many replies refute a first move, beside a reply to it."""
    told = sorted((each for each in reading.mentions if _is_reply(each)), key=_start)
    if not told:
        return
    firsts = [each for each in reading.mentions if reading.diagram in each.at]
    for words in sentences:
        if not [each for each in words if each.categories & _CALLS]:
            continue
        first, last = (bisect_left(told, place, key=_start) for place in words[0].span.to(words[-1].span))
        for reply in told[first:last]:
            if not reading.is_open(_start(reply)):
                yield from _said_of(text, words, reply, [each for each in firsts if reply.at[0] in each.after])


_start = attrgetter("phrase.span.start")  # of a mention


def _is_reply(mention: Mention) -> bool:
    one = mention.state is State.read and len(mention.after) == 1 and not mention.asked
    return one and len(mention.at) == 1 and mention.at[0].ply == 1 and bool(mention.at[0].move)


def _said_of(text: str, words: Sequence[Lexeme], reply: Mention, firsts: Sequence[Mention]) -> Iterator[PlacedClaim]:
    """Yield the number of refutations that is said right before a reply or right behind it.

    `firsts` are the mentions of the move that it replies to: "the only answer to 1.Qd1 is ...h5".
    """
    span = reply.phrase.span
    behind = words[bisect_left(words, span.end, key=lambda word: word.span.start) :]
    spans = [each.phrase.span for each in firsts]
    before = [
        each
        for each in takewhile(lambda word: word.span.end <= span.start, words)
        if each.kind != "number" and not any(one.start <= each.span.start < one.end for one in spans)
    ]
    found = _ahead(before) or _behind(behind) or _around(before, behind)
    if found is not None:
        count, said = found
        where = said[0].span.to(said[-1].span)
        yield PlacedClaim(Claim("refutations", where, where.of(text), count), (reply.at[0],), reply)


def _is_call(word: Lexeme) -> bool:
    return _number(word) is not None or "deny" in word.categories


def _number(word: Lexeme) -> int | None:
    if not word.categories & _NUMBERS:
        return None
    if word.sense("refutation") == "one" or word.sense("mark") == "only" or word.categories == {"one"}:
        return 1
    sense = word.sense("count")
    return int(sense) if sense not in (None, "0") and not word.categories & {"both", "quantifier"} else None


# -- "has only one answer, ...h5", "is met by one move only, his knight to e3", "only ...h5 refutes it" -------------


def _ahead(words: Sequence[Lexeme]) -> tuple[int, Sequence[Lexeme]] | None:
    """Return the number that is told right before the end of some words, and those that tell it."""
    for place in range(len(words) - 1, max(-1, len(words) - _REACH - _MOST), -1):
        count = _number(words[place])
        if count is None or (place and words[place - 1].categories & _NOT_NEW) or not _is_all(words, place):
            continue
        noun = _noun(words, place)
        if noun is not None and len(words) - noun <= _REACH and all(map(_leads_on, words[noun + 1 :])):
            begin = place - 1 if place and _number(words[place - 1]) == 1 == count else place
            return count, words[begin : noun + 1]
    return None


def _is_all(words: Sequence[Lexeme], place: int) -> bool:
    """Tell whether a number says how many there are, as "one" does behind "has" and "to", not in "one answer is"."""
    word = words[place]
    if word.sense("count") != "1" or "digit" not in word.categories:
        return True
    before = next((each for each in reversed(words[:place]) if not is_just(each)), None)
    if before is None:
        return False
    leads = before.categories & {"have", "by", "to", "with"} or before.sense("link") == "then"
    return bool(leads) or before.sense("mark") == "refute"


def is_just(word: Lexeme) -> bool:
    """Tell whether a word before "one" says no more than "just": "has but one answer", "has exactly one answer"."""
    return "filler" in word.categories or word.sense("link") == "but" or word.sense("mark") == "only"


def _noun(words: Sequence[Lexeme], number: int) -> int | None:
    """Return where the noun stands that a number counts, where it names what answers a move."""
    if words[number].sense("refutation") == "one":
        return number
    for place in range(number + 1, min(number + _MOST, len(words))):
        word = words[place]
        if word.categories & {"refutation", "answering"}:
            return place
        if not (word.categories & _PALE or _number(word) == 1):
            return None
    return None


def _leads_on(word: Lexeme) -> bool:
    """Tell whether a word may stand between what is counted and the reply: "has one answer in it: the move ...h5"."""
    known = word.categories & (_JOINS | {"refutation", "answering", "at", "to", "weak"}) or _number(word) == 1
    return word.kind in _OPENS or (word.kind == "word" and bool(known) and "deny" not in word.categories)


def _around(before: Sequence[Lexeme], behind: Sequence[Lexeme]) -> tuple[int, Sequence[Lexeme]] | None:
    """Return "only" right before a reply of which the words behind it say that it refutes: "only ...h5 refutes it"."""
    only = before[-1:]
    new = not (before[-2:-1] and before[-2].categories & _NOT_NEW)
    if not only or only[0].sense("mark") != "only" or not new or not behind or not _refutes(behind[0]):
        return None
    return 1, only


def _refutes(word: Lexeme) -> bool:
    return word.sense("mark") in ("refutes", "solve", "beats", "refute")


# -- "...h5 and nothing else", "...h5 is the only answer", "...h5, the one move that holds" ------------------------


def _behind(words: Sequence[Lexeme]) -> tuple[int, Sequence[Lexeme]] | None:
    """Return the number that is told at the beginning of some words, and those that tell it."""
    place = next((at for at, word in enumerate(words) if not _joins(word)), len(words))
    if place >= min(len(words), _REACH):
        return None
    following = words[place + 1] if place + 1 < len(words) else None
    if following is not None and following.categories & {"other", "rest"} and "deny" in words[place].categories:
        return (1, words[place : place + 2]) if _ends(words, place + 2) else None
    if _number(words[place]) != 1:
        return None
    noun = _noun(words, place)
    if noun is None:
        alone = words[place].sense("mark") == "only" and _ends(words, place + 1)
        return (1, words[place : place + 1]) if alone else None
    return (1, words[place : noun + 1]) if _says_no_more(words, noun + 1) else None


def _joins(word: Lexeme) -> bool:
    if _is_call(word):
        return False
    return word.kind in _OPENS or (word.kind == "word" and bool(word.categories & (_BACK | {"by", "to", "with"})))


def _says_no_more(words: Sequence[Lexeme], place: int) -> bool:
    """Tell whether what follows a noun narrows it to nothing but what refutes: "that does it", "against it"."""
    for word in words[place:]:
        if word.kind in _ENDS:
            return True
        against = word.categories & {"weak", "pronoun", "to", "that", "pointing"}
        if word.kind != "word" or not (_refutes(word) or against):
            return False
    return True


def _ends(words: Sequence[Lexeme], place: int) -> bool:
    return place >= len(words) or words[place].kind in _ENDS
