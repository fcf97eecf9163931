"""The voice of a tutorial."""

from collections.abc import Iterator, Sequence
from itertools import chain

import chess

from ..board.names import side
from .draft import Reply, after, flights
from .grouping import Group, told
from .manner import Manner, flights_on, net_of

# How a try is told: in turn, so that no two that follow each other read alike.
_TRIES = (
    "A try first: {try}? Only {refutation}! refutes it.",
    "{try}? fails only to {refutation}!",
    "Nor is it {try}? because of {refutation}!",
    "And {try}? fails only to {refutation}!",
)


class Tutorial(Manner):
    """As one explains it to a reader with a board: what the king may do, why each mate is mate.

    A reason is given once: where the next mate has it too, only what is new is told.
    """

    def __init__(self, *given: object) -> None:
        super().__init__(*given)  # type: ignore[arg-type]  # as they are
        self._told: set[str] = set()

    def body(self) -> Iterator[str]:
        """Yield the paragraphs after the stipulation."""
        draft = self.draft
        if draft.key is None:
            yield from self.solutions()
            return
        yield from filter(None, (self._diagram(), self._tries(), self._key()))
        yield from self.replies()

    def replies(self) -> Iterator[str]:
        """Yield the paragraph on the replies to the key."""
        play = self.play()
        lines = list(self._variations(play.groups, ""))
        if play.left:
            lines.append(f"- Other moves {play.left}.")
        if lines:
            yield "\n".join(lines)

    def _diagram(self) -> str:
        board = self.draft.board
        said = [] if board.is_check() else [self._flights(after(board, chess.Move.null()))]
        ready = [self.line(group) for group in told(self.draft.set_play, self.say).groups]
        if ready:
            said.append(f"{'Answers are' if len(ready) > 1 else 'One answer is'} ready before anybody moves.")
            said.append(f"Set play: {', '.join(ready)}.")
        return " ".join(said)

    @staticmethod
    def _flights(board: chess.Board) -> str:
        free = [chess.square_name(square) for square in flights(board)]
        owner = f"{side(board.turn)}'s king"
        if not free:
            return f"{owner} has no flight."
        return f"{owner} has {flights_on(free)}."

    def _tries(self) -> str:
        board = self.draft.board
        told = []
        for place, attempt in enumerate(self.draft.tries):
            tried = after(board, attempt.move)
            words = {"try": self.moves(board, [attempt.move]), "refutation": self.moves(tried, attempt.refutations[:1])}
            told.append(_TRIES[place % len(_TRIES)].format(**words))
        return " ".join(told)

    def _key(self) -> str:
        draft = self.draft
        assert draft.key is not None
        assert draft.after_key is not None
        said = [f"Key: {self.moves(draft.board, [draft.key])}!", *net_of(draft.after_key)]
        attacker, defender = side(draft.board.turn), side(not draft.board.turn)
        if draft.zugzwang:
            said.append(f"{attacker} waits, and {defender} is in zugzwang.")
        elif draft.threats:
            said.append(f"{attacker} threatens {self.threats()}.")
            if len(draft.threats) == 1:
                said.extend(self._new(net_of(after(draft.after_key, chess.Move.null(), draft.threats[0]))))
        return " ".join([*said, *self.ideas()])

    def _variations(self, groups: Sequence[Group], indent: str) -> Iterator[str]:
        for group in chain.from_iterable(map(self._by_net, groups)):
            yield f"{indent}- {self.line(group)}. {self._because(group)}".rstrip()
            yield from self._variations(told(group.first.further, self.say).groups, indent + "  ")
            if others := self.others(group):
                yield f"{indent}  - Or {others}."

    @staticmethod
    def _net(reply: Reply) -> tuple[str, ...]:
        return tuple(net_of(after(reply.after, reply.answers[0].move))) if reply.answers else ()

    def _by_net(self, group: Group) -> Iterator[Group]:
        """Part a group of named replies whose mates have different reasons."""
        if group.who != "each" or len(group.replies) == 1:
            yield group
            return
        nets: dict[tuple[str, ...], list[Reply]] = {}
        for reply in group.replies:
            nets.setdefault(self._net(reply), []).append(reply)
        for same in nets.values():
            for together in [[reply] for reply in same] if len(same) == len(group.answers) > 1 else [same]:
                yield Group(tuple(together), group.answers)

    def _because(self, group: Group) -> str:
        """Say why it is mate, if that is the same for all replies of the group."""
        nets = {self._net(reply) for reply in group.replies}
        return " ".join(self._new(nets.pop())) if len(nets) == 1 and not group.rest else ""

    def _new(self, reasons: Sequence[str]) -> list[str]:
        """Return the reasons that were not given yet, and remember them."""
        new = [reason for reason in reasons if reason not in self._told]
        self._told.update(new)
        return new
