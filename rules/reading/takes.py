"""What a reading took from a text, stretch by stretch, for the account of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from keyproof.grammar.statements import Claim, Marker, Outcome, Reason, Statement, Topic, Turn

from .account import Taken
from .reading import Reading, State


def takes(statements: Sequence[Statement], reading: Reading) -> Iterator[Taken]:
    """Yield what a reading took of the statements of a text."""
    read = {claim.claim.span for claim in reading.claims}
    for statement in statements:
        match statement:
            case Turn():
                yield Taken(statement.span, counts=_names_men(statement, reading))
            case Claim():
                about_all = statement.kind in ("count", "stipulation", "side_to_move")
                yield Taken(statement.span, counts=about_all or statement.span in read)
            case Topic():
                yield Taken(statement.span, counts=statement.square is not None, names=True)
            case Marker() | Outcome():
                yield Taken(statement.span, counts=False)
            case Reason():
                yield Taken(statement.told, counts=False)
    for unread in reading.not_understood:
        yield Taken(unread.span, read=False)
    for passed in reading.passed:
        yield Taken(passed, read=False)
    for mention in reading.mentions:
        read_here = mention.state is State.read
        open_here = reading.is_open(mention.phrase.span.start)
        yield Taken(mention.phrase.span, read=read_here, trusted=not open_here)
        yield Taken(mention.turn.span, counts=False)
        for _, place in mention.effects:
            yield Taken(place, read=read_here)
    for mention in reading.parries:
        yield Taken(mention.phrase.span)
    for told in reading.claims:
        yield Taken(told.claim.span, counts=False)
    for placed in reading.reasons:
        yield Taken(placed.reason.span)


def _names_men(turn: Turn, reading: Reading) -> bool:
    """Tell whether what looks like moves only says where men stand: "White has Ka3, Qb3"."""
    if turn.number is not None or turn.effects or any(choice.capture or choice.effects for choice in turn.choices):
        return False
    board = reading.diagram.board
    return all(
        choice.destination is not None and board.piece_type_at(choice.destination) == choice.piece
        for choice in turn.choices
    )
