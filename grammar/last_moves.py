"""The move before the diagram, where a text tells it: "Black's last move was f7 to f5".

Only a double step of a pawn matters, since it opens a capture en passant (FIDE Laws 3.7.3.1). A text that tells one
says that it has only just happened, and from where to where, or that it was two squares. Words of other languages than
English: common practice, no source.
"""

import re
from collections.abc import Iterable, Iterator
from itertools import pairwise

import chess

from .spans import Span
from .words import FILES, SPOKEN_SQUARE, square_of

_SENTENCE = re.compile(r"[^.!?]+")
_LONGEST = 400  # letters of a sentence
_PART = re.compile(r"[^,;:()–—]+")
_RECENT = re.compile(
    r"\b(?:just|only\s+now|this\s+(?:second|minute|moment)|a\s+moment\s+ago|last|previous|came|come"
    r"|zuletzt|letzte[rn]?|soeben|eben|gerade|acab\w+|últim[oa]|dernier|vien[ts]|viennent|venait|ultim[oa]|appena"
    r"|laatste|zojuist|net|ostatni\w*|właśnie|senaste|nyss|только|последни\w+)\b",
    re.I,
)
_TWO = re.compile(
    r"\b(?:two\s+(?:squares|steps)|double[\s-]+(?:step|move|jump|advance)|doppelschritt|zwei\s+felder|dos\s+(?:casillas|pasos)"
    r"|deux\s+(?:cases|pas)|due\s+(?:case|passi)|twee\s+velden|duas\s+casas|dwa\s+pola|två\s+(?:rutor|steg))\b",
    re.I,
)
_PASSING = re.compile(
    r"\ben[\s-]passant\b|\b(?:on|in)\s+(?:passing|passant|possum)\b|(?<!\w)e\.\s?p\.|\bim\s+vorbeigehen\b"
    r"|\bal\s+paso\b|\bao\s+passar\b|\bal\s+varco\b|\bw\s+przelocie\b|\bна\s+проходе\b",
    re.I,
)
_ONLY_PERHAPS = re.compile(
    r"\b(?:if|unless|suppos\w+|imagin\w+|may|can|could|might|cannot|not|never|wenn|falls|nicht|si|als|niet|se|non|não|nie|om)\b"
    r"|n['’]t\b",
    re.I,
)
_FILE_OF_PAWN = re.compile(rf"\b({'|'.join(sorted(FILES, key=len, reverse=True))})[\s-]+pawn\b", re.I)


def tells_double_step(text: str, spans: Iterable[Span], colour: chess.Color, file: int) -> bool:
    """Tell whether words in `spans` say that a pawn of `colour` has just made its double step on `file` (0 is a)."""
    start, end = (chess.square(file, rank) for rank in ((1, 3) if colour else (6, 4)))
    return any(_tells(said, start, end) for said in _sentences(text, spans))


def speaks_of_passing(text: str, spans: Iterable[Span]) -> bool:
    """Tell whether words speak of a capture en passant, or of a step of two squares, whoever makes it and when."""
    said = _sentences(text, spans)
    return any((_PASSING.search(each) or _TWO.search(each)) and not _ONLY_PERHAPS.search(each) for each in said)


def _sentences(text: str, spans: Iterable[Span]) -> Iterator[str]:
    """Yield what stretches say; a sentence may go on in the next one, since they may be lines of a column."""
    before = ""
    for span in spans:
        said = list(_said(text, span))
        yield from said
        if before and said:
            yield f"{before} {said[0]}"
        before = said[-1] if said and not span.of(text).rstrip().endswith((".", "!", "?")) else ""


def _said(text: str, span: Span) -> Iterator[str]:
    """Yield the sentences of a stretch; where no full stops are printed, each line, and each with the next one."""
    for sentence in _SENTENCE.finditer(text, *span):
        if len(sentence[0]) <= _LONGEST:
            yield sentence[0]
        else:
            lines = sentence[0].splitlines()
            yield from lines
            yield from map(" ".join, pairwise(lines))


def _tells(sentence: str, start: chess.Square, end: chess.Square) -> bool:
    said = [part for part in _PART.findall(sentence) if _RECENT.search(part)]
    if not said or any(map(_ONLY_PERHAPS.search, said)):
        return False
    named = [square_of(found[0]) for found in SPOKEN_SQUARE.finditer(sentence)]
    if start in named:
        return True
    files = {FILES[found[1].lower()] for found in _FILE_OF_PAWN.finditer(sentence)}
    return _TWO.search(sentence) is not None and (end in named or chess.square_file(start) in files)
