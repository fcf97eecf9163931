"""The report for people: findings in the GNU form, grouped by puzzle, and one summary line."""

import re
from collections.abc import Callable, Iterator, Sequence

from keyproof.grammar.spans import Lines, Span, lines_of
from keyproof.rules.finding import Edit, Finding, Level
from keyproof.rules.reading.account import Account

from ..results import FileResult, PlacedFinding, PuzzleResult
from ..tally import Tally
from .play import shown
from .terminal import Line, Part, escape, line

_VERDICTS = {
    "sound": "proved sound",
    "unsound": "proved unsound",
    "unproved": "left unproved",
    "no-claim": "with nothing to prove",
}


def failure(result: FileResult) -> Line:
    """Return the line for a file that yielded nothing."""
    place = f"{escape(result.path)}:{result.error_line}:{result.error_column}: "
    return Line((Part(place), Part("error", "error"), Part(f": {escape(result.error or '')}")))


def report(result: FileResult) -> Iterator[Line]:
    """Yield the lines of one file's findings, those of a puzzle under its title; none for a file without findings.

    Of a file that was mostly not understood, the first line says so.
    """
    if result.account.half_read:
        yield unread(result)
        yield line()
    for remark in result.remarks:
        yield _marked(result, remark.span, "note", remark.message)
    if result.remarks:
        yield line()
    for index, findings in _by_puzzle(result.findings):
        puzzle = None if index is None else result.puzzles[index]
        yield head(result, puzzle)
        for finding in findings:
            yield from _finding(result, finding, puzzle)
        yield line()


def unread(result: FileResult) -> Line:
    """Return the line that says that most of a file was not understood."""
    at = f"{escape(result.path)}:{'1:1:' if result.counted else ''} "
    return Line((Part(at), Part("warning", "warning"), Part(f": {unread_words(result)}")))


def unread_words(result: FileResult) -> str:
    """Say that most of a file was not understood."""
    account = result.account
    understood = f"{account.placed:,} of {counted(account.total, 'clause')} about the play"
    return f"most of this text was not understood, so it was not proofread: {understood} could be placed"


def _by_puzzle(findings: Sequence[PlacedFinding]) -> list[tuple[int | None, list[Finding]]]:
    """Group findings by puzzle in the order of the file; those of no puzzle come first."""
    groups: dict[int | None, list[Finding]] = {}
    for placed in findings:
        groups.setdefault(placed.puzzle, []).append(placed.finding)
    return sorted(groups.items(), key=lambda group: -1 if group[0] is None else group[0])


def head(result: FileResult, puzzle: PuzzleResult | None) -> Line:
    """Return the line over what is said of one puzzle, or of none."""
    path = escape(result.path)
    if puzzle is None:
        return line(f"{path}, outside the puzzles", "strong")
    time = result.time(puzzle.start)
    at = f", {clock(time)}" if time else ""
    where = result.place(puzzle.start) or f"line {puzzle.line}"
    asked = f"{puzzle.stipulation}{taken_from(puzzle)}, " if puzzle.stipulation else ""
    return Line(
        (
            Part(
                f"{path}, {where}{at}: {escape(puzzle.title) or 'a puzzle without a title'}",
                "strong",
            ),
            Part(f" ({asked}{men_read(puzzle)}{verdict(puzzle)})"),
        )
    )


def taken_from(puzzle: PuzzleResult) -> str:
    """Return what a stipulation that is nowhere stated was taken from, behind a comma; "" where it is stated."""
    if puzzle.supposed is None:
        return ""
    return f' taken from "{escape(puzzle.supposed)}"' if puzzle.supposed else ", which is nowhere stated"


def verdict(puzzle: PuzzleResult) -> str:
    """Return what came of the proof, in words: "proved sound"."""
    return "its position cannot be read" if puzzle.fen is None else _VERDICTS[puzzle.verdict]


def men_read(puzzle: PuzzleResult) -> str:
    """Return how many men were read on either side, "5+4, ", to be compared with the diagram; "" without a position."""
    if puzzle.fen is None:
        return ""
    placement = puzzle.fen.partition(" ")[0]
    return f"{sum(map(str.isupper, placement))}+{sum(map(str.islower, placement))}, "


