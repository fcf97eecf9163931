"""A move put together word by word: who goes where, what is taken, what a pawn becomes."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import chess
from keyproof.grammar.cues import Stance
from keyproof.grammar.lexicon.lexemes import Lexeme
from keyproof.grammar.moves import MovePhrase
from keyproof.grammar.spans import Span
from msgspec.structs import replace

from .drafts import explains, finished
from .men import man_at
from .modals import supposes
from .notation import MOST_SIGNS, pawn_move, signs_before
from .sentences import without_lines
from .values import Draft, Frame, Move, Said, Who
from .verb_order import VerbOrder

_ENDS = ("stop", "question", "semicolon")
_SOFT = ("comma", "colon", "dash", "close", "open", "cell")
_BRACKETS = ("open", "close")  # "[Music]"
_TO = ("to", "onto", "into", "over to", "across to", "up to", "down to", "back to", "round to", "all the way to")
_PLACES = frozenset(("to", "at", "stands"))  # what a word that leads to a square may mean
_ROW = 3  # squares side by side that are no more a man's place and where he goes
_LONG = 16  # signs of a sentence in which there should be a comma
_LEADS = frozenset({"refute", "threat", "key", "then", "try"})
_PROMOTED = (chess.QUEEN, chess.ROOK, chess.BISHOP, chess.KNIGHT)
_DENIES = 7  # words behind "not" that may still be denied where no sign ends the clause


class Telling(VerbOrder):
    """The frames of one sentence so far, and the move that is being told."""

    def __init__(self, text: str, sentence: Sequence[Lexeme], *, plain: bool = False) -> None:
        self.text, self.given = text, list(without_lines(sentence))
        self.earlier: Sequence[Lexeme] = ()  # what stands before the sentence
        self.plain = plain  # what stands behind a word of reasons is read as moves
        self.found: list[Frame] = []
        self.draft: Draft | None = None
        self.last: Draft | None = None  # the one before
        self.marks: set[str] = set()  # what has been said of the move that comes next
        self.stance = Stance.asserted
        self.asked = any(each.kind == "question" for each in sentence)
        self.asks = _last_caption(sentence)  # where the words begin that are asked, if no other sign ends a sentence
        self.reason = False  # the clause tells why something is so
        self.negated = False
        self.denial = 0  # where the word stands that denies
        self.uncovered: list[Span] = []
        self.index = 0
        self.listed = False  # only a comma or "or" stands since the move before
        self.clause, self.able = 0, False  # where the clause begins, and whether it tells what can be played
        self.again: Span | None = None  # "likewise" stands before the moves it speaks of
        self.again_of: frozenset[str] = frozenset()  # and what it says is told again
        self.again_by: Who | None = None
        self.beats = False  # that it answers them was said in so many words
        self.beater: int | None = None  # where the move stands that is told to answer the ones behind it
        self.topic: Who | None = None  # the man that the sentence before named, of which it told nothing
        signs = [each for each in sentence if each.kind in (*_ENDS, *_SOFT, "move") and each.kind not in _BRACKETS]
        self.breathless = len(sentence) > _LONG and len(signs) * _LONG < len(sentence) + _LONG  # as captions
        self.where = False  # the sentence before asked where a man goes
        self.backward = False  # it is said of the sentence before that it fails: "That doesn't work"
        self.spoken: tuple[chess.Square, Span] | None = None  # the square named last
        self.heading: tuple[str, ...] = ()  # a direction that stands before its verb
        self.carried: set[str] = set()  # what a question asks for, which the next sentence tells

    def _fresh(self, span: Span) -> Draft:
        """Begin a move with what has been said of it beforehand."""
        self.draft = Draft(span.start, span.end, stance=self._stance(), listed=self.listed)
        self.listed = False
        return self.draft

    def _stance(self) -> Stance:
        if self.negated and self.index - self.denial > _DENIES:  # what is said meanwhile is not denied for sure
            self.negated = False
            self.uncovered.append(self.given[self.denial].span)
        if self.negated:
            return Stance.denied
        asked = self.asked and not (self.breathless and self._at() < self.asks)
        if asked and self.stance in (Stance.asserted, Stance.supposed):
            return Stance.asked
        return self.stance

    def _at(self) -> int:
        return self.given[min(self.index, len(self.given) - 1)].span.start if self.given else 0

    def _open(self, span: Span) -> Draft:
        """Return the move that is being told, or begin one."""
        draft = self.draft or self._fresh(span)
        draft.end = max(draft.end, span.end)
        return draft

    def _flush(self) -> None:
        draft, self.draft = self._settled(self.draft), None
        self.last = draft
        if draft is None:
            return
        placed = draft.who is not None and draft.who.square is not None and (self.marks & _LEADS or draft.who.reaches)
        new = draft.idle and draft.who is not None and draft.who.kinds[0] in _PROMOTED and not draft.verb
        if draft.sets_up:
            self.found.append(Said("setting", Span(draft.start, draft.end), who=draft.who, stance=draft.stance))
        elif explains(draft, self.marks, able=self.able):
            self.found.append(Said("reason", Span(draft.start, draft.end), who=draft.who, stance=draft.stance))
        elif draft.tells or placed or new or self._by_man(draft):
            draft.marks |= self.marks
            draft.able, draft.modal = self.able, self.able or supposes(self.given[self.clause : self.index + 1])
            draft.listed = draft.listed or "or" in self.marks
            self.marks = set()
            self.found.append(finished(draft, self.text, tuple(self.uncovered)))
            self._breathe()
        elif draft.who is not None and not draft.who.nameless:
            if (promoted := self._new_man(draft)) is not None:
                self.found.append(promoted)
                return
            self.found.append(Said("topic", draft.who.span, (), frozenset(self.marks), draft.stance, draft.who))
            self._breathe()

    def _breathe(self) -> None:
        """Let what was denied or supposed end with its move where nothing else shows the end of a clause."""
        if self.breathless:
            self.negated, self.stance = False, Stance.asserted
            self.uncovered = []

    def _new_man(self, draft: Draft) -> Move | None:
        """Return what may be a promotion where a man is named on the last rank."""
        return None

    def _end_clause(self, hard: bool) -> None:
        self._flush()
        self.reason = self.negated = self.able = False
        self.stance, self.clause = Stance.asserted, self.index
        self.heading = ()
        if hard:
            self.marks -= {"if", "or"}
        self.uncovered = []

    @staticmethod
    def _goes_somewhere(draft: Draft) -> bool:
        moves = draft.verb in ("go", "put")  # "he slips up the board, a4 or b4"
        named = draft.who is not None and (bool(draft.who.kinds) or moves) and draft.take is None
        return bool(draft.to) or (named and not draft.phrases)

    def _move(self, lexeme: Lexeme) -> None:
        assert lexeme.phrase is not None
        if self.reason and self.draft is None and lexeme.phrase.annotation == "" and not self.marks:
            self.reason = False
        number, listed = None, False
        if self.draft is not None and not self.draft.tells:
            number, listed = self.draft.number, self.draft.listed
        if self.draft is not None and "or" in self.marks and _one_list(self.draft.phrases, lexeme.phrase):
            self.draft.phrases.append(lexeme.phrase)
            self.draft.end = lexeme.span.end
            self.marks.discard("or")
            return
        if self.draft is not None and (self.draft.tells or self.draft.number is None):
            self._flush()
        draft = self._fresh(lexeme.span)
        draft.number, draft.phrases, draft.listed = number, [lexeme.phrase], draft.listed or listed
        draft.signs = self._signs()
        if number is None and self._is_refuted_at_once(lexeme.phrase):
            draft.marks.add("try")

    def _signs(self) -> tuple[str, ...] | None:
        before = self.given[max(0, self.index - MOST_SIGNS) : self.index]
        return signs_before((*self.earlier, *before) if len(before) < MOST_SIGNS else before)

    def _is_refuted_at_once(self, phrase: MovePhrase) -> bool:
        """Tell whether a move is printed as a try with its refutation: "Qg5? Kh8!"."""
        following = self._next()
        refutation = None if following is None else following.phrase
        if refutation is None or not phrase.annotation.startswith("?"):
            return False
        return refutation.annotation.startswith("!")

    def _square(self, lexeme: Lexeme) -> None:
        assert lexeme.square is not None
        following = self._next()
        if following is not None and following.sense("man") and (found := man_at(self.given, self.index)) is not None:
            self._man(found)
            return
        mates = following is not None and following.sense("effect") == "mate"
        if self.reason and not mates:
            return
        self.reason, draft = False, self.draft  # "covers c8 fine e7 mate"
        numbered = draft is not None and draft.number is not None and not draft.tells and draft.who is None
        if draft is not None and numbered and (phrase := pawn_move(lexeme)) is not None:
            draft.phrases, draft.end = [phrase], lexeme.span.end
            draft.signs = self._signs()
            return
        if draft is not None and (draft.phrases or draft.promotes_elsewhere(lexeme.square)):
            self._flush()
            draft = None
        if draft is not None and len(draft.to) == 1 and self._from_to(draft):
            draft.apart = draft.apart or draft.who is None  # "(a1 to d1)"
            draft.origin = draft.to.pop()[0]  # "knight e eight to d six"
        if draft is not None and draft.to and not self._lists(draft):
            self._flush()
            draft = None
        elif (
            draft is not None and draft.take is not None and draft.to and "to" in self.given[self.index - 1].categories
        ):
            self._flush()  # "takes c3, or to b2"
            draft, taker = self._fresh(lexeme.span), draft.who
            draft.who, draft.verb, draft.listed = taker, "go", True
        if draft is None:
            draft = self._fresh(lexeme.span)
        before = self.given[self.index - 1] if self.index else None
        if before is not None and "from" in before.categories and not (draft.to or draft.effects):
            draft.origin = lexeme.square
        else:
            draft.to.append((lexeme.square, lexeme.span))
        if before is not None and before.categories & {"to", "from"} and draft.who is None and not draft.effects:
            carried = None if self._moves() or self._bids(draft) else self.topic
            draft.who = self._topic() or carried  # "The other rook! To h5!"
        elif self.topic is not None and self.topic.kinds and self.where and self._opens(draft):
            draft.who, draft.apart = self.topic, True  # "Where's the queen want to be? F2."
        elif self.topic is not None and self.topic.kinds == (chess.PAWN,) and self._opens(draft):
            draft.who, draft.carried = self.topic, True  # "It's the other pawn. D6"
        draft.towards = before is not None and before.categories & _PLACES == {"to"}
        draft.end, draft.cost = lexeme.span.end, max(draft.cost, lexeme.cost)
        if following is not None and self._becomes(draft, lexeme.square, following):
            draft.promotes, draft.promotion = following.span, chess.PIECE_NAMES.index(following.sense("man") or "")
            draft.end = following.span.end
            self.index += 2

    def _becomes(self, draft: Draft, square: chess.Square, following: Lexeme) -> bool:
        """Tell whether a man is named behind the square that a pawn reaches: "b8 rook", but not "b8 rook d8 mate"."""
        promoted = following.sense("man") in ("queen", "rook", "bishop", "knight")
        after = next(iter(self.given[self.index + 2 :]), None)
        leads = after is not None and "to" in after.categories and self._square_next(3)
        moves = leads or (after is not None and after.kind == "square")
        if moves and (draft.who is None or not draft.who.kinds):
            return False
        pawn = draft.who is None or draft.who.nameless or draft.who.kinds == (chess.PAWN,)
        return promoted and pawn and chess.square_rank(square) in (0, 7) and draft.promotes is None

    def _from_to(self, draft: Draft) -> bool:
        """Tell whether the square before stands beside its man, and "to" the one at hand."""
        before, following = self.given[self.index - 2 : self.index], self._next()
        line = following is not None and "unit" in following.categories  # "the a1 to h8 diagonal"
        if len(before) < 2 or before[0].kind != "square" or "to" not in before[1].categories:
            return False
        return bool(draft.who) or not (draft.verb or line or draft.effects or before[1].text.lower() not in _TO)

    def _in_a_row(self) -> int:
        """Return how many squares stand side by side with the one at hand."""
        first = last = self.index
        while first > 0 and self.given[first - 1].kind == "square":
            first -= 1
        while last + 1 < len(self.given) and self.given[last + 1].kind == "square":
            last += 1
        return last - first + 1

    def _lists(self, draft: Draft) -> bool:
        """Tell whether the square at hand is one more of a list."""
        between = self.given[max(0, self.index - 2) : self.index]
        if self._in_a_row() >= _ROW:
            return True  # "knight f six d six c five"
        return any(each.kind in ("comma", "slash") or each.sense("link") in ("or", "and") for each in between)

    def _man(self, found: tuple) -> None:  # type: ignore[type-arg]
        who, end = found
        begins, self.index = self._begins_anew(end), end
        if self.reason and not begins:
            return
        if self.reason:
            self._flush()
            self.reason = self.negated = False  # "nothing protects her and the king takes back"
        draft = self.draft
        if draft is not None and draft.promotes is not None and draft.promotion is None and who.kinds:
            if who.kinds[0] == chess.PAWN and draft.who is None:
                draft.who, draft.end = who, who.span.end
                return
            if who.kinds[0] in _PROMOTED or (who.indefinite and draft.who is not None and draft.who != who):
                draft.promotion = who.kinds[0]  # "becomes a king" cannot be
                if who.square is not None and not draft.to:
                    draft.to.append((who.square, who.span))
                draft.end = who.span.end
                return
        if draft is not None and self._completes(draft, who):
            return
        if draft is not None and self._someone_else(draft, who):
            self._flush()  # "if you push it he walks up to f7"
            draft = None
        if draft is not None and draft.with_next and (draft.who is None or draft.who.nameless):
            draft.lands = bool(draft.effects) and who.square is not None and not draft.placed
            draft.who, draft.with_next, draft.end = who, False, who.span.end
            return
        if draft is not None and draft.take is not None and draft.victim is None and not draft.to:
            draft.victim, draft.end = who, who.span.end
            return
        if (
            draft is not None
            and draft.verb in ("put", "gives")
            and not draft.tells
            and (draft.who is None or draft.who.nameless)
        ):
            draft.end = who.span.end
            if who.square is not None and draft.lays_down(who):
                draft.to.append((who.square, who.span))
                who = replace(who, square=None)
            draft.who = who
            return
        if draft is not None and draft.effects and not draft.to and draft.who is None:
            draft.who, draft.end = who, who.span.end
            return
        if draft is not None and (draft.tells or draft.who is not None):
            self._flush()
            draft = None
        draft = draft or self._fresh(who.span)
        draft.who, draft.end = who, max(draft.end, who.span.end)
        draft.every = draft.every or who.every

    @staticmethod
    def _someone_else(draft: Draft, who: Who) -> bool:
        """Tell whether he who is named now does what follows, and not the man that was pushed before."""
        pushed = draft.verb == "put" and draft.who is not None and draft.who.pronoun in ("it", "she", "they")
        return pushed and who.nameless and not who.object and who.pronoun in ("he", "you", "i", "we")

    def _leads(self, following: Lexeme | None) -> bool:
        """Tell whether a word that has other uses leads to a move here: "on Kd5", "after the pawn's step"."""
        if following is None:
            return False
        if following.kind in ("move", "number", "square", "comma"):
            return True
        after = self._next(2) if "article" in following.categories else following
        if after is not None and ("rest" in after.categories or after.sense("mark") in ("other", "any")):
            return True  # "sur un autre coup"
        return man_at(self.given, self.index + 1) is not None or bool(following.categories & {"castle", "take", "link"})

    def _bids(self, draft: Draft) -> bool:
        """Tell whether a verb tells somebody to move, who is not named: "Run off to f1", but "Goes to f1"."""
        words = self.text[draft.start : draft.end].split()
        return bool(draft.verb) and bool(words) and not words[0].endswith("s")

    def _opens(self, draft: Draft) -> bool:
        """Tell whether a square is the first thing that the sentence says."""
        return not self.found and draft.who is None and len(draft.to) == 1 and draft.start == draft.to[0][1].start

    def _why(self, lexeme: Lexeme) -> bool:
        before = self.draft
        who = None if before is None else before.who
        preceding = self.given[self.index - 1] if self.index else None
        passive = preceding is not None and "be" in preceding.categories
        behind = self.given[self.index + 1] if self.index + 1 < len(self.given) else None
        last = behind is None or behind.kind in _ENDS
        if before is not None and passive and before.who is None and not before.phrases:
            self.draft = None  # "g6 is covered"
        elif before is not None and last and not before.verb and not before.phrases:
            self.draft = None  # "weil er von d8 aus das Feld c6 bewacht"
        elif before is not None and before.tells and (before.to or before.phrases or before.take or before.castling):
            self._flush()
        elif before is not None and before.tells and before.every and before.verb:
            self._flush()  # "it can go anywhere it likes it's got eight moves"
        elif before is not None and before.becomes_new:
            self._flush()  # "a bishop on e8 guards d7"
        else:
            self.draft = None
        self.reason = not self.plain
        self.found.append(Said("reason", lexeme.span, who=who, stance=self._stance(), uncovered=tuple(self.uncovered)))
        return True

    def _is_place(self, lexeme: Lexeme) -> bool:
        """Tell whether "on" or the like leads to the square that the man at hand goes to, and not to a move."""
        if "weak" not in lexeme.categories or not lexeme.categories & {"stands", "to"}:
            return False
        following = self._next()
        draft = self.draft
        open_ = draft is not None and (not draft.to or self._lists(draft))
        return following is not None and following.square is not None and open_


def _last_caption(sentence: Sequence[Lexeme]) -> int:
    """Return where the last part of a sentence begins that a blank line parts from the rest, as captions are."""
    blanks = (after for before, after in pairwise(sentence) if before.kind == after.kind == "line")
    behind = [
        each.span.end
        for each in blanks
        if any(word.kind == "word" for word in sentence if word.span.start > each.span.start)
    ]
    return max(behind, default=0)


def _one_list(told: Sequence[MovePhrase], phrase: MovePhrase) -> bool:
    """Tell whether a move may be one more of a list, and does not refute its last: "or 1.Qc1+? Kxb3!"."""
    signs = (told[-1].annotation[:1], phrase.annotation[:1]) if told else ("?", "!")
    return signs != ("?", "!")
