"""Which language a text is told in, by the words it uses, and the piece letters that go with it."""

import re
from collections import Counter
from collections.abc import Iterable, Mapping
from functools import cache, lru_cache
from pathlib import Path

import chess
from keyproof.grammar.kept import made_of
from keyproof.grammar.letters import LANGUAGES
from keyproof.grammar.moves import letters_used
from keyproof.grammar.spans import Span

from .lexemes import MOVE
from .table import Table, source_of, table_of

TONGUES = {"english": "en", "german": "de", "french": "fr", "spanish": "es", "dutch": "nl", "italian": "it"}
TONGUES |= {"portuguese": "pt", "swedish": "sv", "polish": "pl"}
"""The languages that have a table of words, each with the code of its piece letters."""

_WORD = re.compile(r"[^\W\d_]{2,}(?:'[^\W\d_]+)*")  # a single letter is a word of every language
_MORE = 1.25  # so many more words than English another language must know to be taken for the text's
_LEAST = 3  # words that it must know besides those that English knows


def told_in(
    text: str, prose: Iterable[Span], letters: Mapping[str, chess.PieceType] = LANGUAGES["en"]
) -> tuple[str, Mapping[str, chess.PieceType]]:
    """Return the language of the prose of a puzzle, named as its table is, and the letters of its men.

    `letters` are those that the printed moves alone would suggest; they stay where the moves have letters
    that the language of the words does not know.
    """
    parts = [span.of(text) for span in prose]
    words = tuple([word for part in parts for word in _WORD.findall(part.lower().replace("’", "'"))])
    tongue = _tongue(words)
    if tongue == "english":
        return tongue, letters
    used = {letter for part in parts for move in MOVE.finditer(part) for letter in letters_used(move[0])}
    own = LANGUAGES[TONGUES[tongue]]
    return tongue, own if used <= own.keys() else letters


@lru_cache(maxsize=16)
def _tongue(words: tuple[str, ...]) -> str:
    table = table_of("english")
    most = len(words) + len([word for word in words if "'" in word])  # no language can know more words than there are
    enough = _enough(table.knows(words))  # and English may know more
    if most < enough:
        return "english"
    times = Counter(words)
    may = {tongue: _at_most(times, forms, stems) for tongue, (forms, stems) in _vocabularies().items()}
    if max(may.values()) < enough:
        return "english"
    enough = _enough(_known(words, table))
    known = {tongue: _known(words, table_of(tongue)) for tongue, at_most in may.items() if at_most >= enough}
    best = max(known, key=lambda tongue: known[tongue], default="english")
    return best if known.get(best, 0) >= enough else "english"


def _enough(english: int) -> float:
    """Return how many words another language must know where English knows so many."""
    return max(english * _MORE, english + _LEAST)


@cache
def _vocabularies() -> dict[str, tuple[set[str], tuple[str, ...]]]:
    """Return the words of all forms of each other language, and its stems; kept, since few texts need a table."""
    return made_of(Path(__file__), sources(), _all_words)


def _all_words() -> dict[str, tuple[set[str], tuple[str, ...]]]:
    tables = {tongue: table_of(tongue) for tongue in TONGUES if tongue != "english"}
    return {tongue: (table.words, tuple(table.stems)) for tongue, table in tables.items()}


def sources() -> list[Path]:
    """Return the files of the tables of all languages."""
    return [source_of(tongue) for tongue in TONGUES]


def _at_most(times: Counter[str], forms: set[str], stems: tuple[str, ...]) -> int:
    """Return how many words a language may know at the most: those that stand in any form, or have several parts."""
    known = {word for word in times if "'" in word} | (times.keys() & forms)
    if stems:
        known |= {word for word in times if word.startswith(stems)}
    return sum([times[word] * (2 if "'" in word else 1) for word in known])


def _known(words: tuple[str, ...], table: Table) -> int:
    """Return how many of the words stand in a table, words only heard so left out."""
    parts = [part for word in words for part in table.parted(word)]
    found = place = 0
    while place < len(parts):
        length, meanings = table.look_up(tuple(parts[place : place + 6]))
        length = length or 1
        if [each for each in meanings if not each.misheard] or table.stem_of(parts[place]) is not None:
            found += length
        place += length
    return found
