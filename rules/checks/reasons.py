"""Reasons in words about men and squares: each kind of false reason has its own rule."""

from collections.abc import Iterator

from keyproof.grammar.statements import ReasonKind

from ..case.case import Case
from ..finding import Fault, Level
from ..reading.reading import PlacedReason, State
from ..reasons.deciders import DECIDERS
from ..reasons.impossible import impossible
from ..reasons.judging import UNDECIDED, Judged, judge, men
from .hedges import only_supposed
from .register import rule
from .roots import after_false_key, falsely_signed


def judged(case: Case, placed: PlacedReason) -> Judged:
    """Judge one reason of a text; what is only supposed, or follows from another fault, is undecided."""
    if case.reading is None or only_supposed(case, placed):
        return UNDECIDED
    found = judge(placed, DECIDERS[placed.reason.kind], case.reading)
    if found.verdict == "wrong" and not impossible(placed.reason) and _follows(case, placed):
        return UNDECIDED
    return found


def _follows(case: Case, placed: PlacedReason) -> bool:
    """Tell whether a move around a reason is at fault, so that the reason was written for another position."""
    assert case.reading is not None
    start, sentence = placed.reason.span.start, placed.sentence
    before = [each for each in case.reading.mentions if each.phrase.span.start < start]
    around = [each for each in case.reading.mentions if sentence.start <= each.phrase.span.start < sentence.end]
    near = [*before[-3:], *around]
    faulty = not placed.anchored and any(each.state is State.impossible or falsely_signed(each) for each in near)
    return faulty or after_false_key(case, placed.nodes[0])


def false_reasons(case: Case, kind: ReasonKind) -> Iterator[Fault]:
    """Yield the reasons of one kind that hold in no position they may speak of."""
    if case.reading is None:
        return
    for placed in case.reading.reasons:
        found = judged(case, placed) if placed.reason.kind == kind else UNDECIDED
        if found.verdict == "wrong" and not _of_another(case, placed):
            assert found.node is not None
            shown = bool(found.moves or found.node.moves)
            yield Fault(placed.reason.span, found.why, found.node.evidence(*found.moves) if shown else None)


def _of_another(case: Case, placed: PlacedReason) -> bool:
    """Tell whether a man that stands nowhere in the text stands so in the position of another of the same file.

    Whom a pronoun means that fits nobody, the text has told where it was not understood.
    """
    assert case.reading is not None
    if impossible(placed.reason):
        return False
    here = [node.board for node in placed.nodes]
    boards = here + [node.board for mention in case.reading.mentions for node in mention.after]
    others = [each.board for each in case.column if each is not case and each.board is not None]
    for man in (placed.reason.man, placed.reason.other):
        if man is None or not man.kinds or any(men(board, man) for board in (here if man.pronoun else boards)):
            continue
        return man.pronoun or any(men(board, man) for board in others)  # "she", where a queen is made in the question
    return False


@rule("not-pinned", Level.error)
def not_pinned(case: Case) -> Iterator[Fault]:
    """A man is called pinned and is not, or it is said not to be pinned and is.

    A pinned man may not leave the line between a rook, bishop or queen and its own king; along that
    line it may still move. It is also tested by which man, to which man and on which line it is
    pinned, where the text says so. "Pinned" of a man before a more valuable one, such as a queen, is let pass.

    The words may speak of any position of their line of play, so the claim is false only if it holds in none.

    Source: FIDE Laws 3.9.2; the term: common practice, no source.

    Bad:
        FEN: 2k5/2p5/8/8/8/8/1Q6/4K3 w - - 0 1
        White to move. 1.Qd4 and the pawn on c7 is pinned.

    Good:
        FEN: 2k5/2p5/8/8/8/8/1Q6/4K3 w - - 0 1
        White to move. 1.Qc3 and the pawn on c7 is pinned.

    Blind spots:
        A claim that depends on "if", "would" or "seems" is left alone.
    """
    yield from false_reasons(case, "pinned")


@rule("not-guarded", Level.error)
def not_guarded(case: Case) -> Iterator[Fault]:
    """A man is said to guard, cover or protect what it does not, or to leave unguarded what it guards.

    A man guards a square to which it could capture, even if it is pinned. Line pieces guard through the
    enemy king, for it must not step back along their line; through another man that moves along the same line
    they may be said to guard or not. A square that is "guarded twice" is attacked by two men of one side.

    Source: FIDE Laws 3.1.2 and 3.1.3; the terms: common practice, no source.

    Bad:
        FEN: 7k/8/6K1/8/8/8/8/5R2 w - - 0 1
        White to move. 1.Rf7 guards g8.

    Good:
        FEN: 7k/8/6K1/8/8/8/8/5R2 w - - 0 1
        White to move. 1.Rf7 guards g7.

    Blind spots:
        "It" as what is guarded is any square or man told just before, and false only where none of them is guarded;
        lines and ranks that are said to be guarded are left alone.
    """
    yield from false_reasons(case, "guarded")


