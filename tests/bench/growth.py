"""How the work of a check grows with its text: every shape of text at 1, 2, 4 and 8 times a length.

Run it from the root of the checkout: `python tests/bench/growth.py [SHAPE...]`. A text of twice the length should take
about twice the work; the last column of each kind is the greatest ratio of two neighbours. Calls of functions are the
same on a busy machine; seconds, which are those of one processor while the calls are counted, tell also what grows
within one call. `--book [NUMBER...]` checks so many distinct solved puzzles in one Markdown file, the seconds as they
are.
"""

import cProfile
import itertools
import pstats
import sys
import time
from collections.abc import Callable
from functools import cache

import puzzles
from keyproof.linter.options import Options
from keyproof.linter.pipeline import check_piece, check_text

TIMES = (1, 2, 4, 8)
FEN = "FEN: 8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1"
SOLUTION = "1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#"
PUZZLE = f"{FEN}\nMate in two.\n{SOLUTION}\n"


def book(times: int) -> str:
    """Return distinct solved puzzles in one Markdown file."""
    return puzzles.column(made()[: 12 * times])


def book_of_texts(times: int) -> str:
    """Return the same as plain text."""
    return "\n\n".join(made()[: 12 * times])


def records(times: int) -> str:
    """Return the positions of such puzzles, a record of EPD each."""
    fens = (puzzle.split("\n", 1)[0].rsplit(" ", 2)[0] for puzzle in made()[: 40 * times])
    return "".join(f"{fen} dm 2;\n" for fen in fens)


def games(times: int) -> str:
    """Return such puzzles as PGN, a game each."""
    return "".join(
        f'[Event "No. {number}"]\n[SetUp "1"]\n[FEN "{puzzle.split(chr(10), 1)[0]}"]\n\n1. Kg2 {{White waits.}} *\n\n'
        for number, puzzle in enumerate(made()[: 24 * times], 1)
    )


def one_game(times: int) -> str:
    """Return one game of PGN with many variations."""
    variations = " ".join("(1... h4 2. Rg5# {The king cannot move.})" for _ in range(24 * times))
    return f'[SetUp "1"]\n[FEN "{FEN[5:]}"]\n\n1. Kg2 Kh4 {variations} 2. Re4# *\n'


def web_page(times: int) -> str:
    """Return such puzzles as a page of HTML."""
    return "".join(f"<p>{part}</p>\n" for puzzle in made()[: 12 * times] for part in puzzle.split("\n\n"))


def source_of_latex(times: int) -> str:
    """Return such puzzles as a source of LaTeX, with signs it reads as its own taken out."""
    plain = "\n\n".join(made()[: 12 * times]).replace("#", "\\#")
    return f"\\documentclass{{article}}\n\\begin{{document}}\n{plain}\n\\end{{document}}\n"


def solutions_at_the_end(times: int) -> str:
    """Return positions first and then all solutions, each under its number."""
    split = [puzzle.split("\n\n", 2) for puzzle in made()[: 12 * times]]
    shown = [f"No. {number}\n\n{fen}\n\n{task}\n" for number, (fen, task, _) in enumerate(split, 1)]
    told = [f"No. {number}: {solution}\n" for number, (_, _, solution) in enumerate(split, 1)]
    return "\n".join([*shown, "Solutions\n", *told])


def captions(times: int) -> str:
    """Return a recording in which problem after problem is called."""
    cues = [f"Now problem {number} it is mate in two." for number in range(1, 40 * times)]
    times_of = (f"{n // 3600:02}:{n // 60 % 60:02}:{n % 60:02}" for n in range(len(cues)))
    return "WEBVTT\n\n" + "\n".join(f"{at}.000 --> {at}.900\n{cue}\n" for at, cue in zip(times_of, cues, strict=True))


def lines(line: str) -> Callable[[int], str]:
    """Return the text of one puzzle and, below it, the same line again and again."""
    return lambda times: PUZZLE + f"{line}\n" * (40 * times)


def before(line: str) -> Callable[[int], str]:
    """Return lines that stand before the first puzzle."""
    return lambda times: f"{line}\n\n" * (40 * times) + PUZZLE


