"""The frames of a text, clause by clause."""

from __future__ import annotations

from collections.abc import Iterable

import chess
from keyproof.grammar.breathless import line_by_line
from keyproof.grammar.lexicon.lexemes import Lexeme
from keyproof.grammar.spans import Span
from msgspec.structs import replace

from .asides import with_asides, with_participles
from .backward import fails_before
from .disposal import with_men_named
from .drafts import finished
from .gapped import gapped
from .joined_men import with_joined_men
from .leaders import without_leaders
from .men import man_at
from .notation import MOST_SIGNS, pawn_move, reply_behind, with_pawn_moves
from .onward import with_onward
from .openings import with_openings
from .orders import defences_first
from .runs import with_runs
from .sentences import sentences
from .speech import Speech
from .tables import unrolled
from .takers import with_takers
from .there import with_there
from .unreal import with_unreal
from .values import Draft, Frame, Move, Said, Who

_ENDS = ("stop", "question", "semicolon")
_TURNS = frozenset({"but", "then", "if", "threat", "key", "refute"})  # what begins another thing told
_WHERE = ("where", "where's", "whereabouts")
_SETS = frozenset({"set", "was set", "ready"})  # said of the diagram, or perhaps: "1...d4 is already met by 2.Qe6"
_NAMES = frozenset({"mark", "link", "article", "filler", "anchor"})
_IDLE = frozenset({"filler", "harmless"})
_SOFT = ("comma", "colon", "dash", "close", "open", "cell")


def frames(text: str, given: Iterable[Lexeme], *, flowing: bool = False) -> list[Frame]:
    """Return the frames of the lexemes of a text, in order. Never raises for any text.

    `flowing`: lines end anywhere, even in the middle of a move, as those of captions do.
    """
    found: list[Frame] = []
    carried: set[str] = set()
    topic: Who | None = None
    where = False
    doors: tuple[chess.Square, ...] = ()
    before: list[Lexeme] = []
    given = with_pawn_moves(without_leaders(unrolled(list(given))))
    single = not flowing and line_by_line(given)
    for sentence in sentences(given, flowing=flowing):
        builder = _Builder(text, sentence)
        builder.earlier = before
        builder.marks |= carried
        builder.topic = topic
        builder.where = where
        builder.doors = doors
        builder.listed = _goes_on(found)
        told = with_openings(with_asides(builder.build(), _Builder(text, sentence, plain=True).build), sentence, text)
        if any(_SETS & each.marks for each in (*told, *found[-2:-1])):
            told = [replace(each, marks=each.marks | {"ready"}) if isinstance(each, Move) else each for each in told]
        if builder.backward:
            fails_before(found)
        found.extend(told)
        where = (where and not told) or (builder.asked and any(each.text.lower() in _WHERE for each in sentence))
        doors = builder.left_open()
        carried, topic, before = builder.carried, builder.left_over(), [*before, *sentence][-MOST_SIGNS:]
        blank = sentence[-1].kind == "line" and not (single and len(sentence) > 1)
        found.append(Said("paragraph" if blank else "end", Span(sentence[-1].span.end, sentence[-1].span.end)))
    return found


def _goes_on(found: list[Frame]) -> bool:
    """Tell whether the sentence before ended with a square, and nothing else, of which more may follow: "e5. g4."."""
    last = found[-2:-1]
    return bool(last) and isinstance(last[0], Move) and last[0].bare and not last[0].vague and not last[0].verb


