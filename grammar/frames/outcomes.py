"""What a move is said to do: it mates, gives check, or leaves the other side no move."""

from __future__ import annotations

import chess
from keyproof.grammar.cues import Stance
from keyproof.grammar.lexicon.lexemes import Lexeme
from keyproof.grammar.moves import Effect
from keyproof.grammar.spans import Span
from msgspec.structs import replace

from .headings import Headings
from .values import Draft, Move, Said

_NEAR = 4  # signs between the end of a sentence and the next
_THE_END = ("end", "finish", "lot")
_EFFECTS = {
    "mate": Effect.mate,
    "check": Effect.check,
    "double": Effect.double_check,
    "discovered": Effect.discovered_check,
    "stalemate": Effect.stalemate,
}


class Outcomes(Headings):
    """Reads the words for mate, check and stalemate, and whom they are said of."""

    def _on_effect(self, sense: str, lexeme: Lexeme) -> bool:
        following = self._next()
        if following is not None and "within" in following.categories and sense == "mate":
            after = self._next(2)
            if after is not None and (after.sense("count") or after.text.isdecimal()):
                self.index += 3
                return True
        lands = sense == "check" and self._check_lands(lexeme)
        if not lands and self._begins_sentence(lexeme):
            self._flush()  # "1.g4! Mate follows on c3"
            return True
        effect = _EFFECTS[sense]
        if self.negated and (self._is_of_others() or self._rather_more() or self._is_of_a_kind()):
            self.negated = False
            if self.draft is not None and self.draft.stance is Stance.denied:
                self.draft.stance = Stance.asserted
            return True
        before = self.given[self.index - 1] if self.index else None
        if self.negated or (before is not None and before.sense("count") == "0"):
            if effect not in (Effect.mate, Effect.check):
                return True
            effect = Effect.not_mate if effect is Effect.mate else Effect.not_check
        if before is not None and not lands and self._is_named_only(before, lexeme):
            return True
        said = (effect, lexeme.span)
        if self.reason:
            self._flush()
            self.reason = False
        on_square = lands or (following is not None and bool(following.categories & {"at", "with", "by"}))
        if not on_square and self._is_done_to_king():
            self.draft = None  # "and he is mate", "y el rey está mate": the move before mates
        if self.draft is not None:
            if self.negated and self.draft.stance is Stance.denied:
                self.draft.stance = Stance.asserted
            self._says_of(self.draft, said, before)
            self.negated = False
            return True
        last = self.found[-1] if self.found else None
        if isinstance(last, Move) and not on_square and not self.marks & {"if", "threat", "key"}:
            self.found[-1] = replace(last, effects=(*last.effects, said))
        elif on_square and not self._points_back():
            self._fresh(lexeme.span).effects.append(said)
        else:
            self.found.append(Said("effect", lexeme.span, effects=(said,), stance=self._stance()))
        self.negated = False
        return True

    def _says_of(self, draft: Draft, said: tuple[Effect, Span], before: Lexeme | None) -> None:
        """Add to a move what it is said to do; a word that takes half of it back is no part of it: "almost mate"."""
        draft.effects.append(said)
        if before is None or "doubt" not in before.categories:
            draft.end = said[1].end
        elif not draft.placed:
            self.uncovered.append(before.span)

    def _no_mate(self, lexeme: Lexeme) -> bool:
        """Say of a move that was just called check that it is no mate: "2.Na3+ is check but not mate"."""
        if "not mate" not in lexeme.categories:
            return False
        said = (Effect.not_mate, lexeme.span)
        last = self.found[-1] if self.found else None
        if self.draft is not None:
            checks = any(effect is Effect.check for effect, _ in self.draft.effects)
            if checks:
                self.draft.effects.append(said)
            return checks
        if not isinstance(last, Move) or not any(effect is Effect.check for effect, _ in last.effects):
            return False
        self.found[-1] = replace(last, effects=(*last.effects, said))
        return True

    def _is_named_only(self, before: Lexeme, lexeme: Lexeme) -> bool:
        """Tell whether it is named and not said of a move: "the check Qd3", "the checks Qd3, Qe6"."""
        following = self._next()
        leads = self.stance is Stance.asked or (following is not None and following.kind in ("number", "move"))
        if "article" in before.categories and (leads or lexeme.text.lower().endswith("s")):
            return True
        if lexeme.text.lower() == "mates" and before.sense("count") not in (None, "1"):
            return True  # "and three mates hang over him"
        return "other" in before.categories and self.draft is None

    def _check_lands(self, lexeme: Lexeme) -> bool:
        """Tell whether a check is named by the square it is given on: "a check from d7", "the checks on e8 and f7"."""
        before, following = self.given[self.index - 1] if self.index else None, self._next()
        noun = (before is not None and before.sense("article") is not None) or lexeme.text.lower().endswith("s")
        leads = following is not None and bool(following.categories & {"at", "from"})
        return noun and leads and self._square_next(2) and (self.draft is None or not self.draft.placed)

    def _begins_sentence(self, lexeme: Lexeme) -> bool:
        behind = self.text[max(0, lexeme.span.start - _NEAR) : lexeme.span.start].rstrip()
        return lexeme.text[:1].isupper() and behind[-1:] in ("!", "?")

    def _rather_more(self) -> bool:
        """Tell whether more than what is denied follows: "not a check but the end", "not check but mate"."""
        following, after = self._next(), self._next(2)
        if following is None or following.sense("link") != "but" or after is None:
            return False
        after = self._next(3) if "article" in after.categories else after
        return after is not None and ("effect" in after.categories or after.text.lower() in _THE_END)

    def _is_of_a_kind(self) -> bool:
        """Tell whether it is only denied of what kind a mate is: "but not a model mate"."""
        between = self.given[self.denial + 1 : self.index]
        return len(between) > 1 and "article" in between[0].categories

    def _is_of_others(self) -> bool:
        """Tell whether it is denied of all other moves: "no other move is mate"."""
        told = self.given[self.denial : self.index]
        return any({"no other", "other"} & each.categories or each.text.lower() == "else" for each in told)

    def _is_done_to_king(self) -> bool:
        """Tell whether a king, or a pronoun, is said to be mate, and is no man who mates: "en hij staat mat"."""
        draft = self.draft
        if draft is None or draft.who is None or draft.placed or draft.effects or draft.verb not in ("", "stand"):
            return False
        if not draft.who.nameless and draft.who.kinds != (chess.KING,):
            return False
        around = self.given[max(0, self.index - 3) : self.index]
        is_so = any("be" in each.categories or "stand" in each.categories for each in around)
        if is_so and draft.who.pronoun == "it" and not self.found:
            return True  # "So it is mate" begins a sentence
        return is_so and bool(self.found) and isinstance(self.found[-1], Move) and draft.who.colour is None
