"""A file that is a packed folder of XML: .docx (ECMA-376) and .odt (ODF 1.3). Nothing outside it is ever read.

Limits are counted in bytes as they are unpacked, whatever the file says of itself.
"""

import io
import zipfile
import zlib
from typing import Any

from lxml import etree

from .model import Refused

MOST_PARTS = 5_000
MOST_XML = 48 << 20  # bytes of one part
MOST_PICTURE = 64 << 10  # bytes of a picture that are looked at: what it says of itself stands at its start
_SLICE = 1 << 20

# What zipfile raises for a part; ValueError where an offset in the list of parts leads before the start of the file.
_DAMAGED = (zipfile.BadZipFile, zlib.error, EOFError, OSError, RuntimeError, ValueError)

Element = Any  # lxml has no types of its own
Tree = Any


class Package:
    """An unpacked file: its parts by name."""

    def __init__(self, data: bytes) -> None:
        if data[:8] == b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1":
            raise Refused("it is encrypted, or an old .doc: save it anew, without a password, as .docx or .odt")
        try:
            self._zip = zipfile.ZipFile(io.BytesIO(data))
        except (*_DAMAGED, OverflowError) as fault:
            raise Refused(f"it is broken: not a packed file ({fault})") from None
        names = self._zip.namelist()
        if len(names) > MOST_PARTS:
            raise Refused(f"it has {len(names)} parts, more than the {MOST_PARTS} that are read")
        if len(set(names)) != len(names):
            raise Refused("it is broken: two of its parts have one name")
        self.names = frozenset(names)
        self._data = data

    def read(self, name: str, most: int = MOST_XML, *, cut: bool = False) -> bytes:
        """Return a part, of at most so many bytes; with `cut` only its start. Raises Refused."""
        parts = []
        left = most
        try:
            with self._zip.open(name) as stream:
                while left >= 0 and (part := stream.read(min(_SLICE, left + 1))):
                    parts.append(part)
                    left -= len(part)
        except KeyError:
            raise Refused(f"it is broken: the part {name} is missing") from None
        except _DAMAGED as fault:
            raise Refused(f"it is broken, or encrypted: the part {name} cannot be unpacked ({fault})") from None
        if left < 0 and not cut:
            raise Refused(f"its part {name} unpacks to more than {most >> 20} MB: too large to be a manuscript")
        return b"".join(parts)[:most]

    def xml(self, name: str) -> Element:
        """Return the root of a part that is XML. Raises Refused."""
        return parse(self.read(name), name)

    def start_of(self, name: str) -> bytes:
        """Return the start of a picture, b"" if it is not there."""
        if name not in self.names:
            return b""
        return self.read(name, MOST_PICTURE, cut=True)

    def rewritten(self, changed: dict[str, bytes]) -> bytes:
        """Return the file with some parts changed or added; all others as they are, in their order."""
        out = io.BytesIO()
        with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as target:
            for info in self._zip.infolist():
                copied = zipfile.ZipInfo(info.filename, info.date_time)
                copied.compress_type, copied.external_attr = info.compress_type, info.external_attr
                known = changed.get(info.filename)
                target.writestr(copied, self.read(info.filename, MOST_XML * 4) if known is None else known)
            for name, content in changed.items():
                if name not in self.names:
                    target.writestr(zipfile.ZipInfo(name, (1980, 1, 1, 0, 0, 0)), content, zipfile.ZIP_DEFLATED)
        return out.getvalue()


def parse(data: bytes, name: str) -> Element:
    """Return the root of some XML, read without entities, document types or anything from outside. Raises Refused."""
    parser = etree.XMLParser(resolve_entities=False, no_network=True, load_dtd=False, huge_tree=False)
    try:
        root = etree.fromstring(data, parser)
    except etree.XMLSyntaxError as fault:
        raise Refused(f"it is broken: {name} is not XML ({fault.msg})") from None
    if root.getroottree().docinfo.doctype:
        raise Refused(f"its part {name} declares a document type, which no such file needs: it is not read")
    return root


def local(element: Element) -> str:
    """Return the name of an element without its namespace, "" for a comment."""
    tag = element.tag
    return tag.rpartition("}")[2] if isinstance(tag, str) else ""


def value(element: Element | None, name: str = "val") -> str | None:
    """Return an attribute by its name without the namespace."""
    if element is None:
        return None
    for key, found in element.attrib.items():
        if key.rpartition("}")[2] == name:
            return str(found)
    return None


def child(element: Element | None, name: str) -> Element | None:
    """Return the first child of a name without the namespace."""
    if element is None:
        return None
    return next((each for each in element if local(each) == name), None)


def path_to(element: Element | None, *names: str) -> Element | None:
    """Return the descendant that these names lead to, one child after the other."""
    for name in names:
        element = child(element, name)
    return element


def serialized(root: Element) -> bytes:
    """Return a part as it is written."""
    written: bytes = etree.tostring(root, xml_declaration=True, encoding="UTF-8", standalone=True)
    return written
