"""What a run comes to: the counts behind the summary line and the exit status."""

from collections import Counter
from typing import Any

from keyproof.rules.finding import Level
from keyproof.rules.reading.account import Standing
from msgspec import Struct, field
from msgspec.structs import fields

from .exits import Exit
from .results import FileResult


class Tally(Struct):
    """Counts over the files of a run.

    `unreadable` paths are not among `files`; `left` are those an interrupt kept from being looked at.
    """

    files: int = 0
    unreadable: int = 0
    left: int = 0
    puzzles: int = 0
    move_mentions: int = 0
    checked: int = 0
    verdicts: Counter[str] = field(default_factory=Counter)
    no_position: int = 0  # puzzles whose position cannot be read; their verdict is "no-claim"
    placed: int = 0  # clauses that hold chess, by what became of them
    doubtful: int = 0
    not_understood: int = 0
    half_read: int = 0  # files of which less than half was understood
    first_unread: tuple[str, str] | None = None  # path and place of the first clause that was not placed
    levels: Counter[Level] = field(default_factory=Counter)

    def add(self, result: FileResult) -> None:
        """Count one file."""
        if result.error is not None:
            self.unreadable += 1
            return
        self.files += result.last
        self.puzzles += len(result.puzzles)
        for puzzle in result.puzzles:
            self.verdicts[puzzle.verdict] += 1
            self.no_position += puzzle.fen is None
            self.move_mentions += puzzle.move_mentions
            self.checked += puzzle.checked
        self._account(result)
        for placed in result.findings:
            self.levels[placed.finding.level] += 1
        if result.remarks:
            self.levels[Level.note] += len(result.remarks)

    def _account(self, result: FileResult) -> None:
        account = result.account
        self.placed += account.placed
        self.doubtful += account.doubtful
        self.not_understood += account.not_understood
        self.half_read += account.half_read
        unread = next((entry for entry in account.entries if entry.standing is not Standing.placed), None)
        if unread is not None and self.first_unread is None:
            self.first_unread = result.path, result.where(unread.span.start)

    def as_values(self) -> dict[str, Any]:
        """Return the counts as JSON values, to be added to another tally."""
        values = {each.name: getattr(self, each.name) for each in fields(self) if each.type is int}
        verdicts = dict(self.verdicts)
        levels = {level.name: number for level, number in self.levels.items()}
        return values | {"verdicts": verdicts, "levels": levels, "first_unread": self.first_unread}

    def add_values(self, values: dict[str, Any]) -> None:
        """Add what another tally has counted, as `as_values` gives it."""
        for each in fields(self):
            if each.type is int:
                setattr(self, each.name, getattr(self, each.name) + values.get(each.name, 0))
        self.verdicts.update(values["verdicts"])
        self.levels.update({Level[name]: number for name, number in values["levels"].items()})
        if self.first_unread is None and values["first_unread"] is not None:
            path, where = values["first_unread"]
            self.first_unread = path, where

    def status(self, bar: Level) -> Exit:
        """Return the exit status of the run."""
        if self.unreadable:
            return Exit.unreadable
        if any(level >= bar for level in self.levels):
            return Exit.findings
        return Exit.not_understood if self.half_read else Exit.clean
