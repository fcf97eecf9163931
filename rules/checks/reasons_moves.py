"""Reasons in words about a move or a mate: what it is called, and why it was chosen."""

from collections.abc import Iterator

from ..case.case import Case
from ..finding import Fault, Level
from .reasons import false_reasons
from .register import rule


@rule("no-sacrifice", Level.error)
def no_sacrifice(case: Case) -> Iterator[Fault]:
    """A man is said to be sacrificed, offered or given up, and no enemy man can capture it.

    It is enough that the other side can capture such a man by a legal move at once, in any position the
    words may speak of; whether it would be wise is not asked.

    Source: the term sacrifice: common practice, no source; FIDE Laws 3.1.1 and 3.10.1.

    Bad:
        FEN: 7k/5p1p/8/8/8/8/8/K5QR w - - 0 1
        White to move. 1.Qg6 sacrifices the rook.

    Good:
        FEN: 7k/5p1p/8/8/8/8/8/K5QR w - - 0 1
        White to move. 1.Qg6 sacrifices the queen.

    Blind spots:
        "Offers" and "gives up" are read where a man follows, not of a square, a line or a guard.
    """
    yield from false_reasons(case, "sacrifice")


@rule("not-quiet", Level.error)
def not_quiet(case: Case) -> Iterator[Fault]:
    """A move is called quiet, and it gives check or captures.

    Only words right beside a move, such as "1.Qc4 is a quiet move", or of the key, are taken as a claim.

    Source: the term quiet move: common practice, no source.

    Bad:
        FEN: 7k/8/8/8/8/8/8/K4QR1 w - - 0 1
        White to move. 1.Rh1+ is a quiet move.

    Good:
        FEN: 7k/8/8/8/8/8/8/K4QR1 w - - 0 1
        White to move. 1.Rh1+ Kg7 2.Kb2 is a quiet move.
    """
    yield from false_reasons(case, "quiet")


@rule("false-underpromotion", Level.error)
def false_underpromotion(case: Case) -> Iterator[Fault]:
    """A move is called an underpromotion and is none, or the reason given for the choice of the man is false.

    An underpromotion is a promotion to a rook, a bishop or a knight. "A queen would be stalemate" is tested by
    playing that promotion instead.

    Source: the term underpromotion: common practice, no source; FIDE Laws 3.7.3.3 and 5.2.1.

    Bad:
        FEN: 8/k1P5/2K5/8/8/8/8/8 w - - 0 1
        White to move. 1.c8=R, because a queen would be mate.

    Good:
        FEN: 8/k1P5/2K5/8/8/8/8/8 w - - 0 1
        White to move. 1.c8=R, because a queen would be stalemate.

    Blind spots:
        What another promotion would bring about some moves later is left alone.
    """
    yield from false_reasons(case, "underpromotion")
    yield from false_reasons(case, "other_promotion")


@rule("mate-misnamed", Level.error)
def mate_misnamed(case: Case) -> Iterator[Fault]:
    """A mate is called by a name that no usage of the trade allows.

    Smothered: by a knight, the king hemmed in by his own men. Back-rank: by a rook or queen along the king's
    first rank. Epaulette: his own men stand on both sides of him. Two crossing bishops: both take part. Mirror: no
    man stands next to the king. Pure: each square of the king's field is denied for one reason only. Model: pure, and
    all men of the mating side take part, king and pawns excepted. Ideal: pure, and all men on the board take part.

    Where usages differ, the name is let pass: a square that is guarded instead of blocked in a smothered mate,
    double checks and pins in pure mates.

    Source: common practice, no source; of the pure mate: encyclopedias.

    Bad:
        FEN: 6rk/6pp/8/6N1/8/8/8/K6R w - - 0 1
        White to move. 1.Rxh7#, a smothered mate.

    Good:
        FEN: 6rk/6pp/8/6N1/8/8/8/K7 w - - 0 1
        White to move. 1.Nf7#, a smothered mate.

    Blind spots:
        Words about several mates ("three model mates") are left alone.
    """
    yield from false_reasons(case, "mate_picture")


@rule("no-battery", Level.error)
def no_battery(case: Case) -> Iterator[Fault]:
    """Two men are said to form a battery, or a move to fire one, and there is none.

    A battery needs a queen, rook or bishop behind another man of its side on the line that is named, or the two men
    that are named. A move that fires it must open a line to another queen, rook or bishop of its side.

    Source: the term battery: common practice, no source.

    Bad:
        FEN: 3k4/8/8/8/3N4/8/8/K3R3 w - - 0 1
        White to move. 1.Rf1 makes a battery on the d-file.

    Good:
        FEN: 3k4/8/8/8/3N4/8/8/K3R3 w - - 0 1
        White to move. 1.Rd1 makes a battery on the d-file.

    Blind spots:
        Whether it looks at the king or at a square next to him is not tested.
    """
    yield from false_reasons(case, "battery")
    yield from false_reasons(case, "battery_fired")


@rule("not-drawn-away", Level.error)
def not_drawn_away(case: Case) -> Iterator[Fault]:
    """A man is said to be drawn away from a square, and it did not guard it before, or does so still.

    Source: FIDE Laws 3.1.2 (attack); the term: common practice, no source.

    Bad:
        FEN: 7k/8/3q4/8/8/8/8/K1R5 w - - 0 1
        White to move. 1.Rc5 Qxc5 and the queen is drawn away from f8.

    Good:
        FEN: 7k/8/3q4/8/8/8/8/K1R5 w - - 0 1
        White to move. 1.Rc5 Qxc5 and the queen is drawn away from d8.
    """
    yield from false_reasons(case, "drawn_away")


@rule("not-overloaded", Level.error)
def not_overloaded(case: Case) -> Iterator[Fault]:
    """A man is said to have two squares to guard, and it guards only one of them, or none.

    Only words that name both squares are taken as a claim.

    Source: FIDE Laws 3.1.2 (attack); the term: common practice, no source.

    Bad:
        FEN: 7k/8/3q4/8/8/8/8/K1R5 w - - 0 1
        White to move. 1.Rc2 and the queen is overloaded with guarding d8 and c8.

    Good:
        FEN: 7k/8/3q4/8/8/8/8/K1R5 w - - 0 1
        White to move. 1.Rc2 and the queen is overloaded with guarding d8 and c7.
    """
    yield from false_reasons(case, "overloaded")
