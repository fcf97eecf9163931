"""Remarks beside lines of play in a notation that says itself where each move stands, as in PGN.

The walk, which knows nothing of brackets, reads the words of remarks and no move of the lines.
"""

from bisect import bisect_right
from collections.abc import Sequence

import chess
from keyproof.grammar.document import PuzzleText
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import Statement, Turn

from ..reading.reading import Reading


def lines_as_printed(
    puzzle: PuzzleText, statements: Sequence[Statement], sentences: Sequence[Span], walk: Reading
) -> dict[Span, bool]:
    """Return the sentences in which the walk does not count, each with False; none where the words tell the play.

    These are the lines, and remarks in which it finds a threat where others than the first move stand before.
    """
    if puzzle.play is None:
        return {}
    remarks = puzzle.remarks
    told = [each for each in sentences if any(one.start <= each.start and each.end <= one.end for one in remarks)]
    lines = [
        (each.span.start, each.number.ply or 0)
        for each in statements
        if isinstance(each, Turn) and each.placed and each.number is not None
    ]

    def goes_astray(sentence: Span) -> bool:
        before = bisect_right(lines, sentence.start, key=lambda line: line[0])
        return (
            before > 0
            and lines[before - 1][1] > 1
            and any(
                chess.Move.null() in node.moves
                for mention in walk.mentions
                if mention.phrase.span.overlaps(sentence)
                for node in mention.at
            )
        )

    return {sentence: False for sentence in sentences if sentence not in told or goes_astray(sentence)}
