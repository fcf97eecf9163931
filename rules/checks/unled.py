"""Whether a printed move says by itself where it is played: by its number, or right behind another move of its line.

A move printed alone among words ("and on b4 it is taken", "...Kd5 is gone") may belong anywhere. That nobody can play
it where it was put says more of the reading than of the author.
"""

from collections.abc import Sequence

from ..case.case import Case
from ..finding import Finding
from ..reading.reading import Mention

_OF_PLACE = frozenset(("illegal-move", "wrong-capture-sign"))
"""Rules that are broken sooner by a move that was put in the wrong place than by an author."""

_BETWEEN = 4  # signs between the moves of a line


def unled(case: Case, finding: Finding, mention: Mention) -> bool:
    """Tell whether a move may stand elsewhere: in no line of moves with a number, or behind another defence."""
    if finding.rule not in _OF_PLACE or case.reading is None or mention.phrase.worded:
        return False
    told = sorted(case.reading.mentions, key=lambda each: each.phrase.span.start)
    if finding.rule == "wrong-capture-sign" and not _led_by(mention, told, case.masked):
        return _captures_beside(told, mention)  # "1...Kd4 and 1...e5 had their answers before: 2.Qxd4 and 2.Qg8"
    led: Mention | None = mention
    while led is not None and (led.turn.number is None or led.turn.number.value is None):
        led = _led_by(led, told, case.masked)
    return led is None


def _led_by(mention: Mention, told: Sequence[Mention], text: str) -> Mention | None:
    """Return the move of the same line right before one, None where words or nothing stand there."""
    start = mention.phrase.span.start
    before = [each for each in told if each.phrase.span.end <= start and each is not mention]
    between = text[before[-1].phrase.span.end : start] if before else "\n\n"
    return before[-1] if len(between) <= _BETWEEN and "\n\n" not in between else None


def _captures_beside(told: Sequence[Mention], mention: Mention) -> bool:
    """Tell whether a move is a capture after another move that was told beside the one it was put behind."""
    if not mention.phrase.capture or not mention.at:
        return False
    beside = [node for each in told for node in each.after if node.ply == mention.at[0].ply]
    return any(node.board.is_capture(move) for node in beside for move in node.meant(mention.phrase))
