"""What calls a move the only one, or says how many there are, as patterns of rows of letters (words.py)."""

from __future__ import annotations

import re
from collections.abc import Iterator

from msgspec import Struct
from msgspec.structs import replace

_IDLE = r"[~=yL]{0,6}"
_NOUN = r"[mraftl]{1,2}"
_SOLE = (
    rf"(?:O(?:&?{_IDLE}[1OS])?|S"  # "the only", "the single", "the only one", "single and only"
    rf"|[1T]{_IDLE}&{_IDLE}O)"  # "one and only"
)
_ONE = (
    rf"(?:{_SOLE}{_IDLE}{_NOUN}"
    rf"|{_SOLE}{_IDLE}(?=D?[vsdum])"  # "only one thing spoils it", "the only thing that mates"
    rf"|(?:J|(?<=[hwjvsVb])B){_IDLE}1{_IDLE}{_NOUN}"  # "exactly one answer", "has but one answer"
    rf"|1{_IDLE}{_NOUN}?{_IDLE}(?:[,-]?{_IDLE}&{_IDLE}1?{_IDLE})?O)"  # "one mate only", "one mate, and one only"
)
_NO_OTHER = (
    rf"(?:X{_IDLE}(?:E(?:{_IDLE}[mrafE]{{1,2}})?|R{_IDLE}[mra]{{1,2}}|R)"  # "no other mate", "nothing else", "no more"
    rf"|!{_IDLE}E|OD|[Dp]a?O|JD"  # "only that", "that move alone", "just that"
    rf"|X{_IDLE}c)"  # "no choice"
)
_SPOILER = rf"1{_IDLE}a?{_IDLE}(?=D?s)"  # "one move spoils it", "there is one thing that stops it"
_THE_ONE = rf"T{_IDLE}(?:{_NOUN}|(?=D?[svd]))"  # "the one mate", "the one thing that does it"
_THERE = r"(?:[yLlpDj]|w(?=[pD])){0,6}"  # "there", "left", "for him"
_WORKS = rf"{_THERE}(?:w?[vsmdub]{{1,3}})?(?:[gwro][pD])?{_THERE}h?[yL]*"  # "that does it", "against it", "White has"
_ENDS = r"(?=[.,;:()|Q/#B-]|[&j]+[pD]|&j|$)"
_BACK = r"[~=yL,:;(\-pDbwhm&vsVF|]{0,12}"  # between a move and words that say that it is the only one: ", and that is"
_APART = r"(?:[,;|(-][^MOS1TNXQ.]{0,8}[,;|-])?"  # something else that is said of it: ", which pins the knight,"
_FORTH = r"[~=yL,:(\-pDbwarl1j]{0,12}(?:&[Dp]?b[~=]{0,2})?"  # before the move: ", namely", ": the reply", "and that's"

_BEHIND = re.compile(
    rf"(?:{_BACK}(?P<told>(?:{_NO_OTHER}|{_ONE}|{_SPOILER}|{_THE_ONE}|[OS]1?|T&O))"
    rf"|{_APART}{_BACK}(?P<apart>{_NO_OTHER}|[OST]{_IDLE}{_NOUN})){_WORKS}{_ENDS}"
)
_ONE_MATE = rf"(?:(?<=[hjb])|(?<=[hjb][~=y]))1{_IDLE}m{{1,2}}"  # "leaves one mate", "there is one mate"
_NO_CHOICE = rf"X{_IDLE}c(?=[^MoB]{{0,8}}[:,;-])"  # "no choice: ..."
_MUST = rf"n{_IDLE}b?{_IDLE}(?=M)"  # "it must be", "it has to be"
_AHEAD = re.compile(
    rf"(?P<told>{_ONE}|{_SPOILER}|{_THE_ONE}(?={_WORKS}{_FORTH}[b:,])|{_ONE_MATE}|{_NO_CHOICE}|{_MUST}){_WORKS}{_FORTH}(?=M)"
)
_ONE_OF = re.compile(
    rf"(?:(?<=[hwjvsV])|(?<=yb))[~=yJ]*(?P<told>(?:1|(?P<many>N)){_IDLE}(?:[ra]{{1,2}}|D?s)){_WORKS}{_FORTH}(?=M)"
)
_ONLY = re.compile(rf"(?P<told>O|(?<=[bhj])J){_IDLE}(?:h{_IDLE})?w?{_IDLE}(?=M)")
_LIST = re.compile(r"M(?:[,&+/L~=y]*M)*")
_AFTER = re.compile(rf"l?{_IDLE}(?:(?P<does>m?[vsdu])|m*{_IDLE}{_ENDS})")  # what may follow the moves behind "only"
_LAST = frozenset("~=yLm,.;:)wpD&bvsF-")  # words that may follow the last move of a sentence
_SPEAKER = 4  # letters up to the sign behind the name of one who speaks
_COUNT = re.compile(
    rf"(?:(?P<many>N){_IDLE}(?P<noun>[mt]{{1,2}})a?(?:{_IDLE}O)?"  # "two mates", "three threats only"
    rf"|{_SOLE}{_IDLE}m{{1,2}}a?|1{_IDLE}m{{1,2}}a?{_IDLE}O"  # "a single mate", "one mate only"
    rf"|(?P<threat>t){_IDLE}J?(?P<things>N){_IDLE}a?"  # "threatens two things"
    rf"|c{_IDLE}[og]{_IDLE}(?P<choice>N){_IDLE}(?:m{{1,2}}a?)?)"  # "a choice of three"
    rf"(?={_IDLE}&?{_IDLE}(?:[.,;:()|Q/bM-]|$))"
)


