"""The words that moves are told in, each with the terminal of statements.lark it stands for.

One word, one terminal, whatever stands around it; phrases of several words are
terminals of statements.lark. Speech recognition writes "night" and "nite" for the
knight and spells the letters of squares ("dee four").
"""

import re

import chess

MEN = {
    **{name: kind for kind, name in enumerate(chess.PIECE_NAMES) if name},
    "night": chess.KNIGHT,
    "nite": chess.KNIGHT,
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
    found = SPOKEN_SQUARE.fullmatch(words)
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


_THIRD_PERSON = (
    "moves goes comes plays steps retreats drops slides lands jumps hops advances pushes swings lifts leaps shifts"
    " travels sails runs walks rushes arrives gets returns heads climbs descends marches strides skips glides sweeps"
    " switches transfers withdraws escapes flees creeps edges tiptoes rises dives crosses brings puts places sends"
    " posts bounces pops nudges sidesteps flies zooms whizzes wanders trots ambles drives"
)
_OTHER_FORMS = (
    "move moving go going come coming play playing played step stepping retreat drop dropping slide sliding land"
    " landing jump hop advance advancing push pushing swing swinging lift lifting leap shift run walk return bring"
    " bringing put place send arriving stepping retreating jumping hopping leaping swoops swoop fly flying"
    " wander escape flee"
)
_TAKING = (
    "takes captures grabs eats snatches collects swallows gobbles removes seizes take taking capture capturing grab"
    " grabbing eat eating snatch snatching chops munches nabs bags wins"
)
_ADVERBS = (
    "now then simply just also quietly calmly even still instead again once away over up down across round around"
    " along in out aside forward forwards backwards off there here himself itself herself too immediately directly"
    " straight right all suddenly finally quickly boldly politely first next back anywhere somewhere elsewhere"
    " sideways diagonally happily gently softly bravely actually else"
)

_TERMINALS: dict[str, str] = {}
for _terminal, _words in {
    "VERB": f"{_THIRD_PERSON} {_OTHER_FORMS}",
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
    "TO": "to onto into for towards",
    "WITH": "with",
    "DOES": "does do tries did",
    "OR": "or",
}.items():
    for _word in _words.split():
        _TERMINALS[_word] = _terminal
del _terminal, _words, _word


def terminal_of(word: str) -> str:
    """Return the terminal of statements.lark that a word is, "WORD" for any word that moves are not told in."""
    return _TERMINALS.get(word.lower().replace("’", "'"), "WORD")