@rule("man-can-move", Level.error)
def man_can_move(case: Case) -> Iterator[Fault]:
    """A man is said to be stuck, or unable to move, and it has a legal move.

    Where the other side is to move, it is asked what the man could do after a pass. Words that name a
    condition ("cannot move without giving up d4") are left alone.

    Source: FIDE Laws 3.10.1 (a legal move).

    Bad:
        FEN: 7k/p7/8/2N5/8/8/8/K7 w - - 0 1
        White to move. 1.Nb7 and the a-pawn is stuck.

    Good:
        FEN: 7k/p7/8/2N5/8/8/8/K7 w - - 0 1
        White to move. 1.Na6 and the a-pawn is stuck.
    """
    yield from false_reasons(case, "immobile")


@rule("wrong-flights", Level.error)
def wrong_flights(case: Case) -> Iterator[Fault]:
    """The king is said to have squares to go to that he has not, too many or too few.

    A flight is a square the king can go to by a legal move. Captures may be counted or left out. Other
    men, too, may be said to have so many squares.

    Source: the term flight: common practice, no source; FIDE Laws 3.9.2.

    Bad:
        FEN: 7k/8/8/8/8/8/8/K5R1 w - - 0 1
        White to move. 1.Rg2 and the king has two squares.

    Good:
        FEN: 7k/8/8/8/8/8/8/K5R1 w - - 0 1
        White to move. 1.Rg2 and the king has one square.
    """
    yield from false_reasons(case, "flights")


@rule("wrong-number-of-replies", Level.error)
def wrong_number_of_replies(case: Case) -> Iterator[Fault]:
    """The defender is said to have more or fewer moves than there are.

    All legal moves count; a promotion may be counted once, or once for each man. A smaller number may mean the
    replies worth a word, so it is tested only where they are called legal, or all there are ("only", "in total").

    Source: FIDE Laws 3.10.1.

    Bad:
        FEN: 7k/8/8/8/8/8/8/K5R1 w - - 0 1
        White to move. 1.Rf1 and Black has two legal moves.

    Good:
        FEN: 7k/8/8/8/8/8/8/K5R1 w - - 0 1
        White to move. 1.Rf1 and Black has only three legal moves.
    """
    yield from false_reasons(case, "replies")


@rule("gives-no-flight", Level.error)
def gives_no_flight(case: Case) -> Iterator[Fault]:
    """A move is said to give the king a flight, and he can go to no square that he could not go to before.

    Source: the term: common practice, no source.

    Bad:
        FEN: 7k/8/8/8/8/8/8/K5R1 w - - 0 1
        White to move. 1.Rg2 gives the king a flight.

    Good:
        FEN: 7k/8/8/8/8/8/8/K5R1 w - - 0 1
        White to move. 1.Rf1 gives the king a flight on g7.
    """
    yield from false_reasons(case, "flight_given")


@rule("takes-no-flight", Level.error)
def takes_no_flight(case: Case) -> Iterator[Fault]:
    """A move or a man is said to take a square from the king, and he can go there, or none is lost to him.

    Source: the term: common practice, no source.

    Bad:
        FEN: 7k/8/8/8/8/8/8/K5R1 w - - 0 1
        White to move. 1.Rg2 takes h7 from the king.

    Good:
        FEN: 7k/8/8/8/8/8/8/K5R1 w - - 0 1
        White to move. 1.Rg7 takes g8 from the king.
    """
    yield from false_reasons(case, "flight_taken")


@rule("not-blocked", Level.error)
def not_blocked(case: Case) -> Iterator[Fault]:
    """A square or a pawn is said to be blocked, and no such man stands there or in front of it.

    A block for "its own king" must stand next to that king. "Blocked" of a square that is empty and guarded
    is let pass.

    Source: the terms block and self-block: common practice, no source.

    Bad:
        FEN: 7k/7p/8/6N1/8/8/8/K5R1 b - - 0 1
        Black to move. 1...h5 and the pawn blocks g7 for its own king.

    Good:
        FEN: 7k/7p/8/6N1/8/8/8/K5R1 b - - 0 1
        Black to move. 1...Kg8 and the pawn blocks h7 for its own king.
    """
    yield from false_reasons(case, "blocked")


@rule("line-not-closed", Level.error)
def line_not_closed(case: Case) -> Iterator[Fault]:
    """A man is said to close a line, to shut off or to interfere with another, and stands on no such line.

    Source: the term interference: common practice, no source.

    Bad:
        FEN: 7k/8/8/3r4/8/8/2N5/2K5 w - - 0 1
        White to move. 1.Nb4 shuts off the rook.

    Good:
        FEN: 7k/8/8/3r4/8/8/2N5/2K5 w - - 0 1
        White to move. 1.Nd4 shuts off the rook.
    """
    yield from false_reasons(case, "line_closed")


@rule("line-not-opened", Level.error)
def line_not_opened(case: Case) -> Iterator[Fault]:
    """A move is said to open a line, and no queen, rook or bishop reaches further by it.

    Source: the term line opening: common practice, no source.

    Bad:
        FEN: 6k1/8/8/8/8/N7/8/B2K4 w - - 0 1
        White to move. 1.Nc4 and the knight opens the line of the bishop.

    Good:
        FEN: 6k1/8/8/8/8/2N5/8/B2K4 w - - 0 1
        White to move. 1.Ne4 and the knight opens the line of the bishop.
    """
    yield from false_reasons(case, "line_opened")
