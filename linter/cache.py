"""What is kept between runs: proofs in a small database.

Everything in the folder can be deleted at any time. Several processes may use it at once.
"""

import contextlib
import os
import sqlite3
import threading
from pathlib import Path

from keyproof.rules.proof import memory

VARIABLE = "KEYPROOF_CACHE"
"""Environment variable: the folder to keep things in; empty: keep nothing."""

MOST_PROOFS = 50_000  # some 1 KB each; the oldest go first

_LAYOUT = 1  # of the database; another number means another keyproof wrote it
_PATIENCE = 5  # seconds to wait for another process that is writing


def folder() -> Path | None:
    """Return the folder that things are kept in, None if nothing is to be kept."""
    told = os.environ.get(VARIABLE)
    if told is not None:
        return Path(told) if told else None
    from platformdirs import user_cache_path

    return user_cache_path("keyproof", appauthor=False)


_begun: tuple[Path | None, bool] | None = None
_store: "ProofStore | None" = None


def begin(*, fresh: bool = False) -> list[str]:
    """Keep proofs from here on, once for each process; return warnings, in words for the user.

    With `fresh` every proof is searched anew, and replaces the one that was kept.
    """
    global _begun, _store
    place = folder()
    if _begun == (place, fresh):
        return []
    end()
    _begun = (place, fresh)
    if place is None:
        return []
    _store = ProofStore(place / "proofs.sqlite", fresh=fresh)
    if not _store.broken:
        memory.use(_store)
    return _store.warnings


def end() -> None:
    """Keep no proofs from here on, until `begin`: the database must be closed before a process is forked."""
    global _begun, _store
    _begun = None
    memory.use(None)
    if _store is not None:
        _store.close()
        _store = None


class ProofStore:
    """Proofs by question, in a database file that other processes may use at the same time.

    A damaged file is set aside and begun anew; one that cannot be written is done without.
    `warnings` says so.
    """

    def __init__(self, path: Path, *, fresh: bool = False) -> None:
        self.path = path
        self.fresh = fresh
        self.broken = False
        self.warnings: list[str] = []
        self._kept = 0
        self._lock = threading.Lock()  # a search may run in a thread of its own
        self._connection: sqlite3.Connection | None = None
        try:
            path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            self._open()
        except sqlite3.DatabaseError as fault:
            self._recover(fault)
        except OSError as fault:
            self._give_up(fault.strerror or str(fault))

    def _open(self) -> None:
        self._connection = sqlite3.connect(self.path, timeout=_PATIENCE, isolation_level=None, check_same_thread=False)
        run = self._connection.execute
        run("PRAGMA synchronous=OFF")  # what a power cut damages is found damaged and proved again
        with contextlib.suppress(sqlite3.OperationalError):  # another process is just doing it
            run("PRAGMA journal_mode=WAL")
        if self._layout() != _LAYOUT:
            run("BEGIN IMMEDIATE")
            if self._layout() != _LAYOUT:
                run("DROP TABLE IF EXISTS proofs")
                run("CREATE TABLE proofs (question TEXT PRIMARY KEY, answer BLOB NOT NULL)")
                run(f"PRAGMA user_version={_LAYOUT}")
            run("COMMIT")
        run("SELECT answer FROM proofs LIMIT 1").fetchone()

    def _layout(self) -> object:
        assert self._connection is not None
        return self._connection.execute("PRAGMA user_version").fetchone()[0]

    def look_up(self, question: str) -> bytes | None:
        """Return the answer kept for a question."""
        row = self._run("SELECT answer FROM proofs WHERE question = ?", question)
        return row[0] if row is not None and isinstance(row[0], bytes) else None

    def keep(self, question: str, answer: bytes) -> None:
        """Keep an answer."""
        self._run("INSERT OR REPLACE INTO proofs VALUES (?, ?)", question, answer)
        self._kept += 1
        if self._kept % 64 == 1:  # a replaced row is numbered anew, so numbers run ahead of the count of rows
            self._run("DELETE FROM proofs WHERE rowid <= (SELECT max(rowid) FROM proofs) - ?", MOST_PROOFS)

    def _run(self, statement: str, *values: object) -> tuple[object, ...] | None:
        with self._lock:
            if self._connection is None:
                return None
            try:
                row: tuple[object, ...] | None = self._connection.execute(statement, values).fetchone()
            except sqlite3.OperationalError:  # another process keeps it busy, the disk is full: search instead
                return None
            except sqlite3.DatabaseError as fault:
                self._recover(fault)
                return None
            return row

    def _recover(self, fault: sqlite3.DatabaseError) -> None:
        """Begin a damaged file anew."""
        self.close()
        if isinstance(fault, sqlite3.OperationalError):
            self._give_up(str(fault))
            return
        self.warnings.append(f"the proofs kept in {self.path} were damaged ({fault}): begun anew")
        try:
            for name in (self.path.name, f"{self.path.name}-wal", f"{self.path.name}-shm"):
                with contextlib.suppress(FileNotFoundError):
                    self.path.with_name(name).unlink()
            self._open()
        except (OSError, sqlite3.Error) as again:
            self.close()
            self._give_up(str(again))

    def _give_up(self, reason: str) -> None:
        self.broken = True
        self.warnings.append(f"no proofs can be kept in {self.path}: {reason[:1].lower()}{reason[1:]}")

    def close(self) -> None:
        """Close the file; nothing is looked up or kept any more."""
        connection, self._connection = self._connection, None
        if connection is not None:
            with contextlib.suppress(sqlite3.Error):
                connection.close()
