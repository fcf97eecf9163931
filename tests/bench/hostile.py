"""A long campaign of hostile texts: `python tests/bench/hostile.py MINUTES [SEED]`, from the root of the checkout.

It draws the manners of tests/test_hostile.py in turn, prints what fails as lines for tests/data/hostile.jsonl, and
at the end how many texts there were of each manner, with the seconds of the processor that the slowest took. A text
that takes more than a minute of the processor fails.
"""

import base64
import json
import random
import signal
import sys
import time
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from test_hostile import MANNERS, SUFFIXES, survives

MOST = 60  # seconds of the processor


def too_long(_number: int, _frame: object) -> None:
    """End the check of a text."""
    raise TimeoutError(f"more than {MOST} seconds of the processor")


def main(minutes: float, seed: int) -> None:
    """Draw texts until the time is over."""
    drawn: Counter[str] = Counter()
    failed = 0
    slowest: dict[str, tuple[float, int]] = {}
    end = time.monotonic() + 60 * minutes
    number = seed
    signal.signal(signal.SIGPROF, too_long)
    while time.monotonic() < end:
        manner = MANNERS[number % len(MANNERS)]
        data = manner(random.Random(number))
        suffix = SUFFIXES[number // len(MANNERS) % len(SUFFIXES)]
        start = time.process_time()
        signal.setitimer(signal.ITIMER_PROF, MOST)
        try:
            survives(suffix, data)
        except Exception as error:
            failed += 1
            told = {
                "suffix": suffix,
                "data": base64.b64encode(data).decode(),
                "seed": number,
                "error": str(error)[:200],
            }
            print(json.dumps(told), flush=True)
        finally:
            signal.setitimer(signal.ITIMER_PROF, 0)
        name = manner.__name__.strip("_")
        taken = time.process_time() - start
        slowest[name] = max(slowest.get(name, (0.0, 0)), (taken, number))
        drawn[name] += 1
        number += 1
    print(f"{drawn.total():,} texts from seed {seed}, {failed} failed\n")
    print("| manner | texts | slowest, s | its seed |\n|---|---|---|---|")
    for name, count in drawn.most_common():
        print(f"| {name} | {count:,} | {slowest[name][0]:.2f} | {slowest[name][1]} |")


if __name__ == "__main__":
    main(float(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else random.randrange(10**9))
