"""Whether pieces of hostile texts, one after the other, cost more than their number.

    python tests/bench/hostile_growth.py MINUTES [SEED]

Run it from the root of the checkout. A piece of a text of tests/test_hostile.py is checked as it stands so many times,
twice as many and four times as many; what took more than `MOST` times the calls at one of these steps is printed with
its seed and its length. growth.py does the same for shapes of text that were once found to grow.
"""

import random
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from growth import work
from test_hostile import MANNERS, SUFFIXES

TIMES = (10, 20, 40)
LONGEST = 160  # bytes of a piece
MOST = 2.6  # twice the text, some bounds of work not yet reached


def piece(number: int) -> bytes:
    """Return the piece of this number."""
    chance = random.Random(number)
    text = MANNERS[number % len(MANNERS)](chance)
    start = chance.randrange(len(text) + 1)
    return text[start : start + chance.randrange(4, LONGEST)] + chance.choice([b"", b" ", b"\n", b"\n\n"])


def main(minutes: float, seed: int) -> None:
    """Draw pieces until the time is over."""
    end = time.monotonic() + 60 * minutes
    number = seed
    while time.monotonic() < end:
        part = piece(number)
        suffix = SUFFIXES[number // len(MANNERS) % len(SUFFIXES)]
        calls = [work(f"a{suffix}", (part * times).decode("utf-8", "replace"))[0] for times in TIMES]
        if max(calls[1] / calls[0], calls[2] / calls[1]) > MOST:
            print(MANNERS[number % len(MANNERS)].__name__, number, suffix, len(part), calls, flush=True)
        number += 1
    print(f"{number - seed:,} pieces from seed {seed}")


if __name__ == "__main__":
    main(float(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else random.randrange(10**9))
