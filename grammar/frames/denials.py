"""What is denied and what is taken back: "he can't take her", "to e3, sorry, e4"."""

from __future__ import annotations

from keyproof.grammar.cues import Stance, prevents
from keyproof.grammar.lexicon.lexemes import Lexeme
from msgspec.structs import replace

from .becoming import Becoming
from .men import man_at
from .values import Move

_ENDS = ("stop", "question", "semicolon")
_SOFT = ("comma", "colon", "dash", "close", "open", "cell")

_TELLS = ("move", "square", "number", "old")
_FORBIDDEN = ("allowed", "permitted", "welcome", "possible")
_ASKS = ("doesn't", "don't", "didn't", "does not", "do not", "did not")  # at the head of a question that says so
_PRONOUNS = frozenset({"we", "you", "pronoun"})
_DOES = frozenset(("will", "would", "does", "do", "did", "is", "can"))


_NOR = ("nor", "or")


def _saves(word: Lexeme) -> bool:
    return bool(word.categories & {"avail", "prevents"}) or word.sense("mark") == "refutes"


class Denials(Becoming):
    """Reads words that deny or take back. Each method takes a sense and its lexeme and tells whether it was that."""

    def _on_withdraw(self, sense: str, lexeme: Lexeme) -> bool:
        """Take back the move before; what is told in its place keeps what is not told anew."""
        if self._apologises(lexeme):
            return True
        following = self._next() if lexeme.text.lower() != "no" else self.given[self.index]
        if following is None or following.kind in (*_ENDS, "comma"):
            behind = self.draft is not None and self.draft.tells and self.draft.who is None
            if behind and (told := self._take_back()) is not None:
                assert self.draft is not None
                self.draft.who, self.draft.take = told.who, self.draft.take
                self.draft.marks |= told.marks
                return True
            if following is None or following.kind != "comma":
                return True
        self._flush()
        told = self._take_back()
        if told is not None and told.who is not None and not told.printed:
            draft = self._fresh(lexeme.span)
            draft.who, draft.start, draft.marks = told.who, told.span.start, set(told.marks)
        elif told is not None:
            self.marks |= told.marks
        return True

    def _corrects(self, lexeme: Lexeme) -> bool:
        """Tell whether "no" takes back a square: "to e3, no, e4"."""
        before = self.given[self.index - 1] if self.index else None
        following, after = self._next(), self._next(2)
        if lexeme.text.lower() != "no" or before is None or following is None or after is None:
            return False
        if before.kind == "dash" and following.kind == "comma":
            return after.kind in ("square", "move") or bool(
                after.categories & {"to", "man"}
            )  # "queen takes - no, rook"
        commas = before.kind == "comma" and following.kind == "comma"
        return commas and (after.kind == "square" or "to" in after.categories)

    def _apologises(self, lexeme: Lexeme) -> bool:
        """Tell whether somebody is only sorry: "I'm sorry, he takes it"."""
        place = self.index + 1
        while place < len(self.given) and (
            self.given[place].kind == "comma" or self.given[place].sense("link") == "but"
        ):
            place += 1
        if "sorry" not in lexeme.text.lower():
            return False
        told = any(each.kind in _TELLS or each.sense("man") is not None for each in self.given[place:])
        if place < len(self.given) and self.given[place].kind == "word" and not told:
            return True  # "he trots off to f2, sorry, thanks for playing"
        found = man_at(self.given, place)
        if found is None or found[0].pronoun not in ("he", "she", "it", "they") or found[1] >= len(self.given):
            return False
        return bool(self.given[found[1]].categories & {"go", "put", "take", "can", "filler"})

    def _on_deny(self, sense: str, lexeme: Lexeme) -> bool:
        if self._lets_through(self._next()):
            self._flush()
            self.reason = self.negated = False
            self.marks.add("then")
            self.index += 2
            return True
        if lexeme.text.lower() == "neither" and self._helps_not():
            return True  # "neither knight d5 nor knight g2 helps": they may be played
        before = self.given[self.index - 1] if self.index else None
        if lexeme.text.lower() == "nothing" and before is not None and "be" in before.categories:
            self._flush()  # "knight to f2, pawn to d2 are nothing"
            return True
        return self._denies(sense, lexeme)

    def _denies(self, sense: str, lexeme: Lexeme) -> bool:
        before = self.given[self.index - 1] if self.index else None
        apart = before is not None and (before.kind in _SOFT or before.sense("link") == "and")
        if lexeme.text.lower() == "nothing" and apart and self._behind():
            self._flush()
            if self._calls_last("was futile"):
                return True
        following = self._next()
        if lexeme.text.lower() == "nothing" and (found := man_at(self.given, self.index + 1)) and found[0].kinds:
            return True  # "c two, nothing, knight g six"
        if lexeme.text.lower() == "nothing" and self.draft is not None and self.draft.phrases:
            self._flush()  # "2.Kb3 Kb2 nothing is left", "1...Kg8 shows nothing": the move is none the less played
            behind = self._next(2) if following is not None and "can" in following.categories else following
            self.negated, self.denial = behind is not None and "prevents" in behind.categories, self.index
            return True
        turned = following is not None and following.categories & _PRONOUNS
        if lexeme.text.lower() in ("neither", "nor") and following is not None and following.text.lower() in _DOES:
            self.marks.add("try")  # "Neither will 1.Qe4 do"
            return True
        idle = self.draft is not None and (self.draft.idle or not self.draft.tells)
        if self.asked and lexeme.text.lower() in _ASKS and man_at(self.given, self.index + 1) is not None:
            turned = _PRONOUNS  # "does not the king step to g7?"
        heads = lexeme.text.lower().endswith(("n't", *_ASKS)) and turned
        if heads and (self.draft is None or (idle and self.draft.who)):
            self._flush()
            self.stance = Stance.asked  # "can't I make a rook"
            return True
        if self._cannot(following):
            last = self.found[-1]
            self.draft, self.found[-1] = None, replace(last, stance=Stance.denied)
            return True
        if self.draft is not None and self.draft.phrases and self._far_behind(self.draft.end):
            self._flush()  # "1.Rg4, a gift that cannot be taken"
        if self.draft is not None and self.draft.tells and not self.draft.effects:
            if following is not None and "effect" not in following.categories and not self.draft.verb:
                self.draft.stance = Stance.denied
        elif self.draft is not None:
            self.draft.stance = Stance.denied
        elif self._takes_back():
            self._take_back()
            return True
        elif sense == "not" and self._leads(self._next()):
            self.marks.add("try")  # "and not bishop f6": no denial that it can be played
            return True
        self.negated, self.denial = True, self.index
        return True

    def _hinders_none(self) -> bool:
        """Tell whether moves told before do not prevent the one behind: "neither knight d5 nor g2 hinders queen g7"."""
        before = self.given[: self.index]
        none = any(each.sense("count") == "0" or each.text.lower() == "neither" for each in before)
        moves = self._moves() or self.draft is not None or any(each.sense("unit") == "move" for each in before)
        return none and moves and self._tells_move(1)

    def _tells_move(self, ahead: int) -> bool:
        """Tell whether a square or a printed move follows, with its man or without."""
        named = self._next(ahead)
        after = self._next(ahead + 1) if named is not None and "man" in named.categories else named
        return after is not None and after.kind in ("square", "move", "number")

    def _helps_not(self) -> bool:
        """Tell whether moves are listed of which it is said that they do not help, and not that they cannot be made."""
        behind = self.given[self.index + 1 :]
        verb = next((at for at, each in enumerate(behind) if _saves(each)), len(behind))
        told = any(each.kind in _TELLS for each in behind[:verb])
        return told and verb < len(behind) and any(each.text.lower() in _NOR for each in behind[:verb])

    def _lets_through(self, following: Lexeme | None) -> bool:
        """Tell whether what a move does not prevent is told, and follows it: "knight d5 does not stop queen g7"."""
        if following is None or not ("prevents" in following.categories or following.sense("mark") == "refutes"):
            return False
        return self._tells_move(2) and not self.asked

    def _on_prevents(self, sense: str, lexeme: Lexeme) -> bool:
        """Deny the move that something is said to prevent: "she stops 1...O-O"."""
        if self._hinders_none():
            self._flush()
            self.reason = self.negated = False
            self.marks.add("then")
            return True
        if not prevents(self.given, self.index):
            return False
        self._flush()
        denied = self.negated and all("can" in each.categories for each in self.given[self.denial + 1 : self.index])
        if denied or (self.index and self.given[self.index - 1].sense("count") == "0"):
            self.negated, self.able = False, True  # "nothing can stop him going to a5", "there is no stopping ..."
            return True
        self.negated, self.denial = True, self.index
        return True

    def _far_behind(self, end: int) -> bool:
        """Tell whether more than a helping verb stands between a printed move and the word at hand."""
        return sum(each.span.start >= end for each in self.given[: self.index]) > 1

    def _cannot(self, following: Lexeme | None) -> bool:
        """Tell whether the move told last is denied behind it: "the pawn takes her, but no, it can't"."""
        ends = following is None or following.kind in (*_ENDS, *_SOFT, "line") or "article" in following.categories
        ends = ends or self._not_allowed(following)
        who = None if self.draft is None or self.draft.tells else self.draft.who
        named = who is not None and who.pronoun and who.nameless
        return bool(ends and named and self.found and isinstance(self.found[-1], Move) and not self.asked)

    def _not_allowed(self, following: Lexeme | None) -> bool:
        """Tell whether "on d6 I'm not allowed any more" ends what it says with this."""
        after = self._next(2)
        leads = after is not None and ("to" in after.categories or after.kind == "square")
        return following is not None and following.text.lower() in _FORBIDDEN and not leads

    def _takes_back(self) -> bool:
        """Tell whether "he can't do that" denies the move before."""
        ends = (*_ENDS, *_SOFT, "line")
        if self.asked:
            return False
        for ahead in range(1, 4):
            each, behind = self._next(ahead), self._next(ahead + 1)
            if each is None or each.kind in ends:
                return False
            if "this" in each.categories:
                last = behind is None or behind.kind in ends or bool(behind.categories & {"filler", "link"})
                return last and len(self.found) > 0
        return False
