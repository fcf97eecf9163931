"""The puzzles of a file taken together: repeats, numbers, and solutions that belong to another diagram."""

import re
from collections.abc import Iterator

from keyproof.grammar.spans import Span, lines_of
from keyproof.grammar.statements import Turn

from ..case.case import Case
from ..case.column import column_of
from ..case.setting import CHANGES, MOST_NEIGHBOURS
from ..finding import Edit, Fault, Level
from ..reading.reading import State
from .register import rule

_SAID_TWICE = re.compile(
    r"\bmirror|\breflect|\breversed?\b|\bturned\b|\btwins?\b|\bagain\b|\bsame\b|\brepeat|\bonce\s+more\b", re.I
)
_ON_PAPER = re.compile(
    r"(?<![\w/])[pnbrqkPNBRQK1-8]+(?:/[pnbrqkPNBRQK1-8]+){7}"
    r"(?:[ \t]+[wb][ \t]+(?:-|[KQkq]+)(?:[ \t]+(?:-|[a-h][36]))?)?"
)


def _name(case: Case, other: Case) -> str:
    """Name another puzzle of the file by its title and its place."""
    start = other.puzzle.span.start
    where = case.where(start) if case.where is not None else f"line {lines_of(case.text).place(start)[0]}"
    title = " ".join(other.puzzle.title.split())
    return f"{title!r} ({where})" if title else f"the puzzle of {where}"


@rule("repeated-position", Level.warning)
def repeated_position(case: Case) -> Iterator[Fault]:
    """The same position, with the same task, stands in the file twice.

    A note where it is the mirror image or the other colours of an earlier one, which need not
    be an oversight. Silent where the text speaks of it.

    Source: common practice, no source.

    Bad:
        Problem 1
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two. 1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#

        Problem 2
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.

    Good:
        Problem 1
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two. 1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#

        Problem 2
        FEN: k7/8/2K2N2/8/p7/7R/8/8 w - - 0 1
        Mate in two.
    """
    board, diagram = case.board, case.diagram
    if board is None or diagram is None or not board.occupied:
        return
    alike = list(column_of(case).alike(case))
    words = "\n".join(span.of(case.masked) for span in (*case.puzzle.prose, *case.puzzle.headings))
    if not alike or _SAID_TWICE.search(words):
        return
    men = case.men
    for other in alike:
        assert other.board is not None
        if _tells(other) and not (_asks(case) or _tells(case)):
            continue  # the position in figures once more, "for those who set it up"
        if case.puzzle.play is not None and not _asks(case):
            continue  # one more record of its play: "am Ra3+;", but no order
        if other.stated != case.stated and None not in (other.stated, case.stated):
            continue
        theirs = other.men
        if men == theirs and board.turn == other.board.turn:
            yield Fault(diagram.span, f"this is the position of {_name(case, other)} once more")
            return
        for change in CHANGES:
            if change.apply(theirs) == men:
                message = f"this is the position of {_name(case, other)}, {change.words}"
                yield Fault(diagram.span, message, level=Level.note)
                return


def _asks(case: Case) -> bool:
    """Tell whether a puzzle itself says what is to be done, and not the head of the file for all."""
    if case.stipulation_claim is None:
        return case.puzzle.asked is not None
    return case.puzzle.span.overlaps(case.stipulation_claim.span)


def _tells(case: Case) -> bool:
    """Tell whether the text of a puzzle tells moves."""
    return any(isinstance(each, Turn) and not each.bare_square for each in case.statements)


@rule("no-position", Level.warning)
def no_position(case: Case) -> Iterator[Fault]:
    """A solution is printed and no position for it, so that nothing of it can be checked.

    The position is missing, or shown as a picture; or the solution fits none of the file's diagrams, and
    then the one on which most of it can be played is named.

    Source: common practice, no source.

    Bad:
        Problem 1
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two. 1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#

        Problem 2: the diagram is on page 4.
        Mate in two. 1.Qd4! Kg8 2.Qxg7#

    Good:
        Problem 1
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two. 1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#
    """
    turns = [each for each in case.statements if isinstance(each, Turn) and not each.bare_square]
    if case.puzzle.diagrams or case.puzzle.label or case.puzzle.asked is not None or not turns:
        return
    message = "nothing shows the position of this solution, so that none of it was checked"
    best: tuple[int, int, Case] | None = None
    for other in _near(case):
        assert other.board is not None
        reading = case.replay(other.board.copy(stack=False))
        read = sum(mention.state is State.read for mention in reading.mentions)
        if read and (best is None or read > best[0]):
            best = (read, len(reading.mentions) + len(reading.not_understood), other)
    if best is not None:
        message += f"; it fits no diagram of the file, and best {_name(case, best[2])}: {best[0]} of {best[1]} moves"
    yield Fault(turns[0].span, message)


