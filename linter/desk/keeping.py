"""What outlives a crash: texts not saved yet, and the address under which an open page finds its server again."""

import contextlib
import hashlib
import json
import os
import time
from pathlib import Path
from typing import TypeVar

from msgspec import Struct
from msgspec.structs import asdict

from ..writing import write_whole

VARIABLE = "KEYPROOF_DESK"
"""Environment variable: the folder to keep such things in."""

KEPT_DAYS = 60  # after that nobody will ask for a text that was never saved

T = TypeVar("T", "Unsaved", "Address")


class Unsaved(Struct, frozen=True):
    """A text that was not saved: its file, what it was written upon (a digest, None: no file), and when."""

    name: str
    text: str
    upon: str | None
    seconds: float  # since 1970


class Address(Struct, frozen=True):
    """Where a server of some folder listens."""

    port: int
    token: str


def state_folder() -> Path:
    """Return the folder that is kept between runs."""
    told = os.environ.get(VARIABLE)
    if told:
        return Path(told)
    from platformdirs import user_state_path

    return user_state_path("keyproof", appauthor=False) / "desk"


class Keeper:
    """Keeps what belongs to one folder, or one file, that is worked on; readable by its user alone."""

    def __init__(self, identity: str) -> None:
        self._folder = state_folder() / hashlib.sha256(identity.encode(errors="surrogatepass")).hexdigest()[:24]

    def keep(self, name: str, text: str, upon: str | None) -> None:
        """Keep a text that is not saved. OSError where that cannot be."""
        self._write(self._file(name), Unsaved(name, text, upon, time.time()))

    def unsaved(self, name: str) -> Unsaved | None:
        """Return the text of a file that was not saved, None where there is none."""
        return self._read(self._file(name), Unsaved)

    def all_unsaved(self) -> list[Unsaved]:
        """Return every text that was not saved; those older than `KEPT_DAYS` are dropped."""
        found = []
        for path in sorted(self._folder.glob("text-*.json")):
            unsaved = self._read(path, Unsaved)
            if unsaved is None or time.time() - unsaved.seconds > KEPT_DAYS * 86400:
                self._drop(path)
            else:
                found.append(unsaved)
        return found

    def drop(self, name: str) -> None:
        """Forget the text of a file: it was saved, or given up."""
        self._drop(self._file(name))

    def note_address(self, address: Address) -> None:
        """Note where the server listens, for a page that is still open when it has ended and is started again."""
        self._write(self._folder / "address.json", address)

    def address(self) -> Address | None:
        """Return where the last server listened, if a page of it may be open."""
        return self._read(self._folder / "address.json", Address)

    def drop_address(self) -> None:
        """Note that the server has ended, and no page of it is open."""
        self._drop(self._folder / "address.json")

    def _file(self, name: str) -> Path:
        return self._folder / f"text-{hashlib.sha256(name.encode(errors='surrogatepass')).hexdigest()[:24]}.json"

    def _write(self, path: Path, what: Unsaved | Address) -> None:
        self._folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        self._folder.chmod(0o700)
        write_whole(path, json.dumps(asdict(what)).encode())

    @staticmethod
    def _read(path: Path, kind: type[T]) -> T | None:
        try:
            return kind(**json.loads(path.read_bytes()))
        except (OSError, ValueError, TypeError):
            return None

    @staticmethod
    def _drop(path: Path) -> None:
        with contextlib.suppress(OSError):
            path.unlink()
