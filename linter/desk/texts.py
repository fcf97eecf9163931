"""The texts that are open on the desk: as they are written, as their files stand, and who is writing."""

from keyproof.grammar.document import Document
from msgspec import Struct, field

from ..decoding import Decoded
from ..kinds import SOURCES, Kind
from ..listen.words import word
from ..manuscripts.encoding import DecodedSource
from ..sources import kind_of
from .ends import Ends
from .folder import Folder, Refused, Stored, only_shown
from .keeping import Keeper, Unsaved

LARGEST = 4_000_000  # characters


class NotWriting(Exception):
    """The text is being written in another window."""


class OpenText(Struct):
    """A text on the desk. `upon` is the digest of the file it was written upon, None: there is no file yet.

    `writer` is the window that may change it, `readers` all that show it. `recovered` is what a crash left unsaved.
    `shown` is set for a manuscript that is only shown: what was read of it.
    """

    name: str
    kind: Kind
    decoded: Decoded | DecodedSource
    ends: Ends
    upon: str | None
    text: str
    revision: int = 1
    writer: object | None = None
    readers: set[object] = field(default_factory=set)
    recovered: Unsaved | None = None
    told_outside: str | None = ""  # the digest of the file that its windows were told of last
    shown: Document | None = None

    @property
    def saved(self) -> bool:
        """True if the file has this text."""
        return self.upon is not None and self.text == self.ends.plain

    @property
    def encoded(self) -> bytes:
        """The bytes to be saved. UnicodeEncodeError where the file's encoding lacks a letter."""
        return self.decoded.encoded(self.ends.restored(self.text))


class Texts:
    """Opens and saves the texts of a folder."""

    def __init__(self, folder: Folder, keeper: Keeper) -> None:
        self.folder = folder
        self.keeper = keeper
        self.opened: dict[str, OpenText] = {}

    def open(self, name: str) -> OpenText:
        """Return an open text, or open it: as it was left unsaved, if it was. Refused says why it cannot be."""
        known = self.opened.get(name)
        if known is not None:
            return known
        kind = kind_of(self.folder.path(name))
        assert kind is not None
        if only_shown(kind):
            return self._show(name, kind)
        stored = self._stored(name)
        ends = Ends.of(stored.decoded.text) if stored is not None else Ends()
        upon = stored.digest if stored is not None else None
        unsaved = self.keeper.unsaved(name)
        if unsaved is not None and unsaved.text == ends.plain:
            self.keeper.drop(name)
            unsaved = None
        decoded = stored.decoded if stored is not None else _unwritten(kind)
        text = OpenText(name, kind, decoded, ends, upon, unsaved.text if unsaved is not None else ends.plain)
        text.recovered = unsaved
        if unsaved is not None:
            text.upon = unsaved.upon  # where the file has changed since, its windows are told, and saving says so
        text.told_outside = text.upon
        self.opened[name] = text
        return text

    def _show(self, name: str, kind: Kind) -> OpenText:
        if not self.folder.path(name).exists():
            raise Refused(word("no_manuscript", name=name))
        shown, upon = self.folder.shown(name)
        text = OpenText(name, kind, Decoded(""), Ends.of(shown.text), upon, shown.text, shown=shown)
        text.told_outside = upon
        self.opened[name] = text
        return text

    def _stored(self, name: str) -> Stored | None:
        return self.folder.read(name) if self.folder.path(name).exists() else None

    def write(self, text: OpenText, writer: object, words: str) -> int:
        """Take the newest version of a text from the window that writes it, and return its revision."""
        if text.writer is not writer or text.shown is not None:
            raise NotWriting
        text.text = words
        text.revision += 1
        return text.revision

    def keep(self, text: OpenText) -> None:
        """Keep what is not saved, so that it outlives a crash. OSError where that cannot be."""
        if text.saved or (text.upon is None and not text.text):
            self.keeper.drop(text.name)
        else:
            self.keeper.keep(text.name, text.text, text.upon)

    def save(self, text: OpenText, *, over: bool = False, in_utf8: bool = False) -> None:
        """Put a text in the place of its file; raises as `Folder.write`, UnicodeEncodeError as `encoded`."""
        if in_utf8 and isinstance(text.decoded, Decoded):
            text.decoded = Decoded("")
        data = text.encoded
        text.upon = text.told_outside = self.folder.write(text.name, data, text.upon, over=over)
        stored = self.folder.read(text.name)
        text.decoded, text.ends, text.recovered = stored.decoded, Ends.of(stored.decoded.text), None
        self.keeper.drop(text.name)

    def from_file(self, text: OpenText) -> str:
        """Return the text as its file has it now, and write upon that from here on."""
        if text.shown is not None:
            text.shown, text.upon = self.folder.shown(text.name)
            text.text, text.ends = text.shown.text, Ends.of(text.shown.text)
            text.told_outside = text.upon
            text.revision += 1
            return text.text
        stored = self.folder.read(text.name)
        text.decoded, text.ends = stored.decoded, Ends.of(stored.decoded.text)
        text.upon = text.told_outside = stored.digest
        text.recovered = None
        return text.ends.plain

    def changed_outside(self, text: OpenText) -> bool:
        """Tell, once for each change, whether another program has changed the file of a text."""
        now = self.folder.digest(text.name)
        if now == text.told_outside:
            return False
        text.told_outside = now
        return now != text.upon

    def leave(self, window: object) -> None:
        """Note that a window is gone."""
        for text in self.opened.values():
            text.readers.discard(window)
            if text.writer is window:
                text.writer = None


def _unwritten(kind: Kind) -> Decoded | DecodedSource:
    """Return how a file that is begun will be written."""
    return DecodedSource("", kind) if kind in SOURCES else Decoded("")  # type: ignore[arg-type]  # one of SOURCES
