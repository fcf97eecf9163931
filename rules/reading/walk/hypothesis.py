"""One way to take a text so far, as a value: where it stands, what was told, what it cost.

Nothing here is ever changed once it is made, though it is not frozen: that would take three times as long to make.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import islice, takewhile
from operator import attrgetter

import chess
from keyproof.grammar.cues import Stance
from keyproof.grammar.frames.values import Frame, Move, Said, Who
from keyproof.grammar.moves import MovePhrase
from msgspec import Struct

from ...play.node import Node
from .meaning import Situation


class Placement(Struct, eq=False):
    """A move of the text in its place.

    `ways` pairs, for each of the phrases, each position it was played in with the positions it leads to.
    `false` tells that something asserted of it is not so, `illegal` that it cannot be played there.
    """

    frame: Move
    phrases: tuple[MovePhrase, ...]
    ways: tuple[tuple[tuple[Node, tuple[Node, ...]], ...], ...]
    cost: int
    false: bool = False
    illegal: bool = False
    repeats: bool = False  # "same again": the phrases are those of an earlier answer
    echo: bool = False  # it tells once more what was told before
    supposed: bool = False  # it would answer a threat that is not told again
    rest: bool = False  # it speaks of all moves that are not told elsewhere
    source: Placement | None = None  # the words for a set of moves from whose ends it was played
    _ends: tuple[Node, ...] = ()  # once they were asked for
    _starts: tuple[Node, ...] = ()

    def ends(self) -> tuple[Node, ...]:
        """Return the positions it leads to, none twice."""
        if not self._ends:
            self._ends = tuple(dict.fromkeys([end for way in self.ways for _, ends in way for end in ends]))
        return self._ends

    def starts(self) -> tuple[Node, ...]:
        """Return the positions it was played in, none twice."""
        if not self._starts:
            self._starts = tuple(dict.fromkeys([start for way in self.ways for start, _ in way]))
        return self._starts


class Link(Struct, eq=False):
    """One frame and where it was put (None: nowhere), with the one before it.

    `known`: it need not be put anywhere, as it was taken back, or tells where a man stands.
    """

    frame: Frame
    placement: Placement | None
    before: Link | None
    known: bool = False
    tells: bool = False  # they are words that may tell a move

    def __post_init__(self) -> None:
        """Find out whether the words may tell a move."""
        frame, placed = self.frame, self.placement
        told = placed is not None and not placed.supposed
        self.tells = isinstance(frame, Move) and (told if placed is not None else not (frame.aside or frame.posed))


class Hypothesis(Struct, eq=False):
    """Where a text stands.

    `frontier` are the positions it has come to, all of the same half-move. `closed`: their line has ended, by
    mate or a refutation told. `listing`: the frontier is a list of replies to which one answer may follow.
    `kinds` are the men named last, of Black and White.
    """

    frontier: tuple[Node, ...]
    cost: int = 0
    link: Link | None = None
    key: Node | None = None
    firsts: tuple[Node, ...] = ()  # the positions after the first moves told, the latest last
    closed: bool = False
    listing: bool = False
    answers: tuple[Placement, ...] = ()  # the last answers of the attacker, all to the same replies
    threat: Placement | None = None  # the last move that was told to be threatened
    refutations: tuple[Placement, ...] = ()  # the last replies to a first move
    kinds: tuple[chess.PieceType | None, chess.PieceType | None] = (None, None)
    told: frozenset[Node] = frozenset()  # the positions after the replies told one by one
    source: Placement | None = None  # the words for a set of moves that the frontier stands for
    waiting: int = 0  # what it costs to leave the replies of the frontier without an answer
    pending: tuple[Node, ...] = ()  # replies left without an answer when the text turned to others
    fresh: bool = False  # a paragraph has begun and no move of it has been placed
    tries: bool = False  # what follows was called tries
    lost: int = 0  # how many of the next frames hang in the air, since a move before them could not be played

    def situation(self, nodes: tuple[Node, ...]) -> Situation:
        """Return some positions with what has been told before them."""
        return Situation(nodes, self.kinds, self.told, self.source is not None and nodes == self.frontier)

    def placements(self) -> list[Placement]:
        """Return what was placed, in the order of the text."""
        return [link.placement for link in self.links() if link.placement is not None]

    def lately(self, number: int) -> list[Placement]:
        """Return what was placed of so many frames before, in the order of the text."""
        links = list(islice(self._back(), number))
        return [link.placement for link in reversed(links) if link.placement is not None]

    def in_sentence(self) -> Iterator[Placement]:
        """Yield what was placed of the sentence at hand, the last first."""
        told = takewhile(lambda link: not _ends(link), self._back())
        return (link.placement for link in told if link.placement is not None)

    def links(self) -> list[Link]:
        """Return all frames and where they were put, in the order of the text."""
        found = list(self._back())
        return found[::-1]

    @property
    def last(self) -> Placement | None:
        """The move told last, if nothing but words that tell none stands behind it."""
        link = self.link
        while link is not None and not link.tells:
            link = link.before
        return None if link is None else link.placement

    @property
    def last_move(self) -> Link | None:
        """The words told last that may tell a move, and where they were put."""
        link = self.link
        while link is not None and not link.tells:
            link = link.before
        return link

    @property
    def sentence_over(self) -> bool:
        """Whether a sentence has ended since words that may tell a move."""
        link = self.link
        while link is not None and not link.tells:
            if _ends(link):
                return True
            link = link.before
        return False

    def _back(self) -> Iterator[Link]:
        link = self.link
        while link is not None:
            yield link
            link = link.before

    @property
    def future(self) -> tuple[object, ...]:
        """Return all that decides how the text can go on: of two with the same the cheaper is enough."""
        nodes = frozenset(map(id, self.frontier))
        ways = self.closed, self.listing, self.fresh, self.lost, self.waiting
        return (
            nodes,
            tuple(map(id, self.pending)),
            self.key,
            self.firsts[-2:],
            ways,
            None if self.threat is None else id(self.threat.frame),
            self.answers and id(self.answers[-1].frame),
            self.refutations and id(self.refutations[-1].frame),
            self.kinds,
        )


by_cost = attrgetter("cost")  # of a hypothesis


def _ends(link: Link) -> bool:
    return isinstance(link.frame, Said) and link.frame.kind in ("end", "paragraph")


def told_beside(told: tuple[Placement, ...], placement: Placement, joins: bool) -> tuple[Placement, ...]:
    """Return what may be told again once one more move is placed: with it those played beside it, if it `joins`."""
    if not joins or placement.frame.stance is not Stance.asserted:
        return (placement,) if joins else told
    if not told or told[-1].starts() != placement.starts() or told[-1].frame.stance is not Stance.asserted:
        return (placement,)
    return (*(each for each in told if each.ends() != placement.ends()), placement)


def topic_of(who: Who, at: Hypothesis) -> tuple[chess.PieceType | None, chess.PieceType | None]:
    """Return the men named last, of Black and White, once a man is spoken of who may be either's."""
    black, white = at.kinds
    if who.colour is not True and who.ours is not True:
        black = who.kinds[0]
    if who.colour is not False and who.ours is not False:
        white = who.kinds[0]
    return black, white


