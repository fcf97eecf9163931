"""How much of the chess a text holds was placed in the play: one answer for each clause, whoever did the reading.

A reading says what it took (`Taken`): a stretch of text, whether it was read, and whether its place in the play can
be trusted. The clauses of the text are the measure: each that holds chess is placed, doubtful or not understood.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from enum import Enum
from functools import cached_property

from keyproof.grammar.clauses import Clause
from keyproof.grammar.spans import Span
from msgspec import Struct


class Standing(Enum):
    """What became of a clause that holds chess."""

    placed = "placed"
    doubtful = "doubtful"
    not_understood = "not understood"


class Taken(Struct, frozen=True):
    """A stretch of text that a reading took for something: a move, a claim, a reason, or words that lead to one.

    `counts`: it is chess by itself, not a word that only leads to some. `read`: it has a meaning in the play.
    `trusted`: the place it was given in the play is the one the author must have meant. `names`: it only names a man
    of whom the words behind it say something.
    """

    span: Span
    counts: bool = True
    read: bool = True
    trusted: bool = True
    names: bool = False


class Entry(Struct, frozen=True):
    """One clause that holds chess and what became of it; of a doubtful one the `words` that make it so."""

    clause: Clause
    standing: Standing
    words: tuple[Span, ...] = ()

    @property
    def span(self) -> Span:
        """Where the clause stands."""
        return self.clause.span

    def holds(self, offset: int) -> bool:
        """Tell whether a place of the text is in the clause."""
        return self.span.start <= offset < max(self.span.end, self.span.start + 1)


class Account(Struct, frozen=True, dict=True):
    """Every clause of a puzzle's text that holds chess, in text order."""

    entries: tuple[Entry, ...] = ()

    @cached_property
    def placed(self) -> int:
        """How many clauses were placed in the play."""
        return self._number(Standing.placed)

    @cached_property
    def doubtful(self) -> int:
        """How many clauses were read, but not wholly or not surely."""
        return self._number(Standing.doubtful)

    @cached_property
    def not_understood(self) -> int:
        """How many clauses were not read."""
        return self._number(Standing.not_understood)

    @property
    def half_read(self) -> bool:
        """True where less than half of the clauses were placed."""
        return 2 * self.placed < self.total

    @property
    def total(self) -> int:
        """How many clauses hold chess."""
        return len(self.entries)

    def _number(self, standing: Standing) -> int:
        return sum(entry.standing is standing for entry in self.entries)

    def at(self, offset: int) -> Entry | None:
        """Return the entry of the clause that holds a place of the text, None where that clause holds no chess."""
        index = bisect_right(self.entries, offset, key=lambda entry: entry.span.start) - 1
        if index >= 0 and self.entries[index].holds(offset):
            return self.entries[index]
        return None


def account(clauses: Sequence[Clause], taken: Iterable[Taken]) -> Account:
    """Say of each clause that holds chess what became of it."""
    starts = [clause.span.start for clause in clauses]
    inside: list[list[Taken]] = [[] for _ in clauses]
    last = len(clauses) - 1
    for each in taken if clauses else ():
        index = bisect_right(starts, each.span.start, 1) - 1
        inside[index].append(each)
        while index < last and starts[index + 1] < each.span.end:
            index += 1
            inside[index].append(each)
    entries = [_entry(clause, held) for clause, held in zip(clauses, inside, strict=True)]
    return Account(tuple([entry for entry in entries if entry is not None]))


def _entry(clause: Clause, held: Sequence[Taken]) -> Entry | None:
    chess = [each for each in held if each.counts]
    if not chess:
        return Entry(clause, Standing.not_understood) if clause.holds_chess else None
    words = (*left_open(clause, held), *_not_in(clause.mates, held)) if clause.words or clause.mates else ()
    read = [each for each in chess if each.read]
    if not read or (words and all(each.names for each in read)):
        return Entry(clause, Standing.not_understood)
    if words or [each for each in chess if not (each.read and each.trusted)]:
        return Entry(clause, Standing.doubtful, words)
    return Entry(clause, Standing.placed)


def left_open(clause: Clause, held: Iterable[Taken]) -> list[Span]:
    """Return the words of a clause that change what it says and are part of nothing that was read."""
    return _not_in(clause.uncovered, held)


def squares_left(clause: Clause, held: Iterable[Taken]) -> list[Span]:
    """Return the squares of a clause that are part of nothing that was read."""
    return _not_in(clause.squares, held)


def _not_in(words: Iterable[Span], held: Iterable[Taken]) -> list[Span]:
    spans = [each.span for each in held]
    return [word for word in words if not any(span.start < word.end and word.start < span.end for span in spans)]
