"""Whether a position can be trusted: the numbers of men printed near it, and the other ways it is printed."""

import re
from collections.abc import Iterator
from itertools import chain
from typing import TYPE_CHECKING

import chess
from keyproof.grammar.balance import printed_on_line, told_against, told_of_both
from keyproof.grammar.counts import told_counts, told_pairs
from keyproof.grammar.document import MenCount
from keyproof.grammar.spans import Span
from keyproof.grammar.statements import Claim, Turn

if TYPE_CHECKING:
    from .case import Case

# "Count first: eight white men against five black.", "Count the men. - White five, black four."
_COUNTING = re.compile(
    r"\b(?:count(?:ed|ing)?|zähl\w{0,4}|gezählt|compt(?:e[rz]?|ons)|cuent(?:a|e|en)|cont(?:a|ate|iamo)|tel(?:len)?)\b"
    r"(?P<said>[^.!?\r\n]{0,90}[.!?](?:[ \t]*[\r\n]+(?:\w{1,12}:)?[^.!?\r\n]{0,60}[.!?])?)",
    re.I,
)


def men_counts(case: "Case") -> list[MenCount]:
    """Return the numbers of men printed with the position or told before the first move, beside "(5+4)"."""
    found = [count for diagram in case.puzzle.diagrams for count in diagram.counts]
    for span in _where_counted(case):
        found += told_counts(case.masked, span)
        found += told_of_both(case.masked, span)
    for line in _beside_positions(case):
        found += printed_on_line(case.masked, line)
    return list({(count.span, count.colours): count for count in found}.values())


def _where_counted(case: "Case") -> Iterator[Span]:
    """Yield where the men of the position may be counted: before the first move, and where somebody says he counts."""
    before = _before_play(case)
    yield from before
    for span in case.puzzle.prose:
        for counted in _COUNTING.finditer(case.masked, *span):
            said = Span(*counted.span("said"))
            if said.start < said.end and not any(said.overlaps(other) for other in before):
                yield said


def _before_play(case: "Case") -> list[Span]:
    """Return the headings and what of the prose stands before the first move."""
    first = next((s.span.start for s in case.statements if isinstance(s, Turn)), len(case.masked))
    before = [Span(span.start, min(span.end, first)) for span in case.puzzle.prose if span.start < first]
    return [*case.puzzle.headings, *before]


def _beside_positions(case: "Case") -> Iterator[Span]:
    """Yield what stands before and behind each position on its line, in a row of a table for one."""
    for diagram in case.puzzle.diagrams:
        start = case.masked.rfind("\n", 0, diagram.span.start) + 1
        end = case.masked.find("\n", diagram.span.end)
        yield Span(start, diagram.span.start)
        yield Span(diagram.span.end, len(case.masked) if end < 0 else end)


def false_counts(case: "Case") -> Iterator[tuple[Span, str]]:
    """Yield each printed number of men that does not fit the position, with what is there instead."""
    board = case.board
    if board is None:
        return
    right = (board.occupied_co[chess.WHITE].bit_count(), board.occupied_co[chess.BLACK].bit_count())
    claims = dict.fromkeys((*case.claims("count"), *_on_its_line(case)))
    for claim in claims:
        white, black = (int(number) for number in re.findall(r"\d+", claim.text))
        if (white, black) != right:
            yield claim.span, f"the diagram has {right[0]} white and {right[1]} black men, not {white}+{black}"
    for span in _where_counted(case):
        for where, one, other in chain(told_pairs(case.masked, span), told_against(case.masked, span)):
            if sorted((one, other)) != sorted(right):
                yield where, f"the position has {right[0]} white and {right[1]} black men, not {one} against {other}"
    for count in men_counts(case):
        if any(claim.span.overlaps(count.span) for claim in claims):
            continue
        there = sum(board.occupied_co[colour].bit_count() for colour in count.colours)
        if count.number != there and not (count.or_both and count.number == sum(right)):
            whose = f"{chess.COLOR_NAMES[count.colours[0]]} " if len(count.colours) == 1 else ""
            yield count.span, f"the position has {there} {whose}{'man' if there == 1 else 'men'}, not {count.number}"


def _on_its_line(case: "Case") -> Iterator[Claim]:
    """Yield the numbers of men before the position on its line: "41/9 (4+6)  8/2K1p3/..." in a box at the foot."""
    for diagram in case.puzzle.diagrams:
        start = case.masked.rfind("\n", 0, diagram.span.start) + 1
        for said in case.statements:
            if isinstance(said, Claim) and said.kind == "count" and start <= said.span.start < diagram.span.start:
                yield said


def in_doubt(case: "Case") -> bool:
    """Tell whether the position may not be the author's: it was not read whole, or what is printed contradicts it."""
    printed = case.puzzle.diagrams
    if case.diagram is None or any(diagram.faults for diagram in printed):
        return True
    return any(diagram.pieces != case.diagram.pieces for diagram in printed) or any(True for _ in false_counts(case))
