"""What men become: pawns told in parts ("a queen on h1, or a rook", "and it's a knight"), and men that fall."""

from __future__ import annotations

import chess
from keyproof.grammar.cues import Stance
from keyproof.grammar.lexicon.lexemes import Lexeme
from msgspec.structs import replace

from .choices import Choices
from .men import man_at
from .values import Draft, Move, Who

_LAST_RANKS = (0, 7)
_PROMOTED = (chess.QUEEN, chess.ROOK, chess.BISHOP, chess.KNIGHT)
_QUEENS = ("queen", "queens")
_BETWEEN = frozenset({"be", "pronoun", "link", "filler", "article"})  # "and now it's a ..."


class Becoming(Choices):
    """Reads words for promotions that are told apart from their move, or one after the other."""

    def _flush(self) -> None:
        draft = self.draft
        told = self.found[-1] if self.found else None
        who = None if draft is None else draft.who
        if draft is not None and draft.pushes and who is not None and who.pronoun == "it" and not draft.placed:
            draft.who = replace(who, kinds=(chess.PAWN,))  # "if you push it"
        if draft is not None and draft.idle and self._only_compares(draft):
            self.draft = None
            return
        if draft is not None and isinstance(told, Move) and self._only_named(draft) and self._is_one_more(draft, told):
            self._joins(draft, told)
        elif draft is not None and isinstance(told, Move) and self._shares_square(draft, told):
            self._joins_on_square(draft, told)
        elif draft is not None and draft.idle and not draft.verb and isinstance(told, Move):
            if self._is_one_more(draft, told):
                self._joins(draft, told)
            elif self._is_what_it_becomes(draft, told):
                self._completes_last(draft, told)
                return
        super()._flush()

    def _on_promoting(self, sense: str, lexeme: Lexeme) -> bool:
        if self._is_far():
            return True
        squares = () if self.draft is None else self.draft.to
        if lexeme.text.lower().startswith("to ") and any(
            chess.square_rank(each) not in _LAST_RANKS for each, _ in squares
        ):
            return False  # "e4 belongs to queen and rook"
        draft = self._open(lexeme.span)
        draft.promotes, draft.promotion = lexeme.span, chess.PIECE_NAMES.index(sense)
        return True

    def _is_far(self) -> bool:
        """Tell whether a pawn is only on its way: "one step from becoming a queen"."""
        return self.index > 0 and "from" in self.given[self.index - 1].categories

    def _on_promote(self, sense: str, lexeme: Lexeme) -> bool:
        named = man_at(self.given, self.index + 1)
        if sense == "made" and (named is None or not set(named[0].kinds) & set(_PROMOTED)):
            return False  # "make a move"
        if self._is_far() or self._names_printed():
            return True
        if sense == "any" and self.draft is not None and self._is_an_officer(self.draft):
            self.draft = None  # "in B all four promotions"
        draft = self._open(lexeme.span)
        draft.promotes = lexeme.span
        draft.every = draft.every or sense == "any"  # "on e8 any promotion will do"
        draft.sort_other = draft.sort_other or sense == "others"
        return True

    @staticmethod
    def _is_an_officer(draft: Draft) -> bool:
        return draft.who is not None and bool(draft.who.kinds) and draft.who.kinds != (chess.PAWN,) and not draft.placed

    def _names_printed(self) -> bool:
        """Tell whether a word for a promotion is the name of one that is printed: "the underpromotion 1...a1=N"."""
        behind = self.given[self.index + 1 : self.index + 4]
        move = next((each for each in behind if each.kind not in ("word", "unknown", "number")), None)
        waits = self.draft is None or not (self.draft.placed or (self.draft.who is not None and self.draft.who.kinds))
        return waits and move is not None and move.phrase is not None and move.phrase.promotion is not None

    def _only_named(self, draft: Draft) -> bool:
        """Tell whether the draft is nothing but the word for a man a pawn may become: "a rook, bishop or knight"."""
        who = draft.who
        if who is None or draft.placed or draft.verb or draft.effects or not who.kinds or who.square is not None:
            return False
        return who.kinds[0] in _PROMOTED and not self.text[who.span.start : who.span.end].strip().count(" ")

    def _only_compares(self, draft: Draft) -> bool:
        """Tell whether a man is named only to say what another stands for: "a rook instead of a queen"."""
        before = [each for each in self.given if each.span.end <= draft.start][-1:]
        return bool(before) and before[0].sense("doubt") == "comparison"

    def _queens(self, lexeme: Lexeme) -> bool:
        """Take "you queen" and "if he queens" as what somebody does, where no move of a queen follows."""
        before, following = self.given[self.index - 1] if self.index else None, self._next()
        if lexeme.text.lower() not in _QUEENS or before is None or "object" in before.categories:
            return False
        draft = self.draft
        if draft is not None and (draft.tells or draft.verb or (draft.who is not None and draft.who.kinds)):
            return False
        many = lexeme.text.lower().endswith("s")
        one = before.sense("pronoun") in ("he", "it")
        acts = one if many else before.categories & {"we", "you"} or before.sense("pronoun") == "they"
        named = self._you() or (draft is not None and draft.who is not None)
        acts = acts or (not many and before.categories & {"can"} and named)
        goes_on = following is not None and bool(following.categories & {"to", "take", "go", "put", "be", "man"})
        if not acts or goes_on or (following is not None and following.kind in ("square", "move")):
            return False
        draft = self._open(lexeme.span)
        draft.promotes, draft.promotion, draft.you = lexeme.span, chess.QUEEN, draft.who is None
        self.reason = False
        return True

    def _on_serves(self, sense: str, lexeme: Lexeme) -> bool:
        """Take "a rook does just as well" as that promotion."""
        draft = self.draft
        if draft is not None and draft.idle and draft.who is not None and not self.negated:
            draft.promotes, draft.promotion, draft.who = draft.who.span, draft.who.kinds[0], None
            draft.end = lexeme.span.end
        return True

    def _on_retake(self, sense: str, lexeme: Lexeme) -> bool:
        """Take "fails to the capture": the man that has just moved is taken. "The knight on a2 falls" names another."""
        victim = Who(lexeme.span, pronoun="it")
        following = self._next()
        if sense == "named" and following is not None and following.categories & {"to", "toward"}:
            return False  # "the knight on a3 drops back to b1"
        if sense == "named":
            named = None if self.draft is None or self.draft.placed or self.draft.verb else self.draft.who
            if named is None or named.square is None or self.negated:
                return False
            self.draft, victim = None, named
        elif self.draft is not None and not self.draft.placed:
            self._stood_on(self.draft.who)
        self._flush()
        self.reason = False
        takers, end = self._by_whom(self.index + 1)
        for place in range(max(1, len(takers))):
            self.marks.add("refute")
            draft = self._fresh(lexeme.span)
            draft.take, draft.verb, draft.victim = lexeme.span, "take", victim
            if takers:
                draft.who, draft.end, draft.listed = takers[place], takers[place].span.end, place > 0
                self.index = end
            self._flush()
        return True

    def _is_one_more(self, draft: Draft, told: Move) -> bool:
        """Tell whether one more man of a list is named: "a queen on h1, or a rook"."""
        beside = draft.idle and not self.text[told.span.end : draft.start].strip()  # "a queen a rook a bishop"
        listed = draft.listed or self.listed or beside or "or" in self.marks
        promoted = told.ways[0].choices[0].promotion is not None and told.stance is Stance.asserted and not told.idle
        return (
            listed
            and promoted
            and not self.marks - {"or", "refute"}
            and not (told.effects or draft.effects or self.negated)
        )

    def _shares_square(self, draft: Draft, told: Move) -> bool:
        """Tell whether one more man is named with the square on which the last might stand: "a queen or rook on a8"."""
        who = draft.who
        if who is None or who.square is None or draft.placed or draft.verb or not set(who.kinds) & set(_PROMOTED):
            return False
        beside = not self.text[told.span.end : draft.start].strip(" ,") or "or" in self.marks | draft.marks
        without = not told.printed and all(each.destination is None for way in told.ways for each in way.choices)
        arrives = chess.square_rank(who.square) in _LAST_RANKS and who.colour is None and not who.fronted
        return beside and without and arrives and self._is_one_more(draft, told)

    def _joins_on_square(self, draft: Draft, told: Move) -> None:
        who = draft.who
        assert who is not None
        assert who.square is not None
        ways = tuple(
            replace(way, choices=tuple(replace(each, destination=who.square) for each in way.choices))
            for way in told.ways
        )
        self.found[-1] = told = replace(told, ways=ways)
        self._joins(draft, told)

    def _joins(self, draft: Draft, told: Move) -> None:
        phrase, who = told.ways[0].choices[0], draft.who
        assert who is not None
        draft.promotes, draft.promotion, draft.who, draft.listed = who.span, who.kinds[0], told.who, True
        if phrase.destination is not None:
            draft.to = [(phrase.destination, who.span)]

    def _is_what_it_becomes(self, draft: Draft, told: Move) -> bool:
        """Tell whether "and it's a knight" says what the pawn told last becomes."""
        phrase = told.ways[0].choices[0]
        arrives = phrase.destination is not None and chess.square_rank(phrase.destination) in _LAST_RANKS
        if not arrives or phrase.promotion is not None or phrase.piece not in (None, chess.PAWN) or told.printed:
            return False
        between = [each for each in self.given if told.span.end <= each.span.start < draft.start]
        plain = all(each.kind == "comma" or each.categories & _BETWEEN for each in between)
        return plain and any("be" in each.categories for each in between) and not self.negated

    def _completes_last(self, draft: Draft, told: Move) -> None:
        assert draft.who is not None
        kind, span = draft.who.kinds[0], draft.who.span
        ways = tuple(
            replace(way, choices=tuple(replace(each, promotion=kind, promotion_span=span) for each in way.choices))
            for way in told.ways
        )
        self.found[-1] = replace(told, ways=ways, effects=(*told.effects, *draft.effects))
        self.draft, self.last = None, draft
