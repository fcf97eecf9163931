"""What is left after kill -9 at any moment, a full disk, and others who write at the same time.

Run it from the root of the checkout: `python tests/bench/kills.py [--times N] [--seed SEED] [TRIAL...]`. Each trial is
a run in a process of its own, forked from this one once everything is loaded, and ended half of the times after a
random while, half of the times before a random line of the code that writes, of which a while hits few. It prints a
table and ends with status 1 if anything was lost, doubled or damaged. Windows has neither forks nor this signal.
"""

import argparse
import contextlib
import os
import random
import resource
import shutil
import signal
import sqlite3
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable
from pathlib import Path

import chess
from keyproof.linter import cache, executors
from keyproof.linter.writing import write_whole
from keyproof.rules.board.stipulation import Stipulation
from keyproof.rules.proof import memory, prover
from killing import Killer, Lines, Told, child, command, lines_of, loaded, said, waited

FEN = "8/8/4N3/4R2p/6k1/8/5K2/8 w - - 0 1"
SOUND = f"No. 1  The waiting king\n{FEN}\nMate in two.\n1.Kg2! Kh4 2.Re4#, 1...h4 2.Rg5#\n"
FAULTY = f"No. 2  The waiting king\n{FEN}\nMate in two.\n1.Kg2! Kh4 2.Re3#, 1...h4 2.Rg5#\n"
MISMARKED = f"FEN: {FEN}\nMate in two.\n1.Kg2! Kh4 2.Re4+, 1...h4 2.Rg5+\n"
NOBODY = 65534  # the user who may do nothing, on the systems this runs on

REPAIRS = ("writing.py", "repair.py")


# -- the file that is repaired ------------------------------------------------------


def repair_killed(folder: Path, times: int, chance: random.Random, told: Told) -> None:
    """`--repair --write`: the file is the old or the new one, and a run after it makes the new one."""
    path = folder / "a.txt"
    work = command("check", "--repair", "--write", str(path))
    path.write_text(MISMARKED)
    waited(child(work))
    new = path.read_text()
    told.holds(new != MISMARKED, "repair: nothing was repaired")
    killer = Killer(work, chance, lambda: path.write_text(MISMARKED))
    came: Counter[str] = Counter()
    for _ in range(times):
        killer.kill()
        now = path.read_text()
        came["the old file" if now == MISMARKED else "the new file" if now == new else "damaged"] += 1
        left = [each for each in folder.iterdir() if each != path]
        came["left a hidden part"] += bool(left)
        told.holds(all(each.name.startswith(".a.txt.") for each in left), "repair: a part is not hidden")
        for each in left:
            each.unlink()
    told.holds(not came["damaged"], f"repair: damaged {came['damaged']} times")
    waited(child(work))
    told.holds(path.read_text() == new, "repair: the run after it does not come to the same")
    told.row("`--repair --write`", killer.told(), said(came))


def repair_on_a_full_disk(folder: Path, times: int, chance: random.Random, told: Told) -> None:
    """Where no more than so many bytes can be written, the file stays the old one and the status says so."""
    path = folder / "a.txt"
    path.write_text(MISMARKED)
    came: Counter[str] = Counter()
    for _ in range(times):
        most = chance.randrange(len(MISMARKED))

        def run(most: int = most) -> int:
            resource.setrlimit(resource.RLIMIT_FSIZE, (most, most))
            return command("check", "--repair", "--write", str(path))()

        status = waited(child(run))
        whole = path.read_text() == MISMARKED and [path] == list(folder.iterdir())
        came["the old file, nothing beside it, status 2" if whole and status == 2 else f"damaged, status {status}"] += 1
    told.holds(len(came) == 1 and "damaged" not in said(came), f"full disk: {said(came)}")
    told.row("`--repair --write`, full disk", f"{times:,}", said(came))


