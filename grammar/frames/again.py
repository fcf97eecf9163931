"""What is said to happen once more: "king d5, the same", "and likewise on Kd5"."""

from __future__ import annotations

from keyproof.grammar.lexicon.lexemes import Lexeme
from keyproof.grammar.moves import Effect
from msgspec.structs import replace

from .denials import Denials
from .values import Move, Said

_MOST_ALIKE = 6  # moves behind "likewise" that it may be said of, where no sign ends the clause
_CHECKS = (Effect.check, Effect.not_check, Effect.double_check, Effect.discovered_check)


class Again(Denials):
    """Reads words that say of moves what was said of others."""

    def _told_again(self) -> None:
        """Say "likewise" of the moves that stood behind it, where it was said before them."""
        if self.again is not None:
            self._flush()
            told = [at for at, each in enumerate(self.found) if isinstance(each, Move) and self.again < each.span]
            for at in told[1:]:  # "and after 1...cxb3" is one more of a list
                each = self.found[at]
                if isinstance(each, Move) and not each.effects and (each.number is None or each.number.second):
                    self.found[at] = replace(each, listed=True, marks=each.marks - {"if"})
            if len(told) <= _MOST_ALIKE:
                self.found.append(Said("again", self.again, stance=self._stance()))
            self.again = None

    def _repeats(self, lexeme: Lexeme) -> bool:
        """Take "again" as the last answer played once more: after the moves told before it, or those that follow."""
        following = self._next()
        to = following is not None and following.sense("to") is not None and self._square_next(2)
        if to and self.draft is not None and self.draft.verb and not self.draft.placed:
            return True  # "back he comes again to a3"
        if self.draft is not None and self.draft.tells:
            self._flush()
        told = [each for each in self.found if isinstance(each, Move)]
        if told and told[-1] is self.found[-1] and told[-1].vague and told[-1].verb == "put" and _nameless(told[-1]):
            self.found.pop()  # "he pushes it just the same"
        elif told and told[-1] is self.found[-1] and told[-1].bare and not told[-1].vague:
            told[-1] = self.found[-1] = replace(told[-1], bare=False, apart=True)  # "d3 the same"
        if told and not _ends_line(told[-1]) and not (_mates(told[-1]) and self._speaks_of_next()):
            self.found.append(Said("again", lexeme.span, marks=frozenset(self.marks), stance=self._stance()))
            self.marks -= {"then"}
        elif not told or self._speaks_of_next():
            self.again = lexeme.span
        return True

    def _speaks_of_next(self) -> bool:
        """Tell whether "likewise" stands before the defence it speaks of: "mate, likewise on Kd5"."""
        following, after = self._next(), self._next(2)
        if following is not None and following.kind in ("move", "number"):
            return True
        leads = following is not None and following.sense("link") == "if"
        return leads and after is not None and after.kind in ("move", "number")


def _nameless(told: Move) -> bool:
    return told.who is not None and bool(told.who.pronoun)


def _ends_line(told: Move) -> bool:
    """Tell whether something is said of a move by which nothing is left to be told: it is more than a check."""
    return any(effect not in _CHECKS for effect, _ in told.effects)


def _mates(told: Move) -> bool:
    """Tell whether a move is printed as mate."""
    return any(effect is Effect.mate for way in told.ways for each in way.choices for effect, _ in each.effects)
