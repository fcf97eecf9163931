"""The voice of a printed column."""

from collections.abc import Iterator

import chess

from ..proof.proof import FirstMove
from .draft import after
from .grouping import Group, blocked_squares, pinned_men, told
from .manner import Manner


class Column(Manner):
    """As a columnist prints it: set play, tries, key, and the variations, the prettiest before the rest."""

    def body(self) -> Iterator[str]:
        """Yield the paragraphs after the stipulation."""
        draft = self.draft
        if draft.key is None:
            yield from self.solutions()
            return
        if draft.set_play:
            yield "Set play: " + ", ".join(self.line(group) for group in told(draft.set_play, self.say).groups)
        if draft.tries:
            yield f"{'Tries' if len(draft.tries) > 1 else 'Try'}: {' '.join(map(self._try, draft.tries))}"
        yield " ".join([f"Key: {self.moves(draft.board, [draft.key])}!{self._aim()}", *self.ideas()])
        yield from self.replies()

    def replies(self) -> Iterator[str]:
        """Yield the paragraph on the replies to the key."""
        play = self.play()
        lines = [f"{self.line(group)}{self._further(group) or self._remark(group)}" for group in play.groups]
        if play.left:
            lines.append(f"Other moves {play.left}.")
        if lines:
            yield "\n".join(f"- {line}" for line in lines)

    def _try(self, attempt: FirstMove) -> str:
        """Return a try, what it threatens, and its refutation: "1.Kd1? (2.Re1#) Bc2+!"."""
        board, menace = self.draft.board, self.menace(attempt)
        tried = after(board, attempt.move)
        aim = f" ({self.moves(after(tried, chess.Move.null()), [menace])})" if menace is not None else ""
        return f"{self.moves(board, [attempt.move])}?{aim} {self.say(tried, attempt.refutations[0])}!"

    def _aim(self) -> str:
        if self.draft.zugzwang:
            return " (zugzwang)"
        several = len(self.draft.threats) > 1
        return f" (threat{'s' if several else ''}: {self.threats()})" if self.draft.threats else ""

    def _further(self, group: Group) -> str:
        """Return the play after the first answer."""
        below = told(group.first.further, self.say).groups
        others = self.others(group)
        lines = [f"; {self.line(each)}{self._further(each)}" for each in below]
        if lines and not below[0].rest:
            # The first reply stands right behind the move it answers and needs no number.
            lines[0] = " " + lines[0].removeprefix(f"; {self.number(below[0].first.before)}")
        text = "".join(lines).replace("; Any", "; any")
        return text + (f"; or {others}" if others else "")

    def _remark(self, group: Group) -> str:
        """Return in brackets the one thing to see in a mate: a pinned man, a square blocked by the reply, a change."""
        pinned = pinned_men(group)
        if pinned:
            return f" ({pinned[0]} is pinned)"
        if blocked_squares(group):
            return " (self-block)"
        return " (changed)" if self.changed(group) else ""
