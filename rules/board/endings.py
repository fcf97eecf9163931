"""Endgame tables: whether an ending is won or drawn, exactly, whatever the play.

Two published formats are read by python-chess: Syzygy (win, draw or loss) and Gaviota
(distance to mate). The 50-move rule is not applied to solutions (WFCC Codex, Art. 17), so a
win that it would spoil counts as a win.
"""

import lzma
import os
import struct
import zlib
from functools import lru_cache
from pathlib import Path
from typing import Self

import chess

# No such table (a KeyError), or a file that is cut off or damaged.
_NO_ANSWER = (KeyError, ValueError, IndexError, OSError, EOFError, struct.error, zlib.error, lzma.LZMAError)

SUFFIXES = (".rtbw", ".gtb.cp4")


class NoTables(ValueError):
    """A folder that holds no table; the message is for the user."""


def settled(board: chess.Board) -> int | None:
    """Return what `Tables.value` does, of positions that need no table: mate, stalemate, men too few to mate with.

    Source: FIDE Laws 5.1.1, 5.2.1 and 5.2.2.
    """
    if board.is_checkmate():
        return -1
    return 0 if board.is_stalemate() or board.is_insufficient_material() else None


class Tables:
    """All tables below one folder. A table covers one set of men, so most positions are not covered."""

    def __init__(self, folder: str) -> None:
        from chess.gaviota import PythonTablebase  # these take longer to import than all rules together
        from chess.syzygy import Tablebase

        self._syzygy = Tablebase()
        self._gaviota = PythonTablebase()
        names: set[str] = set()
        try:
            for parent, _, files in os.walk(folder, onerror=_unreadable):
                tables = [file for file in files if file.endswith(SUFFIXES)]
                names.update(tables)
                if any(file.endswith(".rtbw") for file in tables):
                    self._syzygy.add_directory(parent)
                if any(file.endswith(".gtb.cp4") for file in tables):
                    self._gaviota.add_directory(parent)
        except OSError as error:
            raise NoTables(f"the folder of tables cannot be read: {error.strerror or error} ({folder})") from None
        if not names:
            raise NoTables(f"no endgame tables ({' or '.join(SUFFIXES)}) in {folder}")

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self._syzygy.close()
        self._gaviota.close()

    def value(self, board: chess.Board) -> int | None:
        """Return 1 if the side to move wins, 0 if it draws, -1 if it loses; None if no table covers the position."""
        if board.clean_castling_rights():
            return None
        try:
            return _sign(self._syzygy.probe_wdl(board))
        except _NO_ANSWER:
            pass
        try:
            return _sign(self._gaviota.probe_dtm(board))
        except _NO_ANSWER:
            return None


def _sign(number: int) -> int:
    return (number > 0) - (number < 0)


def _unreadable(error: OSError) -> None:
    raise error


@lru_cache(maxsize=4)
def open_tables(folder: str) -> Tables:
    """Return the tables of a folder, opened once in each process; NoTables if there are none."""
    return Tables(str(Path(folder)))
