"""What a run comes to: the counts behind the summary line and the exit status."""

from collections import Counter
from dataclasses import dataclass, field

from keyproof.rules.finding import Level

from .exits import Exit
from .results import FileResult


@dataclass
class Tally:
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
    levels: Counter[Level] = field(default_factory=Counter)

    def add(self, result: FileResult) -> None:
        """Count one file."""
        if result.error is not None:
            self.unreadable += 1
            return
        self.files += 1
        self.puzzles += len(result.puzzles)
        for puzzle in result.puzzles:
            self.verdicts[puzzle.verdict] += 1
            self.move_mentions += puzzle.move_mentions
            self.checked += puzzle.checked
        for placed in result.findings:
            self.levels[placed.finding.level] += 1
        if result.remarks:
            self.levels[Level.note] += len(result.remarks)

    def status(self, bar: Level) -> Exit:
        """Return the exit status of the run."""
        if self.unreadable:
            return Exit.unreadable
        return Exit.findings if any(level >= bar for level in self.levels) else Exit.clean
