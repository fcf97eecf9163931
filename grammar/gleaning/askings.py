"""What a text may ask of a position: small numbers that count moves or nothing, in words of any language that is known.

"White, two moves", "Also two.", "on our third move at the latest he has to be mated", "zweizügig": people say it in
many ways. No form is looked for. Every number that may be one of moves is gathered, with what speaks against it as
its cost; whether it is meant the proof must say.
"""

import re
from collections.abc import Iterator, Sequence
from functools import cache
from itertools import groupby

from msgspec import Struct

from ..lexicon.table import Table, table_of
from ..spans import Span
from ..traces import NUMBERED_MOVE, PRINTED_MOVE
from ..words import SPOKEN_SQUARE
from . import costs

_COMPOUND = "moves in compounds"  # see `APART` in lexicon/table.py
_NEAR = 5  # words on each side of a number that speak for or against it
_NUMBERS = range(2, 7)
_PLAY = (NUMBERED_MOVE, PRINTED_MOVE, SPOKEN_SQUARE)
_FREE = frozenset(
    [
        *("count", "digit", "rank", "effect", "side", "we", "our", "you", "your", "pronoun", "own", "one", "object"),
        *("be", "have", "can", "do", "to", "at", "from", "within", "with", "by", "of", "link", "article", "this"),
        *("each", "other", "same", "mark", "filler", "next", "pointing", "moves"),
    ]
)  # kinds of words that orders are made of
_BEHIND = frozenset(
    ("mark.again", "side.white", "side.black", "be.", "pronoun.it", "deny.not", "link.and", "effect.mate")
)  # what no number counts
_TOKEN = re.compile(
    r"(?P<word>[^\W_]+(?:['’][^\W\d_]+)*)|(?P<end>[.!?](?![\w.])|\n[ \t\r>]*\n|…)"
    r"|(?P<cut>[,;:()\[\]{}\"“”„«»|–—]|(?<=\s)-+(?=\s))"
)


class Asking(Struct, frozen=True):
    """A number of moves in which a text may ask for mate, the words that do, and what speaks against it."""

    number: int
    span: Span
    cost: int


class _Word(Struct, frozen=True):
    text: str
    span: Span
    kinds: frozenset[str]
    senses: frozenset[str]
    sentence: int
    clause: int


