"""A solution in words, in three voices: a printed column, a tutorial, a script to read aloud.

Whatever is said of a move stands behind it in a form that the reading checks again.
"""

import re
import textwrap
from collections.abc import Callable, Collection
from typing import Literal, get_args

import chess
from msgspec.structs import replace

from .column import Column
from .draft import Draft
from .manner import Manner
from .script import Script
from .tutorial import Tutorial

Voice = Literal["column", "tutorial", "script"]
VOICES: tuple[Voice, ...] = get_args(Voice)

WIDTH = 80  # columns

_MANNERS: dict[Voice, type[Manner]] = {"column": Column, "tutorial": Tutorial, "script": Script}
_BULLET = re.compile(r"\s*- ")


def written(draft: Draft, voice: Voice, print_as: Callable[[str], str] = str, width: int | None = WIDTH) -> list[str]:
    """Return the paragraphs of a solution text, the position and the stipulation first.

    They are wrapped at a width, in columns; None: not at all, for a page that is set anew.

    `print_as` puts SAN, or the English letter of a man, in the style of a house; moves in words have none.
    """
    manner = _MANNERS[voice](draft, print_as)
    paragraphs = [paragraph for paragraph in (manner.position(), manner.opening(), *manner.body()) if paragraph]
    return paragraphs if width is None else [_wrapped(paragraph, width) for paragraph in paragraphs]


def added(draft: Draft, moves: Collection[chess.Move], voice: Voice, print_as: Callable[[str], str] = str) -> list[str]:
    """Return the paragraphs on some replies to the key, for a text that tells the others."""
    some = tuple(reply for reply in draft.replies if reply.move in moves)
    manner = _MANNERS[voice](replace(draft, replies=some, set_play=(), tries=()), print_as)
    manner.others_told = len(some) < len(draft.replies)
    return [_wrapped(paragraph, WIDTH) for paragraph in manner.replies()]


def _wrapped(paragraph: str, width: int) -> str:
    """Break lines between words; the lines of an item hang under its first word."""
    lines = []
    for line in paragraph.split("\n"):
        bullet = _BULLET.match(line)
        hang = " " * bullet.end() if bullet else ""
        lines.extend(textwrap.wrap(line, width, subsequent_indent=hang, break_long_words=False, break_on_hyphens=False))
    return "\n".join(lines)
