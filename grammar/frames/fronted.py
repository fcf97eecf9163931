"""Squares told before what goes there: "to d6 he goes", "g3 is where he gets out", "to d5, the rook, that is"."""

from __future__ import annotations

from collections.abc import Sequence

import chess
from keyproof.grammar.cues import Stance
from keyproof.grammar.lexicon.lexemes import Lexeme
from msgspec.structs import replace

from .telling import Telling
from .values import Draft, Move, Who
from .vantage import vantage

_ACTS = frozenset(("go", "put", "uses"))
_PROMOTED = ("queen", "rook", "bishop", "knight")
_ADDS = frozenset(("filler", "harmless", "withdraw", "be", "this"))  # "the rook, that is", "the rook, I mean"


class Fronted(Telling):
    """Joins a square with the man or the promotion that is told behind it."""

    def _man(self, found: tuple[Who, int]) -> None:
        who, end = found
        draft = self.draft
        if draft is not None and self._awaits_man(draft) and self._goes_there(end):
            draft.who, draft.end, self.index = who, who.span.end, end
            return
        if draft is None and self.spoken is not None and self._points_there() and self._goes_there(end):
            draft = self._fresh(who.span)
            draft.to, draft.who, self.index = [self.spoken], who, end  # "nobody's watching a5, so that's where he goes"
            self.reason = False
            return
        super()._man(found)

    def _square(self, lexeme: Lexeme) -> None:
        if lexeme.square is not None:
            self.spoken = (lexeme.square, lexeme.span)
        told = None if self.draft is not None else self._from_there()
        if told is None:
            super()._square(lexeme)
        else:
            self.found.append(told)

    def _from_there(self) -> Move | None:
        """Return the move of a man of whom it is told what he does from the square at hand, on which he may stand."""
        posed = next((each for each in reversed(self.found) if isinstance(each, Move)), None)
        before = posed.who if self.reason and posed is not None and posed.posed else None
        if self.reason and before is None:
            return None
        found = vantage(self.text, self.given, self.index, before or self.topic, again=self.reason)
        stance = self._stance()
        if found is None or stance is Stance.denied:
            return None
        told, self.index = found
        self.marks.discard("if")  # "on c7 it guards d7"
        return replace(told, stance=stance)

    @staticmethod
    def _awaits_man(draft: Draft) -> bool:
        told = draft.phrases or draft.verb or draft.take or draft.effects or draft.promotes or draft.origin is not None
        return bool(draft.to) and not told and draft.who is None

    def _goes_there(self, end: int) -> bool:
        """Tell whether a man at hand goes to the square just told: "is where he goes", "it's f2 he runs to"."""
        before = self.given[self.index - 1] if self.index else None
        behind = self.given[end : end + 4]
        if before is None or not behind or not behind[0].categories & _ACTS:
            return False
        if any(each.kind == "square" or "man" in each.categories for each in behind):
            return False
        if before.text.lower() in ("where", "that", "what", "which"):
            return True
        leads = self.given[self.index - 2] if self.index > 1 else None
        led = leads is None or "to" in leads.categories or leads.text.lower() in ("it's", "that's", "is")
        return before.kind == "square" and led and "if" not in self.marks

    def _points_there(self) -> bool:
        """Tell whether "that's where" stands before the word at hand."""
        before = [each.text.lower() for each in self.given[max(0, self.index - 3) : self.index]]
        return before[-1:] == ["where"] and bool(
            {"that's", "that", "is", "it's", "there", "there's"} & set(before[:-1])
        )

    def _man_behind(self, draft: Draft | None) -> bool:
        """Take the man that is named behind a comma after its square: "to d5, the rook, that is"."""
        if draft is None or not self._awaits_man(draft):
            return False
        place = self.index + 1
        article = self.given[place] if place < len(self.given) else None
        if article is None or article.text.lower() not in ("the", "our", "his", "my", "your", "their"):
            return False
        man = self.given[place + 1] if place + 1 < len(self.given) else None
        if man is None or "man" not in man.categories or not _clause_ends(self.given[place + 2 : place + 5]):
            return False
        kinds = (chess.PIECE_NAMES.index(man.sense("man") or ""),) if man.sense("man") != "any" else ()
        ours = {"our": True, "my": True, "his": False}.get(article.text.lower())
        draft.who = Who(article.span.to(man.span), kinds, ours=ours)
        draft.end, draft.apart, self.index = man.span.end, True, place + 2
        return True

    def _becomes_behind(self, draft: Draft | None) -> bool:
        """Take what a pawn becomes where it is told behind a comma: "f8, knight, check", "pawn up, a queen"."""
        if draft is None or draft.phrases or draft.promotes is not None or draft.take or draft.effects or draft.every:
            return False
        pawn = draft.who is None or draft.who.nameless or draft.who.kinds == (chess.PAWN,)
        arrives = bool(draft.to) and chess.square_rank(draft.to[-1][0]) in (0, 7)
        headed = not draft.to and bool(draft.heading) and draft.who is not None and draft.who.kinds == (chess.PAWN,)
        if not pawn or not (arrives or headed):
            return False
        place = self.index + 1
        while place < len(self.given) and self.given[place].text.lower() in ("a", "new", "as", "and", "it's", "to"):
            place += 1
        man = self.given[place] if place < len(self.given) else None
        kind = None if man is None else man.sense("man") or man.sense("promoting")
        if man is None or kind not in _PROMOTED or not _clause_ends(self.given[place + 1 : place + 3]):
            return False
        draft.promotes, draft.promotion = man.span, chess.PIECE_NAMES.index(kind)
        draft.end, self.index = man.span.end, place + 1
        return True


def _clause_ends(behind: Sequence[Lexeme]) -> bool:
    """Tell whether nothing but small words stand before the next sign, or what a move does follows."""
    for each in behind:
        if each.kind not in ("word", "unknown"):
            return each.kind not in ("square", "move")
        if each.sense("link") in ("or", "and") or "effect" in each.categories or "with" in each.categories:
            return True
        if each.kind == "unknown" or not each.categories & _ADDS:
            return False
    return True
