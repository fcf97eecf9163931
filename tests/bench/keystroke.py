"""What a keystroke costs in a long text: `python tests/bench/keystroke.py [LINES]`, from the root of the checkout.

The session of the editor server and of the desk checks each text, and then the same with a word without a move
changed in its middle, and makes of it what the desk's margin shows. Three texts of at least so many lines: the demo
columns; a script in which the last puzzle has no solution yet, so that all are looked at; the demo talks in notation
and words. Prints the processor time of both, the least of several keystrokes, and the share.
"""

import sys
import time
from pathlib import Path

from keyproof.linter.desk.shown import checked_text
from keyproof.linter.kinds import Kind
from keyproof.linter.listen.desk import Desk
from keyproof.linter.options import Options
from keyproof.linter.sources import document_from_text
from keyproof.rules.proof.limits import Cancel

DEMO = Path(__file__).parents[2] / "corpus" / "demo"
KEYSTROKES = 6
AIM = 0.05
COLUMN = """# No. {number}: The waiting king

8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1

White to play and mate in two.

Key: 1.Kg2! Black is in zugzwang. 1...Kh4 2.Re4#, 1...h4 2.Re4#

"""
BETWEEN = "The speaker turns a page and tells of the evening, which was long.\n" * 32 + "\n"


def long_column(lines: int) -> str:
    """Return at least so many lines of columns."""
    return _often("\n".join(path.read_text(encoding="utf-8") for path in sorted(DEMO.glob("column-*.md"))), lines)


def long_talk(lines: int) -> str:
    """Return at least so many lines of talks."""
    return _often("\n\n".join(path.read_text(encoding="utf-8") for path in sorted(DEMO.glob("talk-*.txt"))), lines)


def long_script(lines: int) -> str:
    """Return at least so many lines of a script whose last puzzle has no solution."""
    part = COLUMN + BETWEEN
    puzzles = -(-lines // part.count("\n"))
    return "".join(part.format(number=number + 1) for number in range(puzzles)) + COLUMN.partition("Key:")[0]


def _often(parts: str, lines: int) -> str:
    return (parts + "\n") * -(-lines // parts.count("\n"))


def with_a_word(text: str, number: int) -> str:
    """Return a text with more at the end of a line in its middle."""
    middle = text.index(".\n", len(text) // 2)
    return text[:middle] + ", as ever" * number + text[middle:]


def took(desk: Desk, text: str, kind: Kind) -> float:
    """Return the processor time of a check up to what the margin shows first, in seconds; then check the whole."""
    start = time.process_time()
    known = desk.check(document_from_text("text", text, kind), Cancel())
    checked_text(next(known))
    first = time.process_time() - start
    for _ in known:
        pass
    return first


def main(lines: int) -> None:
    """Measure and print."""
    texts: dict[str, tuple[str, Kind]] = {
        "columns": (long_column(lines), "markdown"),
        "a script, one puzzle unsolved": (long_script(lines), "markdown"),
        "talks": (long_talk(lines), "text"),
    }
    print("| text | lines | first check, s | keystroke, ms | share | aim |")
    print("|---|---|---|---|---|---|")
    for name, (text, kind) in texts.items():
        desk = Desk(Options())
        first = took(desk, text, kind)
        again = min(took(desk, with_a_word(text, number), kind) for number in range(1, KEYSTROKES + 1))
        share = again / first
        print(
            f"| {name} | {text.count(chr(10))} | {first:.2f} | {again * 1000:.0f} | {share:.3f} | {AIM} |", flush=True
        )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 2000)
