"""In which form each sign of a solution text is printed, where several are in use.

Looked at are the signs for capture, check, mate and castling, the form of a promotion, the
letter of the knight, and letters beside figurines.
"""

import re
from collections import Counter
from collections.abc import Iterable, Iterator

import chess
from keyproof.grammar.document import PuzzleText
from keyproof.grammar.letters import FIGURINES, LANGUAGES
from keyproof.grammar.moves import Effect
from keyproof.grammar.spans import Span
from msgspec import Struct

from ..reading.reading import Mention, Reading
from .house import FIGURES, MEN

_LETTERS = sorted(
    {letter for table in LANGUAGES.values() for letter in table}, key=lambda letter: (-len(letter), letter)
)
_LETTER = re.compile("|".join(map(re.escape, _LETTERS)))

Usage = Counter[tuple[str, str]]
"""How often each form of each aspect is printed."""


class Sign(Struct, frozen=True):
    """One sign as it is printed: which form of which aspect, and where."""

    aspect: str
    form: str
    span: Span
    kind: chess.PieceType | None = None  # of a man or a promotion


def signs(reading: Reading, puzzle: PuzzleText) -> list[Sign]:
    """Return the signs of the printed moves of a puzzle that was read, in text order.

    A format with signs of its own (PGN, EPD) leaves an author no choice, so it has none, nor
    has descriptive notation, whose forms are not those of an algebraic text.
    """
    if puzzle.play is not None:
        return []
    seen: set[Span] = set()
    found: list[Sign] = []
    for mention in reading.mentions:
        phrase = mention.phrase
        if not (phrase.worded or phrase.descriptive) and phrase.span not in seen:
            seen.add(phrase.span)
            found.extend(_of_mention(mention))
    return found


def _of_mention(mention: Mention) -> Iterator[Sign]:
    phrase = mention.phrase
    start = phrase.span.start
    if phrase.castling is not None:
        size = 5 if phrase.castling == "long" else 3
        yield Sign("castling", "0-0" if phrase.text[0] == "0" else "O-O", Span(start, start + size))
    elif phrase.piece in MEN and (letter := _man_sign(phrase.text)):
        span = Span(start, start + len(letter))
        yield Sign("pieces", FIGURES if letter in FIGURINES else "letters", span, phrase.piece)
        if phrase.piece == chess.KNIGHT and letter in ("N", "S", "Kt"):
            yield Sign("knight", letter, span, phrase.piece)
    if phrase.capture_span is not None:
        yield Sign("capture", phrase.text[phrase.capture_span.start - start], phrase.capture_span)
    if phrase.promotion is not None and phrase.promotion_span is not None:
        yield _promotion(mention)
    for effect, span in phrase.effects:
        sign = phrase.text[span.start - start : span.end - start].strip()
        if effect is Effect.check:
            yield Sign("check", sign, span)
        elif effect is Effect.mate or (effect is Effect.double_plus and _all_mate(mention)):
            yield Sign("mate", sign, span)


def _all_mate(mention: Mention) -> bool:
    return bool(mention.after) and all(node.mate for node in mention.after)


def _man_sign(text: str) -> str:
    if text[:1] in FIGURINES:
        return text[0]
    letter = _LETTER.match(text)
    return letter[0] if letter else ""


def _promotion(mention: Mention) -> Sign:
    phrase = mention.phrase
    assert phrase.promotion_span is not None
    span, text, start = phrase.promotion_span, phrase.text, phrase.span.start
    before = text[span.start - start - 1]
    form = {"=": "=Q", "(": "(Q)", "/": "/Q"}.get(before, "Q")
    whole = Span(span.start - (form != "Q"), span.end + (form == "(Q)"))
    return Sign("promotion", form, whole, phrase.promotion)


def usage(signs: Iterable[Sign]) -> Usage:
    """Count the forms printed in one puzzle, given its signs."""
    return Counter((sign.aspect, sign.form) for sign in signs)


def usual(usages: Iterable[Usage]) -> dict[str, str]:
    """Return the form of each aspect that is printed most often; of two alike the one printed first."""
    total: Usage = Counter()
    for each in usages:
        total.update(each)
    most: dict[str, tuple[int, str]] = {}
    for (aspect, form), count in total.items():
        if aspect not in most or count > most[aspect][0]:
            most[aspect] = (count, form)
    return {aspect: form for aspect, (_, form) in most.items()}
