"""What a puzzle is taken to ask for where nothing asks it plainly.

A position has hardly ever by chance exactly one key in so many moves and no mate in fewer. Where it has, it is enough
that the text may ask for just that: in words that no form of an order takes in (grammar/gleaning/askings.py), as all
other puzzles of its column do, or by what it solves, the one key and its mates on the last move.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence, Set

from keyproof.grammar.document import PuzzleText
from keyproof.grammar.gleaning.askings import Asking, askings
from keyproof.grammar.lexicon.tongues import TONGUES
from keyproof.grammar.spans import Span
from msgspec import Struct

from ..board.stipulation import Stipulation
from ..proof.proof import Proof
from ..reading.reading import Mention, Reading, Role, State

_BEFORE = 240  # characters before a position in which its order may stand, whosever they are
_UNSAID = 1  # what it costs that a puzzle is taken to ask without words
_MATES = 2  # that a text must tell at the end of its lines


class Supposed(Struct, frozen=True):
    """What a puzzle is taken to ask for, its proof, and the words that may ask it; None: its column or its solution."""

    proof: Proof
    words: Span | None

    @property
    def stipulation(self) -> Stipulation:
        """What is taken to be asked."""
        return self.proof.stipulation

    def said(self, text: str) -> str:
        """Return the words in one line, "" where there are none."""
        return "" if self.words is None else " ".join(self.words.of(text).split())


def supposed(
    proof: Proof,
    reading: Reading,
    others: Set[Stipulation],
    masked: str,
    puzzle: PuzzleText,
    shared: Sequence[Span],
    language: str,
) -> Supposed | None:
    """Return what a puzzle is taken to ask for: what `proof` proves, or nothing.

    `others` is what the other puzzles of the column ask for, `shared` the text that is of all of them, `language` the
    table of words.
    """
    if not (proof.searched.complete and len(proof.keys) == 1 and proof.shortest == proof.stipulation.moves):
        return None
    asked = sorted(_askings(masked, [*_places(masked, puzzle, shared)], language), key=lambda each: each.cost)
    words = next((each for each in asked if each.number == proof.stipulation.moves), None)
    cost = _UNSAID if words is None else words.cost
    if any(each.number != proof.stipulation.moves and each.cost < cost for each in asked):
        return None
    if words is None and others != {proof.stipulation} and not _solves(reading, proof):
        return None
    return Supposed(proof, None if words is None else words.span)


def _askings(masked: str, places: Sequence[tuple[Span, bool]], language: str) -> Iterator[Asking]:
    """Yield what a text may ask; where it has so few words that it is taken for English, in plain words of others."""
    for part, before in places:
        yield from askings(masked, part, language, before=before)
    for other in TONGUES if language == "english" else ():
        for part, before in places:
            yield from (each for each in askings(masked, part, other, before=before) if not each.cost)


def _places(masked: str, puzzle: PuzzleText, shared: Sequence[Span]) -> Iterator[tuple[Span, bool]]:
    """Yield where a puzzle's order may stand, and whether that is before its position."""
    shown = min((diagram.span.start for diagram in puzzle.diagrams), default=puzzle.span.start)
    yield Span(max(0, masked.rfind("\n\n", 0, max(0, shown - _BEFORE)), shown - _BEFORE), shown), True
    for span in (*puzzle.headings, *puzzle.orders, *shared):
        yield span, True
    for span in puzzle.prose:
        yield span, span.start < shown


def _solves(reading: Reading, proof: Proof) -> bool:
    """Tell whether a text tells the one key and mates at the last of the moves, and plays nowhere beyond."""
    plies = proof.stipulation.plies
    key = reading.diagram.play(proof.keys[0])
    told = [mention for mention in reading.mentions if mention.state is State.read]
    if not any(mention.role is Role.key and mention.after == [key] for mention in told):
        return False
    if any(node.ply > plies for mention in told for node in mention.after):
        return False
    return len(_mates(told, reading, plies)) >= _MATES


def _mates(told: list[Mention], reading: Reading, plies: int) -> set[int]:
    """Return the places of the mates that are told at the end of lines."""
    return {
        mention.phrase.span.start
        for mention in told
        if mention.role is Role.answer
        and not reading.is_open(mention.phrase.span.start)
        and mention.after
        and all(node.ply == plies and node.mate for node in mention.after)
    }
