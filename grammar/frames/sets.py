"""Sets of moves in words: "any other move", "a pawn move", "the remaining 21", "1...else"."""

from __future__ import annotations

import chess
from keyproof.grammar.lexicon.lexemes import Lexeme
from msgspec.structs import replace

from .men import man_at
from .passives import Passives
from .values import Draft, Said, Who

_MAKES = ("makes", "make", "promotes", "chooses", "choose", "becomes", "gets", "picks", "fancies")
_HAS_MOVES = ("makes", "make", "plays", "play", "chooses", "tries", "has")
_LEADS = ("number", "move", "cell", "dash", "colon")  # what an answer to all the rest may begin with
_OPENS = ("stop", "question", "semicolon", "line", "cell", "close", "open", "comma", "dash", "number")


class Sets(Passives):
    """Reads words for several moves at once. Each method tells whether the words at hand were such."""

    def _set(self, sense: str, lexeme: Lexeme) -> bool:
        if self.draft is not None and self.draft.promotes is not None and self.draft.promotion is None:
            self.draft.every = True  # "promotes to anything"
            return True
        if lexeme.text.lower() == "everything" and self._is_object():
            self.draft = None  # "he puts everything back"
            return True
        if self._goes_anywhere(lexeme):
            return True
        draft = self._take_up(lexeme)
        draft.every = True
        following = self._next()
        if "wherever" in lexeme.categories and (end := self._makes(self.index + 1)) is not None:
            draft.promotes, draft.end = lexeme.span, self.given[end - 1].span.end  # "whatever he makes of them"
            self.index = end
            return True
        if (
            "wherever" in lexeme.categories
            and following is not None
            and ((found := man_at(self.given, self.index + 1)) is not None)
        ):
            draft.who, self.index = found  # "wherever the knight goes"
            return True
        if (end := self._of_his_moves(self.index + 1)) is not None:
            draft.sort_other, draft.end, self.index = True, self.given[end - 1].span.end, end
            return True
        if "each" in lexeme.categories and (following is None or "unit" not in following.categories):
            self.draft = None
            return True
        if (found := self._of_whom(self.index + 1)) is not None:
            draft.who, self.index = replace(found[0], indefinite=False), found[1]
            self._all_of_others()
            return True
        if sense == "any" and (named := self._named_before()) is not None:
            self.found.pop()
            draft.who, draft.verb = named, "go"
            return True
        draft.sort_other = True
        return True

    def _goes_anywhere(self, lexeme: Lexeme) -> bool:
        """Take "the knight goes to any other square" and "it makes any other move" as all moves of that man."""
        before, draft = self.given[self.index - 1] if self.index else None, self.draft
        if draft is None or draft.who is None or not draft.who.kinds or draft.placed or before is None:
            return False
        words = lexeme.text.lower().split()  # "makes another move" is one
        makes = draft.verb in ("", "put") and "move" in words and bool({*_HAS_MOVES} & {before.text.lower(), words[0]})
        if not makes and not (draft.verb in ("go", "put") and "to" in before.categories):
            return False
        following = self._next()
        goes_on = following is not None and following.sense("unit") in ("square", "move")
        self.index += goes_on and not makes
        draft.every, draft.verb, draft.end = True, "go", self.given[self.index].span.end
        return True

    def _makes(self, place: int) -> int | None:
        """Return where "he makes of it" ends that begins at a place, None where it does not."""
        if place + 1 >= len(self.given) or not self.given[place].categories & {"pronoun", "you", "we", "side"}:
            return None
        verb, behind = self.given[place + 1], self.given[place + 2 : place + 4]
        if "promote" not in verb.categories and verb.text.lower() not in _MAKES:
            return None
        of = len(behind) > 1 and "of" in behind[0].categories and "pronoun" in behind[1].categories
        return place + (4 if of else 2)

    def _named_before(self) -> Who | None:
        """Return the man named right before a comma of whom all moves are spoken: "our own king, any move"."""
        told = self.found[-1] if self.found else None
        comma = self.given[self.index - 1] if self.index else None
        if not isinstance(told, Said) or told.kind != "topic" or comma is None or comma.kind != "comma":
            return None
        near = told.span.end <= comma.span.start <= told.span.end + 1
        plain = told.who is not None and told.who.kinds and told.who.square is None and not told.who.plural
        return told.who if near and plain else None

    def _of_his_moves(self, place: int) -> int | None:
        """Return where "of his three moves" ends that begins at a place, None where it does not."""
        place += place < len(self.given) and self.given[place].text.lower() == "one"  # "every one of his moves"
        if place >= len(self.given) or "of" not in self.given[place].categories:
            return None
        for at in range(place + 1, min(place + 4, len(self.given))):
            if self.given[at].sense("unit") == "move":
                return at + 1
            if not self.given[at].categories & {"pronoun", "article", "this", "count", "your", "our", "own"}:
                return None
        return None

    def _is_object(self) -> bool:
        """Tell whether a verb with its man stands right before the word at hand."""
        before = self.given[self.index - 1] if self.index else None
        verb = before is not None and bool(before.categories & {"put", "take"})
        return verb and self.draft is not None and self.draft.who is not None and not self.draft.placed

    def _goes_to_line(self) -> bool:
        """Take "on the 8th rank", behind the king or at the head of a line, as all moves that lead there."""
        place = self.index + 1
        while place < len(self.given) and self.given[place].categories & {"article", "own"}:
            place += 1
        if self._goes_to_corner():
            return True
        if place + 1 >= len(self.given) or self.given[place + 1].sense("unit") != "row":
            return False
        rank, draft = self.given[place].sense("rank"), self.draft
        man = draft is not None and draft.who is not None and draft.who.kinds == (chess.KING,) and not draft.placed
        behind = self.given[place + 2] if place + 2 < len(self.given) else None
        heads = draft is None and behind is not None and behind.kind in ("colon", "dash", "comma")
        if not rank or self.reason or not (man or (heads and self._opens_rest())):
            return False
        draft = self._open(self.given[place + 1].span)
        draft.to_rank, draft.every = int(rank) - 1, True
        self.index = place + 2
        return True

    def _goes_to_corner(self) -> bool:
        """Take "he goes in the corner" as a move that leads there."""
        draft, line = self.draft, self._line_at(self.index + 1)
        if line is None or line.region != "corner" or draft is None or draft.who is None or draft.placed or self.reason:
            return False
        if draft.verb not in ("go", "put") or draft.heading or not (draft.who.kinds or draft.who.pronoun == "he"):
            return False
        draft.heading, draft.end = ("corner",), self.given[line.end - 1].span.end
        self.index = line.end
        return True

    def _or_to_line(self) -> bool:
        """Take "or the eighth row" behind a square that the king goes to as all his moves there."""
        draft, line = self.draft, self._line_at(self.index + 1)
        who = None if draft is None else draft.who
        king = who is not None and (who.kinds == (chess.KING,) or who.pronoun == "he")
        if draft is None or not draft.to or not king or line is None or line.rank is None or line.along != "rank":
            return False
        span = self.given[self.index + 1].span.to(self.given[line.end - 1].span)
        self._flush()
        self.marks.add("or")
        more = self._fresh(span)
        more.who, more.verb, more.to_rank, more.every, more.listed = who, "go", line.rank, True, True
        self.index = line.end
        return True

    def _take_up(self, lexeme: Lexeme) -> Draft:
        """Begin a set of moves, with the number and the place in a list that stand before it."""
        before = self.draft if self.draft is not None and not self.draft.tells else None
        self._flush()
        draft = self._fresh(lexeme.span)
        if before is not None:
            draft.number, draft.listed = before.number, draft.listed or before.listed
        return draft

    def _of_whom(self, place: int) -> tuple[Who, int] | None:
        """Return the man of "move of that knight", which begins at a place, and where its name ends."""
        moves = place < len(self.given) and self.given[place].sense("unit") == "move"
        place += moves
        if place + 1 >= len(self.given):
            return None
        named = self.given[place].categories
        if not named & {"of", "by"} and not (moves and "article" in named):  # "jeder Zug der Dame"
            return None
        found = man_at(self.given, place + bool(named & {"of", "by"}))
        return found if found is not None and found[0].kinds else None

    def _opens_set(self) -> bool:
        """Tell whether a defence may be named at the place at hand: behind its number, "if" or "or"."""
        draft = self.draft
        if draft is not None and (draft.tells or draft.who is not None or draft.take is not None):
            return False
        numbered = draft is not None and draft.number is not None and draft.number.second
        listed = self.listed or (draft is not None and draft.listed)
        return numbered or listed or bool(self.marks & {"if", "or"}) or self.index == 0

    def _moves_of(self, found: tuple[Who, int]) -> bool:
        """Take "a pawn move", "Springerzug" or "1...Bishop any" as all moves of that man."""
        who, end = found
        while end + 1 < len(self.given) and self._counts(end):
            end += 1  # "the bishop's seven moves"
        if end >= len(self.given) or not who.kinds or who.square is not None:
            return False
        before = self.given[self.index - 1] if self.index else None
        if before is not None and before.sense("mark") == "only" and self.given[end].sense("unit") == "move":
            self._flush()
            self.found.append(Said("topic", who.span, who=who))  # "that's his only king move"
            self.index = end + 1
            return True
        letter = len(self.given[end - 1].text) <= len("Kt")  # "N other"
        if not self._opens_set() and not (letter and self._opens_rest()):
            return False
        following, after = self.given[end], self.given[end + 1] if end + 1 < len(self.given) else None
        numbered = self.draft is not None and self.draft.number is not None
        anyhow = "anyhow" in following.categories and (numbered or letter or bool(self.marks & {"if", "or"}))
        goes_on = after is not None and (after.kind == "square" or bool(after.categories & {"to", "take"}))
        moves = following.sense("unit") == "move" and "take" not in following.categories  # "il re cattura l'alfiere"
        if not (moves or anyhow) or goes_on:
            return False
        self._all_of(who, following, end + 1)
        return True

    def _all_of(self, who: Who, last: Lexeme, end: int) -> None:
        draft = self._take_up(last)
        draft.start, draft.end = min(draft.start, who.span.start), max(last.span.end, who.span.end)
        draft.who, draft.every, draft.verb = replace(who, indefinite=False, object=False), True, "go"
        self.index = end
        self._all_of_others()

    def _all_of_others(self) -> None:
        """Go on with one more man of whom the same is said: "any move of the bishop or of the knight"."""
        if (found := self._or_of_whom(self.index)) is not None:
            self._flush()
            self.listed = True
            self._all_of(found[0], self.given[found[1] - 1], found[1])

    def _or_of_whom(self, place: int) -> tuple[Who, int] | None:
        """Return the man who is named behind "or" at a place, if nothing else is told of him."""
        joint = self.given[place] if place < len(self.given) else None
        if joint is None or joint.sense("link") not in ("or", "and") or place + 1 >= len(self.given):
            return None
        found = man_at(self.given, place + 1 + ("of" in self.given[place + 1].categories))
        if found is None or not found[0].kinds or found[0].square is not None:
            return None
        behind = self.given[found[1]] if found[1] < len(self.given) else None
        ends = behind is None or behind.kind in ("comma", "stop", "semicolon", "colon", "dash", "number", "close")
        return found if ends or (behind is not None and "link" in behind.categories) else None

    def _on_unit(self, sense: str, lexeme: Lexeme) -> bool:
        """Take "un coup de pion" as all moves of that man; a square that only is named tells none."""
        if sense == "square" and self.draft is None and self._square_next(1) and self._says_what_it_is():
            self.index += 2
            return True
        found = self._of_whom(self.index) if sense == "move" and self._opens_here() else None
        if found is None:
            return self._steps(sense, lexeme)
        self._all_of(found[0], lexeme, found[1])
        return True

    def _says_what_it_is(self) -> bool:
        """Tell whether it is said what a square is: "the square h4 is worth a look"."""
        behind = self._next(2)
        return behind is not None and "be" in behind.categories

    def _opens_here(self) -> bool:
        """Tell the same as `_opens_set` of the article before the word at hand."""
        before = [each for each in self.given[: self.index] if each.kind != "line"]
        return self._opens_set() or (len(before) == 1 and "article" in before[0].categories)

    def _rest(self, lexeme: Lexeme) -> bool:
        """Take "1...else", "the remaining 21" or a lone "other" before an answer as all other moves."""
        if "rest" not in lexeme.categories or not self._opens_rest():
            return False
        place, counted = self.index + 1, False
        if self._is_one(place):
            then = self.given[place + 1].sense("link") == "then"  # "the other one then, the d8 knight"
            self.index = place + 1 + then  # "the other one is pawn to f2"
            return True
        while place < len(self.given) and (self._counts(place) or self.given[place].sense("unit") == "move"):
            counted = counted or self._counts(place)
            place += 1
        if counted and place < len(self.given) and self._stands_still(self.given[place]):
            self.index = place + 1  # "the other two mates remain"
            return True
        if (found := self._of_whom(place)) is not None and (self._opens_set() or self.index == 1):
            self._all_of(found[0], lexeme, found[1])  # "un autre coup du cavalier"
            return True
        after = self.given[place] if place < len(self.given) else None
        numbered = self.draft is not None and self.draft.number is not None and self.draft.number.second
        man = man_at(self.given, self.index)
        if (man is not None and man[0].kinds) or (after is not None and after.kind == "square"):
            return False
        if not numbered and not (after is not None and (after.kind in _LEADS or (counted and after.kind == "word"))):
            return False
        draft = self._take_up(lexeme)
        draft.sort_other = draft.every = True
        draft.end = self.given[place - 1].span.end
        self.index = place
        return True

    @staticmethod
    def _stands_still(lexeme: Lexeme) -> bool:
        """Tell whether what was counted are mates, no replies, or what there still is."""
        mates = lexeme.sense("effect") == "mate" or lexeme.sense("mark") == "threat"
        return mates or bool(lexeme.categories & {"lasting", "stand"})

    def _is_one(self, place: int) -> bool:
        """Tell whether "one is", "one then" or "one: 1...Kh4" follows: a single other move, or man, is told next."""
        behind = self.given[place : place + 3]
        if len(behind) < 2 or "one" not in behind[0].categories:
            return False
        if behind[1].sense("link") == "then":
            return True
        leads = len(behind) > 2 and behind[1].kind in _LEADS and behind[2].kind in ("number", "move")
        return "be" in behind[1].categories or behind[1].kind == "number" or leads

    def _counts(self, place: int) -> bool:
        return "count" in self.given[place].categories or self.given[place].text.isdecimal()

    def _opens_rest(self) -> bool:
        """Tell whether nothing stands before the words at hand in their clause."""
        before = self.given[self.index - 1] if self.index else None
        if self.draft is not None and (self.draft.tells or self.draft.who is not None):
            return False
        return before is None or before.kind in _OPENS or bool(before.categories & {"link", "article"})
