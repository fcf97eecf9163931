"""In which encoding a source of HTML or LaTeX is written, and how it is written again.

Sources: HTML standard, "Determining the character encoding" and the meta element; LaTeX's inputenc (from memory).
"""

import codecs
import re

from msgspec import Struct

from .model import Refused, SourceKind

_CHARSET = re.compile(r"<meta[^<>]{0,200}?charset\s*=\s*[\"']?\s*([A-Za-z0-9_.:-]{2,30})", re.IGNORECASE)
_INPUTENC = re.compile(r"\[([a-z0-9]{2,20})\]\s*\{inputenc\}")
_NAMES = {"latin9": "iso8859-15", "ansinew": "cp1252", "applemac": "mac_roman", "utf8": "utf-8", "utf8x": "utf-8"}
_HEAD = 4096  # characters of a page in which it names its encoding
_MARKS = ((codecs.BOM_UTF8, "utf-8"), (codecs.BOM_UTF16_LE, "utf-16-le"), (codecs.BOM_UTF16_BE, "utf-16-be"))


class DecodedSource(Struct, frozen=True):
    """A source and how it was written: the codec, and the byte order mark in front, b"" for none."""

    text: str
    kind: SourceKind
    codec: str = "utf-8"
    mark: bytes = b""
    note: str | None = None

    def encoded(self, text: str) -> bytes:
        """Return another text as the file has it, or in the encoding that the text names if it names another now.

        Letters that a page's encoding lacks are written as references. UnicodeEncodeError where LaTeX would need some.
        """
        named = _named(text, self.kind)
        codec = _codec(named) if named is not None and named != _named(self.text, self.kind) else None
        return (b"" if codec else self.mark) + text.encode(codec or self.codec, self._wanting)

    @property
    def _wanting(self) -> str:
        return "xmlcharrefreplace" if self.kind == "html" else "strict"


def decoded(data: bytes, kind: SourceKind) -> DecodedSource:
    """Return the text of a source: in the encoding its first bytes tell, in UTF-8, or in the one it names itself.

    Raises Refused.
    """
    for mark, codec in _MARKS:
        if data.startswith(mark):
            return _decoded(data, kind, codec, mark)
    try:
        return DecodedSource(data.decode(), kind)
    except UnicodeDecodeError:
        named = _named(data.decode("latin-1"), kind) or "utf-8"
    known = _codec(named)
    if known is None:
        raise Refused(f"its encoding {named!r} is not known: save it as UTF-8")
    return _decoded(data, kind, known)


def _decoded(data: bytes, kind: SourceKind, codec: str, mark: bytes = b"") -> DecodedSource:
    try:
        return DecodedSource(data[len(mark) :].decode(codec), kind, codec, mark)
    except UnicodeDecodeError as fault:
        raise Refused(f"byte 0x{data[fault.start]:02x} at offset {fault.start} is not {codec.upper()}") from None


def _named(text: str, kind: SourceKind) -> str | None:
    """Return the encoding that a source names, None for none."""
    found = _CHARSET.search(text, 0, _HEAD) if kind == "html" else _INPUTENC.search(text)
    return found[1].lower() if found is not None else None


def _codec(name: str) -> str | None:
    """Return the codec of an encoding, None where it is not known."""
    try:
        found = codecs.lookup(_NAMES.get(name, name))
    except LookupError:
        return None
    return found.name if found._is_text_encoding else None
