"""Where a sentence goes on, and where it ends, though no punctuation says so."""

from collections.abc import Iterable, Iterator, Sequence

from .moves import Effect
from .spans import Span
from .statements import Aside, Break, Claim, Marker, Statement, Turn

_ENDS = ("stop", "question", "semicolon", "block")
_OPENS = ("if", "key", "try", "set_play", "variations", "in_diagram")


def joined(statements: Iterable[Statement]) -> Iterator[Statement]:
    """Leave out the line ends between "if" with its defence and the answer to it, since prose is wrapped anywhere.

    The answer would be read as a line of its own, and so perhaps after another defence, where it is true.
    """
    answered = True
    for statement in statements:
        match statement:
            case Marker():
                answered = statement.kind != "if"
            case Break():
                if statement.kind == "line" and not answered:
                    continue
                answered = answered or statement.kind in _ENDS
            case Turn() if not answered:
                effects = statement.effects + (statement.choices[-1].effects if statement.choices else ())
                answered = any(effect is Effect.mate for effect, _ in effects)
        yield statement


def listed(statements: Iterable[Statement], text: str) -> list[Statement]:
    """Return the statements of `text` with a full stop at the end of each line of a list of variations.

    Such a line begins with a numbered move and goes on with another; below it stands one with the same number, or
    words that begin a sentence. A question below the list asks nothing of it.
    """
    given = list(statements)
    found = [*given]
    start = 0
    for place, statement in enumerate(given):
        if isinstance(statement, Break) and statement.kind == "line":
            following = given[place + 1] if place + 1 < len(given) else None
            if (first := _variation(given[start:place], text)) is not None and _begins(following, first, text):
                found[place] = Break("stop", statement.span)
            start = place + 1
    return found


def _variation(line: Sequence[Statement], text: str) -> Turn | None:
    """Return the first move of a line that is one of a list: numbered, with nothing before it and an answer behind."""
    turns = [statement for statement in line if isinstance(statement, Turn)]
    if len(turns) < 2 or turns[0] is not line[0] or turns[0].number is None:
        return None
    if any(isinstance(statement, Break) and statement.kind == "stop" for statement in line[:-1]):
        return None  # of prose whose lines happen to end before a number
    start = turns[0].span.start
    alone = not text[text.rfind("\n", 0, start) + 1 : start].strip()
    return turns[0] if alone and "\n" not in text[start : line[-1].span.end] else None


def _begins(statement: Statement | None, first: Turn, text: str) -> bool:
    """Tell whether a line begins anew with a statement: another line of the list, or words with a capital letter."""
    if isinstance(statement, Turn) and statement.number is not None:
        return first.number is not None and statement.number.ply == first.number.ply
    return isinstance(statement, (Aside, Marker, Claim)) and statement.span.of(text)[:1].isupper()


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
