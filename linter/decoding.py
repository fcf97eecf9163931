"""From bytes to text: UTF-8, UTF-16 that says so, and Windows-1252 where every sign of it makes sense.

A text in another encoding looks strange when it is taken for Windows-1252: capitals within words, quotation marks
between letters, words of accented letters only. Such a text is refused, because its letters can only be guessed;
libraries that guess an encoding name a wrong one for most texts of a few lines.
"""

import codecs
import re

from keyproof.grammar.spans import Lines
from msgspec import Struct


class Undecodable(ValueError):
    """Bytes that are no text which can be told for sure; the message says what to do.

    `line` and `column` count from 1, columns in code points.
    """

    def __init__(self, message: str, line: int = 1, column: int = 1) -> None:
        super().__init__(message)
        self.line = line
        self.column = column


class Decoded(Struct, frozen=True):
    """A text and how it was written: the codec, and the byte order mark in front, b"" for none."""

    text: str
    codec: str = "utf-8"
    mark: bytes = b""

    @property
    def note(self) -> str | None:
        """What the reader of the text should know of its encoding, None: nothing."""
        if self.codec != _WINDOWS:
            return None
        return "the file is not UTF-8 and was read as Windows-1252: save it as UTF-8 to be sure of its letters"

    def encoded(self, text: str) -> bytes:
        """Return another text as the file has it. UnicodeEncodeError where its encoding has no such letter."""
        return self.mark + text.encode(self.codec)


_WINDOWS = "cp1252"
_MARKS = ((codecs.BOM_UTF8, "utf-8"), (codecs.BOM_UTF16_LE, "utf-16-le"), (codecs.BOM_UTF16_BE, "utf-16-be"))
_WIDE = (codecs.BOM_UTF32_LE, codecs.BOM_UTF32_BE)  # the first begins like UTF-16
_SAMPLE = 2000  # bytes from which the width of letters is told
_HOW = "save it as UTF-8 text (where an editor saves a file it lets you choose the encoding)"

_LETTER = r"[^\W\d_]"
_STRANGE = re.compile(
    rf"(?<={_LETTER})[“„‚‹«”»›†‡…§](?={_LETTER})|(?<={_LETTER})§"  # a sign within a word, one of sections after one
    r"|[„‚](?!\w)"  # what opens a quotation before nothing
    r"|[a-zß-öø-ÿœšž][À-ÖØ-ÞŒŠŽ]"  # a capital after a small letter
    r"|(?!À\s+[a-z])[À-ÖØ-ÞŒŠŽ](?![A-Za-zÀ-ÖØ-öø-ÿ.’'-])(?<![A-Z].)"  # a capital alone
    r"|[ƒˆ˜¤¦¨¬¯´¸þðÞÐŸÿ]",  # what hardly any text has
    re.S,
)
_WORD = re.compile(rf"{_LETTER}+")


def decode(data: bytes) -> Decoded:
    """Return the text of a file. Raises Undecodable."""
    if not data.startswith(_WIDE):
        for mark, codec in _MARKS:
            if data.startswith(mark):
                return _marked(data, mark, codec)
    elif data:
        raise Undecodable(f"the file is UTF-32: {_HOW}")
    if _wide_without_mark(data):
        raise Undecodable(f"the file looks like UTF-16 without a byte order mark, so its bytes have no order: {_HOW}")
    try:
        return Decoded(data.decode())
    except UnicodeDecodeError as fault:
        cut = fault.reason == "unexpected end of data"  # a sign of UTF-8 without its end
        windows = None if cut else _windows(data)
        if windows is not None:
            return windows
        raise _undecodable(data, fault.start) from None


def _wide_without_mark(data: bytes) -> bool:
    """Tell whether every second byte of most of a text is 0, as Latin letters are in UTF-16."""
    head = data[:_SAMPLE]
    return any(2 * half.count(0) > len(half) > 1 for half in (head[::2], head[1::2]))


def _marked(data: bytes, mark: bytes, codec: str) -> Decoded:
    try:
        return Decoded(data[len(mark) :].decode(codec), codec, mark)
    except UnicodeDecodeError as fault:
        if codec == "utf-8":
            raise _undecodable(data, fault.start + len(mark), mark) from None
        place = f"the bytes at offset {fault.start + len(mark)}"
        raise Undecodable(f"the file begins as UTF-16, but {place} are not: {_HOW}") from None


def _undecodable(data: bytes, offset: int, mark: bytes = b"") -> Undecodable:
    before = data[len(mark) : offset].decode()
    message = f"byte 0x{data[offset]:02x} at offset {offset} is not UTF-8, and the encoding cannot be told: {_HOW}"
    return Undecodable(message, *Lines(before).place(len(before)))


def _windows(data: bytes) -> Decoded | None:
    """Return a text in Windows-1252, None where it may be something else.

    What has signs of UTF-8 beside bytes that are not is a damaged file in UTF-8.
    """
    if any(sign > "\x7f" and sign != "\ufffd" for sign in data.decode(errors="replace")):
        return None
    try:
        text = data.decode(_WINDOWS)
    except UnicodeDecodeError:
        return None
    if _STRANGE.search(text) or any(ord(sign) < 32 and sign not in "\t\n\v\f\r" for sign in text):
        return None
    for word in _WORD.findall(text):
        if len(word) > 1 and not any(sign.isascii() for sign in word):
            return None
    return Decoded(text, _WINDOWS)
