"""What the walk has found as a Reading, which the rules take."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import chain

import chess
from keyproof.grammar.columns import black_columns
from keyproof.grammar.cues import Stance
from keyproof.grammar.frames.build import frames as framed
from keyproof.grammar.frames.hints import with_hints
from keyproof.grammar.frames.tables import joined
from keyproof.grammar.frames.values import Frame, Move, Said
from keyproof.grammar.letters import LANGUAGES
from keyproof.grammar.lexicon.lexemes import Lexeme, lexemes
from keyproof.grammar.lexicon.tongues import told_in
from keyproof.grammar.moves import Effect, MovePhrase, Sort
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import Claim, NotUnderstood, Reason, Statement, Turn
from msgspec.structs import replace

from ...play.node import Node
from ...proof.proof import Proof
from ..reading import Mention, Reading, Role, State
from ..told import may_tell_again
from ..work import RunsAway, Work
from . import costs
from .attach import FAIL, KEY, REFUTE, THREAT, TRY
from .beaten import said_to_be_beaten, told_with_next
from .claims import Claims
from .escapes import given_up
from .hypothesis import Hypothesis, Placement
from .last_words import last_words
from .mates_later import mates_later
from .meaning import is_rest
from .oracle import Oracle
from .passed import hanging, initials, only_named, passed_over
from .sure import borne_out, called_key, exclaimed, is_loose, only_first
from .walk import Walk

_OF_FLIGHTS = frozenset(("flights", "flight_given", "flight_taken"))

_NEAR = 2  # signs between a number and its move

Ways = Sequence[tuple[Node, Sequence[Node]]]


def frames_told(
    text: str,
    prose: Iterable[Span],
    statements: Sequence[Statement],
    letters: Mapping[str, chess.PieceType] = LANGUAGES["en"],
    *,
    flowing: bool = False,
) -> list[Frame]:
    """Return what the prose of a puzzle tells, to be walked through; `statements` as for `read_walk`."""
    moves = [choice for statement in statements if isinstance(statement, Turn) for choice in statement.choices]
    old = any(move.descriptive for move in moves)
    prose = list(prose)
    tongue, letters = told_in(text, prose, letters)
    in_black = black_columns(text, prose)
    blocks = [lexemes(text, span, tongue, letters, descriptive=old, in_black=in_black) for span in prose]
    reasons = [each.told for each in statements if isinstance(each, Reason) and each.kind in _OF_FLIGHTS]
    found = with_hints(_of_blocks(text, blocks, flowing=flowing), text, prose, chain.from_iterable(blocks), tongue)
    told = [frame for frame in found if not _names_a_flight(frame, reasons)]
    covered = [each.span for each in statements if isinstance(each, Claim) and each.kind == "complete"]
    return [frame for index, frame in enumerate(told) if not (covered and _claims_all(told, index, covered))]


def read_walk(
    text: str,
    prose: Iterable[Span],
    statements: Sequence[Statement],
    diagram: Node,
    proof: Proof | None,
    plies: int | None,
    letters: Mapping[str, chess.PieceType] = LANGUAGES["en"],
    *,
    flowing: bool = False,
    frames: list[Frame] | None = None,
) -> Reading:
    """Read the prose of a puzzle as the cheapest walk from its `diagram`.

    `statements` are what the grammar of phrases found there: claims and reasons, which are put where the walk stands.
    `frames` are those of `frames_told`, where they are known.
    """
    prose = list(prose)
    given = frames_told(text, prose, statements, letters, flowing=flowing) if frames is None else frames
    english = told_in(text, prose, letters)[0] == "english"
    outcome = _Outcome(text, Walk(diagram, Oracle(proof, plies, Work(len(given)))), english=english)
    try:
        return outcome.reading(given, statements)
    except RunsAway:
        return Reading(diagram, diagram.pass_move(), passed=tuple(prose), ran_away=True)


def _names_a_flight(frame: Frame, reasons: Iterable[Span]) -> bool:
    """Tell whether a man and a square without a verb are part of a reason: "gives the king a second flight on a4"."""
    if not isinstance(frame, Move) or frame.verb or frame.printed or frame.number is not None:
        return False
    return any(told.start <= frame.span.start and frame.span.end <= told.end for told in reasons)


def _claims_all(told: Sequence[Frame], index: int, covered: Iterable[Span]) -> bool:
    """Tell whether words for all replies only claim that all are told, no answer behind them: "whatever he plays"."""
    frame = told[index]
    if not isinstance(frame, Move) or not frame.vague or not any(map(frame.span.overlaps, covered)):
        return False
    behind = next((each for each in told[index + 1 :] if isinstance(each, Move) or each.kind == "end"), None)
    return not isinstance(behind, Move)


def frames_of(
    text: str, prose: Iterable[Span], letters: Mapping[str, chess.PieceType] = LANGUAGES["en"], *, flowing: bool = False
) -> list[Frame]:
    """Return what prose tells by itself, wherever it may be played."""
    return list(_of_blocks(text, [lexemes(text, span, letters=letters) for span in prose], flowing=flowing))


def price(given: Sequence[Frame], board: chess.Board, proof: Proof | None, plies: int | None) -> tuple[int, int]:
    """Return what it costs to take frames as play from `board`, the key being known, and how many moves they tell."""
    diagram = Node(board)
    moves = sum(isinstance(frame, Move) and not frame.idle for frame in given)
    walk = Walk(diagram, Oracle(proof, plies, Work(len(given))))
    keys = walk.oracle.keys
    try:
        return walk.best(given, key=diagram.play(keys[0]) if len(keys) == 1 else None).cost, moves
    except RunsAway:
        return costs.ILLEGAL * moves, moves


def _of_blocks(text: str, blocks: Iterable[list[Lexeme]], *, flowing: bool) -> Iterator[Frame]:
    """Yield the frames of blocks of text, each a paragraph unless lines end anywhere."""
    for block in joined(blocks):
        yield from framed(text, block, flowing=flowing)
        if block and not flowing:
            yield Said("paragraph", Span(block[-1].span.end, block[-1].span.end))


class _Outcome:
    def __init__(self, text: str, walk: Walk, *, english: bool) -> None:
        self.text = text
        self.walk, self.oracle, self.diagram = walk, walk.oracle, walk.diagram
        self.last_words: frozenset[Frame] = frozenset()
        self.denied: dict[Span, Span] = {}
        self.turns: dict[Span, Turn] = {}
        self.english = english
        self.called: frozenset[Node] = frozenset()
        self.exclaimed: frozenset[Node] = frozenset()
        self.beaten: frozenset[Node] = frozenset()
        self.together: frozenset[Placement] = frozenset()
        self.given_up: frozenset[Frame] = frozenset()
        self.mates: dict[Frame, tuple[Effect, Span]] = {}
        self.initials: list[Placement] = []
        self.only_first: Placement | None = None

    def reading(self, given: list[Frame], statements: Sequence[Statement]) -> Reading:
        best = self.walk.best(given)
        links, told = best.links(), best.placements()
        self.denied = dict(_said_to_be_impossible(statements))
        if self.english:
            self.turns = {choice.span: each for each in statements if isinstance(each, Turn) for choice in each.choices}
        self.last_words = frozenset(last_words(best))
        self.exclaimed = frozenset(exclaimed(links, self.text, self.oracle))
        self.called = self.exclaimed.union(called_key(links, self.oracle))
        self.only_first = only_first(told)
        self.beaten = frozenset(said_to_be_beaten(links))
        self.together = frozenset(told_with_next(links))
        self.given_up = frozenset(given_up(told, self.oracle))
        self.mates = mates_later(links, self.oracle.plies)
        self.initials = list(initials(links))
        found = Reading(self.diagram, self.diagram.pass_move())
        unplayed = list(hanging(links))
        played = [each for each in told if not each.supposed]
        found.mentions = [*self._mentions(played), *map(_not_examined, unplayed)]
        found.parries = [*self._mentions([each for each in told if each.supposed])]
        found.open = tuple(self._open(given, best))
        sure = list(borne_out(told, self.oracle, self.walk.attacker))
        found.borne_out = tuple(each.span for each in sure)
        found.raised = tuple(each.span for each in sure if not is_loose(each))
        known = {each.span for each in unplayed}
        found.passed = tuple(span for span in passed_over(links) if span not in known)
        unread = [phrase for each in self.initials for phrase in each.phrases]
        found.not_understood = [NotUnderstood(phrase.span, phrase.text) for phrase in unread]
        found.named = tuple(only_named(links))
        found.settle()
        self._settle_refutations(found)
        Claims(self.text, found, best).place(statements)
        return found

    # -- moves -------------------------------------------------------------------

    def _mentions(self, placements: Sequence[Placement]) -> Iterator[Mention]:
        told = {end for each in placements if not (each.rest or each.echo) for end in each.ends()}
        of_men: set[Node] = set()  # what words for all other moves of a man have stood for so far
        answered = {id(each.source) for each in placements}
        followed = {start for each in placements if each.source is None for start in each.starts()}
        left: dict[int, list[Node]] = {}  # what words for the rest stand for in the end, by placement
        for original in placements:
            if original in self.initials:
                continue
            placement = self._with_words(original)
            turn = _turn(placement.frame, placement.phrases)
            known = told | of_men if _of_all(placement) else told
            if placement.rest and known.issuperset(placement.ends()):
                known = known & followed  # "a knight, a rook, whatever, rook h3": the answer is to those told before
            for phrase, ways in zip(placement.phrases, placement.ways, strict=True):
                again = _of_all(placement) and id(original) not in answered  # "every move hurts him"
                kept = _less_told(placement, phrase, ways, known, left, again=again)
                yield self._mention(placement, turn, phrase, kept)
            if placement.rest and not _of_all(placement):
                of_men.update(placement.ends())

    def _with_words(self, placement: Placement) -> Placement:
        """Return a placement whose phrases hold the words that stand at their place, where they repeat others."""
        if not placement.repeats:
            return placement
        phrases = tuple(replace(phrase, text=phrase.span.of(self.text)) for phrase in placement.phrases)
        return replace(placement, phrases=phrases)

    def _mention(self, placement: Placement, turn: Turn, phrase: MovePhrase, ways: Ways) -> Mention:
        frame = placement.frame
        state = State.impossible if placement.illegal else State.read
        effects = (*phrase.effects, *frame.effects)
        if later := self.mates.get(frame):
            effects = (*effects, later)
        if frame in self.given_up:
            effects = (*effects, (Effect.not_mate, frame.span))
        if placement.starts()[0].board.turn != self.diagram.board.turn:  # it tells how the line ends
            effects = tuple(each for each in effects if each[0] is not Effect.mate)
        if frame.printed and (said := self.turns.get(phrase.span)) is not None:
            effects = (
                *phrase.effects,
                *said.effects,
            )  # it knows "only check", "prepares mate"
        if self._no_longer_mates(placement):
            effects = (*effects, (Effect.not_mate, frame.span))
        intro = frame.marks & ({"because"} | THREAT)
        found = Mention(
            phrase, turn, self._role(placement), state, [(at, list(ends)) for at, ends in ways], intro, effects
        )
        beaten = not self.beaten.isdisjoint(placement.ends())
        marked = bool(frame.marks & (KEY | TRY | {"answer"})) or beaten or bool(phrase.annotation)
        found.marked = marked or not self.called.isdisjoint(placement.ends())
        found.misnumbered = not placement.repeats and self.walk.places.misfits(frame, placement.starts()[0])
        return found

    def _no_longer_mates(self, placement: Placement) -> bool:
        """Tell whether an answer at the last move is told to fail, and does: "1...Bc1, and now 2.Nb3 no longer works".

        Where it does not, the words may speak of another defence.
        """
        start = placement.starts()[0]
        last = self.oracle.plies is not None and start.ply + 1 == self.oracle.plies
        answers = last and start.board.turn == self.walk.attacker and start.ply > 0
        frame = placement.frame
        told = bool(frame.marks & FAIL) and frame.stance is Stance.asserted and not frame.effects
        return answers and told and not any(end.mate for end in placement.ends())

    def _role(self, placement: Placement) -> Role:
        start, frame = placement.starts()[0], placement.frame
        if start is self.diagram:
            ends = placement.ends()
            sign = placement.phrases[0].annotation
            asks = frame.stance is Stance.asked and not frame.marks & FAIL and ends and self.oracle.solves(ends[0])
            tried = frame.marks & TRY and not asks and set(sign) != {"!"}  # "so, naturally, you move her: 1.Qc3!!"
            if tried or sign.startswith("?") or not self.beaten.isdisjoint(ends):
                return Role.try_
            called = frame.marks & (KEY | {"answer"}) or sign.startswith("!") or placement is self.only_first
            called = called or not self.exclaimed.isdisjoint(ends)
            meant = ends if frame.able else ends[:1]  # "the rook has two leaps, g4 and b8" calls neither the key
            if called or (meant and all(map(self.oracle.solves, meant))):
                return Role.key
            return Role.try_
        attacks = start.board.turn == self.diagram.board.turn
        if start.move is not None and not start.move:
            return Role.threat if attacks else Role.set_play
        if attacks:
            return Role.answer
        return Role.refutation if self._refutes(placement, start) else Role.defence

    def _refutes(self, placement: Placement, start: Node) -> bool:
        """Tell whether a reply is said to refute a first move: by a word, its sign, or as nothing is left."""
        frame = placement.frame
        if frame.marks & REFUTE:
            return start.ply == 1 and bool(start.move)  # what is deeper refutes no first move
        if start.ply != 1 or frame.stance is not Stance.asserted or self.oracle.solves(start) is not False:
            return False
        sign = placement.phrases[0].annotation
        if frame.marks & FAIL and ("because" in frame.marks or not frame.printed):
            return True  # "fails, because the king escapes to c2", "fails only to king c2"
        if "was futile" in frame.marks or placement in self.together or sign.startswith("!"):
            return True
        return not sign and frame in self.last_words

    def _settle_refutations(self, found: Reading) -> None:
        """Take the replies to a try that are left without an answer for what refutes it, if nothing else does.

        Where another reply is said to refute it, they are only told beside that.
        """
        for first in found.first_moves(Role.try_):
            replies = found.printed_after(first)
            own = [reply for reply in replies if reply.role is Role.defence and reply.at == [first]]
            left = [each for each in own if each.phrase.exact and not any(map(found.printed_after, each.after))]
            ends = {end for reply in left for end in reply.after}
            said = any(reply.role is Role.refutation for reply in replies)
            if not said and self.oracle.refuted_by(first, ends):
                for reply in left:
                    reply.role = Role.refutation

    # -- what may be held against the author -----------------------------------------

    def _open(self, given: Sequence[Frame], best: Hypothesis) -> Iterator[Span]:
        """Yield the stretches of which nothing can be called false: not asserted, half understood, or doubtful."""
        for placement in best.placements():
            frame = placement.frame
            if any(phrase.span in self.denied for phrase in placement.phrases):
                continue
            loose = frame.uncovered and not frame.printed
            if (
                frame.stance is not Stance.asserted  # a move denied that can be played may only be a bad one
                or loose
                or ((placement.false or placement.illegal) and self._margin(given, placement) < _least(placement))
            ):
                yield frame.span

    def _margin(self, given: Sequence[Frame], placement: Placement) -> int:
        """Return how much dearer the cheapest walk is in which the frame of a placement is true."""
        try:
            return self.walk.margin(given, placement.frame)
        except RunsAway:
            return 0  # it was not found out, so nothing is called false


def _not_examined(frame: Move) -> Mention:
    """Return a move that was told where nothing can be played, since the move before it cannot."""
    phrase = frame.ways[0].choices[0]
    turn = _turn(frame, frame.ways[0].choices)
    effects = (*phrase.effects, *frame.effects)
    return Mention(phrase, turn, Role.answer, State.not_examined, [], frame.marks & {"because"}, effects)


def _turn(frame: Move, phrases: tuple[MovePhrase, ...]) -> Turn:
    """Return what is told of a half-move, its printed number included."""
    number = frame.number
    near = number is not None and 0 <= frame.span.start - number.span.end <= _NEAR
    span = number.span.to(frame.span) if number is not None and near else frame.span
    return Turn(span, number, phrases, frame.effects)


def _least(placement: Placement) -> int:
    """Return by how much a walk in which a placement is true must be dearer for it to be called false."""
    refutes = placement.false and placement.starts()[0].ply == 1 and bool(placement.starts()[0].move)
    return costs.MARGIN_REFUTES if refutes else costs.MARGIN


def _said_to_be_impossible(statements: Iterable[Statement]) -> Iterator[tuple[Span, Span]]:
    """Yield the printed moves of which it is said that they cannot be played, with the words that say it."""
    for each in statements:
        if isinstance(each, Turn):
            said = [span for effect, span in each.effects if effect is Effect.denied]
            yield from ((choice.span, said[0]) for choice in each.choices if said and not choice.worded)


def _of_all(placement: Placement) -> bool:
    return any(phrase.sort is Sort.any_other for phrase in placement.phrases)


def _less_told(
    placement: Placement,
    phrase: MovePhrase,
    ways: Ways,
    told: set[Node],
    left: dict[int, list[Node]],
    *,
    again: bool = False,
) -> Ways:
    """Return the ways of words for a set of moves less those told one by one, and of an answer to such words.

    Where nothing is left they may tell `again` what was told, which some words do anyway.
    """
    if placement.rest and is_rest(phrase):
        kept = [(start, [end for end in ends if end not in told]) for start, ends in ways]
        if (again or may_tell_again(phrase)) and not any(ends for _, ends in kept):
            return ways
        left.setdefault(id(placement), []).extend(end for _, ends in kept for end in ends)
        return kept
    if placement.source is not None and id(placement.source) in left:
        known, all_of_them = dict(ways), placement.source.ends()
        others = [(start, ends) for start, ends in ways if start not in all_of_them]  # told one by one beside them
        return others + [
            (start, known.get(start) or [start.play(move) for move in start.meant(phrase)])
            for start in left[id(placement.source)]
        ]
    return ways