def repair_by_two(folder: Path, times: int, chance: random.Random, told: Told) -> None:
    """Two runs at once: the file is the new one, whoever was first."""
    path = folder / "a.txt"
    path.write_text(MISMARKED)
    work = command("check", "--repair", "--write", str(path))
    waited(child(work))
    new, came = path.read_text(), Counter[str]()
    for _ in range(times):
        path.write_text(MISMARKED)
        first = child(work)
        time.sleep(chance.uniform(0, 0.02))
        statuses = sorted((waited(child(work)), waited(first)))
        same = path.read_text() == new
        came["the new file" if same else "another file"] += 1
        came["one was told that it had changed"] += 2 in statuses
    told.holds(not came["another file"], f"two writers: {said(came)}")
    told.row("`--repair --write`, two at once", f"{times:,}", said(came))


def repair_of_a_changed_file(folder: Path, times: int, chance: random.Random, told: Told) -> None:
    """An editor saves the file while it is repaired: what was saved stays."""
    path, other = folder / "a.txt", MISMARKED + "\nAnother line.\n"
    path.write_text(MISMARKED)
    work = command("check", "--repair", "--write", str(path))
    lines, came = lines_of(work, REPAIRS), Counter[str]()
    for _ in range(times):
        path.write_text(MISMARKED)
        at = chance.randint(1, lines)

        def save() -> None:
            sys.settrace(None)
            if chance.random() < 0.5:
                path.write_text(other)
            else:
                write_whole(path, other.encode())

        status = waited(child(work, Lines(at, save, REPAIRS)))
        now = path.read_text()
        if now == other:
            came["what was saved stays"] += 1
            came["... and the run says so"] += status == 2
        else:
            saved = "Another line." in now
            came["repaired with what was saved" if saved else "what was saved is lost"] += 1
            if not saved:
                came[f"... saved before line {at} of {lines}"] += 1
    told.row("`--repair --write`, the file saved meanwhile", f"{times:,}", said(came))
    lost = came["what was saved is lost"]
    told.holds(lost <= 0.02 * times + 1, f"a changed file: {said(came)}")  # between the last look and the replacing


def repair_of_links_and_read_only(folder: Path, times: int, chance: random.Random, told: Told) -> None:
    """A link stays a link; what may not be written is not."""
    del chance
    path, link = folder / "a.txt", folder / "link.txt"
    link.symlink_to(path)
    came: Counter[str] = Counter()
    for _ in range(times):
        path.write_text(MISMARKED)
        path.chmod(0o640)
        waited(child(command("check", "--repair", "--write", str(link))))
        kept = link.is_symlink() and path.read_text() != MISMARKED and path.stat().st_mode & 0o777 == 0o640
        came["the link stays, its file is mended, its permissions stay" if kept else "the link was broken"] += 1
        path.write_text(MISMARKED)
        path.chmod(0o444)

        def run() -> int:
            if os.getuid() == 0:
                os.setuid(NOBODY)
            return command("check", "--repair", "--write", str(path))()

        status = waited(child(run))
        same = path.read_text() == MISMARKED and path.stat().st_mode & 0o777 == 0o444 and status == 2
        came["a read-only file stays, status 2" if same else f"read-only: status {status}"] += 1
        path.chmod(0o644)
    told.holds(len(came) == 2 and not came["the link was broken"], f"links and read-only files: {said(came)}")
    told.row("links, read-only files", f"{times:,}", said(came))


# -- the store of proofs ------------------------------------------------------------


MEN = ("8/8/4N3/4R2p/6k1/8/5K2/8", "k7/8/2K2N2/8/p7/7R/8/8", "8/8/8/8/p7/7R/k1K5/8", "7k/5K2/8/8/8/8/8/6R1")


def proved(rounds: int, out: int) -> int:
    """Prove positions with the store of proofs, and write every answer to a file descriptor."""
    memory.WORTH_KEEPING.update(native=0, plain=0)
    warnings = cache.begin()
    os.write(out, f"{warnings}\n".encode())
    for _ in range(rounds):
        for men in MEN:
            proof = prover.prove(chess.Board(f"{men} w - - 0 1"), Stipulation.parse("#2"))
            os.write(out, f"{men} {proof.verdict} {sorted(move.uci() for move in proof.keys)}\n".encode())
    return 0


