"""Squares told in words: "h four", "dee-four", "be four", "king's rook's fourth"."""

import re

import chess
from keyproof.grammar.descriptive import squares_called
from keyproof.grammar.moves import MovePhrase
from keyproof.grammar.spans import Span
from keyproof.grammar.words import NUMBERS, ORDINALS

from .table import Meaning, Table

_COUNTED = {word: str(number) for words in (NUMBERS, ORDINALS) for word, number in words.items() if number < 9}
_OLD = re.compile(
    r"(?:(?P<wing>king|queen)['’]?s\s+)?(?P<man>king|queen|rook|bishop|knight)['’]s\s+"
    rf"(?P<rank>{'|'.join(_COUNTED)}|square|[1-8](?:st|nd|rd|th)?)(?!\w)",
    re.I,
)
_WORD_BEFORE = re.compile(r"\s*[^\W\d_]+['’]?s?\s+")  # "to", "our", "White's"
_WORDS_BEFORE = 3
_OFFICERS = {"rook": "R", "bishop": "B", "knight": "Kt"}


def said_square(words: list[str], table: Table, *, likely: bool = False) -> tuple[chess.Square, int, int] | None:
    """Read "h four", "dee-four" or "be four"; return the square, how many words it takes and what it cost.

    `likely`: the word before leads to a square, so that even "a ate" may be one.
    """
    parts = words[0].split("-") if "-" in words[0] else words[:2]
    if len(parts) != 2:
        return None
    file, digit = (meant(table, word, kind) for word, kind in zip(parts, ("file", "digit"), strict=True))
    if digit is None and re.fullmatch("[1-8]", parts[1]):
        digit = Meaning("digit", parts[1])
    if file is None or digit is None:
        return None
    if digit.misheard and (file.misheard or file.sense == "a"):
        other = {each.category for each in table.meanings_of(parts[1])}
        if not likely or file.misheard or other & {"to", "link", "at"}:  # "rook a ate", but not "goes a to ..."
            return None
    square = chess.parse_square(file.sense + digit.sense)
    return square, 1 if "-" in words[0] else 2, 2 * file.misheard + 3 * digit.misheard + (file.sense == "a")


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
    wing, man, rank = ((found[part] or "").lower() for part in ("wing", "man", "rank"))
    if man not in _OFFICERS:
        wing, man = man, ""
    called = squares_called(
        wing[:1].upper() or None, _OFFICERS.get(man), "sq" if rank == "square" else _COUNTED.get(rank, rank)
    )
    return MovePhrase(Span(*found.span()), found[0], worded=True, descriptive=True, destinations=called)


def leads_to_old_square(text: str, place: int) -> bool:
    """Tell whether no more than three words behind a place such a name follows: "to his Rook's third"."""
    while place < len(text) and text[place] == " ":
        place += 1
    for _ in range(_WORDS_BEFORE + 1):
        if place >= len(text) or (found := _WORD_BEFORE.match(text, place)) is None:
            return False
        if old_square_said(text, place, len(text)) is not None:
            return True
        place = found.end()
    return False
