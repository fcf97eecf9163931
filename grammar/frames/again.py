"""What is said to happen once more: "king d5, the same", "and likewise on Kd5"."""

from __future__ import annotations

from keyproof.grammar.lexicon.lexemes import Lexeme
from keyproof.grammar.moves import Effect
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import MoveNumber
from msgspec.structs import replace

from .denials import Denials
from .men import man_at
from .values import Move, Said

_MOST_ALIKE = 6  # moves behind "likewise" that it may be said of, where no sign ends the clause
_OF_BOTH = frozenset(("filler", "harmless", "be", "effect", "mark", "article", "of", "can"))
_BETWEEN = frozenset({"article", "of", "count", "our", "your", "own", "this", "other"})
_BEFORE = frozenset({"link", "anchor", "filler", "harmless", "gives", "have", "article", "be"})
_STOPS = ("stop", "question", "semicolon")
_LEADS = ("comma", "colon", "dash")
_TOLD = ("move", "square", "number", "old")
_ALL_THESE = frozenset(("each", "both", "them", "either", "these", "those", "all", "every"))
_NEAR = 5  # signs behind "both threats" in which these may be told
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
                self.found.append(
                    Said("again", self.again, marks=self.again_of, stance=self._stance(), who=self.again_by)
                )
            self.again, self.again_of, self.again_by = None, frozenset(), None

    def _on_either(self, sense: str, lexeme: Lexeme) -> bool:
        """Take "either", "both still mate" and "either rook" for an answer: several moves told before do."""
        if self.reason or self.negated or self._tells_where(self.index + 1) or self._called_threats():
            return False
        named = man_at(self.given, self.index + 1)
        who = named[0] if named is not None and named[0].kinds else None
        place = self._does(self.index + 1 if named is None else named[1])
        behind, span = self.given[place:], lexeme.span.to(self.given[place - 1].span)
        if who is not None and any(
            self._tells_where(at) or _acts(self.given[at]) for at in range(place, len(self.given))
        ):
            return False  # "either rook takes it", "both pawns to be pushed, c4"
        self._flush()
        self.index = place
        marks = frozenset({"either"})
        follows = any(each.kind in ("square", "move") or "man" in each.categories for each in behind)
        if follows and not any(isinstance(each, Move) for each in self.found):
            self.again, self.again_of, self.again_by = span, marks, who
        else:
            self.found.append(Said("again", span, marks=marks, who=who))
        return True

    def _does(self, place: int) -> int:
        """Return where what is said of both ends: "both of the threats still work", "both are mate"."""
        end = place
        while place < len(self.given) and self.given[place].categories & _OF_BOTH:
            place += 1
            said = self.given[place - 1]
            end = place if said.sense("effect") or said.sense("mark") in ("threat", "solve") else end
        return end

    def _tells_where(self, place: int) -> bool:
        """Tell whether squares or moves stand at a place: "both c4 and b5"."""
        following = self.given[place] if place < len(self.given) else None
        return following is not None and following.kind in ("square", "move", "number", "old")

    def _same_man(self, lexeme: Lexeme) -> bool:
        """Tell whether "same" says which man acts: "the same rook takes it", and not "the same, rook d5"."""
        man, behind = self._next(), self._next(2)
        acts = behind is not None and behind.categories & {"take", "go", "effect", "can", "stand", "promote"}
        return "same" in lexeme.categories and man is not None and "man" in man.categories and bool(acts)

    def _repeats(self, lexeme: Lexeme) -> bool:
        """Take "again" as the last answer played once more: after the moves told before it, or those that follow."""
        following = self._next()
        to = following is not None and "to" in following.categories and self._square_next(2)
        if to and self.draft is not None and self.draft.verb and not self.draft.placed:
            return True  # "back he comes again to a3"
        if self.draft is not None and self.draft.tells:
            self._flush()
        told = [each for each in self.found if isinstance(each, Move)]
        if told and told[-1] is self.found[-1] and told[-1].vague and told[-1].verb == "put" and _nameless(told[-1]):
            self.found.pop()  # "he pushes it just the same"
        elif told and told[-1] is self.found[-1] and told[-1].bare and not told[-1].vague:
            told[-1] = self.found[-1] = replace(told[-1], bare=False, apart=True)  # "d3 the same"
        if told and not _ends_line(told[-1]) and not (self._is_answered(told[-1]) and self._speaks_of_next()):
            self.found.append(Said("again", lexeme.span, marks=frozenset(self.marks), stance=self._stance()))
            if "refute" in self.marks:
                self._calls_last("was fail")  # "a queen on g8 founders on the same step"
            self.marks -= {"then", "refute"}
        elif not told or self._speaks_of_next():
            self.again = lexeme.span
        return True

    def _ends_again(self, last: Move, number: MoveNumber) -> bool:
        """Tell whether a number ends what "likewise" is said of: not one more of a list, "beats 1.Qb3 and 1.Rb5"."""
        lists = last.number is not None and last.number.ply == number.ply == 1
        return self.again is not None and self.again < last.span and not lists

    def _beats(self, sense: str) -> bool:
        """Take "Kd5 is the answer to 1.Qe4" as told the other way round; of what "meets" only the numbers tell."""
        following = self._next()
        if sense == "meets" and (following is None or following.kind != "number"):
            return False
        self._flush()
        self.marks.discard("key")  # "the only answer to 1.Rd1"
        if sense == "beats" and following is not None and following.text.lower() in _ALL_THESE:
            after = self._next(2)
            if after is not None and ("be" in after.categories or after.kind == "colon"):
                self.marks |= {"refute", "together"}  # "the reply to each is Kd6"
                return True
            return self._calls_last("refute")  # "and B takes P disposes of each": those are told before
        if sense == "beats" and self._beats_again():
            return True
        self.beater = len(self.found) - 1 if self.found and isinstance(self.found[-1], Move) else self.beater
        self.beats = sense == "beats"
        return True

    def _beats_again(self) -> bool:
        """Take what beats another first move for the reply told before: "the same move beats 1.Rb8"."""
        following, last = self._next(), self.found[-1] if self.found else None
        told = isinstance(last, Said) and last.kind == "again"
        number = None if following is None else following.number
        if number is None or number.ply != 1 or not (told or not self._moves()):
            return False
        if told:
            self.found.pop()
        self.again = self.given[self.index].span
        return True

    def _tells_why_it_fails(self) -> None:
        """Say that the last move refutes, where it tells why something fails: "not enough, as the king takes"."""
        last = self.found[-1] if self.found else None
        if isinstance(last, Move) and {"fail", "because"} <= last.marks and not last.effects:
            self.found[-1] = replace(last, marks=last.marks | {"refute"})

    def _all_threats(self) -> bool:
        """Take "both threats work" and "then either mate" as all threats told, carried out."""
        place = self.index + 1
        if "quantifier" not in self.given[self.index].categories or not self._begins_answer() or self._called_threats():
            return False
        while place < len(self.given) and self.given[place].categories & _BETWEEN:
            place += 1
        named = self.given[place] if place < len(self.given) else None
        if named is None or not (named.sense("mark") == "threat" or named.sense("effect") == "mate"):
            return False
        following = self.given[place + 1] if place + 1 < len(self.given) else None
        if "effect" in named.categories:
            noun = self.given[self.index].sense("quantifier") == "one" or named.text.lower().endswith("s")
            if not noun or (following is not None and "unit" in following.categories):
                return False  # "queen f6, e7 or h6, all three mate", "both mating moves"
        return self._carries_out_all(named.span, place + 1)

    def _called_threats(self) -> bool:
        """Tell whether moves told just before are called threats: "Bb3 and Ra3 are both threatened"."""
        before, following = self._last_word(), self._next()
        said = before is not None and before.sense("be") is not None and self._moves()
        return said and following is not None and following.sense("mark") == "threat"

    def _carries_out_all(self, span: Span, end: int) -> bool:
        """Say that all threats are carried out, unless the words behind tell which: "both threats, Qd8 and Qc8"."""
        behind = self.given[end:]
        leads = behind[1:] if behind and behind[0].kind in _LEADS else behind[:_NEAR]
        for each in leads[:_NEAR]:
            if each.kind in _STOPS or each.sense("link") in ("but", "if"):
                break
            if each.kind in _TOLD or "man" in each.categories:
                return False
        self._flush()
        self.reason = self.negated = False
        self.marks.discard("then")
        self.found.append(Said("again", span, marks=frozenset({"either"})))
        self.index = end
        return True

    def _begins_answer(self) -> bool:
        """Tell whether nothing that is done to what follows stands before: not "stops both threats"."""
        before = self.given[self.index - 1] if self.index else None
        if before is None or before.kind in (*_STOPS, *_LEADS, *_TOLD, "line", "open", "close"):
            return True
        told = self.draft or (self.found[-1].span if self.found and isinstance(self.found[-1], Move) else None)
        if told is not None and told.start <= before.span.start < told.end and "unit" in before.categories:
            return True  # "after any other move both threats"
        return bool(before.categories & _BEFORE) and "deny" not in before.categories

    def _is_answered(self, told: Move) -> bool:
        """Tell whether a move told is an answer, or has got one: "on Kd5 either; likewise on Ke5"."""
        last = self.found[-1]
        return _answers(told) or (isinstance(last, Said) and last.kind == "again")

    def _speaks_of_next(self) -> bool:
        """Tell whether "likewise" stands before the defence it speaks of: "mate, likewise on Kd5"."""
        following, after = self._next(), self._next(2)
        if following is not None and following.kind in ("move", "number"):
            return True
        leads = following is not None and following.sense("link") == "if"
        return leads and after is not None and after.kind in ("move", "number")


def _acts(each: Lexeme) -> bool:
    return bool(each.categories & {"go", "put", "take", "to", "man"}) or each.sense("link") == "or"


def _nameless(told: Move) -> bool:
    return told.who is not None and bool(told.who.pronoun)


def _ends_line(told: Move) -> bool:
    """Tell whether something is said of a move by which nothing is left to be told: it is more than a check."""
    return any(effect not in _CHECKS for effect, _ in told.effects)


def _answers(told: Move) -> bool:
    """Tell whether a move is printed as mate, or with the number of an answer."""
    if told.number is not None and not told.number.second and (told.number.value or 0) > 1:
        return True
    return any(effect is Effect.mate for way in told.ways for each in way.choices for effect, _ in each.effects)
