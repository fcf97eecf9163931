"""How many mates a text says there are, or that the one it gives is the only one: each such claim with its place."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence
from itertools import islice
from operator import attrgetter

import chess
from keyproof.grammar.lexicon.lexemes import Lexeme
from keyproof.grammar.statements import Claim

from ..play.node import Node
from .reading import Mention, PlacedClaim, Reading, State
from .sole import is_just

_ENDS = frozenset(("stop", "comma", "semicolon", "colon", "close", "line", "dash", "cell", "slash"))
_OPENS = frozenset(("open", "comma", "dash", "semicolon", "line"))
_PALE = frozenset(("filler", "harmless", "anchor"))  # what may stand anywhere and says nothing of numbers
_JOINS = _PALE | {"link", "by", "with", "to"}  # between an answer and the words that it is the only one
_SAYS_NO_MORE = _PALE | {"effect", "be", "have", "this", "pointing", "pronoun", "stand", "mark", "can", "digit"}
_NAMED_BEFORE = frozenset(("article", "this", "other", "of", "our", "your", "within", "at", "to", "opens", "rank"))
_CALLS = frozenset(("count", "deny", "mark"))
_MOST = 4  # words between a number and what it counts


def mates_counted(text: str, sentences: Iterable[Sequence[Lexeme]], reading: Reading) -> Iterator[PlacedClaim]:
    """Yield what a text that was read says of how many moves mate, where the place of the words is known."""
    told = sorted((each for each in reading.mentions if each.state is State.read and each.after), key=_start)
    if not told:
        return
    for words in sentences:
        if [each for each in words if each.categories & _CALLS]:
            first, last = (bisect_left(told, place, key=_start) for place in words[0].span.to(words[-1].span))
            yield from _Sentence(text, words, told[first:last], told, reading.diagram.board.turn).claims()


_start = attrgetter("phrase.span.start")  # of a mention


class _Sentence:
    def __init__(
        self,
        text: str,
        words: Sequence[Lexeme],
        told: Sequence[Mention],
        text_told: Sequence[Mention],
        attacker: chess.Color,
    ) -> None:
        self.text, self.words, self.attacker = text, words, attacker
        self.told, self.text_told = told, text_told  # the moves of the sentence, and of the whole text

    def claims(self) -> Iterator[PlacedClaim]:
        """Yield the claims of the sentence, none overlapping another."""
        done = -1
        for place in range(len(self.words)):
            if place <= done or not self.words[place].categories & _CALLS:
                continue
            found = self._called_only(place) or self._one_answer(place) or self._counted(place)
            if found is not None:
                claim, end = found
                yield claim
                done = end

    def _is_only(self, word: Lexeme) -> bool:
        return "mark" in word.categories and word.sense("mark") == "only"

    def _at(self, place: int) -> Lexeme | None:
        return self.words[place] if 0 <= place < len(self.words) else None

    def _past(self, place: int, categories: Iterable[str], step: int = 1) -> int:
        """Return the next place from `place` on, in one direction, whose word is of none of these categories."""
        passed = frozenset(categories)
        while (word := self._at(place)) is not None and word.categories & passed and not self._is_only(word):
            place += step
        return place

    # -- "only 2.Qf8", "2.Qf8 (only)", "2.Qf8 and nothing else" ----------------------------------

    def _called_only(self, place: int) -> tuple[PlacedClaim, int] | None:
        last = self._other_denied(place)
        if last is None:
            if not self._is_only(self.words[place]):
                return None
            last = place
        mention = self._before(place, last)
        if mention is None and last == place:
            mention = self._behind(place)
        if mention is None:
            return None
        return self._claim(place, last, None, mention.at, mention), last

    def _other_denied(self, place: int) -> int | None:
        """Return where "nothing else", "no other" ends that begins here."""
        word, following = self.words[place], self._at(place + 1)
        if following is None or not (word.sense("count") == "0" or "deny" in word.categories):
            return None
        if not following.categories & {"other", "rest"} or word.span.end + 1 < following.span.start:
            return None
        after = self._at(place + 2)
        return place + 2 if after is not None and after.sense("effect") == "mate" else place + 1

    def _before(self, first: int, last: int) -> Mention | None:
        """Return the answer right before the words from `first` to `last`, where nothing more is said behind them."""
        if not self._closes(last + 1):
            return None
        place = self._past(first - 1, _JOINS, -1)
        while (word := self._at(place)) is not None and (word.kind in _OPENS or word.sense("effect") == "mate"):
            place = self._past(place - 1, _JOINS, -1)
        if word is None:
            return None
        mention = self._told_at(word)
        if mention is None or mention.phrase.span.end > word.span.end or not self._answers(mention):
            return None
        return mention

    def _behind(self, place: int) -> Mention | None:
        """Return the answer right behind "only", where nothing is said of it but that it mates."""
        before = self._at(place - 1)
        if before is not None and before.categories & {"stance", "deny", "suppose", "wish", "can", "doubt"}:
            return None
        at = self._past(place + 1, {"article"})
        while (word := self._at(at)) is not None and word.kind == "number":
            at += 1
        if word is None:
            return None
        mention = self._told_at(word)
        if mention is None or not self._answers(mention) or _start(mention) < self.words[place].span.start:
            return None
        return mention if self._says_no_more(mention.phrase.span.end) else None

    def _told_at(self, word: Lexeme) -> Mention | None:
        """Return the move that a word is part of."""
        before = bisect_left(self.told, word.span.end, key=_start)
        mention = self.told[before - 1] if before else None
        return mention if mention is not None and word.span.start < mention.phrase.span.end else None

    def _says_no_more(self, start: int) -> bool:
        """Tell whether nothing from a place to the next sign says more of a move than that it mates."""
        for word in islice(self.words, self._word_from(start), None):
            if word.kind in _ENDS or word.kind == "open":
                return True
            if word.kind != "word" or not word.categories & _SAYS_NO_MORE:
                return False
        return True

    def _word_from(self, start: int) -> int:
        return bisect_left(self.words, start, key=lambda word: word.span.start)

    def _answers(self, mention: Mention) -> bool:
        return all(node.board.turn == self.attacker and node.ply for node in mention.at)

    # -- "it has one answer only, 2.Qf8", "the sole reply is 2.Qf8" -------------------------------

    def _one_answer(self, place: int) -> tuple[PlacedClaim, int] | None:
        """Return what calls the attacker's move behind it the one answer there is."""
        if self._number(self.words[place]) != 1 or not self._is_new(place, 1):
            return None
        before = self._at(place - 1)
        sole = self._is_only(self.words[place]) or (before is not None and is_just(before))
        nouns = range(place + 1, min(place + _MOST, len(self.words)))
        at = next((each for each in nouns if self._names_a_reply(self.words[each])), 0)
        if not at or any(
            not word.categories & _PALE and not self._is_only(word) for word in self.words[place + 1 : at]
        ):
            return None
        following = self._at(at + 1)
        if following is not None and self._is_only(following):
            at, sole = at + 1, True
        to = at + 1
        while (word := self._at(to)) is not None and (
            word.kind in ("comma", "colon", "dash", "number", "open") or word.categories & {"be", "article"}
        ):
            to += 1
        mention = self._told_at(word) if word is not None and sole else None
        if mention is None or not self._answers(mention) or mention.phrase.span.start < self.words[at].span.end:
            return None
        return self._claim(place, at, None, mention.at, mention), at

    @staticmethod
    def _names_a_reply(word: Lexeme) -> bool:
        return bool(word.categories & {"answering", "refutation"}) or word.sense("unit") == "move"

    # -- "the only mate is 2.Qf8", "permits two mates", "three threats" ---------------------------

    def _counted(self, place: int) -> tuple[PlacedClaim, int] | None:
        number = self._number(self.words[place])
        if number is None:
            return None
        at, sole = self._to_noun(place)
        threatened = self._follows(self._past(place - 1, _PALE, -1), "mark", "threat")
        if threatened and not self._names_mates(at):
            at = place + 1 if self._is_vague(place + 1) else len(self.words)  # "threatens two things"
        if not (threatened or self._names_mates(at) or self._follows(at, "mark", "threat")) or self._at(at) is None:
            return None
        last = at + 1 if self._follows(at + 1, "unit", "move") else at
        if number == 1 and self._follows(last + 1, "mark", "only"):
            last, sole = last + 1, True
        threat = threatened or not self._names_mates(at)
        if (number == 1 and (threat or not sole)) or not self._is_new(place, number):
            return None
        if not (self._closes(last + 1) or self._leads(last + 1)):
            return None
        nodes = self._nodes(place, last, threat=threat, one=number == 1)
        return (self._claim(place, last, number, nodes, None), last) if nodes else None

    def _names_mates(self, place: int) -> bool:
        return self._follows(place, "effect", "mate")

    def _is_vague(self, place: int) -> bool:
        """Tell whether a word names moves by no name of their own: "two things", "two moves"."""
        word = self._at(place)
        return word is not None and word.kind == "word" and bool(word.categories & {"filler", "unit"})

    def _number(self, word: Lexeme) -> int | None:
        if self._is_only(word):
            return 1
        sense = word.sense("count")
        return int(sense) if sense not in (None, "0") and not word.categories & {"both", "quantifier"} else None

    def _to_noun(self, number: int) -> tuple[int, bool]:
        """Return where the noun stands that a number at a place counts, and whether it is said to be the only one."""
        word = self.words[number]
        sole = self._is_only(word) or (word.sense("count") == "1" and not word.categories & {"digit", "article"})
        for at in range(number + 1, min(number + _MOST, len(self.words))):
            word = self.words[at]
            sole = sole or self._is_only(word)
            between = word.categories & (_PALE | {"which", "own"}) or word.sense("link") == "and"
            if not (between or self._is_only(word) or word.sense("count") == "1"):
                return at, sole
        return len(self.words), sole

    def _is_new(self, place: int, number: int) -> bool:
        """Tell whether a number tells how many there are, not something of some of them: "of the two mates"."""
        before = self._at(self._past(place - 1, _PALE, -1))
        if number == 1:
            return before is None or not before.categories & {"of", "other", "within", "deny", "stance", "suppose"}
        return before is None or not before.categories & (_NAMED_BEFORE | {"deny", "stance", "suppose"})

    def _closes(self, place: int) -> bool:
        """Tell whether nothing that would narrow the claim stands here before the next sign."""
        word = self._at(self._past(place, _PALE | {"link"} if self._pale_end(place) else _PALE))
        return word is None or word.kind in _ENDS

    def _pale_end(self, place: int) -> bool:
        following = self._at(place + 1)
        return following is None or following.kind in _ENDS

    def _leads(self, place: int) -> bool:
        word = self._at(place)
        return word is not None and (word.kind in ("number", "move", "open") or "be" in word.categories)

    def _follows(self, place: int, category: str, sense: str) -> bool:
        word = self._at(place)
        return word is not None and word.sense(category) == sense

    def _nodes(self, first: int, last: int, *, threat: bool, one: bool) -> Sequence[Node]:
        """Return the positions in which so many moves are said to mate.

        Behind an answer only `one` may be meant of it: "that makes six mates" counts those of several defences.
        """
        start, end = self.words[first].span.start, self.words[last].span.end
        behind, here = (bisect_left(self.told, place, key=_start) for place in (end, start))
        following = self.told[behind] if behind < len(self.told) else None
        if following is not None and self._answers(following) and self._names(end, following.phrase.span.start):
            return self._narrowed(following.at, start) if _passed(following) == threat else ()
        if threat:
            return self._threatening(start)
        if not here:
            return ()
        before = self.told[here - 1]
        if self._answers(before):
            return before.at if one and not _passed(before) else ()
        return self._narrowed([node for node in before.after if node.board.turn == self.attacker], start)

    def _threatening(self, start: int) -> Sequence[Node]:
        """Return the positions in which what is threatened is counted: where the next threat is played, or after a key.

        A first move is meant only where nothing is told between it and the words.
        """
        here = bisect_left(self.text_told, start, key=_start)
        following = self.text_told[here] if here < len(self.text_told) else None
        if following is not None and _passed(following) and self._answers(following):
            return following.at
        before = self.text_told[here - 1] if here else None
        passes = [node.pass_move() for node in before.after if node.ply == 1] if before is not None else []
        return [node for node in passes if node is not None]

    def _narrowed(self, nodes: Sequence[Node], start: int) -> Sequence[Node]:
        """Return those of some positions to which the last printed move before a place leads, all if there are none."""
        here = bisect_left(self.told, start, key=_start)
        before = (self.told[place] for place in range(here - 1, -1, -1))
        last = next((each for each in before if each.phrase.exact), None)
        own = set(last.after) & set(nodes) if last is not None and not last.phrase.worded else set()
        return [node for node in nodes if node in own] or nodes

    def _names(self, start: int, end: int) -> bool:
        """Tell whether nothing but signs and what leads on stands in a stretch: "is", ":", "namely"."""
        return all(
            word.kind in ("comma", "colon", "dash", "open", "number") or word.categories & (_PALE | {"be", "article"})
            for word in self.words[self._word_from(start) : self._word_from(end)]
        )

    def _claim(
        self, first: int, last: int, count: int | None, nodes: Sequence[Node], mention: Mention | None
    ) -> PlacedClaim:
        span = self.words[first].span.to(self.words[last].span)
        return PlacedClaim(Claim("mates", span, span.of(self.text), count), tuple(nodes), mention)


def _passed(mention: Mention) -> bool:
    return all(node.move is not None and not node.move for node in mention.at)
