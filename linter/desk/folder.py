"""The files the desk may touch: those of one folder, or one file alone. No link is followed, and nothing above."""

import hashlib
import os
from collections.abc import Sequence
from pathlib import Path, PurePosixPath

from keyproof.grammar.document import Document
from keyproof.rules.case.choosing import Way
from msgspec import Struct

from ..choices import BadChoices, Choices, Sentence, load, path_beside
from ..decoding import Decoded, Undecodable, decode
from ..files import walk
from ..kinds import KINDS, MANUSCRIPTS, SOURCES, Kind
from ..listen.words import word
from ..manuscripts.encoding import DecodedSource, decoded
from ..manuscripts.model import Refused as Unread
from ..sources import Unreadable, from_bytes, kind_of
from ..style import BadSettings, settings_for
from ..writing import write_whole

LARGEST = 4_000_000  # bytes of a text; a book has less than half of that
LARGEST_SHOWN = 40_000_000  # bytes of a manuscript, which has pictures in it
MOST_FILES = 2_000
_LONGEST_NAME = 240


class Refused(Exception):
    """A file is not read or not written; the message says why and what to do."""


class ChangedOutside(Refused):
    """Another program has written the file since it was read here."""


class Stored(Struct, frozen=True):
    """A file as it was read: its text and encoding, and what tells whether it is still the same."""

    decoded: Decoded | DecodedSource
    digest: str


def only_shown(kind: Kind | None) -> bool:
    """Tell whether files of a kind are shown on the desk and not written: manuscripts that are no text themselves."""
    return kind in MANUSCRIPTS and kind not in SOURCES


def digest(data: bytes) -> str:
    """Return what tells two contents of a file apart."""
    return hashlib.sha256(data).hexdigest()


class Folder:
    """A folder, or with `only` one file in it, that need not exist yet. Files are named by "/" whatever the system."""

    def __init__(self, root: Path, only: str | None = None) -> None:
        self.root = Path(os.path.realpath(root))
        self.only = only

    @classmethod
    def of(cls, path: str) -> "Folder":
        """Return the folder that a path names, or that of a file. Refused where the desk cannot work on it."""
        if os.path.isdir(path):
            return cls(Path(path))
        if kind_of(path) is None:
            raise Refused(word("neither_folder", path=path, kinds=_known()))
        parent = os.path.dirname(os.path.abspath(path))
        if not os.path.isdir(parent):
            raise Refused(word("no_folder", folder=parent))
        folder = cls(Path(parent), os.path.basename(path))
        folder.path(os.path.basename(path))
        return folder

    @property
    def identity(self) -> str:
        """What tells this folder, or file, from others."""
        return str(self.root / self.only if self.only else self.root)

    def names(self) -> list[str]:
        """Return the names of the texts that `check` would read, in order; at most `MOST_FILES`."""
        if self.only is not None:
            return [self.only]
        try:
            settings = settings_for([str(self.root)])
        except BadSettings:
            settings = None
        found = []
        for each in walk([str(self.root)], settings):
            if isinstance(each, str) and not os.path.islink(each):
                found.append(Path(each).relative_to(self.root).as_posix())
                if len(found) == MOST_FILES:
                    break
        return found

    def path(self, name: str) -> Path:
        """Return where a file of this name is, or would be. Refused for any other place."""
        parts = self._parts(name)
        path = self.root.joinpath(*parts)
        if os.path.realpath(path) != str(path):
            raise Refused(word("is_link", name=name))
        if path.exists() and not path.is_file():
            raise Refused(word("is_no_file", name=name))
        return path

    def _parts(self, name: str) -> Sequence[str]:
        parts = PurePosixPath(name).parts
        plain = name and len(name) <= _LONGEST_NAME and not set(name) & set('\\:*?"<>|') and name.isprintable()
        if not plain or "/".join(parts) != name or any(part.startswith(".") or part == ".." for part in parts):
            raise Refused(word("no_name", name=repr(name)))
        if self.only is not None and name != self.only:
            raise Refused(word("only_one", name=self.only))
        if kind_of(name) is None:
            raise Refused(word("no_kind", name=name, kinds=_known()))
        return parts

    def read(self, name: str) -> Stored:
        """Read a file. Refused says why it cannot be opened."""
        data, kind = self._bytes(name), kind_of(name)
        try:
            if kind in SOURCES:
                return Stored(decoded(data, kind), digest(data))  # type: ignore[arg-type]  # one of SOURCES
            return Stored(decode(data), digest(data))
        except (Undecodable, Unread) as fault:
            raise Refused(f"{name}:{fault.line}:{fault.column}: {fault}") from None

    def shown(self, name: str) -> tuple[Document, str]:
        """Return what a manuscript says that is no text itself, and its digest. Refused says why it cannot be read."""
        data = self._bytes(name)
        try:
            return from_bytes(str(self.path(name)), data, kind_of(name)), digest(data)
        except Unreadable as fault:
            raise Refused(word("file_unread", name=name, why=fault.message)) from None

    def digest(self, name: str) -> str | None:
        """Return the digest of a file as it is now, None where there is none."""
        path = self.path(name)
        return digest(self._bytes(name)) if path.exists() else None

    def _bytes(self, name: str) -> bytes:
        path = self.path(name)
        try:
            size = path.stat().st_size
            most = LARGEST_SHOWN if only_shown(kind_of(name)) else LARGEST
            if size > most:
                raise Refused(word("file_large", name=name, size=f"{size:,}", most=f"{most:,}"))
            return path.read_bytes()
        except OSError as fault:
            raise Refused(word("file_unread", name=name, why=fault.strerror or fault)) from None

    def write(self, name: str, data: bytes, known: str | None, *, over: bool = False) -> str:
        """Put a text in the place of a file and return its digest.

        `known` is the digest of what stands there as far as the writer knows, None for no file; with `over` it may
        be anything. ChangedOutside where it is something else, Refused where the file cannot be written.
        """
        path = self.path(name)
        if only_shown(kind_of(name)):
            raise Refused(word("manuscript_unwritten", name=name))
        if not over and self.digest(name) != known:
            raise ChangedOutside(word("changed_outside", name=name))
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            write_whole(path, data)
        except OSError as fault:
            raise Refused(word("file_unwritten", name=name, why=fault.strerror or fault)) from None
        return digest(data)

    def choose(self, name: str, sentence: Sentence, way: Way | None) -> None:
        """Keep the choice for a sentence beside its text. Refused where that file cannot be read or written."""
        path = path_beside(str(self.path(name)))
        if os.path.realpath(path) != path:
            raise Refused(word("is_link", name=os.path.basename(path)))
        try:
            known = load(path) if os.path.exists(path) else Choices(path)
            write_whole(path, known.with_choice(sentence, way).written())
        except BadChoices as fault:
            raise Refused(str(fault)) from None
        except OSError as fault:
            raise Refused(word("file_unwritten", name=os.path.basename(path), why=fault.strerror or fault)) from None

    def stamp(self, name: str) -> tuple[int, int, int] | None:
        """Return what changes when a file is written, cheap to ask for; None where there is no file."""
        try:
            status = os.lstat(self.root / name)
        except OSError:
            return None
        return status.st_mtime_ns, status.st_size, status.st_ino


def _known() -> str:
    *others, last = KINDS
    return word("or_last", others=", ".join(others), last=last)
