"""Squares told in words: "h four", "dee-four", "be four", "king's rook's fourth"."""

import re
from collections.abc import Iterator, Set
from functools import lru_cache

import chess
from keyproof.grammar.descriptive import squares_called
from keyproof.grammar.moves import MovePhrase
from keyproof.grammar.spans import Span
from keyproof.grammar.words import NUMBERS, ORDINALS

from .table import Meaning, Table

_PLACES = {word: str(number) for word, number in ORDINALS.items() if number < 9}
_COUNTED = {word: str(number) for word, number in NUMBERS.items() if number < 9} | _PLACES
_OF_COUNTED = (
    r"\s+(?:legal\s+|other\s+)?(?:moves|squares|replies|jumps|hops|checks|captures)\b"  # "the bishop's six moves"
)
_OLD = re.compile(
    r"(?<![^\W_])(?:(?P<wing>king|queen)['’]?s\s+)?(?P<man>king|queen|rook|bishop|knight)['’]s\s+"
    rf"(?P<rank>{'|'.join(_COUNTED)}|square|[1-8](?:st|nd|rd|th)?)(?!\w|{_OF_COUNTED})",
    re.I,
)
_OWN = re.compile(
    rf"(?:his|her|its)\s(?:own\s)?(?P<rank>sq(?:uare)?\b\.?|{'|'.join(_PLACES)}|[1-8](?:st|nd|rd|th))(?!\w)", re.I
)
_WORD_BEFORE = re.compile(r"\s*[^\W\d_]+['’]?s?\s+")  # "to", "our", "White's"
_WORDS_BEFORE = 3
_OFFICERS = {"rook": "R", "bishop": "B", "knight": "Kt"}


_ASKS_MAN = frozenset(("of", "article"))  # what a word heard for a file means besides: "king of ate", not "the one"
_RUNS_ON = frozenset(("to", "link", "at"))  # the same of a word heard for a rank: "the queen see to"
_A_ONE = 3  # what it costs to hear a square where nothing leads to one
_RANKS = frozenset("12345678")
_PRINTED = re.compile("[a-h][1-8]")
_LED_CLOSE = frozenset(("man", "to", "square"))
_NO_SQUARE = frozenset(("article", "pronoun", "this", "our", "your", "man", "side", "we", "you"))


def said_square(words: list[str], table: Table, leads: Set[str] = frozenset()) -> tuple[chess.Square, int, int] | None:
    """Read "h four", "dee-four" or "be four"; return the square, how many words it takes and what it cost.

    `leads` is what the words before are that lead to a square, so that even "a ate" may be one.
    """
    parts = words[0].split("-") if "-" in words[0] else words[:2]
    if len(parts) != 2:
        return None
    file = meant(table, parts[0], "file") or meant(table, parts[0], "sound")
    if file is None:
        return None
    digit = Meaning("digit", parts[1]) if parts[1] in _RANKS else meant(table, parts[1], "digit")
    if digit is None:
        return None
    if file.misheard and _kinds(table, parts[0]) & _ASKS_MAN and not ("man" in leads and digit.sense > "2"):
        return None
    if digit.misheard and (file.misheard or file.sense == "a") and not _likely(words, table, leads):
        return None
    if digit.misheard and "to" in _kinds(table, parts[1]) and _is_square(words[2:4], table):
        return None  # "rook e to b7": the one of the e-file
    square = chess.parse_square(file.sense + digit.sense)
    cost = 2 * file.misheard + 3 * digit.misheard + (file.sense == "a")
    cost += _A_ONE * (words[:2] == ["a", "one"] and not leads)  # "type a one"
    return square, 1 if "-" in words[0] else 2, cost


def _is_square(words: list[str], table: Table) -> bool:
    if words and _PRINTED.fullmatch(words[0]):
        return True
    return len(words) > 1 and meant(table, words[0], "file") is not None and meant(table, words[1], "digit") is not None


