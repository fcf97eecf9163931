"""What it costs to take a frame for a move of its kind: a first move, an answer, a reply, or for none."""

from __future__ import annotations

from collections.abc import Sequence

from keyproof.grammar.cues import Stance
from keyproof.grammar.frames.values import Move
from msgspec import Struct

from ...play.node import Node
from . import costs
from .attach import KEY, REFUTE, THREAT, TRY, Place, says_mate
from .escapes import escapes
from .hypothesis import Hypothesis
from .meaning import becomes_new
from .oracle import Oracle

_FEW = 4  # replies that may be listed as all that refutes a first move


class Prices(Struct, frozen=True):
    """The costs of moves by what they are in the play, the proof being known."""

    oracle: Oracle

    @staticmethod
    def passed(frame: Move, *, replies: bool = False) -> int:
        """Return what it costs to take a frame for words that tell no move, if they do not tell that of a reply."""
        if frame.verb == "have":
            return costs.PROSE_BARE
        if frame.alone:
            return 0
        if frame.posed:
            return costs.PROSE_POSED
        if frame.bare:
            told = frame.marks & (REFUTE | {"but"}) or any(phrase.capture for phrase in frame.ways[0].choices)
            told = told or frame.marks & THREAT
            return costs.PROSE_TOLD if told and not frame.vague else costs.PROSE_BARE
        proposed = frame.stance is Stance.asked and bool(frame.marks & {"try"})  # "what about queen to b4?"
        solid = (frame.stance is Stance.asserted or proposed) and not frame.uncovered and (replies or not frame.apart)
        if frame.vague:
            if solid and (names_both(frame) or _supposes(frame) or _takes_with_mate(frame)):
                return costs.PROSE_SOLID
            if becomes_new(frame):
                return costs.PROSE_FULL  # "make it a rook"
            return costs.PROSE_TOLD if frame.verb == "take" and not frame.bare else costs.PROSE_VAGUE
        if frame.printed:
            return costs.PROSE_PRINTED
        return costs.PROSE_SOLID if solid or _supposes_square(frame) else costs.PROSE_FULL

    def stance(self, frame: Move, ends: Sequence[Node], attacks: bool) -> int:
        """Return what it costs to place a move that is denied, taken back, or may be part of a reason."""
        if frame.aside:
            return costs.ASIDE
        if frame.stance is Stance.withdrawn:
            return costs.WITHDRAWN
        if frame.stance is Stance.supposed and frame.vague:
            return costs.SUPPOSED_VAGUE
        if frame.stance is not Stance.denied:
            return 0
        if attacks and not frame.vague and all(self.oracle.right(end) is False for end in ends):
            return costs.DENIED_WRONG
        return costs.DENIED_TRUE

    @staticmethod
    def unanswered(frame: Move, ends: Sequence[Node], answered: bool, at: Hypothesis, place: Place) -> int:
        """Return what it costs to leave a reply without an answer."""
        if answered or frame.stance is not Stance.asserted:
            return 0
        start = place.nodes[0]
        early = at.key is None or at.frontier[0].first is not at.key
        passed = start.move is not None and not start.move
        if passed and early and "if" not in frame.marks and frame.number is None and _of_king(ends):
            return costs.FLIGHT
        if frame.bare and not frame.verb and not frame.marks:
            return costs.UNANSWERED_BARE
        led = "if" in frame.marks or frame.number is not None or (place.beside and at.waiting == costs.UNANSWERED_IF)
        solid = not (frame.vague or frame.bare)
        return costs.UNANSWERED_IF if led or solid else costs.UNANSWERED

    def first(self, frame: Move, ends: Sequence[Node]) -> tuple[int, bool]:
        """Return the cost of a first move, and whether what is said of it is false."""
        solves = self.oracle.solves(ends[0])
        if solves is None or frame.stance is not Stance.asserted:
            return 0, False
        later = self.oracle.plies is not None and self.oracle.plies > 1
        due = later and not frame.printed  # what is printed with its sign stands where it says
        early = costs.MATES_FIRST if due and says_mate(frame) and not ends[0].mate else 0
        if frame.marks & KEY and not frame.marks & TRY:
            return (0, False) if solves else (costs.FALSE, True)
        if frame.marks & TRY:
            return (costs.FALSE if solves and not frame.marks & {"try"} else early, False)
        if solves:
            return early, False
        return early + (costs.TRY if self.oracle.nearly(ends[0]) else costs.NOT_THE_KEY), False

    def answer(self, frame: Move, ends: Sequence[Node]) -> int:
        """Return what it costs to take a frame for an answer to a reply, or for a threat."""
        rights = [self.oracle.right(end) for end in ends]
        if all(rights):
            return 0 if frame.vague else -costs.AGREES  # of vague words those moves were chosen that agree
        if all(right is not False for right in rights) or frame.stance not in (Stance.asserted, Stance.asked):
            return 0
        if frame.stance is not Stance.asserted:
            return costs.WRONG_PROPOSAL
        return costs.FALSE if "was key" in frame.marks else costs.WRONG_ANSWER

    def reply(self, frame: Move, ends: Sequence[Node], at: Hypothesis) -> tuple[int, bool, bool]:
        """Return the cost of a reply, whether what is said of it is false, and whether the line ends with it."""
        start = ends[0].parent
        if start is not None and escapes(frame, start, at, self.oracle):
            asserted = at.last is not None and at.last.frame.stance is Stance.asserted
            refund = costs.WRONG_ANSWER * asserted + costs.MARK_MISFITS * bool(frame.marks & REFUTE)
            return -refund, False, True
        if ends[0].ply != 2:
            return 0, False, False
        refutes = [self.oracle.refutes(end) for end in ends]
        if len({end.parent for end in ends}) > 1 and False in refutes:
            return costs.NO_REFUTATION, False, bool(frame.marks & REFUTE)  # of several tries it refutes but some
        if frame.marks & REFUTE and frame.stance is Stance.asserted and False in refutes:
            return costs.FALSE, True, True
        if all(refutes):
            tries = {end.parent for end in ends}
            if not self._joins(frame, ends, at):
                tries -= {told.parent for told in at.told}
            agrees = 0 if frame.vague else costs.REFUTES * min(len(tries), 2)
            return -agrees, False, bool(frame.marks & (REFUTE | {"was futile", "but"}))
        wrong = False in refutes and frame.stance is Stance.asserted and not self.oracle.solves(ends[0].path[1])
        if "was futile" in frame.marks:
            return costs.FUTILE_MISFITS, wrong, True
        if wrong and frame.ways[0].choices[0].annotation.startswith("!"):
            return costs.NO_REFUTATION, True, True
        return 0, False, bool(frame.marks & REFUTE)

    def _joins(self, frame: Move, ends: Sequence[Node], at: Hypothesis) -> bool:
        """Tell whether a reply is told in one breath with one that refutes the same try: "fails to Kd6 and to Kd5"."""
        told, start = at.last, ends[0].parent
        if told is None or start is None or at.sentence_over or frame.stance is not Stance.asserted:
            return False
        exact = not told.frame.vague or set(told.ends()) == set(ends)  # "it is simply taken, Kxd6"
        if not exact or told not in at.refutations or set(told.starts()) != {end.parent for end in ends}:
            return False
        return self.oracle.nearly(start, _FEW) and all(self.oracle.refutes(end) for end in told.ends())


