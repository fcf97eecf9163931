"""Where each printed move stands: the statements of a text, replayed.

The author's text is a walk through the tree of play. A *unit* is a run of half-moves
that belong together ("1...Kd5 2.Qb6#", "if the bishop takes d6 then 2.Sf5 is mate").
Each unit is tried at every open point in turn (where the last unit ended, the points
before it, the key, the tries, the set play, the diagram) and is read at the first one
where all of it is true; only a unit that is true nowhere is read where it is least
wrong, so that a finding is never a matter of how the text was taken.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

import chess
from keyproof.grammar.moves import Effect, MovePhrase, Sort
from keyproof.grammar.statements import (
    Aside,
    Break,
    Claim,
    Marker,
    NotUnderstood,
    Outcome,
    Reason,
    Statement,
    Topic,
    Turn,
)
from msgspec.structs import replace

from ..play.node import Node
from . import signals
from .gathering import Gathering
from .placing import place
from .reading import PlacedClaim, Reading, Role, effect_holds
from .referents import referred
from .settling import settle_first_moves, settle_refutations
from .units import names_a_man, next_turn_after
from .work import RunsAway, Work

_IT_IS = re.compile(r"(?:(?:and|but|so)\s+)?(?:it|this|that)(?:['’]s|\s+is)?", re.I)


class _Reader(Gathering):
    """The walk through the statements of a text."""

    def read(self, given: list[Statement]) -> Reading:
        for index, statement in enumerate(given):
            if self.faultless and (self.lost is not None or self.reading.not_understood):
                return self.reading
            self.following = given[index + 1] if index + 1 < len(given) else None
            self.next_turn = next_turn_after(given, index + 1)
            match statement:
                case Turn():
                    self._half_move(statement, given[index + 1 :])
                case Outcome():
                    self._outcome(statement)
                case Topic() if (proposed := self._proposed(statement)) is not None:
                    self._turn(self.spoken.refer(proposed))
                    self.gap = []
                case Reason():
                    told = referred(statement, self.spoken, given[max(0, index - 12) : index])
                    self.reasons.append((told, self.path))
                    self._between(statement)
                case _:
                    self._between(statement)
        self._finish()
        self.reading.reasons = place(self.reasons, given, self.reading)
        return self.reading

    def _half_move(self, turn: Turn, behind: list[Statement]) -> None:
        if not self.turns and signals.stands_first(turn, behind):
            self._not_understood(NotUnderstood(turn.span, turn.choices[0].text))
            self.lost = None
        elif not signals.is_denied(turn, self.turns, self.gap):
            self._turn(self.spoken.refer(turn))
        self.gap = []

    def _between(self, statement: Statement) -> None:
        """Take in what stands between half-moves."""
        if isinstance(statement, Topic):
            self.spoken.note(statement, self.reading.diagram.board)
        if isinstance(statement, Topic | Reason):
            statement = Aside(statement.span, statement.text)
        self.gap.append(statement)
        match statement:
            case Marker():
                self._marker(statement)
            case Claim():
                self._claim(statement)
            case Break():
                self._break(statement)
            case NotUnderstood():
                self._not_understood(statement)
            case Aside():
                self._aside(statement)

    def _finish(self) -> None:
        """Place what was left until the whole text is known, and settle what only the whole text says."""
        self._flush()
        self._take_held()
        settle_first_moves(self.reading)
        for unit in self.late:
            unit.path = self._home()
            self._place(unit)
        for unit in sorted(self.rest, key=lambda unit: unit.has(Sort.any_other)):
            if not unit.path[1:]:
                unit.path = self._home()
            self._place(unit)
        settle_first_moves(self.reading)
        settle_refutations(self.reading)
        self.reading.settle()

    def _proposed(self, man: Topic) -> Turn | None:
        """Read "let's try the queen on d5" and "the queen on d5?" as a first move, where no such man stands there."""
        before = self.gap[-1] if self.gap else None
        asked = isinstance(self.following, Break) and self.following.kind == "question"
        tried = isinstance(before, Marker) and before.kind in ("key", "try")
        if not (asked or tried or (isinstance(before, Aside) and before.text.lower().endswith("about"))):
            return None
        phrase = MovePhrase(man.span, man.text, piece=man.piece, destination=man.square, worded=True)
        nodes = [node for frontier in self.path for node in frontier]
        if man.piece is None or man.square is None or any(names_a_man(node, phrase) for node in nodes):
            return None
        legal = self.reading.diagram.meant(phrase)
        return Turn(man.span, None, (phrase,)) if legal else None

    def _outcome(self, outcome: Outcome) -> None:
        """Add what is said of the last move ("That is mate.") to it."""
        if self.turns:
            last = self.turns[-1]
            if last.choices and not (last.choices[-1].exact or last.choices[-1].capture):
                return  # "whenever the pawn moves it is discovered check"
            self.turns[-1] = replace(last, effects=last.effects + outcome.effects)
        elif made := [mention for mention in self.reading.mentions[-6:] if not mention.says(Effect.denied)]:
            mention = made[-1]
            said = self.replay.of_side(outcome.effects, mention.at)
            if mention in self.sentence or all(effect_holds(e, node) for e, _ in said for node in mention.after):
                mention.effects += said  # what another sentence says may be of another move

    def _not_understood(self, text: NotUnderstood) -> None:
        self._flush()
        self.reading.not_understood.append(text)
        number = re.match(r"(\d+)\s?(\.\.|…|\.)", text.text)
        if number is not None:
            self.lost = 2 * int(number[1]) - (number[2] == ".") - self.reading.diagram.shift
            self.lost_here = True
            if len(self.path) > 1:
                self.reading.others.extend(self.path[1])  # it may be the reply that seems left out

    def _aside(self, aside: Aside) -> None:
        """End the sentence where words begin anew after a sign: "1.Qh8? Kd5! Three more moves fail"."""
        last = self.turns[-1] if self.turns else None
        if signals.of_a_rank(aside, self.following):  # after which replies is not understood
            self._flush()
            self.lost, self.lost_here = signals.FAR, True
        if last is not None and last.choices and last.choices[-1].annotation and aside.text[:1].isupper():
            self._break(Break("stop", aside.span))

    def _marker(self, marker: Marker) -> None:
        if marker.kind == "threat" and self._rest_is_open():
            return  # "anything else lets the threat through: 2.Qd5#"
        if marker.kind == "if" and self._may_follow_its_answer():
            self._take_held()
            self.held, self.turns = self._unit(), []
        if marker.kind == "if" and self._adds_to_its_list():
            self.more = True
            return
        told = marker.kind in ("refuted_by", "refuted_only_by")
        if told and signals.fails_at_once(self.turns, self.reading.diagram):
            self._try()
        self._flush()
        if marker.kind in ("key", "try", "if", "set_play"):
            self.lost_here = False  # a new line of play begins, even in speech without full stops
        if marker.kind in ("key", "try", "set_play"):
            self.mode, self.mode_used = marker.kind, False
            if marker.kind == "set_play" and self.reading.set_play is not None:
                self.path = [[self.reading.diagram], [self.reading.set_play]]
        elif marker.kind == "was_key":
            self._was_key()
        elif marker.kind in ("was_try", "refutes"):
            self._was_told(marker)
        elif marker.kind in ("variations", "in_diagram"):
            self.mode = None
            self.path = self._home() if marker.kind == "variations" else [[self.reading.diagram]]
        else:
            self.intro.add(marker.kind)

    def _was_told(self, marker: Marker) -> None:
        """Take in what is said of a move after it: "Rook to h6 is a try, and king to g8 refutes it"."""
        if not self.reading.mentions:
            return
        last = self.reading.mentions[-1]
        if marker.kind == "was_try" and last.role in (Role.first, Role.try_):
            last.role, last.marked = Role.try_, True
        elif marker.kind == "refutes" and last.role is Role.defence:
            last.intro |= {"refuted_by"}

    def _was_key(self) -> None:
        """Call the first move told last the key: "Queen to f four. That is the key."."""
        first = next((m for m in reversed(self.reading.mentions) if m.at and m.at[0] is self.reading.diagram), None)
        if first is not None and first.role in (Role.first, Role.key):
            first.role, first.marked = Role.key, True
            self.path = [[self.reading.diagram], first.after[:1]] if len(self.path) < 3 and first.after else self.path

    def _break(self, mark: Break) -> None:
        if mark.kind == "comma":
            return
        if mark.kind == "open":
            following = self.following
            if isinstance(following, Marker) and following.kind == "if" and self._may_follow_its_answer():
                return  # "2.Bg5# (after 1...Ke7)"
            self._flush()
            self.brackets.append(self.path)
            return
        if mark.kind == "close":
            self._flush()
            if self.brackets:
                before = self.brackets.pop()
                self.bracketed = self.path[-1] if self.path is not before else []
                self.path = before
            return
        if not (self._rest_is_open() and self._answer_follows(mark)) and not signals.pairs(
            mark, self.turns, self.following
        ):
            self._flush()
        if mark.kind == "question":
            self._question()
        if mark.kind in ("stop", "question", "block"):
            self.intro.clear()
            self.only_next = None
            self.sentence = []
        if mark.kind != "line":
            self.lost_here = False
        if mark.kind == "block":
            self.anew = True
            self._take_held()
            self.brackets.clear()
            if self.mode_used:
                self.mode = None

    def _question(self) -> None:
        """Take back what the sentence seems to claim: "Does 1.Qg7 work?", "Is 2.Qb6 mate?"."""
        for mention in self.sentence:
            mention.asked, mention.effects = True, ()
            if mention.role is Role.key and mention.phrase.worded:
                mention.role, mention.marked = Role.first, False  # "The solution. What about queen to a1?"
                self.mode, self.mode_used = "key", False
        if self.sentence:
            start = self.sentence[0].phrase.span.start
            self.reading.claims = [placed for placed in self.reading.claims if placed.claim.span.start < start]

    def _claim(self, claim: Claim) -> None:
        if claim.kind in ("count", "stipulation", "side_to_move"):
            return
        self._flush()
        nodes: list[Node] = []
        if claim.kind == "only_move":
            if claim.text.lower().rstrip().endswith(("is", ":", ",")):
                self.only_next = claim
            elif self.sentence or (self._points_back() and self.reading.mentions):
                made = self.sentence or self.reading.mentions
                self.reading.claims.append(PlacedClaim(claim, (), made[-1]))
            return
        if claim.kind in ("zugzwang", "no_threat"):
            nodes = self._latest_attack(self.path)
        elif claim.kind == "complete":
            nodes = self.path[1] if len(self.path) > 1 else []
        else:
            nodes = self.path[-1]
        if nodes:
            self.reading.claims.append(PlacedClaim(claim, tuple(nodes)))

    def _points_back(self) -> bool:
        """Tell whether a sentence such as "It is the only move." speaks of the move before."""
        before = [s.text for s in self.gap[:-1] if isinstance(s, Aside)][-1:]
        return bool(before) and _IT_IS.fullmatch(before[0].strip()) is not None


def read(
    board: chess.Board,
    statements: Iterable[Statement],
    shift: int = 0,
    mater: chess.Color | None = None,
    plies: int | None = None,
    *,
    faultless: bool = False,
) -> Reading:
    """Replay a solution text from `board`.

    `shift` is 1 where its first half-move is printed as "1...". `mater` is the side that
    mates in the end, by default the side to move; `plies` is the half-move by which it
    must have mated in every line of play, where the stipulation says so. `faultless`: nobody
    asks for a text in which something cannot be read or played, so the reading ends there.
    One that looks at more positions than it may (work.py) has read nothing: none of it is understood.
    """
    given = list(statements)
    reader = _Reader(board, shift, board.turn if mater is None else mater, plies, Work(len(given)))
    reader.faultless = faultless
    try:
        return reader.read(given)
    except RunsAway:
        return _nothing_read(reader.reading, given)


def _nothing_read(begun: Reading, given: Iterable[Statement]) -> Reading:
    reading = Reading(begun.diagram, begun.set_play, ran_away=True)
    phrases = (phrase for statement in given if isinstance(statement, Turn) for phrase in statement.choices)
    reading.not_understood = [NotUnderstood(phrase.span, phrase.text) for phrase in phrases]
    reading.settle()
    return reading
