"""Moves told by where they lead, without a square: "he goes up", "one square down", "along the rank"."""

from __future__ import annotations

from itertools import dropwhile

from keyproof.grammar.lexicon.lexemes import Lexeme
from msgspec import Struct

from .fronted import Fronted
from .men import man_at
from .values import Draft

_MOTION = ("go", "put")
_BOARD = ("up", "down", "left", "right")  # what may stand without a verb: "the rook one square down"
_LINES = {"row": "rank", "file": "file", "diagonal": "diagonal"}
_WHOSE = frozenset({"article", "our", "your", "own", "pronoun", "side"})  # "to our knight's fifth"
_ALONG = frozenset({"along", "toward", "filler", "harmless", "article", "unit"})
_BEFORE = frozenset({"article", "this", "other", "same", "our", "your", "pronoun", "harmless", "filler"})


class Line(Struct, frozen=True):
    """A line or part of the board as it is named: "the second rank", "the a-file", "the corner"."""

    end: int  # where its name ends, as an index of lexemes
    along: str | None = None
    rank: int | None = None
    file: int | None = None
    region: str = ""


class Headings(Fronted):
    """Reads words for directions and lines. Each method tells whether the words at hand were such."""

    def _old(self, lexeme: Lexeme) -> None:
        """Take a square named in descriptive notation as where the man named before goes: "has gone to Kt 5"."""
        before = next((each for each in reversed(self.given[: self.index]) if not each.categories & _WHOSE), None)
        leads = before is not None and bool(before.categories & {"to", "at", "within"})
        if self.draft is not None and self.draft.old and before is not None and before.sense("link") == "or":
            leads = True  # "to Q 7 or B 7"
        if lexeme.phrase is None or self.reason or not leads:
            return
        draft = self.draft or self._fresh(lexeme.span)
        if draft.who is None:
            draft.who = self._topic()  # "the Queen means to mate at Kt 2"
        assert before is not None
        if not (draft.verb or draft.effects or "to" in before.categories or draft.old):
            return  # "Rook at Q Kt sq": where it stands
        if draft.who is not None and draft.who.kinds and not (draft.to or draft.phrases or draft.take):
            draft.old.append(lexeme.phrase.destinations)
            draft.end = lexeme.span.end

    def _on_toward(self, sense: str, lexeme: Lexeme) -> bool:
        draft = self.draft
        if draft is None:
            if self._leads_verb():
                self.heading = (*self.heading, sense)  # "out he comes", "up goes the rook"
            return False
        if draft.placed or draft.who is None or self.reason or "because" in self.marks:
            return False
        who = draft.who
        named = bool(who.kinds) and not who.pronoun and who.square is None
        if not draft.verb and named and sense in _BOARD and self._closes():
            draft.verb = "go"  # "pawn up, queen", "the rook one square down"
        if draft.verb in _MOTION:
            draft.heading, draft.end = (*draft.heading, sense), lexeme.span.end
        return False

    def _on_along(self, sense: str, lexeme: Lexeme) -> bool:
        """Take "along the rank" of a man that goes somewhere."""
        return self._toward_line(lexeme, runs=True)

    def _on_gaze(self, sense: str, lexeme: Lexeme) -> bool:
        """Take "the bishop looks down to g4" as a reason: nobody goes where he only looks."""
        rest = dropwhile(lambda each: bool(each.categories & _ALONG), self._rest_of_clause())
        led, square = next(rest, None), next(rest, None)
        if self.draft is None or self.draft.placed or led is None or square is None:
            return False
        return bool(led.categories & {"to", "at"}) and square.kind == "square" and self._why(lexeme)

    def _on_to(self, sense: str, lexeme: Lexeme) -> bool:
        """Take "to the second rank" or "into the corner" of a man that goes somewhere."""
        return self._toward_line(lexeme, runs=False)

    def _toward_line(self, lexeme: Lexeme, *, runs: bool) -> bool:
        draft = self.draft
        if draft is None or draft.placed or draft.who is None or draft.verb not in _MOTION:
            return False
        line = self._line_at(self.index + 1)
        if line is None or not (runs or line.rank is not None or line.file is not None or line.region):
            return False
        if runs:
            draft.along = line.along
            draft.heading = (*draft.heading, "out")
        else:
            draft.to_rank, draft.to_file = line.rank, line.file
            draft.heading = (*draft.heading, line.region or "out")
        draft.end = self.given[line.end - 1].span.end
        self.index = line.end
        return True

    def _line_at(self, place: int) -> Line | None:
        """Read the name of a line or a part of the board that begins at a place."""
        rank = file = None
        for at in range(place, min(place + 5, len(self.given))):
            each = self.given[at]
            if (unit := each.sense("unit")) in _LINES:
                return Line(at + 1, _LINES[unit], rank, file)
            if (region := each.sense("region")) is not None:
                return Line(at + 1, region=region)
            if (said := each.sense("rank")) is not None:
                rank = int(said) - 1
            elif (letter := each.sense("file")) and each.text != "a":
                file = "abcdefgh".index(letter)
            elif each.kind != "dash" and not each.categories & _BEFORE:
                return None
        return None

    def _leads_verb(self) -> bool:
        """Tell whether a man who goes follows: "out he comes", "down goes the rook"."""
        following = self._next()
        if following is None:
            return False
        if following.categories & set(_MOTION):
            return man_at(self.given, self.index + 2) is not None
        found = man_at(self.given, self.index + 1)
        if found is None or found[1] >= len(self.given):
            return False
        return bool(self.given[found[1]].categories & set(_MOTION))

    def _closes(self) -> bool:
        """Tell whether the clause ends behind the word at hand, or a list of squares or a threat follows."""
        following = self._next()
        return following is None or following.kind not in ("word", "unknown") or following.sense("link") == "and"

    def _you(self) -> bool:
        """Tell whether "you" stands before the verb at hand, with nothing but helping verbs between."""
        for each in reversed(self.given[max(0, self.index - 4) : self.index]):
            if "you" in each.categories:
                return True
            if not each.categories & {"can", "filler", "do"}:
                return False
        return False

    def _headed(self, draft: Draft) -> None:
        """Give a move the direction that stood before its verb."""
        draft.heading, self.heading = (*self.heading, *draft.heading), ()
