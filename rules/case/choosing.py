"""Which of the two readings of a text counts: that of its notation, or the walk through its words."""

from collections.abc import Callable, Mapping, Sequence
from typing import Literal

import chess
from keyproof.grammar.clauses import Clause
from keyproof.grammar.document import PuzzleText
from keyproof.grammar.lexicon.lexemes import lexemes
from keyproof.grammar.lexicon.tongues import told_in
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import Statement
from msgspec import Struct

from ..proof.proof import Proof
from ..reading.account import account
from ..reading.enough import enough
from ..reading.failing import with_escapes
from ..reading.grounds import with_grounds
from ..reading.in_diagram import with_diagram
from ..reading.mixed import mixed
from ..reading.reading import Reading
from ..reading.takes import takes
from ..reading.walk.oracle import Oracle
from ..reading.walk.outcome import frames_told, read_walk
from ..reading.work import Work
from .beside_play import lines_as_printed

Way = Literal["printed", "told"]
"""How a sentence is read: as printed moves, or as one listens to a talk."""


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
    """Return the walk through a text, or the `literal` reading where that leaves nothing for words to tell.

    With it, how each sentence that has two readings was read. Of a sentence whose way somebody has chosen, and of the
    lines of a notation that says itself where each move stands, the reading chosen counts.
    """
    statements = telling.statements
    placed = account(telling.clauses, takes(statements, literal))
    free = not (telling.foreign or telling.any_chosen)
    oracle = Oracle(proof, plies, Work(len(statements)))
    if free and enough(literal, statements, placed, oracle):
        worded = any(mention.phrase.worded for mention in literal.mentions)
        printed: dict[Span, Way] = {clause.sentence: "printed" for clause in telling.clauses}
        return _with_words(
            literal, telling, oracle
        ), printed if worded else {}  # which may be taken otherwise if asked to
    given = (telling.masked, telling.puzzle.prose, statements)
    frames = frames_told(*given, telling.letters, flowing=telling.puzzle.spoken)
    told = read_walk(*given, literal.diagram, proof, plies, telling.letters, frames=frames)
    sentences = sorted({clause.sentence for clause in telling.clauses})
    as_printed = lines_as_printed(telling.puzzle, statements, sentences, told)
    ways: dict[Span, Way] = {each: "printed" if each in as_printed else "told" for each in sentences}
    ways |= {each: way for each in sentences if (way := telling.chosen(each))}
    found = mixed(literal, told, {each: way == "told" for each, way in ways.items()})
    return _with_words(found, telling, oracle), ways


def _with_words(found: Reading, telling: Telling, oracle: Oracle) -> Reading:
    """Return a reading with what is told in words that are no move: by guards, by what escapes, of the diagram."""
    text, prose = telling.masked, telling.puzzle.prose
    tongue, letters = told_in(text, prose, telling.letters)
    blocks = [words for span in prose if (words := lexemes(text, span, tongue, letters))]
    return with_diagram(with_escapes(with_grounds(found, oracle), blocks, oracle), blocks, oracle)
