"""From a manuscript to a document. The libraries for a kind of file are loaded when one comes."""

from importlib import import_module
from typing import Any, Literal, get_args

from .assemble import Assembled, assemble
from .encoding import decoded
from .model import Extract, Manuscript, Refused, SourceKind

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
        if kind in ("html", "latex"):
            return source_taken_apart(path, decoded(data, kind).text, kind), None
        made = _module(kind).read(data)
    except ModuleNotFoundError as missing:
        raise _without_library(missing) from None
    return assemble(path, made if isinstance(made, Extract) else made.extract), made


def source_taken_apart(path: str, text: str, kind: SourceKind) -> Assembled:
    """Return the text of a file that is text itself with its pieces, taken out of its source. Raises Refused."""
    try:
        return assemble(path, _module(kind).read(text), text, kind)
    except ModuleNotFoundError as missing:
        raise _without_library(missing) from None


def _module(kind: ManuscriptKind) -> Any:
    return import_module(f".{kind}", __package__)


def _without_library(missing: ModuleNotFoundError) -> Refused:
    if (missing.name or "").partition(".")[0] not in _LIBRARIES:
        raise missing
    return Refused(f"a file of this kind needs more libraries: {INSTALL}")
