"""Where a unit of text is placed: at the first open point where all of it is true."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise, takewhile

from msgspec.structs import replace

from ..play.node import Node
from .prose import Prose
from .reading import PlacedClaim, Role, State
from .replay import Trial, Unit
from .settling import refutes
from .units import first_role, is_loose, is_vague, one_move

_TRIED = 500  # ways to cut a run of moves in words that are tried; more would make long texts slow


class Fitting(Prose):
    """The trial of units at their open points, and what becomes of the text with the one that is kept."""

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
        refuted = any(refutes(mention, self.reading) for mention in trial.mentions)
        if refuted and len(self._home()) > 1 and not unit.turns[0].placed:
            self.path = self._home()

    def _strays(self, unit: Unit, trial: Trial) -> bool:
        """Tell whether a numbered reply in the play after the key was read in a try, where alone it can be played."""
        after_key = len(unit.path) > 1 and self._after_key(unit.path[1])
        return after_key and unit.ply is not None and unit.ply > 1 and not self._after_key(trial.start)