class _Builder(Speech):
    """Puts the frames of one sentence together, from left to right."""

    def build(self) -> list[Frame]:
        """Return the frames of the sentence."""
        while self.index < len(self.given):
            before = self.index
            self._step()
            if self.index == before:
                self.index += 1
        self._flush()
        self._told_again()
        self._last_marks()
        self._tells_why_it_fails()
        self._turned_round()
        self.found = gapped(with_participles(with_takers(with_unreal(self.found, self.given)), self.text), self.given)
        self._castled()
        self._man_alone()
        self._behind_other()
        told = with_runs(defences_first(self.found, self.given), self.text)
        told = with_there(with_onward(told, self.given), self.given, self.text)
        told = with_joined_men(told, self.given, self.text)
        return with_men_named(told, self.given, self.text)

    def _behind_other(self) -> None:
        """Trust less what follows "the other rook", whose move may be told by this: "he sent in the other rook"."""
        told = False
        for place, frame in enumerate(self.found):
            if isinstance(frame, Move) and told:
                self.found[place] = replace(frame, apart=True)
            told = isinstance(frame, Said) and frame.kind == "topic" and frame.who is not None and frame.who.other

    def _man_alone(self) -> None:
        """Take a man of whom nothing is said as a move he may make: "And the g-pawn?"."""
        if len(self.found) != 1 or not isinstance(told := self.found[0], Said) or told.kind != "topic":
            return
        who, plain = told.who, {"link", "article", "filler", "anchor", "mark", "be", "ask"}
        others = (each for each in self.given if not told.span.start <= each.span.start < told.span.end)
        if (
            who is not None
            and not who.plural
            and all(each.kind != "unknown" and (each.kind != "word" or each.categories & plain) for each in others)
        ):
            draft = Draft(told.span.start, told.span.end, who=who, every=True, stance=self._stance())
            self.found.append(replace(finished(draft, self.text, ()), alone=True))

    def _step(self) -> None:
        lexeme = self.given[self.index]
        handler = getattr(self, f"_{lexeme.kind}", None)
        if lexeme.kind in _ENDS:
            self.listed = False
            self._end_clause(hard=True)
            if self.again is not None and any(self.again < each.span for each in self.found if isinstance(each, Move)):
                self._told_again()  # "likewise after 1...Bxb3; finally 1...c3"
        elif lexeme.kind in _SOFT:
            self._soft_end(lexeme)
            if lexeme.kind == "close":
                self._told_again()
        elif handler is not None:
            handler(lexeme)

    def _soft_end(self, lexeme: Lexeme) -> None:
        """Take a comma or the like: a list may go on behind it, else the clause ends."""
        following = self._next()
        joins = following is not None and (
            following.categories & {"or", "link"} or following.kind in ("square", "dash")
        )
        if lexeme.kind == "comma" and self._behind_comma(following):
            return
        if lexeme.kind == "comma" and following is not None and (following.kind == "square" or joins):
            if self.reason and following.sense("link") != "then":
                return
            if self._answers_square():
                self._end_clause(hard=False)
                return
            draft = self.draft
            if draft is not None and not draft.effects and self._goes_somewhere(draft) and following.kind == "square":
                draft.apart = draft.apart or not draft.to
                return
        if lexeme.kind == "comma" and (self._says_where() or self._lists_on()):
            return
        self._end_clause(hard=False)
        self.listed = lexeme.kind == "comma"

    def _behind_comma(self, following: Lexeme | None) -> bool:
        if self._becomes_behind(self.draft) or self._man_behind(self.draft):
            return True
        return following is not None and self._becomes_next(following)

    def _lists_on(self) -> bool:
        """Tell whether one more square of a list follows a comma: "he hops to b2, or b4 if he'd rather"."""
        draft, following = self.draft, self._next()
        plain = draft is not None and draft.to and not (draft.effects or draft.phrases or draft.promotes)
        if not plain or following is None or following.sense("link") != "or":
            return False
        to = self._next(2)
        return self._square_next(2) or (to is not None and "to" in to.categories and self._square_next(3))

    def _answers_square(self) -> bool:
        """Tell whether a square behind a comma answers the one before it: "if king a7, b7 just the same."."""
        draft, behind = self.draft, self._next(2)
        if self._mates_behind(draft):
            return True
        if draft is None or len(draft.to) != 1 or "if" not in self.marks | draft.marks or not self._square_next(1):
            return False
        ends = behind is None or behind.kind in _ENDS or behind.categories & {"effect", "filler"}
        return bool(ends or (behind is not None and behind.sense("mark") == "again"))

    def _mates_behind(self, draft: Draft | None) -> bool:
        """Tell whether a square that is called mate follows one that a man goes to: "pawn e5, c8, mate"."""
        comma, mate = self._next(2), self._next(3)
        if draft is None or len(draft.to) != 1 or draft.who is None or not draft.who.kinds:
            return False
        if self._square_next(1) and comma is not None and comma.text.lower() == "again":
            return True  # "bishop to d6, b5 again"
        return comma is not None and comma.kind == "comma" and mate is not None and mate.sense("effect") == "mate"

    def _says_where(self) -> bool:
        """Tell whether the square that a man goes to is told behind a comma: "the rook goes up too, to d5"."""
        draft = self.draft
        if draft is None or draft.placed or draft.effects or not draft.verb or draft.who is None:
            return False
        behind = [each for each in self.given[self.index + 1 :] if each.kind != "comma" and not each.categories & _IDLE]
        told = len(behind) > 1 and "to" in behind[0].categories and behind[1].kind == "square"
        draft.apart = draft.apart or told
        return told

    def _becomes_next(self, following: Lexeme) -> bool:
        """Tell whether what the pawn becomes is told behind a comma: "the pawn takes back, makes a bishop"."""
        draft = self.draft
        if draft is None or not draft.placed or draft.promotes is not None or draft.phrases:
            return False
        if not following.categories & {"promote", "promoting"}:
            return False
        if draft.who is None or draft.who.nameless:
            return self._on_last_rank()  # "d8, promoting to a knight"
        return draft.who.kinds == (chess.PAWN,)

    def _line(self, lexeme: Lexeme) -> None:
        following = self._next()
        goes_on = following is not None and "be" in following.categories  # "now b2, on the next line, is guarded"
        if self.draft is not None and self.draft.tells and not (goes_on and self.draft.who is None):
            self._flush()
            self.listed = False

    def _unknown(self, lexeme: Lexeme) -> None:
        if lexeme.text[:1].isalpha():
            self.uncovered.append(lexeme.span)

    def _position(self, lexeme: Lexeme) -> None:
        self.listed = False
        self._end_clause(hard=True)

    def _number(self, lexeme: Lexeme) -> None:
        self._flush()
        self.reason = False
        number = lexeme.number
        last = self.found[-1] if self.found else None
        if number is not None and not number.second and isinstance(last, Move) and self._ends_again(last, number):
            self._told_again()
        before = self.given[self.index - 1] if self.index else None
        if before is None or "link" not in before.categories:
            self.marks.discard("or")  # "nor here 1.Kc3 Kf5"
        barred = self.able and all(each.kind == "word" for each in self.given[self.denial : self.index])
        if any(isinstance(each, Move) for each in self.found) and not barred:  # but "White may no longer play 2.Rf1"
            self.negated = False  # "1.Qa7 and nothing (1.Qg3 fxg3)"
        following = self._next()
        old = following is not None and following.phrase is not None and following.phrase.descriptive
        either = old and "if" in self.marks and number is not None and not number.second and self._ends_in_mate()
        item = lexeme.text.endswith(")") and (following is None or following.kind not in ("move", "square"))  # "2) I"
        self._fresh(lexeme.span).number = (
            None if either or item else number
        )  # "If 1. K to Kt 4": old books say so of Black too

    def _ends_in_mate(self) -> bool:
        """Tell whether a move told later in the sentence is called mate, or has the number of the second move."""
        behind = self.given[self.index + 1 :]
        numbers = [each.number.value or 0 for each in behind if each.number is not None]
        return any(value > 1 for value in numbers) or any(each.sense("effect") == "mate" for each in behind)

    def _slash(self, lexeme: Lexeme) -> None:
        following = self._next()
        spaced = self.text[lexeme.span.start - 1 : lexeme.span.start].isspace() and bool(lexeme.text)
        before = self.found[-1] if self.found else None
        behind = reply_behind(self.given[self.index + 1 :])
        if spaced and behind is not None and self.draft is not None and self.draft.phrases and isinstance(before, Move):
            self._end_clause(hard=False)
            if behind.second:
                self._fresh(behind.span).number = behind
            return
        phrase = None if following is None else following.phrase or pawn_move(following)
        if self.draft is not None and self.draft.phrases and following is not None and phrase is not None:
            self.draft.phrases.append(phrase)
            self.draft.end = following.span.end
            self.index += 2

    def _word(self, lexeme: Lexeme) -> None:
        if self._rest(lexeme) or self._in_passing(lexeme) or self._no_mate(lexeme) or self._all_threats():
            return
        if lexeme.categories & {"to", "at"} and self._goes_to_line():
            return
        if self._queens(lexeme):
            return
        if (found := man_at(self.given, self.index)) is not None and not self._means_more(lexeme):
            if self._is_a_person(found[1]) or self._means_the_same(lexeme):
                self.index = found[1]
            elif self._names_a_file(found[1]):
                self.index = found[1] + 1  # "upon the Rook's file"
            elif not self._moves_of(found):
                self._man(found)
            return
        for category in _ORDER:
            if category in lexeme.categories and getattr(self, f"_on_{category}")(lexeme.sense(category), lexeme):
                return

    def _is_a_person(self, end: int) -> bool:
        """Tell whether a lady is somebody who says something: "the lady says make a knight"."""
        following = self.given[end] if end < len(self.given) else None
        lady = self.given[end - 1].text.lower() in ("lady", "ladies")
        return lady and following is not None and bool(following.categories & {"report", "gives"})

    def _means_the_same(self, lexeme: Lexeme) -> bool:
        """Tell whether the man at hand is named once more: "the bishop places itself on b8"."""
        return "reflexive" in lexeme.categories and self.draft is not None and self.draft.who is not None

    def _names_a_file(self, end: int) -> bool:
        """Tell whether the man named up to a place gives a file its name."""
        following = self.given[end] if end < len(self.given) else None
        owns = self.given[end - 1].text[-2:] in ("'s", "’s")
        return owns and following is not None and following.sense("unit") in ("file", "row")

    def _in_passing(self, lexeme: Lexeme) -> bool:
        """Say of the capture told last that it is made en passant."""
        if "en passant" not in lexeme.categories:
            return False
        last = self.found[-1] if self.found else None
        if self.draft is not None and (self.draft.take is not None or self.draft.verb == "take"):
            self.draft.en_passant, self.draft.end = True, lexeme.span.end
        elif isinstance(last, Move) and self.draft is None and any(way.choices[0].capture for way in last.ways):
            ways = (replace(way, choices=tuple(replace(c, en_passant=True) for c in way.choices)) for way in last.ways)
            self.found[-1] = replace(last, ways=tuple(ways))
        return True

    def _means_more(self, lexeme: Lexeme) -> bool:
        """Tell whether a word that may name a man is a word of another kind here: "castle", "one", "any other"."""
        if "castle" in lexeme.categories:
            before = self.given[self.index - 1] if self.index else None
            return before is None or not before.categories & {"article", "our", "this", "other", "side"}
        if "promoting" in lexeme.categories:  # "the pawn queens on d1"
            pawn = self.draft is not None and self.draft.who is not None and self.draft.who.kinds == (chess.PAWN,)
            return pawn and self.draft is not None and not self.draft.to
        return False

    def _turned_round(self) -> None:
        """Put a move behind those that it is told to answer: "the capture is the answer to 1.Re8 and to 1.Bc4"."""
        if self.beater is None:
            return
        answer, behind = self.found[self.beater], self.found[self.beater + 1 :]
        stop = next((at for at, each in enumerate(behind) if each.marks & _TURNS), len(behind))
        moves = [each for each in behind[:stop] if isinstance(each, Move)]
        if not isinstance(answer, Move) or not moves:
            return
        number = moves[0].number
        first = self.beats if number is None else number.ply == 1
        later = answer.number is not None and number is not None and (answer.number.ply or 0) > (number.ply or 99)
        if not (first or later) or (first and answer.number is not None and not answer.number.second):
            return
        others = [replace(each, listed=True) if isinstance(each, Move) else each for each in behind[1:]]
        listed = [*behind[:1], *others]
        marks = (answer.marks - {"was refute"}) | ({"refute"} if first else {"then"})
        told = replace(answer, marks=frozenset(marks))
        self.found = [*self.found[: self.beater], *listed[:stop], told, *behind[stop:]]

    def _last_marks(self) -> None:
        """Give words that call a move key, try or threat and stand behind it to the move before them."""
        left = self.marks & {"key", "try", "threat", "refute", "fail", "set"}
        if not left:
            return
        if self.asked and not any(isinstance(each, Move) for each in self.found):
            if any(each.sense("ask") == "open" for each in self.given) or self._only_names(left):
                self.carried = left  # "what spoils it?", "and the threat?", but not "can they spoil it?"
            elif "threat" in left and self.given:
                self.found.append(Said("mark", self.given[-1].span, marks=frozenset({"threat"})))  # "Any threat?"
            return
        if not self.given or (self.given[-1].text.startswith("..") and not self._moves()):
            self.carried = left  # "And the threat is... C6.", or nothing but the end of a line
            return
        for place in range(len(self.found) - 1, -1, -1):
            frame = self.found[place]
            if isinstance(frame, Move):
                marks = {f"was {each}" for each in left if not (frame.idle and each == "refute")}
                if "was fail" in marks and frame.who is not None and frame.who.ours is False:
                    marks = marks - {"was fail"} | {"was futile"}  # "he goes to b7, and that's no good"
                self.found[place] = replace(frame, marks=frame.marks | marks)
                self._say_of_list(place)
                return
        self.found.append(Said("mark", self.given[-1].span, marks=frozenset(left)))

    def _only_names(self, left: set[str]) -> bool:
        """Tell whether a question only names a threat: "And the threat?"."""
        colons = [place for place, each in enumerate(self.given) if each.kind == "colon"]
        words = [each for each in self.given[max(colons, default=-1) + 1 :] if each.kind in ("word", "unknown")]
        return left == {"threat"} and all(each.categories & _NAMES for each in words)


_ORDER = (
    "past", "next", "door", "withstand", "lose", "prevents", "stand", "can", "serves", "effect", "withdraw", "wish",
    "deny", "whichever", "either", "mark", "castle", "promoting", "promote", "gaze", "guard", "pin", "block",
    "open", "flee", "sacrifice", "take", "toward", "along", "to", "have", "do", "everywhere", "retake", "count", "unit",
    "link", "put", "go", "with", "by", "suppose", "anchor", "back", "anyhow",
)  # fmt: skip
