"""Which of the two readings of a text counts: that of its notation, or the walk through its words."""

from collections.abc import Callable, Mapping, Sequence
from typing import Literal

import chess
from keyproof.grammar.clauses import Clause
from keyproof.grammar.document import PuzzleText
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import Statement
from msgspec import Struct

from ..proof.proof import Proof
from ..reading.account import account
from ..reading.choice import doubted, united
from ..reading.enough import enough, follows, no_more_told
from ..reading.reading import Reading
from ..reading.settled import failing, unanswered
from ..reading.takes import takes
from ..reading.tally import judged_mentions, true_mentions
from ..reading.walk.oracle import Oracle
from ..reading.walk.outcome import frames_told, read_walk
from ..reading.work import Work
from .beside_play import lines_as_printed

Way = Literal["printed", "told"]
"""How a sentence is read: as printed moves, or as one listens to a talk."""


KNOWN = 0.78
"""The part of a text's clauses that the literal reading must place to be heard: else it does not know its words."""
FEW = 4
"""Clauses of a text that is too short to say how well it was understood."""


class Telling(Struct, frozen=True):
    """What a puzzle tells, as both readings take it.

    `letters` are those of its men, `foreign` tells that its words are not English. `chosen` says of a sentence how it
    is meant, None where nobody has said so; `any_chosen` tells whether of some sentence somebody has.
    """

    masked: str
    puzzle: PuzzleText
    statements: Sequence[Statement]
    clauses: Sequence[Clause]
    letters: Mapping[str, chess.PieceType]
    foreign: bool
    chosen: Callable[[Span], Way | None]
    any_chosen: bool


def better_told(
    literal: Reading, telling: Telling, proof: Proof | None, plies: int | None
) -> tuple[Reading, dict[Span, Way]]:
    """Return the walk through a text where it explains more than the `literal` reading, else this.

    With it, how each sentence that has two readings was read.
    """
    free = not (telling.foreign or telling.any_chosen) and _settled(literal, Oracle(proof, plies, Work(0)))
    placed = account(telling.clauses, takes(telling.statements, literal))
    if free and enough(literal, telling.statements, placed):
        worded = any(mention.phrase.worded for mention in literal.mentions)
        return literal, _as_printed(telling) if worded else {}  # which may be taken otherwise if asked to
    given = (telling.masked, telling.puzzle.prose, telling.statements)
    frames = frames_told(*given, telling.letters, flowing=telling.puzzle.spoken)
    followed = follows(placed, literal)
    if free and followed and no_more_told(literal, frames, telling.clauses):
        return literal, _as_printed(telling)
    told = read_walk(*given, literal.diagram, proof, plies, telling.letters, frames=frames)
    strange = placed.total > FEW and placed.placed < KNOWN * placed.total and not told.ran_away
    if telling.foreign and not strange:  # of its words the literal reading knows none
        return (told if judged_mentions(told) >= true_mentions(literal) else literal), {}
    literal.open += doubted(literal, told)
    sentences = sorted({clause.sentence for clause in telling.clauses})
    chosen = dict.fromkeys(sentences, True) if strange else {}
    chosen |= {span: way == "told" for span in sentences if (way := telling.chosen(span))}
    if not strange:
        chosen |= lines_as_printed(telling.puzzle, telling.statements, sentences, told)
    if all(chosen.get(span) for span in sentences):
        return told, dict.fromkeys(sentences, "told")
    wholly = placed.placed == placed.total
    oracle = Oracle(proof, plies, Work(len(frames)))
    reading, walked = united(literal, told, sentences, chosen, oracle, followed=followed, wholly=wholly)
    return reading, {span: "told" if span in walked else "printed" for span in sentences}


def _settled(literal: Reading, oracle: Oracle) -> bool:
    """Tell whether the literal reading leaves nothing that words beside its moves might yet tell."""
    return not (unanswered(literal, oracle) or failing(literal, oracle))


def _as_printed(telling: Telling) -> dict[Span, Way]:
    return {clause.sentence: "printed" for clause in telling.clauses}
