"""The search: each frame is put wherever it has a meaning, and of all that came of it the cheapest are kept."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

import chess
from keyproof.grammar.cues import Stance
from keyproof.grammar.frames.values import Frame, Move, Said, Who
from keyproof.grammar.moves import Effect
from msgspec.structs import replace

from ...play.node import Node
from ..reading import effect_holds
from . import costs
from .again import Repeats
from .apposed import apposed, taken_back
from .at_once import answers_at_once
from .attach import THREAT, Place, Places
from .besides import told_besides
from .bonds import broken, leads_on, says_reply, waits_behind_key
from .echo import gives, moves_rook, narrowed, promotes, stands, told_before
from .either import Either
from .hypothesis import Hypothesis, Link, Placement, ahead, by_cost, moved, of_man, told_beside, topic_of
from .looks_back import looked_back
from .meaning import Situation, Taken, is_rest, last_of_rest, signed, speaks_of_rest, taken
from .oracle import Oracle
from .parries import Parries
from .prices import Prices, begins_line, names_both
from .ready import also_set, set_mate

_HANGING = 2  # frames behind a move that cannot be played that may go on from it


class Walk:
    """The walk through one text from one diagram."""

    def __init__(self, diagram: Node, oracle: Oracle) -> None:
        self.diagram, self.oracle = diagram, oracle
        self.places = Places(diagram, oracle)
        self.prices = Prices(oracle)
        self.attacker: chess.Color = diagram.board.turn
        self.repeats = Repeats(oracle, self.attacker)
        self.either = Either(oracle, self.attacker)
        self.parries = Parries(oracle)
        self.promotes = any(key.promotion for key in oracle.keys)
        self._taken: dict[object, list[Taken]] = {}
        self._of_rest = False  # whether the frame at hand speaks of all other moves
        self._trail: list[list[Hypothesis]] = []  # what was kept before each frame, and in the end

    def best(self, frames: Iterable[Frame], key: Node | None = None) -> Hypothesis:
        """Return the cheapest way to take the frames.

        `key` is the position after the key, where the text has told it before these frames.
        """
        self._trail = [[Hypothesis((self.diagram,), key=key, firsts=() if key is None else (key,))]]
        for frame in frames:
            self._trail.append(self._step(frame, self._trail[-1]))
        return self._trail[-1][0]

    def margin(self, frames: Sequence[Frame], forbidden: Frame) -> int:
        """Return how much dearer than the `best` way just found is the cheapest in which `forbidden` is not false.

        Before that frame both are the same. Once all ways that are kept again go on as those that were kept then, each
        dearer by the same, the rest is the same too: else a long text would be walked once for each of its faults.
        """
        start = next((index for index, frame in enumerate(frames) if frame is forbidden), None)
        if start is None:
            return 0  # it stands for words elsewhere ("the same again")
        last_rest = last_of_rest(frames)
        kept = self._step(forbidden, self._trail[start], forbidden=True)
        for index in range(start + 1, len(frames)):
            told = index <= last_rest
            if ahead(kept, told=told) == ahead(self._trail[index], told=told):
                return kept[0].cost - self._trail[index][0].cost
            kept = self._step(frames[index], kept)
        return kept[0].cost - self._trail[-1][0].cost

    def _step(self, frame: Frame, kept: list[Hypothesis], *, forbidden: bool = False) -> list[Hypothesis]:
        """Return the cheapest of what comes of a frame; if it is `forbidden`, what it asserts is not false."""
        found: dict[tuple[object, ...], Hypothesis] = {}
        self._taken.clear()
        self._of_rest = speaks_of_rest(frame)
        cheapest = kept[0].cost + costs.PROSE_PRINTED
        for hypothesis in kept:
            self.oracle.work.take(1)
            for after in self._successors(frame, hypothesis, cheapest + costs.REACH, forbidden):
                future = after.future
                if future not in found or found[future].cost > after.cost:
                    found[future] = after
                cheapest = min(cheapest, after.cost)
        ranked = sorted(found.values(), key=by_cost)[: costs.BEAM]
        return [each for each in ranked if each.cost <= ranked[0].cost + costs.REACH]

    def _successors(self, frame: Frame, at: Hypothesis, most: int, forbidden: bool) -> Iterator[Hypothesis]:
        """Yield what comes of a frame that costs no more than `most` in all."""
        if isinstance(frame, Said):
            yield from self._said(frame, at)
            return
        yield from set_mate(frame, at, self.places.set_play)
        yield from self.parries.of(frame, at)  # first, as it may cost nothing to pass over it
        if forbidden:  # passed over it is not true either
            yield replace(at, cost=at.cost + 2 * costs.REACH, link=Link(frame, None, at.link))
        else:
            yield self._passed_over(frame, at)
        if frame.alone and frame.who is not None and frame.stance is Stance.asserted:
            yield from self._answer_of(frame, frame.who, at)
        if (told := apposed(frame, at)) is not None:
            yield from self._instead(frame, told, at, forbidden=forbidden)
            return
        places = list(self.places.of(frame, at))
        plain = costs.REACH  # what the cheapest place costs in which it can be played and is true
        for place in places:
            if at.cost + place.cost > most:
                continue
            source = at.source if place.nodes == at.frontier else None
            for each in self._takings(frame, at.situation(place.nodes)):
                if at.cost + place.cost + each.cost > most:
                    continue
                if place.within and not all(
                    end in place.within for way in each.ways for _, ends in way for end in ends
                ):
                    continue
                placed = self._placed(frame, place, each, at, source)
                if not each.false:
                    plain = min(plain, placed.cost - at.cost)
                if not (forbidden and placed.link and placed.link.placement and placed.link.placement.false):
                    yield placed
        if not forbidden:
            yield from self._illegal(frame, at, [place for place in places if place.cost + costs.AS_PLAIN < plain])
            yield from self._parted(frame, at, most)

    def _instead(self, frame: Move, told: Placement, at: Hypothesis, *, forbidden: bool) -> Iterator[Hypothesis]:
        """Take a move for the one that vague words told just before."""
        place = Place(told.starts(), costs.CONTINUE)
        for each in self._takings(frame, at.situation(place.nodes)):
            placed = self._placed(frame, place, each, taken_back(told, at, each), told.source)
            if not (forbidden and placed.link and placed.link.placement and placed.link.placement.false):
                yield placed

    def _parted(self, frame: Move, at: Hypothesis, most: int) -> Iterator[Hypothesis]:
        """Take a list of squares as a reply, its answer and what goes on from it: "knight takes c7, g5"."""
        if not frame.parted:
            return
        replies, *answers = frame.parted
        found = self._apart(replace(replies, marks=frame.marks), at, most)
        told = ((each, each.link.placement) for each in found if each.link)
        found = [each for each, move in told if move and move.starts()[0].board.turn != self.attacker]
        for answer in answers:
            found = [after for each in found for after in self._apart(answer, each, most)]
            found = sorted(found, key=by_cost)[: costs.PARTS]
        yield from (after for after in found if after.closed)

    def _apart(self, frame: Move, at: Hypothesis, most: int) -> list[Hypothesis]:
        """Return what comes of a part of the frame at hand."""
        kept, self._taken = self._taken, {}
        found = list(self._successors(frame, at, most, False))
        self._taken = kept
        return found

    def _takings(self, frame: Move, at: Situation) -> list[Taken]:
        """Return the ways to take a frame at some positions, worked out once for all hypotheses."""
        key = (at.nodes, at.kinds, at.loose, at.told if self._of_rest else None)
        found = self._taken.get(key)
        if found is None:
            found = self._taken[key] = list(taken(frame, at, self.oracle, self.attacker))
        return found

    # -- moves -----------------------------------------------------------------------

    def _passed_over(self, frame: Move, at: Hypothesis) -> Hypothesis:
        """Take a frame as words that tell no move, or as words that tell where a man stands."""
        if frame.aside:
            return replace(at, link=Link(frame, None, at.link, known=True))
        denies = frame.stance is Stance.denied and not ((frame.bare and not frame.verb) or frame.printed)
        if denies and not self._playable(frame, at):
            return replace(at, link=Link(frame, None, at.link, known=True))
        if frame.idle and (self.promotes or promotes(at)):
            return replace(at, cost=at.cost + costs.NEW_MAN, link=Link(frame, None, at.link, known=True))
        known = frame.stance is Stance.withdrawn or frame.idle
        known = known or (frame.back and at.last is not None and at.frontier[0].mate)  # it says why it is mate
        if known or ((frame.alone or frame.posed) and stands(frame.who, at)):
            return replace(at, link=Link(frame, None, at.link, known=True))
        if self._describes(frame, at) or moves_rook(frame, at):
            told = told_before(frame, at)
            after = replace(at, cost=at.cost + costs.DESCRIPTION, link=Link(frame, told, at.link, known=True))
            return after if told is None else narrowed(after, told)
        passed = self.prices.passed(frame, replies=says_reply(frame, at, self.oracle))
        if frame.printed and answers_at_once(frame, at, self.diagram, self.oracle.plies):
            passed = costs.PROSE_AT_ONCE
        cost = at.cost + (0 if at.lost and not begins_line(frame) else passed)
        kinds = topic_of(frame.who, at) if frame.who is not None and frame.who.kinds else at.kinds
        listing = at.listing and not frame.printed  # a printed move has stood between
        link = Link(frame, None, at.link)
        return replace(at, cost=cost, link=link, lost=max(0, at.lost - 1), kinds=kinds, listing=listing)

    @staticmethod
    def _playable(frame: Move, at: Hypothesis) -> bool:
        """Tell whether what is denied can be played where the text stands, by either side, and after the key."""
        passes = (node.pass_move() for node in at.frontier)
        here = [*at.frontier, *(node for node in passes if node is not None)]
        known = at.frontier if at.key is None else (*at.frontier, at.key)
        phrases = [phrase for way in frame.ways for phrase in way.choices]
        return all(any(node.meant(phrase) for node in nodes for phrase in phrases) for nodes in (here, known))

    def _describes(self, frame: Move, at: Hypothesis) -> bool:
        """Tell whether words without a verb name men where they stand: "White king c four"."""
        if frame.able and any(phrase.castling for way in frame.ways for phrase in way.choices):
            return any(self.diagram.board.has_castling_rights(colour) for colour in chess.COLORS)
        mates = any(effect is Effect.mate for effect, _ in frame.effects)
        led = bool(frame.effects) and (mates or "then" in frame.marks)  # "then queen d1 is mate"
        if frame.verb or led or frame.number is not None or frame.vague or signed(frame):
            return False
        if not gives(frame, at) or says_reply(frame, at, self.oracle):
            return False  # "but king to b6 is discovered check"
        placed = [[phrase for phrase in way.choices if phrase.destination is not None] for way in frame.ways]
        boards = (self.diagram.board, at.frontier[0].board)
        return any(
            all(
                (man := board.piece_at(phrase.destination or 0)) is not None
                and phrase.piece in (None, man.piece_type)
                and phrase.colour in (None, man.color)
                for phrase in phrases
            )
            for board in boards
            for phrases in placed
            if phrases
        )

    def _illegal(self, frame: Move, at: Hypothesis, places: Sequence[Place]) -> Iterator[Hypothesis]:
        """Take a move told without a doubt as one that cannot be played where the text stands."""
        told = frame.printed and frame.number is not None  # "1...Kh3 is possible"
        able = frame.able and not (told or any(phrase.castling for phrase in frame.ways[0].choices))
        if (
            able
            or frame.cost > costs.HEARD
            or (frame.apart and not says_reply(frame, at, self.oracle))
            or frame.stance is not Stance.asserted
            or (frame.vague and not names_both(frame))
            or frame.bare
            or (frame.uncovered and not frame.printed)
            or self._describes(frame, at)
        ):
            return
        for place in places:
            phrases = frame.ways[0].choices
            turn = place.nodes[0].board.turn
            others = any(each.colour not in (None, turn) for each in phrases)
            if place.cost > costs.LINK_MISFITS or (others and not ("if" in frame.marks and turn != self.attacker)):
                continue
            if frame.back and place.nodes[0].mate:
                continue  # it says why it is mate: "the pawn would take back, but it is pinned"
            if any(node.meant(phrase) for node in place.nodes for way in frame.ways for phrase in way.choices):
                continue
            ways = tuple(tuple((node, ()) for node in place.nodes) for _ in phrases)
            cost = place.cost + costs.ILLEGAL
            placement = Placement(frame, phrases, ways, cost, illegal=True)
            link = Link(frame, placement, at.link)
            yield replace(at, cost=at.cost + cost, link=link, lost=_HANGING, listing=False)

    def _placed(self, frame: Move, place: Place, each: Taken, at: Hypothesis, source: Placement | None) -> Hypothesis:
        cost = place.cost + each.cost
        start, ends = place.nodes[0], each.ends()
        attacks = start.board.turn == self.attacker
        key, firsts, closed = at.key, at.firsts, False
        false = each.false
        elsewhere = attacks and place.nodes != at.frontier and not frame.marks & THREAT
        if elsewhere and (start is not self.diagram or leads_on(at) or waits_behind_key(at)):
            cost += at.waiting
        cost += broken(frame, place, at, self.oracle)
        if place.key is not None:
            key, firsts = place.key, (*firsts, place.key)
        if start is self.diagram:
            cost_first, wrong = self.prices.first(frame, ends)
            cost, false = cost + cost_first, false or wrong
            if frame.printed and not place.beside and self.places.joins_tries(frame, at):
                cost += costs.TRY_LEFT
            firsts = (*firsts, *ends[:1])
            choice = frame.able and len(each.phrases) > 1  # "the rook has two leaps, g4 and b8"
            if ("key" in frame.marks or self.oracle.solves(ends[0])) and not choice:
                key = ends[0] if frame.stance is not Stance.denied else key
        elif attacks:
            cost += 0 if false else self.prices.answer(frame, ends)
            led = frame.bare or frame.number is not None or "because" in frame.marks
            if place.nodes == at.frontier and self._refuted(at) and not led:
                cost += costs.AFTER_REFUTATION
            closed = all(end.mate for end in ends)
        else:
            extra, wrong, closed = self.prices.reply(frame, ends, at)
            cost, false = cost + extra, false or wrong
            closed = closed or frame.verb == "have"
        cost += self.prices.stance(frame, ends, attacks)
        if attacks and start is self.diagram and at.key is None and self.oracle.solves(ends[0]):
            cost -= min(place.cost, costs.KEY_UNTOLD)
        if self.oracle.plies is not None and ends[0].ply > self.oracle.plies:
            waits = start.parent is not None and bool(start.parent.move)  # to a threat nobody replies
            cost += costs.BEYOND if attacks or not waits else costs.BEYOND_REPLY
        rest = all(is_rest(phrase) for phrase in each.phrases)
        placement = Placement(frame, each.phrases, each.ways, cost, false, rest=rest, source=source)
        told = at.told if rest or attacks else at.told.union(ends)
        front = (*at.frontier, *ends) if place.beside else ends
        after = Hypothesis(
            frontier=tuple(dict.fromkeys(front)),
            cost=at.cost + cost,
            link=Link(frame, placement, at.link),
            key=key,
            firsts=firsts,
            closed=closed,
            listing=not attacks or start is self.diagram,
            answers=told_beside(at.answers, placement, attacks and start is not self.diagram),
            threat=self.repeats.threat(placement, at),
            refutations=told_beside(at.refutations, placement, not attacks and start.ply == 1 and bool(start.move)),
            kinds=moved(start, ends, at.kinds),
            told=told,
            waiting=self.prices.unanswered(frame, ends, attacks or closed, at, place),
            pending=self._pending(frame, start, at, place),
            source=placement if rest or (source is not None and len(ends) > 1) else None,
            tries=at.tries and not frame.marks & {"key", "set"},
        )
        after = self.repeats.let_through(frame, after, at)
        return told_besides(frame, after, self.places.set_play, self.oracle)

    def _pending(self, frame: Move, start: Node, at: Hypothesis, place: Place) -> tuple[Node, ...]:
        """Return the replies that wait for an answer which may come after others: "1...h6 (1...Kh6 2.Rh4) 2.Qg6"."""
        if start is self.diagram or place.nodes == at.pending:
            return ()
        front = at.frontier[0]
        waits = front.ply > 1 and front.board.turn == self.attacker and not (at.closed or place.beside)
        turned = start.board.turn != self.attacker and place.nodes != at.frontier
        return at.frontier if waits and turned and frame.number is not None else at.pending

    # -- what is no move ------------------------------------------------------------------

    def _said(self, frame: Said, at: Hypothesis) -> Iterator[Hypothesis]:
        at = looked_back(frame, at, self.diagram, self.oracle)
        link = Link(frame, None, at.link)
        if frame.kind == "again":
            again = self.either.of(frame, at) if "either" in frame.marks else self.repeats.of(frame, at)
            if again is not None:
                yield again
            yield replace(at, cost=at.cost + costs.AGAIN_PROSE, link=link)
        elif frame.kind == "effect":
            yield from self._effect(frame, at, link)
        elif frame.kind == "topic" and frame.who is not None and frame.who.kinds:
            told = replace(at, link=link, kinds=topic_of(frame.who, at))
            yield told
            yield from self._answer_of(frame, frame.who, at)
            if men := of_man(frame.who, at):
                yield replace(told, frontier=men)
        elif frame.kind == "paragraph":
            yield replace(
                at,
                link=link,
                lost=0,
                listing=False,
                waiting=0,
                fresh=True,
                tries=False,
                closed=at.closed or self._refuted(at),
            )
        elif frame.kind == "mark" and "key" in frame.marks and at.frontier[0].ply == 1:
            yield replace(at, link=link, key=at.frontier[0])
        elif frame.kind == "mark" and frame.marks & {"try", "set"}:
            yield also_set(frame, replace(at, link=link, tries="try" in frame.marks), self.places.set_play, self.oracle)
        elif frame.kind == "end":
            yield replace(at, link=link, lost=0, waiting=min(at.waiting, costs.UNANSWERED))
        else:
            yield replace(at, link=link)

    def _answer_of(self, frame: Frame, who: Who, at: Hypothesis) -> Iterator[Hypothesis]:
        """Take a man of the attacker who alone is named for what he was told to do before: "then always the rook"."""
        if who.ours is not False and who.colour in (None, self.attacker) and not at.closed:
            told = self.either.of(frame, at)
            yield from () if told is None else (told,)

    def _refuted(self, at: Hypothesis) -> bool:
        """Tell whether the text stands behind replies that refute a first move, where nothing is left to be told."""
        return at.frontier[0].ply == 2 and all(self.oracle.refutes(node) for node in at.frontier)

    def _effect(self, frame: Said, at: Hypothesis, link: Link) -> Iterator[Hypothesis]:
        """Take "that is mate" as said of the moves told last."""
        effect = frame.effects[0][0]
        moved = at.frontier[0].move is not None and at.frontier[0].ply > 0
        attacked = moved and at.frontier[0].board.turn != self.attacker
        if effect is Effect.mate and moved and not attacked:
            again = self.repeats.of(frame, at)
            if again is not None:
                yield again
            yield replace(at, cost=at.cost + costs.EFFECT_LOST, link=link)
        elif moved and not at.lost:
            lost = frame.stance is Stance.asserted and not all(effect_holds(effect, node) for node in at.frontier)
            yield replace(at, cost=at.cost + costs.EFFECT_LOST * lost, link=link)
        else:
            yield replace(at, link=link)
