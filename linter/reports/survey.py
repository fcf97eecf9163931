"""What an archive tells, as text and as JSON."""

import json
from collections import Counter
from collections.abc import Iterator
from typing import Any

from msgspec.structs import asdict

from ..survey import FIRST, Repeat, Survey
from .terminal import Line, escape, line
from .text import counted

VERDICTS = ("sound", "unsound", "unproved", "no-claim")


def by_task(survey: Survey) -> list[tuple[str, Counter[str]]]:
    """Return the verdicts of each task, the most frequent task first."""
    tasks: dict[str, Counter[str]] = {}
    for (task, verdict), number in survey.verdicts.items():
        tasks.setdefault(task, Counter())[verdict] += number
    return sorted(tasks.items(), key=lambda item: (-item[1].total(), item[0]))


def text(survey: Survey) -> Iterator[Line]:
    """Yield the lines of a survey."""
    yield line(f"{counted(survey.puzzles, 'puzzle')} in {counted(survey.files, 'file')}", "strong")
    yield line(f"{survey.checked:,} of {survey.mentions:,} move mentions checked")
    for unread in survey.unreadable:
        yield line(f"not read: {escape(unread)}", "warning")
    yield from _table("Verdicts by task", (("task", *VERDICTS), *_verdicts(survey)))
    yield from _table("Unsound", survey.unsound.most_common())
    yield from _table("Unproved", ((f"{task}, {far}", n) for (task, far), n in survey.unproved.most_common()))
    yield from _table("Findings", survey.findings.most_common())
    number, differ = survey.repeated()
    yield line()
    yield line(said_of_all(number, differ), "strong")
    for repeat in survey.repeats():
        yield line(f"  {escape(said_of(repeat))}")
        for place in repeat.places:
            title = f" {place.title}" if place.title else ""
            yield line(f"    {escape(place.path)}:{place.line}:{escape(title)} ({place.task}, {place.verdict})")


def _verdicts(survey: Survey) -> Iterator[tuple[object, ...]]:
    for task, verdicts in by_task(survey):
        yield task, *(verdicts[verdict] for verdict in VERDICTS)


def _table(title: str, rows: Any) -> Iterator[Line]:
    shown = [tuple(f"{cell:,}" if isinstance(cell, int) else str(cell) for cell in row) for row in rows]
    if not shown or (len(shown) == 1 and shown[0][0] == "task"):
        return
    yield line()
    yield line(title, "strong")
    widths = [max(len(row[column]) for row in shown) for column in range(len(shown[0]))]
    for first, *others in shown:
        cells = (cell.rjust(width) for cell, width in zip(others, widths[1:], strict=True))
        yield line(f"  {escape(first).ljust(widths[0])}  {'  '.join(cells)}")


def said_of_all(number: int, differ: int) -> str:
    """Say how many positions are repeated, and whether all of them are listed."""
    what = f"{number:,} positions stand here more than once; the sources of {differ:,} of them disagree"
    return what if number <= FIRST else f"{what}; listed are {FIRST}, those of which they disagree first"


def said_of(repeat: Repeat) -> str:
    """Say what is repeated, and in what the sources differ."""
    what = "one position, turned or mirrored" if repeat.turned else "one position"
    return f"{what}; they differ in {' and '.join(repeat.differ)}" if repeat.differ else what


def values(survey: Survey) -> str:
    """Return a survey as JSON."""
    number, differ = survey.repeated()
    told = {
        "puzzles": survey.puzzles,
        "files": survey.files,
        "unreadable": survey.unreadable,
        "move_mentions": survey.mentions,
        "checked": survey.checked,
        "verdicts": {task: dict(verdicts) for task, verdicts in by_task(survey)},
        "unsound": dict(survey.unsound.most_common()),
        "unproved": [{"task": task, "how_far": far, "puzzles": n} for (task, far), n in survey.unproved.most_common()],
        "findings": dict(survey.findings.most_common()),
        "repeated": {
            "positions": number,
            "disagree": differ,
            "first": [
                {
                    "turned": repeat.turned,
                    "differ": list(repeat.differ),
                    "places": [asdict(place) for place in repeat.places],
                }
                for repeat in survey.repeats()
            ],
        },
    }
    return json.dumps(told, indent=1) + "\n"
