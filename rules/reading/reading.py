"""What a text says, replayed: each printed move with the positions it is played in and leads to."""

from __future__ import annotations

from enum import Enum

from keyproof.grammar.moves import Effect, MovePhrase
from keyproof.grammar.spans import Span, Stretches
from keyproof.grammar.statements import (
    Claim,
    NotUnderstood,
    Reason,
    Turn,
)
from msgspec import Struct, field

from ..play.node import Node


class Role(Enum):
    """What a mention of a move claims."""

    key = "key"
    try_ = "try"
    first = "first move, nothing claimed"
    set_play = "set play"
    defence = "defence"
    refutation = "refutation"
    answer = "answer"
    threat = "threat"
    __hash__ = object.__hash__  # that of Enum takes two calls


class State(Enum):
    """How far a mention was read."""

    read = "read"
    impossible = "impossible"
    not_examined = "not examined"
    __hash__ = object.__hash__  # that of Enum takes two calls


class Mention(Struct):
    """One printed move phrase, the positions it was read in and those it leads to.

    `ways` pairs each position in which the phrase was read with the positions it leads to there:
    none where no legal move agrees, several for a set of moves or an ambiguous one.
    """

    phrase: MovePhrase
    turn: Turn
    role: Role
    state: State
    ways: list[tuple[Node, list[Node]]]
    intro: frozenset[str]
    effects: tuple[tuple[Effect, Span], ...]  # what is said of the move: its signs, then the words after it
    marked: bool = False  # a first move that a sign or a word calls key or try
    perhaps_try: bool = False  # tries are told where it stands
    asked: bool = False  # the sentence is a question and claims nothing
    misnumbered: bool = False  # the printed number is not that of the half-move it is
    too_many: bool = False  # it would stand for more lines of play than are looked at, so it is not examined
    at: list[Node] = []  # the positions the phrase was read in
    after: list[Node] = []  # the positions the phrase leads to

    def __post_init__(self) -> None:
        """Part the ways into their beginnings and ends."""
        self.at = [node for node, _ in self.ways]
        self.after = [node for _, nodes in self.ways for node in nodes]

    @property
    def missed(self) -> list[Node]:
        """Return the positions in which no legal move agrees with the phrase."""
        return [node for node, nodes in self.ways if not nodes]

    def says(self, *effects: Effect) -> Span | None:
        """Return the span of the first of `effects` that is said of the move, else None."""
        for effect, span in self.effects:
            if effect in effects:
                return span
        return None


class PlacedClaim(Struct, frozen=True):
    """A claim in words with the positions it speaks of, or the mention it speaks of."""

    claim: Claim
    nodes: tuple[Node, ...]
    mention: Mention | None = None


class PlacedReason(Struct, frozen=True):
    """A reason with every position it may speak of, the likeliest first, and the place of the sentence it stands in.

    `sure`: all moves that are told around it were read, so that it is false where it holds in none of these.
    """

    reason: Reason
    nodes: tuple[Node, ...]
    sentence: Span
    sure: bool
    anchored: bool = False  # "after the key": it speaks of this one position


