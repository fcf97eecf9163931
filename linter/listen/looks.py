"""Quick looks at the puzzles of a text that is being written, to see which text fits which of them.

A look at a puzzle is kept, by what stands in its lines, for as long as these stand in the text: otherwise each key
would have all puzzles read again while one of them has no solution yet.
"""

from functools import cached_property

from keyproof.grammar.document import Document, PuzzleText
from keyproof.grammar.spans import Lines, Span
from keyproof.rules.case.case import Case
from keyproof.rules.proof.limits import Cancel
from keyproof.rules.reading.reading import Reading

from .content import Key, content, pieces_of


class Cancelled(Exception):
    """The text has changed, so that nobody waits for this check any more."""


class Look(Case, dict=True):
    """A puzzle set up to see whether its text fits it. What is known of it is never half known: no search is cancelled.

    It is asked for moves, costs and proofs, never for places: those are of the text it was first seen in, which is
    `seen_in`.
    """

    watched: Cancel | None = None
    seen_in: str = ""

    @cached_property
    def reading(self) -> Reading | None:
        """The reading, as of any case; Cancelled is raised instead where nobody waits for it any more."""
        if self.watched is not None and self.watched.cancelled:
            raise Cancelled
        return super().reading


def take_over(look: Look, case: Case) -> None:
    """Give a case what a look at the same puzzle has read of the same text, with the same effort."""
    beyond = {"fitting", "impossible", "supposed"}  # which look at the rest of the file
    case.__dict__.update({name: known for name, known in look.__dict__.items() if name not in beyond})
    case.granted, case.solved, case.ways = look.granted, look.solved, look.ways


class Looks:
    """The looks at the puzzles of one text, within `effort` million positions for each proof."""

    def __init__(self, effort: float) -> None:
        self._effort = effort
        self._known: dict[Key, Look] = {}
        self._times: dict[Key, int] = {}  # the same lines may stand in a file twice
        self._used: set[Key] = set()
        self._seen: dict[Span, Look] = {}  # in this version of the text
        self._shared: tuple[Span, ...] = ()

    def begin(self, shared: tuple[Span, ...]) -> None:
        """Begin with another version of the text; `shared` are its parts that speak of every puzzle."""
        self._times = {}
        self._used = set()
        self._seen = {}
        self._shared = shared

    def known(self, puzzle: PuzzleText, text: str) -> Look | None:
        """Return the look at a puzzle of this very text, None where it was not looked at in it for the first time."""
        look = self._seen.get(puzzle.span)
        return look if look is not None and look.seen_in is text and look.puzzle == puzzle else None

    def look(self, document: Document, lines: Lines, puzzle: PuzzleText, cancel: Cancel) -> Case:
        """Set up a puzzle; one that was looked at before is moved to where its lines stand now. Raises Cancelled."""
        if cancel.cancelled:
            raise Cancelled
        said = tuple(span.of(document.masked) for span in self._shared)
        known = (said, *content(document, puzzle, pieces_of(puzzle, lines)))
        self._times[known] = self._times.get(known, 0) + 1
        key = (*known, self._times[known])
        self._used.add(key)
        look = self._known.get(key)
        if look is None:
            look = self._known[key] = Look(document.text, document.masked, puzzle, self._shared, self._effort)
            look.seen_in = document.text
        look.text, look.masked, look.puzzle, look.watched = document.text, document.masked, puzzle, cancel
        self._seen[puzzle.span] = look
        return look

    def end(self) -> None:
        """Forget what stands in the text no more."""
        self._known = {key: look for key, look in self._known.items() if key in self._used}
