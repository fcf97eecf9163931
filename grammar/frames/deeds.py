"""The words for what men do: they go, take, castle, become another man, check and mate, guard and pin."""

from __future__ import annotations

from itertools import dropwhile, pairwise, takewhile

import chess
from keyproof.grammar.cues import Stance
from keyproof.grammar.lexicon.lexemes import Lexeme

from .men import man_at
from .outcomes import Outcomes
from .values import Move, Said, Who

_PROMOTED = (chess.QUEEN, chess.ROOK, chess.BISHOP, chess.KNIGHT)
_ARTICLES = ("a", "an", "the")
_MANY = ("pieces", "men", "pawns", "checks", "squares", "moves", "jumps")
_PUSHES = ("push", "advanc", "nudg", "shov")


_HER = ("her",)


class Deeds(Outcomes):
    """Reads the verbs of a clause. Each method takes a sense and its lexeme and tells whether it was that."""

    def _on_castle(self, sense: str, lexeme: Lexeme) -> bool:
        following = self._next()
        if lexeme.text.lower() == "castling" and following is not None and following.sense("man") == "rook":
            return True  # "it is the castling rook that has moved"
        if self.draft is not None and (self.draft.tells or (self.draft.who and not self.draft.who.nameless)):
            self._flush()
        draft = self._open(lexeme.span)
        around = self.given[max(0, self.index - 1) : self.index + 5]
        wing = next((each.sense("wing") for each in around if each.sense("wing")), None)
        draft.castling = wing or "either"
        before = self.given[self.index - 1] if self.index else None
        if before is not None and before.sense("count") == "0":
            draft.stance = Stance.denied  # "no castling here"
        self.reason = False
        return True

    def _on_take(self, sense: str, lexeme: Lexeme) -> bool:
        if self._takes_away():
            return self._why(lexeme)
        before, following = self.given[self.index - 1] if self.index else None, self._next()
        if "count" in lexeme.categories and self._counts_behind(before, following):
            return True  # "it's got ate moves"
        if self._takes_no_man():
            return True
        if "unit" in lexeme.categories and following is not None and following.kind in ("number", "move"):
            return True  # "the capture 1...bxc3"
        passive = before is not None and ("be" in before.categories or before.text.lower().startswith("get"))
        if passive and self.index > 1 and "to" in self.given[self.index - 2].categories:
            return self._why(lexeme)  # "leave the rook to be taken"
        joins = self._stands_behind(lexeme)
        if self.draft is not None and ((self.draft.placed and not self.draft.effects and not joins) or passive):
            who = None if self._you() else self.draft.who  # "if he pushes it to h5 you take it"
            self._flush()
            if not passive:
                self._fresh(lexeme.span).who = who
        draft = self._open(lexeme.span)
        draft.who = draft.who or self._topic()
        draft.take, draft.verb, draft.back = lexeme.span, "take", sense == "back"
        draft.free = "free" in lexeme.categories
        if draft.free and draft.victim is None and draft.who is not None and draft.who.object:
            draft.who, draft.victim = None, draft.who  # "den Turm schlägt der König"
        self.reason = False
        return True

    def _takes_no_man(self) -> bool:
        """Tell whether moves are what is taken, no man: "I accept two answers", "which removes Qd8"."""
        following, after = self._next(), self._next(2)
        if following is not None and following.kind == "move" and self.draft is not None and self.draft.placed:
            return True
        counted = following is not None and "count" in following.categories
        return counted and after is not None and (after.sense("unit") == "move" or after.sense("effect") == "mate")

    @staticmethod
    def _counts_behind(before: Lexeme | None, following: Lexeme | None) -> bool:
        """Tell whether a number that was heard as a verb stands before what it counts."""
        counted = following is not None and ("unit" in following.categories or following.text.lower() in _MANY)
        return counted and not (before is not None and before.categories & {"pronoun", "man", "we", "side"})

    def _on_count(self, sense: str, lexeme: Lexeme) -> bool:
        """Take "two squares" behind a pawn for how far it goes."""
        if sense == "0" and self._lacks_more():
            return True
        following, draft = self._next(), self.draft
        after = self._next(2)
        moves = draft is not None and (draft.verb or (after is not None and "toward" in after.categories))
        if draft is not None and draft.verb and draft.who is not None and (either := self._one_or_two()) is not None:
            (draft.steps, self.index), draft.end = either, self.given[either[1] - 1].span.end
            return True
        if sense in "1234567" and following is not None and following.sense("unit") in ("step", "square"):
            if draft is not None and draft.who is not None and not draft.placed and moves:
                draft.steps, draft.end = (*draft.steps, int(sense)), following.span.end
                self.index += 2
            elif draft is None and following.sense("unit") == "step" and self._steps_alone(sense):
                return True
            elif not (draft is None and self._steps("step", following)):
                self.index += 2  # "a pawn one step from home"
            return True
        return False

    def _one_or_two(self) -> tuple[tuple[int, ...], int] | None:
        """Read "one step or two", "one or two steps"; return how many squares these are, and where the words end."""
        words = self.given[self.index : self.index + 4]
        counts = tuple(int(sense) for each in words if (sense := each.sense("count") or "0") in "12")
        unit = any(each.sense("unit") in ("step", "square") for each in words[1:])
        joined = any(each.sense("link") == "or" for each in words[1:3])
        told = len(words) == 4 and len(counts) == 2 and unit and joined
        return (counts, self.index + 4) if told else None

    def _on_anyhow(self, sense: str, lexeme: Lexeme) -> bool:
        """Take "it goes anywhere" as all its moves."""
        draft = self.draft
        if draft is not None and draft.who is not None and draft.verb in ("go", "put") and not draft.placed:
            draft.every, draft.end = True, lexeme.span.end
        return True

    def _takes_away(self) -> bool:
        """Tell whether squares are taken from him: "takes g2 and h2 away", "takes c4 from him", "takes flights"."""
        rest = []
        for each in self._rest_of_clause(through="comma"):
            if each.kind == "unknown" or each.categories & {"open", "we", "you", "go", "put", "guard"}:
                break
            rest.append(each)
        away = any("away" in each.categories for each in rest) and not self._removes()
        places = [place for place, each in enumerate(rest) if "from" in each.categories]
        after = rest[places[0] + 1 : places[0] + 3] if places else []
        named = any(each.categories & {"man", "pronoun", "we", "your"} for each in after)
        before = list(takewhile(self._is_before_squares, pairwise([self.given[self.index], *rest])))
        if any(each.sense("unit") in ("flight", "square") for _, each in before):
            return True  # "takes the king the squares c2 and e2": not "takes the pawn on the square e4"
        return away or (named and bool(rest) and rest[0].kind == "square")

    @staticmethod
    def _is_before_squares(words: tuple[Lexeme, Lexeme]) -> bool:
        """Tell whether the second of two words is no square but one that something is done from."""
        last, word = words
        return not (word.categories & {"at", "to"} or (word.kind == "square" and "from" not in last.categories))

    def _removes(self) -> bool:
        """Tell whether what a verb takes away is a man: "nimmt den Bauern h6 weg"."""
        found = man_at(self.given, self.index + 1)
        return found is not None and bool(found[0].kinds) and found[0].kinds != (chess.KING,)

    def _on_stand(self, sense: str, lexeme: Lexeme) -> bool:
        draft = self.draft
        if draft is not None and not draft.placed:
            goes = "or" in self.marks and draft.who is not None and draft.who.pronoun == "he"
            draft.verb, draft.end = "go" if goes else "stand", lexeme.span.end  # "or he sits on b8"
        return True

    def _on_have(self, sense: str, lexeme: Lexeme) -> bool:
        """Take "the king has g5 and g6" as a reason, and leave "has gone" alone."""
        following = self._next()
        draft = self.draft
        if self._may_have(following):
            return self._on_take("", lexeme)
        if self._lacks(following):
            assert draft is not None
            draft.verb, draft.stance, self.able = "have", Stance.denied, True  # "the king has no g5"
            self.index += 2
            return True
        if draft is not None and draft.who is not None and not draft.tells and self._has_corner():
            return True
        if following is not None and following.kind == "square" and draft is not None and not draft.tells:
            who = draft.who
            if who is not None and (who.kinds or who.pronoun in ("he", "she")) and not self._has_covered():
                draft.verb, self.able = "have", True  # "he's got c8 and c7": what the king can play
                return True
        named = following is not None and (following.kind == "square" or "count" in following.categories)
        return self._why(lexeme) if named and self.draft is not None and not self.draft.placed else False

    def _lacks(self, following: Lexeme | None) -> bool:
        """Tell whether somebody is told to have no square: "the king has no g5"."""
        who = None if self.draft is None or self.draft.tells else self.draft.who
        named = who is not None and (bool(who.kinds) or who.pronoun in ("he", "she"))
        return named and following is not None and following.text.lower() == "no" and self._square_next(2)

    def _lacks_more(self) -> bool:
        """Begin one more square that nobody has: "the king has no f4 and no f5"."""
        last = self.found[-1] if self.found and self.draft is None else None
        if not isinstance(last, Move) or (last.verb, last.stance) != ("have", Stance.denied):
            return False
        if self._square_next(1):
            draft = self._fresh(self.given[self.index].span)
            draft.who, draft.verb, draft.stance, self.able = last.who, "have", Stance.denied, True
        return self.draft is not None

    def _has_covered(self) -> bool:
        """Tell whether squares are had in a state: "the rook has e4 covered", "she has f2 in her sights"."""
        rest = self._rest_of_clause(through="comma")
        behind = list(dropwhile(lambda each: each.kind in ("square", "comma") or bool(each.sense("link")), rest))
        return bool(behind) and (behind[0].kind == "unknown" or bool(behind[0].categories & {"guard", "at", "block"}))

    def _may_have(self, following: Lexeme | None) -> bool:
        """Tell whether somebody is offered a man: "he can have the rook", "let him have the knight"."""
        who = None if self.draft is None or self.draft.placed else self.draft.who
        if who is not None and who.kinds and following is not None and following.text.lower() in _HER:
            return self._ends_behind(2)  # "on d3 the bishop has her"
        if who is None or not (who.pronoun == "he" or who.kinds == (chess.KING,)) or following is None:
            return False
        begin = self.given[self.index - 2].text.lower() if self.index > 1 else ""
        if not (self.able or begin in ("let", "lets")) or self.negated:
            return False
        found = man_at(self.given, self.index + 1)
        if following.categories & {"article", "our", "your", "this"} and found is not None:
            return bool(found[0].kinds) and not found[0].indefinite and found[0].kinds != (chess.KING,)
        return following.sense("pronoun") in ("it", "she")

    def _ends_behind(self, number: int) -> bool:
        after = self._next(number)
        return after is None or after.kind != "word" or "link" in after.categories

    def _has_corner(self) -> bool:
        """Take "he's got the corner" as a move of his king that he may make."""
        line, draft = self._line_at(self.index + 1), self.draft
        if line is None or line.region != "corner" or draft is None or draft.who is None:
            return False
        if not (draft.who.kinds == (chess.KING,) or draft.who.pronoun == "he"):
            return False
        draft.verb, draft.heading, self.able = "go", ("corner",), True
        draft.end, self.index = self.given[line.end - 1].span.end, line.end
        return True

    def _on_everywhere(self, sense: str, lexeme: Lexeme) -> bool:
        """Take "it can go anywhere it likes" as all moves of a man."""
        draft = self.draft
        if draft is None or draft.placed:
            return False
        if draft.who is not None and draft.who.nameless:
            draft.who = self._topic() or draft.who
        if draft.who is not None and (draft.who.kinds or draft.who.pronoun in ("it", "he")):
            draft.every, draft.end = True, lexeme.span.end
        return True

    def _steps_alone(self, count: str) -> bool:
        """Take "Two steps, the same" as the same of a pawn spoken of before."""
        behind = self._next(2)
        alone = self.index == 0 and not self.found and behind is not None and behind.kind in ("comma", "colon")
        if not alone or any(each.kind in ("square", "have") or "have" in each.categories for each in self.given):
            return False
        unit = self.given[self.index + 1]
        self._fresh(unit.span)
        assert self.draft is not None
        self.draft.who, self.draft.verb, self.draft.steps = Who(unit.span, (chess.PAWN,)), "go", (int(count),)
        self.draft.apart = True
        self.index += 2
        return True

    def _steps(self, sense: str, lexeme: Lexeme) -> bool:
        """Take "the a-pawn, one or two squares" as all its steps."""
        counts = {each.sense("count") for each in self.given}
        told = self.found[-1] if self.found else None
        pawn = told.who if isinstance(told, Said) and told.kind == "topic" and told.who is not None else self.topic
        if sense not in ("square", "step") or not counts >= {"1", "2"} or pawn is None or self.draft is not None:
            return False
        if pawn.kinds != (chess.PAWN,) or self._moves():
            return False
        if isinstance(told, Said) and told.who is pawn:
            self.found.pop()
        self._fresh(lexeme.span)
        assert self.draft is not None
        self.draft.who, self.draft.every = pawn, True
        return True

    def _on_can(self, sense: str, lexeme: Lexeme) -> bool:
        if sense == "able":
            if "proposal" in lexeme.categories and self.draft is not None and self.draft.phrases:
                self._flush()  # "after 1...e2 White may no longer castle"
            self.able = True
            if self.index - self.denial > 1:
                self.negated = False  # "why can't he take it - he can take it"
        return False

    def _stands_behind(self, lexeme: Lexeme) -> bool:
        """Tell whether a verb belongs to the square before it: "wenn der Turm auf d5 schlägt"."""
        draft = self.draft
        return "free" in lexeme.categories and draft is not None and not (draft.phrases or draft.verb)

    def _on_go(self, sense: str, lexeme: Lexeme) -> bool:
        before, following = self.given[self.index - 1] if self.index else None, self._next()
        leads = following is not None and (following.kind == "square" or "to" in following.categories)
        if lexeme.text.lower() == "gone" and not leads and (before is None or "have" not in before.categories):
            return True  # "the rook gone", "the pawn is gone"
        return self._verb("go", lexeme)

    def _on_put(self, sense: str, lexeme: Lexeme) -> bool:
        before = self.given[max(0, self.index - 2) : self.index]
        if len(before) == 2 and "side" in before[0].categories and "to" in before[1].categories:
            self.draft = None  # "White to play and mate in two"
            return True
        noun = self._last_word() if "unit" in lexeme.categories else None
        if noun is not None and ("count" in noun.categories or noun.sense("mark") == "solve"):
            return True  # "two moves are needed", "White mates in two moves"
        return self._verb("put", lexeme)

    def _verb(self, verb: str, lexeme: Lexeme) -> bool:
        if (self.reason and self.draft is None) or (verb == "put" and self._only_mates()):
            return True
        before, following = self._last_word(), self._next()  # "so a quiet move, queen to d4"
        free = "free" in lexeme.categories
        if before is not None and before.text.lower() in _ARTICLES and not free and not self._leads_on(following):
            return True  # "in the middle of the storm"
        draft = self._open(lexeme.span)
        draft.who = draft.who or self._mover()
        draft.verb = draft.verb or verb
        word = lexeme.text.lower()
        draft.pushes = draft.pushes or (word.startswith(_PUSHES) and not word.endswith("ing"))
        draft.shifts = "shift" in lexeme.categories
        self._headed(draft)
        draft.you = draft.you or (draft.who is None and self._you())
        draft.free = "free" in lexeme.categories
        if draft.victim is not None and draft.take is None:
            draft.who, draft.victim = draft.victim, None  # "wenn Weiß den Turm nach d5 zieht"
        return True

    def _leads_on(self, following: Lexeme | None) -> bool:
        """Tell whether a square follows a noun: "a hop to d4", "the walk e3"."""
        if following is None or following.kind == "square":
            return following is not None
        return "to" in following.categories and self._square_next(2)

    def _on_with(self, sense: str, lexeme: Lexeme) -> bool:
        if self.draft is None and self._takes_with():
            self.draft = self.last  # "you take it back, with the bishop"
            self.found.pop()
        if self.draft is not None and (self.draft.who is None or self.draft.who.nameless):
            self.draft.with_next = True
        return True

    def _takes_with(self) -> bool:
        """Tell whether the capture just told is to be told with what it is made."""
        told = self.found[-1] if self.found else None
        if not isinstance(told, Move) or self.last is None or self.last.start != told.span.start:
            return False
        named = man_at(self.given, self.index + 1)
        open_ = self.last.take is not None and (self.last.who is None or self.last.who.nameless)
        return open_ and named is not None and bool(named[0].kinds)

    def _on_by(self, sense: str, lexeme: Lexeme) -> bool:
        return self._on_with(sense, lexeme)

    def _on_guard(self, sense: str, lexeme: Lexeme) -> bool:
        if not sense and lexeme.text.lower().startswith("look") and self._considers():
            self.draft = None
            self.marks.add("try")  # "I looked at knight g7"
            return True
        before, following = self.given[self.index - 1] if self.index else None, self._next()
        noun = before is not None and before.text.lower() in _ARTICLES
        if noun and not (following is not None and (following.kind == "square" or "of" in following.categories)):
            return True  # "the first thing the eye does"
        return self._why(lexeme)

    def _on_pin(self, sense: str, lexeme: Lexeme) -> bool:
        return self._why(lexeme)

    def _on_block(self, sense: str, lexeme: Lexeme) -> bool:
        following, draft = self._next(), self.draft
        named = draft is not None and draft.who is not None and bool(draft.who.kinds) and not draft.placed
        goes = named or sense == "step"
        if goes and following is not None and "at" in following.categories and self._square_next(2):
            self._verb("go", lexeme)  # "the bishop blocks on d2", "prepares to interpose at d5"
            if self.draft is not None and self.draft.who is None and lexeme.text.lower().endswith("ing"):
                self.draft.with_next = True  # "Interposing at d1 the black rook shuts out the white one"
            return True
        return self._why(lexeme)

    def _on_open(self, sense: str, lexeme: Lexeme) -> bool:
        if self._castles_there(lexeme):
            return True
        return self._why(lexeme)

    def _castles_there(self, lexeme: Lexeme) -> bool:
        """Take "so the long side is open to us" as castling that is possible."""
        if lexeme.text.lower() != "open" or self.reason or self.negated:
            return False
        before = self.given[max(0, self.index - 4) : self.index]
        wing = next((each.sense("wing") for each in before if each.sense("wing")), None)
        if wing is None or not any(each.text.lower() in ("side", "wing") for each in before):
            return False
        self._flush()
        draft = self._fresh(lexeme.span)
        draft.castling, self.able = wing, True
        return True

    _on_flee = _on_sacrifice = _on_pin
