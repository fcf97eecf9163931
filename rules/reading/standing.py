"""Where a reading of a text stands: what was told so far, and the words since the last half-move."""

from __future__ import annotations

import chess
from keyproof.grammar.statements import (
    Aside,
    Break,
    Claim,
    Reason,
    Statement,
    Turn,
)

from ..play.node import Node
from .reading import Mention, Reading, Role
from .replay import Replay, Unit
from .told import Spoken
from .work import Work


class Standing:
    """What is known while a text is read, statement by statement, and what follows from it."""

    def __init__(self, board: chess.Board, shift: int, mater: chess.Color, plies: int | None, work: Work) -> None:
        diagram = Node(board, shift=shift)
        self.reading = Reading(diagram, diagram.pass_move())
        self.attacker = board.turn
        self.work = work
        self.replay = Replay(self.reading, mater, plies, work)
        self.path: list[list[Node]] = [[diagram]]
        self.spoken = Spoken()
        self.seen: list[list[Node]] = []  # every frontier reached, latest last
        self.reasons: list[tuple[Reason, list[list[Node]]]] = []  # each with the line it interrupts
        self.intro: set[str] = set()
        self.mode: str | None = None
        self.mode_used = False
        self.turns: list[Turn] = []
        self.leads: dict[int, str] = {}  # the words before each turn, by where the turn begins
        self.anew = False  # a paragraph has just begun
        self.more = False  # "if the bishop moves or if it takes": the next move is one more of a list
        self.brackets: list[list[list[Node]]] = []
        self.late: list[Unit] = []  # units that need the key, printed further down
        self.rest: list[Unit] = []  # units that speak of what the others left over
        self.only_next: Claim | None = None
        self.sentence: list[Mention] = []  # the mentions of this sentence so far
        self.gap: list[Statement] = []  # what stands since the last turn
        self.following: Statement | None = None  # what stands next
        self.next_turn: Turn | None = None  # the next half-move in the same sentence and line
        self.words = False  # words stand between the last unit and the open one
        self.bracketed: list[Node] = []  # where the last bracket ended: "the knight moves (1...Nb7 or Nc4), 2.Qb3#"
        self.held: Unit | None = None  # an answer whose defence may follow: "2.Re4# after 1...Kh4"
        self.lost: int | None = None  # a half-move not understood or not playable: what follows it is not examined
        self.lost_here = False  # it stands in the sentence that is being read
        self.faultless = False  # the reading ends at the first move that cannot be read or played

    def _unit(self) -> Unit:
        shift, fresh = self.reading.diagram.shift, not self.mode_used
        return Unit(
            self.turns,
            frozenset(self.intro),
            self.mode,
            self.path,
            shift,
            fresh,
            anew=self.anew,
            after_words=self.words,
        )

    def _firsts(self) -> list[Mention]:
        return self.reading.firsts()

    def _home(self) -> list[list[Node]]:
        """Return the path to the position after the key, or the diagram where no key is known."""
        for mention in self._firsts():
            if mention.role is Role.key:
                return [[self.reading.diagram], mention.after[:1]]
        return [[self.reading.diagram]]

    def _after_key(self, start: list[Node]) -> bool:
        home = self._home()
        return len(home) > 1 and home[1][0] is start[0].first

    def _latest_attack(self, path: list[list[Node]]) -> list[Node]:
        """Return the latest position of a line that the attacker's move led to and that did not end the play."""
        for frontier in reversed(path[1:]):
            node = frontier[0]
            if node.board.turn != self.attacker and node.move and not node.board.is_game_over():
                return frontier
        return []

    def _joined(self, words: set[str], gap: list[Statement] | None = None) -> bool:
        """Tell whether commas, line ends or these words, and nothing else, stand since the last turn."""
        gap = self.gap if gap is None else gap
        for statement in gap:
            if isinstance(statement, Aside):
                if statement.text.strip().lower() not in words:
                    return False
            elif not (isinstance(statement, Break) and statement.kind in ("comma", "line")):
                return False
        return bool(gap) and not all(isinstance(s, Break) and s.kind == "line" for s in gap)

    def _try(self) -> None:
        """Take the move at hand for a try of a two-mover, unless words have announced what the next move is."""
        if self.replay.plies == 3 and (self.mode is None or self.mode_used):
            self.mode, self.mode_used = "try", False
