"""One of the things on a string of which a position may be told: a value only."""

from typing import Literal

from msgspec import Struct

from ..spans import Span

Does = Literal[
    "side",
    "own",
    "hearer",
    "other",
    "against",
    "man",
    "square",
    "lifted",
    "number",
    "takes back",
    "plays",
    "to",
    "not",
    "end",
    "explains",
    "file",
    "rank",
    "empty",
    "home",
    "word",
]


class Bead(Struct, frozen=True):
    """One thing on the string: what it does and all the values it may have.

    The colour of a side, the kinds of a man, the squares (of which a side may count the ranks, `old`), a number.
    """

    does: Does
    span: Span
    values: tuple[int, ...] = ()
    old: bool = False
    tight: bool = False  # a letter and its square, one right before the other
    text: str = ""
    near: bool = False  # of a man, or whose man, by whom another stands: "between their castle and their king"