class Form(Struct, frozen=True):
    """Words beside a move that call it the only one, or say how many there are of its kind.

    Places are those of letters: of the first and last of the words, and of the move. `ahead`: the words stand before
    the move; `bare`: nothing but "only" stands before it, which may as well mean "but". `does`: it is said to do it;
    `saves`: in words that fit a defence alone.
    `many` is the place of the number, None for one. `sole`: "only" or the like is said, no mere number.
    """

    first: int
    last: int
    move: int
    ahead: bool = False
    bare: bool = False
    does: bool = False
    saves: bool = False
    sole: bool = True
    many: int | None = None


class Count(Struct, frozen=True):
    """A number of mates or threats that stands alone: the places of its letters, and of the number, None for one."""

    first: int
    last: int
    number: int | None
    threat: bool


def said_beside(letters: str) -> Iterator[Form]:
    """Yield all that calls a move of a row the only one, or numbers its like."""
    for told in _LIST.finditer(letters):
        found = _BEHIND.match(letters, told.end())
        if found is not None:
            yield _form(letters, found, told.end() - 1)
    for found in _AHEAD.finditer(letters):
        if _is_new(letters, found.start()):
            yield replace(_form(letters, found, found.end()), ahead=True)
    for found in _ONE_OF.finditer(letters):
        many = found.start("many") if found["many"] is not None else None
        yield replace(_form(letters, found, found.end()), ahead=True, sole=False, many=many)
    for found in _ONLY.finditer(letters):
        yield from _only_ahead(letters, found)


def _only_ahead(letters: str, found: re.Match[str]) -> Iterator[Form]:
    """Yield a mere "only" before moves, of which nothing more is said but that they do it."""
    listed = _LIST.match(letters, found.end())
    end = listed.end() if listed is not None else found.end()
    after = _AFTER.match(letters, end)
    if found["told"] == "J" and letters[end : end + 1] != "l":
        return  # "there's just rook h3" may be said of a simple move; with "left" behind it no other is
    does = after is not None and after["does"] is not None
    known = letters[found.start() - 1 : found.start()] not in ("?", "d")  # "needs only 2.Qe8"
    if known and after is not None and _is_new(letters, found.start()):
        begins = letters[: found.start()].strip("~=yL,.;:-") == ""
        yield replace(_form(letters, found, found.end()), ahead=True, bare=begins and not does, does=does)


def said_of_the_last(letters: str) -> Form | None:
    """Return what the beginning of a sentence says of the move with which the one before ended."""
    head = letters[:_SPEAKER]
    start = 0 if "M" in head else max(map(head.rfind, ":)-")) + 1
    found = _BEHIND.match(letters, start)
    if found is None or found["told"] is None or (found["told"] in ("O", "S") and "b" not in letters[: found.end()]):
        return None
    return _form(letters, found, -1)


def ends_with_a_move(letters: str) -> bool:
    """Tell whether the last that a sentence tells is a move."""
    behind = letters[letters.rfind("M") + 1 :]
    judged = behind[-2:-1] == "?" and behind[-1] in ";:"  # "2.Qf8: accepted;"
    return "M" in letters and set(behind[:-2] if judged else behind) <= _LAST


def counted(letters: str) -> Iterator[Count]:
    """Yield the numbers of mates and threats in a row."""
    for found in _COUNT.finditer(letters):
        number = next((name for name in ("many", "things", "choice") if found[name] is not None), None)
        threat = bool(found["threat"]) or "t" in (found["noun"] or "")
        if threat and number is None:
            continue
        if _is_new(letters, found.start(), many=number is not None):
            place = found.start(number) if number is not None else None
            yield Count(found.start(), found.end() - 1, place, threat)


def together(letters: str, move: int, *, ahead: bool) -> list[int]:
    """Return the places of all moves that are told in one list with the move at a place, which begins or ends it."""
    for told in _LIST.finditer(letters):
        if told.start() <= move < told.end():
            part = range(move, told.end()) if ahead else range(told.start(), move + 1)
            return [place for place in part if letters[place] == "M"]
    return []


def _is_new(letters: str, place: int, *, many: bool = False) -> bool:
    """Tell whether words tell how many there are, not something of some of them: "of the two mates", "not only"."""
    before = letters[:place].rstrip("~yLJ" if many else "~=yLJT")
    return before[-1:] not in tuple("oEX!du?=wg&" if many else "oEX!u")


def _form(letters: str, found: re.Match[str], move: int) -> Form:
    """Return the form of some words; its places are of the first and last letter that say something."""
    first, last = found.span("told" if found["told"] is not None else "apart")
    said = letters[first : found.end()]
    while letters[first] in "~=yL":
        first += 1
    while letters[last - 1] in "~=yL":
        last -= 1
    return Form(first, last - 1, move, does=bool(set("vsd") & set(said)), saves="s" in said)
