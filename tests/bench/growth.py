"""How the work of a check grows with its text: every shape of text at 1, 2, 4 and 8 times a length.

Run it from the root of the checkout: `python tests/bench/growth.py [SHAPE...]`. Seconds are those of one processor.
A text of twice the length should take about twice as long; the last column is the greatest ratio of two neighbours.
"""

import itertools
import sys
import time
from collections.abc import Callable

import puzzles
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_text

TIMES = (1, 2, 4, 8)
FEN = "FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1"
SOLUTION = "1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#"
PUZZLE = f"{FEN}\nMate in two.\n{SOLUTION}\n"


def book(times: int) -> str:
    """Return distinct solved puzzles in one Markdown file."""
    return puzzles.column(itertools.islice(MADE, 30 * times))


def book_of_texts(times: int) -> str:
    """Return the same as plain text."""
    return "\n\n".join(itertools.islice(MADE, 30 * times))


def records(times: int) -> str:
    """Return the positions of such puzzles, a record of EPD each."""
    fens = (puzzle.split("\n", 1)[0].rsplit(" ", 2)[0] for puzzle in itertools.islice(MADE, 100 * times))
    return "".join(f"{fen} dm 2;\n" for fen in fens)


def solutions_at_the_end(times: int) -> str:
    """Return positions first and then all solutions, each under its number."""
    made = [puzzle.split("\n\n", 2) for puzzle in itertools.islice(MADE, 30 * times)]
    shown = [f"No. {number}\n\n{fen}\n\n{task}\n" for number, (fen, task, _) in enumerate(made, 1)]
    told = [f"No. {number}: {solution}\n" for number, (_, _, solution) in enumerate(made, 1)]
    return "\n".join([*shown, "Solutions\n", *told])


def captions(times: int) -> str:
    """Return a recording in which problem after problem is called."""
    cues = [f"Now problem {number} it is mate in two." for number in range(1, 100 * times)]
    times_of = (f"{n // 3600:02}:{n // 60 % 60:02}:{n % 60:02}" for n in range(len(cues)))
    return "WEBVTT\n\n" + "\n".join(f"{at}.000 --> {at}.900\n{cue}\n" for at, cue in zip(times_of, cues, strict=True))


def lines(line: str) -> Callable[[int], str]:
    """Return the text of one puzzle and, below it, the same line again and again."""
    return lambda times: PUZZLE + f"{line}\n" * (100 * times)


def before(line: str) -> Callable[[int], str]:
    """Return lines that stand before the first puzzle."""
    return lambda times: f"{line}\n\n" * (100 * times) + PUZZLE


SHAPES: dict[str, tuple[str, Callable[[int], str]]] = {
    "puzzles in Markdown": ("a.md", book),
    "puzzles in plain text": ("a.txt", book_of_texts),
    "records of EPD": ("a.epd", records),
    "solutions at the end": ("a.txt", solutions_at_the_end),
    "captions with many problems": ("a.vtt", captions),
    "mate in two": ("a.txt", lines("Mate in two.")),
    "mate in two, before": ("a.txt", before("Mate in two.")),
    "No. No.": ("a.txt", lines("No. No. No. No.")),
    "No. 1 with a move": ("a.txt", lines(f"No. 1\n{SOLUTION}")),
    "Key:": ("a.txt", lines("Key: 1.Kg2!")),
    "Key: of nothing": ("a.txt", lines("Key:")),
    "Try:": ("a.txt", lines("Try: 1.Kg1? Kh4!")),
    "Try: in words": ("a.txt", lines("Try: king to g1? King to h4!")),
    "one long line": ("a.txt", lambda times: f"{FEN}\nMate in two.\n" + f"{SOLUTION} " * (60 * times) + "\n"),
    "one long line of words": (
        "a.txt",
        lambda times: (
            f"{FEN}\nMate in two.\nThe key is king to g2. "
            + "If the king goes to h4, rook to e4 is mate. " * (25 * times)
            + "\n"
        ),
    ),
    "one line without spaces": ("a.txt", lambda times: PUZZLE + "x" * 20_000 * times),
    "reasons": ("a.txt", lines("1...Kh4 2.Re4#, because the king cannot move.")),
    "any other": ("a.txt", lines("1...any other 2.Rg5#")),
    "brackets": ("a.txt", lambda times: f"{FEN}\nMate in two.\n" + "(1...Kh4 " * (60 * times) + "\n"),
    "twins": ("a.txt", lambda times: f"{FEN}\nMate in two.\n" + "b) Kf2 to f1\n" * (10 * times) + SOLUTION),
    "headings": ("a.md", lambda times: "## Chess\n\nNo move.\n\n" * (200 * times) + PUZZLE),
}

MADE_ALL = list(itertools.islice(puzzles.solved(), 100 * TIMES[-1]))


class _Made:
    """The same puzzles from the beginning, whoever asks."""

    def __iter__(self) -> "itertools.chain[str]":
        return itertools.chain(MADE_ALL)


MADE = _Made()


def seconds(name: str, text: str) -> float:
    """Return the processor time one check takes, the better of two."""
    best = float("inf")
    for _ in range(int(len(text) < 20_000) + 1):
        start = time.process_time()
        check_text(name, text, Options(fresh=True))
        best = min(best, time.process_time() - start)
    return best


def main(asked: list[str]) -> None:
    """Measure and print."""
    seconds("warm.txt", book_of_texts(1))
    print("| shape | signs | 1x, s | 2x | 4x | 8x | greatest step |\n|---|---|---|---|---|---|---|")
    for shape, (name, make) in SHAPES.items():
        if asked and shape not in asked:
            continue
        taken = [seconds(name, make(times)) for times in TIMES]
        steps = [after / before for before, after in itertools.pairwise(taken)]
        cells = [f"{taken[0]:.2f}", *(f"{each / taken[0]:.1f}" for each in taken[1:])]
        print(f"| {shape} | {len(make(1)):,} | {' | '.join(cells)} | {max(steps):.1f} |", flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
