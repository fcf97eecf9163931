"""The words that moves are told in, each with the terminal of statements.lark it stands for.

One word, one terminal, whatever stands around it; phrases of several words are
terminals of statements.lark. Speech recognition writes "night" and "nite" for the
knight and spells the letters of squares ("dee four").
"""

import re
from collections.abc import Iterable

import chess

MEN = {
    **{name: kind for kind, name in enumerate(chess.PIECE_NAMES) if name},
    "night": chess.KNIGHT,
    "nite": chess.KNIGHT,
    "horse": chess.KNIGHT,
}
"""The men by their names in the singular."""

FILES = {
    **{name: file for file, name in enumerate(chess.FILE_NAMES)},
    **{name: file for file, name in enumerate(("", "bee", "cee", "dee", "ee", "eff", "gee", "aitch")) if name},
}
_COUNT = """one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen
seventeen eighteen nineteen twenty"""
_PLACES = "first second third fourth fifth sixth seventh eighth ninth tenth eleventh twelfth"
NUMBERS = {word: number for number, word in enumerate(_COUNT.split(), start=1)}
"""Number words of English and what they mean."""

ORDINALS = {word: number for number, word in enumerate(_PLACES.split(), start=1)}
"""Ordinal words of English and what they mean."""

# The letters and numbers of statements.lark, where a terminal cannot be put together from parts.
_SQUARE = rf"([a-h]|[bcdg]ee|ee|eff|aitch)[\s-]*([1-8]|{'|'.join(list(NUMBERS)[:8])})"
SPOKEN_SQUARE = re.compile(rf"\b{_SQUARE}\b", re.I)
"""A square as people write it or say it: "f4", "F 4", "f four", "dee-four"."""


def square_of(words: str) -> chess.Square:
    """Return the square that "f4", "F 4", "f four" or "dee-four" names."""
    found = SPOKEN_SQUARE.fullmatch(re.sub(r"(?i)^se[ea]\b", "c", words))  # "see four", as it may be heard
    if found is None:
        raise ValueError(f"{words!r} names no square")
    number = found[2].lower()
    return chess.square(FILES[found[1].lower()], (NUMBERS.get(number) or int(number)) - 1)


def rank_of(words: str) -> int:
    """Return the rank, counted from 0, that "the third rank" or "the 3rd rank" names."""
    for name, number in ORDINALS.items():
        if re.search(rf"(?i)\b(?:{name}|{number}(?:st|nd|rd|th))\b", words):
            return number - 1
    raise ValueError(f"{words!r} names no rank")


_GOING = (
    "goes comes steps lands jumps hops leaps travels sails runs walks rushes arrives gets returns heads climbs"
    " descends marches strides skips glides sweeps escapes flees creeps edges tiptoes rises dives crosses bounces"
    " sidesteps flies zooms whizzes wanders trots ambles go going come coming step stepping land landing"
    " jump hop leap run walk return arriving jumping hopping leaping swoops swoop fly flying wander escape flee"
    " slips slip ducks hides sneaks scurries strolls dashes shoots pokes bolts scuttles slinks saunters"
    " went came stepped dropped jumped hopped ran walked landed escaped fled"
)
_PUTTING = (
    "moves plays pushes swings lifts shifts brings puts places sends posts nudges advances drops slides transfers"
    " switches withdraws retreats pops drives move moving play playing played push pushing pushed swing swinging lift"
    " lifting shift bring bringing put place send advance advancing drop dropping slide sliding retreat"
    " retreating brought moved"
)
_TAKING = (
    "takes captures grabs eats snatches collects swallows gobbles removes seizes take taking capture capturing grab"
    " grabbing eat eating snatch snatching chops munches nabs bags wins took captured grabbed ate"
)
_ADVERBS = (
    "now then simply just also quietly calmly even still instead again once away over up down across round around"
    " along in out aside forward forwards backwards off there here himself itself herself too immediately directly"
    " straight right all suddenly finally quickly boldly politely first next back anywhere somewhere elsewhere"
    " sideways past diagonally happily gently softly bravely actually else"
)

_TERMINALS: dict[str, str] = {}
for _terminal, _words in {
    "VERB": _GOING,
    "PUTS": _PUTTING,
    "TAKES": _TAKING,
    "RETAKES": "recaptures recapture recapturing retakes retake",
    "ADVERB": _ADVERBS,
    "AUX": "can must may could will would might",
    "CANNOT": "cannot can't mustn't",
    "MAN": " ".join(f"{name} {name}s" for name in MEN),
    "DETERMINER": "the a an any every each all his its this that black's white's our my your their either",
    "COLOUR": "white black",
    "PRONOUN": "it he she they him her",
    "OTHER_MAN": "other same remaining new brand",
    "ON": "on at",
    "FROM": "from",
    "TO": "to onto into for towards reaches reaching",
    "WITH": "with",
    "BY": "by",
    "DOES": "does do tries did",
    "OR": "or",
}.items():
    for _word in _words.split():
        _TERMINALS[_word] = _terminal
del _terminal, _words, _word


def number_said(word: str) -> int:
    """Return the number that digits, "12" or "12th", or a word of the lists, "twelve" or "twelfth", stand for."""
    digits = re.match(r"\d+", word)
    return int(digits[0]) if digits else NUMBERS.get(word.lower()) or ORDINALS[word.lower()]


def one_of(words: Iterable[str]) -> str:
    """Return a pattern for one of these words in any case, as quick as `re` can search for it.

    A word is itself a pattern that begins with a small letter. An alternative whose first sign does not fit is
    passed over at once, but not where case is ignored from its start.
    """
    rests: dict[str, list[str]] = {}
    for word in words:
        rests.setdefault(word[0], []).append(word[1:])
    return "|".join(f"[{first}{first.upper()}](?i:{'|'.join(several)})" for first, several in rests.items())


def terminal_of(word: str) -> str:
    """Return the terminal of statements.lark that a word is, "WORD" for any word that moves are not told in."""
    return _TERMINALS.get(word.lower().replace("’", "'"), "WORD")
