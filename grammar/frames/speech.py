"""How clauses hang together, what a move is called, and what is denied, supposed or taken back."""

from __future__ import annotations

import chess
from keyproof.grammar.cues import Stance
from keyproof.grammar.lexicon.lexemes import Lexeme
from keyproof.grammar.moves import Effect

from .again import Again
from .men import man_at
from .values import Move, Said, Who
from .verdicts import is_worth, key_does

_ENDS = ("stop", "question", "semicolon")
_SOFT = ("comma", "colon", "dash", "close", "open", "cell")
_EARLY = 5  # signs of a sentence in which "that" stands for the sentence before
_EMPTY = frozenset({"this", "pronoun", "filler", "harmless", "link", "be", "article", "anchor"})
_NOUNS = frozenset({"article", "effect", "unit", "other", "this"})  # what may stand before moves in a list
_COUNTED = frozenset(("key", "try", "threat", "refute", "set"))  # what a marking scheme gives points for
_OWING = frozenset(("because of", "on account of", "owing to", "by reason of"))
_FORWARD = ("key", "try", "threat")
_ALL_OF_IT = ("everything", "anything")  # "covers g7 and h7 and everything" tells no moves


class Speech(Again):
    """Reads the words between moves. Each method takes a sense and its lexeme and tells whether it was that."""

    def _on_link(self, sense: str, lexeme: Lexeme) -> bool:
        if self._corrects(lexeme):
            self._flush()
            self.index += 2
            return self._on_withdraw(sense, lexeme)
        if sense == "or":
            self._or()
        elif sense == "and":
            self._and()
        elif sense == "because":
            self._because()
        elif sense in ("then", "but", "if", "instead"):
            following = self._next()
            if sense == "then" and self._numbers_defence(following):
                return True  # "auf alles andere, also 1...f5"
            if lexeme.text.lower() == "say" and following is not None and following.kind == "comma":
                return True
            if "weak" in lexeme.categories and not self._leads(following):
                return False
            draft = self.draft
            if "go" in lexeme.categories and draft is not None and draft.who is not None and not draft.placed:
                return False  # "out it comes, and ..."
            if sense == "if" and self._is_place(lexeme):
                return True
            if sense in ("but", "instead") and self._awaits_its_man():
                return True
            if "threat" in self.marks and lexeme.text.lower() == "on" and self._square_next(1):
                return True  # "menaces two mates, on f8 and on f7"
            if self.reason and lexeme.text.lower() == "against":
                self.stance = Stance.supposed  # "could interpose there against Qf2"
            self._flush()
            if sense == "but" and self.reason and following is not None and "deny" in following.categories:
                self.index += 2  # "stops king g5 but not king g6": what it does not stop is what can be played
            self.reason = False
            if sense == "but":
                self.stance = Stance.asserted  # "1.Qf4 would hold g3, but 1...Kd2 spoils it"
            if sense != "if":
                self.negated = False  # another clause begins: "it isn't pinned, so it runs to c5"
            opens = sense == "then" and self._begins()
            if not opens or "answer" in lexeme.categories:
                self.marks.add("answer" if opens else sense)
        return True

    def _begins(self) -> bool:
        """Tell whether a word opens what somebody says: "Then there's ...", "- Teacher: Then ..."."""
        before = self.given[: self.index]
        if len(before) > 1 and before[-1].kind == "colon" and before[-2].kind == "unknown":
            before = before[:-2]
        return not self.found and all(each.kind in ("dash", "line", "quote", "open") for each in before)

    def _or(self) -> None:
        following = self._next()
        if self._or_to_line():
            return
        listed = self.draft is not None and bool(self.draft.to or self.draft.old)
        if (
            following is not None
            and listed
            and (
                following.kind in ("square", "old")
                or ("to" in following.categories and (self._square_next(2) or self._old_next(2)))
                or ("at" in following.categories and self._calls_mate() and self._square_next(2))
            )
        ):
            return
        printed = self.draft is not None and self.draft.phrases and following is not None and following.kind == "move"
        if not printed:
            if self.reason:
                return
            self._flush()
        self.marks.add("or")

    def _calls_mate(self) -> bool:
        """Tell whether the move at hand is called mate: "she mates on f7 or on g6"."""
        return self.draft is not None and any(effect is Effect.mate for effect, _ in self.draft.effects)

    def _old_next(self, ahead: int) -> bool:
        following = self._next(ahead)
        return following is not None and following.kind == "old"

    def _and(self) -> None:
        following = self._next()
        if (
            following is not None
            and following.categories & {"we", "you", "pronoun"}
            and "object" not in following.categories
        ):
            self.negated = False  # "it isn't pinned, and it comes to d4"
        if self.reason or following is None:
            return
        if self.draft is not None and self.draft.to and self._goes_on_to_square():
            return
        if following.categories & {"go", "take", "castle", "put"} and self.draft is not None and not self.draft.tells:
            return
        if self._lists_behind():
            self._flush()
            self.listed = True
            return
        if following.categories & {"effect", "filler"}:
            return
        after = self._next(2)
        if following.categories & {"we", "you", "pronoun", "side"} and after is not None:
            self.index += bool(after.categories & {"promote", "promoting"}) and self._on_last_rank()
        following = self._next()
        assert following is not None
        if following.categories & {"promote", "promoting"} and (self._on_last_rank() or self._pawn_takes()):
            return  # "goes to f8 and becomes a queen"
        who = self.draft.who if self.draft is not None else None
        self._flush()
        after = self._next(2) if "stands" in following.categories else None  # "on Kd5 and on any other move"
        self.listed = following.kind in ("move", "number") or "man" in following.categories
        self.listed = self.listed or (after is not None and after.sense("mark") in ("any", "other"))
        self.listed = self.listed or self._one_more_next()
        if following.categories & {"go", "take", "promote"} and who is not None:
            self._fresh(following.span).who = who

    def _lists_behind(self) -> bool:
        """Tell whether moves follow that a noun stands before: "and the checks Qd3 and Qe6"."""
        place = self.index + 1
        while place < min(len(self.given), self.index + 4) and self.given[place].categories & _NOUNS:
            place += 1
        return place > self.index + 1 and place < len(self.given) and self.given[place].kind in ("move", "number")

    def _goes_on_to_square(self) -> bool:
        """Tell whether a list of squares goes on: "to e6, and also to c6"."""
        checks = self.draft is not None and bool(self.draft.effects) and (self.draft.who is None or self._calls_mate())
        for each in self.given[self.index + 1 : self.index + 5]:
            if each.kind == "square":
                return True
            if checks and "at" in each.categories:  # "checks at h6 and at f6"
                continue
            if "to" not in each.categories and "filler" not in each.categories and each.sense("link") != "and":
                return False
        return False

    def _on_last_rank(self) -> bool:
        return self.draft is not None and any(chess.square_rank(square) in (0, 7) for square, _ in self.draft.to)

    def _because(self) -> None:
        following = self._next()
        if following is not None and following.kind in ("move", "number"):
            return
        self._flush()
        self.marks.add("because")

    def _on_mark(self, sense: str, lexeme: Lexeme) -> bool:
        if sense in _COUNTED and is_worth(self.given, self.index):
            return True  # "key 2, each variation 1"
        if {"try", "threat"} <= {each.sense for each in lexeme.meanings if each.category == "mark"}:
            who = None if self.draft is None else self.draft.who
            men = who is not None and (who.kinds or who.pronoun == "it")
            sense = "threat" if men else "try"  # "the rook wants to take" is a threat, "Tom wants to take" a try
        if sense in ("other", "any"):
            if self.index and self.given[self.index - 1].sense("count") == "0":
                return True  # "und kein anderes Matt"
            return (self.reason and lexeme.text.lower() in _ALL_OF_IT and self._behind()) or self._set(sense, lexeme)
        if sense == "threat" and lexeme.text.lower() in ("want", "wants") and self._speaks_for_himself():
            self.marks.add("wish")
            return True  # "I want bishop e5 check": what comes next may be his first move
        if sense == "refutes" and self._keeps_a_man():
            return False
        if sense == "meets" and self._square_next(1) and self._answers_with():
            return self._verb("put", lexeme)  # "he answers b5"
        if sense in ("beats", "meets"):
            return self._why(lexeme) if self._square_next(1) else self._beats(sense)  # "takes care of c five"
        if sense == "set" and "weak" in lexeme.categories and not self._heads_line():
            return False
        if sense in ("through", "same threat") and self._heads_line():
            if sense == "through" and self._numbers_answer():
                self._flush()
                self.marks.add("then")  # "so kommt die Drohung 2.Dxg7 durch"
            sense = "threat"  # "segue la minaccia 2.Dc5 matto"
        before = self.given[self.index - 1] if self.index else None
        if sense == "through" and before is not None and "be" in before.categories and self.draft is not None:
            self.draft.marks.add("was threat")  # "and queen f1 is the threat again"
            return True
        if sense in ("through", "same threat"):
            self._flush()
            self.reason = self.negated = False
            self.marks.discard("then")
            self.found.append(Said("again", lexeme.span, marks=frozenset({"threat"}), stance=self._stance()))
            return True
        if sense in ("refutes", "fail", "futile") and self._goes_on_somewhere():
            if lexeme.text.lower().startswith("let"):  # "Qf2+ lets him go to e4", and not "he slips out to b5"
                self._flush()
                self.marks.add("then")
                self._fresh(lexeme.span).who = Who(lexeme.span, ours=False, pronoun="he")
            return self._verb("go", lexeme)
        if sense == "alike":
            self._flush()
            self.again = lexeme.span
            return True
        if sense == "again":
            return self._same_man(lexeme) or self._repeats(lexeme)
        if sense == "only" or (sense == "key" and key_does(self.given, self.index)):
            return True
        if sense == "futile":
            self._flush()
            return self._calls_last("was futile")
        if lexeme.text.lower() in _OWING and not self._answers():
            return False
        if sense == "zugzwang":
            self._flush()
            self.found.append(Said("claim", lexeme.span, marks=frozenset({"zugzwang"})))
            return True
        unsolved = sense == "solve" and self.negated
        if unsolved:
            self.negated = False
            if self.draft is not None:
                self.draft.stance = Stance.asserted  # that it is played is not denied
        if sense == "refutes" and self._square_next(1):
            return self._why(lexeme)  # "now she defends g2"
        self._flush()
        self.reason = False
        if "proposes" in lexeme.categories:
            self.stance = Stance.asked  # "how about queen c3"
        if sense in ("fail", "refutes") and self._speaks_of_before():
            self.backward = True
            return True
        if unsolved and self._calls_last("was fail"):
            return True
        following = self._next()
        if sense == "fail" and following is not None and following.sense("link") == "or" and self._moves():
            self.index += 1  # "no good either"
            return self._calls_last("was futile")
        if sense == "refutes" and "free" in lexeme.categories and self._numbers_answer():
            self.marks.add("then")  # "contra 1...a5 basta 2.Td4"
            return True
        if sense == "refutes" and self._beats_again():
            return True
        if sense == "refutes" and self._stands_before(lexeme):
            self.marks.add("refute")
            return True
        if sense == "solve":
            if self._names_last():
                return True  # "it's the rook who does it"
            if self._calls_last("was key"):
                return True
            sense = "key"
        if sense == "refutes" or (sense in _FORWARD and self._is_said_of_last()):
            if self._calls_last(f"was {sense.removesuffix('s') if sense == 'refutes' else sense}"):
                if sense == "refutes":
                    self._beats("beats")
                return True
            sense = "refute" if sense == "refutes" else sense
        if sense == "key" and self._line_since("try"):
            self.marks.discard("try")  # "pause here if you want to try", and on another line "here comes the key"
        self.marks.add(sense)
        return True

    def _goes_on_somewhere(self) -> bool:
        """Tell whether a square that somebody goes to follows the word at hand: "to e4", "at his K4"."""
        following = self._next()
        if following is None or not following.categories & {"to", "at"}:
            return False
        after = self._next(2)
        if after is not None and after.categories & {"pronoun", "our", "your", "article"}:
            after = self._next(3)
        return after is not None and after.kind in ("square", "move")

    def _speaks_of_before(self) -> bool:
        """Tell whether what is said is said of the sentence before: "That doesn't work.", "No good, he takes"."""
        before = [each for each in self.given[: self.index] if each.kind == "word"]
        told = self._moves() or any(isinstance(each, Said) and each.kind == "topic" for each in self.found)
        return not told and self.index < _EARLY and all(each.categories & _EMPTY for each in before)

    def _speaks_for_himself(self) -> bool:
        who = None if self.draft is None else self.draft.who
        return who is not None and who.pronoun == "i"

    def _keeps_a_man(self) -> bool:
        """Tell whether a man is saved or killed, and no move refuted: "then I save the rook"."""
        found = man_at(self.given, self.index + 1)
        if found is None or not found[0].kinds or found[0].kinds == (chess.KING,):
            return False
        after = self.given[found[1]] if found[1] < len(self.given) else None
        return after is None or not after.categories & {"unit", "effect", "promote", "go", "put"}

    def _answers_with(self) -> bool:
        """Tell whether somebody who plays stands before "answers" with its square."""
        who = None if self.draft is None else self.draft.who
        return who is not None and who.nameless and (who.pronoun in ("he", "you", "i", "we") or who.colour is not None)

    def _heads_line(self) -> bool:
        """Tell whether a word stands like a heading over the moves that follow: "set 1...Kd6"."""
        following, after = self._next(), self._next(2)
        if following is not None and following.kind in ("colon", "dash", "cell", "comma"):
            following = after
        return following is not None and following.kind in ("number", "move")

    def _names_last(self) -> bool:
        told = self.found[-1] if self.found else None
        return isinstance(told, Said) and told.kind == "topic"

    def _answers(self) -> bool:
        """Tell whether "because of ..." tells what a move fails to, or answers a question."""
        if self.marks & {"fail"} or any(each.marks & {"was fail", "fail"} for each in self.found[-1:]):
            return True
        before = [each for each in self.given[: self.index] if each.kind != "dash"]
        return all(each.sense("link") == "and" for each in before)

    def _stands_before(self, lexeme: Lexeme) -> bool:
        """Tell whether a verb stands before the move that it is said of: "doch widerlegt 1...Kd5"."""
        following = self._next()
        if following is not None and "filler" in following.categories:
            following = self._next(2)  # "hier genügt sowohl Kc5 als auch Kd6"
        if "free" not in lexeme.categories or following is None or following.kind not in ("move", "number", "square"):
            return False
        told = self.found[-1] if self.found else None
        if self._numbers_defence(following) and isinstance(told, Move) and told.number is not None:
            return told.number.ply == 1  # "contra 1.Tb6 basta 1...axb6"
        for before in reversed(self.given[: self.index]):
            if before.kind in (*_ENDS, *_SOFT) or before.sense("link") == "but":
                return True
            if before.kind in ("move", "square") or "man" in before.categories:
                return False
        return True

    def _is_said_of_last(self) -> bool:
        """Tell whether "is the key" follows, not "the key is"."""
        for before in reversed(self.given[max(0, self.index - 3) : self.index]):
            if "be" in before.categories:
                return True
            if not before.categories & {"article", "filler", "which", "our", "pronoun"}:
                return False
        return False

    def _on_past(self, sense: str, lexeme: Lexeme) -> bool:
        """Take what is told as the game before the diagram."""
        if self._has_just(lexeme):
            return self._on_have("", lexeme)
        self.stance = Stance.supposed
        if self.draft is not None:
            self.draft.stance = Stance.supposed
        return True

    def _on_suppose(self, sense: str, lexeme: Lexeme) -> bool:
        self.stance = Stance.supposed
        self.able = self.able or lexeme.text.lower().endswith("have")  # "he could have eaten the rook"
        return False

    def _on_wish(self, sense: str, lexeme: Lexeme) -> bool:
        self.stance = Stance.wished
        return True

    def _on_report(self, sense: str, lexeme: Lexeme) -> bool:
        return False

    def _on_anchor(self, sense: str, lexeme: Lexeme) -> bool:
        mark = f"at {sense}"
        if sense == "key" and self.draft is not None and self.draft.phrases:
            self._flush()  # "1...h1Q now she defends g2"
        if self.draft is not None and self.draft.tells:
            self.draft.marks.add(mark)
            if sense == "diagram" and self.draft.stance is Stance.denied:
                self.draft.stance = Stance.supposed  # "the bishop may not go to e5 at once": it can, and fails
                self.draft.marks.add("try")
        elif sense != "diagram" or self.marks or not self._behind() or not self._calls_last(mark):
            self.marks.add(mark)
        return True

    def _on_back(self, sense: str, lexeme: Lexeme) -> bool:
        return True
