"""Quick looks at the puzzles of a text that is being written, to see which text fits which of them.

A look at a puzzle is kept, by what stands in its lines, for as long as these stand in the text: otherwise each key
would have all puzzles read again while one of them has no solution yet.
"""

from functools import cached_property

from keyproof.grammar.document import Document, PuzzleText
from keyproof.grammar.spans import Lines
from keyproof.rules.case.case import Case
from keyproof.rules.proof.limits import Cancel
from keyproof.rules.reading.reading import Reading

from .content import Key, content, pieces_of


class Cancelled(Exception):
    """The text has changed, so that nobody waits for this check any more."""


class Look(Case, dict=True):
    """A puzzle set up to see whether its text fits it. What is known of it is never half known: no search is cancelled.

    It is asked for moves, costs and proofs, never for places: those are of the text it was first seen in.
    """

    watched: Cancel | None = None

    @cached_property
    def reading(self) -> Reading | None:
        """The reading, as of any case; Cancelled is raised instead where nobody waits for it any more."""
        if self.watched is not None and self.watched.cancelled:
            raise Cancelled
        return super().reading


class Looks:
    """The looks at the puzzles of one text, within `effort` million positions for each proof."""

    def __init__(self, effort: float) -> None:
        self._effort = effort
        self._known: dict[Key, Look] = {}
        self._times: dict[Key, int] = {}  # the same lines may stand in a file twice
        self._used: set[Key] = set()

    def begin(self) -> None:
        """Begin with another version of the text."""
        self._times = {}
        self._used = set()

    def look(self, document: Document, lines: Lines, puzzle: PuzzleText, cancel: Cancel) -> Case:
        """Set up a puzzle; one that was looked at before is moved to where its lines stand now. Raises Cancelled."""
        if cancel.cancelled:
            raise Cancelled
        known = content(document, puzzle, pieces_of(puzzle, lines))
        self._times[known] = self._times.get(known, 0) + 1
        key = (*known, self._times[known])
        self._used.add(key)
        look = self._known.get(key)
        if look is None:
            look = self._known[key] = Look(document.text, document.masked, puzzle, (), self._effort)
        look.text, look.masked, look.puzzle, look.watched = document.text, document.masked, puzzle, cancel
        return look

    def end(self) -> None:
        """Forget what stands in the text no more."""
        self._known = {key: look for key, look in self._known.items() if key in self._used}
