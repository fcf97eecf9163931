"""Which men the words of a reason may mean: "it", "that knight", the man that has just moved."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

import chess
from keyproof.grammar.statements import Aside, Break, Man, Marker, Outcome, Reason, Statement, Topic, Turn
from keyproof.grammar.words import SPOKEN_SQUARE, square_of
from msgspec.structs import replace

from ..play.node import Node
from .told import Spoken

_DEEDS = ("pinned", "guarded", "flight_taken", "blocked", "line_closed", "sacrifice")  # done by a man where it stands
_JOINS = ("and", "also", "which", "it", "she", "and it", "and she", "because it", "because she", "there it", "so it")
_ENDS = ("stop", "question", "semicolon", "block")
_THERE = re.compile(r"(?:^there|\bwhere|\b(?:from|and|on)\s+(?:there|here))(?:\s+it)?\W*$", re.I)
_NAMES = re.compile(r"\b(?:king|queen|rook|bishop|knight|night|pawn|man|piece)s?\b", re.I)
_IT = ("it", "piece", "man", "officer", "unit")  # "it is this piece that guards e4"
_WHICH = ("which", "that", "who")
_THEN = re.compile(r"it\s+(?:then|there)\b", re.I)
_SAME = re.compile(r"(?:by\s+)?(?:that|this|the\s+(?:very\s+)?same)\b", re.I)
_THAT_SQUARE = re.compile(r"\b(?:that|this)\s+(?:square|flight)$", re.I)
_THE = re.compile(r"(?:by\s+)?the\s+\w+", re.I)
_FAR = 2  # the sentences in which stands what "it" may mean


def referred(reason: Reason, spoken: Spoken, before: Sequence[Statement]) -> Reason:
    """Return a reason with the men that "it" may mean in it; note those it names.

    `before` are the statements that lead to it: after a move whose words name no other man the moving one does it.
    """

    def named(man: Man | None) -> Man | None:
        if man is None:
            return None
        if man.pronoun and not man.moved:
            if man.squares:
                return replace(man, kinds=tuple(chess.PIECE_TYPES))  # "from b7 it watches d6"
            own = set() if reason.other is None else {*reason.other.squares}  # "from b6 the rook guards that square"
            if _is_it(man) and (bare := tuple(each for each in _bare(reason, before) if each not in own)):
                return replace(man, named=bare)
            if _THAT_SQUARE.search(reason.text):
                return replace(man, named=tuple(each for each in _squares(before) if each not in own)[:1])
            return replace(man, kinds=_meant(man, spoken), named=tuple(_squares(before)) if _is_it(man) else ())
        if not man.squares and len(man.kinds) == 1 and _SAME.match(man.text):
            return replace(man, squares=_stood(man.kinds[0], before))
        if not man.squares and len(man.kinds) == 1 and _THE.fullmatch(man.text):
            return replace(man, squares=_just_named(man.kinds[0], before))
        return man

    other, man = _doer(reason, before), reason.man
    if man is not None and not man.text and not _right_behind(before):
        man = None
    elif (
        man is not None
        and other is not None
        and not other.pronoun
        and _is_it(man)
        and reason.told.start >= man.span.end
    ):
        man = replace(man, moved=True) if _points_back(reason, before) else man  # "where it is guarded by the king"
    found = replace(reason, man=named(man), other=named(other), also=named(reason.also), target=named(reason.target))
    for each in (found.other, found.man):
        if each is not None and not each.pronoun and each.kinds:
            spoken.name(each.kinds[0], each.squares[0] if each.squares else None)
    return found


def _doer(reason: Reason, before: Sequence[Statement]) -> Man | None:
    """Return who does it, if he is left out or only pointed at: the man named last, that has moved, or is spoken of."""
    other = reason.other
    if other is None or reason.kind not in _DEEDS:
        return None if other is not None and not other.text else other
    if not other.text:
        return _last_named(before) or _mover(before, stop=False)
    if not other.pronoun or other.squares:
        return other
    for meant in (_mover(before, stop=True), _topic(before)):
        if meant is not None and _may_mean(other, meant):
            return meant
    return replace(other, moved=True) if _is_it(other) and _points_back(reason, before) else other


def bound(reason: Reason, moved: Sequence[Node]) -> Reason | None:
    """Return a reason with the man that has just moved put in its place; None where that may be one of several.

    `moved` are the positions after that move. A reason that speaks of no such man stays as it is.
    """
    if not any(man is not None and man.moved for man in (reason.man, reason.other)):
        return reason
    there = {
        (kind, node.move.to_square)
        for node in moved
        if node.move and (kind := node.board.piece_type_at(node.move.to_square)) is not None
    }
    if len(there) != 1:
        return None
    (kind, square) = there.pop()
    if kind == chess.KING and any(man is not None and man.moved and _is_it(man) for man in (reason.man, reason.other)):
        return None  # "castling moves the rook to d1, where it guards h1"

    def put(man: Man | None) -> Man | None:
        return replace(man, kinds=(kind,), squares=(square,)) if man is not None and man.moved else man

    return replace(reason, man=put(reason.man), other=put(reason.other))


def _is_it(man: Man) -> bool:
    return man.text != "" and man.text.lower().split()[-1] in _IT


def _points_back(reason: Reason, before: Sequence[Statement]) -> bool:
    """Tell whether "it" is the man that has just moved: "from there it pins the rook", "it then guards e8"."""
    last = before[-1] if before else None
    return _THEN.match(reason.text) is not None or (isinstance(last, Aside) and _THERE.search(last.text) is not None)


def _right_behind(before: Sequence[Statement]) -> bool:
    """Tell whether nothing but a comma stands between a move and the words that follow."""
    for statement in reversed(before):
        if isinstance(statement, Turn):
            return True
        if not (
            isinstance(statement, Outcome) or (isinstance(statement, Break) and statement.kind in ("comma", "line"))
        ):
            return False
    return False


def _last_named(before: Sequence[Statement]) -> Man | None:
    """Return the man with whom the reason before ends: "because of the knight on d4, which covers b6"."""
    for statement in reversed(before):
        if isinstance(statement, Reason):
            man = statement.other
            return man if man is not None and man.span.end == statement.span.end else None
        which = isinstance(statement, Aside) and statement.text.strip().lower() in _WHICH
        if not which and not (isinstance(statement, Break) and statement.kind == "comma"):
            return None
    return None


def _topic(before: Sequence[Statement]) -> Man | None:
    """Return the man of whom the sentence speaks, if he alone is named: "the rook on f7, it guards f2"."""
    found: Man | None = None
    for statement in reversed(before):
        if isinstance(statement, Break) and statement.kind in _ENDS:
            break
        if isinstance(statement, Topic) and statement.piece is not None:
            if found is not None or statement.square is None:
                return None
            found = Man(statement.span, "the man", (statement.piece,), squares=(statement.square,))
        elif isinstance(statement, Turn | Reason) or (
            isinstance(statement, Aside) and _NAMES.search(statement.text.lower().replace("this piece", ""))
        ):
            return None
    return found


def _bare(reason: Reason, before: Sequence[Statement]) -> list[chess.Square]:
    """Return the squares that are named alone right before a reason: "d8 is closed because the knight covers it"."""
    found: list[chess.Square] = []
    for statement in reversed(before):
        if isinstance(statement, Aside) and not _NAMES.search(statement.text):
            found += [square_of(each[0]) for each in SPOKEN_SQUARE.finditer(statement.text)]
        elif isinstance(statement, Break) and statement.kind in ("comma", "line"):
            if found:
                break
        elif isinstance(statement, Turn) and statement.bare_square and not found:
            return [each.destination for each in statement.choices if each.destination is not None]
        elif not (isinstance(statement, Topic) and statement.span.overlaps(reason.span)):
            break
    return found


def _near(before: Sequence[Statement]) -> Iterator[Statement]:
    """Yield the statements of the sentence that is being told and of the one before it, the last first."""
    ends = 0
    for statement in reversed(before):
        ends += isinstance(statement, Break) and statement.kind in _ENDS
        if ends >= _FAR:
            return
        yield statement


def _squares(before: Sequence[Statement]) -> Iterator[chess.Square]:
    """Yield the squares told of in these sentences."""
    for statement in _near(before):
        if isinstance(statement, Reason):
            yield from statement.squares
            yield from (square for man in (statement.man, statement.other) if man is not None for square in man.squares)
        elif isinstance(statement, Turn):
            yield from (each.destination for each in statement.choices if each.destination is not None)
        elif isinstance(statement, Topic) and statement.square is not None:
            yield statement.square
        elif isinstance(statement, Aside):
            yield from (square_of(found[0]) for found in SPOKEN_SQUARE.finditer(statement.text))


def _stood(kind: chess.PieceType, before: Sequence[Statement]) -> tuple[chess.Square, ...]:
    """Return where the man of a kind stands that was named last, if it was named with its square."""
    name = re.compile(rf"\b{chess.piece_name(kind)}s?\b", re.I)
    for statement in _near(before):
        if isinstance(statement, Reason):
            for man in (statement.also, statement.other, statement.man):
                if man is not None and man.kinds == (kind,):
                    return man.squares if len(man.squares) == 1 else ()
        elif isinstance(statement, Turn):
            if any(each.piece == kind or each.captured == kind for each in statement.choices):
                return ()
        elif isinstance(statement, Topic) and statement.piece == kind:
            return () if statement.square is None else (statement.square,)
        elif isinstance(statement, Aside) and name.search(statement.text):
            return ()
    return ()


def _just_named(kind: chess.PieceType, before: Sequence[Statement]) -> tuple[chess.Square, ...]:
    """Return where the man of a kind stands who does something in the same sentence, if no other is told of there.

    "The king may not go to b8, which the knight on c6 guards, nor to b6, since the knight guards that too."
    """
    found: set[tuple[chess.Square, ...]] = set()
    for statement in reversed(before):
        if isinstance(statement, Break) and statement.kind in _ENDS:
            break
        if isinstance(statement, Reason):
            found |= {man.squares for man in (statement.other, statement.also) if man is not None and kind in man.kinds}
        elif isinstance(statement, Turn) and any(kind in (each.piece, each.captured) for each in statement.choices):
            return ()
    (one,) = found if len(found) == 1 else ((),)
    return one


def _meant(man: Man, spoken: Spoken) -> tuple[chess.PieceType, ...]:
    word = man.text.lower().split()[-1]
    if word in ("she", "her"):
        return (chess.QUEEN,)
    return (*spoken.recent(), chess.KING) if word in ("he", "him") else spoken.recent()


def _may_mean(pronoun: Man, mover: Man) -> bool:
    """Tell whether "it" or "she" may mean the man that has moved; a king's move may be told in between."""
    if pronoun.text.lower().split()[-1] == "she":
        return mover.kinds == (chess.QUEEN,)
    return _is_it(pronoun) and mover.kinds != (chess.KING,)


def _mover(before: Sequence[Statement], *, stop: bool) -> Man | None:
    """Return the man of the move that ends `before`, such as "1.Qb6" before "guards d8" or "and guards d8".

    `stop`: the move may end the sentence before. Nobody where another move or a threat stands in the same
    sentence, for then the man may be that of the other: "1.Sf4 threatens 2.Qd5# and guards e6".
    """
    found: Man | None = None
    for statement in reversed(before):
        if found is not None:
            if isinstance(statement, Break) and statement.kind in _ENDS:
                break
            if isinstance(statement, Turn) or (isinstance(statement, Marker) and statement.kind == "threat"):
                return None
        elif isinstance(statement, Turn):
            phrase = statement.choices[0] if len(statement.choices) == 1 and not statement.bare_square else None
            if phrase is None or phrase.piece is None or phrase.destination is None or phrase.promotion:
                return None
            found = Man(phrase.span, phrase.text, (phrase.piece,), squares=(phrase.destination,))
        else:
            kinds = ("comma", "line", "stop") if stop else ("comma",)
            joins = isinstance(statement, Break) and statement.kind in kinds
            if not joins and not (isinstance(statement, Aside) and statement.text.strip().lower() in _JOINS):
                return None
    return found
