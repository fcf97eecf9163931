"""Lines of text with the look of their parts, and the way they reach a terminal or a pipe.

Only a terminal gets colour and wrapping; a pipe gets each line whole, so that programs
find `file:line:column:` where they look for it. Colours are few, and are among those that
can be read on a light and on a dark background.
"""

import os
import re
import unicodedata
from collections.abc import Iterable
from typing import IO, TYPE_CHECKING, Literal, NamedTuple

if TYPE_CHECKING:
    from rich.text import Text

Look = Literal["plain", "strong", "error", "warning", "note"]

_STYLES: dict[Look, str] = {
    "plain": "",
    "strong": "bold",
    "error": "bold red",
    "warning": "bold magenta",
    "note": "bold",
}
_NAMED = {"\n": "\\n", "\r": "\\r", "\t": "\\t"}


class Part(NamedTuple):
    """A stretch of a line and its look."""

    text: str
    look: Look = "plain"


class Line(NamedTuple):
    """A line of output; `hang` is the indentation of its continuation lines."""

    parts: tuple[Part, ...] = ()
    hang: int = 4

    @property
    def text(self) -> str:
        """The line without looks."""
        return "".join(part.text for part in self.parts)


def line(text: str = "", look: Look = "plain", hang: int = 4) -> Line:
    """Make a line that has one look."""
    return Line((Part(text, look),), hang)


def escape(text: str) -> str:
    r"""Return `text` with all that could disturb a terminal spelt out: "\n", "\x1b", "\u202e".

    Controls, signs that turn the direction of writing, line separators and the stand-ins
    for undecodable bytes of a file name are escaped; every other character stays.
    """
    if text.isprintable():
        return text
    return "".join(_spelt(sign) for sign in text)


def _spelt(sign: str) -> str:
    if sign in _NAMED:
        return _NAMED[sign]
    code = ord(sign)
    if 0xDC80 <= code <= 0xDCFF:  # PEP 383: a byte of a file name that is no text
        return f"\\x{code - 0xDC00:02x}"
    joiner = sign in "\u200c\u200d"  # letters of some scripts and emoji need them
    if unicodedata.category(sign) in ("Cc", "Cf", "Cs", "Zl", "Zp") and not joiner:
        return f"\\x{code:02x}" if code < 0x100 else f"\\u{code:04x}" if code < 0x10000 else f"\\U{code:08x}"
    return sign


def _of_terminal() -> int:
    """Return how many columns the terminal has, at least 40."""
    import shutil  # which loads what a report for a file does without

    return max(40, shutil.get_terminal_size((80, 24)).columns)


class Writer:
    """Puts lines on one stream."""

    def __init__(self, stream: IO[str], *, terminal: bool | None = None, width: int | None = None) -> None:
        self.stream = stream
        self.terminal = stream.isatty() if terminal is None else terminal
        self.width = (width or _of_terminal()) if self.terminal else None
        coloured = self.terminal and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"
        self._console = _console(stream) if coloured else None

    def write(self, lines: Iterable[Line]) -> None:
        """Write lines, wrapped and coloured for a terminal, whole and bare for anything else."""
        for whole in lines:
            for piece in wrapped(whole, self.width) if self.width else (whole,):
                if self._console is not None:
                    self._console.print(_rich(piece), soft_wrap=True)
                else:
                    self.stream.write(piece.text + "\n")
        self.stream.flush()


def _console(stream: IO[str]):  # type: ignore[no-untyped-def]  # rich is imported for a terminal only
    from rich.console import Console

    return Console(file=stream, force_terminal=True, highlight=False, markup=False, emoji=False)


def _rich(piece: Line) -> "Text":
    from rich.text import Text

    return Text.assemble(*((part.text, _STYLES[part.look]) for part in piece.parts))


def wrapped(whole: Line, width: int) -> list[Line]:
    """Break a line between words where it is wider than `width` columns; a longer word stays whole."""
    if columns(whole.text) <= width:
        return [whole]
    pieces: list[Line] = []
    current: list[Part] = []
    used, blank = 0, True  # `blank`: nothing but the indentation stands in `current`
    for word in _words(whole):
        size = sum(columns(part.text) for part in word)
        if word[0].text.isspace():
            current.extend(word)
            used += size
            continue
        if used + size > width and not blank:
            pieces.append(_trimmed(current, whole.hang))
            current, used = [Part(" " * whole.hang)], whole.hang
        current.extend(word)
        used += size
        blank = False
    pieces.append(_trimmed(current, whole.hang))
    return pieces


def _trimmed(parts: list[Part], hang: int) -> Line:
    """Make a line without the spaces at its end."""
    while parts and parts[-1].text.isspace():
        parts.pop()
    return Line(tuple(parts), hang)


def _words(whole: Line) -> list[list[Part]]:
    """Split a line into words and the spaces between them; parts that touch are one word."""
    words: list[list[Part]] = []
    for part in whole.parts:
        for token in re.findall(r" +|[^ ]+", part.text):
            piece = Part(token, part.look)
            if words and not token.isspace() and not words[-1][-1].text.isspace():
                words[-1].append(piece)
            else:
                words.append([piece])
    return words


def columns(text: str) -> int:
    """Return how many columns of a terminal `text` takes."""
    if text.isascii():
        return len(text)
    return sum(_sign_columns(sign) for sign in text)


def _sign_columns(sign: str) -> int:
    if unicodedata.combining(sign) or unicodedata.category(sign) in ("Mn", "Me", "Cf"):
        return 0
    return 2 if unicodedata.east_asian_width(sign) in "WF" else 1