def _near(case: Case) -> list[Case]:
    """Return the puzzles beside this one that can be played from."""
    place = column_of(case).place(case) or 0
    beside = case.column[max(0, place - MOST_NEIGHBOURS // 2) : place + MOST_NEIGHBOURS // 2 + 1]
    return [other for other in beside if other.playable]


@rule("number-out-of-order", Level.warning)
def number_out_of_order(case: Case) -> Iterator[Fault]:
    """The puzzles are numbered, and a number is left out or stands twice.

    Only where all others follow one another. A gap is a note.

    Source: common practice, no source.

    Bad:
        No. 7
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1

        No. 8
        FEN: 4k3/8/7R/8/6K1/R7/8/8 w - - 0 1

        No. 8
        FEN: 4k3/8/8/7R/6K1/R7/8/8 w - - 0 1

    Good:
        No. 7
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1

        No. 8
        FEN: 4k3/8/7R/8/6K1/R7/8/8 w - - 0 1

        No. 9
        FEN: 4k3/8/8/7R/6K1/R7/8/8 w - - 0 1
    """
    if case.puzzle.asked is not None:
        return  # the titles are those of another file, of which a talk may choose
    column = column_of(case)
    step = column.odd_step
    if step is None or step.case is not case:
        return
    before, number, counts = step.before, step.number, column.counts
    if number <= before:
        level = None if counts[number] > 1 else Level.note
        what = (
            f"number {number} stands here a second time" if counts[number] > 1 else f"number {number} follows {before}"
        )
    else:
        level = Level.note
        left = f"{before + 1} is" if number == before + 2 else f"{before + 1} to {number - 1} are"
        what = f"number {number} follows {before}: {left} left out"
    yield Fault(_title_span(case), what, level=level)


def _title_span(case: Case) -> Span:
    line = lines_of(case.text)
    return line.line_span(line.place(case.puzzle.span.start)[0])


_NUMBERS = ("two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
_COUNTED = re.compile(
    r"(?:^|(?<=[.!?])\s+|\n\s*\n\s*)(?:(?:here|below)\s+(?:are|follow|stand)\s+|there\s+are\s+"
    r"|(?:today|this\s+(?:week|month|issue))(?:\s+(?:brings|has|offers))?,?\s+(?:we\s+(?:print|present|offer|have)\s+)?"
    r"|we\s+(?:print|present|offer|have)\s+)?(?:you\s+)?(?:the\s+|our\s+|these\s+)?"
    rf"(?P<number>{'|'.join(_NUMBERS)}|\d{{1,2}})\s+(?:(?!and\b|or\b)\w+\s+){{0,2}}?"
    r"(?:puzzles|problems|diagrams|positions|mates\s+in\s+\w+|(?:two|three|four)-?movers|helpmates|selfmates)\b"
    r"(?!\s+(?:of|from|by|solved|sent|were|have|that)\b)(?P<rest>[^.!?]*)",
    re.I,
)
_AND_MORE = re.compile(rf"\b(?:{'|'.join(_NUMBERS)}|one|another|more|further|besides|and\s+an?)\b|\d", re.I)


@rule("wrong-number-of-puzzles", Level.warning)
def wrong_number_of_puzzles(case: Case) -> Iterator[Fault]:
    """The introduction counts the puzzles, and there are more or fewer in the file.

    Twins on one diagram are one puzzle. Only a sentence at the beginning is taken for such a
    count ("Five puzzles for the holidays"), and only if it names no further number.

    Source: common practice, no source.

    Bad:
        Three problems for a rainy evening.

        Problem 1
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1

        Problem 2
        FEN: 4k3/8/7R/8/6K1/R7/8/8 w - - 0 1

    Good:
        Two problems for a rainy evening.

        Problem 1
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1

        Problem 2
        FEN: 4k3/8/7R/8/6K1/R7/8/8 w - - 0 1
    """
    if not case.column or case.column[0] is not case:
        return
    there = len(column_of(case).diagrams)
    for span in case.loose:
        counted = _COUNTED.match(span.of(case.masked))
        if counted is None or span.start > case.puzzle.span.start or _AND_MORE.search(counted["rest"]):
            continue
        word = counted["number"].lower()
        said = int(word) if word.isdecimal() else _NUMBERS.index(word) + 2
        if said != there:
            place = Span(span.start + counted.start("number"), span.start + counted.end("number"))
            yield Fault(place, f"the file has {there} {'puzzle' if there == 1 else 'puzzles'}, not {counted['number']}")
        return


@rule("turned-diagram", Level.error)
def turned_diagram(case: Case) -> Iterator[Fault]:
    """The solution cannot be played from the diagram, but all of it from the diagram set up another way.

    Upside down, in the other colours, or as a mirror image. All moves must be legal, all signs
    true and the printed key proved; then the single moves are not reported. Of a FEN the repair
    is given.

    Source: common practice, no source.

    Bad:
        FEN: 8/2K5/8/1k6/p2R4/3N4/8/8 w - - 0 1
        Mate in two.
        1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#

    Good:
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#
    """
    found, diagram = case.fitting, case.diagram
    if found is None or found.change is None or diagram is None:
        return
    message = (
        "the solution cannot be played from this diagram, and all of it can from the same diagram "
        f"{found.change.words}: {found.board.board_fen()}"
    )
    repair: tuple[Edit, ...] = ()
    printed = _ON_PAPER.search(diagram.span.of(case.text))
    if diagram.kind == "fen" and printed is not None:
        fields = len(printed[0].split())
        span = Span(diagram.span.start + printed.start(), diagram.span.start + printed.end())
        repair = (Edit(span, " ".join(found.board.fen().split()[:fields])),)
    yield Fault(diagram.span, message, None, repair)


@rule("solution-of-another-puzzle", Level.error)
def solution_of_another_puzzle(case: Case) -> Iterator[Fault]:
    """The solution cannot be played from its diagram, but all of it from the diagram of another puzzle of the file.

    All moves must be legal there, all signs true and the printed key proved; then the single
    moves are not reported.

    Source: common practice, no source.

    Bad:
        Problem 1
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#

        Problem 2
        FEN: k7/8/2K2N2/8/p7/7R/8/8 w - - 0 1
        Mate in two.
        1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#

    Good:
        Problem 1
        FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1
        Mate in two.
        1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#
    """
    found = case.fitting
    if found is None or found.place is None or not case.statements:
        return
    assert case.reading is not None
    first, other = case.reading.mentions[0].phrase.span, case.column[found.place]
    yield Fault(first, f"this solution does not fit its own diagram, but that of {_name(case, other)}")