def _likely(words: list[str], table: Table, leads: Set[str]) -> bool:
    """Tell whether two words of which both have another use are a square all the same: "rook a ate", "to be to"."""
    following = _kinds(table, words[2]) if len(words) > 2 else frozenset()
    if _kinds(table, words[1]) & _RUNS_ON:
        names = _NO_SQUARE - {"man"} if "man" in leads else _NO_SQUARE  # "pawn see to queen ..."
        return bool(leads & _LED_CLOSE) and not following & names  # but not "goes a to ...", "and see to it"
    return bool(leads) or ("effect" in following and words[0] != "he")


def heard_square(word: str, following: str | None, table: Table, leads: Set[str]) -> chess.Square | None:
    """Return the square that one word may be by its sound: "queen takes before" for b4."""
    heard = meant(table, word, "square")
    if heard is None or not leads or (following is not None and _kinds(table, following) & _NO_SQUARE):
        return None
    return chess.parse_square(heard.sense)


def spelt(words: list[str]) -> int:
    """Return how many words only spell the letter before them: "c for cucumber", "b as in barn"; 0: none."""
    place = 3 if words[1:3] == ["as", "in"] else 2 if words[1:2] in (["for"], ["like"]) else len(words)
    word = words[place] if place < len(words) else ""
    return place + 1 if len(words[0]) == 1 and len(word) > 2 and word[0] == words[0] else 0


def _kinds(table: Table, word: str) -> frozenset[str]:
    return frozenset(each.category for each in table.meanings_of(word))


def meant(table: Table, word: str, category: str) -> Meaning | None:
    """Return what a word means in a category, None where it is not of that."""
    for place in table.forms.get((word,), ()):
        if table.meanings[place].category == category:
            return table.meanings[place]
    return None


def old_square_said(text: str, place: int, end: int) -> MovePhrase | None:
    """Read the name of a square in descriptive notation, written out: "king's rook's fourth", "the Queen's square"."""
    if text[place] not in "kqrbKQRB" or (found := _OLD.match(text, place, end)) is None:
        return None
    return _called(found)


def old_squares_said(text: str, span: Span) -> Iterator[MovePhrase]:
    """Yield all such names in a stretch of a text, in order."""
    return map(_called, _OLD.finditer(text, *span))


def _called(found: re.Match[str]) -> MovePhrase:
    wing, man, rank = ((found[part] or "").lower() for part in ("wing", "man", "rank"))
    if man not in _OFFICERS:
        wing, man = man, ""
    called = squares_called(
        wing[:1].upper() or None, _OFFICERS.get(man), "sq" if rank == "square" else _COUNTED.get(rank, rank)
    )
    return MovePhrase(Span(*found.span()), found[0], worded=True, descriptive=True, destinations=called)


@lru_cache(maxsize=4)  # of a whole file, asked at each of its moves
def _names_old_squares(text: str) -> bool:
    return _OLD.search(text) is not None


def own_ranks_said(text: str, span: Span) -> Iterator[tuple[Span, int]]:
    """Yield where a stretch names a square by the file that bears a man's own name, and its rank from 1 on.

    "King at his own square" is on the first, "Queen on her third" on the third; whose square it is, is not told.
    """
    for own in _OWN.finditer(text, *span):
        rank = own["rank"].lower()
        yield Span(*own.span()), int(rank[0] if rank[0] in _RANKS else _PLACES.get(rank, "1"))


def leads_to_old_square(text: str, place: int) -> bool:
    """Tell whether no more than three words behind a place such a name follows: "to his Rook's third"."""
    if not _names_old_squares(text):
        return False
    while place < len(text) and text[place] == " ":
        place += 1
    for _ in range(_WORDS_BEFORE + 1):
        if place >= len(text) or (found := _WORD_BEFORE.match(text, place)) is None:
            return False
        if old_square_said(text, place, len(text)) is not None:
            return True
        place = found.end()
    return False
