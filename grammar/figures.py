"""Moves in figures, as players by post of different tongues write them: "5254" goes from e2 to e4, "82811" queens.

The numeric notation of correspondence chess (ICCF rules, from memory): file and rank of both squares, files counted
from a; where a pawn is promoted a fifth figure, 1 to 4 for queen, rook, bishop and knight.
"""

import re

from .traces import PRINTED_MOVE

_NUMBER = re.compile(r"(?<![\w/$£€])\d{4,5}(?![\w/]|[.,]\d)")
_MOVE = re.compile(r"([1-8])([1-8])([1-8])([1-8])([1-4]?)")
_FEWEST = 4  # different ones: years and prices of a text may look like some
_OTHERS = 4  # of so many numbers one may be none: a year, the number of a card
_FILES, _MEN = " abcdefgh", " QRBN"  # by their figures


def in_letters(text: str) -> str:
    """Return a text of the same length in which moves in figures are printed as "e2e4", if it tells its moves so."""
    numbers = [number[0] for number in _NUMBER.finditer(text)]
    moves = [number for number in numbers if _goes(number)]
    if len(set(moves)) < _FEWEST or _OTHERS * (len(numbers) - len(moves)) > len(numbers) or PRINTED_MOVE.search(text):
        return text
    return _NUMBER.sub(lambda number: _lettered(number[0]) if _goes(number[0]) else number[0], text)


def _goes(number: str) -> bool:
    """Tell whether some man can go so on an empty board."""
    found = _MOVE.fullmatch(number)
    if found is None:
        return False
    files, ranks = abs(int(found[1]) - int(found[3])), abs(int(found[2]) - int(found[4]))
    if found[5]:
        return (found[2], found[4]) in (("7", "8"), ("2", "1")) and files < 2
    return files + ranks > 0 and (0 in (files, ranks) or files == ranks or {files, ranks} == {1, 2})


def _lettered(number: str) -> str:
    squares = "".join(f"{_FILES[int(number[place])]}{number[place + 1]}" for place in (0, 2))
    return squares + "".join(_MEN[int(becomes)] for becomes in number[4:])
