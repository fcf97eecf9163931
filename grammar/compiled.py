"""Compiled regular expressions as plain values, to be kept.

Python compiles an expression to a list of numbers, and that took half of the time of a check of one column.
The numbers are private to a version of Python's matcher, which has a number of its own and tests what it is given:
what another version made is not taken, and the expression is compiled as usual.
"""

import _sre  # type: ignore[import-not-found]  # see above
import base64
import re
import sys
from array import array
from re import _compiler, _parser  # type: ignore[attr-defined] # see above
from typing import Any

MATCHER = f"{_sre.MAGIC} {_sre.CODESIZE} {sys.byteorder}"
"""Whose numbers these are."""

_WORD = {2: "H", 4: "I"}[_sre.CODESIZE]


Form = tuple[int, int, str, bytes]
"""A compiled expression: its flags, how many groups it has, the names of these with their numbers, its code."""


def compiled(pattern: str, flags: int = 0) -> Form:
    """Return the compiled form of an expression."""
    tree = _parser.parse(pattern, flags)
    code: list[int] = _compiler._code(tree, flags)
    state = tree.state
    names = ",".join(f"{name}={number}" for name, number in state.groupdict.items())
    return int(state.flags), state.groups - 1, names, array(_WORD, code).tobytes()


def restored(pattern: str, form: Form) -> re.Pattern[str]:
    """Return an expression from its compiled form; raises ValueError or RuntimeError where this is damaged."""
    flags, groups, named, code = form
    numbered = {name: int(number) for name, _, number in (each.partition("=") for each in named.split(",") if each)}
    by_number = {number: name for name, number in numbered.items()}
    names = tuple([by_number.get(number) for number in range(groups + 1)])
    made: Any = _sre.compile(pattern, flags, array(_WORD, code).tolist(), groups, numbered, names)
    found: re.Pattern[str] = made
    return found


def as_text(form: Form) -> str:
    """Return a form as text, as JSON takes it."""
    *numbers, code = form
    return " ".join((*map(str, numbers), base64.b64encode(code).decode()))


def of_text(text: str) -> Form:
    """Return the form that `as_text` has written; raises ValueError where it has not."""
    flags, groups, named, code = text.split(" ")
    return int(flags), int(groups), named, base64.b64decode(code, validate=True)
