"""The one cutting of a text into sentences and clauses, each with what its author does with it.

An author asserts most of what he says. He also denies, asks, supposes and wishes, tells what others said, and
takes back what he has just said. Only what is asserted or denied can be false. The words that tell are those
of the lexicon (`stance`, `governs`, `opens`, `doubt`); which of them are part of a phrase that somebody has
understood is for the reader to say, so a clause names them all, with their places.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from enum import Flag, auto
from functools import cached_property, reduce
from operator import or_

import chess
from msgspec import Struct
from msgspec.structs import replace

from .cues import CHESS, NONE, Stance, any_prevents, backward_stance, own_stances, ruling_stance
from .letters import LANGUAGES
from .lexicon.lexemes import Lexeme
from .quotations import docked, replaced, said_by_others
from .sentence_ends import is_sign, sentences, speaker
from .spans import Span

_PARTS = ("comma", "colon", "dash", "open", "close")
_PLAYS = frozenset(("go", "put", "take", "promote", "castle"))  # what a man does on the board
_AGAINST = frozenset(("deny", "untruth", "prevents", "doubt", "gone", "not mate"))
_PARRIES = ("refutes", "beats")


_STRENGTH = (Stance.withdrawn, Stance.wished, Stance.quoted, Stance.asked, Stance.supposed, Stance.denied)


class Doubt(Flag):
    """How a word may bear on what a clause says of its moves."""

    changes = auto()
    """A negation, a modal, a comparison, or a word beside a man that is in no list: it may say something else."""
    strange = auto()
    """It is in no list: what it says of a move nobody knows."""
    against = auto()
    """It may say of a move that it is not there, or does nothing: "no longer", "is useless"."""
    parries = auto()
    """It says so of the move behind it: "the defence to"."""


class DoubtfulWord(Struct, frozen=True):
    """A word, and how it may bear on the moves of its clause."""

    span: Span
    doubts: Doubt


class Clause(Struct, frozen=True, dict=True):
    """A part of a sentence with one predicate.

    `governed`: the stance was given by words that rule all that follows ("it is not true that"), not by words about
    one verb. `printed`: the moves of the clause are printed in notation, none is told in words. `mates`: the words that
    speak of mate; where nothing that was understood contains them, the clause says more than was read. `squares` are
    those it names, alone or in a printed move. `words` are those that may bear on its moves.
    """

    span: Span
    sentence: Span
    stance: Stance
    holds_chess: bool = False
    governed: bool = False
    printed: bool = False
    mates: tuple[Span, ...] = ()
    squares: tuple[Span, ...] = ()
    words: tuple[DoubtfulWord, ...] = ()

    def doubted(self, doubts: Doubt) -> tuple[Span, ...]:
        """Return the words that may bear on a move in one of these ways."""
        return tuple(word.span for word in self.words if word.doubts & doubts)

    @property
    def uncovered(self) -> tuple[Span, ...]:
        """The words that change what is claimed: where a phrase that was understood contains one, it is covered."""
        return self.doubted(Doubt.changes) if self.words and self.asserts else ()

    @cached_property
    def asserts(self) -> bool:
        """True where the clause can be false."""
        return self.stance.claims

    @property
    def names_a_square(self) -> bool:
        """True where it says something of a place of the board, alone or in a printed move."""
        return bool(self.squares)


def clauses(
    text: str,
    prose: Iterable[Span],
    language: str = "english",
    letters: Mapping[str, chess.PieceType] = LANGUAGES["en"],
) -> list[Clause]:
    """Cut the prose of `text` into clauses, in its order; each lexeme of it lies in exactly one. Never raises.

    `language` is the table of words it is told in, `letters` are those of its printed moves.
    """
    return [each for span in prose for each in of_block(text, span, sentences(text, span, language, letters))]


def of_block(text: str, span: Span, told: Iterable[Sequence[Lexeme]]) -> Iterator[Clause]:
    """Yield the clauses of one block, cut into sentences."""
    told = list(told)
    quoted = said_by_others(text, span, told)
    before: list[Clause] = []
    for sentence in told:
        words = [lexeme for lexeme in sentence if lexeme.kind != "line"]
        if backward_stance(words) is Stance.withdrawn:
            _take_back(before)
        yield from before
        before = []
        for clause in _of_sentence(text, words) if words else ():
            inside = bool(quoted) and clause.asserts and _begins_in(quoted, clause, words)
            before.append(replace(clause, stance=Stance.quoted) if inside else clause)
    yield from before


def _begins_in(quoted: Sequence[Span], clause: Clause, words: Sequence[Lexeme]) -> bool:
    """Tell whether the chess of a clause begins within a quotation: 'one solver wrote "1.Rh1 does it"'."""
    chess = (
        word.span
        for word in words
        if word.kind in ("square", "move") or "man" in word.categories or word.sense("mark") == "zugzwang"
    )
    first = next((span.start for span in chess if clause.span.start <= span.start < clause.span.end), clause.span.start)
    return any(each.start <= first < each.end for each in quoted)


def _of_sentence(text: str, words: Sequence[Lexeme]) -> Iterator[Clause]:
    whole = words[0].span.to(words[-1].span)
    asked = words[-1].kind == "question" and not is_sign(words)
    quoted = words[0].kind == "quote" or speaker(text, words[0]) is True
    rules: Stance | None = Stance.asked if asked else Stance.quoted if quoted else None
    found: list[Clause] = []
    outside: list[Stance | None] = []  # what rules about the brackets that are open
    end = 0
    for part in _merged(list(_parts(words))):
        first, end = end, end + len(part)
        if not (asked or quoted) and _turns(part):
            rules = None  # "a reader thought of the queen, but the rook does it"
        rules = ruling_stance(words, first, end) or rules
        given = own_stances(part)
        if Stance.withdrawn in given:
            _take_back(found)
        stance = _strongest(given - {Stance.withdrawn}, rules)
        kinds = {each.kind for each in part}
        effects = [each for each in part if "effect" in each.categories]
        found.append(
            Clause(
                part[0].span.to(part[-1].span),
                whole,
                stance,
                _holds_chess(part),
                governed=rules is stance or any_prevents(part),
                printed="move" in kinds and "square" not in kinds,
                mates=tuple([each.span for each in effects if each.sense("effect") == "mate"]),
                squares=tuple([each.span for each in part if each.kind in ("square", "move")]),
                words=tuple(_doubtful(part)),
            )
        )
        if part[-1].kind == "open":
            outside.append(rules)
        elif part[-1].kind == "close" and outside:
            rules = outside.pop()
    for row in docked(text, whole):
        found = [
            replace(each, stance=Stance.quoted) if row.start <= each.span.start < row.end else each for each in found
        ]
    yield from _as_said_of_them(found, words)


def _as_said_of_them(found: list[Clause], words: Sequence[Lexeme]) -> list[Clause]:
    """Return the clauses of a sentence as its end has them: "1...Kd5 2.Qb6 is mate, writes a reader"."""
    last = next((place for place in range(len(words) - 1, -1, -1) if words[place].kind in CHESS), len(words))
    tail = next((place for place in range(last, len(words)) if words[place].kind in _PARTS), len(words))
    stance = backward_stance(words[tail:])
    if stance is Stance.withdrawn:
        _take_back(found)
    if stance is not Stance.quoted:
        return found
    return [replace(each, stance=stance) if each.asserts else each for each in found]


def _take_back(found: list[Clause]) -> None:
    """Mark the clause before a correction as withdrawn: "queen to b seven, sorry, b eight"."""
    for place in range(len(found) - 1, -1, -1):
        if found[place].holds_chess:
            found[place] = replace(found[place], stance=Stance.withdrawn)
            return


def _strongest(own: frozenset[Stance], ruling: Stance | None) -> Stance:
    given = own if ruling is None else own | {ruling}
    if not given:
        return Stance.asserted
    return next((stance for stance in _STRENGTH if stance in given), Stance.asserted)


def _parts(words: Sequence[Lexeme]) -> Iterator[list[Lexeme]]:
    """Cut a sentence at its punctuation, before the words that open a clause and before a misprint with its "for"."""
    part: list[Lexeme] = []
    misprints = {each.start for each in replaced(words)}
    for word in words:
        if part and (word.categories & {"opens", "corrects"} or word.span.start in misprints):
            yield part
            part = []
        part.append(word)
        if word.kind in _PARTS:
            yield part
            part = []
    if part:
        yield part


def _merged(parts: Sequence[list[Lexeme]]) -> Iterator[list[Lexeme]]:
    """Join the parts that have no predicate of their own with the one before, those that lead in with the next."""
    current: list[Lexeme] = []
    full = False
    for part in parts:
        predicate = _has_predicate(part)
        if current and full and predicate:
            yield current
            current, full = [], False
        current = current + part
        full = full or predicate
    if current:
        yield current


def _has_predicate(part: Sequence[Lexeme]) -> bool:
    """Tell whether a part says something of its own: it has a move, or a man or a pronoun with something said of it."""
    if "move" in [word.kind for word in part]:
        return True
    kinds = frozenset().union(*[word.categories for word in part])
    if "stance" in kinds and Stance.withdrawn in own_stances(part):
        return True
    subject = kinds & {"man", "pronoun", "we", "side"}
    return bool(subject and (kinds & _PLAYS or "effect" in kinds or "square" in [word.kind for word in part]))


def _turns(part: Sequence[Lexeme]) -> bool:
    """Tell whether a part begins with a word of contrast, after which the author speaks for himself."""
    return any(word.sense("opens") == "contrast" for word in part[:2])


def _doubtful(part: Sequence[Lexeme]) -> Iterator[DoubtfulWord]:
    """Yield the words of a part that may bear on its moves."""
    follows = False  # "against 1...a5 do for him" calls 1...a5 no defence
    for place, word in enumerate(part):
        follows = follows or ("link" in word.categories and word.sense("link") == "if")
        doubts: list[Doubt] = []
        if {"doubt", "stance", "governs"} & word.categories or _may_be_a_deed(part, place):
            doubts.append(Doubt.changes)
        if _is_strange(word):
            doubts.append(Doubt.strange)
        if word.categories and _speaks_against(word):
            doubts.append(Doubt.against)
        if "mark" in word.categories and word.sense("mark") in _PARRIES and not follows:
            doubts.append(Doubt.parries)
        if doubts:
            yield DoubtfulWord(word.span, reduce(or_, doubts))


def _may_be_a_deed(part: Sequence[Lexeme], place: int) -> bool:
    """Tell whether an unknown word stands beside a man, or between a square and a square or a man."""
    word, after = part[place], part[place + 1 : place + 3]
    if word.kind != "unknown" or not word.text[:1].islower():
        return False
    behind = place > 0 and (_acts(part[place - 1]) or _names_a_man(part[:place]))
    if behind or (after and "article" not in word.categories and _acts(after[0])):
        return True
    named = after[1:] if after and "article" in after[0].categories else after
    on_board = place > 0 and part[place - 1].kind in ("square", "move")
    return on_board and bool(named) and (named[0].kind == "square" or _acts(named[0]))


def _names_a_man(words: Sequence[Lexeme]) -> bool:
    """Tell whether words end with a man, with his square or fillers if need be: "the bishop on d2 then"."""
    end = len(words)
    while end and "filler" in words[end - 1].categories:
        end -= 1
    if end > 2 and words[end - 1].kind == "square" and "stands" in words[end - 2].categories:
        end -= 2
    return end > 0 and "man" in words[end - 1].categories


def _is_strange(word: Lexeme) -> bool:
    strange = bool(word.categories) and word.categories <= {"harmless", "lose"}
    return strange or (word.kind == "unknown" and word.text[:1].islower())


def _speaks_against(word: Lexeme) -> bool:
    """Tell whether a word may say of a move that it cannot be played, or does nothing."""
    against = bool(word.categories & _AGAINST) or (
        bool(word.categories & {"mark", "stance"})
        and (word.sense("mark") in ("fail", "futile") or word.sense("stance") == "denied")
    )
    return against and word.text.lower() not in NONE  # nobody, nothing: of whom else it may speak is open


def _acts(word: Lexeme) -> bool:
    """Tell whether a verb may stand beside this word."""
    return bool({"man", "pronoun"} & word.categories)


def _holds_chess(part: Sequence[Lexeme]) -> bool:
    """Tell whether a clause speaks of play: a square, a printed move, an outcome, a man who does something."""
    if any(word.kind in ("square", "move") or {"effect", "castle"} & word.categories for word in part):
        return True
    men = [place for place, word in enumerate(part) if "man" in word.categories]
    return any(_PLAYS & word.categories for man in men for word in part[man + 1 : man + 4])
