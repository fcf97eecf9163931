"""A cluster of two workers against one process, and against one of the two killed in the middle.

Run it from the root of the checkout: `python tests/bench/cluster.py [FILES]`, with the extra "cluster". The archive is
files of twenty solved puzzles each. All three must come to the same lines; seconds are those of the wall, of one run.
"""

import itertools
import sys
import tempfile
import time
from collections.abc import Iterator
from concurrent.futures import Executor
from pathlib import Path

import distributed
import puzzles
from keyproof.linter import executors, jobs, pieces
from keyproof.linter.options import Options
from keyproof.linter.reports.lines import lines

EACH = 20


def told(paths: list[str], cluster: Executor | None = None) -> Iterator[str]:
    """Yield the lines of a report."""
    options = Options(fresh=True)
    for result in jobs.in_order(pieces.pieces(paths, options), options, 1, cluster=cluster):
        yield from lines(result, 0, "")


def main(files: int) -> int:
    """Measure, print, and return the status."""
    made = puzzles.solved()
    with (
        tempfile.TemporaryDirectory() as name,
        distributed.LocalCluster(
            n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None, silence_logs=50
        ) as cluster,
    ):
        paths = [str(Path(name) / f"{number:03}.md") for number in range(files)]
        for path in paths:
            Path(path).write_text(puzzles.column(itertools.islice(made, EACH)), "utf-8")
        workers = executors.cluster(cluster.scheduler_address)
        list(told(paths[:4], workers))  # everything is loaded, here and there
        list(told(paths[:1]))
        began = time.perf_counter()
        alone = list(told(paths))
        one = time.perf_counter() - began
        began = time.perf_counter()
        shared = list(told(paths, workers))
        two = time.perf_counter() - began
        left = []
        for number, line in enumerate(told(paths, workers)):
            left.append(line)
            if number == len(alone) // 2:
                next(iter(cluster.workers.values())).process.process._process.kill()
    print("| who | puzzles | s | lines as of one process |\n|---|---|---|---|")
    print(f"| one process | {files * EACH:,} | {one:.1f} | {len(alone):,} |")
    print(f"| two workers | {files * EACH:,} | {two:.1f} | {'all' if shared == alone else 'NOT THE SAME'} |")
    print(
        f"| two workers, one killed in the middle | {files * EACH:,} | | {'all' if left == alone else 'NOT THE SAME'} |"
    )
    return int(not shared == alone == left)


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 40))