def answers(work: Callable[[int], int], stop: Callable[[int], None] = lambda number: None) -> tuple[list[str], int]:
    """Run some work that writes answers, and return them as far as they are whole, and the status."""
    read, write = os.pipe()

    def run() -> int:
        os.close(read)
        return work(write)

    number = child(run)
    os.close(write)
    stop(number)
    with os.fdopen(read) as stream:
        lines = stream.read().split("\n")[:-1]
    return lines, waited(number)


def store_killed(folder: Path, times: int, chance: random.Random, told: Told) -> None:
    """Two writers of the store, killed: every answer is right, and the database is whole."""
    os.environ[cache.VARIABLE] = ""
    right = set(answers(lambda out: proved(1, out))[0][1:])
    told.holds(len(right) == len(MEN), "store: the positions are not proved")
    os.environ[cache.VARIABLE] = str(folder)
    database = folder / "proofs.sqlite"
    came: Counter[str] = Counter()
    for number in range(times):
        if number % 25 == 0:  # a store is made too
            for each in folder.iterdir():
                each.unlink()
        other = child(lambda: proved(20, os.open(os.devnull, os.O_WRONLY)))

        def stop(number: int) -> None:
            time.sleep(chance.uniform(0, 0.06))
            os.kill(number, signal.SIGKILL)

        lines, status = answers(lambda out: proved(20, out), stop)
        os.kill(other, signal.SIGKILL)
        waited(other)
        came["killed" if status == -signal.SIGKILL else "ended before"] += 1
        came["right answers"] += sum(line in right for line in lines[1:])
        came["wrong answers"] += sum(line not in right for line in lines[1:])
        came["warnings"] += bool(lines) and lines[0] != "[]"
        if database.exists():
            with contextlib.closing(sqlite3.connect(database)) as connection:
                whole = connection.execute("PRAGMA integrity_check").fetchone()[0] == "ok"
            came["databases found whole" if whole else "databases damaged"] += 1
    bad = came["wrong answers"] + came["warnings"] + came["databases damaged"]
    told.holds(not bad, f"store: {said(came)}")
    os.environ[cache.VARIABLE] = ""
    told.row("the store of proofs, two writers", f"{times:,}", said(came))


def store_on_a_full_disk(folder: Path, times: int, chance: random.Random, told: Told) -> None:
    """Where the store cannot grow, proofs are searched; the answers are right."""
    os.environ[cache.VARIABLE] = ""
    right = set(answers(lambda out: proved(1, out))[0][1:])
    os.environ[cache.VARIABLE] = str(folder)
    came: Counter[str] = Counter()
    for _ in range(times):
        most = chance.randrange(1, 40_000)

        def run(out: int, most: int = most) -> int:
            resource.setrlimit(resource.RLIMIT_FSIZE, (most, most))
            return proved(3, out)

        lines, status = answers(run)
        came["right answers"] += sum(line in right for line in lines[1:])
        came["wrong or missing answers"] += 3 * len(MEN) - sum(line in right for line in lines[1:])
        came[f"status {status}"] += 1
        if chance.random() < 0.1:
            for each in folder.iterdir():
                each.unlink()
    lines, _ = answers(lambda out: proved(1, out))
    told.holds(set(lines[1:]) == right and not came["wrong or missing answers"], f"store, full disk: {said(came)}")
    os.environ[cache.VARIABLE] = ""
    told.row("the store of proofs, full disk", f"{times:,}", said(came))


# -- the report that streams ----------------------------------------------------------


def archive(folder: Path) -> Path:
    """Make a small archive."""
    made = folder / "archive"
    made.mkdir()
    for number in range(12):
        (made / f"{number:02}.txt").write_text((FAULTY if number % 2 else SOUND) * (1 + number % 3))
    return made


