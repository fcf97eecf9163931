"""Where a sentence goes on, and where it ends, though no punctuation says so."""

from collections.abc import Iterable, Iterator

from .moves import Effect
from .spans import Span
from .statements import Break, Marker, Statement, Turn

_ENDS = ("stop", "question", "semicolon", "block")
_OPENS = ("if", "key", "try", "set_play", "variations", "in_diagram")


def joined(statements: Iterable[Statement]) -> Iterator[Statement]:
    """Leave out the line ends between "if" with its defence and the answer to it, since prose is wrapped anywhere.

    The answer would be read as a line of its own, and so perhaps after another defence, where it is true.
    """
    answered = True
    for statement in statements:
        if isinstance(statement, Marker):
            answered = statement.kind != "if"
        elif isinstance(statement, Break):
            if statement.kind == "line" and not answered:
                continue
            answered = answered or statement.kind in _ENDS
        elif isinstance(statement, Turn):
            effects = statement.effects + (statement.choices[-1].effects if statement.choices else ())
            answered = answered or any(effect is Effect.mate for effect, _ in effects)
        yield statement


def with_stops(statements: Iterable[Statement]) -> list[Statement]:
    """Return the statements of a speaker with the full stops that captions leave out.

    A word that opens a sentence ("if", "try") ends the one before. Where full stops are printed they are enough.
    """
    given = list(statements)
    if any(isinstance(statement, Break) and statement.kind == "stop" for statement in given):
        return given
    found: list[Statement] = []
    for statement in given:
        opens = isinstance(statement, Marker) and statement.kind in _OPENS
        if opens and found and not isinstance(found[-1], Marker):
            found.append(Break("stop", Span(statement.span.start, statement.span.start)))
        found.append(statement)
    return found