def _finding(result: FileResult, finding: Finding, puzzle: PuzzleResult | None) -> Iterator[Line]:
    yield _marked(result, finding.span, finding.level.name, f"{finding.message} [{finding.rule}]")
    if finding.evidence is not None:
        evidence = shown(finding.evidence, puzzle)
        if finding.evidence.kind == "line" or evidence.removeprefix("moves: ") not in finding.message:
            yield line(f"    {evidence}", hang=10)
    if finding.repair:
        told = repair(result.text, finding.repair, finding.span, result.place, result.first_line)
        yield line(f"    repair: {told}", hang=12)


def _marked(result: FileResult, span: Span, level: str, message: str) -> Line:
    """Return a message in the GNU form; it begins with the time of a cue, or the place in a manuscript.

    The lines of a file that is not text are nothing that a person could count, so they are not printed.
    """
    number, column, _, _ = result.region(span)
    named = result.place(span.start)
    time = result.time(span.start)
    at = f"at {clock(time)}: " if time else f"{named}: " if named else ""
    return Line(
        (
            Part(f"{escape(result.path)}:{f'{number}:{column}:' if result.counted else ''} "),
            Part(level, level),  # type: ignore[arg-type]  # looks are named after levels
            Part(f": {at}{escape(message)}"),
        )
    )


def clock(time: str) -> str:
    """Return the time of a cue in whole seconds, as players show it: "00:02:31"."""
    return time.partition(".")[0]


def repair(
    text: str,
    edits: Sequence[Edit],
    near: Span | None = None,
    place: Callable[[int], str | None] | None = None,
    first_line: int = 1,
) -> str:
    """Say in words what to change, each time with the whole word: write "Rae1" instead of "Re1".

    Where the word stands elsewhere in its line too, words beside it are given as well. A line is named
    unless it is that of the finding, which is at `near`; in a manuscript it has the name that `place` gives,
    elsewhere its number, counted from `first_line`.
    """
    added = [edit for edit in edits if edit.span.start == edit.span.end and edit.text[:1] in ("\r", "\n")]
    if added and len(added) == len(edits):
        lines = [f'"{escape(line)}"' for edit in added for line in edit.text.splitlines() if line.strip()]
        return f"add the line{'s' if len(lines) > 1 else ''} {', '.join(lines)}"
    changes: list[tuple[Span, list[Edit]]] = []
    for edit in sorted(edits, key=lambda edit: edit.span):
        word = _word(text, edit.span)
        if changes and word.start <= changes[-1][0].end:
            last, known = changes[-1]
            changes[-1] = (last.to(word), [*known, edit])
        else:
            changes.append((word, [edit]))
    places = lines_of(text) if first_line == 1 else Lines(text, first_line)
    told = []
    for word, edits_of_word in changes:
        number = places.place(word.start)[0]
        named = place(word.start) if place is not None else None
        there = near is not None and places.place(near.start)[0] != number
        told.append((f"in {named or f'line {number}'}, " if there else "") + _change(places, word, edits_of_word))
    return "; ".join(told)


def _change(lines: Lines, word: Span, edits: list[Edit]) -> str:
    text, number = lines.text, lines.place(word.start)[0]
    word = _unlike_others(text, word, lines.line_span(number))
    new, at = "", word.start
    for edit in edits:
        new += text[at : edit.span.start] + edit.text
        at = edit.span.end
    new += text[at : word.end]
    before, after = escape(word.of(text)), escape(new)
    if not after.strip():
        return f'delete "{before}"'
    if not before:
        return f'insert "{after}"'
    return f'write "{after}" instead of "{before}"'


def _unlike_others(text: str, word: Span, line: Span) -> Span:
    """Widen a word by those beside it until nothing else in its line reads the same."""
    while word.of(text).strip() and len(re.findall(f"(?={re.escape(word.of(text))})", line.of(text))) > 1:
        before = re.search(r"\S+\s+$", text[line.start : word.start])
        after = re.match(r"\s+\S+", text[word.end : line.end])
        if before is None and after is None:
            return word
        start = line.start + before.start() if before else word.start
        word = Span(start, word.end + after.end() if after else word.end)
    return word


