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
from collections.abc import Iterable, Iterator
from itertools import pairwise, takewhile

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
from .placing import place, referred
from .reading import Mention, PlacedClaim, Reading, Role, State, effect_holds
from .replay import Replay, Trial, Unit
from .told import Spoken, claims_capture, elaborates, is_rest, same_subject, waits
from .units import first_role, is_loose, is_vague, names_a_man, next_turn_after, one_move
from .work import RunsAway, Work

_GOES = re.compile(r"\b(?:to|steps?)\b", re.I)
_IT_IS = re.compile(r"(?:(?:and|but|so)\s+)?(?:it|this|that)(?:['’]s|\s+is)?", re.I)


_TRIED = 500  # ways to cut a run of moves in words that are tried; more would make long texts slow
_REMEMBERED = 60  # positions that words without a number may go back to; more would make long texts slow


class _Reader:
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

    # -- the walk ----------------------------------------------------------

    def read(self, given: list[Statement]) -> Reading:
        for index, statement in enumerate(given):
            if self.faultless and (self.lost is not None or self.reading.not_understood):
                return self.reading
            self.following = given[index + 1] if index + 1 < len(given) else None
            self.next_turn = next_turn_after(given, index + 1)
            if isinstance(statement, Turn):
                if not self.turns and signals.stands_first(statement, given[index + 1 :]):
                    self._not_understood(NotUnderstood(statement.span, statement.choices[0].text))
                    self.lost = None
                elif not signals.is_denied(statement, self.turns, self.gap):
                    self._turn(self.spoken.refer(statement))
                self.gap = []
                continue
            if isinstance(statement, Outcome):
                self._outcome(statement)
                continue
            if isinstance(statement, Reason):
                self.reasons.append((referred(statement, self.spoken, given[max(0, index - 12) : index]), self.path))
                statement = Aside(statement.span, statement.text)
            if isinstance(statement, Topic):
                if (proposed := self._proposed(statement)) is not None:
                    self._turn(self.spoken.refer(proposed))
                    self.gap = []
                    continue
                kind = statement.piece
                if statement.square is not None:
                    kind = kind or self.reading.diagram.board.piece_type_at(statement.square)
                if kind is not None:
                    self.spoken.name(kind, statement.square)
                statement = Aside(statement.span, statement.text)
            self.gap.append(statement)
            if isinstance(statement, Marker):
                self._marker(statement)
            elif isinstance(statement, Claim):
                self._claim(statement)
            elif isinstance(statement, Break):
                self._break(statement)
            elif isinstance(statement, NotUnderstood):
                self._not_understood(statement)
            else:
                self._aside(statement)
        self._flush()
        self._take_held()
        self._settle_first_moves()
        for unit in self.late:
            unit.path = self._home()
            self._place(unit)
        for unit in sorted(self.rest, key=lambda unit: unit.has(Sort.any_other)):
            if not unit.path[1:]:
                unit.path = self._home()
            self._place(unit)
        self._settle_first_moves()
        self._settle_refutations()
        self.reading.settle()
        self.reading.reasons = place(self.reasons, given, self.reading)
        return self.reading

    def _turn(self, turn: Turn) -> None:
        if "if" in self.intro and signals.numbers_either(turn, self.next_turn):
            turn = replace(turn, number=None)
        if self.turns and self._foretold(self.turns[-1], turn):
            self.turns.pop()
        if self.turns and elaborates(self.turns[-1], turn):
            return
        said = [s.text for s in self.gap if isinstance(s, Aside)]
        self.leads[turn.span.start] = " ".join(said)
        if self.turns and (self.more or self._lists(self.turns[-1], turn)):
            self.more = False
            last = self.turns[-1]
            span, effects = last.span.to(turn.span), last.effects + turn.effects
            number = last.number or turn.number
            self.turns[-1] = replace(
                last, span=span, number=number, choices=last.choices + turn.choices, effects=effects
            )
            return
        if (listed := self._all_of_list(turn)) is not None:
            self.turns = [listed]
            return
        if turn.choices and turn.choices[0].threatened:
            self._flush()
            self.intro.add("threat")
        if self.turns and self._plans(turn):
            self.turns.append(replace(turn, number=None, choices=(), effects=()))
        elif self.turns and not self._continues(turn):
            self._flush()
        if not self.turns and signals.refuted_at_once(turn, self.following, self.reading.diagram):
            self._try()
        if not self.turns:
            self.words = any(sign.isalpha() for text in said for sign in text)
        self.turns.append(turn)

    def _all_of_list(self, turn: Turn) -> Turn | None:
        """Return the moves so far as one list, once "or" has shown that they are one: "knight c6, rook g5 or rook g4".

        They are all of one side: some position allows each of them.
        """
        told = [*self.turns, turn]
        words = any(isinstance(statement, Aside) for statement in self.gap)
        last = len(turn.choices) > 1 and not words  # "knight to g2 or bishop to h7" after a comma
        if len(told) < 2 or not (last or words) or not self._joined({"or", "or if", "or else"}):
            return None
        if any(each.number is not None or each.effects for each in told):
            return None
        phrases = [phrase for each in told for phrase in each.choices]
        if any(phrase.effects or phrase.sort is not Sort.move for phrase in phrases):
            return None
        places = [node for frontier in [*self.path, *self._home()] for node in frontier]
        if self.reading.set_play is not None:
            places.append(self.reading.set_play)
        if not any(all(node.meant(phrase) for phrase in phrases) for node in places):
            return None
        return replace(told[0], span=told[0].span.to(turn.span), choices=tuple(phrases))

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

    def _lists(self, last: Turn, turn: Turn) -> bool:
        """Tell whether `turn` is one more of a list of moves: "1...Nb7, 1...Nc6 and 1...Nc4 are met by"."""
        if not last.choices or not self._joined({"and", "or"}):
            return False
        if last.number is None and turn.number is not None and turn.number.second:
            linked = any(isinstance(statement, Aside) for statement in self.gap)
            return linked and is_rest(last.choices[-1])  # "all other moves of the rook, and 1...a4, are answered by"
        if last.number is None:
            linked = any(isinstance(statement, Aside) for statement in self.gap)
            return turn.number is None and same_subject(last, turn, linked=linked)
        if last.choices[-1].annotation[:1] != turn.choices[0].annotation[:1]:
            return False  # "1.Qg7? and 1.Sf4!"
        if turn.number is None and "threat" in self.intro:
            return not turn.bare_square  # "threats: 2.Sd3#, Sf3#"
        if turn.number is None:
            # "1...Kh3, h5 2.Qg3#": the name of a square unless an answer follows at once
            following = self.following
            number = following.number if isinstance(following, Turn) else None
            answered = number is not None and last.number.ply is not None and number.ply == last.number.ply + 1
            return turn.bare_square and last.number.second and answered
        return turn.number.ply is not None and turn.number.ply == last.number.ply

    def _plans(self, turn: Turn) -> bool:
        """Tell whether `turn` is the same side's next move, the reply left out: "2.Ke6 and 3.Qe7#"."""
        last = self.turns[-1]
        if turn.number is None or last.number is None or not last.choices:
            return False
        if turn.number.ply is None or last.number.ply is None or turn.number.ply != last.number.ply + 2:
            return False
        words = {"and", "then", "and then", "followed by", "with", "next"}
        return self._joined(words) and any(isinstance(statement, Aside) for statement in self.gap)

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

    def _foretold(self, told: Turn, turn: Turn) -> bool:
        """Tell whether words announce the move told next: "the queen captures it and mates: 2.Qxb5#"."""
        if not told.choices:
            return False
        if turn.number is None and not (turn.choices[0].exact and not told.choices[0].exact and self._apposed()):
            return False  # "the rook drops into the corner, rook to a eight"
        if turn.number is None and told.choices[0].pronoun and "if" in self.intro:
            return False  # "if it goes away, queen to b five"
        words, move = told.choices[0], turn.choices[0]
        same_man = words.piece is None or words.piece == move.piece
        same_square = words.destination is None or words.destination == move.destination
        vague = words.worded and words.sort is Sort.any_of_piece and not words.every
        return told.number is None and vague and same_man and same_square

    def _apposed(self) -> bool:
        """Tell whether a comma and a few words stand since the last turn: "the rook drops into the corner, rook to"."""
        words = [s.text for s in self.gap if isinstance(s, Aside)]
        if [text.strip().lower() for text in words] in (["yes"], ["i mean"], ["that is"]):
            return True
        return any(isinstance(s, Break) for s in self.gap) and len(" ".join(words).split()) < 5

    def _continues(self, turn: Turn) -> bool:
        last = self.turns[-1]
        if turn.choices[0].worded and turn.choices[0].text[:1].isupper() and not self._goes_elsewhere():
            return False  # a new sentence
        if turn.number is None and self._in_other_notation(last, turn):
            return False
        if turn.number is None or turn.number.ply is None:
            if last.choices and any(effect is Effect.denied for effect, _ in last.choices[-1].effects):
                return False  # "the pawn cannot move and the queen takes it"
            mated = any(effect is Effect.mate for effect, _ in last.effects + last.choices[-1].effects)
            return not mated and self._fits_the_next(turn)
        if self.held is not None and self._joined({"and", "and with", "with", "while", "whereas"}):
            return False  # "2.Re4# after 1...Kh4 and 2.Rg5# after 1...h4"
        unit = self._unit()
        ply = turn.number.ply - unit.shift
        if unit.ply is not None:
            return ply == unit.ply + len(self.turns)
        first = ply - len(self.turns)
        return first > 1 or (first == 1 and self.mode in ("key", "try"))

    def _in_other_notation(self, last: Turn, turn: Turn) -> bool:
        """Tell whether words lead over to another notation: "1.Ra8! or, as our fathers wrote, R-QR8"."""
        words = any(isinstance(statement, Aside) for statement in self.gap)
        return words and bool(last.choices) and last.choices[-1].descriptive != turn.choices[0].descriptive

    def _fits_the_next(self, turn: Turn) -> bool:
        """Tell whether the number printed next lets a set of moves go on here: not in "2.Kf6, else 2.Ke6"."""
        unit, following = self._unit(), self.next_turn
        if not is_rest(turn.choices[0]) or following is None or following.number is None:
            return True
        if unit.ply is None or following.number.ply is None:
            return True
        return following.number.ply - unit.shift == unit.ply + len(self.turns) + 1

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

    def _try(self) -> None:
        """Take the move at hand for a try of a two-mover, unless words have announced what the next move is."""
        if self.replay.plies == 3 and (self.mode is None or self.mode_used):
            self.mode, self.mode_used = "try", False

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

    def _rest_is_open(self) -> bool:
        """Tell whether the last turn stands for what the rest of the text leaves over, its answer still to come."""
        return bool(self.turns and self.turns[-1].choices and is_rest(self.turns[-1].choices[-1]))

    def _goes_elsewhere(self) -> bool:
        """Tell whether a sentence is no more than "The knight goes elsewhere.", its answer told in the next."""
        phrase = self.turns[-1].choices[-1]
        alone = phrase.every and not any(isinstance(statement, Aside) for statement in self.gap)
        return len(self.turns) == 1 and phrase.sort is Sort.any_of_piece and phrase.worded and alone

    def _answer_follows(self, mark: Break) -> bool:
        """Tell whether the answer stands behind a break, as after "1. ..., K moves; 2. Q-B6" of old columns."""
        if mark.kind != "semicolon":
            return mark.kind == "line" or (mark.kind == "stop" and self._goes_elsewhere())
        if self.next_turn is None or self.next_turn.number is None:
            return False
        unit, ply = self._unit(), self.next_turn.number.ply
        return unit.ply is not None and ply is not None and ply - unit.shift == unit.ply + len(unit.turns)

    def _may_follow_its_answer(self) -> bool:
        """Tell whether the open unit is one numbered answer, so that its defence may follow: "2.Re4# after 1...Kh4"."""
        ply = self._unit().ply if len(self.turns) == 1 else None
        return ply is not None and ply > 2 and ply % 2 == 1

    def _adds_to_its_list(self) -> bool:
        """Tell whether "if" leads to one more move of a list: "if the bishop moves, and even if it takes the queen"."""
        if len(self.turns) != 1 or "if" not in self.intro or not self.turns[0].choices:
            return False
        if not self.turns[0].choices[0].worded or self.turns[0].effects:
            return False
        return self._joined({"and", "or", "even", "and even", "or even"}, self.gap[:-1])

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

    def _latest_attack(self, path: list[list[Node]]) -> list[Node]:
        """Return the latest position of a line that the attacker's move led to and that did not end the play."""
        for frontier in reversed(path[1:]):
            node = frontier[0]
            if node.board.turn != self.attacker and node.move and not node.board.is_game_over():
                return frontier
        return []

    # -- units ---------------------------------------------------------------

    def _flush(self) -> None:
        if not self.turns:
            return
        held = self.held
        if held is not None:
            unit = self._unit()
            if len(unit.turns) == 1 and unit.ply is not None and held.ply == unit.ply + 1:
                self.held = None
                self.turns = [*unit.turns, *held.turns]
            else:
                self._take_held()
        unit = self._unit()
        self.turns = []
        self.more = self.anew = False
        self.intro.clear()
        self.mode_used = True
        self._take(unit)

    def _take_held(self) -> None:
        if self.held is not None:
            held, self.held = self.held, None
            self._take(held)

    def _take(self, unit: Unit) -> None:
        """Place a unit, set it aside, or pass it over as prose."""
        if self._is_lost(unit):
            return
        if self._is_prose(unit):
            return
        turn = unit.turns[0]
        if turn.bare_square and turn.number is None and len(turn.choices) > 1 and len(unit.turns) > 1:
            unit = replace(unit, turns=unit.turns[1:])  # "on a4 or a2 the queen gives check"
        rests = (i for i, turn in enumerate(unit.turns) if any(waits(phrase) for phrase in turn.choices))
        first = next(rests, len(unit.turns))
        if first:
            self._place(unit if first == len(unit.turns) else replace(unit, turns=unit.turns[:first]))
        last = unit.turns[-1]
        if first == len(unit.turns) - 1 > 0 and is_vague(last) and not last.choices[0].every:
            return  # "bishop to d1 is the key, the bishop goes behind the queen"
        if first < len(unit.turns):
            ply = None if unit.ply is None else unit.ply + first
            self._set_aside_rest(replace(unit, turns=unit.turns[first:], path=self.path, counted=ply))

    def _is_lost(self, unit: Unit) -> bool:
        """Tell whether a unit goes on from a move that was not understood, and record it as not examined."""
        if self.lost is None:
            return False
        if unit.ply is None:
            if not self.lost_here:
                return False
        elif unit.ply <= self.lost:
            self.lost = None
            return False
        for turn in unit.turns:
            for phrase in turn.choices:
                mention = Mention(phrase, turn, Role.answer, State.not_examined, [], unit.intro, ())
                self.reading.mentions.append(mention)
        return True

    def _set_aside_rest(self, unit: Unit) -> None:
        """Keep a unit that speaks of all other moves until the rest of the text is known."""
        phase = unit.path[1] if len(unit.path) > 1 else []
        if unit.has(Sort.any_other) or unit.has(Sort.any_move):
            self.reading.others.extend(phase)
        self.rest.append(unit)

    def _is_prose(self, unit: Unit) -> bool:
        """Tell whether a unit only names men or squares, or tells of moves without claiming one."""
        turn = unit.turns[0]
        if len(unit.turns) > 1 or turn.number is not None:
            return False
        marked = unit.intro or unit.mode or turn.effects
        if all(phrase.worded and not phrase.exact for phrase in turn.choices):
            if turn.choices[0].sort is Sort.any_other and len(self.path) > 1:
                self.reading.others.extend(self.path[1])  # "any other move loses": covered, no answer named
                return True
            idle = all(phrase.pronoun and not phrase.capture for phrase in turn.choices)
            denied = idle and any(effect is Effect.denied for p in turn.choices for effect, _ in p.effects)
            prose = denied or not (unit.intro or turn.effects or self._denotes_one(unit))
            phrase = turn.choices[0]
            leads = self.leads.get(turn.span.start, "")
            made = phrase.piece is not None and not phrase.effects and claims_capture(phrase, leads)
            if prose and (phrase.castling or made) and self._must_go_on(unit):
                return False
            if prose and made and not self._possible(phrase):
                self._pass_over(unit)
            return prose
        if marked and not unit.mode:
            return False
        phrase = turn.choices[0]
        if turn.effects or phrase.effects or phrase.annotation or phrase.capture or len(turn.choices) > 1:
            return False
        if phrase.worded and _GOES.search(phrase.text):
            return False
        # "the Sd6 is pinned": a man on its square, here or a move ago.
        return any(names_a_man(node, phrase) for frontier in self.path[-2:] for node in frontier) and not any(
            node.meant(phrase) for node in self.path[-1]
        )

    def _denotes_one(self, unit: Unit) -> bool:
        """Tell whether words without a square, such as "he can grab the bishop", mean just one move on the line."""
        phrase = unit.turns[0].choices[0]
        if not (phrase.capture or phrase.castling or phrase.names_destination) or phrase.every:
            return False
        points = [*self.path, [self.reading.set_play]] if self.reading.set_play and not self._firsts() else self.path
        return any(len(self.replay.reached(point[0], phrase)) == 1 for point in points if point and point[0])

    def _possible(self, phrase: MovePhrase) -> bool:
        """Tell whether words mean some move in some position that the text has reached."""
        nodes = [node for frontier in [*self.path, *self.seen] for node in frontier]
        self.work.take(len(nodes))
        return any(node.meant(phrase) for node in nodes)

    def _place(self, unit: Unit) -> None:
        best = here = None
        for start in self._starts(unit):
            if best is not None and best.score <= (self.replay.hopeless(unit, start), 0):
                continue
            trial = self.replay.play(unit, start)
            threatened = "threat" in unit.intro and start[0].move is not None and not start[0].move
            told = unit.ply is not None or ("if" in unit.intro and len(unit.turns) > 1 and start[0].ply == 1)
            of_key = told and start in unit.path and self._after_key(start)
            here = here or (trial if of_key and trial.begun else None)
            meant_here = of_key and not trial.illegal
            meant_here = meant_here or (threatened and unit.ply is None and not trial.illegal)
            if best is None or meant_here or trial.score < best.score:
                best = trial
            if best.score == (0, 0) or meant_here:
                break  # what can be played after the key is meant there, true or false
        best = here if here is not None and best is not None and best.false else best
        if best is None or best.illegal:
            best = self._misnumbered(unit) or best
        if best is not None and best.illegal and self._is_manifold(unit):
            self._pass_over(unit)
            return
        if best is not None and (best.illegal or (best.late and not best.false)) and self._parts(unit):
            return
        if unit.turns[0].bare_square and unit.turns[0].number is None and len(unit.turns) > 1:
            rest = replace(unit, turns=unit.turns[1:], counted=None)
            if (best is None or best.illegal) and unit.turns[0].choices[0].effects == ():
                self._place(rest)  # "guards d5 2.Qb6": the name of a square, not a pawn's move
                return
        if (best is None or best.score != (0, 0)) and self._wait_for_key(unit):
            return
        if (best is None or best.illegal) and self._is_name(unit):
            return
        if best is not None and best.score != (0, 0) and is_loose(unit) and not self._must_go_on(unit, best):
            self._pass_over(unit)
            return
        if best is None:
            self._cannot_place(unit)
            return
        self._commit(unit, best)

    def _parts(self, unit: Unit) -> bool:
        """Place a run of moves in words as several lines, where all of it is true then.

        "The king takes, then queen to g six check, the knight takes her" begins anew with the queen.
        """
        if unit.ply is not None or not all(turn.choices and turn.choices[0].worded for turn in unit.turns):
            return False
        plan = self._split(unit, [_TRIED]) or self._split(self._apart(unit), [_TRIED]) or []
        if not any(trial for _, trial in plan):
            return False
        for part, trial in plan:
            if trial is None:
                self._pass_over(part)
            else:
                self._commit(part, trial)
        return True

    def _apart(self, unit: Unit) -> Unit:
        """Take lists of different men apart: "the king walks to c7 or the queen goes to g5"."""
        turns = []
        for turn in unit.turns:
            cuts = [i for i, phrase in enumerate(turn.choices) if i and phrase.piece != turn.choices[i - 1].piece]
            for start, end in pairwise([0, *cuts, len(turn.choices)]):
                choices = turn.choices[start:end]
                effects = tuple(each for each in turn.effects if cuts == [] or end == len(turn.choices))
                turns.append(replace(turn, span=choices[0].span.to(choices[-1].span), choices=choices, effects=effects))
                if start:
                    self.leads[turns[-1].span.start] = "or"
        return replace(unit, turns=turns)

    def _split(self, unit: Unit, left: list[int]) -> list[tuple[Unit, Trial | None]] | None:
        """Return the lines that a run of moves in words consists of, each true; None where it cannot be cut so.

        `left` counts down the trials that may yet be made. A line without a trial is prose.
        """
        if not unit.turns:
            return []
        for length in range(len(unit.turns), 0, -1):
            if not self._may_end(unit, length):
                continue
            if length == 1 and is_vague(unit.turns[0]):
                continue  # "the bishop goes behind the queen"
            part = replace(unit, turns=unit.turns[:length])
            trial = next((trial for trial in self._trials(part, left) if trial.score == (0, 0)), None)
            if trial is None:
                continue
            after = self._from(unit, length, trial.end())
            last = after.path[-1][0]
            unanswered = unit.mode != "set_play" and last.board.turn != self.attacker and not last.over
            rest = self._split(replace(after, begins=unanswered), left)
            if rest is not None:
                return [(part, trial), *rest]
        if (joint := one_move(unit)) is not None:
            rest = self._split(joint, left)
            if rest is not None:
                return rest
        phrase = unit.turns[0].choices[0]
        if not (phrase.exact or phrase.capture or phrase.castling):  # "whenever the rook moves away"
            rest = self._split(self._from(unit, 1, unit.path), left)
            if rest is not None:
                return [(replace(unit, turns=unit.turns[:1]), None), *rest]
        return None

    def _trials(self, unit: Unit, left: list[int]) -> Iterator[Trial]:
        for start in self._starts(unit):
            if left[0] == 0:
                return
            left[0] -= 1
            if not self.replay.hopeless(unit, start):
                yield self.replay.play(unit, start)

    @staticmethod
    def _from(unit: Unit, index: int, path: list[list[Node]]) -> Unit:
        """Return what is left of a unit from its turn number `index` on, after a line of play."""
        mode = unit.mode if unit.mode == "set_play" else None
        return replace(unit, turns=unit.turns[index:], intro=frozenset(), mode=mode, fresh=False, path=path)

    def _may_end(self, unit: Unit, length: int) -> bool:
        """Tell whether a line of play may end after so many turns: not between "if" and what it is answered by."""
        if length != 1 or "if" not in unit.intro or len(unit.turns) == 1:
            return True
        words = self.leads.get(unit.turns[1].span.start, "").lower().split()
        return len(words) > 3 or (bool(words) and words[0] in ("and", "or", "but", "so", "no"))

    def _after_key(self, start: list[Node]) -> bool:
        home = self._home()
        return len(home) > 1 and home[1][0] is start[0].first

    def _cannot_place(self, unit: Unit) -> None:
        """Record a unit for which the text has no position yet: its defence was not understood, or not printed."""
        if len(unit.path) > 1:
            self.reading.others.extend(unit.path[1])
        for turn in unit.turns:
            self.reading.not_understood.extend(NotUnderstood(phrase.span, phrase.text) for phrase in turn.choices)

    def _misnumbered(self, unit: Unit) -> Trial | None:
        """Read a unit whose number fits nowhere as the plain continuation of the current line."""
        number = unit.turns[0].number
        if unit.ply is None or len(unit.path) < 2 or number is None or unit.turns[0].placed:
            return None
        for start in reversed(unit.path):
            other_side = (start[0].ply + start[0].shift) % 2 != number.second
            # "1." for "1..." is a common slip, at any point; a wrong value only where the line goes on.
            slip = other_side and not number.second and number.value == (start[0].ply + start[0].shift) // 2 + 1
            if not (slip or (start is unit.path[-1] and not other_side)):
                continue
            trial = self.replay.play(unit, start)
            if not trial.illegal:
                trial.mentions[0].misnumbered = True
                return trial
        return None

    def _wait_for_key(self, unit: Unit) -> bool:
        """Keep a reply printed before any first move until the key is known."""
        no_phase = len(self.path) < 2 and not self._firsts() and unit not in self.late
        if no_phase and unit.ply != 1 and unit.mode != "set_play":
            self.late.append(unit)
            return True
        return False

    def _is_name(self, unit: Unit) -> bool:
        """Tell whether an unnumbered phrase that no position allows is the name of a man, or loose prose."""
        turn = unit.turns[0]
        if signals.tells_castling(unit, self.path):
            return True
        if len(unit.turns) > 1 or turn.number is not None or len(turn.choices) > 1:
            return False
        phrase = turn.choices[0]
        if turn.bare_square:
            return not turn.effects
        nodes = [node for frontier in [*self.path, *self.seen] for node in frontier]
        if not (turn.effects or phrase.effects or phrase.capture or unit.intro) and any(
            names_a_man(node, phrase) for node in nodes
        ):
            return True
        if phrase.castling == "either" and phrase.colour is None and "refuted_by" not in unit.intro:
            return True
        initials = phrase.descriptive and not (phrase.effects or phrase.annotation)  # "B. takes P.'s place"
        if (phrase.worded or initials) and not (unit.intro or turn.effects or unit.mode or self._must_go_on(unit)):
            self._pass_over(unit)
            return True
        return False

    def _is_manifold(self, unit: Unit) -> bool:
        """Tell whether words that cannot be played may speak of several lines at once, or of a square as taken.

        "They are met by queen to f8, queen to c8 and bishop to g5"; "he can go to a6. If he takes it, ...".
        """
        first = unit.turns[0].choices[0]
        if unit.ply is not None or not first.worded:
            return False
        if first.pronoun and first.captures_last and first.captured is None and not first.names_destination:
            return "if" in unit.intro
        before = self.leads.get(unit.turns[0].span.start, "").lower().split()
        return len(unit.turns) > 1 and before[-1:] == ["by"]

    def _pass_over(self, unit: Unit) -> None:
        """Leave out words that fit nowhere; what looks like a claim is listed as not understood, the rest is prose."""
        phrases = [phrase for turn in unit.turns for phrase in turn.choices]
        claims = any(phrase.exact or phrase.effects or claims_capture(phrase) for phrase in phrases)
        if claims or any(turn.effects for turn in unit.turns):
            self.reading.not_understood.extend(NotUnderstood(phrase.span, phrase.text) for phrase in phrases)

    def _must_go_on(self, unit: Unit, best: Trial | None = None) -> bool:
        """Tell whether words that are true nowhere leave no doubt what is meant.

        They name the man and both its squares, or they can only speak of the position reached last:
        a reply to a check, the castling of the side to move, the first move again.
        """
        phrase, node = unit.turns[0].choices[0], self.path[-1][0]
        if phrase.exact and phrase.origin_file is not None and phrase.origin_rank is not None:
            return True
        if node.board.is_game_over():
            return False
        if node.move and (node.check or phrase.castling) and phrase.colour in (None, node.board.turn):
            return phrase.exact or phrase.castling is not None or claims_capture(phrase)
        claimed = best is not None and not best.illegal and any(m.says(Effect.mate) for m in best.mentions)
        if claimed and best.start is self.path[-1] and self._after_key(best.start) and node.move:  # type: ignore[union-attr]
            return node.board.turn == self.attacker  # "He goes to c5? Queen to c4, mate."
        again = best.mentions[0].after[:1] if best is not None and best.mentions and not best.illegal else []
        return bool(again) and again[0].parent is self.reading.diagram and again[0] in self.path[-1]

    def _firsts(self) -> list[Mention]:
        return self.reading.firsts()

    def _home(self) -> list[list[Node]]:
        """Return the path to the position after the key, or the diagram where no key is known."""
        for mention in self._firsts():
            if mention.role is Role.key:
                return [[self.reading.diagram], mention.after[:1]]
        return [[self.reading.diagram]]

    def _starts(self, unit: Unit) -> Iterator[list[Node]]:
        """Yield the open points at which a unit may begin, the likeliest first, none twice."""
        known: set[tuple[int, ...]] = set()
        first = unit.turns[0].choices[0]
        spoken = unit.ply is None and first.worded
        own = spoken and self._of_its_line(unit)
        reply = unit.ply is None and "if" in unit.intro and (len(unit.turns) > 1 or first.exact)
        for start in self._possible_starts(unit):
            key = tuple(id(node) for node in start)
            if (own and start not in unit.path) or (unit.begins and start and start[0].board.turn != self.attacker):
                continue
            if start and reply and start[0].ply and start[0].board.turn == self.attacker:
                continue  # "if" tells a reply, or another first move
            if start and key not in known:
                self.work.take(1)
                known.add(key)
                yield start

    def _of_its_line(self, unit: Unit) -> bool:
        """Tell whether words go on after the key: a reply that can be played there, with its answer."""
        if len(unit.path) < 2 or len(unit.turns) < 2 or not self._after_key(unit.path[1]):
            return False
        mated = any(effect is Effect.mate for turn in unit.turns for effect, _ in turn.effects)
        phrase = unit.turns[0].choices[0]
        return ("if" in unit.intro or (phrase.exact and mated)) and bool(self.replay.reached(unit.path[1][0], phrase))

    def _possible_starts(self, unit: Unit) -> Iterator[list[Node]]:
        path, ply = unit.path, unit.ply
        diagram, set_play = [self.reading.diagram], [self.reading.set_play] if self.reading.set_play else []
        if "threat" in unit.intro and (ply is None or ply % 2):
            attacked = self._latest_attack(path)
            passed = [node.pass_move() for node in attacked]
            yield [node for node in passed if node is not None]
        if unit.mode == "set_play" and set_play and ply != 1:
            if len(path) > 1 and path[1] == set_play:
                yield from self._from_path(path, ply)
            if ply in (None, 2):
                yield set_play
        if ply is None and unit.turns[0].choices[0].annotation in ("?", "??", "?!") and "if" not in unit.intro:
            yield diagram  # "my first idea was Qa8?"
        if (
            ply is None
            and unit.anew
            and not (unit.intro or self._after_key(path[-1]))
            and unit.turns[0].choices[0].exact
        ):
            yield diagram  # a new paragraph, after a try
        told = not unit.intro or (unit.mode == "try" and unit.intro == {"if"})  # "against Qf5 the defence is Kd6"
        if ply is None and unit.mode in ("key", "try") and unit.fresh and told:
            yield diagram
            return
        if signals.refutes_it(unit, self.sentence):
            yield path[1]
            return
        if ply is None and unit.intro & {"refuted_by", "refuted_only_by", "but"} and len(path) > 1:
            yield signals.bracketed_firsts(self.bracketed, self.sentence) or ([] if "but" in unit.intro else path[1])
        if ply == 1:
            yield diagram
            return
        if self.bracketed and ply == self.bracketed[0].ply + 1:
            before = path[ply - 1] if ply <= len(path) else []
            yield [*before, *self.bracketed]  # "1...Kd5 (or 1...Ke4) 2.Qb6#"
            yield self.bracketed
        yield from self._from_path(path, ply)
        if len(path) == 1 and (ply is None or (ply == 2 and self._firsts() and unit.mode is None)):
            yield set_play  # "in the diagram king takes a6 allows queen to a8 mate"
        if ply == 3 and len(path) == 2 and path[1][0].move and not unit.after_words:  # "1.Sf4! 2.Qd5#": the threat
            passed = [node.pass_move() for node in path[1]]
            yield [node for node in passed if node is not None]
        if unit.turns[0].placed:
            return
        firsts = self._firsts()
        for mention in [m for m in firsts if m.role is Role.key] + [
            m for m in reversed(firsts) if m.role is not Role.key
        ]:
            if ply in (None, 2):
                yield mention.after[:1]
        if not firsts and ply in (None, 2):
            yield set_play
        for frontier in reversed(self.seen if ply is not None else self.seen[-_REMEMBERED:]):
            if firsts and unit.mode != "set_play" and self.reading.set_play in frontier[0].path:
                continue
            if ply is None or frontier[0].ply == ply - 1:
                yield frontier
        if ply is None:
            yield diagram
            if unit.turns[0].choices[0].worded:  # "nothing else helps: the queen mates on h four"
                passed = [node.pass_move() for node in self._home()[-1] if node.move]
                yield [node for node in passed if node is not None]

    @staticmethod
    def _from_path(path: list[list[Node]], ply: int | None) -> Iterator[list[Node]]:
        if ply is None:
            yield from reversed(path)
        elif 0 < ply <= len(path):
            yield path[ply - 1]

    def _commit(self, unit: Unit, trial: Trial) -> None:
        for mention in trial.mentions:
            if mention.role is Role.first:
                mention.role = first_role(mention, unit)
                mention.marked = mention.role is not Role.first
                mention.perhaps_try = unit.mode == "try" and not mention.marked
                if mention.role is Role.key or self.mode == "set_play":
                    self.mode = None
        for mention in trial.mentions:
            if mention.role is Role.defence and mention.phrase.worded and len(mention.after) == 1:
                node, move = mention.at[0], mention.after[0].move
                if move and (kind := node.board.piece_type_at(move.from_square)):
                    self.spoken.place(kind, move.from_square)
        if self.only_next is not None:
            self.reading.claims.append(PlacedClaim(self.only_next, (), trial.mentions[0]))
            self.only_next = None
        self.reading.mentions.extend(trial.mentions)
        if any(mention.too_many for mention in trial.mentions) and len(unit.path) > 1:
            self.reading.others.extend(unit.path[1])  # whatever it stands for is not left out
        impossible = next((m for m in trial.mentions if m.state is State.impossible), None)
        if impossible is not None:
            self.lost, self.lost_here = impossible.at[0].ply + 1, True
        self.bracketed = []
        self.sentence.extend(trial.mentions)
        self.path = trial.end()
        self.seen.extend(takewhile(bool, trial.path))
        if self._strays(unit, trial):
            self.path = unit.path[:2]
        refuted = any(self._refutes(mention) for mention in trial.mentions)
        if refuted and len(self._home()) > 1 and not unit.turns[0].placed:
            self.path = self._home()

    def _strays(self, unit: Unit, trial: Trial) -> bool:
        """Tell whether a numbered reply in the play after the key was read in a try, where alone it can be played."""
        after_key = len(unit.path) > 1 and self._after_key(unit.path[1])
        return after_key and unit.ply is not None and unit.ply > 1 and not self._after_key(trial.start)

    def _refutes(self, mention: Mention) -> bool:
        if mention.role is not Role.defence or mention.at[0].parent is not self.reading.diagram:
            return False
        if "!" in mention.phrase.annotation or mention.intro & {"refuted_by", "refuted_only_by"}:
            return True
        return "but" in mention.intro and not ("if" in mention.intro and self._answered(mention))

    # -- what the whole text settles -----------------------------------------

    def _settle_first_moves(self) -> None:
        """Give first moves printed without a sign their role: known ones keep theirs, a refuted one is a try."""
        roles: dict[Node, Role] = {}
        for mention in self._firsts():
            if mention.role is not Role.first:
                roles.setdefault(mention.after[0], mention.role)
        for mention in self.reading.mentions:
            if mention.role is Role.first and mention.after and mention.after[0] in roles:
                mention.role = roles[mention.after[0]]
        unsettled = [mention for mention in self._firsts() if mention.role is Role.first and not mention.asked]
        for mention in unsettled:
            node = mention.after[0]
            replies = self.reading.printed_after(node)
            unanswered = mention.perhaps_try and replies and not any(self._answered(reply) for reply in replies)
            if unanswered or any(self._refutes(reply) for reply in replies):
                mention.role = roles[node] = Role.try_
        if not any(mention.role is Role.key for mention in self._firsts()):
            left = [mention for mention in unsettled if mention.role is Role.first]
            # The key is the move with most of its play printed, of several such the first.
            key = max((m.after[0] for m in left), key=lambda node: len(self._replies(node)), default=None)
            for mention in left:
                if mention.after[0] is key and (self._replies(key) or not mention.phrase.worded):
                    mention.role = Role.key

    def _replies(self, node: Node) -> set[Node]:
        """Return the positions after the replies to a first move to which an answer is printed."""
        mentions = self.reading.mentions
        told = [mention for mention in mentions if mention.after and not mention.says(Effect.denied)]
        return {at for mention in told for at in mention.at if at.parent is node}

    def _settle_refutations(self) -> None:
        """Call the replies to a try refutations where the text says so, or where no answer to them is printed."""
        for node in self.reading.first_moves(Role.try_):
            printed = self.reading.printed_after(node)
            replies = [m for m in printed if m.role is Role.defence and not m.says(Effect.denied)]
            said = [m for m in replies if self._refutes(m)]
            for mention in said or [m for m in replies if not self._answered(m)]:
                mention.role = Role.refutation

    def _answered(self, mention: Mention) -> bool:
        return any(self.reading.printed_after(node) for node in mention.after)


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
