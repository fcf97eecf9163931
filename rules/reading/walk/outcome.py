"""What the walk has found as a Reading, which the rules take."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Mapping, Sequence

import chess
from keyproof.grammar.columns import black_columns
from keyproof.grammar.cues import Stance
from keyproof.grammar.frames.build import frames as framed
from keyproof.grammar.frames.tables import joined
from keyproof.grammar.frames.values import Frame, Move, Said
from keyproof.grammar.letters import LANGUAGES
from keyproof.grammar.lexicon.lexemes import Lexeme, lexemes
from keyproof.grammar.lexicon.tongues import told_in
from keyproof.grammar.moves import Effect, MovePhrase
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import Claim, Reason, Statement, Turn
from msgspec.structs import replace

from ...play.node import Node
from ...proof.proof import Proof
from ..placing import place, referred
from ..reading import Mention, PlacedClaim, Reading, Role, State
from ..told import Spoken, may_tell_again
from ..work import RunsAway, Work
from . import costs
from .attach import FAIL, KEY, REFUTE, TRY, tried
from .hypothesis import Hypothesis, Placement
from .meaning import is_rest
from .oracle import Oracle
from .walk import Walk

_OF_FLIGHTS = frozenset(("flights", "flight_given", "flight_taken"))
_BEFORE = 12  # statements before a reason in which the man it speaks of may be named

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
    return [frame for frame in _of_blocks(text, blocks, flowing=flowing) if not _names_a_flight(frame, reasons)]


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
    outcome = _Outcome(text, Walk(diagram, Oracle(proof, plies, Work(len(given)))))
    try:
        return outcome.reading(given, statements)
    except RunsAway:
        return Reading(diagram, diagram.pass_move(), passed=tuple(prose), ran_away=True)


def _names_a_flight(frame: Frame, reasons: Iterable[Span]) -> bool:
    """Tell whether a man and a square without a verb are part of a reason: "gives the king a second flight on a4"."""
    if not isinstance(frame, Move) or frame.verb or frame.printed or frame.number is not None:
        return False
    return any(told.start <= frame.span.start and frame.span.end <= told.end for told in reasons)


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
    keys = sorted(walk.oracle.keys, key=str)
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
    def __init__(self, text: str, walk: Walk) -> None:
        self.text = text
        self.walk, self.oracle, self.diagram = walk, walk.oracle, walk.diagram
        self.last_words: frozenset[Frame] = frozenset()

    def reading(self, given: list[Frame], statements: Sequence[Statement]) -> Reading:
        best = self.walk.best(given)
        self.last_words = frozenset(_last_words(best))
        found = Reading(self.diagram, self.diagram.pass_move())
        found.mentions = list(self._mentions(best.placements()))
        found.open = tuple(self._open(given, best))
        found.passed = tuple(
            link.frame.span
            for link in best.links()
            if isinstance(link.frame, Move) and not (link.placement or link.known or _denies_vaguely(link.frame))
        )
        found.settle()
        self._claims(found, best, statements)
        return found

    # -- moves -------------------------------------------------------------------

    def _mentions(self, placements: Sequence[Placement]) -> Iterator[Mention]:
        told = {end for each in placements if not (each.rest or each.echo) for end in each.ends()}
        left: dict[int, list[Node]] = {}  # what words for the rest stand for in the end, by placement
        for placement in (self._with_words(each) for each in placements):
            for phrase, ways in zip(placement.phrases, placement.ways, strict=True):
                yield self._mention(placement, phrase, _less_told(placement, phrase, ways, told, left))

    def _with_words(self, placement: Placement) -> Placement:
        """Return a placement whose phrases hold the words that stand at their place, where they repeat others."""
        if not placement.repeats:
            return placement
        phrases = tuple(replace(phrase, text=phrase.span.of(self.text)) for phrase in placement.phrases)
        return replace(placement, phrases=phrases)

    def _mention(self, placement: Placement, phrase: MovePhrase, ways: Ways) -> Mention:
        frame = placement.frame
        turn = Turn(frame.span, frame.number, placement.phrases, frame.effects)
        state = State.impossible if placement.illegal else State.read
        effects = (*phrase.effects, *frame.effects)
        if placement.starts()[0].board.turn != self.diagram.board.turn:  # it tells how the line ends
            effects = tuple(each for each in effects if each[0] is not Effect.mate)
        reason = frame.marks & {"because"}
        found = Mention(
            phrase, turn, self._role(placement), state, [(at, list(ends)) for at, ends in ways], reason, effects
        )
        found.marked = bool(frame.marks & (KEY | TRY)) or bool(phrase.annotation)
        return found

    def _role(self, placement: Placement) -> Role:
        start, frame = placement.starts()[0], placement.frame
        if start is self.diagram:
            ends = placement.ends()
            sign = placement.phrases[0].annotation
            if frame.marks & TRY or sign.startswith("?"):
                return Role.try_
            if frame.marks & KEY or sign.startswith("!") or (ends and self.oracle.solves(ends[0])):
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
            return True
        if start.ply != 1 or frame.stance is not Stance.asserted or self.oracle.solves(start) is not False:
            return False
        sign = placement.phrases[0].annotation
        if frame.marks & FAIL and "because" in frame.marks:
            return True  # "fails, because the king escapes to c2"
        return "was futile" in frame.marks or sign.startswith("!") or (not sign and frame in self.last_words)

    # -- what may be held against the author -----------------------------------------

    def _open(self, given: Sequence[Frame], best: Hypothesis) -> Iterator[Span]:
        """Yield the stretches of which nothing can be called false: not asserted, half understood, or doubtful."""
        for placement in best.placements():
            frame = placement.frame
            loose = frame.uncovered and not frame.printed
            if (
                frame.stance is not Stance.asserted  # a move denied that can be played may only be a bad one
                or loose
                or ((placement.false or placement.illegal) and self._margin(given, placement) < costs.MARGIN)
            ):
                yield frame.span

    def _margin(self, given: Sequence[Frame], placement: Placement) -> int:
        """Return how much dearer the cheapest walk is in which the frame of a placement is true."""
        try:
            return self.walk.margin(given, placement.frame)
        except RunsAway:
            return 0  # it was not found out, so nothing is called false

    # -- claims and reasons --------------------------------------------------------------

    def _claims(self, found: Reading, best: Hypothesis, statements: Sequence[Statement]) -> None:
        spoken, reasons = Spoken(), []
        for index, statement in enumerate(statements):
            if isinstance(statement, Turn):
                spoken.refer(statement)
            elif isinstance(statement, Reason):
                before = statements[max(0, index - _BEFORE) : index]
                reasons.append((referred(statement, spoken, before), self._path(found, best, statement.span)))
            elif isinstance(statement, Claim):
                nodes = self._nodes(statement, self._path(found, best, statement.span))
                if nodes:
                    found.claims.append(PlacedClaim(statement, tuple(nodes)))
        found.reasons = place(reasons, statements, found)

    def _path(self, found: Reading, best: Hypothesis, span: Span) -> list[list[Node]]:
        """Return the line of play that the text has told before a place of it."""
        before = bisect_left(found.mentions, span.start, key=lambda each: each.phrase.span.start)  # in text order
        for mention in reversed(found.mentions[:before]):  # words for the rest may stand for no move
            if ends := mention.after or mention.at:
                return [*([node] for node in ends[0].path[:-1]), ends]
        return [[self.diagram], [best.key]] if best.key is not None else [[self.diagram]]

    def _nodes(self, claim: Claim, path: list[list[Node]]) -> list[Node]:
        if claim.kind in ("count", "stipulation", "side_to_move", "only_move"):
            return []
        if claim.kind in ("zugzwang", "no_threat"):
            attacker = self.diagram.board.turn
            return next(
                (
                    frontier
                    for frontier in reversed(path[1:])
                    if frontier[0].board.turn != attacker and frontier[0].move and not frontier[0].over
                ),
                [],
            )
        if claim.kind == "complete":
            return path[1] if len(path) > 1 else []
        return path[-1]


def _last_words(best: Hypothesis) -> Iterator[Frame]:
    """Yield the printed replies with which a sentence on a try ends, nothing told behind them ("1.Qa2? Kd5.")."""
    starts = {node for each in best.placements() for node in each.starts()}
    before: Placement | None = None
    last: Placement | None = None
    for link in (*best.links(), None):
        if link is None or (isinstance(link.frame, Said) and link.frame.kind in ("end", "paragraph")):
            if last is not None:
                yield last.frame
            before = last = None
        elif isinstance(link.frame, Move):
            told, last = link.placement, None
            if told is not None and before is not None and told.frame.printed and tried(before):
                ends = set(told.ends())
                last = told if set(told.starts()) <= set(before.ends()) and not ends & starts else None
            before = told


def _denies_vaguely(frame: Move) -> bool:
    """Tell whether it is said that men have no move, capture or castling, without a square: "he can't take her"."""
    nowhere = frame.vague or all(way.choices[0].destination is None for way in frame.ways)
    return nowhere and frame.stance is Stance.denied


def _less_told(
    placement: Placement, phrase: MovePhrase, ways: Ways, told: set[Node], left: dict[int, list[Node]]
) -> Ways:
    """Return the ways of words for a set of moves less those told one by one, and of an answer to such words."""
    if placement.rest and is_rest(phrase):
        kept = [(start, [end for end in ends if end not in told]) for start, ends in ways]
        if may_tell_again(phrase) and not any(ends for _, ends in kept):
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