def names_both(frame: Move) -> bool:
    """Tell whether it is told outright that a man takes another, or back, or with some effect "it", or becomes one."""
    phrase, who = frame.ways[0].choices[0], frame.who
    if frame.verb != "take" or phrase.piece is None or who is None:
        return False
    verb = phrase.capture_span
    outright = verb is not None and frame.span.start <= who.span.start < verb.start  # not "taken by the king"
    plain = phrase.captures_last or phrase.promotion is not None
    return outright and (phrase.captured is not None or frame.back or (plain and bool(frame.effects)))


def _takes_with_mate(frame: Move) -> bool:
    """Tell whether a man is told to take, with mate: "Knight takes, mate"."""
    who = frame.who
    named = who is not None and bool(who.kinds) and not who.plural
    return named and frame.verb == "take" and frame.stance is Stance.asserted and says_mate(frame)


def _supposes(frame: Move) -> bool:
    """Tell whether a man is told to move by "if" alone, so that an answer is due: "if he pushes the pawn"."""
    phrase = frame.ways[0].choices[0]
    return frame.marks == {"if"} and bool(frame.verb) and phrase.piece is not None and phrase.origin_span is None


def _supposes_square(frame: Move) -> bool:
    """Tell whether somebody is told by "if" alone to go to a square, so that an answer is due: "if he goes to f3".

    Who asks supposes it too: "and if the rook slips sideways, to g7?".
    """
    named = frame.who is not None and (frame.who.nameless or bool(frame.who.kinds)) and frame.verb == "go"
    return (
        "if" in frame.marks
        and frame.marks <= {"if", "or", "but"}
        and named
        and not frame.vague
        and frame.stance in (Stance.asserted, Stance.asked)
        and not frame.uncovered
    )


def _of_king(ends: Sequence[Node]) -> bool:
    """Tell whether the king moves, so that it may be told where he can go."""
    return all(
        end.move is not None
        and end.parent is not None
        and end.parent.board.king(end.parent.board.turn) == end.move.from_square
        for end in ends
    )


def begins_line(frame: Move) -> bool:
    """Tell whether a move is printed with the number of a first move, so that it goes on from nothing before it."""
    return frame.printed and frame.number is not None and frame.number.ply == 1
