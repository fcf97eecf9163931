"""Which half-moves belong together: runs of them in one line, and lists of them in one place."""

from __future__ import annotations

from keyproof.grammar.moves import Effect, Sort
from keyproof.grammar.statements import (
    Aside,
    Break,
    Turn,
)
from msgspec.structs import replace

from . import signals
from .fitting import Fitting
from .reading import Mention, Role, State
from .replay import Unit
from .told import elaborates, is_rest, same_subject, waits
from .units import is_vague


class Gathering(Fitting):
    """Half-moves gathered until a unit of them is whole, which is placed then."""

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
