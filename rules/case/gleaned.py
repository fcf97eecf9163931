"""Positions told in words that no form of a position takes in: of what the words may tell, what the proof confirms.

Words and signs that name men and squares can be put together in many ways (grammar/gleaning). A set of men is hardly
ever by chance a puzzle with exactly one key in the moves that are asked for, so the likeliest that is one is meant.
Where none is, there is no position, and the text is not understood.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from itertools import islice, pairwise, takewhile

import chess
from keyproof.grammar.document import Diagram, Document, PuzzleText, TextFault
from keyproof.grammar.gleaning.tellings import Telling, beads_of, lifted, miscounts, tellings
from keyproof.grammar.sections import Sections, puzzle_texts
from keyproof.grammar.spans import Span
from keyproof.grammar.talks import with_puzzles
from msgspec.structs import replace

from ..board.fens import fen_of
from ..board.stipulation import Stipulation
from ..proof import prover
from .meant import sound
from .pricing import Make
from .retold import tellings_of_changes, tellings_put_right
from .weighing import meant

SQUARE = re.compile(r"(?<![A-Za-z])[a-h][1-8](?!\w)")
_CUE_ENDS = re.compile(r"[\r\n]\s*[\r\n]")
FAR_PLAINER = 4  # so much less of two tellings that overlap one costs, its men apart, to be taken first
MANY = 4  # men that are not told beside a position by chance
_BEHIND = 300  # characters behind a telling in which more men may be told
_SEVERAL = 3  # of them, each with a square behind him
PLAIN = 0  # what a telling beside a position that was read may cost: play there names men and squares too


def gleaned(document: Document, sections: Sections, make: Make) -> tuple[Document, Sections]:
    """Return the document and its parting with the positions added that are told where none was read.

    A file that itself says which text belongs to which position is left alone, unless it is a talk.
    """
    parted = document.puzzles is not None and not document.times
    if parted or any(puzzle.asked is not None for puzzle in sections.puzzles):
        return document, sections
    lost = [each for each in sections.puzzles if _misread(each) or _cut_short(document, each) or _unsound(each, make)]
    found = [diagram for span in _unread(document, sections, lost) for diagram in _told(document, span, make)]
    found = [diagram for diagram in found if not _glosses_over(diagram, found, document, sections)]
    found += _others(document, sections, lost, make)
    document, sections = _with(document, sections, found)
    document, sections = _with(document, sections, [*_righted(document, sections, make)])
    document, sections = _with(document, sections, [*_half_read(document, sections, make)])
    return _with(document, sections, [*_changed(document, sections, make)])


def _with(document: Document, sections: Sections, found: Sequence[Diagram]) -> tuple[Document, Sections]:
    """Return the document with more positions, and what of it belongs to which."""
    if not found:
        return document, sections
    stays = (each for each in document.gleaned if not any(each.span.overlaps(other.span) for other in found))
    document = replace(document, gleaned=(*stays, *found))
    document = with_puzzles(document) if document.times else document
    return document, puzzle_texts(document)


def _glosses_over(diagram: Diagram, found: Sequence[Diagram], document: Document, sections: Sections) -> bool:
    """Tell whether a position leaves out something of what another reading took for the position of its text.

    An author's own slip must not be glossed over by a reading that passes over the words in which it stands.
    """
    for puzzle in sections.puzzles:
        shown = [other.span for other in puzzle.diagrams]
        if not shown or not any(part.overlaps(diagram.span) for part in (*puzzle.parts, *shown)):
            continue
        if not any(span.overlaps(other.span) for span in shown for other in found):
            return True  # that position stands
        if not any(span.overlaps(diagram.span) for span in shown):
            continue
        named = {chess.parse_square(each[0]) for span in shown for each in SQUARE.finditer(document.masked, *span)}
        if named - diagram.pieces.keys() - {square for span in shown for square in lifted(document.masked, span)}:
            return True
    return False


def _misread(puzzle: PuzzleText) -> bool:
    """Tell whether the position of a puzzle was not read as its author meant it: words are not known, or no king."""
    shown = puzzle.diagrams
    if any(diagram.kind != "list" for diagram in shown):
        return False
    if all(diagram.faults and (diagram.told or all(fault.unread for fault in diagram.faults)) for diagram in shown):
        return True
    return not any(man.piece_type == chess.KING for diagram in shown for man in diagram.pieces.values())


def _cut_short(document: Document, puzzle: PuzzleText) -> bool:
    """Tell whether the sentence in which men were listed goes on and puts more of them: "..., knight stuck on h1"."""
    shown = puzzle.diagrams
    if len(shown) != 1 or shown[0].kind != "list" or shown[0].faults or puzzle.label:
        return False
    start = shown[0].span.end
    end = min(start + _BEHIND, len(document.masked))
    line = end if shown[0].told else document.masked.find("\n", start, end)  # below a printed list stands its solution
    rest = Span(start, end if line < 0 else line)
    goes_on = takewhile(lambda bead: bead.does != "end", beads_of(document.masked, rest))
    named = [bead for bead in goes_on if bead.does in ("man", "square")]
    more = (after.values for man, after in pairwise(named) if man.does == "man" and after.does == "square")
    return any(not shown[0].pieces.keys() & {*squares} for squares in more)


def _unsound(puzzle: PuzzleText, make: Make) -> bool:
    """Tell whether men that were listed have no one key to the mate asked for: some of them may not have been read."""
    listed = bool(puzzle.diagrams) and all(shown.kind == "list" and not shown.faults for shown in puzzle.diagrams)
    if not listed or puzzle.label:
        return False
    case = make(puzzle)
    told = [shown for shown in puzzle.diagrams if shown.told]
    if any(miscounts(case.masked, Span(puzzle.parts[0].start, puzzle.parts[-1].end), shown.pieces) for shown in told):
        return True
    if case.stated is None and told:
        return not sound(case)
    if case.stated is None or case.stated.genre != "#":
        return False
    board = case.board if case.playable else None
    return board is None or not _has_one_key(fen_of(board), case.stated)


@lru_cache(maxsize=4_096)
def _has_one_key(fen: str, stipulation: Stipulation) -> bool:
    """Tell whether a position has exactly one key; kept, as it is asked at each change of a text."""
    return len(prover.prove(chess.Board(fen), stipulation).keys) == 1


def _others(document: Document, sections: Sections, lost: Sequence[PuzzleText], make: Make) -> list[Diagram]:
    """Return further positions that are told in the text of others: words of which not all are known tell them.

    Each of them has most of its men elsewhere, or is only what was read already, told once more. What stands before
    the first of all positions has none but by the layout, so one may be told there in any words before a list, and in
    plain ones before a position that is drawn or a FEN.
    """
    found: list[Diagram] = []
    first = min((shown.span.start for puzzle in sections.puzzles for shown in puzzle.diagrams), default=0)
    for puzzle in sections.puzzles:
        if puzzle in lost:
            continue
        listed = all(shown.kind == "list" for shown in puzzle.diagrams)
        for span in _joined(document, puzzle.prose):
            before = span.end <= first
            if listed or before:
                found += _told(document, span, make, None if listed and before else PLAIN)
    read = [shown.pieces.items() for puzzle in sections.puzzles for shown in puzzle.diagrams]
    return [new for new in found if not any(2 * len(new.pieces.items() & men) > len(men) for men in read)]


def _changed(document: Document, sections: Sections, make: Make) -> Iterator[Diagram]:
    """Yield the positions that are told as the one before them with a change, one in each stretch of text."""
    for puzzle in sections.puzzles:
        if puzzle.label or not puzzle.diagrams or puzzle.diagrams[-1].faults:
            continue
        for span in _joined(document, puzzle.prose):
            found = (meant(telling, span, make) for telling in tellings_of_changes(document, puzzle, span))
            yield from islice(filter(None, found), 1)


def _righted(document: Document, sections: Sections, make: Make) -> Iterator[Diagram]:
    """Yield the positions that are put right behind where they are listed, in their place.

    Who moves a man there has said so even where the position is sound; else it must be unsound before.
    """
    for puzzle in sections.puzzles:
        shown = puzzle.diagrams
        if puzzle.label or len(shown) != 1 or shown[0].kind != "list" or shown[0].faults:
            continue
        righted = (
            meant(each, span, make)
            for span in _joined(document, puzzle.prose)
            for each in tellings_put_right(document, puzzle, span)
        )
        for right in filter(None, righted):
            moved = (
                len(right.pieces) == len(shown[0].pieces) and len(right.pieces.items() - shown[0].pieces.items()) == 1
            )
            if moved or not sound(make(puzzle)):
                named = {square: at for square, at in shown[0].piece_spans.items() if square in right.pieces}
                yield replace(shown[0], pieces=right.pieces, piece_spans=named, others=())
                break


def _half_read(document: Document, sections: Sections, make: Make) -> Iterator[Diagram]:
    """Yield the positions told in words that are not sound and leave out a square of their telling, as not understood.

    Men stand there, so that the position is not the author's, and no move of his can be held against it.
    """
    for puzzle in sections.puzzles:
        shown = puzzle.diagrams
        if len(shown) != 1 or not shown[0].told or shown[0].faults or not _unsound(puzzle, make):
            continue
        (told,) = shown
        if told in document.gleaned:
            continue  # the proof has chosen it
        left = _left_out(document, told)
        if left is not None:
            yield replace(told, faults=(TextFault(left, "it is not understood which man stands here", unread=True),))


def _left_out(document: Document, told: Diagram) -> Span | None:
    """Return a square that a telling names and puts nobody on, or the first of several right behind it, before play."""
    known = told.pieces.keys() | lifted(document.masked, told.span)
    for square in SQUARE.finditer(document.masked, *told.span):
        if chess.parse_square(square[0]) not in known:
            return Span(*square.span())
    rest = Span(told.span.end, min(told.span.end + _BEHIND, len(document.masked)))
    behind = [*takewhile(lambda bead: bead.does != "plays", beads_of(document.masked, rest))]
    named = [bead for bead in behind if bead.does in ("man", "square")]
    told_of_men = (after for man, after in pairwise(named) if man.does == "man" and after.does == "square")
    left = [bead.span for bead in told_of_men if not known & {*bead.values}]
    return left[0] if len(left) >= _SEVERAL else None


def _unread(document: Document, sections: Sections, lost: Sequence[PuzzleText]) -> Iterator[Span]:
    """Yield the stretches that stand on no position, those that follow each other as one.

    A position that was printed with a fault is one, though it cannot be played: the fault is the author's, and his to
    mend. Words that are not known rather show a fault of the reading.
    """
    yield from _joined(document, (*sections.loose, *sections.headings, *(part for each in lost for part in each.parts)))


def _joined(document: Document, spans: Iterable[Span]) -> Iterator[Span]:
    found: list[Span] = []
    for span in sorted(spans):
        if found and not document.masked[found[-1].end : span.start].strip():
            found[-1] = found[-1].to(span)
        elif found and span.start <= found[-1].end:
            found[-1] = Span(found[-1].start, max(found[-1].end, span.end))
        else:
            found.append(span)
    yield from found


def _as_one_line(end: re.Match[str]) -> str:
    """Return the end of a cue, which may stand anywhere in a sentence, as that of a line."""
    return "\n".ljust(len(end[0]))


def _told(document: Document, span: Span, make: Make, most: int | None = None) -> list[Diagram]:
    """Return the positions that a stretch tells, for `most` at the most, none of which overlaps another.

    The first in the text are taken first, but for tellings that reach into one that is far plainer.
    """
    text = _CUE_ENDS.sub(_as_one_line, document.masked) if document.times else document.masked
    told = [each for each in tellings(text, span, most) if most is None or each.ranks[0] <= most]
    found: list[Diagram] = []
    for telling in sorted(told, key=lambda each: any(_far_plainer(other, each) for other in told)):
        if not any(telling.span.overlaps(other.span) for other in found):
            found += filter(None, [meant(telling, span, make)])
    return found


def _far_plainer(one: Telling, other: Telling) -> bool:
    """Tell whether one telling is far plainer than another, and no part of it that leaves out many men."""
    part, whole = one.diagrams[0].pieces.items(), other.diagrams[0].pieces.items()
    if part < whole and len(whole) >= len(part) + MANY:
        return False
    return one.strain + FAR_PLAINER <= other.strain and one.span.overlaps(other.span)