class Reading(Struct):
    """A whole solution text, replayed."""

    diagram: Node
    set_play: Node | None
    mentions: list[Mention] = field(default_factory=list)
    claims: list[PlacedClaim] = field(default_factory=list)
    not_understood: list[NotUnderstood] = field(default_factory=list)
    reasons: list[PlacedReason] = field(default_factory=list)
    open: tuple[Span, ...] = ()  # stretches of text of which nothing can be called false
    borne_out: tuple[Span, ...] = ()  # those of them whose place is sure all the same
    raised: tuple[Span, ...] = ()  # those of these that are only asked about or supposed, by words that are understood
    passed: tuple[Span, ...] = ()  # stretches that tell of moves and were put nowhere
    named: tuple[Span, ...] = ()  # those of them that only name a move told beside them, or a man
    parries: list[Mention] = field(default_factory=list)  # replies to threats that are not told again, but supposed
    others: list[Node] = field(default_factory=list)  # positions whose other moves the text speaks of ("any other")
    ran_away: bool = False  # it led to more positions than are looked at, so nothing of it was read
    supposed: Node | None = None  # the position after the key, where the text was read as if it had told it
    _open_to: tuple[tuple[Span, ...], Stretches] | None = None  # `open`, and the same to be asked
    _indexed: int = 0  # how many of the mentions are in `_by_place` and `_by_end`
    _by_place: dict[Node, list[Mention]] = field(default_factory=dict)
    _by_end: dict[Node, list[Mention]] = field(default_factory=dict)
    _firsts_of: int = 0  # of how many of the mentions the first moves are in `_firsts`
    _firsts: list[Mention] = field(default_factory=list)
    _settled: dict[Role, dict[Node, Mention]] | None = None  # the first moves by role, once no role changes any more

    def is_open(self, offset: int) -> bool:
        """Tell whether nothing can be called false at a place of the text."""
        if not self.open:
            return False
        if self._open_to is None or self._open_to[0] is not self.open:
            self._open_to = self.open, Stretches(self.open)
        return self._open_to[1].hold(offset)

    def is_sure(self, mention: Mention) -> bool:
        """Tell whether a move stands where it was put: it is not open, or what follows bears its place out."""
        start = mention.phrase.span.start
        return not self.is_open(start) or Stretches(self.borne_out).hold(start)

    def first_moves(self, role: Role) -> dict[Node, Mention]:
        """Return the first moves claimed as key or try, each with its first mention."""
        if self._settled is not None and role in self._settled:
            return self._settled[role]
        found: dict[Node, Mention] = {}
        for mention in self.mentions:
            if mention.role is role and mention.after and mention.at[0] is self.diagram:
                found.setdefault(mention.after[0], mention)
        if self._settled is not None:
            self._settled[role] = found
        return found

    def printed_after(self, node: Node) -> list[Mention]:
        """Return the mentions that continue from `node`, in text order."""
        if self._indexed < len(self.mentions):
            self._index()
        return [*self._by_place.get(node, ())]

    def printed_into(self, node: Node) -> list[Mention]:
        """Return the mentions that lead to `node`, in text order."""
        if self._indexed < len(self.mentions):
            self._index()
        return [*self._by_end.get(node, ())]

    def _index(self) -> None:
        for mention in self.mentions[self._indexed :]:
            for at in dict.fromkeys(mention.at):
                self._by_place.setdefault(at, []).append(mention)
            for end in dict.fromkeys(mention.after):
                self._by_end.setdefault(end, []).append(mention)
        self._indexed = len(self.mentions)

    def firsts(self) -> list[Mention]:
        """Return the first moves so far, whatever they are claimed to be; none ever gets another role."""
        for mention in self.mentions[self._firsts_of :]:
            if mention.role in (Role.key, Role.try_, Role.first) and mention.after:
                self._firsts.append(mention)
        self._firsts_of = len(self.mentions)
        return self._firsts

    def leave_out(self, mention: Mention) -> None:
        """Forget a mention that does not stand in the text."""
        self.mentions.remove(mention)
        self.settle()

    def settle(self) -> None:
        """Put the mentions in text order; from here on nothing about them changes."""
        self._settled = {}
        self.mentions.sort(key=lambda mention: mention.phrase.span)
        self._indexed, self._by_place, self._by_end = 0, {}, {}


def effect_holds(effect: Effect, node: Node) -> bool:
    """Tell whether what is said of the move into `node` is true."""
    board = node.board
    if effect is Effect.mate:
        return node.mate
    if effect is Effect.check:
        return node.check
    if effect is Effect.double_plus:
        return node.mate or len(board.checkers()) == 2
    if effect is Effect.double_check:
        return len(board.checkers()) >= 2
    if effect is Effect.discovered_check:
        return any(square != node.move.to_square for square in board.checkers()) if node.move else False
    if effect is Effect.stalemate:
        return node.stalemate
    if effect is Effect.not_mate:
        return not node.mate
    if effect is Effect.denied:
        return False  # the move was made
    return not node.check
