"""Whether a printed move says by itself where it is played: by its number, or right behind another move of its line.

A move printed alone among words ("and on b4 it is taken", "...Kd5 is gone") may belong anywhere, and so may a capture
told in words away from the move it answers. That nobody can play it where it was put says more of the reading than of
the author.
"""

from collections.abc import Sequence

from ..case.case import Case
from ..finding import Finding
from ..reading.reading import Mention, State
from .named import tells

_BETWEEN = 4  # signs between the moves of a line


def unled(case: Case, finding: Finding, mention: Mention) -> bool:
    """Tell whether a move may stand elsewhere: in no line of moves with a number, or behind another defence."""
    sign = finding.rule == "wrong-capture-sign"
    if case.reading is None or not (sign or finding.rule == "illegal-move" or _of_the_same_man(mention)):
        return False
    if mention.phrase.worded:
        return sign and not (mention.marked or _in_one_sentence(case, mention))
    told = sorted(case.reading.mentions, key=lambda each: each.phrase.span.start)
    if sign and not led_by(mention, told, case.masked):
        in_words = mention.turn.number is None and any(map(tells, told))  # "the fourth is the same: Nxc3"
        return in_words or _captures_beside(
            told, mention
        )  # "1...Kd4 and 1...e5 were answered before: 2.Qxd4 and 2.Qg8"
    led: Mention | None = mention
    while led is not None and (led.turn.number is None or led.turn.number.value is None):
        led = led_by(led, told, case.masked)
    return led is None


def led_by(mention: Mention, told: Sequence[Mention], text: str) -> Mention | None:
    """Return the move of the same line right before one, None where words or nothing stand there."""
    start = mention.phrase.span.start
    before = [each for each in told if each.phrase.span.end <= start and each is not mention]
    between = text[before[-1].phrase.span.end : start] if before else "\n\n"
    return before[-1] if len(between) <= _BETWEEN and "\n\n" not in between else None


def _of_the_same_man(mention: Mention) -> bool:
    """Tell whether a move that cannot be played stands behind one of the same kind of man: "Kc2, or else Kd2"."""
    if mention.state is not State.impossible or mention.phrase.piece is None or not mention.at:
        return False
    last = mention.at[0]
    return last.move is not None and last.board.piece_type_at(last.move.to_square) == mention.phrase.piece


def _in_one_sentence(case: Case, mention: Mention) -> bool:
    """Tell whether the move before one in its line, or an answer to it, is told in the same sentence."""
    start, reading = mention.phrase.span.start, case.reading
    sentence = next((each.sentence for each in case.clauses if each.span.start <= start < each.span.end), None)
    if sentence is None or reading is None or not mention.at:
        return False
    before = (each for each in reading.printed_into(mention.at[0]) if each.phrase.span.start < start)
    behind = (each for node in mention.after for each in reading.printed_after(node))
    return any(sentence.start <= each.phrase.span.start < sentence.end for each in (*before, *behind))


def _captures_beside(told: Sequence[Mention], mention: Mention) -> bool:
    """Tell whether a move is a capture after another move that was told beside the one it was put behind."""
    if not mention.phrase.capture or not mention.at:
        return False
    beside = [node for each in told for node in each.after if node.ply == mention.at[0].ply]
    return any(node.board.is_capture(move) for node in beside for move in node.meant(mention.phrase))
