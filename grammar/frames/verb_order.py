"""Where a language puts its verb: before its man, behind all that it speaks of, or between.

In English the man stands before his verb and what he takes behind it. Elsewhere a verb may open the clause ("nimmt
dagegen der Bauer") or close it ("wenn der König den Turm schlägt"); such verbs are `free` in the lexicon.
"""

from __future__ import annotations

import chess
from keyproof.grammar.lexicon.lexemes import Lexeme
from msgspec.structs import replace

from .memory import Memory
from .men import man_at
from .values import Draft, Who

_SMALL = frozenset({"filler", "link"})  # "trotzdem"
_GOES = frozenset(("go", "put", "take"))
_ACTS = frozenset(("go", "put", "take", "castle", "can", "promote"))


class VerbOrder(Memory):
    """Finds the man of a verb, and the one it takes, on whichever side of it they are named."""

    draft: Draft | None
    breathless: bool

    def _settled(self, draft: Draft | None) -> Draft | None:
        """Settle of a move told whose it is, and whether it is supposed, by what stands before it."""
        if draft is None or draft.who is None:
            return draft
        it = draft.who.pronoun == "it" and not draft.who.kinds and draft.verb in _GOES and not self._moves()
        if it and self.topic is not None and self.topic.kinds and not self.topic.plural:
            draft.who = replace(self.topic, span=draft.who.span)  # "Now that horse on h3. It steps to f4"
        if self._verb_first(draft):
            self.marks.add("if")  # "Geht er nach a5, dann ..."
        return draft

    def _verb_first(self, draft: Draft) -> bool:
        """Tell whether a clause up to a comma is opened by a verb whose man stands behind it, as a condition is."""
        at_hand = self.given[self.index] if self.index < len(self.given) else None
        if not draft.free or not draft.to or at_hand is None or at_hand.kind != "comma" or self._moves():
            return False
        first = next((each for each in self.given if not each.categories & {"link", "filler"}), None)
        opens = first is not None and "free" in first.categories and first.span.start == draft.start
        return opens and draft.who is not None and first is not None and first.span.end <= draft.who.span.start

    def _only_mates(self) -> bool:
        """Tell whether a verb is but a part of what says that a move mates: "Turm e6 setzt trotzdem matt"."""
        before = self.given[self.index - 1] if self.index else None
        if before is None or before.kind != "square" or "free" not in self.given[self.index].categories:
            return False
        behind = (each for each in self.given[self.index + 1 :] if not each.categories & _SMALL)
        mate = next(behind, None)
        return mate is not None and mate.sense("effect") == "mate"

    def _begins_anew(self, end: int) -> bool:
        """Tell whether a man who does something begins a clause: "takes g8 from him, and the rook wants to take"."""
        before = self.given[self.index - 1] if self.index else None
        after = self.given[end] if end < len(self.given) else None
        joint = before is not None and (before.kind == "comma" or "link" in before.categories)
        if self.breathless and after is not None and (after.kind == "square" or "to" in after.categories):
            return after.kind == "square" or (end + 1 < len(self.given) and self.given[end + 1].kind == "square")
        if joint and self._mates_on(end):
            return True  # "it blocks d3, and queen to d2 is mate"
        act = next((each for each in self.given[end:] if "filler" not in each.categories), None)  # "simply takes back"
        aims = act is not None and any((each.category, each.sense) == ("mark", "threat") for each in act.meanings)
        return joint and act is not None and (aims or bool(act.categories & _ACTS))

    def _considers(self) -> bool:
        """Tell whether somebody looks at a move: the name of a man follows, and where he goes."""
        found = man_at(self.given, self.index + 1)
        if found is None or not found[0].kinds or found[0].square is not None or found[1] >= len(self.given):
            return False
        behind = self.given[found[1]]
        return behind.kind == "square" or bool(behind.categories & {"to", "take"})

    def _mates_on(self, end: int) -> bool:
        """Tell whether a square that the man named up to a place goes to follows, with mate."""
        place = end + (end < len(self.given) and "to" in self.given[end].categories)
        if place >= len(self.given) or self.given[place].kind != "square":
            return False
        behind = self.given[place + 1 : place + 4]
        mate = next((at for at, each in enumerate(behind) if each.sense("effect") == "mate"), None)
        return mate is not None and all(each.categories & {"be", "with", "article"} for each in behind[:mate])

    def _pawn_takes(self) -> bool:
        """Tell whether a capture by a pawn is told without its square, which may be on the last rank."""
        draft = self.draft
        pawn = draft is not None and draft.who is not None and draft.who.kinds == (chess.PAWN,)
        return pawn and draft is not None and draft.take is not None and not draft.to and draft.promotes is None

    def _completes(self, draft: Draft, who: Who) -> bool:
        """Take a man where a language leaves the order free: "auf d5 schlägt der Turm", "den Turm schlägt er"."""
        if draft.free and draft.who is None and not who.object and not draft.phrases:
            draft.who, draft.every, draft.either = who, draft.every or who.every, draft.victim is None
        elif draft.verb == "" and draft.victim is None and not draft.phrases and self._is_done_to(draft, who):
            draft.victim = who
        else:
            return False
        draft.end = max(draft.end, who.span.end)
        return True

    def _is_done_to(self, draft: Draft, who: Who) -> bool:
        """Tell whether a man before the verb is one that is taken or played: "wenn der König den Turm schlägt"."""
        if who.object:
            return draft.who is not None
        if self._is_taken_behind(draft, who):
            return True
        article = any("article" in each.categories and each.span.start == who.span.start for each in self.given)
        at_hand = self.given[self.index : self.index + 1]
        free = any("free" in each.categories for each in (*at_hand, *self._rest_of_clause()))
        return article and free and draft.who is not None and draft.who.colour is not None and draft.who.nameless

    def _is_taken_behind(self, draft: Draft, who: Who) -> bool:
        """Tell whether the second of two men side by side is the one that a verb behind them takes.

        "Als de koning de pion op h6 pakt", "wenn er die Dame nimmt": where a language puts the verb at the end.
        """
        if draft.who is None or draft.placed or draft.effects or not who.kinds:
            return False
        behind = (*self.given[self.index : self.index + 1], *self._rest_of_clause())
        takes = any({"take", "free"} <= each.categories for each in behind)
        between = [each for each in self.given if draft.end <= each.span.start < who.span.start]
        return takes and all("filler" in each.categories for each in between)

    def _awaits_its_man(self) -> bool:
        """Tell whether the verb that opens a clause has its man still to come: "nimmt dagegen der Bauer"."""
        draft = self.draft
        if draft is None or not draft.free or draft.who is not None or draft.to or draft.victim is not None:
            return False
        return man_at(self.given, self.index + 1) is not None

    def _numbers_answer(self) -> bool:
        """Tell whether an answer with its number follows: "contra 1...g5 basta 2.Dxg7"."""
        following = self._next()
        number = None if following is None else following.number
        return number is not None and not number.second and (number.value or 0) > 1

    @staticmethod
    def _numbers_defence(following: Lexeme | None) -> bool:
        number = None if following is None else following.number
        return number is not None and number.second and number.value is not None