def report_killed(folder: Path, times: int, chance: random.Random, told: Told) -> None:
    """A report that goes on: no line is lost or doubled, and at any moment it is a beginning of the whole."""
    made, output = archive(folder), folder / "report.jsonl"
    run = ("check", "--as", "jsonl", "--jobs", "1", "-o")
    waited(child(command(*run, str(folder / "whole.jsonl"), str(made))))
    whole = (folder / "whole.jsonl").read_bytes()
    other = folder / "other.jsonl"
    killer = Killer(command(*run, str(other), str(made)), chance, lambda: other.unlink(missing_ok=True), share=0.3)
    killer.work = command(*run, str(output), str(made))
    came: Counter[str] = Counter()
    for number in range(times):
        killer.kill()
        now = output.read_bytes() if output.exists() else b""
        came["a beginning of the whole" if whole.startswith(now) else "something else"] += 1
        if now == whole or number == times - 1:
            waited(child(killer.work))
            _compared(output.read_bytes(), whole, came)
            came["reports made whole"] += 1
            output.unlink()
    told.holds(not (came["something else"] or came["lines lost"] or came["lines doubled"]), f"report: {said(came)}")
    told.row("`--as jsonl --output`", killer.told(), said(came))


def report_on_a_full_disk(folder: Path, times: int, chance: random.Random, told: Told) -> None:
    """A disk that is full in the middle of a report: the run says so, and the next one goes on."""
    made, output = archive(folder), folder / "report.jsonl"
    run = command("check", "--as", "jsonl", "--jobs", "1", "-o", str(output), str(made))
    waited(child(run))
    whole, came = output.read_bytes(), Counter[str]()
    for _ in range(times):
        output.unlink()
        most = chance.randrange(len(whole))

        def limited(most: int = most) -> int:
            resource.setrlimit(resource.RLIMIT_FSIZE, (most, most))
            return run()

        status = waited(child(limited))
        came["status 2" if status == 2 else f"status {status}"] += 1
        came["a beginning of the whole" if whole.startswith(output.read_bytes()) else "something else"] += 1
        waited(child(run))
        _compared(output.read_bytes(), whole, came)
    bad = came["something else"] or came["lines lost"] or came["lines doubled"] or came["status 2"] != times
    told.holds(not bad, f"report, full disk: {said(came)}")
    told.row("`--as jsonl --output`, full disk", f"{times:,}", said(came))


def _compared(made: bytes, whole: bytes, came: Counter[str]) -> None:
    lines, right = Counter(made.splitlines()), Counter(whole.splitlines())
    came["lines lost"] += (right - lines).total()
    came["lines doubled"] += (lines - right).total()
    came["not the same bytes"] += made != whole


TRIALS: dict[str, Callable[[Path, int, random.Random, Told], None]] = {
    "repair": repair_killed,
    "repair-full": repair_on_a_full_disk,
    "repair-two": repair_by_two,
    "repair-changed": repair_of_a_changed_file,
    "links": repair_of_links_and_read_only,
    "store": store_killed,
    "store-full": store_on_a_full_disk,
    "report": report_killed,
    "report-full": report_on_a_full_disk,
}


def main() -> int:
    """Try, print, and return the status."""
    asked = argparse.ArgumentParser(description=(__doc__ or "").split("\n")[0])
    asked.add_argument("trials", nargs="*", choices=[[], *TRIALS], default=[])
    asked.add_argument("--times", type=int, default=20)
    asked.add_argument("--seed", type=int, default=random.randrange(10**6))
    words = asked.parse_args()
    os.environ[cache.VARIABLE] = ""
    executors._load()
    with tempfile.TemporaryDirectory() as name:
        path = Path(name) / "a.txt"
        path.write_text(MISMARKED)
        loaded("check", "--repair", "--write", str(path))
        loaded("check", "--as", "jsonl", "--output", str(path.with_suffix(".jsonl")), str(path))
    told = Told()
    print(f"seed {words.seed}\n\n| trial | times | what came of it |\n|---|---|---|", flush=True)
    for name in words.trials or TRIALS:
        folder = Path(tempfile.mkdtemp())
        folder.chmod(0o755)
        try:
            TRIALS[name](folder, words.times, random.Random(f"{words.seed} {name}"), told)
        finally:
            shutil.rmtree(folder)
        print(f"| {' | '.join(told.rows[-1])} |", flush=True)
    for fault in told.faults:
        print(f"FAULT: {fault}", file=sys.stderr)
    return int(bool(told.faults))


if __name__ == "__main__":
    sys.exit(main())
