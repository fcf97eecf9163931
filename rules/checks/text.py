"""What was not understood, and marks that are not needed."""

from collections.abc import Iterator

from keyproof.grammar.spans import Span

from ..case.case import Case
from ..finding import Fault, Level
from ..reading.work import MOST_LINES
from .register import rule


@rule("not-understood", Level.note)
def not_understood(case: Case) -> Iterator[Fault]:
    """Text that looks like a move could not be read, or fits no position, and was not checked.

    Bad:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#. The engineer prefers Qj9 here.

    Good:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#. A pretty pair of mates by the rook.
    """
    reading = case.reading
    if reading is None:
        return
    if reading.ran_away and reading.not_understood:
        why = "the text leads to more positions than are looked at"
        yield Fault(reading.not_understood[0].span, f"not understood, so nothing of this puzzle was checked: {why}")
        return
    for item in reading.not_understood:
        yield Fault(item.span, f"not understood, so not checked: {_words(item.span, case)!r}")
    for mention in reading.mentions:
        if mention.too_many:
            words = _words(mention.phrase.span, case)
            yield Fault(
                mention.phrase.span,
                f"not understood, so not checked: {words!r} stands for more than {MOST_LINES:,} lines of play here",
            )


def _words(span: Span, case: Case) -> str:
    return " ".join(span.of(case.masked).split())  # of captions, without the times of their cues


@rule("doubtful", Level.note, closing=True)
def doubtful(case: Case) -> Iterator[Fault]:
    """A claim would be false as it was read, and the words around it were not wholly understood.

    A word that changes what is said (a negation, "would", "unlike", a verb that is not known) may give the claim
    another meaning. It is then no error: the note names the word and says what was found, for a person to decide.
    A claim of which the words were read, but too little of the text around it, is counted among the doubtful clauses.

    Bad:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        The key is king to g two. If the king goes to h four, rook to e four is mate. If the pawn moves to h four, rook
        to g five is mate. If the king goes to h four, rook to e three is almost mate.

    Good:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        The key is king to g two. If the king goes to h four, rook to e four is mate. If the pawn moves to h four, rook
        to g five is mate.
    """
    for held in case.held:
        words = " and ".join(dict.fromkeys(f'"{" ".join(word.of(case.masked).split())}"' for word in held.words))
        if words:
            why = f"{words} may change what is said"
            yield Fault(held.finding.span, f"doubtful, not counted as an error, since {why}: {held.finding.message}")


@rule("unneeded-sic", Level.warning, closing=True)
def unneeded_sic(case: Case) -> Iterator[Fault]:
    """A line ends in [sic] and nothing on it needs to be accepted.

    "[sic]" at the end of a line accepts every finding on it, "[sic: rule-name]" those of one
    rule. A mark that accepts nothing would hide the next error there, so it is reported.

    Bad:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5# [sic]

    Good:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! Kh4 2.Ree4#, 1...h4 2.Rg5# [sic: needless-origin]
    """
    for mark in case.sic:
        if mark not in case.sic_used:
            what = f"no finding of the rule {mark.rule!r}" if mark.rule else "no finding"
            yield Fault(mark.span, f"there is {what} on this line for [sic] to accept")
