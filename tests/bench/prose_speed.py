"""How fast spoken prose is scanned and checked, and how that grows with its length.

Run it from the root of the checkout: `python tests/bench/prose_speed.py`. Two texts are made
of the demo talks: one in which each solution is told under its own position, and one in which
all of them are told under a single position, where little of it can be played, so that each
sentence is tried at every point that it may go back to. Both are checked at one, four and
sixteen times a length. Seconds are those of one processor, the best of three runs.
"""

import time
from collections.abc import Callable
from pathlib import Path

from keyproof.grammar.document import Document
from keyproof.grammar.scan import statements
from keyproof.grammar.sections import puzzle_texts
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_document
from keyproof.linter.sources import document_from_text, read

TALKS = [Path("corpus/demo") / name for name in ("talk-01.txt", "talk-05.txt")]
TIMES = (1, 4, 16)
LINES = 70  # told under one position
RUNS = 3


def own_positions(times: int) -> str:
    """Return the talks, each solution under its own position, so many times."""
    return "\n\n".join(path.read_text("utf-8") for path in TALKS) * times


def one_position(times: int) -> str:
    """Return the first position of the talks, with the solutions of all of them told under it, cut to a length."""
    talks = [read(str(path)) for path in TALKS]
    puzzles = [(talk, puzzle) for talk in talks for puzzle in puzzle_texts(talk).puzzles]
    told = "\n\n".join(span.of(talk.masked) for talk, puzzle in puzzles for span in puzzle.prose)
    first, puzzle = puzzles[0]
    lines = [line for line in told.splitlines() if line] * TIMES[-1]
    return "\n".join([puzzle.diagrams[0].span.of(first.text), "", *lines[: LINES * times]])


def scanned(document: Document) -> None:
    """Scan all prose of a document."""
    for puzzle in puzzle_texts(document).puzzles:
        statements(document.masked, puzzle.prose)


def seconds(work: Callable[[], object]) -> float:
    """Return the processor time some work takes, the best of several runs."""
    best = float("inf")
    for _ in range(RUNS):
        start = time.process_time()
        work()
        best = min(best, time.process_time() - start)
    return best


def table(title: str, text: Callable[[int], str]) -> None:
    """Print how long one text takes at each length."""
    print(f"| {title}: lines | puzzles | scan, s | times | whole check, s | times |\n|---|---|---|---|---|---|")
    first: tuple[float, float] | None = None
    for times in TIMES:
        document = document_from_text("talk.txt", text(times), "text")
        taken = (
            seconds(lambda document=document: scanned(document)),
            seconds(lambda document=document: check_document(document, Options())),
        )
        first = first or taken
        cells = [f"{now:.3f} | {now / before:.1f}" for now, before in zip(taken, first, strict=True)]
        lines, puzzles = len(document.text.splitlines()), len(puzzle_texts(document).puzzles)
        print(f"| {lines:,} | {puzzles} | {' | '.join(cells)} |")
    print()


def main() -> None:
    """Measure and print."""
    table("own positions", own_positions)
    table("one position", one_position)


if __name__ == "__main__":
    main()