def _word(text: str, span: Span) -> Span:
    """Widen a span to the words it touches."""
    start, end = span
    while start > 0 and not text[start - 1].isspace():
        start -= 1
    rest = re.compile(r"\S*").match(text, end)
    return Span(start, rest.end() if rest else end)


def summary(tally: Tally) -> Line:
    """Return the line that says what was checked, what was not, and what was found."""
    sentences = []
    if tally.files:
        sentences.append(_puzzles(tally))
        if tally.puzzles:
            sentences.append(_mentions(tally))
            sentences.extend(_clauses(tally))
    if tally.unreadable:
        sentences.append(f"{counted(tally.unreadable, 'path')} could not be checked at all.")
    if tally.left:
        sentences.append(f"Interrupted: {counted(tally.left, 'path')} not looked at.")
    if tally.puzzles or tally.levels:
        sentences.append(_found(tally))
    return line(" ".join(sentences), "strong", hang=0)


def _puzzles(tally: Tally) -> str:
    if not tally.puzzles:
        return f"No puzzle was found in {counted(tally.files, 'file')}: nothing was checked."
    numbers = {words: tally.verdicts[verdict] for verdict, words in _VERDICTS.items()}
    numbers[_VERDICTS["no-claim"]] -= tally.no_position
    numbers["without a position that can be read"] = tally.no_position
    verdicts = [f"{number:,} {words}" for words, number in numbers.items() if number > 0]
    return f"{counted(tally.puzzles, 'puzzle')} in {counted(tally.files, 'file')}: {', '.join(verdicts)}."


def _mentions(tally: Tally) -> str:
    if not tally.move_mentions:
        return "No move is mentioned."
    left = tally.move_mentions - tally.checked
    return f"Checked {tally.checked:,} of {counted(tally.move_mentions, 'move mention')}" + (
        f"; {left:,} could not be checked." if left else "."
    )


def _found(tally: Tally) -> str:
    if tally.levels:
        counts = [
            counted(tally.levels[level], level.name) for level in sorted(Level, reverse=True) if tally.levels[level]
        ]
        return f"Found {', '.join(counts)}."
    left = tally.doubtful + tally.not_understood
    if left and tally.first_unread is not None:
        understood = f"{tally.placed:,} of {_clauses_of(tally)}"
        return f"No fault was found in the {understood} that were understood; {_rest(tally)} not."
    whole = tally.checked == tally.move_mentions and not tally.unreadable and not tally.left
    proved = not tally.verdicts["unproved"] and not tally.verdicts["no-claim"]
    return "No fault was found." if whole and proved else "No fault was found in what was checked."


def _clauses_of(tally: Tally) -> str:
    return counted(tally.placed + tally.doubtful + tally.not_understood, "clause")


def _clauses(tally: Tally) -> Iterator[str]:
    """Say how much of the text was understood, where it was not all."""
    if not tally.doubtful and not tally.not_understood:
        return
    yield f"{counts(tally)}."


def counts(of: Tally | Account) -> str:
    """Say how many of the clauses that hold chess were understood, how many are doubtful and how many were not."""
    numbers = {"understood": of.placed, "doubtful": of.doubtful, "not understood": of.not_understood}
    said = ", ".join(f"{number:,} {name}" for name, number in numbers.items() if number)
    return f"{counted(sum(numbers.values()), 'clause')} about the play: {said}"


def _rest(tally: Tally) -> str:
    """Name the first clause that was not placed, and how many more there are: "that in line 9 and 16 others were"."""
    assert tally.first_unread is not None
    path, where = tally.first_unread
    first = f"that in {where}" if tally.files == 1 else f"that in {escape(path)}, {where},"
    more = tally.doubtful + tally.not_understood - 1
    if not more:
        return f"{first} was"
    return f"{first} and {counted(more, 'other')} were"


def counted(number: int, noun: str) -> str:
    """Return a number with its noun, which gets an "s" unless it is one."""
    return f"{number:,} {noun}{'' if number == 1 else 's'}"
