"""The moves a text speaks of, each with the position it leads to, for whoever shows boards beside the text."""

from collections.abc import Callable, Iterator

import chess
from keyproof.grammar.spans import Span
from keyproof.rules.case.case import Case
from keyproof.rules.play.node import PASS, Node
from keyproof.rules.reading.reading import Mention
from msgspec import Struct


class ShownMove(Struct, frozen=True):
    """A move where it is printed, its number included, and the first position it leads to.

    `line` are the moves from the diagram to there, "1.Kg2 Kh4"; `to` is the square the man came to, None after a pass.
    """

    span: Span
    fen: str
    line: str
    to: chess.Square | None


def shown_moves(case: Case) -> Iterator[ShownMove]:
    """Yield the moves of a puzzle that were read, in text order; of those at one place only the first."""
    if case.reading is None:
        return
    end = 0
    for mention in case.reading.mentions:
        span = place_of(mention)
        if mention.after and span.start >= end:
            node = mention.after[0]
            yield ShownMove(span, node.board.fen(), played(node), node.move.to_square if node.move else None)
            end = span.end


def place_of(mention: Mention) -> Span:
    """Return where a move stands, with the number before it."""
    span, number = mention.phrase.span, mention.turn.number
    return number.span.to(span) if number is not None and mention.phrase is mention.turn.choices[0] else span


def played(node: Node, letters: Callable[[str], str] = str) -> str:
    """Return the moves from the diagram to a position; `letters` puts SAN in the letters of the author."""
    words: list[str] = []
    for step in node.path[1:]:
        assert step.parent is not None
        assert step.move is not None
        number = step.parent.number if not words or not step.parent.number.endswith("...") else ""
        words.append(number + (PASS if not step.move else letters(step.parent.board.san(step.move))))
    return " ".join(words)
