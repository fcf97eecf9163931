"""From a manuscript to a document. The libraries for a kind of file are loaded when one comes."""

from importlib import import_module
from typing import Any, Literal, get_args

from .assemble import Assembled, assemble
from .model import Extract, Manuscript, Refused

ManuscriptKind = Literal["docx", "odt", "html", "latex", "pdf", "rtf"]
KINDS: tuple[ManuscriptKind, ...] = get_args(ManuscriptKind)

_LIBRARIES = frozenset(("lxml", "pypdfium2", "pypdf", "pylatexenc", "striprtf"))
INSTALL = "pip install 'keyproof[documents]'"


def read(path: str, data: bytes, kind: ManuscriptKind) -> Manuscript:
    """Return what a manuscript says. Raises Refused."""
    return taken_apart(path, data, kind)[0].document


def taken_apart(path: str, data: bytes, kind: ManuscriptKind) -> tuple[Assembled, Any]:
    """Return a manuscript with its pieces, and what the reader of its kind made of the file. Raises Refused."""
    try:
        module = import_module(f".{kind}", __package__)
        if kind in ("html", "latex"):
            text = _text(data) if kind == "latex" else module.decoded(data)
            return assemble(path, module.read(text), text), None
        made = module.read(data)
    except ModuleNotFoundError as missing:
        if (missing.name or "").partition(".")[0] not in _LIBRARIES:
            raise
        raise Refused(f"a file of this kind needs more libraries: {INSTALL}") from None
    return assemble(path, made if isinstance(made, Extract) else made.extract), made


def _text(data: bytes) -> str:
    """Return the text of a source in UTF-8, or in Latin-1 where it says so."""
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        for name in (b"latin1", b"latin9", b"ansinew", b"cp1252", b"applemac"):
            if b"[" + name + b"]{inputenc}" in data:
                codecs = {b"latin9": "iso8859-15", b"ansinew": "cp1252", b"applemac": "mac_roman"}
                return data.decode(codecs.get(name, name.decode()), "replace")
        raise Refused(f"byte 0x{data[fault.start]:02x} at offset {fault.start} is not UTF-8") from None
