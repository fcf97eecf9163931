"""What a whole archive tells: its puzzles by task and verdict, what is wrong with them, and positions that come again.

Puzzles are the lines of `check --as jsonl`. Positions are kept in a database on the disk, so that an archive of
any size takes little memory.
"""

import hashlib
import sqlite3
from collections import Counter
from collections.abc import Callable, Iterator
from typing import Any

import chess
from msgspec import Struct

Turned = Callable[[chess.Bitboard], chess.Bitboard]

# The eight ways to lay the board on itself; the first two keep the ranks, so that pawns go on as they went.
_MIRRORED: tuple[Turned, ...] = (lambda men: men, chess.flip_horizontal)
_TURNED: tuple[Turned, ...] = (
    *_MIRRORED,
    chess.flip_vertical,
    lambda men: chess.flip_horizontal(chess.flip_vertical(men)),
    chess.flip_diagonal,
    chess.flip_anti_diagonal,
    lambda men: chess.flip_vertical(chess.flip_diagonal(men)),
    lambda men: chess.flip_horizontal(chess.flip_diagonal(men)),
)

UNSOUND = frozenset(
    ("key-fails", "no-key", "second-key", "short-mate", "solution-fails", "second-solution", "no-solution")
)
"""The rules that say in what way a puzzle is unsound."""

FIRST = 200
"""Groups of repeated positions that are listed; of the others only the number is told."""


class Place(Struct, frozen=True):
    """Where a puzzle stands, its task, its verdict, and whether its text is found at fault (an error)."""

    path: str
    line: int
    title: str
    task: str
    verdict: str
    faulty: bool
    fen: str


class Repeat(Struct, frozen=True):
    """Puzzles with one position, perhaps turned or mirrored; `differ` says in what their sources do not agree."""

    places: tuple[Place, ...]
    turned: bool
    differ: tuple[str, ...]


class Survey:
    """The counts of an archive."""

    def __init__(self) -> None:
        self.files = 0
        self.unreadable: list[str] = []
        self.verdicts: Counter[tuple[str, str]] = Counter()  # (task, verdict)
        self.unsound: Counter[str] = Counter()  # the rules that tell what is unsound, once for each puzzle
        self.unproved: Counter[tuple[str, str]] = Counter()  # (task, how far it was searched)
        self.findings: Counter[str] = Counter()  # rule
        self.mentions = 0
        self.checked = 0
        self._store = sqlite3.connect("", isolation_level=None)  # on the disk, gone with this process
        self._store.execute("PRAGMA cache_size=-8000")
        self._store.execute(
            "CREATE TABLE puzzles (position BLOB, path TEXT, line INT, title TEXT, task TEXT, verdict TEXT,"
            " faulty INT, fen TEXT)"
        )
        self._store.execute("CREATE INDEX by_position ON puzzles (position)")

    @property
    def puzzles(self) -> int:
        """How many puzzles there are."""
        return self.verdicts.total()

    def add(self, line: dict[str, Any]) -> None:
        """Count one line of a report."""
        if "done" in line:
            if line["error"] is not None:
                self.unreadable.append(f"{line['done']}:{line['error_line']}: {line['error']}")
            elif line["last"]:
                self.files += 1
            return
        task = line["stipulation"] or "no task stated"
        self.verdicts[task, line["verdict"]] += 1
        self.mentions += line["move_mentions"]
        self.checked += line["checked"]
        rules = {finding["rule"] for finding in line["findings"]}
        self.findings.update(finding["rule"] for finding in line["findings"])
        if line["verdict"] == "unsound":
            self.unsound.update(rules & UNSOUND or {"unsound, and nothing in the text says otherwise"})
        if line["verdict"] == "unproved":
            said = (finding["message"] for finding in line["findings"] if finding["rule"] == "unproved")
            self.unproved[task, _how_far(next(said, ""))] += 1
        if line["fen"] is not None:
            faulty = any(finding["level"] == "error" for finding in line["findings"])
            values = (line["path"], line["line"], line["title"], task, line["verdict"], faulty, line["fen"])
            self._store.execute(
                "INSERT INTO puzzles VALUES (?, ?, ?, ?, ?, ?, ?, ?)", (canonical(chess.Board(line["fen"])), *values)
            )

    def repeats(self, most: int = FIRST) -> Iterator[Repeat]:
        """Yield the positions that stand in the archive more than once, those whose sources disagree first."""
        groups = self._store.execute(
            "SELECT position FROM puzzles GROUP BY position HAVING count(*) > 1"
            " ORDER BY count(DISTINCT task) > 1 DESC, count(DISTINCT verdict) > 1 DESC,"
            " count(DISTINCT faulty) > 1 DESC, min(rowid) LIMIT ?",
            (most,),
        ).fetchall()
        for (position,) in groups:
            rows = self._store.execute(
                "SELECT path, line, title, task, verdict, faulty, fen FROM puzzles WHERE position = ? ORDER BY rowid",
                (position,),
            )
            places = tuple(map(_place, rows))
            yield Repeat(places, len({place.fen.split()[0] for place in places}) > 1, tuple(_differ(places)))

    def repeated(self) -> tuple[int, int]:
        """Return how many positions stand in the archive more than once, and of how many the sources disagree."""
        row = self._store.execute(
            "SELECT count(*), coalesce(sum(tasks > 1 OR verdicts > 1 OR faults > 1), 0) FROM ("
            "SELECT count(DISTINCT task) AS tasks, count(DISTINCT verdict) AS verdicts,"
            " count(DISTINCT faulty) AS faults FROM puzzles"
            " GROUP BY position HAVING count(*) > 1)"
        ).fetchone()
        return int(row[0]), int(row[1])


def _place(row: tuple[Any, ...]) -> Place:
    path, line, title, task, verdict, faulty, fen = row
    return Place(path, line, title, task, verdict, bool(faulty), fen)


def _how_far(message: str) -> str:
    """Return what a finding says of how far a proof has got, without the number of its positions."""
    _, _, after = message.partition(" positions: ")
    return after.split(";")[0].strip() or "no proof was begun"


def _differ(places: tuple[Place, ...]) -> Iterator[str]:
    if len({place.task for place in places}) > 1:
        yield "the task"
    elif len({place.verdict for place in places}) > 1:
        yield "the verdict"
    if len({place.faulty for place in places}) > 1:
        yield "the solution: one has an error, another has none"


def canonical(board: chess.Board) -> bytes:
    """Return what stands for a position, the same for all that are it turned, mirrored or with the colours exchanged.

    Castling rights keep a board as it is, pawns let it be mirrored from left to right only; a position with Black to
    move is that with the colours exchanged, seen from the other side (its ranks reversed), with White to move.
    """
    board = board if board.turn == chess.WHITE else board.mirror()
    ways = _TURNED if not board.pawns else _MIRRORED
    if board.castling_rights:
        ways = _MIRRORED[:1]
    kinds = (board.pawns, board.knights, board.bishops, board.rooks, board.queens, board.kings)
    men = [kind & board.occupied_co[colour] for colour in chess.COLORS for kind in kinds]
    passed = chess.BB_SQUARES[board.ep_square] if board.ep_square is not None else 0
    seen = min(tuple(way(each) for each in (*men, passed)) for way in ways)
    told = b"".join(each.to_bytes(8, "little") for each in (*seen, board.castling_rights))
    return hashlib.blake2b(told, digest_size=16).digest()
