"""What stands around the word at hand in its sentence."""

from __future__ import annotations

from collections.abc import Iterator

from keyproof.grammar.lexicon.lexemes import Lexeme

from .men import man_at
from .values import Who

_ENDS = ("stop", "question", "semicolon")
_SOFT = ("comma", "colon", "dash", "close", "open", "cell")
_SMALL = frozenset({"filler"})
_LEADS_TO = frozenset({"to", "at", "by", "with"})


class Ahead:
    """Looks ahead, and back, in one sentence."""

    given: list[Lexeme]
    index: int

    def _next(self, ahead: int = 1) -> Lexeme | None:
        place = self.index + ahead
        return self.given[place] if place < len(self.given) else None

    def _rest_of_clause(self, *, through: str = "") -> Iterator[Lexeme]:
        for each in self.given[self.index + 1 :]:
            if (each.kind in (*_ENDS, *_SOFT) and each.kind != through) or each.sense("link") in ("but", "then"):
                return
            yield each

    def _last_word(self) -> Lexeme | None:
        """Return what stands before the word at hand, but for small words and line ends."""
        before = reversed(self.given[: self.index])
        return next((each for each in before if each.kind != "line" and each.categories != _SMALL), None)

    def _square_next(self, ahead: int) -> bool:
        following = self._next(ahead)
        return following is not None and following.kind == "square"

    def _one_more_next(self) -> bool:
        """Tell whether a word that led to the move before leads to another: "fails to Kd6 and to Kd5"."""
        following, after = self._next(), self._next(2)
        leads = following is not None and bool(following.categories & _LEADS_TO)
        return leads and after is not None and after.kind in ("move", "number")

    def _named_again(self, who: Who | None) -> bool:
        """Tell whether the very next words name a man of that kind, and a square: "you might go queen g1"."""
        found = man_at(self.given, self.index + 1)
        if who is None or found is None or found[0].kinds != who.kinds:
            return False
        return self._square_next(found[1] - self.index)

    def _behind(self) -> bool:
        """Tell whether nothing of the sentence follows but its end or a comma."""
        following = self._next()
        return following is None or following.kind in (*_ENDS, "comma", "colon")

    def _line_since(self, mark: str) -> bool:
        """Tell whether a line has ended since a mark was set."""
        for each in reversed(self.given[: self.index]):
            if each.kind == "line" or each.sense("mark") == mark:
                return each.kind == "line"
        return False
