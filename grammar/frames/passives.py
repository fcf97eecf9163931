"""Captures told of the man that is taken.

"The rook can be taken by the king, by the bishop or by the knight on f8", "that loses the rook to the king".
"""

from __future__ import annotations

import chess
from keyproof.grammar.lexicon.lexemes import Lexeme
from msgspec.structs import replace

from .deeds import Deeds
from .men import man_at
from .modals import supposes
from .values import Move, Said, Who

_PARTICIPLES = ("n", "ed")
_APART = frozenset({"if", "but", "then", "because"})  # what begins another clause
_BE = frozenset({"be", "modal", "unreal"})
_JOINTS = ("comma", "line")


class Passives(Deeds):
    """Reads captures told in the passive voice, or as what is lost."""

    def _on_lose(self, sense: str, lexeme: Lexeme) -> bool:
        """Read a man who is left to another: "loses the queen to the king"."""
        place = self.index + 1
        kinds = (chess.PIECE_NAMES.index(sense),) if sense else ()
        victim = (Who(lexeme.span, kinds=kinds), place) if sense else man_at(self.given, place)
        joint = self.given[victim[1]] if victim is not None and victim[1] < len(self.given) else None
        if victim is None or joint is None or not joint.categories & {"to", "object"}:
            return False
        taker = man_at(self.given, victim[1] + ("object" not in joint.categories))
        if taker is None or not taker[0].kinds:
            return False
        self._flush()
        draft = self._fresh(lexeme.span)
        draft.who, draft.victim, draft.take, draft.verb = taker[0], victim[0], lexeme.span, "take"
        draft.marks.add("but")
        draft.end, self.index, self.reason = taker[0].span.end, taker[1], False
        return True

    def _on_take(self, sense: str, lexeme: Lexeme) -> bool:
        takers, end = self._takers(lexeme)
        if not takers and self._would_be_taken(lexeme):
            victim = self._topic() if self.draft is None else self.draft.who
            draft = self._fresh(lexeme.span)
            draft.victim, draft.take, draft.verb, self.reason = victim, lexeme.span, "take", False
            return True
        printed = self.draft is not None and bool(self.draft.phrases)  # "Qd7+ is taken by king or bishop"
        if not takers or (self.draft is not None and self.draft.placed and not printed):
            return super()._on_take(sense, lexeme)
        if printed:
            self._flush()
        draft = self._open(lexeme.span)
        heard = draft.who is not None and draft.who.span == self.given[self.index - 1].span
        victim = draft.who if draft.who is not None and not heard else self._topic()
        if printed:
            victim = Who(lexeme.span, pronoun="it")
        placed = victim is not None and victim.square is not None and not self.marks
        if victim is not None and not printed:
            self._stood_on(victim)
        if victim is not None and placed:
            led = frozenset[str]() if self.able or self.negated else frozenset({"if"})  # he may have gone there
            self.found.append(Said("topic", victim.span, marks=led, who=victim, stance=draft.stance))
        if heard or placed:
            draft.start = lexeme.span.start  # "can be taken": that is no b-pawn
        able, marks, stance = self.able, set(self.marks), draft.stance
        for place, who in enumerate(takers):
            if place:
                self._flush()
                draft, self.able = self._fresh(who.span), able
                draft.listed, draft.stance = True, stance
                draft.marks |= marks & {"if"}
            draft.who, draft.victim, draft.take, draft.verb = who, victim, lexeme.span, "take"
            draft.apart = victim is not None and victim.square is not None
            draft.end = who.span.end
        self.index, self.reason = end, False
        return True

    def _would_be_taken(self, lexeme: Lexeme) -> bool:
        """Tell whether a man would be taken, and nobody says by whom: "the queen would be taken"."""
        before = self.given[self.index - 1] if self.index else None
        if before is None or not (before.categories & _BE and lexeme.text.lower().endswith(_PARTICIPLES)):
            return False
        named = self.draft is None or not (self.draft.placed or self.draft.verb)
        return named and not self.negated and (self.able or supposes(self.given[self.clause : self.index]))

    def _stood_on(self, victim: Who | None) -> None:
        """Say that the man who is taken went to the square told just before: "on e1 the queen is simply taken"."""
        told = self.found[-1] if self.found else None
        if victim is None or not victim.kinds or victim.square is not None or not isinstance(told, Move):
            return
        piece = victim.kinds[0]
        if piece in (chess.PAWN, chess.KING) or not told.bare or told.vague or told.verb or told.number is not None:
            return
        ways = tuple(
            replace(way, choices=tuple(replace(each, piece=piece) for each in way.choices)) for way in told.ways
        )
        marks = told.marks - {"if"} | {"try"}
        self.found[-1] = replace(told, ways=ways, marks=marks, who=victim, bare=False, apart=True)

    def _takers(self, lexeme: Lexeme) -> tuple[list[Who], int]:
        """Return the men told to take behind a passive verb, and where the words for them end."""
        before, place = self.given[self.index - 1] if self.index else None, self.index + 1
        if before is None or "be" not in before.categories or not lexeme.text.lower().endswith(_PARTICIPLES):
            return [], place
        while place < len(self.given) and "by" not in self.given[place].categories and not self._parts(place):
            place += 1
        return self._by_whom(place)

    def _by_whom(self, place: int) -> tuple[list[Who], int]:
        """Return the men told at a place to take, and where the words for them end."""
        found: list[Who] = []
        end = place
        while place < len(self.given) and (by := self._by(place, first=not found)) is not None:
            found.append(by[0])
            place = end = by[1]
        return found, end

    def _parts(self, place: int) -> bool:
        """Tell whether a word begins something else than what may stand before "by": "in three ways, by the king"."""
        each = self.given[place]
        if each.kind not in ("word", "comma", "colon", "dash", "line"):
            return True
        other = "man" in each.categories or each.sense("link") in _APART
        return other or bool(each.categories & {"go", "take", "put", "effect"})

    def _by(self, place: int, *, first: bool) -> tuple[Who, int] | None:
        """Return the man who takes that is told at a place, one more if he is not the `first`, and where it ends."""
        joined = place
        while joined < len(self.given) and (
            self.given[joined].kind in _JOINTS or self.given[joined].sense("link") in ("or", "and")
        ):
            joined += 1
        by = joined < len(self.given) and "by" in self.given[joined].categories
        if not by and (first or joined == place):
            return None
        found = man_at(self.given, joined + by)
        if found is None or not found[0].kinds:
            return None
        behind = self.given[found[1]] if found[1] < len(self.given) else None
        ends = behind is None or behind.kind != "word" or "link" in behind.categories
        return found if by or (ends and (behind is None or behind.kind != "square")) else None
