"""Where a move may be attached: the positions it may be played from, each with what that costs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import chess
from keyproof.grammar.cues import Stance
from keyproof.grammar.frames.values import Move
from keyproof.grammar.moves import Effect
from msgspec import Struct
from msgspec.structs import replace

from ...play.node import Node
from . import costs
from .at_once import answers_at_once, misnumbered, retold
from .echo import stands
from .hypothesis import Hypothesis
from .late import is_astray, is_late
from .meaning import is_of_others
from .oracle import Oracle

KEY = frozenset({"key", "was key"})
FAIL = frozenset({"fail", "was fail"})
TRY = frozenset({"try", "was try", *FAIL})
THREAT = frozenset({"threat", "was threat"})
REFUTE = frozenset({"refute", "was refute"})

_WHY = frozenset({"then", "if", "because"})  # "because now the knight's check lets him out" says why a reply refutes
_MOST_TRIES = 8  # that one reply is told for
_SIDE_BY_SIDE = 10  # letters between two moves: ", 1...", " and 1..."
_DEEPER = 2  # moves above the line before, to which words go back; a number says so of any


class Place(Struct, frozen=True):
    """Positions from which a move may be played. `beside`: it joins the frontier as one more of a list.

    `key` is the key that is supposed there; `within` are the positions it may lead to, any if it is empty.
    """

    nodes: tuple[Node, ...]
    cost: int
    beside: bool = False
    key: Node | None = None
    within: frozenset[Node] = frozenset()


class Places:
    """The places of one diagram."""

    def __init__(self, diagram: Node, oracle: Oracle) -> None:
        self.diagram, self.oracle = diagram, oracle
        self.attacker: chess.Color = diagram.board.turn
        self.set_play = diagram.pass_move()

    def of(self, frame: Move, at: Hypothesis) -> Iterator[Place]:
        """Yield the places for a frame, none twice, less those that its printed number excludes."""
        if frame.posed and stands(frame.who, at):
            return
        alone = frame.alone
        numbered = frame.number is not None and not self._of_puzzle(frame)
        best: dict[tuple[object, ...], Place] = {}
        for found in self._all(frame, at):
            place = self._as_numbered(frame, found, at) if numbered and found.nodes else found
            if place is None or not place.nodes:
                continue
            if frame.posed and not self._may_pose(frame, place.nodes[0], at):
                continue
            if alone and (place.nodes[0].board.turn == self.attacker or not place.nodes[0].move or place.key):
                continue
            if self._leaves_list(frame, place, at):
                place = replace(place, cost=place.cost + costs.OUT_OF_LIST)
            key = (place.beside, bool(place.within), *map(id, place.nodes))
            if key not in best or best[key].cost > place.cost:
                best[key] = place
        yield from best.values()

    def _may_pose(self, frame: Move, start: Node, at: Hypothesis) -> bool:
        """Tell whether a man named with a square may have gone there, in defence only if led there or asked about.

        From what he does there, too, it is plain that he has.
        """
        led = "if" in frame.marks or frame.stance is Stance.asked or frame.verb == "stand"
        return led or start.board.turn == self.attacker or (start.ply == 1 and start is not at.key)

    def _leaves_list(self, frame: Move, place: Place, at: Hypothesis) -> bool:
        """Tell whether a printed reply behind a comma is to begin a list of its own, without those before it."""
        told = at.last
        if told is None or not (frame.printed and frame.listed and told.frame.printed and at.listing) or at.closed:
            return False
        if frame.span.start - told.frame.span.end > _SIDE_BY_SIDE:
            return False
        reply = place.nodes == told.starts() and place.nodes[0].board.turn != self.attacker
        return reply and not place.beside and not place.within

    def misfits(self, frame: Move, node: Node) -> bool:
        """Tell whether the printed number of a move is not that of one played from a position."""
        return frame.number is not None and not self._of_puzzle(frame) and not self._numbered(frame, node)

    def _as_numbered(self, frame: Move, place: Place, at: Hypothesis) -> Place | None:
        """Return a place with what a number costs that does not fit it, None where it cannot be a slip."""
        if self._numbered(frame, place.nodes[0]):
            return place
        slip = (place.nodes == at.frontier and misnumbered(frame, at)) or self._one_dot(frame, place, at)
        return replace(place, cost=place.cost + costs.NUMBER) if slip else None

    def _one_dot(self, frame: Move, place: Place, at: Hypothesis) -> bool:
        """Tell whether a reply, which is no first move, may be printed as one: "1.Kc6 2.Bg2#" behind the key."""
        first, number = place.nodes[0], frame.number
        if number is None or number.ply != 1 or first.ply + first.shift != 1 or first is not at.key:
            return False
        phrases = [phrase for way in frame.ways for phrase in way.choices]
        called = frame.marks & (KEY | TRY) or any(phrase.annotation for phrase in phrases)
        return frame.printed and not called and not any(self.diagram.meant(phrase) for phrase in phrases)

    def _numbered(self, frame: Move, node: Node) -> bool:
        number = frame.number
        assert number is not None
        if number.ply is None:
            return node.board.turn != self.attacker
        return number.ply == node.ply + node.shift + 1

    def _of_puzzle(self, frame: Move) -> bool:
        """Tell whether a number is far too great for a move of the solution: "57. f8N" is problem 57."""
        number, plies = frame.number, self.oracle.plies
        if number is None or number.ply is None or plies is None or number.second:
            return False
        return number.ply >= 2 * costs.PUZZLES and number.ply > 2 * plies + 2 * self.diagram.shift

    def _all(self, frame: Move, at: Hypothesis) -> Iterator[Place]:
        marks = frame.marks
        first = at.firsts[-1] if at.firsts else None
        told = frame.number is not None
        front = at.frontier
        refutes = marks & REFUTE and self._tells_first(at)  # "1.Nf5? fails to Kd4" speaks of no other first move
        if (told_again := retold(frame, at)) is not None:
            yield Place(told_again.starts(), costs.CONTINUE)
            return
        if refutes or answers_at_once(frame, at, self.diagram, self.oracle.plies):
            yield Place(front, costs.CONTINUE)
            return
        yield Place((self.diagram,), self._first_cost(frame, at))
        if "key" in marks:
            return
        yield from self._goes_on(frame, at)
        yield from self._narrows(frame, at)
        if self.joins_tries(frame, at):
            breath = frame.listed and at.link is not None and isinstance(at.link.frame, Move)  # no sentence ends
            yield Place(
                (self.diagram,), 0 if breath else self._first_cost(frame, at), beside=True
            )  # "1.Qe4 and 1.Qf4 are both beaten by ..."
        if told and at.pending and at.pending != front:
            yield Place(at.pending, costs.CONTINUE + self._link_cost(frame, at, at.pending, goes_on=True))
        yield from self._beside(frame, at)
        yield from self._threats(frame, at, first)
        if at.key is not None:
            yield Place((at.key,), costs.AFTER_KEY + self._link_cost(frame, at, (at.key,)))
        if (
            at.key is None or self.oracle.solves(at.key) is False
        ):  # lines of a key told wrongly are those of the true one
            for move in self.oracle.keys:
                key = self.diagram.play(move)
                yield Place((key,), costs.KEY_SUPPOSED + self._link_cost(frame, at, (key,)), key=key)
        if len(tries := self._unrefuted(at)) > 1 and ("together" in marks or self._may_join(tries, at)):
            cost = 0 if "together" in marks else costs.TOGETHER
            yield Place(tries, cost + self._link_cost(frame, at, tries))
        for distance, node in enumerate(reversed(at.firsts[-4:])):
            older = (self._refuted(frame, at) if node is front[0].first else 0) if told and not distance else None
            cost = costs.OLDER + distance if older is None else older
            yield Place((node,), cost + self._link_cost(frame, at, (node,)) + self._leaves_key(frame, at, node))
        yield from self._set_plays(frame, at)

    def _set_plays(self, frame: Move, at: Hypothesis) -> Iterator[Place]:
        """Yield the place of a reply in the diagram."""
        marks, front = frame.marks, at.frontier
        if self.set_play is None or marks & REFUTE:
            return
        cost = 0 if "set" in marks or front[0].first is self.set_play else costs.SET_PLAY
        if at.key is None and not at.firsts and (frame.stance is Stance.supposed or frame.verb == "have"):
            cost = min(cost, 1)  # "he has two squares" is said of the diagram
        if "ready" in marks:
            pass  # words of its sentence speak of the diagram
        elif cost and frame.number is not None and front[0].first in at.firsts:
            cost += costs.SET_PLAY_LATE  # among numbered lines after a first move it is one more
        elif cost and frame.stance is Stance.asserted and "at diagram" not in marks:
            cost += self._leaves_key(frame, at, self.set_play)
        yield Place((self.set_play,), cost + self._link_cost(frame, at, (self.set_play,)))

    def _leaves_key(self, frame: Move, at: Hypothesis, node: Node) -> int:
        """Return what it costs to go back to a try or to the set play from the lines of a key that was told."""
        key = at.key
        if key is None or at.frontier[0].first is not key or node.first is key or self.oracle.solves(key) is False:
            return 0
        return costs.LEAVES_KEY_IF if "if" in frame.marks and not frame.printed else costs.LEAVES_KEY

    def _led_from_key(self, frame: Move, at: Hypothesis) -> int:
        """Return what it costs to take "if" behind a key that was told for what leads to another first move."""
        leads = frame.marks - {"if", "or"} or frame.number is not None or frame.stance is not Stance.asserted
        if leads or frame.printed:
            return 0
        cost = self._leaves_key(frame, at, self.diagram)
        ours = any(phrase.colour is self.attacker for phrase in frame.ways[0].choices)  # said outright
        return min(cost, costs.LEAVES_KEY) if ours else cost

    def _goes_on(self, frame: Move, at: Hypothesis) -> Iterator[Place]:
        """Yield the places where the text stands: there, after a pass, or after the only reply."""
        front = at.frontier
        defends = front[0].board.turn != self.attacker
        told = frame.number is not None and front[0].ply == 2  # "1...g2! For 2.Qf4+ Kxf4" says why nothing answers it
        told = told and any(front[0].meant(phrase) for phrase in frame.ways[0].choices)
        if not (at.closed and front[0].ply != 1 and not told) and front[0] is not self.diagram:
            cost = costs.NEW_PARAGRAPH if at.fresh and frame.number is None and not defends else costs.CONTINUE
            if not defends and frame.number is None and front[0].ply == 2 and not frame.marks & _WHY:
                cost += costs.REFUTED * all(map(self.oracle.refutes, front))
            yield Place(front, cost + self._link_cost(frame, at, front, goes_on=True))
        if defends and front[0].ply > 1 and front[0].parent is not None and not front[0].parent.move:
            idle = tuple(node for node in (each.pass_move() for each in front) if node is not None)
            yield Place(idle, 1)  # a threat of several moves
        if defends and not at.fresh and (forced := _forced(front)):
            yield Place(forced, costs.FORCED + self._link_cost(frame, at, forced))

    def _narrows(self, frame: Move, at: Hypothesis) -> Iterator[Place]:
        """Yield the place of a square that says which of the moves just told is meant."""
        told = at.last
        if told is None or not frame.bare or len(at.frontier) < 2:
            return
        firsts = len(told.phrases) > 1 and told.starts()[0] is self.diagram  # "two leaps, f7 and e6. Say f7"
        if not (told.frame.vague or firsts):
            return
        if set(told.ends()) == set(at.frontier):
            yield Place(told.starts(), costs.NARROWS, within=frozenset(at.frontier))

    def _tells_first(self, at: Hypothesis) -> bool:
        """Tell whether the words just before, in the same sentence, tell the first move that the text stands at."""
        told = None if at.sentence_over else at.last
        return told is not None and told.starts()[0] is self.diagram and set(told.ends()[:1]) <= set(at.frontier)

    def joins_tries(self, frame: Move, at: Hypothesis) -> bool:
        """Tell whether a first move may be one more of a list with one refutation: "1.Qe4? 1.Qf4? Kd6"."""
        if at.frontier[0].ply != 1 or not at.listing or frame.marks & (REFUTE | THREAT):
            return False
        if frame.listed or "or" in frame.marks:
            return True
        if frame.number is None or (at.sentence_over and frame.signs is None):
            return False  # words of another sentence tell of a try of their own
        return all(self.oracle.solves(first) is False for first in at.frontier)

    def _unrefuted(self, at: Hypothesis) -> tuple[Node, ...]:
        """Return the tries told last of which no reply has been told: "1.Qb3+, 1.Qb2+, and in both cases ..."."""
        found: list[Node] = []
        for first in reversed(at.firsts[-_MOST_TRIES:]):
            if self.oracle.solves(first) is not False or any(told.parent is first for told in at.told):
                break
            found.append(first)
        return tuple(dict.fromkeys(found[::-1]))

    def _may_join(self, tries: tuple[Node, ...], at: Hypothesis) -> bool:
        """Tell whether a reply may be one to all of some tries: not behind one of them in a sentence of its own."""
        here = {end for told in at.in_sentence() for end in told.ends()}
        return here.isdisjoint(tries) or here.issuperset(tries)

    def _refuted(self, frame: Move, at: Hypothesis) -> int:
        """Return what one more reply costs where the text stands at one that has refuted its first move."""
        refuted = not frame.listed and all(self.oracle.refutes(node) for node in at.frontier)
        return costs.REFUTED if refuted else 0

    def _first_cost(self, frame: Move, at: Hypothesis) -> int:
        marks = frame.marks
        if marks & KEY or marks & TRY or "at diagram" in marks or (frame.number and frame.number.ply == 1):
            return 0
        if self._of_puzzle(frame):
            return 0
        cost = costs.FIRST_MOVE
        if frame.stance in (Stance.asked, Stance.wished, Stance.quoted):
            cost = 1
        if not at.firsts and not marks & {"if", "then", "set", "at key"}:
            cost = 0
        if frame.number is None and at.frontier[0].ply == 2 and all(map(self.oracle.refutes, at.frontier)):
            cost = min(cost, 2)
        if frame.idle and at.firsts and at.firsts[-1].move is not None and at.firsts[-1].move.promotion:
            cost = min(cost, costs.OTHER_MAN)
        if "instead" in marks or (at.closed and at.key is None):
            cost = min(cost, 1)
        if marks & {"then"}:
            cost += costs.LINK_MISFITS
        if marks & REFUTE or marks & THREAT:
            cost += costs.MARK_MISFITS
        if marks & {"if"} and at.key is not None:
            cost += 2 + self._led_from_key(frame, at)
        if is_of_others(frame.ways[0].choices) and frame.stance is Stance.asserted:
            cost += self._leaves_key(frame, at, self.diagram)  # "after all other moves" is said of replies
        return cost

    def _link_cost(self, frame: Move, at: Hypothesis, nodes: tuple[Node, ...], goes_on: bool = False) -> int:
        """Return what the words about a move cost if it is played from `nodes`."""
        marks = frame.marks
        asks = frame.stance in (Stance.asked, Stance.wished, Stance.quoted)
        if not (marks or asks or at.tries):
            return 0
        cost = 0
        attacks = nodes[0].board.turn == self.attacker
        set_play = self.set_play is not None and nodes[0].first is self.set_play
        if marks & REFUTE and (attacks or nodes[0].ply != 1 or not nodes[0].move):
            cost += costs.MARK_MISFITS
        idle = "was fail" in marks and marks & TRY <= FAIL and nodes[0].ply == 1 and self.oracle.solves(nodes[0])
        if marks & TRY and not (goes_on or idle):
            cost += costs.LINK_MISFITS  # but "1...c4 does nothing", after the key
            cost += costs.MARK_MISFITS * ("try" in marks and attacks and not set_play)  # "let us try queen to d5"
        if marks & THREAT and nodes[0].move:
            answers = goes_on and attacks and nodes[0].ply > 1
            let_through = at.source is not None and at.source.rest  # "anything else lets the threat through"
            behind = "was threat" in marks and not at.closed  # "1...Kb1 2.Qb2#, which was the threat"
            cost += 0 if answers and ("then" in marks or let_through or behind) else costs.LINK_MISFITS
        if "if" in marks and attacks:
            cost += costs.MARK_MISFITS if at.closed and not frame.bare else costs.LINK_MISFITS
            if at.closed and not (frame.bare or frame.printed or frame.vague or says_mate(frame)):
                cost += costs.MARK_MISFITS  # what follows a mate in words is another reply
        if "then" in marks and not goes_on and not attacks:
            cost += costs.LINK_MISFITS - 1
        if "at diagram" in marks and nodes[0].ply:
            cost += 1
        if "was key" in marks and attacks:  # "that is the move" may be said of the one that refutes
            cost += costs.LINK_MISFITS
        if (at.tries or "try" in marks) and set_play and (attacks or not marks & {"if", "set", "ready"}):
            cost += costs.MARK_MISFITS  # what is called a try is no answer in the set play, and no reply to it is there
        if asks and attacks and set_play:
            cost += costs.WRONG_PROPOSAL
        if "set" in marks and self.set_play is not None and not set_play:
            # "Set 1...h4 2.Rg5#", but "right now he has h4" and "after 1...h4 the set mate remains, 2.Rg5#"
            numbered = frame.printed and frame.number is not None and frame.number.second
            cost += costs.MARK_MISFITS if numbered else costs.LINK_MISFITS if at.key is None else 1
        return cost

    def _beside(self, frame: Move, at: Hypothesis) -> Iterator[Place]:
        """Yield the places of moves told before, the nearest first: another reply, one more of a list."""
        front = at.frontier
        parents = _parents(front)
        if not parents:
            return
        joins = at.listing and not at.closed
        if parents[0] is not self.diagram:
            cost = 0 if at.closed or "if" in frame.marks or frame.listed or "or" in frame.marks else costs.BESIDE
            if frame.number is not None:
                cost = self._refuted(frame, at)
            elif at.key is not None and parents[0] is not at.key and cost == 0 and not frame.marks & REFUTE:
                cost = self._refuted(frame, at)  # what is said after a refutation is rather of the key
            yield Place(
                parents,
                cost + self._link_cost(frame, at, parents),
                beside=joins and (frame.listed or "or" in frame.marks or "if" not in frame.marks),
            )
            grand = _parents(parents)
            if grand and grand[0] is not self.diagram:
                done = costs.ANOTHER_REPLY if at.closed or frame.number is not None else 1
                yield Place(grand, done + self._link_cost(frame, at, grand))
                older, deep = _parents(grand), 1
                while older and older[0] is not self.diagram and (deep < _DEEPER or frame.number is not None):
                    yield Place(older, done + min(deep, _DEEPER) + self._link_cost(frame, at, older))
                    older, deep = _parents(older), deep + 1

    def _threats(self, frame: Move, at: Hypothesis, first: Node | None) -> Iterator[Place]:
        """Yield the passes after first moves: what would be played next."""
        called = bool(frame.marks & THREAT)
        late = costs.THREAT_LATE * (not called and is_late(frame, at))
        astray = at.key is not None and at.frontier[0].first is at.key  # the text is back in the lines of the key
        if called and first in at.frontier and len(at.frontier) > 1 and at.listing:  # "f7 and e6 both threaten Ng5"
            several = tuple(passed for node in at.frontier if (passed := node.pass_move()) is not None)
            if several:  # after checks nobody can pass
                yield Place(several, self._link_cost(frame, at, several))
        for node, extra in ((first, int(astray)), (at.key, int(not astray))):
            if node is None or not node.move or node.over:
                continue
            passed = node.pass_move()
            if passed is not None:
                cost = extra if called else costs.THREAT + extra + (late or costs.THREAT_LATE * is_astray(node, at))
                yield Place((passed,), cost + self._link_cost(frame, at, (passed,)))
        if called and (first is None or (at.key is not None and self.oracle.solves(at.key) is False)):
            for move in self.oracle.keys:
                key = self.diagram.play(move)
                passed = key.pass_move()
                if passed is not None:
                    yield Place((passed,), costs.KEY_SUPPOSED, key=key)


def says_mate(frame: Move) -> bool:
    """Tell whether it is said that a move mates."""
    return any(effect is Effect.mate for effect, _ in (*frame.effects, *frame.ways[0].choices[0].effects))


def _parents(nodes: Iterable[Node]) -> tuple[Node, ...]:
    return tuple(dict.fromkeys([node.parent for node in nodes if node.parent is not None]))


def _forced(nodes: tuple[Node, ...]) -> tuple[Node, ...]:
    """Return the positions after the only legal reply to each of `nodes`, none where one of them has a choice."""
    if not nodes[0].move:
        return ()
    moves = [node.forced for node in nodes]
    return () if None in moves else tuple(node.play(move) for node, move in zip(nodes, moves, strict=True) if move)
