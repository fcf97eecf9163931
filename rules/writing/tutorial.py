"""The voice of a tutorial."""

from collections.abc import Iterator, Sequence
from itertools import chain

import chess

from ..board.names import side
from .draft import Reply, after, flights
from .grounds import grounds
from .grouping import Group, told
from .manner import Manner, flights_on

# How a try is told: in turn, so that no two that follow each other read alike; first those that threaten something.
_THREATENING = (
    "A try first: {try}? threatens {threat}, but {refutation}! refutes it.",
    "{try}? with the threat {threat} fails only to {refutation}!",
    "{try}? threatens {threat}. Only {refutation}! holds.",
)
_OTHERS = (
    "A try first: {try}? Only {refutation}! refutes it.",
    "{try}? fails only to {refutation}!",
    "And after {try}? there is one answer, {refutation}!",
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
            tried, menace = after(board, attempt.move), self.menace(attempt)
            words = {"try": self.moves(board, [attempt.move]), "refutation": self.moves(tried, attempt.refutations[:1])}
            if menace is not None:
                words["threat"] = self.moves(after(tried, chess.Move.null()), [menace])
            forms = _OTHERS if menace is None else _THREATENING
            told.append(forms[1 + (place - 1) % (len(forms) - 1) if place else 0].format(**words))
        return " ".join(told)

    def _key(self) -> str:
        draft = self.draft
        assert draft.key is not None
        assert draft.after_key is not None
        said = [f"Key: {self.moves(draft.board, [draft.key])}!", *grounds(draft.after_key), *self.ideas()]
        attacker, defender = side(draft.board.turn), side(not draft.board.turn)
        if draft.zugzwang:
            said.append(f"{attacker} waits, and {defender} is in zugzwang.")
        elif draft.threats:
            said.append(f"{attacker} threatens {self.threats()}.")
            if len(draft.threats) == 1:
                said.extend(self._new(grounds(after(draft.after_key, chess.Move.null(), draft.threats[0]))))
        return " ".join(said)

    def _variations(self, groups: Sequence[Group], indent: str, before: str = "") -> Iterator[str]:
        for group in chain.from_iterable(map(self._by_net, groups)):
            own = self.line(group)
            line = before + (own.removeprefix(self.number(group.first.before)) if before else own)
            below = told(group.first.further, self.say).groups
            others = self.others(group)
            if len(below) == 1 and not others and not below[0].rest:
                # One reply only stands right behind the move it answers and needs no number.
                yield from self._variations(below, indent, f"{line} ")
                continue
            yield f"{indent}- {line}. {self._because(group)}".rstrip()
            yield from self._variations(below, indent + "  ")
            if others:
                yield f"{indent}  - Or {others}."

    @staticmethod
    def _net(reply: Reply) -> tuple[str, ...]:
        return tuple(grounds(after(reply.after, reply.answers[0].move))) if reply.answers else ()

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
        """Say why it is mate, if there is one answer and the reason is the same for all replies of the group."""
        nets = {self._net(reply) for reply in group.replies}
        if len(nets) > 1 or group.rest or len(group.answers) > 1:
            return ""
        return " ".join(self._new(nets.pop()))

    def _new(self, reasons: Sequence[str]) -> list[str]:
        """Return the reasons that were not given yet, and remember them."""
        new = [reason for reason in reasons if reason not in self._told]
        self._told.update(new)
        return new
