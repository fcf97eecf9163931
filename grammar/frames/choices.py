"""What a man may choose from: "he has one move, g7", "it's got six squares and I don't care which", "if you do g6"."""

from __future__ import annotations

from itertools import dropwhile, takewhile

import chess
from keyproof.grammar.lexicon.lexemes import Lexeme

from .drafts import finished
from .sets import Sets
from .values import Draft, Move, Said, Who

_COUNTED = frozenset({"article", "count", "filler", "harmless", "which", "own", "mark", "other", "reporter", "one"})
_MOST = 5  # words between "has" and what is counted
_LAST_RANKS = (0, 7)
_PROMOTED = (chess.QUEEN, chess.ROOK, chess.BISHOP, chess.KNIGHT)
_CASTLED = {
    chess.G1: (chess.F1, "short"), chess.C1: (chess.D1, "long"),
    chess.G8: (chess.F8, "short"), chess.C8: (chess.D8, "long"),
}  # fmt: skip
_ENDS = ("stop", "question", "semicolon", "comma", "colon", "dash", "close", "open", "cell")


def _leads(lexeme: Lexeme) -> bool:
    return lexeme.kind in ("comma", "colon", "dash") or bool(lexeme.categories & {"to", "at", "filler", "be", "open"})


def _goes_on(lexeme: Lexeme) -> bool:
    return lexeme.kind in ("square", "comma") or lexeme.sense("link") in ("and", "or")


