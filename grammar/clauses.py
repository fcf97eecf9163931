"""The one cutting of a text into sentences and clauses, each with what its author does with it.

An author asserts most of what he says. He also denies, asks, supposes and wishes, tells what others said, and
takes back what he has just said. Only what is asserted or denied can be false. The words that tell are those
of the lexicon (`stance`, `governs`, `opens`, `doubt`); which of them are part of a phrase that somebody has
understood is for the reader to say, so a clause names them all, with their places.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from enum import Flag, auto
from functools import cached_property, reduce
from operator import or_

import chess
from msgspec import Struct
from msgspec.structs import replace

from .breathless import line_by_line
from .cues import CHESS, NONE, Stance, any_prevents, backward_stance, own_stances, ruling_stance
from .letters import LANGUAGES
from .lexicon.lexemes import Lexeme, lexemes
from .spans import Span

_ENDS = ("stop", "question", "semicolon", "cell")
_WORDS = ("word", "unknown", "square", "move", "number")
_PARTS = ("comma", "colon", "dash", "open", "close")
_BEGINS = frozenset(("article", "opens", "pronoun", "this", "we", "count", "with", "from"))  # words that are no names
_PLAYS = frozenset(("go", "put", "take", "promote", "castle"))  # what a man does on the board
_AGAINST = frozenset(("deny", "untruth", "prevents", "doubt", "gone", "not mate"))
_PARRIES = ("refutes", "beats")
_QUOTATION = re.compile(r"[\"“„][^\"“„”]{3,400}[\"”“](?!;[ \t]*(?:\n|\Z))")  # what somebody else said; no EPD field
_TALK = 4  # quotations that make a talk of a text
_MOST = 0.6  # the part of it that they must be
_SPEAKERS = {"q": True, "a": False, "question": True, "answer": False}  # True: asks


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


def sentences(
    text: str, span: Span, language: str = "english", letters: Mapping[str, chess.PieceType] = LANGUAGES["en"]
) -> list[list[Lexeme]]:
    """Cut one block of prose into the lexemes of its sentences, the signs that end them included."""
    given = lexemes(text, span, language, letters)
    found: list[list[Lexeme]] = []
    current: list[Lexeme] = []
    by_line = line_by_line(given)  # else what somebody "says" would be quoted to the end of the text
    for place, lexeme in enumerate(given):
        following = given[place + 1] if place + 1 < len(given) else None
        current.append(lexeme)
        ends = following is None or (by_line and lexeme.kind == "line") or _ends(text, current, lexeme, following)
        if ends:
            found.append(current)
            current = []
    return found


def _ends(text: str, current: Sequence[Lexeme], lexeme: Lexeme, following: Lexeme) -> bool:
    """Tell whether a sentence ends with `lexeme`: at a stop, a blank line, before a numbered line or a new speaker."""
    if text[following.span.end : following.span.end + 1] == ":" and _speaker(text, following) is not None:
        return True
    if lexeme.kind == "line":
        numbered = following.kind == "number" and following.number is not None and following.number.value is not None
        return numbered or following.kind in ("line", "quote") or _ends_list(text, current, following)
    if lexeme.kind == "move" and begins_behind(lexeme, following):
        return True
    glued = following.span.start == lexeme.span.end and following.kind in _WORDS and following.text[0].isalnum()
    if lexeme.kind not in _ENDS or glued or _is_sign(current):
        return False
    if lexeme.text == "." and len(current) > 1:
        before = current[-2]
        short = "abbreviation" in before.categories or len(before.text) == 1
        return not short or (following.text[:1].isupper() and following.kind in ("word", "unknown"))
    return True


def _ends_list(text: str, current: Sequence[Lexeme], following: Lexeme) -> bool:
    """Tell whether the last line of a list of variations stands above words that begin a sentence.

    It begins with a numbered move, and ends with one or is set farther in than what stands below it.
    """
    first, last = current[0], current[-2] if len(current) > 1 else current[0]
    begins = following.kind in ("word", "unknown") and following.text[:1].isupper()
    if not begins or first.kind != "number" or any(each.kind == "line" for each in current[:-1]):
        return False
    indents = [place - (text.rfind("\n", 0, place) + 1) for place in (first.span.start, following.span.start)]
    if text[first.span.start - indents[0] : first.span.start].strip():
        return False
    moves = sum(each.kind == "move" or each.kind == "square" for each in current)
    return moves > 1 and (last.kind == "move" or indents[1] < indents[0])


def begins_behind(move: Lexeme, following: Lexeme) -> bool:
    """Tell whether a sentence begins behind a move and its sign: "The key is 1.Qb6! If the king ..."."""
    if move.kind != "move" or move.text[-1] not in "!?" or not following.text[:1].isupper():
        return False
    return following.kind == "word" and bool(_BEGINS & following.categories)


def _is_sign(words: Sequence[Lexeme]) -> bool:
    """Tell whether the last sign of a stretch is that of a numbered pawn move, "1.d8?", and ends no sentence."""
    place = len(words) - 1
    while place >= 0 and words[place].text in ("?", "!"):
        place -= 1
    if place < 1 or place == len(words) - 1 or words[place].kind != "square":
        return False
    return words[place - 1].kind == "number" and words[place].span.end == words[place + 1].span.start


def _speaker(text: str, lexeme: Lexeme) -> bool | None:
    """Return whether a new speaker asks ("Q:") or answers ("A:"), None where nobody begins to speak."""
    end = lexeme.span.end
    if text[end : end + 1] != ":" or not lexeme.text[:1].isupper():
        return None
    return _SPEAKERS.get(lexeme.text.lower())


def of_block(text: str, span: Span, told: Iterable[Sequence[Lexeme]]) -> Iterator[Clause]:
    """Yield the clauses of one block, cut into sentences."""
    quoted = _quotations(text, span)
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


def _quotations(text: str, span: Span) -> list[Span]:
    """Return what stands between quotation marks, nothing where people talk who do the solving: '"F2!" "Why?"'."""
    found = [Span(*each.span()) for each in _QUOTATION.finditer(text, *span)]
    talk = len(found) >= _TALK and sum(each.end - each.start for each in found) > _MOST * (span.end - span.start)
    return [] if talk else found


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
    asked = words[-1].kind == "question" and not _is_sign(words)
    quoted = words[0].kind == "quote" or _speaker(text, words[0]) is True
    rules: Stance | None = Stance.asked if asked else Stance.quoted if quoted else None
    found: list[Clause] = []
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
    """Cut a sentence at its punctuation and before the words that open a clause."""
    part: list[Lexeme] = []
    for word in words:
        if part and "opens" in word.categories:
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
