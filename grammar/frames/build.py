"""The frames of a text, clause by clause."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

import chess

from keyproof.grammar.lexicon.lexemes import Lexeme
from keyproof.grammar.moves import Effect, MovePhrase, read_move
from keyproof.grammar.spans import Span

from .drafts import finished
from .men import man_at
from .values import Draft, Frame, Move, Said, Stance, Who

_EFFECTS = {
    "mate": Effect.mate,
    "check": Effect.check,
    "double": Effect.double_check,
    "discovered": Effect.discovered_check,
    "stalemate": Effect.stalemate,
}
_REASONS = ("guard", "pin", "block", "open", "flee", "sacrifice")
_ENDS = ("stop", "question", "semicolon")
_SOFT = ("comma", "colon", "dash", "close", "open", "cell")
_LEADS = frozenset({"refute", "threat", "key", "then", "try"})
_FORWARD = ("key", "try", "threat")
_PROMOTED = (chess.QUEEN, chess.ROOK, chess.BISHOP, chess.KNIGHT)


def sentences(given: Sequence[Lexeme], *, flowing: bool = False) -> list[list[Lexeme]]:
    """Part lexemes at the ends of sentences and at blank lines, which begin a paragraph, but not where text is `flowing`."""
    found: list[list[Lexeme]] = [[]]
    for index, lexeme in enumerate(given):
        found[-1].append(lexeme)
        following = given[index + 1] if index + 1 < len(given) else None
        blank = not flowing and lexeme.kind == "line" and (following is None or following.kind == "line")
        numbered = not flowing and lexeme.kind == "line" and following is not None and following.kind == "number"
        marked = not flowing and lexeme.kind == "line" and _ends_with_sign(given, index)
        if lexeme.kind in ("stop", "question") or blank or numbered or marked:
            found.append([])
    return [each for each in found if each]


def _ends_with_sign(given: Sequence[Lexeme], index: int) -> bool:
    """Tell whether a line ends with the "!" or "?" of a move, and the next begins a sentence with a capital."""
    if not 0 < index < len(given) - 1:
        return False
    move, following = given[index - 1], given[index + 1]
    begins = following.kind in ("word", "unknown") and following.text[0].isupper()
    return move.kind == "move" and move.text[-1] in "!?" and begins


def frames(text: str, given: Iterable[Lexeme], *, flowing: bool = False) -> list[Frame]:
    """Return the frames of the lexemes of a text, in order. Never raises for any text.

    `flowing`: lines end anywhere, even in the middle of a move, as those of captions do.
    """
    found: list[Frame] = []
    carried: set[str] = set()
    for sentence in sentences(list(given), flowing=flowing):
        builder = _Builder(text, sentence)
        builder.marks |= carried
        found.extend(builder.build())
        carried = builder.carried
        end = sentence[-1].span
        found.append(Said("paragraph" if sentence[-1].kind == "line" else "end", Span(end.end, end.end)))
    return found


def _pawn_move(lexeme: Lexeme) -> MovePhrase | None:
    """Return the pawn move that a square stands for in notation."""
    plain = lexeme.kind == "square" and lexeme.text[0].islower() and len(lexeme.text) == 2
    return read_move(lexeme.text, offset=lexeme.span.start) if plain else None


def _without_lines(sentence: Sequence[Lexeme]) -> Iterator[Lexeme]:
    """Leave out line ends, since prose is wrapped anywhere, where what follows may go on with what stands before."""
    for index, lexeme in enumerate(sentence):
        if lexeme.kind != "line":
            yield lexeme
            continue
        following = sentence[index + 1] if index + 1 < len(sentence) else None
        if following is not None and not following.categories & {"to", "effect"} and following.kind != "square":
            yield lexeme


class _Builder:
    """Puts the frames of one sentence together, from left to right."""

    def __init__(self, text: str, sentence: Sequence[Lexeme]) -> None:
        self.text, self.given = text, list(_without_lines(sentence))
        self.found: list[Frame] = []
        self.draft: Draft | None = None
        self.marks: set[str] = set()  # what has been said of the move that comes next
        self.stance = Stance.asserted
        self.asked = any(each.kind == "question" for each in sentence)
        self.reason = False  # the clause tells why something is so
        self.negated = False
        self.uncovered: list[Span] = []
        self.index = 0
        self.listed = False  # only a comma or "or" stands since the move before
        self.able = False  # the clause tells what can be played
        self.again: Span | None = None  # "likewise" stands before the moves it speaks of
        self.carried: set[str] = set()  # what a question asks for, which the next sentence tells

    # -- the walk over the lexemes ---------------------------------------------

    def build(self) -> list[Frame]:
        """Return the frames of the sentence."""
        while self.index < len(self.given):
            before = self.index
            self._step()
            if self.index == before:
                self.index += 1
        self._flush()
        if self.again is not None:
            self.found.append(Said("again", self.again, stance=self._stance()))
        self._last_marks()
        return self.found

    def _step(self) -> None:
        lexeme = self.given[self.index]
        handler = getattr(self, f"_{lexeme.kind}", None)
        if lexeme.kind in _ENDS:
            self.listed = False
            self._end_clause(hard=True)
        elif lexeme.kind in _SOFT:
            self._soft_end(lexeme)
        elif handler is not None:
            handler(lexeme)

    def _next(self, ahead: int = 1) -> Lexeme | None:
        place = self.index + ahead
        return self.given[place] if place < len(self.given) else None

    # -- signs -------------------------------------------------------------------

    def _soft_end(self, lexeme: Lexeme) -> None:
        """Take a comma or the like: a list may go on behind it, else the clause ends."""
        following = self._next()
        joins = following is not None and (following.categories & {"or", "link"} or following.kind in ("square", "dash"))
        if lexeme.kind == "comma" and following is not None and (following.kind == "square" or joins):
            if self.reason and not following.sense("link") == "then":
                return
            draft = self.draft
            if draft is not None and not draft.effects and self._goes_somewhere(draft) and following.kind == "square":
                draft.apart = draft.apart or not draft.to
                return
        self._end_clause(hard=False)
        self.listed = lexeme.kind == "comma"

    @staticmethod
    def _goes_somewhere(draft: Draft) -> bool:
        named = draft.who is not None and bool(draft.who.kinds) and draft.take is None
        return bool(draft.to) or (named and not draft.phrases)

    def _end_clause(self, hard: bool) -> None:
        self._flush()
        self.reason = self.negated = self.able = False
        self.stance = Stance.asserted
        if hard:
            self.marks -= {"if", "or"}
        self.uncovered = []

    def _line(self, lexeme: Lexeme) -> None:
        if self.draft is not None and self.draft.tells:
            self._flush()
            self.listed = False

    def _unknown(self, lexeme: Lexeme) -> None:
        if lexeme.text[:1].isalpha():
            self.uncovered.append(lexeme.span)

    def _number(self, lexeme: Lexeme) -> None:
        self._flush()
        self.reason = False
        self._fresh(lexeme.span).number = lexeme.number

    def _slash(self, lexeme: Lexeme) -> None:
        following = self._next()
        phrase = None if following is None else following.phrase or _pawn_move(following)
        if self.draft is not None and self.draft.phrases and following is not None and phrase is not None:
            self.draft.phrases.append(phrase)
            self.draft.end = following.span.end
            self.index += 2

    # -- moves ---------------------------------------------------------------------

    def _fresh(self, span: Span) -> Draft:
        """Begin a move with what has been said of it beforehand."""
        self.draft = Draft(span.start, span.end, stance=self._stance(), listed=self.listed)
        self.listed = False
        return self.draft

    def _stance(self) -> Stance:
        if self.negated:
            return Stance.denied
        if self.asked and self.stance is Stance.asserted:
            return Stance.asked
        return self.stance

    def _open(self, span: Span) -> Draft:
        """Return the move that is being told, or begin one."""
        draft = self.draft or self._fresh(span)
        draft.end = max(draft.end, span.end)
        return draft

    def _flush(self) -> None:
        draft, self.draft = self.draft, None
        if draft is None:
            return
        placed = draft.who is not None and draft.who.square is not None and (self.marks & _LEADS or draft.who.reaches)
        new = draft.idle and draft.who is not None and draft.who.kinds[0] in _PROMOTED and not draft.verb
        if draft.verb == "stand":
            self.found.append(Said("reason", Span(draft.start, draft.end), who=draft.who, stance=draft.stance))
        elif draft.tells or placed or new:
            draft.marks |= self.marks
            draft.able = self.able
            draft.listed = draft.listed or "or" in self.marks
            self.marks = set()
            self.found.append(finished(draft, self.text, tuple(self.uncovered)))
        elif draft.who is not None and not draft.who.nameless:
            self.found.append(Said("topic", draft.who.span, who=draft.who))

    def _move(self, lexeme: Lexeme) -> None:
        assert lexeme.phrase is not None
        if self.reason and self.draft is None and lexeme.phrase.annotation == "" and not self.marks:
            self.reason = False
        previous = self.found[-1] if self.found else None
        number = self.draft.number if self.draft is not None and not self.draft.tells else None
        joined = self.draft is not None and self.draft.phrases and "or" in self.marks
        if joined:
            assert self.draft is not None
            self.draft.phrases.append(lexeme.phrase)
            self.draft.end = lexeme.span.end
            self.marks.discard("or")
            return
        if self.draft is not None and (self.draft.tells or self.draft.number is None):
            self._flush()
        draft = self._fresh(lexeme.span)
        draft.number, draft.phrases = number, [lexeme.phrase]
        del previous

    def _square(self, lexeme: Lexeme) -> None:
        assert lexeme.square is not None
        following = self._next()
        if following is not None and following.sense("man") and (found := man_at(self.given, self.index)) is not None:
            self._man(found)
            return
        if self.reason:
            return
        draft = self.draft
        if draft is not None and draft.number is not None and not draft.tells and draft.who is None:
            phrase = _pawn_move(lexeme)
            if phrase is not None:
                draft.phrases, draft.end = [phrase], lexeme.span.end
                return
        if draft is not None and draft.phrases:
            self._flush()
            draft = None
        if draft is not None and len(draft.to) == 1 and self._from_to(draft):
            draft.origin = draft.to.pop()[0]  # "knight e eight to d six"
        if draft is not None and draft.to and not self._lists(draft):
            self._flush()
            draft = None
        if draft is None:
            draft = self._fresh(lexeme.span)
        before = self.given[self.index - 1] if self.index else None
        if before is not None and before.sense("from") is not None and not draft.to:
            draft.origin = lexeme.square
        else:
            draft.to.append((lexeme.square, lexeme.span))
        draft.end = lexeme.span.end
        draft.cost += lexeme.cost
        if following is not None and self._becomes(draft, lexeme.square, following):
            draft.promotes, draft.promotion = following.span, chess.PIECE_NAMES.index(following.sense("man") or "")
            draft.end = following.span.end
            self.index += 2

    @staticmethod
    def _becomes(draft: Draft, square: chess.Square, following: Lexeme) -> bool:
        """Tell whether a man is named behind the square that a pawn reaches: "b8 rook"."""
        promoted = following.sense("man") in ("queen", "rook", "bishop", "knight")
        pawn = draft.who is None or draft.who.nameless or draft.who.kinds == (chess.PAWN,)
        return promoted and pawn and chess.square_rank(square) in (0, 7) and draft.promotes is None

    def _from_to(self, draft: Draft) -> bool:
        """Tell whether the square before stands beside its man, and "to" the one at hand."""
        before = self.given[self.index - 2 : self.index]
        return len(before) == 2 and before[0].kind == "square" and before[1].sense("to") is not None and bool(draft.who)

    def _lists(self, draft: Draft) -> bool:
        """Tell whether the square at hand is one more of a list."""
        between = self.given[max(0, self.index - 2) : self.index]
        return any(each.kind in ("comma", "slash") or each.sense("link") in ("or", "and") for each in between)

    def _man(self, found: tuple) -> None:  # type: ignore[type-arg]
        who, end = found
        self.index = end
        draft = self.draft
        if self.reason:
            return
        if draft is not None and draft.promotes is not None and draft.promotion is None and who.kinds:
            if who.kinds[0] == chess.PAWN and draft.who is None:
                draft.who, draft.end = who, who.span.end
                return
            if who.kinds[0] in _PROMOTED:
                draft.promotion = who.kinds[0]
                if who.square is not None and not draft.to:
                    draft.to.append((who.square, who.span))
                draft.end = who.span.end
                return
        if draft is not None and self._completes(draft, who):
            return
        if draft is not None and draft.with_next and (draft.who is None or draft.who.nameless):
            draft.who, draft.with_next, draft.end = who, False, who.span.end
            return
        if draft is not None and draft.take is not None and draft.victim is None and not draft.to:
            draft.victim, draft.end = who, who.span.end
            return
        if draft is not None and draft.verb in ("put", "gives") and not draft.tells and (
            draft.who is None or draft.who.nameless
        ):
            draft.end = who.span.end
            if draft.verb == "put" and who.square is not None and not draft.to and who.kinds:
                draft.to.append((who.square, who.span))  # "put that bishop on e2"
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

    def _completes(self, draft: Draft, who: Who) -> bool:
        """Take a man where a language leaves the order free: "auf d5 schlägt der Turm", "den Turm schlägt er"."""
        if draft.free and draft.who is None and not who.object and not draft.phrases:
            draft.who, draft.every, draft.either = who, draft.every or who.every, draft.victim is None
        elif draft.verb == "" and draft.victim is None and not draft.phrases and self._is_done_to(draft, who):
            draft.victim = who
        else:
            return False
        draft.end = max(draft.end, who.span.end)
        return True

    def _is_done_to(self, draft: Draft, who: Who) -> bool:
        """Tell whether a man before the verb is one that is taken or played: "wenn der König den Turm schlägt"."""
        if who.object:
            return draft.who is not None
        article = any(each.sense("article") is not None and each.span.start == who.span.start for each in self.given)
        at_hand = self.given[self.index : self.index + 1]
        free = any(each.sense("free") is not None for each in (*at_hand, *self._rest_of_clause()))
        return article and free and draft.who is not None and draft.who.colour is not None and draft.who.nameless

    # -- words ---------------------------------------------------------------------

    def _word(self, lexeme: Lexeme) -> None:
        if (found := man_at(self.given, self.index)) is not None and not self._means_more(lexeme):
            self._man(found)
            return
        for category in _ORDER:
            sense = lexeme.sense(category)
            if sense is not None and getattr(self, f"_on_{category}")(sense, lexeme):
                return

    def _means_more(self, lexeme: Lexeme) -> bool:
        """Tell whether a word that may name a man is a word of another kind here: "castle", "one", "any other"."""
        if lexeme.sense("castle") is not None:
            before = self.given[self.index - 1] if self.index else None
            return before is None or not before.categories & {"article", "our", "this", "other", "side"}
        return False

    def _on_deny(self, sense: str, lexeme: Lexeme) -> bool:
        if self.draft is not None and self.draft.tells and not self.draft.effects:
            following = self._next()
            if following is not None and following.sense("effect") is None and not self.draft.verb:
                self.draft.stance = Stance.denied
        elif self.draft is not None:
            self.draft.stance = Stance.denied
        elif self._takes_back():
            self._take_back()
            return True
        elif sense == "not" and self._leads(self._next()):
            self.marks.add("try")  # "and not bishop f6": no denial that it can be played
            return True
        self.negated = True
        return True

    def _takes_back(self) -> bool:
        """Tell whether "he can't do that" denies the move before."""
        after = self.given[self.index + 1 : self.index + 4]
        return bool(after) and any(each.sense("this") is not None for each in after) and len(self.found) > 0

    def _on_effect(self, sense: str, lexeme: Lexeme) -> bool:
        following = self._next()
        if following is not None and following.sense("within") is not None and sense == "mate":
            after = self._next(2)
            if after is not None and (after.sense("count") or after.text.isdigit()):
                self.index += 3
                return True
        effect = _EFFECTS[sense]
        before = self.given[self.index - 1] if self.index else None
        if self.negated or (before is not None and before.sense("count") == "0"):
            if effect not in (Effect.mate, Effect.check):
                return True
            effect = Effect.not_mate if effect is Effect.mate else Effect.not_check
        if before is not None and before.sense("article") is not None and lexeme.text.lower().endswith("s"):
            return True  # "the checks Qd3 and Qe6", "there are two mates"
        said = (effect, lexeme.span)
        if self.reason:
            self._flush()
            self.reason = False
        if self.draft is not None:
            if self.negated and self.draft.stance is Stance.denied:
                self.draft.stance = Stance.asserted
            self.draft.effects.append(said)
            self.draft.end = lexeme.span.end
            self.negated = False
            return True
        last = self.found[-1] if self.found else None
        on_square = following is not None and (following.sense("at") is not None or following.sense("with") is not None)
        on_square = on_square or (following is not None and following.sense("by") is not None)
        if isinstance(last, Move) and not on_square and not self.marks & {"if", "threat", "key"}:
            self.found[-1] = replace(last, effects=(*last.effects, said))
        elif on_square and not self._points_back():
            self._fresh(lexeme.span).effects.append(said)
        else:
            self.found.append(Said("effect", lexeme.span, effects=(said,), stance=self._stance()))
        self.negated = False
        return True

    def _points_back(self) -> bool:
        return any(each.sense("this") is not None for each in self.given[max(0, self.index - 2) : self.index])

    def _on_castle(self, sense: str, lexeme: Lexeme) -> bool:
        if self.draft is not None and (self.draft.tells or (self.draft.who and not self.draft.who.nameless)):
            self._flush()
        draft = self._open(lexeme.span)
        around = self.given[max(0, self.index - 1) : self.index + 5]
        wing = next((each.sense("wing") for each in around if each.sense("wing")), None)
        draft.castling = wing or "either"
        self.reason = False
        return True

    def _on_promoting(self, sense: str, lexeme: Lexeme) -> bool:
        draft = self._open(lexeme.span)
        draft.promotes, draft.promotion = lexeme.span, chess.PIECE_NAMES.index(sense)
        return True

    def _on_promote(self, sense: str, lexeme: Lexeme) -> bool:
        draft = self._open(lexeme.span)
        draft.promotes = lexeme.span
        return True

    def _on_take(self, sense: str, lexeme: Lexeme) -> bool:
        if any(each.sense("away") is not None for each in self._rest_of_clause()):
            return self._why(lexeme)  # "takes g2 and h2 away from him"
        before = self.given[self.index - 1] if self.index else None
        passive = before is not None and (before.sense("be") is not None or before.text.lower().startswith("get"))
        joins = self._stands_behind(lexeme)
        if self.draft is not None and ((self.draft.placed and not self.draft.effects and not joins) or passive):
            who = self.draft.who
            self._flush()
            if not passive:
                self._fresh(lexeme.span).who = who
        draft = self._open(lexeme.span)
        draft.who = draft.who or self._topic()
        draft.take, draft.verb = lexeme.span, "take"
        draft.free = lexeme.sense("free") is not None
        if draft.free and draft.victim is None and draft.who is not None and draft.who.object:
            draft.who, draft.victim = None, draft.who  # "den Turm schlägt der König"
        self.reason = False
        return True

    def _rest_of_clause(self) -> Iterator[Lexeme]:
        for each in self.given[self.index + 1 :]:
            if each.kind in (*_ENDS, *_SOFT) or each.sense("link") in ("but", "then"):
                return
            yield each

    def _on_stand(self, sense: str, lexeme: Lexeme) -> bool:
        draft = self.draft
        if draft is not None and not draft.placed:
            draft.verb, draft.end = "stand", lexeme.span.end
        return True

    def _on_have(self, sense: str, lexeme: Lexeme) -> bool:
        """Take "the king has g5 and g6" as a reason, and leave "has gone" alone."""
        following = self._next()
        named = following is not None and (following.kind == "square" or following.sense("count") is not None)
        return self._why(lexeme) if named and self.draft is not None and not self.draft.placed else False

    def _on_can(self, sense: str, lexeme: Lexeme) -> bool:
        if sense == "able":
            self.able = True
        return False

    def _stands_behind(self, lexeme: Lexeme) -> bool:
        """Tell whether a verb belongs to the square before it: "wenn der Turm auf d5 schlägt"."""
        draft = self.draft
        return lexeme.sense("free") is not None and draft is not None and not (draft.phrases or draft.verb)

    def _on_go(self, sense: str, lexeme: Lexeme) -> bool:
        return self._verb("go", lexeme)

    def _on_put(self, sense: str, lexeme: Lexeme) -> bool:
        return self._verb("put", lexeme)

    def _verb(self, verb: str, lexeme: Lexeme) -> bool:
        if self.reason and self.draft is None:
            return True
        draft = self._open(lexeme.span)
        draft.who = draft.who or self._topic()
        draft.verb = draft.verb or verb
        draft.free = lexeme.sense("free") is not None
        if draft.victim is not None and draft.take is None:
            draft.who, draft.victim = draft.victim, None  # "wenn Weiß den Turm nach d5 zieht"
        return True

    def _topic(self) -> Who | None:
        """Return the man named last in the sentence, where no move has been told since."""
        told = self.found[-1] if self.found else None
        if isinstance(told, Said) and told.kind == "topic":
            self.found.pop()
            return told.who
        return None

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
            if lexeme.text.lower() == "say" and following is not None and following.kind == "comma":
                return True
            if lexeme.sense("weak") is not None and not self._leads(following):
                return False
            if sense == "if" and self._is_place(lexeme):
                return True
            self._flush()
            if sense == "but" and self.reason and following is not None and following.sense("deny") is not None:
                self.index += 2  # "stops king g5 but not king g6": what it does not stop is what can be played
            self.reason = False
            self.marks.add(sense)
        return True

    def _leads(self, following: Lexeme | None) -> bool:
        """Tell whether a word that has other uses leads to a move here: "on Kd5", "after the pawn's step"."""
        if following is None:
            return False
        if following.kind in ("move", "number", "square", "comma"):
            return True
        return man_at(self.given, self.index + 1) is not None or bool(following.categories & {"castle", "take", "link"})

    def _is_place(self, lexeme: Lexeme) -> bool:
        """Tell whether "on" or the like leads to the square that the man at hand goes to, and not to a move."""
        if "weak" not in lexeme.categories or not lexeme.categories & {"stands", "to"}:
            return False
        following = self._next()
        draft = self.draft
        open_ = draft is not None and (not draft.to or self._lists(draft))
        return following is not None and following.square is not None and open_

    def _corrects(self, lexeme: Lexeme) -> bool:
        """Tell whether "no" takes back a square: "to e3, no, e4"."""
        before = self.given[self.index - 1] if self.index else None
        following, after = self._next(), self._next(2)
        commas = before is not None and before.kind == "comma" and following is not None and following.kind == "comma"
        return lexeme.text.lower() == "no" and commas and after is not None and (
            after.kind == "square" or after.sense("to") is not None
        )

    def _or(self) -> None:
        following = self._next()
        if self.draft is not None and self.draft.to and following is not None:
            if following.kind == "square" or (following.sense("to") is not None and self._square_next(2)):
                return
        if self.draft is not None and self.draft.phrases and following is not None and following.kind == "move":
            self.marks.add("or")
            return
        if self.reason:
            return
        self._flush()
        self.marks.add("or")

    def _square_next(self, ahead: int) -> bool:
        following = self._next(ahead)
        return following is not None and following.kind == "square"

    def _and(self) -> None:
        following = self._next()
        if self.reason or following is None:
            return
        if self.draft is not None and self.draft.to and following.kind == "square":
            return
        if following.categories & {"go", "take", "castle", "put"} and self.draft is not None and not self.draft.tells:
            return
        if following.categories & {"effect", "filler"}:
            return
        if following.categories & {"promote", "promoting"} and self._on_last_rank():
            return  # "goes to f8 and becomes a queen"
        who = self.draft.who if self.draft is not None else None
        self._flush()
        after = self._next(2) if following.sense("stands") is not None else None  # "on Kd5 and on any other move"
        self.listed = following.kind in ("move", "number") or following.sense("man") is not None
        self.listed = self.listed or (after is not None and after.sense("mark") in ("any", "other"))
        if following.categories & {"go", "take", "promote"} and who is not None:
            self._fresh(following.span).who = who

    def _on_last_rank(self) -> bool:
        return self.draft is not None and any(chess.square_rank(square) in (0, 7) for square, _ in self.draft.to)

    def _because(self) -> None:
        following = self._next()
        if following is not None and following.kind in ("move", "number"):
            return
        self._flush()
        self.marks.add("because")

    def _why(self, lexeme: Lexeme) -> bool:
        before = self.draft
        who = None if before is None else before.who
        preceding = self.given[self.index - 1] if self.index else None
        passive = preceding is not None and preceding.sense("be") is not None
        if before is not None and passive and before.who is None and not before.phrases:
            self.draft = None  # "g6 is covered"
        elif before is not None and before.tells and (before.to or before.phrases or before.take or before.castling):
            self._flush()
        else:
            self.draft = None
        self.reason = True
        self.found.append(Said("reason", lexeme.span, who=who, stance=self._stance(), uncovered=tuple(self.uncovered)))
        return True

    def _on_reasons(self, sense: str, lexeme: Lexeme) -> bool:
        return False

    def _on_mark(self, sense: str, lexeme: Lexeme) -> bool:
        if sense in ("other", "any"):
            return self._set(sense, lexeme)
        if sense == "again":
            return self._repeats(lexeme)
        if sense == "only":
            return True
        if sense == "zugzwang":
            self._flush()
            self.found.append(Said("claim", lexeme.span, marks=frozenset({"zugzwang"})))
            return True
        unsolved = sense == "solve" and self.negated
        if unsolved:
            self.negated = False
            if self.draft is not None:
                self.draft.stance = Stance.asserted  # that it is played is not denied
        self._flush()
        self.reason = False
        if unsolved and self._calls_last("was fail"):
            return True
        if sense == "refutes" and self._stands_before(lexeme):
            self.marks.add("refute")
            return True
        if sense == "solve":
            if self._calls_last("was key"):
                return True
            sense = "key"
        if sense == "refutes" or (sense in _FORWARD and self._is_said_of_last()):
            if self._calls_last(f"was {sense.removesuffix('s') if sense == 'refutes' else sense}"):
                return True
            sense = "refute" if sense == "refutes" else sense
        self.marks.add(sense)
        return True

    def _stands_before(self, lexeme: Lexeme) -> bool:
        """Tell whether a verb stands before the move that it is said of: "doch widerlegt 1...Kd5"."""
        following = self._next()
        if lexeme.sense("free") is None or following is None or following.kind not in ("move", "number"):
            return False
        for before in reversed(self.given[: self.index]):
            if before.kind in (*_ENDS, *_SOFT) or before.sense("link") == "but":
                return True
            if before.kind in ("move", "square") or before.sense("man") is not None:
                return False
        return True

    def _is_said_of_last(self) -> bool:
        """Tell whether "is the key" follows, not "the key is"."""
        for before in reversed(self.given[max(0, self.index - 3) : self.index]):
            if before.sense("be") is not None:
                return True
            if not before.categories & {"article", "filler", "which", "our", "pronoun"}:
                return False
        return False

    def _calls_last(self, mark: str) -> bool:
        """Put a mark on the last move of the sentence; False where there is none."""
        for place in range(len(self.found) - 1, -1, -1):
            told = self.found[place]
            if isinstance(told, Move):
                self.found[place] = replace(told, marks=told.marks | {mark})
                return True
        return False

    def _repeats(self, lexeme: Lexeme) -> bool:
        """Take "again" as the last answer played once more: after the moves told before it, or those that follow."""
        if self.draft is not None and self.draft.tells:
            before = self.draft
            self._flush()
            del before
        told = [each for each in self.found if isinstance(each, Move)]
        if told and not told[-1].effects:
            self.found.append(Said("again", lexeme.span, marks=frozenset(self.marks), stance=self._stance()))
            self.marks -= {"then"}
        elif not told or self._speaks_of_next():
            self.again = lexeme.span
        return True

    def _speaks_of_next(self) -> bool:
        """Tell whether "likewise" stands before the defence it speaks of: "mate, likewise on Kd5"."""
        following, after = self._next(), self._next(2)
        leads = following is not None and following.sense("link") == "if"
        return leads and after is not None and after.kind in ("move", "number")

    def _set(self, sense: str, lexeme: Lexeme) -> bool:
        if self.draft is not None and self.draft.promotes is not None and self.draft.promotion is None:
            self.draft.every = True  # "promotes to anything"
            return True
        self._flush()
        draft = self._fresh(lexeme.span)
        draft.every = True
        following = self._next()
        if lexeme.sense("wherever") is not None and following is not None and (
            (found := man_at(self.given, self.index + 1)) is not None
        ):
            draft.who, self.index = found  # "wherever the knight goes"
            return True
        if lexeme.sense("each") is not None and (following is None or following.sense("unit") is None):
            self.draft = None
            return True
        if following is not None and following.sense("unit") is not None and (after := self._next(2)) is not None:
            if (after.sense("of") is not None or after.sense("by") is not None) and self.index + 3 < len(self.given):
                if (found := man_at(self.given, self.index + 3)) is not None and found[0].kinds:
                    draft.who, self.index = found  # "any other move of that knight"
                    return True
        draft.sort_other = True
        return True

    def _on_withdraw(self, sense: str, lexeme: Lexeme) -> bool:
        """Take back the move before; what is told in its place keeps what is not told anew."""
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

    def _take_back(self) -> Move | None:
        """Mark the last move of the sentence as withdrawn and return it."""
        told = self.found[-1] if self.found else None
        if not isinstance(told, Move):
            return None
        self.found[-1] = replace(told, stance=Stance.withdrawn)
        return told

    def _on_past(self, sense: str, lexeme: Lexeme) -> bool:
        """Take what is told as the game before the diagram."""
        self.stance = Stance.supposed
        if self.draft is not None:
            self.draft.stance = Stance.supposed
        return True

    def _on_suppose(self, sense: str, lexeme: Lexeme) -> bool:
        self.stance = Stance.supposed
        return False

    def _on_wish(self, sense: str, lexeme: Lexeme) -> bool:
        self.stance = Stance.wished
        return True

    def _on_report(self, sense: str, lexeme: Lexeme) -> bool:
        return False

    def _on_anchor(self, sense: str, lexeme: Lexeme) -> bool:
        mark = f"at {sense}"
        if self.draft is not None and self.draft.tells:
            self.draft.marks.add(mark)
        elif sense != "diagram" or self.marks or not self._behind() or not self._calls_last(mark):
            self.marks.add(mark)
        return True

    def _behind(self) -> bool:
        """Tell whether nothing of the sentence follows but its end or a comma."""
        following = self._next()
        return following is None or following.kind in (*_ENDS, "comma", "colon")

    def _on_back(self, sense: str, lexeme: Lexeme) -> bool:
        return True

    def _on_with(self, sense: str, lexeme: Lexeme) -> bool:
        if self.draft is not None and (self.draft.who is None or self.draft.who.nameless):
            self.draft.with_next = True
        return True

    def _on_by(self, sense: str, lexeme: Lexeme) -> bool:
        return self._on_with(sense, lexeme)

    def _on_guard(self, sense: str, lexeme: Lexeme) -> bool:
        return self._why(lexeme)

    def _on_pin(self, sense: str, lexeme: Lexeme) -> bool:
        return self._why(lexeme)

    def _on_block(self, sense: str, lexeme: Lexeme) -> bool:
        return self._why(lexeme)

    def _on_open(self, sense: str, lexeme: Lexeme) -> bool:
        return self._why(lexeme)

    def _on_flee(self, sense: str, lexeme: Lexeme) -> bool:
        return self._why(lexeme)

    def _on_sacrifice(self, sense: str, lexeme: Lexeme) -> bool:
        return self._why(lexeme)

    # -- what is left at the end of the sentence -------------------------------------

    def _last_marks(self) -> None:
        """Give words that call a move key, try or threat and stand behind it to the move before them."""
        left = self.marks & {"key", "try", "threat", "refute", "fail", "set"}
        if not left:
            return
        if self.asked and not any(isinstance(each, Move) for each in self.found):
            self.carried = left
            return
        for place in range(len(self.found) - 1, -1, -1):
            frame = self.found[place]
            if isinstance(frame, Move):
                self.found[place] = replace(frame, marks=frame.marks | {f"was {each}" for each in left})
                return
        self.found.append(Said("mark", self.given[-1].span if self.given else Span(0, 0), marks=frozenset(left)))


_ORDER = (
    "past", "stand", "can", "effect", "withdraw", "wish", "deny", "mark", "castle", "promoting", "promote", "guard", "pin", "block", "open",
    "flee", "sacrifice", "take", "have", "link", "put", "go", "with", "by", "suppose", "anchor", "back",
)  # fmt: skip