class Choices(Sets):
    """Reads words for the moves a man has. Each method takes a sense and its lexeme and tells whether it was that."""

    doors: tuple[chess.Square, ...] = ()  # told to be open to the king in a sentence before

    def _on_have(self, sense: str, lexeme: Lexeme) -> bool:
        return self._has_listed() or super()._on_have(sense, lexeme)

    def _has_just(self, lexeme: Lexeme) -> bool:
        """Tell whether it is said what somebody has now: "he has just the one square"."""
        following = self._next()
        counts = following is not None and (following.kind == "square" or following.categories & {"one", "count"})
        return bool(counts) and lexeme.text.lower().split()[-1] == "just"

    def _on_withstand(self, sense: str, lexeme: Lexeme) -> bool:
        """Take "both bxa3 and b3 hold" as what refutes."""
        following, before = self._next(), self.given[: self.index]
        ends = following is None or following.kind in _ENDS or bool(following.sense("link"))
        joined = len(before) > 2 and before[-2].sense("link") == "and" and before[-1].kind in ("move", "square")
        if not (ends and joined):
            return False
        self._flush()
        return self._calls_last("was refute")

    def _on_next(self, sense: str, lexeme: Lexeme) -> bool:
        """Take "it goes to b3 next" as a threat."""
        draft, following = self.draft, self._next()
        ends = following is None or following.kind in _ENDS or following.sense("unit") in ("move", "turn")
        told = draft is not None and draft.placed and draft.who is not None and draft.who.pronoun not in ("he", "his")
        if lexeme.text.lower() != "next" or self.negated or self.reason or draft is None or not (ends and told):
            return False
        draft.marks.add("threat")
        return True

    def _on_door(self, sense: str, lexeme: Lexeme) -> bool:
        """Take "he's through it" and "that's where he goes" as the king's move to what was told to be open to him."""
        before, spoken = self.draft, self.spoken
        squares = list(self.doors)
        if spoken is not None and not any(
            isinstance(each, Move) and each.span.overlaps(spoken[1]) for each in self.found
        ):
            squares = [spoken[0]] if before is None else squares  # "nobody's watching a5, so that's where he goes"
        if not squares or self.negated:
            return False
        goes = before is not None and not before.placed and (before.who is None or before.who.nameless)
        if before is not None and goes and not before.effects:
            self.draft = None
        self._flush()
        self.reason = False
        draft = self._fresh(lexeme.span)
        draft.who, draft.verb = Who(lexeme.span, (chess.KING,), ours=False, pronoun="he"), "go"
        draft.to = [(square, lexeme.span) for square in squares]
        self._flush()
        return True

    def left_open(self) -> tuple[chess.Square, ...]:
        """Return the squares that were told last to be open to the king: "he has one door, g2"."""
        units = (place for place, each in enumerate(self.given) if each.sense("unit") in ("flight", "square"))
        told = self.given[next(units, len(self.given)) + 1 :]
        found = [each.square for each in takewhile(_goes_on, dropwhile(_leads, told)) if each.square is not None]
        return tuple(found) or self.doors

    def _has_listed(self) -> bool:
        """Take "he has one move, g7" as that move, and "two squares, e5 and f6" as what can be played."""
        draft = self.draft
        if draft is None or draft.placed or draft.verb or draft.who is None or self.negated:
            return False
        place, count = self.index + 1, ""
        while place < min(len(self.given), self.index + _MOST) and not self._counts_moves(place):
            if not self.given[place].categories & _COUNTED:
                return False
            count = self.given[place].sense("count") or ("1" if "one" in self.given[place].categories else count)
            place += 1
        if place >= len(self.given) or self.given[place].sense("unit") not in ("move", "square", "flight", None):
            return False
        place += 1
        while place < len(self.given) and self._leads_at(place):
            place += 1
        if place >= len(self.given) or self.given[place].kind != "square" or count in ("", "0"):
            return False
        one = count == "1"
        leaps = any("landing" in each.categories for each in self.given[self.index : place])
        draft.verb, draft.apart, self.index = "go" if one or leaps else "have", True, place
        self.able = self.able or not one
        return True

    def _counts_moves(self, place: int) -> bool:
        return bool(self.given[place].categories & {"unit", "landing"})

    def _leads_at(self, place: int) -> bool:
        each = self.given[place]
        return each.kind in ("comma", "colon", "dash") or bool(each.categories & {"to", "at", "filler"})

    def _on_whichever(self, sense: str, lexeme: Lexeme) -> bool:
        """Take "I don't care which" of the man named last as all its moves."""
        told = self.found[-1] if self.found else None
        who = told.who if isinstance(told, Said) and told.kind in ("topic", "reason") else None
        who = who if who is not None and who.kinds else self.topic
        if who is None or not who.kinds or who.plural or self._moves() or (self.draft is not None and self.draft.tells):
            return False
        self.reason = False
        self._all_of(who, lexeme, self.index + 1)
        self._flush()
        return True

    def _on_do(self, sense: str, lexeme: Lexeme) -> bool:
        """Take "if you do g6" as a move."""
        who = None if self.draft is None else self.draft.who
        named = (who is not None and who.nameless) or (self.draft is None and self._you())
        if not named or not self._square_next(1):
            return False
        return self._verb("put", lexeme)

    def _new_man(self, draft: Draft) -> Move | None:
        """Return what may be a promotion where a man is named on the last rank: "knight on d8, with check"."""
        who = draft.who
        if who is None or who.square is None or not who.kinds or who.kinds[0] not in _PROMOTED or who.plural:
            return None
        if chess.square_rank(who.square) not in _LAST_RANKS or draft.verb or who.colour is not None or who.fronted:
            return None
        behind = [each for each in self.given if each.span.start >= draft.end]
        told = [each.sense("effect") or each.sense("mark") in ("fail", "solve", "refutes") for each in behind[:6]]
        first = next((at for at, said in enumerate(told) if said), None)
        if first is None or any(each.kind in ("square", "move") for each in behind[: min(3, first)]):
            return None
        draft.idles = True
        return finished(draft, self.text, tuple(self.uncovered))

    def _castled(self) -> None:
        """Take the king's and the rook's part of castling together: "king over to g1, rook jumps to f1"."""
        for place in range(len(self.found) - 1):
            king, rook = self.found[place : place + 2]
            if not isinstance(king, Move) or not isinstance(rook, Move) or king.printed or rook.printed or rook.effects:
                continue
            (first, *_), (second, *_) = king.ways[0].choices, rook.ways[0].choices
            beside, wing = _CASTLED.get(first.destination or chess.A2, (None, ""))
            parts = first.piece == chess.KING and second.piece == chess.ROOK and beside is not None
            if not parts or second.destination != beside or len(king.ways[0].choices) > 1:
                continue
            draft = Draft(king.span.start, rook.span.end, who=king.who, castling=wing, apart=True, stance=king.stance)
            draft.marks, draft.number = set(king.marks), king.number
            self.found[place : place + 2] = [finished(draft, self.text, (*king.uncovered, *rook.uncovered))]
            return
