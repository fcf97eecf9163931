"""What a sentence has told so far, and what the one before it left to be told."""

from __future__ import annotations

from keyproof.grammar.cues import Stance
from msgspec.structs import replace

from .ahead import Ahead
from .values import Draft, Frame, Move, Said, Who

_OF_LISTS = frozenset({"was threat", "was fail"})  # what is said of all moves of a list at once


class Memory(Ahead):
    """The frames of one sentence so far, and the man that the sentence before named."""

    found: list[Frame]
    topic: Who | None
    asked: bool
    marks: set[str]

    def _take_back(self) -> Move | None:
        """Mark the last move of the sentence as withdrawn and return it."""
        told = self.found[-1] if self.found else None
        if not isinstance(told, Move):
            return None
        self.found[-1] = replace(told, stance=Stance.withdrawn)
        return told

    def _calls_last(self, mark: str) -> bool:
        """Put a mark on the last move of the sentence; False where there is none, or what a pawn becomes refutes."""
        for place in range(len(self.found) - 1, -1, -1):
            told = self.found[place]
            if isinstance(told, Move):
                if told.idle and mark == "was refute":
                    return False  # "a bishop fails as the king escapes"
                self.found[place] = replace(told, marks=told.marks | {mark})
                self._say_of_list(place)
                return True
        return False

    def _say_of_list(self, last: int) -> None:
        """Say of all moves of a list what is said of its last: "Bb3 and Ra3 are threatened", "2.Qe7 and 2.Qe6 fail"."""
        said = self.found[last].marks & _OF_LISTS
        for place in range(last - 1, -1, -1) if said else ():
            frame, after = self.found[place], self.found[place + 1]
            if not (isinstance(frame, Move) and isinstance(after, Move) and self._are_joined(frame, after)):
                return
            replies = [each.number is not None and each.number.second for each in (frame, after)]
            if ("was threat" in said and replies[0]) or replies[0] != replies[1]:
                return  # no reply is a threat
            self.found[place] = replace(frame, marks=frame.marks | said)

    def _are_joined(self, frame: Move, after: Move) -> bool:
        """Tell whether nothing but "and" and the number of the second stands between two moves."""
        between = [each for each in self.given if frame.span.end <= each.span.start < after.span.start]
        links = [each for each in between if each.kind != "number"]
        return bool(links) and all(each.sense("link") == "and" for each in links)

    def _topic(self) -> Who | None:
        """Return the man named last in the sentence, where no move has been told since."""
        told = self.found[-1] if self.found else None
        if isinstance(told, Said) and told.kind == "topic":
            self.found.pop()
            return told.who
        return None

    def _mover(self) -> Who | None:
        """Return the man named last, unless the words behind the verb name him again."""
        who = self._topic()
        return None if self._named_again(who) else who

    def _moves(self) -> bool:
        return any(isinstance(each, Move) for each in self.found)

    def left_over(self) -> Who | None:
        """Return the man that the sentence names and of which it tells nothing, for the next to go on with."""
        told = [each for each in self.found if isinstance(each, Move) and not (each.alone or each.posed)]
        if self.asked and len(told) == 1 and told[0].vague and told[0].who is not None and told[0].who.kinds:
            return told[0].who  # "Bishop moves? To d4, say."
        if told:
            return None
        named = [each.who for each in self.found if isinstance(each, Said) and each.kind == "topic"]
        return named[-1] if named else self.topic if not self.found else None

    def _by_man(self, draft: Draft) -> bool:
        """Tell whether a man alone is told to refute a move, and let him move: "1.Rb7 fails to the h-pawn"."""
        who, told = draft.who, self.found[-1] if self.found else None
        alone = who is not None and bool(who.kinds) and not (who.square or who.plural or who.indefinite)
        leads = "refute" in self.marks and isinstance(told, Move) and not draft.verb
        if leads and alone and draft.stance is Stance.asserted:
            draft.verb = "go"
        return draft.verb == "go" and leads

    def _points_back(self) -> bool:
        return any("this" in each.categories for each in self.given[max(0, self.index - 2) : self.index])
