"""Words about men and squares that claim no move, or none that can be placed."""

from __future__ import annotations

import re

from keyproof.grammar.moves import Effect, MovePhrase, Sort
from keyproof.grammar.statements import (
    NotUnderstood,
)

from . import signals
from .replay import Trial, Unit
from .starts import Starts
from .told import claims_capture
from .units import names_a_man

_GOES = re.compile(r"\b(?:to|steps?)\b", re.I)


class Prose(Starts):
    """What tells prose from moves, and passes over what was told of none."""

    def _possible(self, phrase: MovePhrase) -> bool:
        """Tell whether words mean some move in some position that the text has reached."""
        nodes = [node for frontier in [*self.path, *self.seen] for node in frontier]
        self.work.take(len(nodes))
        return any(node.meant(phrase) for node in nodes)

    def _cannot_place(self, unit: Unit) -> None:
        """Record a unit for which the text has no position yet: its defence was not understood, or not printed."""
        if len(unit.path) > 1:
            self.reading.others.extend(unit.path[1])
        for turn in unit.turns:
            self.reading.not_understood.extend(NotUnderstood(phrase.span, phrase.text) for phrase in turn.choices)

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