def askings(text: str, part: Span, language: str, *, before: bool = False) -> Iterator[Asking]:
    """Yield what a part of a text may ask, in its order. `language` is the table of words it is told in. Never raises.

    `before`: the part stands before the position, so that its end is near it as well.
    """
    words = list(_words(text, part, table_of(language)))
    told = (move.start() for each in _PLAY for move in each.finditer(text, *part) if move[0][:2].lower() != "a ")
    played = min(told, default=part.end)
    last = words[-1].sentence if words else 0
    for _, group in groupby(words, lambda word: word.clause):
        clause = list(group)
        for place, word in enumerate(clause):
            number = _number(word, language)
            if number is None or number not in _NUMBERS or (cost := _strain(clause, place)) is None:
                continue
            away = min(word.sentence, last - word.sentence) if before else word.sentence
            behind = word.span.start > played and not before
            cost += costs.BEHIND_PLAY if behind else min(costs.MOST_SENTENCES, away // costs.SENTENCES)
            if cost <= costs.MOST_OF_ASKING:
                first = next(each for each in clause[max(0, place - _NEAR) :] if each is word or each.kinds)
                yield Asking(number, first.span.to(clause[place:][:_NEAR][-1].span), cost)


def _words(text: str, part: Span, table: Table) -> Iterator[_Word]:
    sentence = clause = 0
    for token in _TOKEN.finditer(text, *part):
        if token["word"] is None:
            clause += 1
            sentence += token["end"] is not None
            continue
        word = token[0].lower().replace("’", "'")
        meanings = list(table.meanings_of(word))
        kinds = frozenset(each.category for each in meanings if not each.misheard) | _apart(word, table)
        senses = frozenset(f"{each.category}.{each.sense}" for each in meanings if not each.misheard)
        yield _Word(word, Span(*token.span()), kinds, senses, sentence, clause)


def _apart(word: str, table: Table) -> set[str]:
    """Return the kinds of a word that orders alone know."""
    found = {category for category in ("moves", "both") if word in table.apart.get(category, ())}
    if any(noun in word for noun in table.apart.get(_COMPOUND, ())):
        found.add(_COMPOUND)
    return found


def _number(word: _Word, language: str) -> int | None:
    """Return the number that a word says, as a figure, a numeral, an ordinal, or as the first half of a word."""
    if word.text.isdecimal():
        return int(word.text) if len(word.text) == 1 else None
    for kind in ("count", "rank"):
        if kind in word.kinds and "both" not in word.kinds:
            return next(int(each.partition(".")[2]) for each in word.senses if each.startswith(f"{kind}."))
    halves, apart = _numerals(language), table_of(language).apart
    endings, nouns = apart.get("numeral ending", ()), tuple(apart.get(_COMPOUND, ()))
    for length in range(len(word.text) - 1, 2, -1):
        rest = word.text[length:]
        if word.text[:length] in halves and (rest in endings or rest.startswith(nouns)):
            return halves[word.text[:length]]
    return None


@cache
def _numerals(language: str) -> dict[str, int]:
    table = table_of(language)
    both = table.apart.get("both", ())
    return {
        form[0]: int(table.meanings[place].sense)
        for form, places in table.forms.items()
        for place in places
        if len(form) == 1 and table.meanings[place].category == "count" and form[0] not in both
    }


def _strain(clause: Sequence[_Word], place: int) -> int | None:
    """Return what speaks against a number by the words around it; None where it counts something else than moves."""
    number, left, right = clause[place], clause[max(0, place - _NEAR) : place], clause[place + 1 : place + 1 + _NEAR]
    mate = any("effect.mate" in each.senses for each in clause)
    if not _may_count(number, left, right, mate=mate):
        return None
    moves = _counts_moves(number, right)
    cost = 0 if moves or mate or (left and "within" in left[-1].kinds) else costs.BARE_NUMBER
    ours = any({"you", "we", "our"} & each.kinds or "side.white" in each.senses for each in clause)
    theirs = any({"pronoun.he", "side.black"} & each.senses for each in clause)
    cost += costs.DEFENDER * (theirs and not ours and not mate)
    has = any("have" in each.kinds for each in (*left[-2:], *right[1:3]))
    cost += costs.REPLIES * (has and not ours)
    near = [*left, *right]
    cost += costs.MAN_NAMED * (not mate and any("man" in each.kinds for each in near))
    if left and len(left[-1].text) == 1 and left[-1].text in "abcdefgh":
        cost += costs.LETTER if left[-1].text == "a" else costs.MAN_NAMED
    return cost + sum(costs.STRANGE_WORD for each in near if not _FREE & each.kinds)


def _may_count(number: _Word, left: Sequence[_Word], right: Sequence[_Word], *, mate: bool) -> bool:
    """Tell whether a number may be one of moves: it counts these, or nothing at all."""
    if left and "deny" in left[-1].kinds:
        return False  # "not three"
    if _counts_moves(number, right):
        return mate or "rank" not in number.kinds  # "on the second move"
    if "rank" in number.kinds or (number.text.isdecimal() and not mate):
        return False
    if left and ({"next", "abbreviation"} & left[-1].kinds or left[-1].senses == {"article."}):
        return False  # "number two", "the two"
    return not right or bool(_BEHIND & right[0].senses)  # no "two knights", no "two weeks"


def _counts_moves(number: _Word, right: Sequence[_Word]) -> bool:
    """Tell whether a number counts moves: in one word with them, right before them or a colour and them."""
    if not ({"count", "rank"} & number.kinds or number.text.isdecimal()):
        return _COMPOUND in number.kinds
    if right and "moves" in right[0].kinds:
        return True
    return len(right) > 1 and "moves" in right[1].kinds and bool(_BEHIND & right[0].senses)
