"""Captures en passant (FIDE Laws 3.7.3.1 and 3.7.3.2; WFCC Codex 16(2))."""

from collections.abc import Iterator

from ..case.case import Case
from ..finding import Fault, Level
from .moves import impossible
from .register import rule


@rule("en-passant-too-late", Level.error)
def en_passant_too_late(case: Case) -> Iterator[Fault]:
    """The capture en passant does not follow at once on the double step.

    Source: FIDE Laws 3.7.3.2.

    Bad:
        FEN: 7k/3p4/8/4P3/8/8/8/K7 b - - 0 1
        1...d5 2.Kb1 Kg8 3.exd6 e.p.

    Good:
        FEN: 7k/3p4/8/4P3/8/8/8/K7 b - - 0 1
        1...d5 2.exd6 e.p.
    """
    yield from impossible(case, "en-passant-too-late")


@rule("en-passant-unproved", Level.error)
def en_passant_unproved(case: Case) -> Iterator[Fault]:
    """A first move captures en passant, and nothing shows that the last move was the double step.

    Castling is allowed unless it is provably lost; with en passant it is the other way
    round: the double step must be proved. A FEN states it in its fourth field, a list of men may
    be followed by words ("Black's last move was d7 to d5").

    Source: WFCC Codex 16(2); PGN standard 16.1.3.4.

    Bad:
        FEN: 7k/8/8/3pP3/8/8/8/K7 w - - 0 1
        1.exd6 e.p.

    Good:
        FEN: 7k/8/8/3pP3/8/8/8/K7 w - d6 0 1
        1.exd6 e.p.
    """
    yield from impossible(case, "en-passant-unproved")


@rule("wrong-en-passant-sign", Level.error)
def wrong_en_passant_sign(case: Case) -> Iterator[Fault]:
    """A move is marked "e.p." and is no capture en passant.

    Source: FIDE Laws C.13.6.

    Bad:
        FEN: 7k/8/3p4/4P3/8/8/8/K7 w - - 0 1
        1.exd6 e.p.

    Good:
        FEN: 7k/8/3p4/4P3/8/8/8/K7 w - - 0 1
        1.exd6
    """
    for mention in case.reading.mentions if case.reading else ():
        if not mention.phrase.en_passant:
            continue
        for node, after in mention.ways:
            if after and not any(child.move and node.board.is_en_passant(child.move) for child in after):
                yield Fault(mention.phrase.span, "this is an ordinary move, not a capture en passant (Laws 3.7.3.1)")
                break
