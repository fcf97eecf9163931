"""Reasons in words about men and squares: each kind of false reason has its own rule."""

from collections.abc import Iterator

from keyproof.grammar.statements import ReasonKind

from ..case import Case
from ..finding import Fault, Level, rule
from ..reasons.deciders import DECIDERS
from ..reasons.judging import UNDECIDED, Judged, judge
from ..reasons.placing import PlacedReason
from .hedges import only_supposed


def judged(case: Case, placed: PlacedReason) -> Judged:
    """Judge one reason of a text; what is only supposed is undecided."""
    if case.reading is None or only_supposed(case, placed):
        return UNDECIDED
    return judge(placed, DECIDERS[placed.reason.kind], case.reading)


def false_reasons(case: Case, kind: ReasonKind) -> Iterator[Fault]:
    """Yield the reasons of one kind that hold in no position they may speak of."""
    if case.reading is None:
        return
    for placed in case.reading.reasons:
        found = judged(case, placed) if placed.reason.kind == kind else UNDECIDED
        if found.verdict == "wrong":
            assert found.node is not None
            shown = bool(found.moves or found.node.moves)
            yield Fault(placed.reason.span, found.why, found.node.evidence(*found.moves) if shown else None)


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