def moved(
    start: Node, ends: Sequence[Node], kinds: tuple[chess.PieceType | None, chess.PieceType | None]
) -> tuple[chess.PieceType | None, chess.PieceType | None]:
    """Return the men named last, of Black and White, once one of them has moved from `start` to one of `ends`."""
    move = ends[0].move
    kind = start.board.piece_type_at(move.from_square) if move else None
    return (kinds[0], kind) if start.board.turn else (kind, kinds[1])


def of_man(who: Who, at: Hypothesis) -> tuple[Node, ...]:
    """Return those of the replies told last that a man makes who is named by his file: "The e-pawn first"."""
    if who.file is None or at.closed or len(at.frontier) < 2:
        return ()
    return tuple(
        node
        for node in at.frontier
        if node.move
        and node.parent is not None
        and node.parent.board.piece_type_at(node.move.from_square) == who.kinds[0]
        and chess.square_file(node.move.from_square) == who.file
    )


def ahead(kept: Sequence[Hypothesis], *, told: bool) -> list[tuple[object, ...]]:
    """Return all that decides how some hypotheses go on, with what each costs beyond the first.

    `told`: words for the rest follow, for which it matters what was told.
    """
    return [
        (
            each.cost - kept[0].cost,
            each.future,
            each.frontier,
            each.firsts[-4:],
            None if each.source is None else id(each.source.frame),
            each.told if told else None,
        )
        for each in kept
    ]
