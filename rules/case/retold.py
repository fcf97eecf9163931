"""Positions told as another one with a change: "put the rook from c2 on h4 and leave all else; again mate in two".

What is changed the words tell (grammar/gleaning/changes.py), near those that say that all else stays. Only a position
that is sound and not that of the puzzle is taken for one that is meant.
"""

import re
from collections.abc import Iterator, Sequence
from itertools import pairwise

from keyproof.grammar.document import Diagram, Document, PuzzleText
from keyproof.grammar.gleaning.changes import changed, compared, left_standing, put_right
from keyproof.grammar.gleaning.tellings import Telling, beads_of
from keyproof.grammar.lexicon.tongues import told_in
from keyproof.grammar.spans import Span

_SENTENCE = re.compile(r"[.!?:;]+[\"”’)]*\s+|\n\s*\n")
_BEFORE, _AFTER = 5, 2  # sentences around the words that leave all else, in which the change may be told


def tellings_of_changes(document: Document, puzzle: PuzzleText, span: Span) -> Iterator[Telling]:
    """Yield where a stretch of a puzzle's text may tell its position once more with a change, and what it may tell."""
    tongue = told_in(document.masked, [span])[0]
    compares = set(compared(document.masked, span, tongue))
    for rest in sorted({*left_standing(document.masked, span, tongue), *compares}):
        told = beads_of(document.masked, Span(span.start, rest.start))
        if rest in compares:
            yield from _telling(document, puzzle, _around(document.masked, span, rest)[-_AFTER:], tongue)
            continue
        if not any(bead.does == "plays" for bead in told):
            continue  # "no, not on h8: on h1. The rest is right": the position itself is still told
        yield from _telling(document, puzzle, _around(document.masked, span, rest), tongue)
        yield from _telling(document, puzzle, _before(document.masked, span, rest), tongue)


def tellings_put_right(document: Document, puzzle: PuzzleText, span: Span) -> Iterator[Telling]:
    """Yield where a stretch of a puzzle's text may put its position right: "edit: the pawn is on a6, not on a5"."""
    tongue = told_in(document.masked, [span])[0]
    for cue in put_right(document.masked, span, tongue):
        near = _around(document.masked, span, cue)[-_AFTER:]
        yield from _telling(document, puzzle, near, tongue)


def _telling(document: Document, puzzle: PuzzleText, parts: Sequence[Span], tongue: str) -> Iterator[Telling]:
    pieces = puzzle.diagrams[-1].pieces
    ways = [
        (each.cost, Diagram(kind="list", span=part, pieces=each.pieces, piece_spans={}, told=True))
        for part in parts
        for each in changed(beads_of(document.masked, part), pieces, tongue)
    ]
    ways.sort(key=lambda way: (way[0], -len(way[1].span)))
    if ways:
        yield Telling(tuple(diagram for _, diagram in ways), tuple(cost for cost, _ in ways))


def _around(text: str, span: Span, rest: Span) -> Sequence[Span]:
    """Return the stretches of whole sentences near a place of which it is one."""
    ends = [span.start, *(each.end() for each in _SENTENCE.finditer(text, *span)), span.end]
    starts = [end for end in ends if end <= rest.start][-_BEFORE:]
    stops = [end for end in ends if end >= rest.end][:_AFTER]
    return [Span(start, stop) for start in starts for stop in stops]


def _before(text: str, span: Span, rest: Span) -> Sequence[Span]:
    """Return each sentence by itself near before a place: who plays on between has told the change in one of them."""
    ends = [span.start, *(each.end() for each in _SENTENCE.finditer(text, *span))]
    return [Span(*each) for each in pairwise([end for end in ends if end <= rest.start][-_BEFORE:])]
