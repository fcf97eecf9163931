"""What a keystroke costs in a long text: `python tests/bench/keystroke.py [LINES]`, from the root of the checkout.

The desk of the editor server checks the demo columns, again and again up to so many lines, and then the same with
a word without a move changed. Prints the processor time of both, the least of several keystrokes, and the share.
"""

import sys
import time
from pathlib import Path

from keyproof.linter.listen.desk import Desk
from keyproof.linter.options import Options
from keyproof.linter.sources import document_from_text
from keyproof.rules.proof.limits import Cancel

COLUMNS = sorted((Path(__file__).parents[2] / "corpus" / "demo").glob("column-*.md"))
KEYSTROKES = 6
AIM = 0.2


def long_column(lines: int) -> str:
    """Return at least so many lines of columns."""
    parts = "\n".join(path.read_text(encoding="utf-8") for path in COLUMNS) + "\n"
    return parts * -(-lines // parts.count("\n"))


def took(desk: Desk, text: str) -> float:
    """Return the processor time of a check, in seconds."""
    start = time.process_time()
    *_, last = desk.check(document_from_text("column.md", text, "markdown"), Cancel())
    assert last.settled
    return time.process_time() - start


def main(lines: int) -> None:
    """Measure and print."""
    desk, text = Desk(Options()), long_column(lines)
    first = took(desk, text)
    changed = (text.replace("White to play", "White to play" + "." * number, 1) for number in range(1, KEYSTROKES + 1))
    again = min(took(desk, each) for each in changed)
    print("| lines | first check, s | keystroke, s | share | aim |")
    print("|---|---|---|---|---|")
    print(f"| {text.count(chr(10))} | {first:.2f} | {again:.3f} | {again / first:.3f} | {AIM} |")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 2000)
