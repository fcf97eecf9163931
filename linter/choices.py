"""The author's choices: which of two readings of a sentence is meant, kept beside the text and never in it.

They stand in a small file of JSON, "column.keyproof" beside "column.md", whose shape is
linter/reports/choices.schema.json:

    {"keyproof": 1, "readings": [
        {"title": "No. 1", "position": "8/... w", "words": "If he drops back, the rook mates.", "reading": "told"}]}
"""

import json
import os
from collections.abc import Iterable, Iterator
from typing import Any, get_args

from keyproof.grammar.document import Document
from keyproof.grammar.spans import Span
from keyproof.rules.case.case import Case
from keyproof.rules.case.choosing import Way
from msgspec import Struct, field

from .results import Remark

SUFFIX = ".keyproof"
_LARGEST = 1_000_000  # bytes
_LAYOUT = 1

Puzzle = tuple[str, str]  # the title, and the men and the side to move of a FEN
Sentence = tuple[str, str, str]  # of a puzzle, and its words


class BadChoices(ValueError):
    """A file of choices that cannot be used; the message names it and says why."""


class Choices(Struct, frozen=True):
    """Which reading of which sentence was chosen, and the file that says so."""

    path: str = ""
    readings: tuple[tuple[Sentence, Way], ...] = field(default=())

    def of(self, case: Case) -> dict[str, Way]:
        """Return the readings that were chosen for sentences of a puzzle, by their words."""
        if not self.readings:
            return {}
        puzzle = named(case)
        return {words: way for (*whose, words), way in self.readings if tuple(whose) == puzzle}

    def with_choice(self, sentence: Sentence, way: Way | None) -> "Choices":
        """Return the choices with another one made, or with None taken back."""
        others = tuple(each for each in self.readings if each[0] != sentence)
        return Choices(self.path, others if way is None else (*others, (sentence, way)))

    def written(self) -> bytes:
        """Return the file."""
        readings = [
            {"title": title, "position": position, "words": words, "reading": way}
            for (title, position, words), way in self.readings
        ]
        return (json.dumps({"keyproof": _LAYOUT, "readings": readings}, indent=1, ensure_ascii=False) + "\n").encode()

    def unused(self, cases: Iterable[Case]) -> Iterator[Remark]:
        """Say which choices fit no sentence of the file any more."""
        if not self.readings:
            return
        here = {(*named(case), case.words_of(clause.sentence)) for case in cases for clause in case.clauses}
        for sentence, _ in self.readings:
            if sentence not in here:
                message = f"{self.path} chooses a reading for a sentence that is not here: {sentence[2]}"
                yield Remark(Span(0, 0), message)


def named(case: Case) -> Puzzle:
    """Return what tells a puzzle from others, whatever its text says."""
    board = case.board
    position = f"{board.board_fen()} {'w' if board.turn else 'b'}" if board is not None else ""
    return " ".join(f"{case.puzzle.title} {case.puzzle.label}".split()), position


def path_beside(path: str) -> str:
    """Return where the choices for a text are kept."""
    return os.path.splitext(path)[0] + SUFFIX


def choices_for(document: Document) -> tuple[Choices, list[Remark]]:
    """Return the choices beside a document, and a remark where they cannot be used."""
    path = path_beside(document.path)
    try:
        return (load(path) if os.path.isfile(path) else Choices(path)), []
    except BadChoices as fault:
        return Choices(path), [Remark(Span(0, 0), str(fault))]


def load(path: str) -> Choices:
    """Read a file of choices. Raises BadChoices."""
    try:
        if os.path.getsize(path) > _LARGEST:
            raise BadChoices(f"{path}: too large to be a file of choices")
        with open(path, "rb") as stream:
            content = json.loads(stream.read())
    except OSError as fault:
        raise BadChoices(f"{path}: {fault.strerror or fault}") from None
    except (ValueError, RecursionError) as fault:
        if isinstance(fault, BadChoices):
            raise
        raise BadChoices(f"{path}: not JSON: {fault}") from None
    try:
        return Choices(path, tuple(_reading(each) for each in _readings(content)))
    except (KeyError, TypeError, ValueError) as fault:
        raise BadChoices(f"{path}: not as choices.schema.json has it: {fault}") from None


def _readings(content: Any) -> list[Any]:
    if content["keyproof"] != _LAYOUT:
        raise ValueError(f"made by another keyproof (layout {content['keyproof']!r})")
    found = content["readings"]
    if not isinstance(found, list):
        raise ValueError("readings is no list")
    return found


def _reading(each: Any) -> tuple[Sentence, Way]:
    title, position, words, way = each["title"], each["position"], each["words"], each["reading"]
    if not (isinstance(title, str) and isinstance(position, str) and isinstance(words, str)):
        raise ValueError("a sentence is named by texts")
    if way not in get_args(Way):
        raise ValueError(f"a reading is one of {', '.join(get_args(Way))}, not {way!r}")
    return (title, position, words), way