SHAPES: dict[str, tuple[str, Callable[[int], str]]] = {
    "puzzles in Markdown": ("a.md", book),
    "puzzles in plain text": ("a.txt", book_of_texts),
    "records of EPD": ("a.epd", records),
    "games of PGN": ("a.pgn", games),
    "variations of one game": ("a.pgn", one_game),
    "puzzles in HTML": ("a.html", web_page),
    "puzzles in LaTeX": ("a.tex", source_of_latex),
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
    "either will do": (
        "a.txt",
        lines("1.Kg2! If the king goes to h4, rook e4. Or rook g5. And pawn h4? Either of them."),
    ),
    "one long line": ("a.txt", lambda times: f"{FEN}\nMate in two.\n" + f"{SOLUTION} " * (24 * times) + "\n"),
    "one long line of words": (
        "a.txt",
        lambda times: (
            f"{FEN}\nMate in two.\nThe key is king to g2. "
            + "If the king goes to h4, rook to e4 is mate. " * (10 * times)
            + "\n"
        ),
    ),
    "one line without spaces": ("a.txt", lambda times: PUZZLE + "x" * 20_000 * times),
    "reasons": ("a.txt", lines("1...Kh4 2.Re4#, because the king cannot move.")),
    "any other": ("a.txt", lines("1...any other 2.Rg5#")),
    "brackets": ("a.txt", lambda times: f"{FEN}\nMate in two.\n" + "(1...Kh4 " * (24 * times) + "\n"),
    "twins": ("a.txt", lambda times: f"{FEN}\nMate in two.\n" + "b) Kf2 to f1\n" * (10 * times) + SOLUTION),
    "headings": ("a.md", lambda times: "## Chess\n\nNo move.\n\n" * (100 * times) + PUZZLE),
}


@cache
def made() -> tuple[str, ...]:
    """Return the puzzles that the shapes are made of."""
    return tuple(itertools.islice(puzzles.solved(), 40 * TIMES[-1]))


def work(name: str, text: str) -> tuple[int, float]:
    """Return the calls of functions that one check makes, and the seconds of the processor."""
    profile = cProfile.Profile()
    start = time.process_time()
    profile.runcall(check_piece, name, text.encode(), 1, Options(fresh=True))
    taken = time.process_time() - start
    return int(pstats.Stats(profile).total_calls), taken  # type: ignore[attr-defined]


def steps(taken: list[float]) -> list[str]:
    """Return how often the first each of the others is, and the greatest ratio of two neighbours."""
    greatest = max(after / before for before, after in itertools.pairwise(taken))
    return [*(f"{each / taken[0]:.1f}" for each in taken[1:]), f"{greatest:.1f}"]


def shapes(asked: list[str]) -> None:
    """Measure every shape, or those asked for, and print."""
    work("warm.txt", book_of_texts(1))
    heads = " | ".join(["2x", "4x", "8x", "greatest step"] * 2)
    print(f"| shape | signs | calls | {heads.replace('step | 2x', 'step | s | 2x', 1)} |\n|{'---|' * 12}")
    for shape, (name, make) in SHAPES.items():
        if asked and shape not in asked:
            continue
        calls, seconds = zip(*(work(name, make(times)) for times in TIMES), strict=True)
        cells = [f"{calls[0]:,}", *steps(list(calls)), f"{seconds[0]:.2f}", *steps(list(seconds))]
        print(f"| {shape} | {len(make(1)):,} | {' | '.join(cells)} |", flush=True)


def books(sizes: list[int]) -> None:
    """Measure files of many puzzles and print."""
    made = list(itertools.islice(puzzles.solved(), max(sizes)))
    check_text("warm.md", puzzles.column(made[:5]), Options(fresh=True))
    print("| puzzles | signs | s | ms a puzzle |\n|---|---|---|---|")
    for size in sizes:
        text = puzzles.column(made[:size])
        start = time.process_time()
        check_text("a.md", text, Options(fresh=True))
        taken = time.process_time() - start
        print(f"| {size:,} | {len(text):,} | {taken:.1f} | {1000 * taken / size:.1f} |", flush=True)


if __name__ == "__main__":
    if sys.argv[1:2] == ["--book"]:
        books([int(size) for size in sys.argv[2:]] or [200, 400, 800, 1_600, 3_200])
    else:
        shapes(sys.argv[1:])
